/** words.h - findings in words, for the room's own use. */
#ifndef SNUB_REPORT_WORDS_H
#define SNUB_REPORT_WORDS_H

#include "snub/report.h"

/** A value with its unit among the arguments of a printf, in the units of a look. */
#define SNUB_SHOWN(look, si, unit, decimals)                                                                           \
    snub_value_string((look)->locale, si, unit, decimals, (char[SNUB_VALUE_TEXT]){0})

/** "at 6200 rpm, rising, longest belt, worn, arm friction low" */
void snub_condition_words(const snub_condition *condition, const snub_locale *locale, snub_text *out);
/** Which case is shown: "5700 rpm, accelerating, shortest belt, arm friction high". */
void snub_state_words(const snub_drive *drive, const snub_state *state, snub_text *out);
/** Name of a bolt: one that the file does not name bears the reader's name for it, which is translated. */
const char *snub_bolt_name(const char *name, const snub_locale *locale);
/** What `other` names: "span compressor - crank", "idler bridge, left ear". */
void snub_finding_other(const snub_finding *finding, const snub_locale *locale, snub_text *out);
/** "1.23, limit 1.00"; nothing where there is no value. */
void snub_finding_numbers(const snub_finding *finding, const snub_locale *locale, snub_text *out);
/** Words with {places}, translated, their places filled. */
void snub_words_fill(const char *english, const snub_named *named, int count, const snub_locale *locale,
                     snub_text *out);
/** The same as a paragraph in the look's language and width, behind an empty line. */
void snub_words_paragraph(const snub_look *look, const char *english, const snub_named *named, int count,
                          snub_text *out);
/** "a, b and c" */
void snub_names_words(const char *const *names, int count, const snub_locale *locale, snub_text *out);
/** Words that were built, so far in, their further lines by two more; nothing of no words. They are freed. */
void snub_words_wrapped(snub_text *words, int indent, const snub_look *look, snub_text *out);
snub_named snub_named_number(const char *place, double si, snub_unit unit, int decimals);
/** Text that stands as it is: a name of the file. */
snub_named snub_named_text(const char *place, const char *text);
/** English that is translated. */
snub_named snub_named_words(const char *place, const char *english);
/** In which order the bolts of a mount are tightened, a sentence or two. */
void snub_tightening_words(const snub_mount_result *mount, const snub_locale *locale, snub_text *out);
/** Text that was built, as a copy in the arena; the text is freed. NULL where memory is out. */
char *snub_words_copy(snub_text *text, snub_arena *arena);

/** What the caller has laid over a row: "set belt.ribs=9"; "" for nothing. */
void snub_set_words(const snub_row *row, const snub_locale *locale, snub_text *out);
/** What holds for every build of a chart: --set, and whether it is on the fewest belts; "" for neither. */
void snub_chart_words(const snub_chart *chart, const snub_locale *locale, snub_text *out);
/** Where its limit comes from: "SAE J1596", "the drive file, line 12". */
void snub_finding_basis(const snub_finding *finding, const snub_locale *locale, snub_text *out);
/** Id of its rule ("grip") and its area. */
const char *snub_finding_rule(const snub_finding *finding);
snub_area snub_finding_area(const snub_finding *finding);
/** The offers as advice: "80 mm holds to 6200 rpm; 75 mm slips from 5450 rpm (rising)". Empty without offers. */
void snub_offers_words(const snub_sweep *sweep, const snub_pulley_offer *offers, int count, const snub_locale *locale,
                       snub_text *out);
/** Options of `snub check` that show the case of a finding, each with a blank before it: " --rpm 6200 --belt worn";
 * nothing where it has no case. */
void snub_shown_by(const snub_finding *finding, snub_text *out);

/** What differs from the file as it stands: variant, options and what the caller has laid over:
 *  "low compressor; blower.diameter 79; set belt.ribs=9"; "" for nothing. @param[in] wet  say so */
void snub_row_words(const snub_row *row, bool wet, const snub_locale *locale, snub_text *out);
/** The path of an option: as it is written where a reader types it, on paper in words: "blower diameter". */
void snub_path_words(const char *path, const snub_locale *locale, snub_text *out);
/** A value of the file: as it is written where a reader types it, on paper with the locale's decimal mark. */
void snub_written_words(const char *value, const snub_locale *locale, snub_text *out);
/** What a package does not come as, without its reason: "low compressor; blower.diameter 97, 92". */
void snub_exclusion_words(const snub_exclusion *exclusion, const snub_locale *locale, snub_arena *arena,
                          snub_text *out);
/** The node behind an option's value; NULL: none is laid over the file. */
const snub_node *snub_row_value(const snub_row *row, int option);
/** The value of an option as it is written, with the unit of a bare number where the reader's units are others. */
void snub_option_words(const snub_row *row, int option, const snub_locale *locale, snub_text *out);
/** Beside a belt's name, for those who do not read metric names: " (7 ribs, 75.83 in effective)"; "" in metric units
 * and where there is no belt. */
void snub_belt_size_words(const snub_build *build, const snub_locale *locale, snub_text *out);
/** Where a pulley slips over the rev range and what that does, a sentence; "" where it holds. */
void snub_slip_words(const snub_sweep *sweep, int pulley, const snub_locale *locale, snub_text *out);
/** A belt by its size, and the part where it goes by another name: "7PK1940 (RN-7PK1940)". */
void snub_choice_words(const snub_belt *belt, const snub_choice *choice, snub_text *out);
/** Why it has the belt that it has, in a sentence; "" where the file gives it. */
void snub_why_words(const snub_build *build, const snub_locale *locale, snub_text *out);
/** What moves: a pulley by its name, the arm as its pulley's, "tensioner.arm", as the file addresses it. */
void snub_mover_words(const snub_vibration *vibration, int mover, snub_text *out);
/** An order swings a span's tension by more than its tractive tension: it goes slack, and the numbers are too high. */
bool snub_swings_slack(const snub_vibration *vibration, const snub_vibration_point *point, int order, int span);
/** Spans that flap, tables and sentences behind an empty line. `vibration->flapping` is there. */
snub_status snub_flapping_show(const snub_vibration *vibration, const snub_look *look, snub_arena *arena,
                               snub_text *out, snub_error *error);
/** Arm and spans together, the same way. `vibration->coupled` is there. */
snub_status snub_coupled_show(const snub_vibration *vibration, const snub_look *look, snub_arena *arena, snub_text *out,
                              snub_error *error);
/** What calms a drive, the same way. `vibration->calming` is there. */
snub_status snub_calming_show(const snub_vibration *vibration, const snub_look *look, snub_arena *arena, snub_text *out,
                              snub_error *error);
/** "slack", "slips", ...; English. */
const char *snub_run_event_name(snub_run_event_kind kind);
/** Where something happened: "crank - tensioner", "blower". */
void snub_run_place_words(const snub_drive *drive, snub_run_event_kind kind, int at, snub_text *out);
/** How many findings a build has in some areas. */
int snub_areas_count(const snub_build *build, unsigned areas);

/** The shims that the verdict of a build includes, from its findings: each place with its pack, joined by "; "; nothing
 * where it includes none.
 */
void snub_shim_words(const snub_findings *findings, const snub_locale *locale, snub_text *out);
/** One of them, its numbers with the locale's decimal mark. */
void snub_pack_words(const char *pack, const snub_locale *locale, snub_text *out);

/** A build in a line: belt, part, settings where they are wanted, what differs from the file, verdict. */
void snub_build_words(const snub_build *build, bool settings, bool wet, const snub_locale *locale, snub_text *out);

/** What stands under a chart for whoever sells, English. */
const char *snub_offer_note(const snub_chart *chart);
/** Why a build that fails is not sold: which areas fail, for whoever sells; that no belt fits where it has none. */
void snub_not_sold_words(const snub_charted *build, const snub_findings *findings, const snub_locale *locale,
                         snub_text *out);

/** What the verdict of any of these builds leaves out for want of data, joined by "; "; nothing where nothing is left
 * out.
 *  @param[in] builds  count of them
 *  @param[in] chart   those of a chart too; or NULL */
void snub_unjudged_words(const snub_build *const *builds, int count, const snub_chart *chart, const snub_locale *locale,
                         snub_text *out);
/** The same for a terminal, a line each. */
void snub_unjudged_show(const snub_build *const *builds, int count, const snub_chart *chart, const snub_look *look,
                        snub_text *out);

/** What the finding of placeholders says of them. @param[in] left  count > 0 */
void snub_placeholder_words(const snub_placeholders *left, const snub_locale *locale, snub_text *out);

#endif

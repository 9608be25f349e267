/** snub/report.h - results written down: tables as text, CSV and XLSX.
 *
 *  One neutral table serves every form. A table keeps numbers as numbers and each column's unit beside its title,
 *  so that no form has to guess either. Nothing here computes; nothing here reads a drive.
 */
#ifndef SNUB_REPORT_H
#define SNUB_REPORT_H

#include "snub/draw_drive.h"
#include "snub/hardware.h"
#include "snub/kit.h"
#include "snub/locale.h"
#include "snub/parts.h"
#include "snub/scenario.h"
#include "snub/sweep.h"
#include "snub/vibration.h"

/* ---- neutral tables ------------------------------------------------------------------------------------------ */

/** Limits of a worksheet as the XLSX format sets them (ECMA-376, as every reader of it enforces them). */
enum {
    SNUB_WORKSHEET_ROWS_MOST = 1048576, /**< with the lines above the data */
    SNUB_WORKSHEET_COLUMNS_MOST = 16384,
    SNUB_WORKSHEET_TEXT_MOST = 32767, /**< characters in a cell */
    SNUB_WORKSHEET_NAME_MOST = 31     /**< characters in a worksheet's name */
};

/** What a column holds. A cell may be empty in any column. */
typedef enum snub_cell_type {
    SNUB_CELL_EMPTY = 0,
    SNUB_CELL_NUMBER, /**< in the column's unit, shown with its decimals */
    SNUB_CELL_COUNT,  /**< a whole number */
    SNUB_CELL_TEXT,   /**< UTF-8 */
    SNUB_CELL_TRUTH,  /**< yes or no */
    SNUB_CELL_LEVEL   /**< text of a snub_mark: "pass", "note", "marginal", "fail" */
} snub_cell_type;

/** How a cell is judged. Shown by colour in XLSX; in text and CSV only where a LEVEL column says it in words. */
typedef enum snub_mark {
    SNUB_MARK_NONE = 0,
    SNUB_MARK_PASS,
    SNUB_MARK_NOTE,
    SNUB_MARK_MARGINAL,
    SNUB_MARK_FAIL
} snub_mark;

typedef struct snub_cell {
    snub_cell_type type;
    snub_mark mark;
    double number;    /**< NUMBER, COUNT, TRUTH (0 or 1) */
    const char *text; /**< TEXT; NULL is empty */
} snub_cell;

typedef struct snub_column {
    const char *title; /**< "wrap of blower" */
    const char *unit;  /**< "deg"; "" or NULL for none */
    snub_cell_type type;
    int decimals; /**< NUMBER: shown in text and XLSX, 0..15; CSV writes two more; negative: shortest form */
} snub_column;

/** The cells of one row of a table that is not held as a whole.
 *  @param[out] cells  column_count of them; their texts are valid until the next row is asked for
 *  @return false: memory is out */
typedef bool (*snub_table_row)(void *context, int row, snub_cell *cells);

/** A table. `cells` holds rows * column_count cells, row by row; a table of many rows has NULL, and `row` gives them.
 *  All memory is the caller's. */
typedef struct snub_data_table {
    const char *name;  /**< worksheet's name; made legal and unique by the writer */
    const char *title; /**< a line above the table in text and XLSX; NULL for none */
    int column_count;
    const snub_column *columns;
    int row_count;
    const snub_cell *cells;
    const char *const *notes; /**< lines under the table in text and XLSX: sources, cautions */
    int note_count;
    snub_table_row row; /**< for CSV and XLSX; a row may be asked for more than once, in any order */
    void *context;
    /* as it is printed from a workbook */
    int keys;         /**< first columns that every page repeats */
    int second_group; /**< column that starts a page of its own: what is behind it is for others; 0: none */
    bool letter;      /**< on Letter, not A4 */
} snub_data_table;

/** Short forms of a cell. A number that is not finite is an empty cell: "no value". */
snub_cell snub_cell_number(double number, snub_mark mark);
snub_cell snub_cell_count(double number);
snub_cell snub_cell_text(const char *text);
snub_cell snub_cell_truth(bool yes);
snub_cell snub_cell_level(snub_mark mark);

/** The table with its numbers in the units of the locale: a column of numbers goes by the text of its unit, so that
 * none is forgotten; what has no inch form stays. Every form of a table can be made of the answer.
 *  @param[in] locale  NULL: as it is
 *  @param[out] out    shares what does not change; the rest is in the arena
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_table_in_units(const snub_data_table *table, const snub_locale *locale, snub_arena *arena,
                                snub_data_table *out, snub_error *error);

/** The table as CSV (RFC 4180): UTF-8, CRLF, a header of `title [unit]`, numbers with two digits more than the
 *  column's decimals (a column of the shortest form: with all that come back the same), empty cells empty, yes/no for
 *  truths. Reading it back gives every cell again, to those digits.
 *  Text is never changed: a cell that starts with '=' stays so.
 *  @return as snub_table_show */
snub_status snub_table_csv(const snub_data_table *table, snub_text *out, snub_error *error);

/** Several tables as one XLSX workbook, a worksheet each: the title, a frozen header of two rows (title, unit), typed
 *  cells with the column's decimals, marks by colour and, in LEVEL columns, by conditional format, so that the colour
 *  follows a later change. The same tables give the same bytes: the date of creation is fixed.
 *  libxlsxwriter assembles the file in the system's directory for temporary files ($TMPDIR); nothing stays there.
 *  @param[in,out] out  bytes of the file are appended
 *  @return SNUB_OK; SNUB_BAD_INPUT; SNUB_TOO_LARGE (a limit above; the error says which cell); SNUB_IO;
 *          SNUB_NO_MEMORY */
snub_status snub_tables_xlsx(const snub_data_table *tables, int count, snub_text *out, snub_error *error);

/** A chart's builds as one table, for CSV: every column of src/report/columns.c that the kit has, findings last.
 *  @param[in] locale  units; NULL: metric
 *  @param[in] words   holds the texts of one row at a time; the caller gives it back after the table
 *  @param[out] table  its memory is in the arena; it gives its rows one by one
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_chart_table(const snub_chart *chart, const snub_locale *locale, snub_arena *arena, snub_arena *words,
                             snub_data_table *table, snub_error *error);
/** A chart as the sheets of a workbook: the builds, first the columns for whoever sells, then those for the engineer;
 *  their findings, a row each; the belts; what the file says (every value with its line); the limits in force with
 *  their sources. Parameters as snub_chart_table.
 *  @param[out] tables  in the arena, with all that they hold; those of builds and findings give their rows one by one
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_chart_workbook(const snub_chart *chart, const snub_locale *locale, snub_arena *arena,
                                snub_arena *words, snub_data_table **tables, int *count, snub_error *error);

/** Parts as the sheets of a workbook: one for each kind that is there, with a column for every field and tolerance that
 *  any part of it has, and where each row is from.
 *  @param[out] tables  in the arena; texts are the parts'
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_parts_workbook(const snub_part_list *list, const snub_locale *locale, snub_arena *arena,
                                snub_data_table **tables, int *count, snub_error *error);
/** Parts as one table for people: key, kind, name, chief sizes in words, price, stock, source. */
snub_status snub_parts_table(const snub_part_list *list, const snub_locale *locale, snub_arena *arena,
                             snub_data_table *table, snub_error *error);
struct snub_bill;
/** A bill of materials as one table: what each part is, how many pieces each build takes, what the catalogue says of
 * it; under it the builds and what their priced parts cost. The same columns as on paper and in JSON.
 *  @param[in] catalogue  NULL: no prices
 *  @return SNUB_OK; SNUB_IO, SNUB_BAD_INPUT (of the catalogue); SNUB_NO_MEMORY */
snub_status snub_bill_table(const struct snub_bill *bill, snub_catalogue *catalogue, const snub_locale *locale,
                            snub_arena *arena, snub_data_table *table, snub_error *error);
/** The same as JSON: builds, and parts with a quantity for each.
 *  @param[out] error  filled where the catalogue cannot be read
 *  @return an object; NULL: memory is out, or the error */
struct json_t *snub_json_bill(const struct snub_bill *bill, snub_catalogue *catalogue, snub_arena *arena,
                              snub_error *error);
/** A part as JSON: key, kind, name, source, note, price, currency, stock, and its fields.
 *  @return an object; NULL where memory is out */
struct json_t *snub_json_part(const snub_part *part);

/* ---- for a terminal -------------------------------------------------------------------------------------------- */

/** What the output is read on. */
typedef struct snub_look {
    int width;                 /**< columns; 0: as wide as it gets */
    bool colour;               /**< levels in colour as well as in words */
    const snub_locale *locale; /**< units; NULL: metric. The words on a terminal are English. */
    const char *command; /**< `snub check FILE ...`, to which the options are put that show a finding's case; NULL: none
                            is shown */
} snub_look;

/** Words wrapped at blanks; ends with a line break. A word that is wider than the room stands on a line of its own.
 *  @param[in] column  where the text begins: columns used on this line already
 *  @param[in] indent  of the lines that follow
 *  @param[in] width   columns in all; 0: no wrapping */
void snub_wrap(const char *words, int column, int indent, int width, snub_text *out);

/** The table for people: columns lined up, numbers to the right, the unit under the title. Widths count characters,
 *  wide ones (East Asian) twice, marks that combine not at all. The last column, where it holds text, is wrapped into
 *  the width of the look; a table that is too wide all the same stands the titles of its numbers on two lines. Levels
 * are coloured.
 *  @param[in,out] out  appended to; out->failed tells of lack of memory
 *  @return SNUB_OK; SNUB_BAD_INPUT (a cell's type is not its column's); SNUB_NO_MEMORY */
snub_status snub_table_show(const snub_data_table *table, const snub_look *look, snub_text *out, snub_error *error);

/* ---- words of a finding ------------------------------------------------------------------------------------------ */

/** What it means and what to do about it: one or two sentences.
 *  @param[in] locale  language and units; NULL: English, metric */
void snub_finding_sentence(const snub_finding *finding, const snub_locale *locale, snub_text *out);

/** Areas as a set of bits, for those who show a part of a build's findings. */
#define SNUB_AREA_BIT(area) (1U << (area))
enum {
    SNUB_ALL_AREAS = SNUB_AREA_BIT(SNUB_AREAS_) - 1U,
    SNUB_AREAS_OF_CHECK = SNUB_ALL_AREAS & ~SNUB_AREA_BIT(SNUB_AREA_HARDWARE),
    SNUB_AREAS_OF_SWEEP = SNUB_AREA_BIT(SNUB_AREA_SLIP) | SNUB_AREA_BIT(SNUB_AREA_AIR),
    SNUB_AREAS_OF_MOTION = SNUB_AREA_BIT(SNUB_AREA_MOTION),
    SNUB_AREAS_OF_MOUNT = SNUB_AREA_BIT(SNUB_AREA_CLEARANCE) | SNUB_AREA_BIT(SNUB_AREA_HARDWARE)
};

/** Findings of some areas for people: level, rule, value and limit, where; then what it means, wrapped. */
void snub_findings_show(const snub_findings *findings, unsigned areas, const snub_look *look, snub_text *out);
/** The build's one verdict, with how many findings of each level there are, how many of them lie outside of the areas
 *  that are shown here, and which command shows those. */
void snub_verdict_show(const snub_build *build, unsigned areas, const snub_look *look, snub_text *out);

/** A build in few words, where many stand under one another: "7PK1926; wrap idler at 38.0 mm; touring; 88;
 * pass". And what those words are: "build: belt; setting; engine front; package; blower.diameter; verdict". */
void snub_legend_words(const snub_build *build, const snub_locale *locale, snub_text *out);
void snub_legend_head(const snub_build *build, const snub_locale *locale, snub_text *out);

/** Words for the options that choose a shown case, each ended by NULL: by snub_way, by snub_shown_belt, and of the
 * arm's friction from low to high. */
extern const char *const snub_way_options[], *const snub_belt_options[], *const snub_friction_options[];
/** By snub_warmth, as JSON has them. */
extern const char *const snub_warmth_words[];

struct snub_default;
/** Values left to defaults: those that decide in full, and how many there are.
 *  @param[in] defaults  listed, tried or not (snub/defaults.h) */
void snub_text_defaults(const struct snub_default *defaults, int count, const snub_look *look, snub_text *out);

/** A check for people.
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_text_check(const snub_build *build, const snub_state *state, const snub_look *look, snub_text *out,
                            snub_error *error);
/** The belt for a wished arm angle, and a table of those that the arm can hold.
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_text_reach(const snub_build *build, const snub_reach *reach, const snub_look *look, snub_text *out,
                            snub_error *error);
/** A chart for people, a table for each variant.
 *  @param[in] all_findings  list the findings of every build below */
snub_status snub_text_chart(const snub_chart *chart, const snub_look *look, bool all_findings, snub_text *out,
                            snub_error *error);
/** One way of a sweep as a table: a row for each `step`-th speed, the last one always.
 *  @param[in] pulleys  with torque, tensions, grip, speed, hub load and slip of every pulley beside
 *  @param[out] table  in arena memory
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_sweep_table(const snub_sweep *sweep, snub_way way, int step, bool pulleys, snub_arena *arena,
                             snub_data_table *table, snub_error *error);
/** A blower pulley on offer: "84.0 mm takes 7PK1920, 60 kPa at redline, no slip up to redline, verdict pass".
 *  @param[in] wet  it was swept with a wet belt */
void snub_offer_words(const snub_pulley_offer *offer, bool wet, const snub_locale *locale, snub_text *out);
/** A sweep for people: the table of one way, where what slips, findings, what the estimate assumes, pulleys on offer.
 */
snub_status snub_text_sweep(const snub_sweep *sweep, snub_way way, const snub_pulley_offer *offers, int offer_count,
                            const snub_look *look, snub_text *out, snub_error *error);

/** A run: what happened, extremes of spans, pulleys and arm, energy. */
snub_status snub_text_scenario(const snub_scenario_run *run, const snub_look *look, snub_text *out, snub_error *error);
/** A run as columns over time, a row for each sample; asks the run for its rows, so it must stay. */
snub_status snub_scenario_table(snub_scenario_run *run, snub_arena *arena, snub_data_table *table, snub_error *error);
/** A build in motion for people: natural frequencies with what moves, spans over the rev range, inertias assumed.
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_text_vibration(const snub_vibration *vibration, const snub_look *look, snub_text *out,
                                snub_error *error);
/** Hardware for people: planes and shims, standoffs, mounts with the order of tightening, bearings, findings, cautions.
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_text_hardware(const snub_build *build, const snub_look *look, snub_text *out, snub_error *error);
/** One of several that are compared with the first: a build, or a mount of it. */
typedef struct snub_compared {
    const char *name; /**< as the user calls it */
    const snub_build *build;
    const snub_difference *differences; /**< from the first; not read of the first itself */
    int count;
} snub_compared;

/** Each with its build and verdict; what differs from the first, and in words what is better and what is worse.
 *  @param[in] sides  >= 2, at most 26
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_text_compared(const snub_compared *of, int sides, const snub_look *look, snub_text *out,
                               snub_error *error);

/* ---- readings taken at an engine ----------------------------------------------------------------------------------
 */

struct snub_centres;
struct snub_effect;
/** Centres for people: where they are and how sure that is, readings, what is suspect, what to measure next, what it
 * does to the drive.
 *  @param[in] effect  NULL: no drive
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_text_centres(const struct snub_centres *centres, const struct snub_effect *effect,
                              const snub_look *look, snub_text *out, snub_error *error);
/** The same as JSON. @return NULL: no memory */
struct json_t *snub_json_centres(const struct snub_centres *centres, const struct snub_effect *effect);
/** Centres as a piece of a drive file, to be pasted: a variant `measured` of the drive file that the readings name,
 *  else the list `pulleys`; errors in comments. */
void snub_fragment_centres(const struct snub_centres *centres, const snub_locale *locale, snub_text *out);

struct snub_spring;
/** A spring from torques for people. @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_text_spring(const struct snub_spring *spring, const snub_look *look, snub_text *out,
                             snub_error *error);
/** The same as JSON. @return NULL: no memory */
struct json_t *snub_json_spring(const struct snub_spring *spring);
/** The keys of an arm in a drive file, to be pasted; errors in comments. */
void snub_fragment_spring(const struct snub_spring *spring, const snub_locale *locale, snub_text *out);

struct snub_plucks;
/** Tension from plucked spans for people. @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_text_plucks(const struct snub_plucks *plucks, const snub_look *look, snub_text *out,
                             snub_error *error);
/** The same as JSON. @return NULL: no memory */
struct json_t *snub_json_plucks(const struct snub_plucks *plucks);

struct snub_fitted;
/** What fitted belts say of the drive file, for people. @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_text_fitted(const struct snub_fitted *fitted, const snub_look *look, snub_text *out,
                             snub_error *error);
/** The same as JSON. @return NULL: no memory */
struct json_t *snub_json_fitted(const struct snub_fitted *fitted);

struct snub_spread;
/** Strips, balls and worn belts for people. @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_text_spread(const struct snub_spread *spread, const snub_look *look, snub_text *out,
                             snub_error *error);
/** The same as JSON. @return NULL: no memory */
struct json_t *snub_json_spread(const struct snub_spread *spread);

struct snub_circles;
/** Circles of a sketch or a scan for people: place, size and how sure they are, points that stand out, which pulley is
 *  which, what was passed over. @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_text_circles(const struct snub_circles *circles, const snub_look *look, snub_text *out,
                              snub_error *error);
/** The same as JSON. @return NULL: no memory */
struct json_t *snub_json_circles(const struct snub_circles *circles);
/** The same as a piece of a drive file, to be pasted: a variant `measured` with the places of the pulleys that were
 *  found, else the list `pulleys`; what is not known is in comments, as obstacles. */
void snub_fragment_circles(const struct snub_circles *circles, const snub_locale *locale, snub_text *out);

/* ---- pictures -------------------------------------------------------------------------------------------------- */

/** A view of a build (snub_view_of_build) with its words: row, verdict, fingerprint, and a warning across it where the
 *  build fails or the state has no balance.
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_build_view(const snub_build *build, const snub_state *state, const snub_locale *locale,
                            snub_arena *arena, snub_view *view, snub_error *error);

/* ---- JSON ------------------------------------------------------------------------------------------------------ */

struct json_t; /* jansson's; the caller gives it back with json_decref. snub/json.h makes text of it. */

/* Numbers are metric, and their keys end in the unit, whatever the locale: programs read them. `locale` is for the
 * sentences alone; NULL: English, metric. */

/** A build and a state of it: the keys of `snub check --json`. Lengths in mm, angles in deg; the unit is in each key.
 *  A build without equilibrium has empty `pulleys` and `spans`, and says why in `findings`. Findings and verdict are
 * the whole build's, whatever the state; null where nothing was judged.
 *  @return an object; NULL where memory is out */
struct json_t *snub_json_check(const snub_build *build, const snub_state *state, const snub_locale *locale);
/** The same without `contents`, which does not hang on the state: what the page is sent of each frame. */
struct json_t *snub_json_frame(const snub_build *build, const snub_state *state, const snub_locale *locale);
/** The belt for a wished arm angle: the key `wished_arm` of `snub check --arm N --json`. */
struct json_t *snub_json_reach(const snub_reach *reach);
/** Values left to defaults: an array; null under `decides`, `low` and `high` where they were not tried. */
struct json_t *snub_json_defaults(const struct snub_default *defaults, int count);
/** A chart: the keys of `snub chart --json`. */
struct json_t *snub_json_chart(const snub_chart *chart, const snub_locale *locale);
/** The same as text, build by build, as snub_json_text would write all of it.
 *  @param[in] hints  stands last under that key; NULL: none
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_json_chart_text(const snub_chart *chart, const snub_locale *locale, struct json_t *hints,
                                 snub_text *out, snub_error *error);
/** A sweep: speeds, ways of running, points with their pulleys; the build's findings. Offers where there are any.
 *  @return an object; NULL where memory is out */
struct json_t *snub_json_sweep(const snub_sweep *sweep, const snub_pulley_offer *offers, int offer_count,
                               const snub_locale *locale);
/** A build in motion: the keys of `snub motion --json`. @return an object; NULL: no memory */
struct json_t *snub_json_vibration(const snub_vibration *vibration, const snub_locale *locale);
struct json_t *snub_json_scenario(const snub_scenario_run *run, const snub_locale *locale);
/** One blower pulley on offer, as a sweep has it. @return as snub_json_sweep */
struct json_t *snub_json_offer(const snub_pulley_offer *offer);
/** Hardware: planes, shims, obstacles, standoffs, mounts, bearings; the build's findings.
 *  @return an object; NULL: no memory */
struct json_t *snub_json_hardware(const snub_build *build, const snub_locale *locale);
/** Builds with name and verdict; of each but the first what differs from it (subject, what, a, b, unit, verdict) and
 * the words. Two stand as `a`, `b` and `differences` as well. @return NULL: no memory */
struct json_t *snub_json_compared(const snub_compared *of, int sides, const snub_locale *locale);

#endif

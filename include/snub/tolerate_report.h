/** snub/tolerate_report.h - what tolerances do to the kits of a build, written down. Room: report. */
#ifndef SNUB_TOLERATE_REPORT_H
#define SNUB_TOLERATE_REPORT_H

#include "snub/report.h"
#include "snub/worst_case.h"

/** All that is reported. */
typedef struct snub_tolerate_answer {
    const snub_tolerated *tolerated;
    const char *file;                        /**< the drive file's name, as it was given */
    const snub_contributions *contributions; /**< NULL: not asked for */
    const snub_worst_cases *worst;           /**< NULL: the study was stopped before */
} snub_tolerate_answer;

/** Of several builds of one file. */
typedef struct snub_tolerate_builds {
    int count;                           /**< answered */
    const snub_tolerate_answer *answers; /**< in the order of the chart; one without a belt has no kits */
    const int *number;                   /**< of each: its number in the chart, from 1 */
    int asked;                           /**< builds that were to be answered */
    bool stopped;                        /**< in the last one, by Control-C; the rest is missing */
    const char *file;                    /**< as it was given */
} snub_tolerate_builds;

/** For people: how many fail, by which rules, how far numbers scatter, how to look at a kit that fails.
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_text_tolerate(const snub_tolerate_answer *answer, const snub_look *look, snub_arena *arena,
                               snub_text *out, snub_error *error);
/** build, samples, seed, stopped, precise, verdicts, failing, rules, numbers, distributions, capability, worst_case,
 * tolerances, contributions.
 * @return NULL: no memory */
struct json_t *snub_json_tolerate(const snub_tolerate_answer *answer, snub_arena *arena);
/** A table of builds: share of kits that fail, the rule that fails most, the number nearest its limit.
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_text_tolerate_builds(const snub_tolerate_builds *of, const snub_look *look, snub_arena *arena,
                                      snub_text *out, snub_error *error);
/** builds (each as snub_json_tolerate, with `number`), rules of all of them, asked, stopped. @return NULL: no memory */
struct json_t *snub_json_tolerate_builds(const snub_tolerate_builds *of, snub_arena *arena);
/** The first sentence: how many of the kits fail, with the interval, how many are marginal and pass. Appended. */
void snub_tolerate_sentence(const snub_tolerated *tolerated, const snub_locale *locale, snub_text *out);
/** Of a study that goes on: {"kits", "failing"}, as above. @return NULL: no memory */
struct json_t *snub_json_tolerate_so_far(const snub_tolerated *tolerated);
/** The kits as a table for CSV: number, verdict, the rules that fail and that are marginal, numbers, every value by the
 * path that --set takes, in bare units.
 *  @param[in] words   holds the texts of one row at a time; the caller gives it back after the table
 *  @param[out] table  in the arena; it gives its rows one by one
 *  @return false: memory is out */
bool snub_tolerate_table(const snub_tolerate_answer *answer, snub_arena *arena, snub_arena *words,
                         snub_data_table *table);

/** The kits of all builds, with `build` (its number in the chart) and `code` before the columns of the table of one; a
 * value that a build does not have is empty. Otherwise as snub_tolerate_table. */
bool snub_tolerate_builds_table(const snub_tolerate_builds *of, snub_arena *arena, snub_arena *words,
                                snub_data_table *table);

#endif

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

/** For people: how many fail, by which rules, how far numbers scatter, how to look at a kit that fails.
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_text_tolerate(const snub_tolerate_answer *answer, const snub_look *look, snub_arena *arena,
                               snub_text *out, snub_error *error);
/** build, samples, seed, stopped, precise, verdicts, failing, rules, numbers, distributions, capability, worst_case,
 * tolerances, contributions.
 * @return NULL: no memory */
struct json_t *snub_json_tolerate(const snub_tolerate_answer *answer, snub_arena *arena);
/** The kits as a table for CSV: number, verdict, the rules that fail and that are marginal, numbers, every value by the
 * path that --set takes, in bare units.
 *  @param[in] words   holds the texts of one row at a time; the caller gives it back after the table
 *  @param[out] table  in the arena; it gives its rows one by one
 *  @return false: memory is out */
bool snub_tolerate_table(const snub_tolerate_answer *answer, snub_arena *arena, snub_arena *words,
                         snub_data_table *table);

#endif

/** snub/fit_report.h - what a fit to logs says, written down. Room: report. */
#ifndef SNUB_FIT_REPORT_H
#define SNUB_FIT_REPORT_H

#include "snub/report.h"
#include "snub/trace_fit.h"

/** A log that was fitted. */
typedef struct snub_fitted_log {
    const char *name;
    int readings;
    unsigned doubts; /**< bits of snub_log_doubt */
    double drift;    /**< width of what its ratio moves by, fraction */
} snub_fitted_log;

/** All that is reported. */
typedef struct snub_fit_answer {
    const snub_fit *fit;
    int log_count;
    const snub_fitted_log *logs;
    const snub_chart *before, *after; /**< of all builds, with the file's values and with what is told; NULL: neither */
    const char *written;              /**< the file that has the values now; NULL: none */
} snub_fit_answer;

/** Fail: the belt slips in the logs. Marginal: a value that was asked for is not told, or a log is in doubt. */
snub_level snub_fit_level(const snub_fit_answer *answer);
/** For people, in the look's language. @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_text_fit(const snub_fit_answer *answer, const snub_look *look, snub_text *out, snub_error *error);
/** build, logs, readings, slipping, fit, correlation, combinations, friction_law, chart, verdict. @return NULL: no
 * memory
 */
struct json_t *snub_json_fit(const snub_fit_answer *answer, const snub_locale *locale);
/** One line for the drive file: when it was fitted, to which logs, and its 95 %; no line's end.
 *  @param[in] day  "2026-01-31" */
void snub_fit_comment(const snub_fit_answer *answer, snub_fit_what what, const char *day, snub_text *out);
/** A value as a drive file writes it, with the unit of a bare number. */
void snub_fit_written(snub_fit_what what, double value, snub_text *out);

#endif

/** snub/trace_report.h - what a log says, written down. Room: report. */
#ifndef SNUB_TRACE_REPORT_H
#define SNUB_TRACE_REPORT_H

#include "snub/draw.h"
#include "snub/report.h"
#include "snub/trace.h"

/** For people, in the look's language. @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_text_log(const snub_log_answer *answer, const snub_look *look, snub_text *out, snub_error *error);
/** rows, bad_rows, columns, calibration, pulls, gear_changes, slips, verdict. @return an object; NULL: no memory */
struct json_t *snub_json_log(const snub_log_answer *answer, const snub_locale *locale);
/** What snub_log_plot draws: {"time_s":[...],"series":[{"kind","name","unit","low":[...],"high":[...]}]}, kinds speed,
 *  slip and, where the log has it, boost. @return an object; NULL: no memory */
struct json_t *snub_json_log_curves(const snub_log_answer *answer);
/** Slips, a row each, metric. @param[out] table  in the arena @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_log_table(const snub_log_answer *answer, snub_arena *arena, snub_data_table *table, snub_error *error);
/** Speeds and slip over time, low and high of each stretch, with what the build would do.
 *  @param[in] title  of the log
 *  @return SNUB_OK; SNUB_BAD_INPUT; SNUB_NO_MEMORY */
snub_status snub_log_plot(const snub_log_answer *answer, const char *title, const snub_locale *locale,
                          snub_arena *arena, snub_drawing *drawing, snub_error *error);

#endif

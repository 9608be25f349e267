/** What the texts of readings share. Private to src/report. */
#ifndef SNUB_REPORT_MEASURE_WORDS_H
#define SNUB_REPORT_MEASURE_WORDS_H

#include "snub/report.h"

/** The title of a file of readings, where it has one. */
void snub_readings_title(const char *title, const snub_look *look, snub_text *out);
/** @param[in] cells  of `rows` rows; NULL: memory is out */
snub_status snub_readings_table(const char *name, const snub_column *columns, int column_count, int rows,
                                const snub_cell *cells, const snub_look *look, snub_text *out, snub_error *error);
/** The verdict, and the end of the arena. @return `status`; SNUB_NO_MEMORY */
snub_status snub_readings_end(snub_status status, snub_level level, snub_arena *arena, snub_text *out,
                              snub_error *error);

/** A paragraph, printf-style, wrapped into the look's width. */
void snub_wrapped(const snub_look *look, snub_text *out, const char *format, ...) __attribute__((format(printf, 3, 4)));

/* ---- pieces of a drive file ----------------------------------------------------------------------------------------
 */

/** A length as a drive file has it, in the reader's unit. @param[in] decimals  of mm */
void snub_fragment_length(double si, int decimals, const snub_locale *locale, snub_text *out);
/** YAML takes a name in double quotes, whatever it has in it. */
void snub_fragment_name(const char *name, snub_text *out);

#endif

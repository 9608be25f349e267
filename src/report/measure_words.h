/** What the texts of readings share. Private to src/report. */
#ifndef SNUB_REPORT_MEASURE_WORDS_H
#define SNUB_REPORT_MEASURE_WORDS_H

#include "snub/report.h"

/** A paragraph, printf-style, wrapped into the look's width. */
void snub_wrapped(const snub_look *look, snub_text *out, const char *format, ...) __attribute__((format(printf, 3, 4)));

#endif

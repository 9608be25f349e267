/** fit_words.h - sentences about a fit. Private to src/report. */
#ifndef SNUB_REPORT_FIT_WORDS_H
#define SNUB_REPORT_FIT_WORDS_H

#include "snub/fit_report.h"

/** "limit friction", ...; English, to be translated. */
const char *snub_fit_name(snub_fit_what what);
snub_unit snub_fit_unit(snub_fit_what what);
int snub_fit_decimals(snub_fit_what what);
/** "yes", "at_least", "together", "no": for JSON. */
const char *snub_fit_told_id(snub_fit_told told);
/** A value in a sentence: what it was, what it is, how sure. */
void snub_fit_value_words(const snub_fit *fit, snub_fit_what what, const snub_locale *locale, snub_text *out);
/** Which log would tell it; "" where it is told. */
void snub_fit_advice_words(const snub_fit *fit, snub_fit_what what, const snub_locale *locale, snub_text *out);
/** Constant friction against one that falls. */
void snub_fit_evidence_words(const snub_fit *fit, const snub_locale *locale, snub_text *out);

#endif

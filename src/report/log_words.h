/** log_words.h - sentences about a log. Private to src/report. */
#ifndef SNUB_REPORT_LOG_WORDS_H
#define SNUB_REPORT_LOG_WORDS_H

#include "snub/trace_report.h"

/** Ids of the doubts and of what the check says, for JSON and CSV. */
const char *snub_log_doubt_id(int bit);
const char *snub_log_says_id(snub_log_says says);
/** @return NULL: the speed was measured */
const char *snub_log_alike_id(snub_log_alike alike);
const char *snub_log_fit_id(snub_log_fit fit);
/** What a log is held against: the drive's title, the belt, what differs from the file; an empty line. */
void snub_log_build_words(const snub_build *build, const snub_look *look, snub_text *out);
/** A slip in a sentence or two. */
void snub_log_slip_words(const snub_log_answer *answer, const snub_log_slip *slip, const snub_locale *locale,
                         snub_text *out);
/** The ratio of the log against the build's, and what it comes to. */
void snub_log_ratio_words(const snub_log_answer *answer, const snub_locale *locale, snub_text *out);
/** Lag, noise, threshold, drift. */
void snub_log_noise_words(const snub_log_answer *answer, const snub_locale *locale, snub_text *out);
/** How many rows, of which how many are bad and why; samples that were left out. */
void snub_log_rows_words(const snub_log_answer *answer, const snub_locale *locale, snub_text *out);
/** Why the verdict is what it is, where nothing slips; "" where it passes. */
void snub_log_doubt_words(const snub_log_answer *answer, const snub_locale *locale, snub_text *out);

#endif

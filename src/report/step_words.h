/** step_words.h - steps of fitting in words, for the room's own use. */
#ifndef SNUB_REPORT_STEP_WORDS_H
#define SNUB_REPORT_STEP_WORDS_H

#include "snub/steps.h"
#include "words.h"

/** What a step says: one sentence or several. */
void snub_step_sentence(const snub_build *build, const snub_step *step, const snub_locale *locale, snub_text *out);
/** "A2 +44 cents"; nothing where no tuner hears it. @param[in] frequency  Hz */
void snub_note_words(double frequency, const snub_locale *locale, snub_text *out);

#endif

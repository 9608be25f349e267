/** words.h - findings in words, for the room's own use. */
#ifndef SNUB_REPORT_WORDS_H
#define SNUB_REPORT_WORDS_H

#include "snub/report.h"

/** "at 6200 rpm, rising, longest belt, worn, arm friction low" */
void snub_condition_words(const snub_condition *condition, const snub_locale *locale, snub_text *out);
/** What `other` names: "span crank - pump", "idler plate, upper". */
void snub_finding_other(const snub_finding *finding, const snub_locale *locale, snub_text *out);
/** "1.23, limit 1.00"; nothing where there is no value. */
void snub_finding_numbers(const snub_finding *finding, const snub_locale *locale, snub_text *out);
/** Words with {places}, translated, their places filled. */
void snub_words_fill(const char *english, const snub_named *named, int count, const snub_locale *locale,
                     snub_text *out);
snub_named snub_named_number(const char *place, double si, snub_unit unit, int decimals);
/** Text that stands as it is: a name of the file. */
snub_named snub_named_text(const char *place, const char *text);
/** English that is translated. */
snub_named snub_named_words(const char *place, const char *english);
/** In which order the bolts of a mount are tightened, a sentence or two. */
void snub_tightening_words(const snub_mount_result *mount, const snub_locale *locale, snub_text *out);
/** Text that was built, as a copy in the arena; the text is freed. NULL where memory is out. */
char *snub_words_copy(snub_text *text, snub_arena *arena);

#endif

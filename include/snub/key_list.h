/** snub/key_list.h - the list of the drive file's keys (snub/keys.h), for people and for programs. */
#ifndef SNUB_KEY_LIST_H
#define SNUB_KEY_LIST_H

#include "snub/keys.h"
#include "snub/report.h"

/** A list of objects: key (its pattern), path, kind, needed, means (in the language of `locale`; NULL: left out); where
 * it has them unit and us_unit, least and most of a bare number (null: another value of the file sets them), second
 * (column of a table), count [least, most], words, unit_needed, closed, default, source, usual, measure, and value,
 * line and part of what the file has. @return NULL: no memory */
struct json_t *snub_json_keys(const snub_file_key *keys, const struct snub_locale *locale);

/** The same for a terminal, by sections; what each means is on lines of its own.
 *  @param[in] words  NULL-terminated; keys that have them all in their names; none of them: every key
 *  @return how many were written */
int snub_text_keys(const snub_file_key *keys, const char *const *words, const snub_look *look,
                   const struct snub_locale *locale, snub_text *out);

#endif

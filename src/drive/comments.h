/** src/drive/comments.h - comments of a text, found by its lines (inside src/drive only). */
#ifndef SNUB_DRIVE_COMMENTS_H
#define SNUB_DRIVE_COMMENTS_H

#include <stdbool.h>
#include <stddef.h>

/** Comment of a line, from its '#' on, or NULL. A '#' in a quoted text may be taken for one: then more is looked for
 *  than need be. */
const char *snub_line_comment(const char *line, const char *end);
/** Does a text contain a piece, which is not empty? */
bool snub_bytes_contain(const char *text, size_t length, const char *piece, size_t size);

#endif

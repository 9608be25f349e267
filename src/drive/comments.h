/** src/drive/comments.h - comments of a text, found by its lines (inside src/drive only). */
#ifndef SNUB_DRIVE_COMMENTS_H
#define SNUB_DRIVE_COMMENTS_H

#include <stdbool.h>
#include <stddef.h>

/** The next comment of a text, from its '#' to the end of its line. A '#' in a quoted text may be taken for one: then
 *  more is looked for than need be.
 *  @param[in,out] line  begin of a line; then of the one after the comment's
 *  @return NULL: there is no more */
const char *snub_next_comment(const char **line, const char *end, size_t *size);
/** Does a text contain a piece, which is not empty?
 *  @param[in,out] last  where the one before was found, which is where the next most likely follows; NULL at first */
bool snub_bytes_contain(const char *text, size_t length, const char *piece, size_t size, const char **last);

#endif

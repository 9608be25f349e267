/** src/drive/lines.h - two texts that were changed from one, brought together by their lines (inside src/drive only).
 */
#ifndef SNUB_DRIVE_LINES_H
#define SNUB_DRIVE_LINES_H

#include "snub/base.h"

/** A whole text. */
typedef struct snub_side_text {
    const char *data;
    size_t length;
} snub_side_text;

/** What stands where both sides changed the same lines. */
typedef enum snub_lines_prefer {
    SNUB_LINES_BOTH, /**< lines that both put in at one place: theirs, then mine; other lines theirs */
    SNUB_LINES_THEIRS,
    SNUB_LINES_MINE
} snub_lines_prefer;

/** Bring two sides together.
 *  @param[out] out    appended
 *  @param[out] clash  places where both sides changed the same lines, or put some in at the same place
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_lines_merge(snub_side_text base, snub_side_text mine, snub_side_text theirs, snub_lines_prefer prefer,
                             snub_text *out, int *clash);

#endif

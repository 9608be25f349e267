/** src/drive/edit_rename.h - a key of a map gets another name in the text (inside src/drive only). */
#ifndef SNUB_DRIVE_EDIT_RENAME_H
#define SNUB_DRIVE_EDIT_RENAME_H

#include "snub/drive.h"

/** The text with the new name for a key, and wherever packages name that variant or option.
 *  @param[in] in,index  the map and its key. @param[in] name  the new one, which the map has not
 *  @param[out] out  the new text, appended; out->failed where memory is out
 *  @param[out] meant  the tree that it must mean; in the arena
 *  @return SNUB_OK; SNUB_BAD_INPUT (an empty name); SNUB_NO_MEMORY */
snub_status snub_edit_rename(const snub_document *document, const snub_node *in, int index, const char *name,
                             snub_arena *arena, snub_text *out, const snub_node **meant, snub_error *error);

#endif

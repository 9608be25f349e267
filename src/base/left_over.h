/** src/base/left_over.h - files that a killed writer leaves in a folder (inside src/base only).
 *
 *  Two kinds. `.snub-save-PROCESS-NUMBER` holds a new content on its way to its place; its writer has it locked.
 *  `.snub-swap-PROCESS-OLD-NEW-NAME` is about to change places with the file NAME, or has just done so; the writer has
 *  the folder locked. OLD and NEW are digests of what was there and of what comes: what the file holds tells which of
 *  the two it is, or that another program has written in between, whose work must not be lost. */
#ifndef SNUB_BASE_LEFT_OVER_H
#define SNUB_BASE_LEFT_OVER_H

#include <stdbool.h>
#include <stddef.h>

#define SNUB_SAVE_PREFIX ".snub-save-"
#define SNUB_SWAP_PREFIX ".snub-swap-"
enum { SNUB_MARK_ROOM = 17 /**< hex digits of a content's mark, and a NUL */ };

/** Remove what is left over in a folder whose lock the caller holds. @return how many */
int snub_left_over_clear(int folder, bool locked);
/** Is the open file the one of this name? */
bool snub_still_named(int file, int at, const char *name);
/** Let two names change places at once, as renameat2 does. @return 0 or an errno (EINVAL, ENOSYS: cannot be done here)
 */
int snub_exchange(int folder, const char *a, const char *b);
/** Rename where nothing has the new name. @return 0 or an errno (EEXIST; EINVAL: cannot be done here) */
int snub_rename_new(int folder, const char *from, const char *to);
/** Remove a file, and what SQLite keeps beside one that it writes. @return whether the file is gone */
bool snub_left_over_unlink(int folder, const char *path);
/** Short mark of a content. */
void snub_mark_bytes(const char *data, size_t length, char mark[SNUB_MARK_ROOM]);

#endif

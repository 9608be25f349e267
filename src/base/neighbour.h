/** src/base/neighbour.h - a file beside another, in which a new content is made ready before it takes the other's place
 *  (inside src/base only).
 *
 *  A program that is killed meanwhile leaves its neighbour behind. The lock on it tells the dead from the living: it
 *  goes with the program, on every file system that knows locks, whatever the numbers of processes mean there. */
#ifndef SNUB_BASE_NEIGHBOUR_H
#define SNUB_BASE_NEIGHBOUR_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>
#include <sys/stat.h>

#include "file_links.h"
#include "snub/base.h"

enum {
    SNUB_NEIGHBOUR_DIFFERS = -1 /**< in place of an errno: what is on the disk is not what was written */
};

/** What is to be written: what a text has spilled, then bytes. */
typedef struct snub_content {
    FILE *spilled; /**< flushed; NULL: nothing */
    const char *data;
    size_t length;
} snub_content;
/** @return 0 or an errno */
int snub_content_write(const snub_content *what, int file);

typedef struct snub_neighbour {
    int at;   /**< folder that the path starts from: a descriptor, or AT_FDCWD */
    int file; /**< open and locked; -1: none */
    char path[SNUB_PATH_MOST];
} snub_neighbour;

/** Remove what dead writers left in the folder of `target`, then create a locked file there.
 *  @param[in] old  owner and permissions are taken from it; NULL: by the umask
 *  @return 0 or an errno; then there is no file */
int snub_neighbour_open(int at, const char *target, const struct stat *old, snub_neighbour *neighbour);
/** Write all of it, bring it to the disk, and read it back.
 *  @return 0, an errno, or SNUB_NEIGHBOUR_DIFFERS */
int snub_neighbour_fill(const snub_neighbour *neighbour, const snub_content *what);
/** Put it in the target's place, and close it. @return 0 or an errno; then the neighbour is still there */
int snub_neighbour_move(snub_neighbour *neighbour, const char *target);
/** The same where nothing has the target's name. @return adds EEXIST */
int snub_neighbour_move_new(snub_neighbour *neighbour, const char *target);
/** Remove it, with what SQLite keeps beside it, and close it. May be called after any of the above; another file that
 * has its name by now stays. */
void snub_neighbour_drop(snub_neighbour *neighbour);

/** The reason in words.
 *  @param[in] path  as the user knows the file; the error points at it
 *  @param[in] code  as the functions above give it
 *  @return SNUB_IO */
snub_status snub_not_written(snub_error *error, const char *path, int code);
/** A rename is on the disk only when its folder is. Not every file system can do it, so a refusal is not an error. */
void snub_folder_sync(int at, const char *target);
/** write() may take less than it was given. @return 0 or an errno */
int snub_write_all(int file, const char *data, size_t length);

#endif

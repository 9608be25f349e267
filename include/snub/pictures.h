/** snub/pictures.h - files that a drive file or a house file names: a logo, pictures of steps. Room: drive.
 *
 *  The rooms open no files: whoever reads hands in how. What the bytes show is for `report` to say.
 */
#ifndef SNUB_PICTURES_H
#define SNUB_PICTURES_H

#include "snub/drive.h"

enum { SNUB_PICTURE_BYTES_MOST = 1 << 20 };

/** Reads a file that another file names. */
typedef struct snub_file_source {
    /** @param[in] from  name of the file that names it
     *  @param[in] role  "house file", "logo", "picture of a step"
     *  @param[out] shown  the path by which messages call it; arena memory
     *  @param[out] data  arena memory
     *  @return SNUB_OK; SNUB_IO, SNUB_TOO_LARGE, SNUB_BAD_INPUT (error filled); SNUB_STOPPED: told; SNUB_NO_MEMORY */
    snub_status (*read)(void *context, const char *from, const char *role, const char *path, size_t most,
                        snub_arena *arena, const char **shown, const char **data, size_t *length, snub_error *error);
    void *context;
} snub_file_source;

/** A picture by the name that a file gives it. */
typedef struct snub_picture_file {
    const char *name; /**< as written; NULL: there is none */
    snub_place place; /**< where it is named first */
    const char *data;
    size_t length;
} snub_picture_file;

/** Pictures of steps. */
typedef struct snub_pictures {
    int count, room;
    snub_picture_file *items;
    char digest[65]; /**< of their names and bytes; "" where there are none */
} snub_pictures;

/** Read every picture that a drive file names for a step, also in packages, variants and options, and those of values
 *  that are laid over it.
 *  @param[out] pictures  each name once; arena memory
 *  @return SNUB_OK; SNUB_IO, SNUB_TOO_LARGE (errors filled: all that cannot be read); SNUB_STOPPED; SNUB_NO_MEMORY */
snub_status snub_pictures_read(const snub_document *document, const snub_overlay *overlays, int overlay_count,
                               const snub_file_source *files, snub_arena *arena, snub_pictures *pictures,
                               snub_errors *errors);
/** NULL: it was not read. */
const snub_picture_file *snub_pictures_find(const snub_pictures *pictures, const char *name);

#endif

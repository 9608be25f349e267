/** Files that a drive file or a house file names (inside src/drive only). */
#ifndef SNUB_DRIVE_NAMED_FILE_H
#define SNUB_DRIVE_NAMED_FILE_H

#include "snub/pictures.h"

/** Where a file names another. */
typedef struct snub_naming {
    const char *from;        /**< name of the file that names it, which the path is relative to; NULL: none does */
    const char *role, *key;  /**< "house file", `house` */
    const snub_place *place; /**< NULL: on the command line */
    size_t most;             /**< bytes */
} snub_naming;

/** Read it; one that cannot be read is an error at the place that names it.
 *  @param[out] shown,data,length  as of the source
 *  @return as the source; errors filled but for SNUB_STOPPED and SNUB_NO_MEMORY */
snub_status snub_named_file(const snub_file_source *files, const snub_naming *naming, const char *path,
                            snub_arena *arena, const char **shown, const char **data, size_t *length,
                            snub_errors *errors);

#endif

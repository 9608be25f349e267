/** The folder that is served, and nothing outside of it. */
#ifndef SNUB_SERVE_FOLDER_H
#define SNUB_SERVE_FOLDER_H

#include "snub/base.h"

enum {
    SERVE_ETAG_ROOM = 40,
    SERVE_FILES_MOST = 500,
    SERVE_SETTLE_MS = 200 /**< that a reader waits for a program that is writing the file */
};

typedef struct serve_folder {
    int descriptor; /**< of the folder; -1 closed */
    char *path;     /**< real path; malloc'd */
    char *first;    /**< name of the file that was asked for, under the folder; malloc'd */
} serve_folder;

/** Take the folder of a drive file, or a folder itself (then `first` is its first drive file, or NULL).
 *  A symbolic link named on the command line is the user's choice and is followed.
 *  @return SNUB_OK; SNUB_IO */
snub_status serve_folder_open(const char *path, serve_folder *folder, snub_error *error);
void serve_folder_close(serve_folder *folder);

/** Read a drive file. Every part of the name is opened without following links. Waits a little for a program that is
 *  writing it; after SERVE_SETTLE_MS what is there is taken.
 *  @param[out] data  malloc'd
 *  @param[out] etag  quoted, of the content
 *  @return SNUB_OK; SNUB_BAD_INPUT (no such name here); SNUB_IO; SNUB_TOO_LARGE; SNUB_NO_MEMORY */
snub_status serve_folder_read(const serve_folder *folder, const char *name, char **data, size_t *length,
                              char etag[SERVE_ETAG_ROOM], snub_error *error);
/** The same, to bring it together with what is saved: never half of what another program is writing.
 *  @return as above; SNUB_IO, with words, where that program does not come to an end */
snub_status serve_folder_read_to_save(const serve_folder *folder, const char *name, char **data, size_t *length,
                                      char etag[SERVE_ETAG_ROOM], snub_error *error);
/** The same for a blower's map beside a drive file. */
snub_status serve_folder_read_map(const serve_folder *folder, const char *name, char **data, size_t *length,
                                  snub_error *error);
/** ETag of a content: strong, quoted. Tells changes apart, keeps no secrets. */
void serve_etag(const char *data, size_t length, char etag[SERVE_ETAG_ROOM]);

/** What a file holds. */
typedef struct serve_content {
    char *data; /**< malloc'd */
    size_t length;
} serve_content;

/** Write a new drive file.
 *  @return SNUB_OK; SNUB_STOPPED (there is something of that name); SNUB_BAD_INPUT (the name will not do, or its folder
 *          is not there); SNUB_IO; SNUB_NO_MEMORY, each with words */
snub_status serve_folder_create(const serve_folder *folder, const char *name, const char *data, size_t length,
                                snub_error *error);
/** May it be written, before anything is made for it? What comes between is seen when it is written.
 *  @return as serve_folder_create */
snub_status serve_folder_may_create(const serve_folder *folder, const char *name, snub_error *error);
/** Write a new map beside a drive file, with the folders in its name. One that holds the same already is good.
 *  @return as serve_folder_create */
snub_status serve_folder_create_map(const serve_folder *folder, const char *name, const char *data, size_t length,
                                    snub_error *error);

/** Write a drive file whole or not at all, and only in the place of the expected content.
 *  @param[in] expected  what the file holds; NULL: there must be no such file yet
 *  @return SNUB_OK; SNUB_STOPPED (the file on disk is another, exists, or is gone; nothing was written); else as read
 */
snub_status serve_folder_write(const serve_folder *folder, const char *name, const serve_content *expected,
                               const char *data, size_t length, snub_error *error);

/** Names of the drive files directly in the folder, sorted; malloc'd each and as a list.
 *  @return their count; -1 with errno set where the folder cannot be read */
int serve_folder_list(const serve_folder *folder, char ***names);

#endif

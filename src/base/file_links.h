/** file_links.h - where a path leads. */
#ifndef SNUB_BASE_FILE_LINKS_H
#define SNUB_BASE_FILE_LINKS_H

#include <stddef.h>

enum { SNUB_PATH_MOST = 4096 };

/** Length of the folder part with its slash; 0 for a bare name. */
size_t snub_folder_length(const char *path);
/** Follow symbolic links in the last part of the path, whether or not the final target exists.
 *  @return 0 or an errno */
int snub_follow_links(const char *path, char target[SNUB_PATH_MOST]);

#endif

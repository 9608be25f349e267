/* A whole file out of memory, so that a failure on the way never harms the one that is there. */
#include "snub/base.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "file_links.h"
#include "neighbour.h"

static int replace(const char *target, const struct stat *old, const char *data, size_t length)
{
    snub_neighbour neighbour;
    int code = snub_neighbour_open(AT_FDCWD, target, old, &neighbour);
    if (code)
        return code;
    code = snub_neighbour_fill(&neighbour, data, length);
    if (!code)
        code = snub_neighbour_move(&neighbour, target);
    if (code)
        snub_neighbour_drop(&neighbour);
    return code;
}

/* Devices and pipes cannot be replaced: what is written goes straight in. */
static int write_into(const char *target, const char *data, size_t length)
{
    int file = open(target, O_WRONLY | O_NOCTTY | O_CLOEXEC);
    if (file < 0)
        return errno;
    int code = snub_write_all(file, data, length);
    if (close(file) != 0 && !code)
        code = errno;
    return code;
}

snub_status snub_file_write(const char *path, const char *data, size_t length, snub_error *error)
{
    if (strcmp(path, "-") == 0) {
        int code = fflush(stdout) == 0 ? snub_write_all(STDOUT_FILENO, data, length) : errno;
        return code ? snub_not_written(error, "standard output", code) : SNUB_OK;
    }
    char target[SNUB_PATH_MOST];
    int code = snub_follow_links(path, target);
    struct stat old;
    bool exists = !code && stat(target, &old) == 0;
    if (!code && !exists && errno != ENOENT)
        code = errno;
    if (code)
        return snub_not_written(error, path, code);
    if (exists && S_ISDIR(old.st_mode))
        code = EISDIR;
    else if (exists && access(target, W_OK) != 0)
        code = errno; /* a rename would get past a file's own write protection */
    else if (exists && !S_ISREG(old.st_mode))
        code = write_into(target, data, length);
    else
        code = replace(target, exists ? &old : NULL, data, length);
    return code ? snub_not_written(error, path, code) : SNUB_OK;
}

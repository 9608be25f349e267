/* A file that another library writes by its path: under a name of its own until it is whole. */
#include "snub/base.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#include "file_links.h"
#include "neighbour.h"

struct snub_new_file {
    snub_neighbour neighbour;
    char target[SNUB_PATH_MOST];
};

static int open_beside(snub_new_file *made, const char *path)
{
    struct stat old;
    int code = snub_follow_links(path, made->target);
    if (code)
        return code;
    const bool exists = stat(made->target, &old) == 0;
    if (!exists && errno != ENOENT)
        return errno;
    return snub_neighbour_open(AT_FDCWD, made->target, exists ? &old : NULL, &made->neighbour);
}

snub_status snub_new_file_open(const char *path, snub_new_file **made, snub_error *error)
{
    snub_new_file *own = calloc(1, sizeof *own);
    if (!own)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    own->neighbour.file = -1;
    const int code = open_beside(own, path);
    if (code) {
        free(own);
        return snub_not_written(error, path, code);
    }
    *made = own;
    return SNUB_OK;
}

const char *snub_new_file_path(const snub_new_file *made)
{
    return made->neighbour.path;
}

snub_status snub_new_file_place(snub_new_file *made, bool over, const char *shown, snub_error *error)
{
    snub_place place = {.file = shown};
    int code = 0;
    while (!code && fsync(made->neighbour.file) != 0)
        code = errno == EINTR ? 0 : errno;
    if (!code)
        code = over ? snub_neighbour_move(&made->neighbour, made->target)
                    : snub_neighbour_move_new(&made->neighbour, made->target);
    if (code == EEXIST && !over)
        return snub_fail(error, SNUB_STOPPED, &place, NULL, "already exists");
    return code ? snub_not_written(error, shown, code) : SNUB_OK;
}

void snub_new_file_close(snub_new_file *made)
{
    if (!made)
        return;
    snub_neighbour_drop(&made->neighbour);
    free(made);
}

/* A new catalogue is made beside its place and moves there when it is whole: an import that fails, or that is killed,
 * leaves no empty one. Removing it afterwards instead could take the work of another program that has opened it. */
#include "catalogue.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* Another program that gives up its own may remove a directory that was just made here. */
enum { TRIES = 3 };

static snub_status make_directories(snub_catalogue *catalogue, snub_error *error)
{
    char *copy = strdup(catalogue->path);
    if (!copy)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    snub_status status = SNUB_OK;
    for (char *slash = strchr(copy + 1, '/'); slash && status == SNUB_OK; slash = strchr(slash + 1, '/')) {
        *slash = '\0';
        const bool made = mkdir(copy, 0777) == 0;
        if (made && !catalogue->folders_from)
            catalogue->folders_from = (size_t)(slash - copy);
        if (!made && errno != EEXIST && access(copy, F_OK) != 0) {
            snub_place place = {catalogue->path, 0, 0, 0, 0};
            status = snub_fail(error, SNUB_IO, &place, NULL, "cannot create folder %.200s: %s", copy, strerror(errno));
        }
        *slash = '/';
    }
    free(copy);
    return status;
}

snub_status snub_make_begin(snub_catalogue *catalogue, snub_error *error)
{
    snub_status status = SNUB_OK;
    for (int i = 0; i < TRIES; i++) {
        status = make_directories(catalogue, error);
        if (status == SNUB_OK)
            status = snub_new_file_open(catalogue->path, &catalogue->made, error);
        if (status != SNUB_IO)
            break;
    }
    return status;
}

int snub_make_open(const char *path, sqlite3 **file)
{
    const int flags = SQLITE_OPEN_READWRITE | SQLITE_OPEN_FULLMUTEX | SQLITE_OPEN_EXRESCODE;
    int code = sqlite3_open_v2(path, file, flags, "unix-none");
    if (code == SQLITE_OK)
        code = sqlite3_exec(*file,
                            "PRAGMA locking_mode = EXCLUSIVE; PRAGMA journal_mode = MEMORY;"
                            "PRAGMA synchronous = OFF;",
                            NULL, NULL, NULL);
    return code;
}

/* Only what is empty goes. */
static void remove_directories(const snub_catalogue *catalogue)
{
    char *copy = strdup(catalogue->path);
    char *slash = copy ? strrchr(copy, '/') : NULL;
    while (slash && (size_t)(slash - copy) >= catalogue->folders_from) {
        *slash = '\0';
        if (rmdir(copy) != 0)
            break;
        slash = strrchr(copy, '/');
    }
    free(copy);
}

void snub_make_drop(snub_catalogue *catalogue)
{
    snub_new_file_close(catalogue->made);
    catalogue->made = NULL;
    if (catalogue->folders_from)
        remove_directories(catalogue);
}

/* A whole file into memory, with a plain reason where that fails. */
#include "snub/base.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { FIRST_ROOM = 16 * 1024 };

static snub_status refused(snub_error *error, const char *path, int code)
{
    snub_place place = {.file = path};
    switch (code) {
    case ENOENT: return snub_fail(error, SNUB_IO, &place, NULL, "no such file");
    case ENOTDIR: return snub_fail(error, SNUB_IO, &place, NULL, "no such file: a part of its path is not a folder");
    case EACCES: return snub_fail(error, SNUB_IO, &place, NULL, "permission denied");
    case EISDIR: return snub_fail(error, SNUB_IO, &place, NULL, "is a folder, not a file");
    default: {
        char reason[128] = "unknown reason";
        (void)strerror_r(code, reason, sizeof reason);
        return snub_fail(error, SNUB_IO, &place, NULL, "cannot be read: %s", reason);
    }
    }
}

static snub_status too_large(snub_error *error, const char *path, size_t most)
{
    snub_place place = {.file = path};
    return snub_fail(error, SNUB_TOO_LARGE, &place, NULL, "the file is larger than %zu bytes", most);
}

/* Reads to the end, whatever size the file claimed: it may grow meanwhile, and files under /proc claim none. */
static snub_status read_all(int file, const char *path, size_t most, size_t expected, char **data, size_t *length,
                            snub_error *error)
{
    snub_place place = {.file = path};
    size_t room = (expected < most ? expected : most) + FIRST_ROOM, used = 0;
    char *bytes = malloc(room);
    while (bytes) {
        ssize_t got = read(file, bytes + used, room - used - 1);
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0) {
            int code = errno;
            free(bytes);
            return refused(error, path, code);
        }
        used += (size_t)got;
        if (used > most) {
            free(bytes);
            return too_large(error, path, most);
        }
        if (got == 0) {
            bytes[used] = 0;
            *data = bytes;
            *length = used;
            return SNUB_OK;
        }
        if (used + 1 == room) {
            char *more = realloc(bytes, room *= 2);
            if (!more)
                free(bytes);
            bytes = more;
        }
    }
    return snub_fail(error, SNUB_NO_MEMORY, &place, NULL, "out of memory");
}

snub_status snub_file_read(const char *path, size_t most, char **data, size_t *length, snub_error *error)
{
    snub_place place = {.file = path};
    /* O_NONBLOCK: opening a pipe that nobody writes to would wait for ever. */
    int file = open(path, O_RDONLY | O_NONBLOCK | O_CLOEXEC);
    if (file < 0)
        return refused(error, path, errno);
    struct stat facts;
    snub_status status;
    if (fstat(file, &facts) != 0)
        status = refused(error, path, errno);
    else if (S_ISDIR(facts.st_mode))
        status = refused(error, path, EISDIR);
    else if (!S_ISREG(facts.st_mode))
        status = snub_fail(error, SNUB_IO, &place, NULL, "is a pipe or a device, not a file");
    else if (facts.st_size < 0 || (uintmax_t)facts.st_size > most)
        status = too_large(error, path, most);
    else
        status = read_all(file, path, most, (size_t)facts.st_size, data, length, error);
    close(file);
    return status;
}

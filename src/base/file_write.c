/* A whole file out of memory, so that a failure on the way never harms the one that is there. */
#include "file_links.h"
#include "snub/base.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { NEIGHBOURS_MOST = 100 };

static snub_status refused(snub_error *error, const char *path, int code)
{
    snub_place place = {.file = path};
    switch (code) {
    case ENOSPC: return snub_fail(error, SNUB_IO, &place, NULL, "not written: no space left on device");
    case EACCES:
    case EPERM: return snub_fail(error, SNUB_IO, &place, NULL, "not written: permission denied");
    case ENOENT:
    case ENOTDIR: return snub_fail(error, SNUB_IO, &place, NULL, "not written: its folder does not exist");
    case EISDIR: return snub_fail(error, SNUB_IO, &place, NULL, "not written: it is a folder");
    case EROFS: return snub_fail(error, SNUB_IO, &place, NULL, "not written: the file system is read-only");
    case EFBIG: return snub_fail(error, SNUB_IO, &place, NULL, "not written: larger than the limit on file size");
    case ELOOP: return snub_fail(error, SNUB_IO, &place, NULL, "not written: its symbolic links form a loop");
    case EPIPE:
        return snub_fail(error, SNUB_IO, &place, NULL, "not written: the program that reads the output has ended");
    default: {
        char reason[128] = "unknown reason";
        (void)strerror_r(code, reason, sizeof reason);
        return snub_fail(error, SNUB_IO, &place, NULL, "not written: %s", reason);
    }
    }
}

/* write() may take less than it was given. */
static int write_all(int file, const char *data, size_t length)
{
    while (length > 0) {
        ssize_t done = write(file, data, length);
        if (done < 0 && errno == EINTR)
            continue;
        if (done < 0)
            return errno;
        if (done == 0)
            return ENOSPC;
        data += done;
        length -= (size_t)done;
    }
    return 0;
}

/* Create a file beside `target` that was not there before; the umask sets its permissions. */
static int open_neighbour(const char *target, char neighbour[SNUB_PATH_MOST])
{
    int keep = (int)snub_folder_length(target);
    for (int i = 0; i < NEIGHBOURS_MOST; i++) {
        int wanted = snprintf(neighbour, SNUB_PATH_MOST, "%.*s.snub-%ld-%d", keep, target, (long)getpid(), i);
        if (wanted >= SNUB_PATH_MOST) {
            errno = ENAMETOOLONG;
            return -1;
        }
        int file = open(neighbour, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        if (file >= 0 || errno != EEXIST)
            return file;
    }
    return -1;
}

/* A rename is on the disk only when its folder is. Not every file system can do it, so a refusal is not an error. */
static void sync_folder(const char *target)
{
    char folder[SNUB_PATH_MOST];
    size_t length = snub_folder_length(target);
    memcpy(folder, target, length);
    strcpy(folder + length, ".");
    int file = open(folder, O_RDONLY | O_CLOEXEC);
    if (file < 0)
        return;
    (void)fsync(file);
    close(file);
}

static int replace(const char *target, const struct stat *old, const char *data, size_t length)
{
    char neighbour[SNUB_PATH_MOST];
    int file = open_neighbour(target, neighbour);
    if (file < 0)
        return errno;
    int code = 0;
    if (old) {
        /* The owner can be kept by root only; the permissions always. Order: chown clears set-id bits. */
        int kept = fchown(file, old->st_uid, old->st_gid);
        (void)kept;
        if (fchmod(file, old->st_mode & 07777) != 0)
            code = errno;
    }
    if (!code)
        code = write_all(file, data, length);
    if (!code && fsync(file) != 0)
        code = errno;
    if (close(file) != 0 && !code)
        code = errno;
    if (!code && rename(neighbour, target) != 0)
        code = errno;
    if (code)
        unlink(neighbour);
    else
        sync_folder(target);
    return code;
}

/* Devices and pipes cannot be replaced: what is written goes straight in. */
static int write_into(const char *target, const char *data, size_t length)
{
    int file = open(target, O_WRONLY | O_NOCTTY | O_CLOEXEC);
    if (file < 0)
        return errno;
    int code = write_all(file, data, length);
    if (close(file) != 0 && !code)
        code = errno;
    return code;
}

snub_status snub_file_write(const char *path, const char *data, size_t length, snub_error *error)
{
    if (strcmp(path, "-") == 0) {
        int code = fflush(stdout) == 0 ? write_all(STDOUT_FILENO, data, length) : errno;
        return code ? refused(error, "standard output", code) : SNUB_OK;
    }
    char target[SNUB_PATH_MOST];
    int code = snub_follow_links(path, target);
    struct stat old;
    bool exists = !code && stat(target, &old) == 0;
    if (code)
        return refused(error, path, code);
    if (exists && S_ISDIR(old.st_mode))
        code = EISDIR;
    else if (exists && access(target, W_OK) != 0)
        code = errno; /* a rename would get past a file's own write protection */
    else if (exists && !S_ISREG(old.st_mode))
        code = write_into(target, data, length);
    else
        code = replace(target, exists ? &old : NULL, data, length);
    return code ? refused(error, path, code) : SNUB_OK;
}

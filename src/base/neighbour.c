#include "neighbour.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/file.h>
#include <unistd.h>

#include "left_over.h"

enum { NAMES_MOST = 100 };

snub_status snub_not_written(snub_error *error, const char *path, int code)
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
    case SNUB_NEIGHBOUR_DIFFERS:
        return snub_fail(error, SNUB_IO, &place, NULL, "not written: what the disk gives back is not what was written");
    default: {
        char reason[128] = "unknown reason";
        (void)strerror_r(code, reason, sizeof reason);
        return snub_fail(error, SNUB_IO, &place, NULL, "not written: %s", reason);
    }
    }
}

/* The folder of `target`, open for reading; -1 where it may not be read: then a file in it may still be written. */
static int open_folder(int at, const char *target)
{
    char folder[SNUB_PATH_MOST];
    size_t length = snub_folder_length(target);
    if (length + 2 > sizeof folder)
        return -1;
    memcpy(folder, target, length);
    strcpy(folder + length, ".");
    return openat(at, folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
}

void snub_folder_sync(int at, const char *target)
{
    int folder = open_folder(at, target);
    if (folder < 0)
        return;
    (void)fsync(folder);
    close(folder);
}

int snub_write_all(int file, const char *data, size_t length)
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

/* ---- a neighbour ------------------------------------------------------------------------------------------------- */

/* Between creating and locking, another program may take the new file for one that was left, and remove it. */
static bool locked_and_there(const snub_neighbour *neighbour)
{
    if (flock(neighbour->file, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK)
        return false; /* it is being removed right now */
    return snub_still_named(neighbour->file, neighbour->at, neighbour->path);
}

static int create(const char *target, snub_neighbour *neighbour)
{
    int keep = (int)snub_folder_length(target);
    for (int i = 0; i < NAMES_MOST; i++) {
        int wanted = snprintf(neighbour->path, sizeof neighbour->path, "%.*s%s%ld-%d", keep, target, SNUB_SAVE_PREFIX,
                              (long)getpid(), i);
        if (wanted >= (int)sizeof neighbour->path)
            return ENAMETOOLONG;
        neighbour->file = openat(neighbour->at, neighbour->path, O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        if (neighbour->file < 0 && errno == EEXIST)
            continue;
        if (neighbour->file < 0)
            return errno;
        if (locked_and_there(neighbour))
            return 0;
        close(neighbour->file);
        neighbour->file = -1;
    }
    return EEXIST;
}

int snub_neighbour_open(int at, const char *target, const struct stat *old, snub_neighbour *neighbour)
{
    *neighbour = (snub_neighbour){.at = at, .file = -1};
    int folder = open_folder(at, target);
    if (folder >= 0) {
        (void)snub_file_tidy(folder);
        close(folder);
    }
    int code = create(target, neighbour);
    if (code || !old)
        return code;
    /* The owner can be kept by root only; the permissions always. Order: chown clears set-id bits. */
    int kept = fchown(neighbour->file, old->st_uid, old->st_gid);
    (void)kept;
    if (fchmod(neighbour->file, old->st_mode & 07777) == 0)
        return 0;
    code = errno;
    snub_neighbour_drop(neighbour);
    return code;
}

/* Bytes that stand in a file from an offset on. */
static int compare(int file, size_t at, const char *data, size_t length)
{
    char piece[16384];
    for (size_t done = 0; done < length;) {
        const size_t wanted = length - done < sizeof piece ? length - done : sizeof piece;
        ssize_t got = pread(file, piece, wanted, (off_t)(at + done));
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0)
            return errno;
        if (got == 0 || memcmp(piece, data + done, (size_t)got) != 0)
            return SNUB_NEIGHBOUR_DIFFERS;
        done += (size_t)got;
    }
    return 0;
}

static int add(int file, size_t at, const char *data, size_t length)
{
    (void)at;
    return snub_write_all(file, data, length);
}

/* Hand on a content piece by piece, with the offset of each. @param[out] end  where it ends */
static int each_piece(const snub_content *what, int (*take)(int file, size_t at, const char *data, size_t length),
                      int file, size_t *end)
{
    char piece[65536];
    size_t at = 0, got;
    int code = 0;
    if (what->spilled)
        rewind(what->spilled);
    while (!code && what->spilled && (got = fread(piece, 1, sizeof piece, what->spilled)) > 0) {
        code = take(file, at, piece, got);
        at += got;
    }
    if (!code && what->spilled && ferror(what->spilled))
        code = EIO;
    if (!code)
        code = take(file, at, what->data, what->length);
    *end = at + what->length;
    return code;
}

int snub_content_write(const snub_content *what, int file)
{
    size_t end;
    return each_piece(what, add, file, &end);
}

static int compare_all(int file, const snub_content *what)
{
    size_t end;
    struct stat now;
    const int code = each_piece(what, compare, file, &end);
    if (code)
        return code;
    if (fstat(file, &now) != 0)
        return errno;
    return (size_t)now.st_size == end ? 0 : SNUB_NEIGHBOUR_DIFFERS;
}

int snub_neighbour_fill(const snub_neighbour *neighbour, const snub_content *what)
{
    int code = snub_content_write(what, neighbour->file);
    while (!code && fsync(neighbour->file) != 0)
        code = errno == EINTR ? 0 : errno;
    return code ? code : compare_all(neighbour->file, what);
}

static void settled(snub_neighbour *neighbour, const char *target)
{
    close(neighbour->file); /* fsync has said whether all of it is there; the lock was to last until now */
    neighbour->file = -1;
    snub_folder_sync(neighbour->at, target);
}

int snub_neighbour_move(snub_neighbour *neighbour, const char *target)
{
    if (renameat(neighbour->at, neighbour->path, neighbour->at, target) != 0)
        return errno;
    settled(neighbour, target);
    return 0;
}

/* A rename that refuses by itself has no moment with two names or with none. Network file systems do not know it: there
 * a second name is given, which refuses as well; a memory stick may know neither: there it is looked at first. */
int snub_neighbour_move_new(snub_neighbour *neighbour, const char *target)
{
    const int at = neighbour->at;
    int code = snub_rename_new(at, neighbour->path, target);
    if (code == EINVAL) {
        code = linkat(at, neighbour->path, at, target, 0) == 0 ? 0 : errno;
        if (!code)
            unlinkat(at, neighbour->path, 0);
        else if (code != EEXIST)
            code = faccessat(at, target, F_OK, 0) == 0              ? EEXIST
                   : renameat(at, neighbour->path, at, target) != 0 ? errno
                                                                    : 0;
    }
    if (!code)
        settled(neighbour, target);
    return code;
}

void snub_neighbour_drop(snub_neighbour *neighbour)
{
    if (neighbour->file < 0)
        return;
    if (snub_still_named(neighbour->file, neighbour->at, neighbour->path))
        (void)snub_left_over_unlink(neighbour->at, neighbour->path);
    close(neighbour->file);
    neighbour->file = -1;
}

/* A new content for a file that others write too: it takes the old one's place only where that is the expected one.
 *
 * Looking first and renaming then leaves a gap, in which another program's save would be lost. So the two files change
 * places, and then we look at what came out: nobody can have opened it since by its name, and a program that had it
 * open before is waited for. Where it is not the expected one, the two change back. */
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "left_over.h"
#include "neighbour.h"
#include "snub/base.h"

enum {
    LOCK_WAIT_MS = 5000, /* for another snub that saves in this folder; a save takes some 10 ms */
    PAUSE_MS = 5,
    NAME_BYTES_MOST = 255 /* of one part of a path */
};

/* Beside an errno and SNUB_NEIGHBOUR_DIFFERS. */
enum { OTHER_CONTENT = -2, HELD_OPEN = -3, FOLDER_BUSY = -4, IS_THERE = -5, IS_GONE = -6 };

typedef struct swap {
    int folder;
    const char *name, *expected, *data;
    size_t expected_length, length;
} swap;

static void rest(void)
{
    const struct timespec pause = {0, PAUSE_MS * 1000000L};
    nanosleep(&pause, NULL);
}

static int lock_folder(int folder)
{
    for (int waited = 0; flock(folder, LOCK_EX | LOCK_NB) != 0; waited += PAUSE_MS) {
        if (errno != EWOULDBLOCK && errno != EINTR)
            return 0; /* a file system without locks: the exchange alone must do */
        if (waited >= LOCK_WAIT_MS)
            return FOLDER_BUSY;
        rest();
    }
    return 0;
}

/* Does the open file hold the expected text? */
static int compare(int file, const char *want, size_t length)
{
    char piece[16384];
    size_t at = 0;
    for (;;) {
        ssize_t got = pread(file, piece, sizeof piece, (off_t)at);
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0)
            return errno;
        if (got == 0)
            return at == length ? 0 : OTHER_CONTENT;
        if ((size_t)got > length - at || memcmp(piece, want + at, (size_t)got) != 0)
            return OTHER_CONTENT;
        at += (size_t)got;
    }
}

/* Once nobody writes to it any more, is it the expected file? */
static int look(const swap *s, const char *name)
{
    int file = openat(s->folder, name, O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
    if (file < 0)
        return errno == ENOENT ? IS_GONE : errno;
    int code = snub_file_settle(file, SNUB_WRITER_WAIT_MS) ? 0 : HELD_OPEN;
    if (!code)
        code = compare(file, s->expected, s->expected_length);
    close(file);
    return code;
}

/* Put back what came out. Where another program has replaced our file in the meantime, its file stays. */
static void change_back(const swap *s, const snub_neighbour *neighbour)
{
    if (snub_exchange(s->folder, neighbour->path, s->name) == 0) {
        if (!snub_still_named(neighbour->file, s->folder, neighbour->path))
            (void)snub_exchange(s->folder, neighbour->path, s->name);
    } else {
        (void)snub_rename_new(s->folder, neighbour->path, s->name);
    }
}

/* @return 0, or why not; EINVAL where this cannot be done here */
static int change_places(const swap *s, snub_neighbour *neighbour)
{
    char old[SNUB_MARK_ROOM], new[SNUB_MARK_ROOM], path[NAME_BYTES_MOST + 1];
    snub_mark_bytes(s->expected, s->expected_length, old);
    snub_mark_bytes(s->data, s->length, new);
    int wanted = snprintf(path, sizeof path, "%s%ld-%s-%s-%s", SNUB_SWAP_PREFIX, (long)getpid(), old, new, s->name);
    if (wanted >= (int)sizeof path)
        return EINVAL;
    int code = snub_rename_new(s->folder, neighbour->path, path);
    if (code)
        return code;
    strcpy(neighbour->path, path);
    code = snub_exchange(s->folder, path, s->name);
    if (code)
        return code == ENOSYS ? EINVAL : code == ENOENT ? IS_GONE : code;
    code = look(s, path);
    if (code)
        change_back(s, neighbour);
    else
        unlinkat(s->folder, path, 0); /* the old one */
    return code;
}

static int put_new(const swap *s, snub_neighbour *neighbour)
{
    const int code = snub_neighbour_move_new(neighbour, s->name);
    return code == EEXIST ? IS_THERE : code;
}

static int put(const swap *s, snub_neighbour *neighbour)
{
    if (!s->expected)
        return put_new(s, neighbour);
    int code = look(s, s->name);
    if (code)
        return code;
    code = change_places(s, neighbour);
    if (code == EINVAL) /* no exchange here: the gap between looking and renaming is as small as it can be */
        code = renameat(s->folder, neighbour->path, s->folder, s->name) != 0 ? errno : 0;
    return code;
}

static int write_locked(const swap *s)
{
    struct stat old;
    snub_neighbour neighbour;
    const bool exists = fstatat(s->folder, s->name, &old, AT_SYMLINK_NOFOLLOW) == 0;
    if (!exists && errno != ENOENT)
        return errno;
    if (exists != (s->expected != NULL))
        return exists ? IS_THERE : IS_GONE;
    if (exists && !S_ISREG(old.st_mode))
        return S_ISDIR(old.st_mode) ? EISDIR : ELOOP;
    if (exists && faccessat(s->folder, s->name, W_OK, 0) != 0)
        return errno;
    (void)snub_left_over_clear(s->folder, true);
    int code = snub_neighbour_open(s->folder, s->name, exists ? &old : NULL, &neighbour);
    if (!code)
        code = snub_neighbour_fill(&neighbour, &(snub_content){NULL, s->data, s->length});
    if (!code)
        code = put(s, &neighbour);
    snub_neighbour_drop(&neighbour); /* where it did not go in */
    if (!code)
        snub_folder_sync(s->folder, s->name);
    return code;
}

snub_status snub_file_held(const char *shown, snub_error *error)
{
    const snub_place place = {.file = shown};
    return snub_fail(error, SNUB_IO, &place, NULL,
                     "not written: another program has it open for writing; close it there, then save again");
}

static snub_status refused(snub_error *error, const char *shown, int code)
{
    snub_place place = {.file = shown};
    switch (code) {
    case 0: return SNUB_OK;
    case OTHER_CONTENT: return snub_fail(error, SNUB_STOPPED, &place, NULL, "was changed by another program");
    case IS_THERE: return snub_fail(error, SNUB_STOPPED, &place, NULL, "already exists");
    case IS_GONE: return snub_fail(error, SNUB_STOPPED, &place, NULL, "no longer exists");
    case HELD_OPEN: return snub_file_held(shown, error);
    case FOLDER_BUSY:
        return snub_fail(error, SNUB_IO, &place, NULL,
                         "not written: another snub has been saving in this folder for 5 s; try again");
    default: return snub_not_written(error, shown, code);
    }
}

snub_status snub_file_swap(int folder, const char *name, const char *shown, const char *expected,
                           size_t expected_length, const char *data, size_t length, snub_error *error)
{
    int own = openat(folder, ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC); /* a lock belongs to an opening */
    if (own < 0)
        return refused(error, shown, errno);
    const swap s = {own, name, expected, data, expected_length, length};
    int code = lock_folder(own);
    if (!code)
        code = write_locked(&s);
    close(own);
    return refused(error, shown, code);
}

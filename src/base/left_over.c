/* What is known of files that a killed writer left: by name, owner, kind and lock. */
#include "left_over.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "file_links.h"
#include "snub/base.h"

/* Linux has these beyond POSIX; the strict feature macro hides them. */
extern int renameat2(int from_folder, const char *from, int to_folder, const char *to, unsigned flags);
enum { NO_REPLACE = 1 << 0, EXCHANGE = 1 << 1, SET_SIGNAL = 10, SET_LEASE = 1024 };

static const char digits[] = "0123456789";

int snub_exchange(int folder, const char *a, const char *b)
{
    return renameat2(folder, a, folder, b, EXCHANGE) == 0 ? 0 : errno;
}

int snub_rename_new(int folder, const char *from, const char *to)
{
    if (renameat2(folder, from, folder, to, NO_REPLACE) == 0)
        return 0;
    return errno == ENOSYS ? EINVAL : errno;
}

bool snub_left_over_unlink(int folder, const char *path)
{
    static const char *const beside[] = {"-journal", "-wal", "-shm"};
    char name[SNUB_PATH_MOST + sizeof "-journal"];
    for (size_t i = 0; i < sizeof beside / sizeof beside[0]; i++) {
        int wanted = snprintf(name, sizeof name, "%s%s", path, beside[i]);
        if (wanted < (int)sizeof name)
            (void)unlinkat(folder, name, 0);
    }
    return unlinkat(folder, path, 0) == 0;
}

/* A read lease is given only where nobody has the file open for writing. It is kept, so that what is read next is not
 * half of what another program writes: that one waits in its open() until we close the file. The signal that calls a
 * lease back is one that a program ignores by itself. */
static bool open_elsewhere(int file)
{
    (void)fcntl(file, SET_SIGNAL, SIGURG);
    return fcntl(file, SET_LEASE, F_RDLCK) != 0 && errno == EAGAIN;
}

bool snub_file_settle(int file, int wait_ms)
{
    enum { PAUSE_MS = 5 };
    const struct timespec pause = {0, PAUSE_MS * 1000000L};
    for (int waited = 0; open_elsewhere(file); waited += PAUSE_MS) {
        if (waited >= wait_ms)
            return false;
        nanosleep(&pause, NULL);
    }
    return true;
}

static void mark_end(snub_digest *digest, char mark[SNUB_MARK_ROOM])
{
    char whole[65];
    snub_digest_end(digest, whole);
    memcpy(mark, whole, SNUB_MARK_ROOM - 1);
    mark[SNUB_MARK_ROOM - 1] = '\0';
}

void snub_mark_bytes(const char *data, size_t length, char mark[SNUB_MARK_ROOM])
{
    snub_digest digest;
    snub_digest_init(&digest);
    snub_digest_add(&digest, data, length);
    mark_end(&digest, mark);
}

static bool is_save(const char *name)
{
    size_t prefix = sizeof SNUB_SAVE_PREFIX - 1;
    if (strncmp(name, SNUB_SAVE_PREFIX, prefix) != 0)
        return false;
    size_t process = strspn(name + prefix, digits);
    const char *rest = name + prefix + process;
    return process > 0 && rest[0] == '-' && rest[1] != '\0' && rest[1 + strspn(rest + 1, digits)] == '\0';
}

static bool same_file(const struct stat *a, const struct stat *b)
{
    return a->st_dev == b->st_dev && a->st_ino == b->st_ino;
}

/* Is the open file the one of this name? */
bool snub_still_named(int file, int at, const char *name)
{
    struct stat here, there;
    return fstat(file, &here) == 0 && fstatat(at, name, &there, AT_SYMLINK_NOFOLLOW) == 0 && same_file(&here, &there);
}

/* `names`: so many it may have. */
static int open_ours(int folder, const char *name, int how, nlink_t names)
{
    struct stat facts;
    int file = openat(folder, name, how | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
    if (file < 0)
        return -1;
    if (fstat(file, &facts) == 0 && S_ISREG(facts.st_mode) && facts.st_nlink <= names && facts.st_uid == geteuid())
        return file;
    close(file);
    return -1;
}

/* Gone with its writer's lock: by name, owner and kind it can be nothing but ours. One that has got its second name,
 * and not yet lost this one, keeps the second. */
static bool remove_save(int folder, const char *name)
{
    int file = open_ours(folder, name, O_RDWR, 2); /* a network file system locks only what is open for writing */
    if (file < 0)
        file = open_ours(folder, name, O_RDONLY, 2);
    if (file < 0)
        return false;
    bool removed = flock(file, LOCK_EX | LOCK_NB) == 0 && snub_still_named(file, folder, name) &&
                   snub_left_over_unlink(folder, name);
    close(file);
    return removed;
}

/* ---- changing places --------------------------------------------------------------------------------------------- */

typedef struct swap_name {
    char old[SNUB_MARK_ROOM], new[SNUB_MARK_ROOM];
    const char *target;
} swap_name;

static bool read_mark(const char **at, char mark[SNUB_MARK_ROOM])
{
    if (strspn(*at, "0123456789abcdef") != SNUB_MARK_ROOM - 1 || (*at)[SNUB_MARK_ROOM - 1] != '-')
        return false;
    memcpy(mark, *at, SNUB_MARK_ROOM - 1);
    mark[SNUB_MARK_ROOM - 1] = '\0';
    *at += SNUB_MARK_ROOM;
    return true;
}

static bool is_swap(const char *name, swap_name *parts)
{
    size_t prefix = sizeof SNUB_SWAP_PREFIX - 1;
    if (strncmp(name, SNUB_SWAP_PREFIX, prefix) != 0)
        return false;
    const char *at = name + prefix;
    size_t process = strspn(at, digits);
    if (process == 0 || at[process] != '-')
        return false;
    at += process + 1;
    if (!read_mark(&at, parts->old) || !read_mark(&at, parts->new))
        return false;
    parts->target = at;
    return *at != '\0';
}

/* Mark of a file that is ours and that nobody writes to. */
static bool mark_of(int folder, const char *name, char mark[SNUB_MARK_ROOM])
{
    char piece[16384];
    snub_digest digest;
    int file = open_ours(folder, name, O_RDONLY, 1);
    if (file < 0)
        return false;
    ssize_t got = open_elsewhere(file) ? -1 : 1;
    snub_digest_init(&digest);
    while (got > 0) {
        got = read(file, piece, sizeof piece);
        if (got > 0)
            snub_digest_add(&digest, piece, (size_t)got);
        else if (got < 0 && errno == EINTR)
            got = 1;
    }
    close(file);
    mark_end(&digest, mark);
    return got == 0;
}

/* Killed before the places were changed, it holds the new text, which nobody was told is saved; killed after, the old
 * one, which is meant to go. Anything else is the work of another program that the writer took out by mistake and could
 * not put back: it goes back if what stands in its place is the writer's. */
static bool remove_swap(int folder, const char *name, const swap_name *parts)
{
    char mark[SNUB_MARK_ROOM];
    if (!mark_of(folder, name, mark))
        return false;
    if (strcmp(mark, parts->old) != 0 && strcmp(mark, parts->new) != 0) {
        if (!mark_of(folder, parts->target, mark) || strcmp(mark, parts->new) != 0)
            return false;
        if (snub_exchange(folder, name, parts->target) != 0)
            return false;
        if (!mark_of(folder, name, mark) || strcmp(mark, parts->new) != 0)
            return false;
    }
    return unlinkat(folder, name, 0) == 0;
}

int snub_left_over_clear(int folder, bool locked)
{
    int copy = openat(folder, ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC), removed = 0;
    DIR *stream = copy < 0 ? NULL : fdopendir(copy);
    if (!stream) {
        if (copy >= 0)
            close(copy);
        return 0;
    }
    struct dirent *entry;
    swap_name parts;
    while ((entry = readdir(stream))) {
        if (is_save(entry->d_name))
            removed += remove_save(folder, entry->d_name);
        else if (locked && is_swap(entry->d_name, &parts))
            removed += remove_swap(folder, entry->d_name, &parts);
    }
    closedir(stream);
    return removed;
}

int snub_file_tidy(int folder)
{
    int own = openat(folder, ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    bool locked = own >= 0 && flock(own, LOCK_EX | LOCK_NB) == 0;
    int removed = snub_left_over_clear(folder, locked);
    if (own >= 0)
        close(own);
    return removed;
}

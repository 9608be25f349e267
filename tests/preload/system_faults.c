/* Makes one call to the system fail: loaded before a program by LD_PRELOAD, told what to do through a small file that
 * both sides map (its path in SNUB_FAULT_CONTROL). tests/cli/faults_saving.py knows its layout. */
#include <dirent.h>
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <signal.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#ifndef RTLD_NEXT
#define RTLD_NEXT ((void *)-1L)
#endif

enum { NAME_ROOM = 16, FOLDER_ROOM = 256 };
enum { SHORT = -1, FLIPPED = -2, KILLED = -3 }; /* in place of an errno: take half; write other bytes; die there */
enum { SLOW = -4, SLOW_MS = 10 };               /* or wait so long, at each of them, before it is done */

typedef struct control {
    char call[NAME_ROOM];     /* name of the call that is counted */
    int at;                   /* the n-th of them fails; 0: none */
    int code;                 /* with this errno, or one of the above */
    _Atomic int counted;      /* so many there were */
    _Atomic int failed;       /* so many were made to fail */
    char folder[FOLDER_ROOM]; /* only calls about files under this path are counted */
} control;

static control *shared(void)
{
    static control *found;
    static int looked;
    if (!looked) {
        looked = 1;
        const char *path = getenv("SNUB_FAULT_CONTROL");
        int (*real_open)(const char *, int, ...) = (int (*)(const char *, int, ...))dlsym(RTLD_NEXT, "open");
        int (*real_close)(int) = (int (*)(int))dlsym(RTLD_NEXT, "close");
        int file = path ? real_open(path, O_RDWR) : -1;
        void *map = file >= 0 ? mmap(NULL, sizeof *found, PROT_READ | PROT_WRITE, MAP_SHARED, file, 0) : MAP_FAILED;
        if (file >= 0)
            real_close(file);
        found = map == MAP_FAILED ? NULL : map;
    }
    return found;
}

/* Path of a descriptor; of `at` and a name. */
static void path_of(int at, const char *name, char path[PATH_MAX])
{
    char link[64];
    path[0] = '\0';
    if (name && name[0] == '/') {
        snprintf(path, PATH_MAX, "%s", name);
        return;
    }
    ssize_t (*real)(const char *, char *, size_t) =
        (ssize_t(*)(const char *, char *, size_t))dlsym(RTLD_NEXT, "readlink");
    if (at == AT_FDCWD)
        snprintf(link, sizeof link, "/proc/self/cwd");
    else
        snprintf(link, sizeof link, "/proc/self/fd/%d", at);
    ssize_t got = real(link, path, PATH_MAX - 1);
    path[got > 0 ? got : 0] = '\0';
    if (name && got > 0 && (size_t)got + strlen(name) + 2 < PATH_MAX) {
        strcat(path, "/");
        strcat(path, name);
    }
}

/* Is it this call's turn? 0: no; else the errno, which is set, or SHORT or FLIPPED. */
static int turn(const char *call, int at, const char *name)
{
    control *told = shared();
    int before = errno;
    char path[PATH_MAX];
    if (!told || strncmp(told->call, call, NAME_ROOM) != 0)
        return 0;
    path_of(at, name, path);
    errno = before;
    if (strncmp(path, told->folder, strlen(told->folder)) != 0)
        return 0;
    int number = atomic_fetch_add(&told->counted, 1) + 1;
    if (told->code == SLOW) {
        const struct timespec pause = {0, SLOW_MS * 1000000L};
        nanosleep(&pause, NULL);
        errno = before;
        return 0;
    }
    if (!told->at || number != told->at)
        return 0;
    atomic_fetch_add(&told->failed, 1);
    if (told->code == KILLED)
        raise(SIGKILL);
    if (told->code > 0)
        errno = told->code;
    return told->code;
}

#define REAL(name, type) __typeof__(type) real = (__typeof__(type))dlsym(RTLD_NEXT, name)

static mode_t mode_of(int how, va_list list)
{
    return how & (O_CREAT | 020000000) ? (mode_t)va_arg(list, int) : 0;
}

int open(const char *path, int how, ...)
{
    REAL("open", int (*)(const char *, int, ...));
    va_list list;
    va_start(list, how);
    mode_t mode = mode_of(how, list);
    va_end(list);
    return turn("open", AT_FDCWD, path) > 0 ? -1 : real(path, how, mode);
}

int open64(const char *path, int how, ...);
int open64(const char *path, int how, ...)
{
    REAL("open64", int (*)(const char *, int, ...));
    va_list list;
    va_start(list, how);
    mode_t mode = mode_of(how, list);
    va_end(list);
    return turn("open", AT_FDCWD, path) > 0 ? -1 : real(path, how, mode);
}

int openat(int at, const char *path, int how, ...)
{
    REAL("openat", int (*)(int, const char *, int, ...));
    va_list list;
    va_start(list, how);
    mode_t mode = mode_of(how, list);
    va_end(list);
    return turn("open", at, path) > 0 ? -1 : real(at, path, how, mode);
}

FILE *fopen(const char *path, const char *how)
{
    REAL("fopen", FILE * (*)(const char *, const char *));
    return turn("open", AT_FDCWD, path) > 0 ? NULL : real(path, how);
}

ssize_t write(int file, const void *data, size_t length)
{
    REAL("write", ssize_t(*)(int, const void *, size_t));
    int code = turn("write", file, NULL);
    if (code > 0)
        return -1;
    if (code == SHORT && length > 1)
        length /= 2;
    if (code != FLIPPED || !length)
        return real(file, data, length);
    char *other = malloc(length);
    memcpy(other, data, length);
    other[length / 2] ^= 1;
    ssize_t done = real(file, other, length);
    free(other);
    return done;
}

ssize_t pwrite64(int file, const void *data, size_t length, off_t offset);
ssize_t pwrite64(int file, const void *data, size_t length, off_t offset)
{
    REAL("pwrite64", ssize_t(*)(int, const void *, size_t, off_t));
    return turn("write", file, NULL) > 0 ? -1 : real(file, data, length, offset);
}

ssize_t read(int file, void *data, size_t length)
{
    REAL("read", ssize_t(*)(int, void *, size_t));
    int code = turn("read", file, NULL);
    return code > 0 ? -1 : real(file, data, code == SHORT && length > 1 ? length / 2 : length);
}

ssize_t pread(int file, void *data, size_t length, off_t offset)
{
    REAL("pread", ssize_t(*)(int, void *, size_t, off_t));
    int code = turn("read", file, NULL);
    return code > 0 ? -1 : real(file, data, code == SHORT && length > 1 ? length / 2 : length, offset);
}

int fsync(int file)
{
    REAL("fsync", int (*)(int));
    return turn("fsync", file, NULL) > 0 ? -1 : real(file);
}

int fdatasync(int file)
{
    REAL("fdatasync", int (*)(int));
    return turn("fsync", file, NULL) > 0 ? -1 : real(file);
}

/* The system closes the file even where it reports an error. */
int close(int file)
{
    REAL("close", int (*)(int));
    int code = turn("close", file, NULL), done = real(file);
    if (code > 0)
        errno = code;
    return code > 0 ? -1 : done;
}

int ftruncate64(int file, off_t length);
int ftruncate64(int file, off_t length)
{
    REAL("ftruncate64", int (*)(int, off_t));
    return turn("ftruncate", file, NULL) > 0 ? -1 : real(file, length);
}

int ftruncate(int file, off_t length)
{
    REAL("ftruncate", int (*)(int, off_t));
    return turn("ftruncate", file, NULL) > 0 ? -1 : real(file, length);
}

int fchmod(int file, mode_t mode)
{
    REAL("fchmod", int (*)(int, mode_t));
    return turn("fchmod", file, NULL) > 0 ? -1 : real(file, mode);
}

int fchown(int file, uid_t user, gid_t group)
{
    REAL("fchown", int (*)(int, uid_t, gid_t));
    return turn("fchown", file, NULL) > 0 ? -1 : real(file, user, group);
}

int flock(int file, int how)
{
    REAL("flock", int (*)(int, int));
    return turn("flock", file, NULL) > 0 ? -1 : real(file, how);
}

int mkdir(const char *path, mode_t mode)
{
    REAL("mkdir", int (*)(const char *, mode_t));
    return turn("mkdir", AT_FDCWD, path) > 0 ? -1 : real(path, mode);
}

ssize_t readlink(const char *path, char *data, size_t length)
{
    REAL("readlink", ssize_t(*)(const char *, char *, size_t));
    return turn("readlink", AT_FDCWD, path) > 0 ? -1 : real(path, data, length);
}

int rename(const char *from, const char *to)
{
    REAL("rename", int (*)(const char *, const char *));
    return turn("rename", AT_FDCWD, to) > 0 ? -1 : real(from, to);
}

int renameat(int a, const char *from, int b, const char *to)
{
    REAL("renameat", int (*)(int, const char *, int, const char *));
    return turn("rename", b, to) > 0 ? -1 : real(a, from, b, to);
}

int renameat2(int a, const char *from, int b, const char *to, unsigned how);
int renameat2(int a, const char *from, int b, const char *to, unsigned how)
{
    REAL("renameat2", int (*)(int, const char *, int, const char *, unsigned));
    return turn("rename", b, to) > 0 ? -1 : real(a, from, b, to, how);
}

int link(const char *from, const char *to)
{
    REAL("link", int (*)(const char *, const char *));
    return turn("link", AT_FDCWD, to) > 0 ? -1 : real(from, to);
}

int linkat(int a, const char *from, int b, const char *to, int how)
{
    REAL("linkat", int (*)(int, const char *, int, const char *, int));
    return turn("link", b, to) > 0 ? -1 : real(a, from, b, to, how);
}

int unlink(const char *path)
{
    REAL("unlink", int (*)(const char *));
    return turn("unlink", AT_FDCWD, path) > 0 ? -1 : real(path);
}

int unlinkat(int at, const char *path, int how)
{
    REAL("unlinkat", int (*)(int, const char *, int));
    return turn("unlink", at, path) > 0 ? -1 : real(at, path, how);
}

int mkstemp(char *path)
{
    REAL("mkstemp", int (*)(char *));
    return turn("mkstemp", AT_FDCWD, path) > 0 ? -1 : real(path);
}

DIR *opendir(const char *path)
{
    REAL("opendir", DIR * (*)(const char *));
    return turn("opendir", AT_FDCWD, path) > 0 ? NULL : real(path);
}

DIR *fdopendir(int file)
{
    REAL("fdopendir", DIR * (*)(int));
    return turn("opendir", file, NULL) > 0 ? NULL : real(file);
}

int stat(const char *path, struct stat *facts)
{
    REAL("stat", int (*)(const char *, struct stat *));
    return turn("stat", AT_FDCWD, path) > 0 ? -1 : real(path, facts);
}

int lstat(const char *path, struct stat *facts)
{
    REAL("lstat", int (*)(const char *, struct stat *));
    return turn("stat", AT_FDCWD, path) > 0 ? -1 : real(path, facts);
}

int fstat(int file, struct stat *facts)
{
    REAL("fstat", int (*)(int, struct stat *));
    return turn("stat", file, NULL) > 0 ? -1 : real(file, facts);
}

int fstatat(int at, const char *path, struct stat *facts, int how)
{
    REAL("fstatat", int (*)(int, const char *, struct stat *, int));
    return turn("stat", at, path) > 0 ? -1 : real(at, path, facts, how);
}

int access(const char *path, int how)
{
    REAL("access", int (*)(const char *, int));
    return turn("access", AT_FDCWD, path) > 0 ? -1 : real(path, how);
}

int faccessat(int at, const char *path, int how, int flags)
{
    REAL("faccessat", int (*)(int, const char *, int, int));
    return turn("access", at, path) > 0 ? -1 : real(at, path, how, flags);
}

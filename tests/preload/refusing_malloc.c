/* A library to be loaded before all others (LD_PRELOAD): refuses chosen allocations of a program.
 *
 * SNUB_REFUSE_AT=n       refuse the n-th allocation, counted from 1; 0: only count
 * SNUB_REFUSE_ALL=1      and all after it
 * SNUB_REFUSE_ARM=FILE   count only while this file has a number in it: it is n, "n+" for all after it, and is looked
 * at again at each SIGUSR1: for a server, whose start is not counted SNUB_REFUSE_COUNT=FILE append the number of
 * allocations at the end of the process; with an armed file, at each look
 *
 * SNUB_REFUSE_THREADS=1 refuses every thread; =exit ends the process with 1 where one is asked for.
 *
 * Counted are malloc, calloc, realloc, posix_memalign, aligned_alloc and mmap of files and of memory by libraries. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <pthread.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

static atomic_long count, refuse_at;
static atomic_bool all_after, counting;
static const char *count_file, *arm_file;

extern void *__libc_malloc(size_t size);
extern void *__libc_calloc(size_t count, size_t size);
extern void *__libc_realloc(void *memory, size_t size);
extern void *__libc_memalign(size_t alignment, size_t size);

static bool refuses(void)
{
    if (!atomic_load(&counting))
        return false;
    const long n = atomic_fetch_add(&count, 1) + 1, at = atomic_load(&refuse_at);
    return at > 0 && (n == at || (n > at && atomic_load(&all_after)));
}

static void write_count(void)
{
    char line[32];
    const int file = count_file ? open(count_file, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0666) : -1;
    if (file < 0)
        return;
    long n = atomic_load(&count);
    char *at = line + sizeof line;
    *--at = '\n';
    do
        *--at = (char)('0' + n % 10);
    while ((n /= 10) > 0);
    const ssize_t written = write(file, at, (size_t)(line + sizeof line - at));
    (void)written;
    close(file);
}

/* In a signal's handler: only what may be called there. */
static void look(int signal)
{
    char text[32] = "";
    const int before = errno;
    (void)signal;
    atomic_store(&counting, false);
    write_count();
    const int file = open(arm_file, O_RDONLY | O_CLOEXEC);
    const ssize_t got = file >= 0 ? read(file, text, sizeof text - 1) : 0;
    if (file >= 0)
        close(file);
    long n = 0;
    const char *at = text;
    while (*at >= '0' && *at <= '9')
        n = 10 * n + (*at++ - '0');
    atomic_store(&all_after, *at == '+');
    atomic_store(&refuse_at, n);
    atomic_store(&count, 0);
    atomic_store(&counting, got > 0);
    errno = before;
}

__attribute__((constructor)) static void begin(void)
{
    const char *at = getenv("SNUB_REFUSE_AT"), *all = getenv("SNUB_REFUSE_ALL");
    count_file = getenv("SNUB_REFUSE_COUNT");
    arm_file = getenv("SNUB_REFUSE_ARM");
    atomic_store(&refuse_at, at ? strtol(at, NULL, 10) : 0);
    atomic_store(&all_after, all && *all == '1');
    if (arm_file) {
        struct sigaction action = {.sa_handler = look, .sa_flags = SA_RESTART};
        sigaction(SIGUSR1, &action, NULL);
    }
    atomic_store(&counting, at && !arm_file);
}

/* A process that ends by _exit has no destructors: it was refused something, and its count is not wanted. */
__attribute__((destructor)) static void end(void)
{
    atomic_store(&counting, false);
    if (!arm_file)
        write_count();
}

static void *none(void)
{
    errno = ENOMEM;
    return NULL;
}

void *malloc(size_t size)
{
    return refuses() ? none() : __libc_malloc(size);
}

void *calloc(size_t items, size_t size)
{
    return refuses() ? none() : __libc_calloc(items, size);
}

void *realloc(void *memory, size_t size)
{
    return size > 0 && refuses() ? none() : __libc_realloc(memory, size);
}

void *aligned_alloc(size_t alignment, size_t size)
{
    return refuses() ? none() : __libc_memalign(alignment, size);
}

int posix_memalign(void **memory, size_t alignment, size_t size)
{
    if (refuses())
        return ENOMEM;
    void *got = __libc_memalign(alignment, size);
    if (!got)
        return ENOMEM;
    *memory = got;
    return 0;
}

void *mmap(void *address, size_t length, int protection, int flags, int file, off_t offset)
{
    static void *(*system_mmap)(void *, size_t, int, int, int, off_t);
    if (refuses()) {
        none();
        return MAP_FAILED;
    }
    if (!system_mmap)
        *(void **)&system_mmap = dlsym(RTLD_NEXT, "mmap");
    return system_mmap(address, length, protection, flags, file, offset);
}

int pthread_create(pthread_t *thread, const pthread_attr_t *how, void *(*run)(void *), void *context)
{
    static int (*system_create)(pthread_t *, const pthread_attr_t *, void *(*)(void *), void *);
    const char *refused = getenv("SNUB_REFUSE_THREADS");
    if (refused && *refused == '1')
        return EAGAIN;
    if (refused && *refused == 'e')
        exit(1); /* as a library does that cannot go on */
    if (!system_create)
        *(void **)&system_create = dlsym(RTLD_NEXT, "pthread_create");
    return system_create(thread, how, run, context);
}

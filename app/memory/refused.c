/* The program's malloc and kin: the system's, with every refusal seen. */
#define _GNU_SOURCE /* RTLD_NEXT */
#include "refused.h"

#include <dlfcn.h>
#include <errno.h>
#include <malloc.h>
#include <pthread.h>
#include <stdatomic.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <unistd.h>

#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
#define ALLOCATOR_IS_TAKEN 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer) || __has_feature(memory_sanitizer)
#define ALLOCATOR_IS_TAKEN 1
#endif
#endif

static atomic_bool note_only = true; /* until memory_open: a program that has no such main, as a test */
static atomic_bool closed = true;
static atomic_int code_of_error;
static _Thread_local bool refused;

/* Words without memory: neither stdio nor translation. */
static void say(const char *words)
{
    const ssize_t written = write(STDERR_FILENO, words, strlen(words));
    (void)written; /* nobody is left to hear of it */
}

/* A library that cannot go on may call exit() with any code, such as 1, which would say that the drive fails. */
static void ended(void)
{
    if (atomic_load(&closed))
        return;
    say("snub: a library that snub uses gave up, most likely out of memory or of threads; no answer was "
        "written\n");
    _exit(atomic_load(&code_of_error));
}

/* What a build frees the next one takes again: given back to the system in between, its pages cost a chart a twelfth of
 * its time. A server keeps no more than this of it. */
enum { KEPT_BYTES = 32 << 20 };

static void keep_freed(void)
{
#ifdef __GLIBC__
    (void)mallopt(M_MMAP_THRESHOLD, KEPT_BYTES);
    (void)mallopt(M_TRIM_THRESHOLD, KEPT_BYTES);
#endif
}

/* Most commands take two or three megabytes, page by page, and are done: on a virtual machine, where a page is dear,
 * half of a check's time. The heap's first megabytes are therefore asked for as huge pages, as far as the system has
 * some; what lies before the first whole one is passed over, which takes room among the addresses and no memory. */
#if defined(__GLIBC__) && defined(MADV_HUGEPAGE) && !defined(ALLOCATOR_IS_TAKEN)
static void *volatile passed_over; /* nobody reads it: volatile, or the compiler leaves it out */

static void begin_with_huge_pages(void)
{
    enum { HUGE = 2 << 20, FIRST = 4 * HUGE, FRESH = 256 << 10, PAD = 128 << 10, HEADER = 64 };
    (void)mallopt(M_TOP_PAD, FIRST);
    void *volatile fresh = malloc(FRESH);
    (void)mallopt(M_TOP_PAD, PAD);
    const uintptr_t at = (uintptr_t)fresh, begin = (at + HUGE - 1) / HUGE * HUGE;
    const uintptr_t end = (uintptr_t)sbrk(0) / HUGE * HUGE;
    free(fresh);
    if (begin >= end) /* the heap is elsewhere */
        return;
    if (begin - at > HEADER)
        passed_over = malloc(begin - at - HEADER);
    (void)madvise((void *)begin, end - begin, MADV_HUGEPAGE);
}
#else
static void begin_with_huge_pages(void)
{
}
#endif

void memory_open(int code)
{
    atomic_store(&code_of_error, code);
    atomic_store(&closed, false);
    atomic_store(&note_only, false);
    if (atexit(ended) != 0)
        atomic_store(&closed, true);
    keep_freed();
    begin_with_huge_pages();
}

int memory_close(int code)
{
    atomic_store(&closed, true);
    return code;
}

void memory_note_only(void)
{
    atomic_store(&note_only, true);
}

bool memory_refused(void)
{
    return refused;
}

void memory_begin(void)
{
    refused = false;
}

void memory_limit(size_t bytes)
{
#ifndef ALLOCATOR_IS_TAKEN /* a sanitizer maps more than any machine has */
    /* Not the address space: the C library reserves much of that for each thread, and does not use it. */
    struct rlimit limit;
    if (getrlimit(RLIMIT_DATA, &limit) != 0 || (limit.rlim_cur != RLIM_INFINITY && limit.rlim_cur <= bytes))
        return;
    limit.rlim_cur = bytes;
    setrlimit(RLIMIT_DATA, &limit);
#else
    (void)bytes;
#endif
}

#ifndef ALLOCATOR_IS_TAKEN

/* The dynamic linker allocates while it says that it found nothing; then it gets nothing. */
static _Thread_local bool looking;

static void *next(const char *name)
{
    if (looking)
        return NULL;
    looking = true;
    void *found = dlsym(RTLD_NEXT, name);
    looking = false;
    return found;
}

static void see(const char *words)
{
    refused = true;
    if (atomic_load(&note_only))
        return;
    say(words);
    _exit(atomic_load(&code_of_error));
}

static void *seen(void *memory)
{
    if (!memory && !looking)
        see("snub: out of memory\n");
    return memory;
}

/* ISO C has no conversion from an object's address to a function's; POSIX has, by way of memory. */
#define SYSTEM_FUNCTION(type, name)                                                                                    \
    static type found;                                                                                                 \
    void *at = __atomic_load_n((void **)&found, __ATOMIC_RELAXED);                                                     \
    if (!at && (at = next(name)) != NULL)                                                                              \
        __atomic_store_n((void **)&found, at, __ATOMIC_RELAXED);                                                       \
    type call;                                                                                                         \
    memcpy(&call, &at, sizeof call)

typedef void *(*of_size)(size_t);
typedef void *(*of_two)(size_t, size_t);
typedef void *(*of_memory)(void *, size_t);
typedef int (*of_place)(void **, size_t, size_t);
typedef int (*of_thread)(pthread_t *, const pthread_attr_t *, void *(*)(void *), void *);

void *malloc(size_t size)
{
    SYSTEM_FUNCTION(of_size, "malloc");
    return seen(call ? call(size) : NULL);
}

void *calloc(size_t count, size_t size)
{
    SYSTEM_FUNCTION(of_two, "calloc");
    return seen(call ? call(count, size) : NULL);
}

void *realloc(void *memory, size_t size)
{
    SYSTEM_FUNCTION(of_memory, "realloc");
    void *grown = call ? call(memory, size) : NULL;
    return grown || size == 0 ? grown : seen(NULL); /* of size 0: given back */
}

void *aligned_alloc(size_t alignment, size_t size)
{
    SYSTEM_FUNCTION(of_two, "aligned_alloc");
    return seen(call ? call(alignment, size) : NULL);
}

int posix_memalign(void **memory, size_t alignment, size_t size)
{
    SYSTEM_FUNCTION(of_place, "posix_memalign");
    const int reason = call ? call(memory, alignment, size) : ENOMEM;
    if (reason == ENOMEM)
        seen(NULL);
    return reason;
}

/* A thread takes memory for its stack. Where it gets none, one library aborts and another exits with 1. */
int pthread_create(pthread_t *thread, const pthread_attr_t *how, void *(*run)(void *), void *context)
{
    SYSTEM_FUNCTION(of_thread, "pthread_create");
    const int reason = call ? call(thread, how, run, context) : EAGAIN;
    if (reason == EAGAIN || reason == ENOMEM)
        see("snub: out of memory for one more thread, or too many threads run already\n");
    return reason;
}

#endif

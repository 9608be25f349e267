/** What benches share: clocks, order, and an end with words. */
#ifndef SNUB_BENCH_TIMING_H
#define SNUB_BENCH_TIMING_H

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "snub/base.h"

static inline double bench_clock(clockid_t clock)
{
    struct timespec t;
    clock_gettime(clock, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/** s of the wall's clock. */
static inline double bench_wall(void)
{
    return bench_clock(CLOCK_MONOTONIC);
}

/** s of this process on all processors. */
static inline double bench_processor(void)
{
    return bench_clock(CLOCK_PROCESS_CPUTIME_ID);
}

/** Of two doubles, for qsort. */
static inline int bench_rising(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static inline void bench_stop(const char *what, const snub_error *error)
{
    fprintf(stderr, "bench: %s: %s %s\n", what, error->key, error->message);
    exit(1);
}

#endif

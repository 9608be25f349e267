/* A GEOS handle and seeded numbers for tests that compare with it: setup, teardown and draws. */
#ifndef SNUB_TEST_GEOS_H
#define SNUB_TEST_GEOS_H

#include <geos_c.h>
#include <stdint.h>

static uint64_t seed;

static double between(double low, double high)
{
    seed ^= seed << 13;
    seed ^= seed >> 7;
    seed ^= seed << 17;
    return low + (high - low) * ((double)(seed >> 11) / 9007199254740992.0);
}

static void quiet(const char *format, ...)
{
    (void)format; /* GEOS tells of every outline that crosses itself */
}

static int open_geos(void **state)
{
    seed = 0x9E3779B97F4A7C15ULL;
    *state = initGEOS_r(quiet, quiet);
    return *state == NULL;
}

static int close_geos(void **state)
{
    finishGEOS_r(*state);
    return 0;
}

#endif

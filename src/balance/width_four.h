/** Vectors of four: AVX2. Private to src/balance. */
#ifndef SNUB_BALANCE_WIDTH_FOUR_H
#define SNUB_BALANCE_WIDTH_FOUR_H

#include <immintrin.h>

#define LANES 4
#include "width.h"

static inline lanes pick(marks which, lanes yes, lanes no)
{
    return (lanes)_mm256_blendv_pd((__m256d)no, (__m256d)yes, (__m256d)which);
}

static inline bool any(marks which)
{
    return !_mm256_testz_si256((__m256i)which, (__m256i)which);
}

static inline lanes lane_sqrt(lanes x)
{
    return (lanes)_mm256_sqrt_pd((__m256d)x);
}

#endif

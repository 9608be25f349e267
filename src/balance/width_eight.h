/** Vectors of eight: AVX-512. Private to src/balance. */
#ifndef SNUB_BALANCE_WIDTH_EIGHT_H
#define SNUB_BALANCE_WIDTH_EIGHT_H

#include <immintrin.h>

#define LANES 8
#include "width.h"

static inline lanes pick(marks which, lanes yes, lanes no)
{
    return (lanes)_mm512_mask_blend_pd(_mm512_movepi64_mask((__m512i)which), (__m512d)no, (__m512d)yes);
}

static inline bool any(marks which)
{
    return _mm512_movepi64_mask((__m512i)which) != 0;
}

static inline lanes lane_sqrt(lanes x)
{
    return (lanes)_mm512_sqrt_pd((__m512d)x);
}

#endif

/* The batch kernel in vectors of eight: AVX-512. Compiled for it; called only where the processor has it (batch.c). */
#include "batch_kernel.h"

#ifdef SNUB_BATCH_X86
#include <immintrin.h>

#define LANES 8
#define KERNEL snub_batch_eight
#include "batch_width.h"

static inline lanes pick(marks which, lanes yes, lanes no)
{
    return (lanes)_mm512_mask_blend_pd(_mm512_movepi64_mask((__m512i)which), (__m512d)no, (__m512d)yes);
}

static inline bool any(marks which)
{
    return _mm512_movepi64_mask((__m512i)which) != 0;
}

static lanes lane_sqrt(lanes x)
{
    return (lanes)_mm512_sqrt_pd((__m512d)x);
}

static lanes lane_atan2(lanes y, lanes x)
{
    return (lanes)Sleef_cinz_atan2d8_u10avx512fnofma((__m512d)y, (__m512d)x);
}

static void lane_sincos(lanes angle, lanes *sine, lanes *cosine)
{
    const Sleef___m512d_2 both = Sleef_cinz_sincosd8_u10avx512fnofma((__m512d)angle);
    *sine = (lanes)both.x;
    *cosine = (lanes)both.y;
}

#include "batch_lanes.h"
#endif

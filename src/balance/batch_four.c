/* The batch kernel in vectors of four: AVX2. Compiled for it; called only where the processor has it (batch.c). */
#include "batch_kernel.h"

#ifdef SNUB_BATCH_X86
#include <immintrin.h>

#define LANES 4
#define KERNEL snub_batch_four
#include "batch_width.h"

static inline lanes pick(marks which, lanes yes, lanes no)
{
    return (lanes)_mm256_blendv_pd((__m256d)no, (__m256d)yes, (__m256d)which);
}

static inline bool any(marks which)
{
    return !_mm256_testz_si256((__m256i)which, (__m256i)which);
}

static lanes lane_sqrt(lanes x)
{
    return (lanes)_mm256_sqrt_pd((__m256d)x);
}

static lanes lane_atan2(lanes y, lanes x)
{
    return (lanes)Sleef_cinz_atan2d4_u10avx((__m256d)y, (__m256d)x);
}

static void lane_sincos(lanes angle, lanes *sine, lanes *cosine)
{
    const Sleef___m256d_2 both = Sleef_cinz_sincosd4_u10avx((__m256d)angle);
    *sine = (lanes)both.x;
    *cosine = (lanes)both.y;
}

#include "batch_lanes.h"
#endif

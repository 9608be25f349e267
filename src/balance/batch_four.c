/* The batch kernel in vectors of four: AVX2. Compiled for it; called only where the processor has it (batch.c). */
#include "batch_kernel.h"

#ifdef SNUB_BATCH_X86
#include "width_four.h"

#include "batch_width.h"

#define KERNEL snub_batch_four

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

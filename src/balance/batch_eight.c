/* The batch kernel in vectors of eight: AVX-512. Compiled for it; called only where the processor has it (batch.c). */
#include "batch_kernel.h"

#ifdef SNUB_BATCH_X86
#include "width_eight.h"

#include "batch_width.h"

#define KERNEL snub_batch_eight

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

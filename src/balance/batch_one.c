/* The batch kernel without vectors: the reference, and for processors that have none. */
#include <math.h>

#define LANES 1
#define KERNEL snub_batch_one
#include "batch_width.h"

static inline lanes pick(marks which, lanes yes, lanes no)
{
    return which[0] != 0 ? yes : no;
}

static inline bool any(marks which)
{
    return which[0] != 0;
}

static lanes lane_sqrt(lanes x)
{
    return (lanes){sqrt(x[0])};
}

static lanes lane_atan2(lanes y, lanes x)
{
    return (lanes){Sleef_cinz_atan2d1_u10purec(y[0], x[0])};
}

static void lane_sincos(lanes angle, lanes *sine, lanes *cosine)
{
    const Sleef_double_2 both = Sleef_cinz_sincosd1_u10purec(angle[0]);
    *sine = (lanes){both.x};
    *cosine = (lanes){both.y};
}

#include "batch_lanes.h"

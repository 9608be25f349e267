/** Ellipses of errors. */
#include "ellipse.h"

#include <math.h>

void snub_ellipse(const double block[3], double factor, double axis[2], double *turn)
{
    const double mean = 0.5 * (block[0] + block[2]), half = 0.5 * (block[0] - block[2]);
    const double spread = hypot(half, block[1]);
    axis[0] = factor * sqrt(fmax(mean + spread, 0.0));
    axis[1] = factor * sqrt(fmax(mean - spread, 0.0));
    *turn = 0.5 * atan2(2.0 * block[1], block[0] - block[2]);
}

/** Round numbers for an axis. */
#include <math.h>

#include "snub/draw.h"
#include "ticks.h"

/** Ends of the axis count as ticks within this part of a step: 0.1 is no binary number. */
#define TICK_SLACK 1e-9

void snub_ticks(double low, double high, int most, double *first, double *step, int *count, int *decimals)
{
    static const double round[5] = {1, 2, 2.5, 5, 10};
    double range = high - low;
    if (!(range > 0) || !isfinite(range) || most < 2) {
        *first = low;
        *step = 1;
        *count = isfinite(low) ? 1 : 0;
        *decimals = 0;
        return;
    }
    int exponent = (int)floor(log10(range / most)) - 1;
    for (int i = 0;; i++) {
        int power = exponent + i / 4;
        *step = round[i % 4] * pow(10, power);
        *first = ceil(low / *step - TICK_SLACK) * *step;
        *count = (int)floor((high - *first) / *step + TICK_SLACK) + 1;
        *decimals = power < 0 ? -power + (i % 4 == 2 ? 1 : 0) : i % 4 == 2 && power == 0 ? 1 : 0;
        if (*count <= most)
            break;
    }
    if (*first == 0)
        *first = 0; /* no minus zero */
}

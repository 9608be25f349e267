/* An overrunning clutch on a rim that swings as cos t (acceleration): the shaft takes hold + cos t while that is over
 * 0. It lets go where cos t = - hold and slows down evenly; it holds again where the rim has caught up. Neither time is
 * a blow: speeds are equal. */
#include "overrun.h"

#include <math.h>
#include <stddef.h>

#include "snub/units.h"

/* Speed of the rim over that of the shaft, t after the greatest acceleration. */
static double lead(double hold, double opens, double t)
{
    return sin(t) - sin(opens) + hold * (t - opens);
}

/* Where the rim catches up: it falls behind up to 2 pi - opens, gains from there, and has caught up before a whole turn
 * is over. By Newton's steps, halving where one leaves what is left. */
static double closes(double hold, double opens)
{
    enum { STEPS_MOST = 80 };
    double low = 2.0 * SNUB_PI - opens, high = opens + 2.0 * SNUB_PI, t = 0.5 * (low + high);
    for (int k = 0; k < STEPS_MOST && high - low > 0.0; k++) {
        const double ahead = lead(hold, opens, t);
        if (ahead < 0.0)
            low = t;
        else
            high = t;
        const double next = t - ahead / (cos(t) + hold);
        const double to = next > low && next < high ? next : 0.5 * (low + high);
        if (fabs(to - t) < 1e-15 * high)
            break;
        t = to;
    }
    return t;
}

/* Integral of (hold + cos t) e^(-i t) up to t. */
static double complex handed_on(double hold, double t)
{
    return hold * sin(t) + 0.5 * t + 0.25 * sin(2.0 * t) + I * (hold * cos(t) - 0.5 * sin(t) * sin(t));
}

double complex snub_overrun_share(double hold, double open[2])
{
    if (hold >= 1.0)
        return 1.0;
    const double from = acos(-hold), to = closes(hold, from);
    if (open != NULL) {
        open[0] = from;
        open[1] = to;
    }
    return (handed_on(hold, from) - handed_on(hold, to - 2.0 * SNUB_PI)) / SNUB_PI;
}

/* Torque of every shaft. A blower's match takes a search: it is tabulated over crank speed and the share of the speed
 * without slip. A shaft that turns faster than without slip is on the line through the last two. */
#include "scenario_loads.h"

static snub_status fill(snub_shaft_loads *loads, int pulley, int open, snub_error *error)
{
    double *table = loads->torque[open][pulley];
    for (int k = 0; k < loads->speeds; k++) {
        const double speed =
            loads->speeds > 1 ? loads->low + (loads->high - loads->low) * k / (loads->speeds - 1) : loads->low;
        double *row = &table[k * SNUB_SHAFT_FACTORS];
        for (int f = SNUB_SHAFT_FACTORS - 1; f >= 0; f--) {
            const double factor = (double)f / (SNUB_SHAFT_FACTORS - 1);
            const snub_status status =
                snub_demand_torque(loads->drive, pulley, speed, factor, open ? SNUB_THROTTLE_OPEN : SNUB_THROTTLE_SHUT,
                                   &row[f], NULL, f == SNUB_SHAFT_FACTORS - 1 ? error : NULL);
            if (status != SNUB_OK && f == SNUB_SHAFT_FACTORS - 1)
                return status;
            if (status != SNUB_OK || f == 0) /* no answer so slow: it fades */
                row[f] = row[SNUB_SHAFT_FACTORS - 1] * factor;
        }
    }
    return SNUB_OK;
}

static bool hangs_on_more(const snub_pulley *pulley)
{
    return pulley->load_by_boost.nx > 0 || (pulley->has_blower && pulley->load.n == 0);
}

snub_status snub_shaft_loads_make(const snub_drive *drive, double low, double high, snub_arena *arena,
                                  snub_shaft_loads *loads, snub_error *error)
{
    *loads = (snub_shaft_loads){.drive = drive, .speeds = high > low ? SNUB_RUN_SPEEDS : 1, .low = low, .high = high};
    for (int i = 0; i < drive->pulley_count; i++) {
        for (int open = 0; open < 2 && i != drive->crank && hangs_on_more(&drive->pulleys[i]); open++) {
            loads->torque[open][i] = SNUB_NEW(arena, double, loads->speeds *SNUB_SHAFT_FACTORS);
            if (loads->torque[open][i] == NULL)
                return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
            const snub_status status = fill(loads, i, open, error);
            if (status != SNUB_OK)
                return status;
        }
    }
    return SNUB_OK;
}

/* Cell and share of a place on a grid of `count` points; held at the ends, or going on straight. */
static int cell_of(double place, int count, bool goes_on, double *share)
{
    const int cell = place <= 0.0 ? 0 : place >= count - 1 ? count - 2 : (int)place;
    *share = place - cell;
    if (!goes_on)
        *share = fmin(fmax(*share, 0.0), 1.0);
    return cell;
}

static double table_at(const snub_shaft_loads *loads, const double *table, double crank_speed, double factor)
{
    double s = 0.0, f;
    const int k = loads->speeds > 1
                      ? cell_of((crank_speed - loads->low) / (loads->high - loads->low) * (loads->speeds - 1),
                                loads->speeds, false, &s)
                      : 0;
    const int c = cell_of(fmax(factor, 0.0) * (SNUB_SHAFT_FACTORS - 1), SNUB_SHAFT_FACTORS, true, &f);
    const double *a = &table[k * SNUB_SHAFT_FACTORS + c], *b = loads->speeds > 1 ? a + SNUB_SHAFT_FACTORS : a;
    return (1.0 - s) * (a[0] + f * (a[1] - a[0])) + s * (b[0] + f * (b[1] - b[0]));
}

double snub_shaft_load(const snub_shaft_loads *loads, int pulley, double crank_speed, double open, double speed)
{
    const snub_drive *drive = loads->drive;
    if (!(speed > 0.0))
        return 0.0;
    const double factor = speed / (crank_speed * snub_speed_ratio(drive, pulley));
    if (loads->torque[0][pulley] == NULL) {
        const double fades = crank_speed < drive->engine.idle ? crank_speed / drive->engine.idle : 1.0;
        return fades * fmin(factor * (SNUB_SHAFT_FACTORS - 1), 1.0) *
               snub_curve_at(&drive->pulleys[pulley].load, speed);
    }
    const double shut = open < 1.0 ? table_at(loads, loads->torque[0][pulley], crank_speed, factor) : 0.0;
    const double full = open > 0.0 ? table_at(loads, loads->torque[1][pulley], crank_speed, factor) : 0.0;
    return fmax(shut + open * (full - shut), 0.0);
}

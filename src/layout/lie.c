/* Where things stand along the crank's axis. docs/theory/clearance.md, "Along the crank". */
#include "lie.h"

void snub_lie_flat(const snub_drive *drive, snub_lie *lie)
{
    lie->tilts = NULL;
    for (int i = 0; i < drive->pulley_count; i++) {
        const double z = drive->pulleys[i].plane;
        lie->plane[i] = lie->on[i] = lie->enter[i] = lie->leave[i] = (snub_z_range){z, z};
    }
}

snub_z_range snub_lean_towards(const snub_tilts *tilts, const double centre[2], const double point[2], double reach)
{
    snub_z_range range = {0.0, 0.0};
    const double x = point[0] - centre[0], y = point[1] - centre[1], far = hypot(x, y);
    for (int k = 0; far > 0.0 && k < tilts->count; k++) {
        const double by = reach / far * (tilts->tilt[k][0] * y - tilts->tilt[k][1] * x);
        range.low = k == 0 ? by : fmin(range.low, by);
        range.high = k == 0 ? by : fmax(range.high, by);
    }
    return range;
}

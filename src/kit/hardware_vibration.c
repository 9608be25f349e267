/* What an engine's vibration does to the mass on a mount. docs/theory/mount.md, vibration. */
#include "hardware_study.h"

/* Faces and corners of a cube: a force in any direction lies within 35 deg of one of them, so that what grows with the
 * force along a direction is met to 18 % (1 - cos 35 deg), and to nothing where it is one axis that counts. */
static const double directions[SNUB_VIBRATIONS][3] = {{1, 0, 0},  {-1, 0, 0},  {0, 1, 0},   {0, -1, 0},  {0, 0, 1},
                                                      {0, 0, -1}, {1, 1, 1},   {1, 1, -1},  {1, -1, 1},  {1, -1, -1},
                                                      {-1, 1, 1}, {-1, 1, -1}, {-1, -1, 1}, {-1, -1, -1}};

int snub_vibrations(const snub_mount *mount)
{
    return mount->mass > 0.0 && mount->vibration > 0.0 ? SNUB_VIBRATIONS : 1;
}

void snub_vibrate(const snub_mount *mount, int direction, snub_wrench *wrench)
{
    const double size = mount->mass * mount->vibration, *d = directions[direction];
    const double length = sqrt(d[0] * d[0] + d[1] * d[1] + d[2] * d[2]);
    const double force[3] = {size * d[0] / length, size * d[1] / length, size * d[2] / length};
    const double at[3] = {mount->mass_at[0], mount->mass_at[1], mount->mass_at[2] - mount->face};
    if (size > 0.0)
        snub_wrench_add(wrench, force, at);
}

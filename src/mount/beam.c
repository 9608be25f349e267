/* Standoffs and studs as cantilevers. docs/theory/mount.md. */
#include "snub/mount.h"

double snub_annulus_area(double outside, double inside)
{
    return SNUB_PI / 4.0 * (outside * outside - inside * inside);
}

double snub_annulus_inertia(double outside, double inside)
{
    const double d2 = outside * outside, i2 = inside * inside;
    return SNUB_PI / 64.0 * (d2 * d2 - i2 * i2);
}

snub_bend snub_cantilever(double force, double at, double moment, double length, double rigidity)
{
    return (snub_bend){.deflection =
                           (force * at * at * (3.0 * length - at) / 6.0 + moment * length * length / 2.0) / rigidity,
                       .slope = (force * at * at / 2.0 + moment * length) / rigidity};
}

double snub_no_gap_moment(double preload, double outside, double inside)
{
    return preload * (outside * outside + inside * inside) / (8.0 * outside);
}

/* What turning a bolt does to its shank: tension, and torsion through the friction of its thread. VDI 2230. */
#include "snub/mount.h"

/* 1/cos 30 deg: a thread's flanks press harder than the pull along its axis, by their half-angle. */
#define FLANK 1.1547005383792517

/* Pitch diameter of 60 deg threads, d - 3 sqrt(3)/8 p (ISO 724, ASME B1.1). */
static double pitch_diameter(double diameter, double pitch)
{
    return diameter - 0.649519052838329 * pitch;
}

double snub_bolt_friction(double nut_factor, const snub_screw *screw)
{
    const double lead = screw->pitch / (2.0 * SNUB_PI);
    const double thread = 0.5 * FLANK * pitch_diameter(screw->diameter, screw->pitch);
    const double head = 0.25 * (screw->head + screw->hole);
    return fmax((nut_factor * screw->diameter - lead) / (thread + head), 0.0);
}

double snub_bolt_torsion(double friction, const snub_screw *screw)
{
    const double d2 = pitch_diameter(screw->diameter, screw->pitch), d0 = screw->diameter - 0.9382 * screw->pitch;
    return 1.5 * d2 / d0 * (screw->pitch / (SNUB_PI * d2) + FLANK * friction);
}

/* Of von Mises. */
static double reduced(double tension, double shear)
{
    return sqrt(tension * tension + 3.0 * shear * shear);
}

double snub_bolt_drawn(double tension, double torsion)
{
    return reduced(tension, torsion * tension);
}

/* Torsion that is left once the wrench is off, of that while tightening: VDI 2230:2003, 5.5.2 (memory). */
#define LEFT_TORSION 0.5

double snub_bolt_in_service(double tension, double torsion, double pull)
{
    return reduced(tension + pull, LEFT_TORSION * torsion * tension);
}

double snub_bolt_tension_left(double strength, double torsion, double pull)
{
    const double wrench = strength / snub_bolt_drawn(1.0, torsion);
    const double t = LEFT_TORSION * torsion, square = 1.0 + 3.0 * t * t;
    const double inside = square * strength * strength - 3.0 * t * t * pull * pull;
    /* (x + pull)^2 + 3 (t x)^2 = strength^2 */
    const double service = inside > 0.0 ? (sqrt(inside) - pull) / square : -pull;
    return fmin(wrench, service);
}

/* Stiffness of a bolted joint and the safety of its bolt. Shigley, 9th ed., 8-4 to 8-11. */
#include "snub/mount.h"

/* Stiffness of a frustum of 30 deg half-angle, `small` the diameter of its loaded end. Shigley 8-20. */
static double frustum_stiffness(double thickness, double small, double hole, double modulus)
{
    const double cone = 1.155 * thickness;
    return 0.5774 * SNUB_PI * modulus * hole /
           log((cone + small - hole) * (small + hole) / ((cone + small + hole) * (small - hole)));
}

double snub_bolt_stiffness(double shank_area, double stress_area, double shank, double thread, double modulus)
{
    return shank_area * stress_area * modulus / (shank_area * thread + stress_area * shank);
}

/* Frusta from one face to the middle of the grip; `from_head` false walks the parts from the other end. */
static double half_compliance(const snub_clamped *parts, int count, bool from_head, double middle, double face,
                              double hole)
{
    const double widen = 2.0 * tan(SNUB_PI / 6.0);
    double compliance = 0.0, depth = 0.0;
    for (int k = 0; k < count && depth < middle; k++) {
        const snub_clamped *part = &parts[from_head ? k : count - 1 - k];
        const double take = fmin(part->thickness, middle - depth);
        if (take > 0.0)
            compliance += 1.0 / frustum_stiffness(take, face + widen * depth, hole, part->modulus);
        depth += take;
    }
    return compliance;
}

double snub_member_stiffness(const snub_clamped *parts, int count, double face, double hole)
{
    double grip = 0.0;
    for (int i = 0; i < count; i++)
        grip += parts[i].thickness;
    if (!(grip > 0.0))
        return NAN;
    return 1.0 / (half_compliance(parts, count, true, 0.5 * grip, face, hole) +
                  half_compliance(parts, count, false, 0.5 * grip, face, hole));
}

/* Factor of a load: INFINITY where there is none to carry. */
static double over(double strength, double load)
{
    return load > 0.0 ? strength / load : INFINITY;
}

double snub_bolt_fatigue(double alternating, double mean, double preload_stress, double endurance, double tensile)
{
    if (!(alternating > 0.0))
        return INFINITY;
    if (preload_stress >= tensile) /* broken before it is loaded: the line would give a safety below zero */
        return 0.0;
    return endurance * (tensile - preload_stress) / (tensile * alternating + endurance * (mean - preload_stress));
}

snub_bolt_joint snub_bolt_judge(double constant, double stress_area, double proof, double endurance, double tensile,
                                const snub_bolt_load *load)
{
    const double high = fmax(load->high, 0.0), low = fmax(load->low, 0.0), c = constant;
    const double initial = load->preload_high / stress_area;
    snub_bolt_joint j = {.constant = c,
                         .bolt = load->preload_high + c * high,
                         .member = load->preload_low - (1.0 - c) * high,
                         .proof = over(proof * stress_area, c * high + load->preload_high),
                         .overload = over(fmax(proof * stress_area - load->preload_high, 0.0), c * high),
                         .separate = over(load->preload_low, (1.0 - c) * high),
                         .alternating = 0.5 * c * (high - low) / stress_area,
                         .mean = initial + 0.5 * c * (high + low) / stress_area};
    j.fatigue = snub_bolt_fatigue(j.alternating, j.mean, initial, endurance, tensile);
    return j;
}

double snub_bolt_torque(double nut_factor, double preload, double diameter)
{
    return nut_factor * preload * diameter;
}

double snub_bolt_preload(double nut_factor, double torque, double diameter)
{
    return torque / (nut_factor * diameter);
}

/* How tight a bolt is drawn, and what that does to it. docs/theory/mount.md. */
#include "hardware_study.h"

/* Shares of the proof load that a bolt is drawn to where the file is silent: Shigley, 9th ed., eqs 8-31 and 8-32. */
#define REUSED_SHARE 0.75
#define NEW_SHARE 0.90
/* What is drawn to its strength must not be over it by rounding. */
#define ROUNDING 1e-9

/* Torsion per tension when the preload comes out as `over` times what is meant: with the same torque it does so
 * because friction is that much lower. */
static double torsion_at(const snub_bolt *bolt, double over)
{
    const snub_screw screw = {bolt->diameter, bolt->pitch, bolt->head, bolt->hole};
    return snub_bolt_torsion(snub_bolt_friction(bolt->nut_factor / over, &screw), &screw);
}

/* Preload where the file is silent: the share that is usual, or the most that scatter and torsion leave of proof. */
static double usual_preload(const snub_bolt *bolt, const snub_tightness *t, double *share)
{
    const double usual = bolt->reused ? REUSED_SHARE : NEW_SHARE;
    const double most = (1.0 - ROUNDING) / ((1.0 + bolt->scatter) * snub_bolt_drawn(1.0, t->torsion_high));
    *share = fmin(usual, most);
    return *share * bolt->proof * bolt->stress_area;
}

static const char *source_of_usual(const snub_bolt *bolt, double share, const char *said, snub_arena *arena)
{
    if (share < (bolt->reused ? REUSED_SHARE : NEW_SHARE))
        return snub_format(arena, "%.0f %% of proof load, the most that scatter and torsion leave; K = %.2f (%s)",
                           100.0 * share, bolt->nut_factor, said);
    return snub_format(arena, "%.0f %% of proof load, K = %.2f (%s); machine-design handbook", 100.0 * share,
                       bolt->nut_factor, said);
}

snub_tightness snub_tightness_of(const snub_bolt *bolt, snub_arena *arena)
{
    const char *said = bolt->condition != NULL ? bolt->condition : "given";
    snub_tightness t = {.torsion = torsion_at(bolt, 1.0), .torsion_high = torsion_at(bolt, 1.0 + bolt->scatter)};
    double share = 0.0;
    if (bolt->preload > 0.0) {
        t.preload = bolt->preload;
        t.source = snub_format(arena, "preload of the file; K = %.2f (%s)", bolt->nut_factor, said);
    } else if (bolt->torque > 0.0) {
        t.preload = snub_bolt_preload(bolt->nut_factor, bolt->torque, bolt->diameter);
        t.source = snub_format(arena, "torque of the file; K = %.2f (%s)", bolt->nut_factor, said);
    } else {
        t.preload = usual_preload(bolt, &t, &share);
        t.source = source_of_usual(bolt, share, said, arena);
    }
    t.torque = bolt->torque > 0.0 ? bolt->torque : snub_bolt_torque(bolt->nut_factor, t.preload, bolt->diameter);
    t.low = t.preload * (1.0 - bolt->scatter);
    t.high = t.preload * (1.0 + bolt->scatter);
    if (t.source == NULL)
        t.source = "";
    return t;
}

/* Under the wrench, or in service with its pull: what is more. */
static double stress_of(const snub_bolt *bolt, double preload, double torsion, double pull)
{
    const double tension = preload / bolt->stress_area;
    return fmax(snub_bolt_drawn(tension, torsion), snub_bolt_in_service(tension, torsion, pull / bolt->stress_area));
}

double snub_stress_meant(const snub_bolt *bolt, const snub_tightness *t, double pull)
{
    return stress_of(bolt, t->preload, t->torsion, pull);
}

double snub_stress_most(const snub_bolt *bolt, const snub_tightness *t, double pull)
{
    return stress_of(bolt, t->high, t->torsion_high, pull);
}

bool snub_pull_counts(const snub_bolt *bolt, const snub_tightness *t, double pull)
{
    return snub_stress_most(bolt, t, pull) > snub_bolt_drawn(t->high / bolt->stress_area, t->torsion_high);
}

double snub_torque_under(const snub_bolt *bolt, const snub_tightness *t, double pull)
{
    const double left = snub_bolt_tension_left(bolt->proof, t->torsion_high, pull / bolt->stress_area);
    return t->torque * left * bolt->stress_area / t->high;
}

double snub_tension_most(const snub_bolt *bolt, const snub_tightness *t)
{
    return bolt->yield > 0.0 ? fmin(t->high, bolt->yield * bolt->stress_area) : t->high;
}

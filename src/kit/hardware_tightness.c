/* How tight a bolt is drawn, and how that stands to its proof strength. docs/theory/mount.md. */
#include "hardware_study.h"

/* Places of a torque: a tenth of it must not be lost by rounding. */
enum { FINE = 2 };

snub_tightness snub_tightness_of(const snub_bolt *bolt, snub_arena *arena)
{
    const double share = bolt->reused ? 0.75 : 0.90;
    const char *said = bolt->condition != NULL ? bolt->condition : "given";
    snub_tightness t = {0};
    if (bolt->preload > 0.0) {
        t.preload = bolt->preload;
        t.source = snub_format(arena, "preload of the file; K = %.2f (%s)", bolt->nut_factor, said);
    } else if (bolt->torque > 0.0) {
        t.preload = snub_bolt_preload(bolt->nut_factor, bolt->torque, bolt->diameter);
        t.source = snub_format(arena, "torque of the file; K = %.2f (%s)", bolt->nut_factor, said);
    } else {
        t.preload = share * bolt->proof * bolt->stress_area;
        /* Shigley, eqs 8-31 and 8-32, Table 8-15 */
        t.source = snub_format(arena, "%.0f %% of proof load, K = %.2f (%s); machine-design handbook", 100.0 * share,
                               bolt->nut_factor, said);
    }
    t.torque = bolt->torque > 0.0 ? bolt->torque : snub_bolt_torque(bolt->nut_factor, t.preload, bolt->diameter);
    t.low = t.preload * (1.0 - bolt->scatter);
    t.high = t.preload * (1.0 + bolt->scatter);
    if (t.source == NULL)
        t.source = "";
    return t;
}

/* ---- proof ------------------------------------------------------------------------------------------------------ */

static double proof_load(const snub_bolt *bolt)
{
    return bolt->proof * bolt->stress_area;
}

/* Greatest torque with which the bolt keeps under: the pull stays as it is when the preload falls. */
static double torque_under(const snub_bolt *bolt, const snub_tightness *t, double pull)
{
    return t->torque * (proof_load(bolt) - pull) / t->high;
}

static int places_of(double torque)
{
    return torque >= 10.0 ? 0 : torque >= 1.0 ? 1 : FINE;
}

/* What is printed of it must be a torque. */
static bool some(double torque)
{
    return torque * pow(10.0, FINE) >= 1.0;
}

snub_wording snub_proof_wording(const snub_bolt *bolt, const snub_tightness *t, double pull)
{
    const double most = proof_load(bolt);
    if (!(t->high + pull > most))
        return SNUB_WORDINGS_;
    if (!some(torque_under(bolt, t, pull)))
        return SNUB_SAYS_PULL_OVER_PROOF;
    return t->preload + pull > most ? SNUB_SAYS_BOLT_OVER_PROOF : SNUB_SAYS_BOLT_MAY_PASS_PROOF;
}

void snub_proof_fill(snub_finding *finding, const snub_bolt *bolt, const char *owner, const snub_tightness *t,
                     double pull)
{
    const double torque = torque_under(bolt, t, pull);
    finding->value = (t->high + pull) / bolt->stress_area;
    finding->limit = bolt->proof;
    snub_finding_name(finding, "bolt", bolt->name);
    snub_finding_name(finding, "owner", owner);
    snub_finding_most(finding, "torque", torque, SNUB_UNIT_N_M, places_of(torque));
}

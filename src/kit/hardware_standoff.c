/* Standoffs: clamped tube as a cantilever, gap, slope, fatigue; and how tight a bolt is. docs/theory/mount.md. */
#include "hardware_study.h"

/* Endurance of aluminium at 5e8 turns over its tensile strength; rule of thumb. */
#define ALUMINIUM_ENDURANCE 0.35
/* Fatigue is judged for 99 parts in 100. */
#define PARTS_THAT_HOLD 0.99
/* Safety against fatigue and gap under which a finding watches; rule of thumb. */
#define WATCH_SAFETY 1.5

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
        t.source = snub_format(arena, "%.0f %% of proof load (Shigley eq. %s), K = %.2f (%s, Shigley Table 8-15)",
                               100.0 * share, bolt->reused ? "8-31" : "8-32", bolt->nut_factor, said);
    }
    t.torque = bolt->torque > 0.0 ? bolt->torque : snub_bolt_torque(bolt->nut_factor, t.preload, bolt->diameter);
    t.low = t.preload * (1.0 - bolt->scatter);
    t.high = t.preload * (1.0 + bolt->scatter);
    if (t.source == NULL)
        t.source = "";
    return t;
}

static double endurance_of(const snub_standoff *s)
{
    double a, b;
    snub_marin_finish(SNUB_MACHINED, &a, &b);
    const snub_marin m = {.surface = snub_marin_surface(s->material.tensile, a, b),
                          .size = snub_marin_size(s->outside),
                          .load = 1.0,
                          .temperature = 1.0,
                          .reliability = snub_marin_reliability(PARTS_THAT_HOLD),
                          .other = 1.0};
    if (s->material.modulus < 100e9)
        return ALUMINIUM_ENDURANCE * s->material.tensile * m.reliability;
    return snub_endurance(s->material.tensile, &m);
}

/* Height of the belt over the standoff's root: the plane less what the pulley's stack has before the standoff. */
static double lever(const snub_hardware_study *study, int i)
{
    const snub_pulley_hardware *h = &study->hardware->pulleys[i];
    double root = snub_hardware_base(study->hardware, i);
    bool stacked = false;
    for (int k = 0; k < h->stack.count && !stacked; k++) {
        stacked = h->stack.parts[k].kind == SNUB_STACK_STANDOFF;
        if (!stacked)
            root += h->stack.parts[k].length;
    }
    const double over = study->drive->pulleys[i].plane - root;
    return stacked && over > 0.0 ? over : h->standoff.length;
}

static void judge_gap(snub_hardware_study *study, int i, const snub_standoff_result *r)
{
    if (!r->gap && r->no_gap >= WATCH_SAFETY * r->moment)
        return;
    snub_finding f = snub_hardware_finding(study, r->gap ? SNUB_SAYS_STANDOFF_OPENS : SNUB_SAYS_STANDOFF_NEARLY_OPENS, i,
                                           NULL, r->moment);
    f.limit = r->no_gap;
    snub_finding_number(&f, "preload", r->preload_low, SNUB_UNIT_KN, 1);
    snub_finding_number(&f, "wanted", r->preload_low * r->moment / r->no_gap, SNUB_UNIT_KN, 1);
    snub_hardware_tell(study, &f);
}

static void judge_fatigue(snub_hardware_study *study, int i, const snub_standoff_result *r)
{
    if (r->fatigue >= WATCH_SAFETY)
        return;
    const bool breaks = r->fatigue < 1.0;
    snub_finding f = snub_hardware_finding(study, breaks ? SNUB_SAYS_STANDOFF_BREAKS : SNUB_SAYS_STANDOFF_MAY_BREAK, i,
                                           NULL, r->fatigue);
    f.limit = breaks ? 1.0 : WATCH_SAFETY;
    snub_finding_number(&f, "alternating", r->alternating, SNUB_UNIT_MPA, 0);
    snub_finding_number(&f, "mean", r->mean, SNUB_UNIT_MPA, 0);
    snub_hardware_tell(study, &f);
}

static void judge_proof(snub_hardware_study *study, int i, const snub_tightness *t)
{
    const snub_bolt *bolt = &study->hardware->pulleys[i].standoff.bolt;
    const double most = bolt->proof * bolt->stress_area;
    if (!(t->high > most))
        return;
    snub_finding f =
        snub_hardware_finding(study, t->preload > most ? SNUB_SAYS_BOLT_OVER_PROOF : SNUB_SAYS_BOLT_MAY_PASS_PROOF, i,
                              bolt->name, t->high / bolt->stress_area);
    f.limit = bolt->proof;
    snub_finding_name(&f, "bolt", bolt->name);
    snub_finding_name(&f, "owner", study->drive->pulleys[i].name);
    snub_finding_number(&f, "torque", t->torque * most / t->high, SNUB_UNIT_N_M, 0);
    snub_hardware_tell(study, &f);
}

static void judge(snub_hardware_study *study, int i)
{
    const snub_standoff *s = &study->hardware->pulleys[i].standoff;
    const snub_hub_load *hub = &study->report->hub[i];
    snub_standoff_result *r = &study->report->standoff[i];
    const double arm = lever(study, i), inertia = snub_annulus_inertia(s->outside, s->inside);
    const snub_tightness t = snub_tightness_of(&s->bolt, study->arena);
    r->given = true;
    r->preload_low = t.low;
    r->preload_high = t.high;
    r->torque = t.torque;
    r->moment = hub->worst_size * arm;
    r->no_gap = snub_no_gap_moment(t.low, s->outside, s->inside);
    r->gap = r->moment > r->no_gap;
    const double rigidity =
        r->gap ? s->material.modulus * snub_annulus_inertia(s->bolt.diameter, 0.0) : s->material.modulus * inertia;
    const double at = fmin(arm, s->length), past = fmax(arm - s->length, 0.0);
    const snub_bend bend = snub_cantilever(hub->worst_size, at, hub->worst_size * past, s->length, rigidity);
    r->deflection = bend.deflection + bend.slope * past;
    r->slope = bend.slope;
    const double fibre =
        r->gap ? 0.5 * s->bolt.diameter / snub_annulus_inertia(s->bolt.diameter, 0.0) : 0.5 * s->outside / inertia;
    r->stress = r->moment * fibre;
    r->alternating = 0.5 * (hub->worst_size - hub->least_size) * arm * fibre;
    r->mean = 0.5 * (hub->worst_size + hub->least_size) * arm * fibre -
              (r->gap ? 0.0 : t.low / snub_annulus_area(s->outside, s->inside));
    r->endurance = endurance_of(s);
    if (!study->hardware->pulleys[i].seat.outer_turns && study->hardware->pulleys[i].seat.given) {
        r->alternating = r->stress; /* a turning shaft sees the whole load both ways each turn */
        r->mean = 0.0;
    }
    r->fatigue = snub_goodman(r->alternating, r->mean, r->endurance, s->material.tensile);
    double tilt[2];
    snub_tilt_from_slope(hub->worst, r->slope, tilt);
    study->tilt[i][0] += tilt[0];
    study->tilt[i][1] += tilt[1];
    judge_gap(study, i, r);
    judge_fatigue(study, i, r);
    judge_proof(study, i, &t);
}

void snub_hardware_standoffs(snub_hardware_study *study)
{
    for (int i = 0; i < study->drive->pulley_count; i++) {
        if (study->hardware->pulleys[i].standoff.given)
            judge(study, i);
    }
}

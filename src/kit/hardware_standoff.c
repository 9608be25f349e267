/* Standoffs: clamped tube as a cantilever, gap, slope, fatigue; and how tight a bolt is. docs/theory/mount.md. */
#include "hardware_study.h"

/* Endurance of aluminium at 5e8 turns over its tensile strength; memory. */
#define ALUMINIUM_ENDURANCE 0.35
/* Fatigue is judged for 99 parts in 100. */
#define PARTS_THAT_HOLD 0.99
/* Safety against fatigue and gap under which a finding watches; memory. */
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

static void judge(snub_hardware_study *study, int i)
{
    const snub_standoff *s = &study->hardware->pulleys[i].standoff;
    const snub_hub_load *hub = &study->report->hub[i];
    const char *name = study->drive->pulleys[i].name;
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
    if (r->gap)
        snub_hardware_find(
            study, SNUB_FAIL, "standoff_gap", name, NULL, r->moment, r->no_gap, "N m",
            "derived: M < Fi (D^2 + d^2)/(8 D)",
            "The standoff opens at its root: %.1f N m where its bolt, %.1f kN at the low end of its scatter, "
            "holds it shut to %.1f N m. The bolt alone then bends. Use a wider or shorter standoff, or %.1f kN.",
            r->moment, t.low / 1000, r->no_gap, t.low / 1000 * r->moment / r->no_gap);
    else if (r->no_gap < WATCH_SAFETY * r->moment)
        snub_hardware_find(study, SNUB_WATCH, "standoff_gap", name, NULL, r->moment, r->no_gap, "N m",
                           "derived: M < Fi (D^2 + d^2)/(8 D)",
                           "The standoff stays shut with little in hand: %.1f of %.1f N m.", r->moment, r->no_gap);
    if (r->fatigue < WATCH_SAFETY)
        snub_hardware_find(study, r->fatigue < 1.0 ? SNUB_FAIL : SNUB_WATCH, "standoff_fatigue", name, NULL, r->fatigue,
                           r->fatigue < 1.0 ? 1.0 : WATCH_SAFETY, "", "Goodman with Marin's factors, Shigley ch. 6",
                           "The standoff's safety against fatigue is %.2f: %.0f MPa alternating, %.0f MPa mean.",
                           r->fatigue, r->alternating / 1e6, r->mean / 1e6);
    if (t.high > s->bolt.proof * s->bolt.stress_area)
        snub_hardware_find(study, t.preload > s->bolt.proof * s->bolt.stress_area ? SNUB_FAIL : SNUB_WATCH,
                           "bolt_proof", name, s->bolt.name, t.high / 1000, s->bolt.proof * s->bolt.stress_area / 1000,
                           "kN", "proof load of the property class",
                           "%.0f N m can draw the %s to %.1f kN, over its proof load of %.1f kN: %.0f N m at most.",
                           t.torque, s->bolt.name, t.high / 1000, s->bolt.proof * s->bolt.stress_area / 1000,
                           t.torque * s->bolt.proof * s->bolt.stress_area / t.high);
}

void snub_hardware_standoffs(snub_hardware_study *study)
{
    for (int i = 0; i < study->drive->pulley_count; i++) {
        if (study->hardware->pulleys[i].standoff.given)
            judge(study, i);
    }
}

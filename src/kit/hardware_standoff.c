/* Standoffs: clamped tube as a cantilever, gap, slope, fatigue, friction and pressure of its face; its bolt.
 * docs/theory/mount.md. */
#include "mend.h"
#include "snub/locale.h"

/* Height of the belt over the standoff's root: the plane less what the pulley's stack has before the standoff, and as
 * far off it as the belt runs. */
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
    const double over = stacked ? snub_hardware_belt_at(study, i) - root : h->standoff.length + study->drift[i];
    return over > 0.0 ? over : h->standoff.length;
}

/* ---- one standoff ------------------------------------------------------------------------------------------------ */

typedef struct standoff_case {
    snub_hardware_study *study;
    int pulley;
    const snub_standoff *standoff;
    const snub_hub_load *hub;
    double arm;    /* of the hub load over the standoff's root, m */
    double moment; /* of the greatest hub load there, N m */
    double slot;   /* width of the one under its foot, m; 0: none */
    double way[2]; /* that it leads to, of size 1 */
    snub_tightness tightness;
    snub_standoff_result *r;
} standoff_case;

/* Clamped by the low end of its preload: it begins to lift soonest. */
static snub_clamped_tube tube_of(const standoff_case *c)
{
    const snub_standoff *s = c->standoff;
    return (snub_clamped_tube){s->outside, s->inside, s->material.modulus, c->tightness.low,
                               SNUB_BOLT_MODULUS * snub_annulus_inertia(s->bolt.diameter, 0.0)};
}

static const snub_mount *mount_of(const standoff_case *c)
{
    const int mount = c->study->hardware->pulleys[c->pulley].mount;
    return mount >= 0 ? &c->study->hardware->mounts[mount] : NULL;
}

/* ---- over a slot ------------------------------------------------------------------------------------------------- */

/* A standoff whose own bolt holds it in a slot stands over it; one on a slider does not. */
static void find_slot(standoff_case *c)
{
    snub_slot_hold hold;
    const snub_pulley_hardware *h = &c->study->hardware->pulleys[c->pulley];
    if (!snub_slot_bolt(c->study, c->pulley, &hold) || hold.bolt != &c->standoff->bolt)
        return;
    double way[2];
    snub_along_slot(c->study, c->pulley, way);
    const double length = hypot(way[0], way[1]);
    const double width = snub_slot_width(mount_of(c), h);
    c->slot = width < c->standoff->outside ? width : 0.0; /* one that it falls into is a finding of its own */
    for (int k = 0; k < 2; k++)
        c->way[k] = length > 0.0 ? way[k] / length : 0.0;
}

/* Moments of a hub force along and across the slot. */
static void over_slot(const standoff_case *c, const double force[2], double moment[2])
{
    moment[0] = (force[0] * c->way[0] + force[1] * c->way[1]) * c->arm;
    moment[1] = (force[1] * c->way[0] - force[0] * c->way[1]) * c->arm;
}

/* The case in which its foot comes nearest to lifting: the greatest load, unless a slot under it makes another worse.
 */
static void find_opening(const standoff_case *c)
{
    const snub_clamped_tube tube = tube_of(c);
    snub_standoff_result *r = c->r;
    r->moment = c->moment;
    r->no_gap = snub_no_gap_moment(tube.preload, tube.outside, tube.inside);
    r->opens_in = c->hub->worst_at;
    double use = 0.0;
    for (int k = 0; c->slot > 0.0 && k < c->study->study->sample_count; k++) {
        const snub_hub_sample *s = &c->study->study->samples[k];
        double moment[2];
        over_slot(c, s->force[c->pulley], moment);
        const double now = snub_slotted_use(&tube, c->slot, moment[0], moment[1]);
        if (!(now > use))
            continue;
        use = now;
        r->moment = hypot(moment[0], moment[1]);
        r->no_gap = r->moment / now;
        r->opens_in = s->at;
        r->foot[0] = moment[0];
        r->foot[1] = moment[1];
    }
    r->gap = r->moment > r->no_gap;
}

static snub_pressed_face foot_of(const standoff_case *c, double preload)
{
    snub_clamped_tube tube = tube_of(c);
    tube.preload = preload;
    if (c->slot > 0.0)
        return snub_press_slotted(&tube, c->slot, c->r->foot[0], c->r->foot[1]);
    return snub_press_face(&tube, c->moment);
}

/* ---- bending ----------------------------------------------------------------------------------------------------- */

/* @return false: memory is out */
static bool bend(const standoff_case *c)
{
    const snub_clamped_tube tube = tube_of(c);
    const double shut = snub_no_gap_moment(tube.preload, tube.outside, tube.inside);
    const bool lifts = c->moment > shut;
    snub_tube_law law, *kept = lifts ? SNUB_NEW(c->study->arena, snub_tube_law, 1) : NULL;
    if (lifts && kept == NULL)
        return false;
    snub_tube_bending(&tube, c->moment, &law);
    const snub_bend worst = snub_tube_bend(&law, c->hub->worst_size, c->arm, c->standoff->length);
    snub_lean *lean = &c->study->lean[c->pulley];
    lean->opens_at = shut / c->arm;
    lean->shut = snub_tube_bend(&law, lean->opens_at, c->arm, c->standoff->length).slope / lean->opens_at;
    if (kept != NULL)
        *kept = law;
    lean->law = kept;
    lean->arm = c->arm;
    lean->length = c->standoff->length;
    c->r->deflection = worst.deflection;
    c->r->slope = worst.slope;
    c->r->touching = foot_of(c, tube.preload).touching;
    return true;
}

/* ---- fatigue ----------------------------------------------------------------------------------------------------- */

static bool turns_with_shaft(const standoff_case *c)
{
    const snub_bearing_seat *seat = &c->study->hardware->pulleys[c->pulley].seat;
    return seat->given && !seat->outer_rotates;
}

/* Stress between the most and the least load of one belt. A turning shaft sees the whole load both ways each turn. */
typedef struct swing {
    double most, alternating, mean; /* bending; mean with what the preload adds, Pa */
    double safety, endurance;
} swing;

static swing swing_of(const standoff_case *c, double least, double most)
{
    if (turns_with_shaft(c))
        return (swing){most, most, 0.0, 0.0, 0.0};
    return (swing){most, 0.5 * (most - least), 0.5 * (most + least), 0.0, 0.0};
}

static swing tire_tube(const standoff_case *c, double least, double most)
{
    const snub_standoff *tube = c->standoff;
    const double fibre = 0.5 * tube->outside / snub_annulus_inertia(tube->outside, tube->inside);
    swing s = swing_of(c, least * fibre, most * fibre);
    if (!turns_with_shaft(c))
        s.mean -= c->tightness.low / snub_annulus_area(tube->outside, tube->inside);
    s.endurance = snub_metal_endurance(&tube->material, SNUB_MACHINED, tube->outside);
    s.safety = snub_goodman(s.alternating, s.mean, s.endurance, tube->material.tensile);
    return s;
}

/* Bending stress of the bolt at its thread: it bends as the tube beside it. */
static double bent(const standoff_case *c, double moment)
{
    const snub_clamped_tube tube = tube_of(c);
    const double root = sqrt(4.0 / SNUB_PI * c->standoff->bolt.stress_area);
    return snub_press_face(&tube, moment).curvature * tube.bolt_rigidity * 0.5 * root / snub_annulus_inertia(root, 0.0);
}

/* Drawn to the high end of its preload, or to its yield. The endurance of its class has size and thread in it. */
static swing tire_bolt(const standoff_case *c, double least, double most)
{
    const snub_bolt *bolt = &c->standoff->bolt;
    const double drawn = snub_tension_most(bolt, &c->tightness) / bolt->stress_area;
    swing s = swing_of(c, bent(c, least), bent(c, most));
    s.mean += drawn;
    s.endurance = bolt->endurance;
    s.safety = snub_bolt_fatigue(s.alternating, s.mean, drawn, bolt->endurance, bolt->tensile);
    return s;
}

static void keep_least(snub_standoff_result *r, const swing *s, bool bolt, int corner)
{
    if (!isnan(r->fatigue) && !(s->safety < r->fatigue))
        return;
    r->fatigue = s->safety;
    r->stress = s->most;
    r->alternating = s->alternating;
    r->mean = s->mean;
    r->endurance = s->endurance;
    r->bolt_tires = bolt;
    r->fatigue_belt = (snub_corner)corner;
}

/* Each belt swings between its own loads, and tires tube and bolt: the one that goes soonest counts. */
static void tire(const standoff_case *c)
{
    snub_standoff_result *r = c->r;
    r->fatigue = NAN;
    for (int corner = 0; corner < SNUB_CORNERS; corner++) {
        const double least = c->hub->range[corner].least * c->arm, most = c->hub->range[corner].most * c->arm;
        if (!(most > 0.0))
            continue;
        const swing tube = tire_tube(c, least, most);
        keep_least(r, &tube, false, corner);
        if (c->standoff->bolt.endurance > 0.0) {
            const swing bolt = tire_bolt(c, least, most);
            keep_least(r, &bolt, true, corner);
        }
    }
}

/* ---- judgement --------------------------------------------------------------------------------------------------- */

static snub_finding about(const standoff_case *c, snub_wording wording, double value)
{
    snub_finding f = snub_hardware_finding(c->study, wording, c->pulley, NULL, value);
    f.at = c->hub->worst_at;
    return f;
}

/* As thick as the plate is that its bolt is screwed into; 0: another metal, or not known. */
static double tapped_metal(const standoff_case *c)
{
    const snub_mount *mount = mount_of(c);
    return mount != NULL && snub_tapped_in_plate(mount, c->standoff) ? mount->thickness : 0.0;
}

static snub_screwed screwed_of(const standoff_case *c)
{
    const snub_standoff *s = c->standoff;
    const snub_stack *stack = &c->study->hardware->pulleys[c->pulley].stack;
    return (snub_screwed){.study = c->study,
                          .bolt = &s->bolt,
                          .tightness = &c->tightness,
                          .pulley = c->pulley,
                          .tapped_in = s->tapped_in,
                          .metal = tapped_metal(c),
                          .packed = snub_stack_length(stack, SNUB_STACK_SHIM)};
}

/* Preload that makes good what is missing by a factor: where the bolt takes it, it is what the words propose. */
static void mend_gap(const standoff_case *c, snub_finding *f, double factor)
{
    const snub_screwed screwed = screwed_of(c);
    const bool some = snub_mend_bolt(f, &screwed, factor);
    snub_finding_words(f, "more", snub_more_preload(some));
    snub_finding_least(f, "wanted", c->tightness.preload * factor, SNUB_UNIT_KN, 1);
}

static void judge_gap(const standoff_case *c)
{
    const snub_standoff_result *r = c->r;
    const snub_bolt *bolt = &c->standoff->bolt;
    if (!r->gap && r->no_gap >= SNUB_MARGINAL_SAFETY * r->moment)
        return;
    const double wanted = c->tightness.preload * r->moment / r->no_gap;
    const bool too_much = wanted * (1.0 + bolt->scatter) * snub_bolt_drawn(1.0, c->tightness.torsion_high) >
                          bolt->proof * bolt->stress_area;
    snub_finding f = about(c,
                           !r->gap    ? SNUB_SAYS_STANDOFF_NEARLY_OPENS
                           : too_much ? SNUB_SAYS_STANDOFF_OPENS_ANYWAY
                                      : SNUB_SAYS_STANDOFF_OPENS,
                           r->moment);
    f.limit = r->no_gap;
    f.at = r->opens_in;
    snub_finding_number(&f, "preload", r->preload_low, SNUB_UNIT_KN, 1);
    mend_gap(c, &f, (r->gap ? 1.0 : SNUB_MARGINAL_SAFETY) * r->moment / r->no_gap);
    snub_finding_number(&f, "lifted", 1.0 - r->touching, SNUB_UNIT_PERCENT, 0);
    snub_hardware_tell(c->study, &f);
}

static void judge_fatigue(const standoff_case *c)
{
    const snub_standoff_result *r = c->r;
    if (!(r->fatigue < SNUB_MARGINAL_SAFETY))
        return;
    const bool breaks = r->fatigue < 1.0;
    const snub_wording tube = breaks ? SNUB_SAYS_STANDOFF_BREAKS : SNUB_SAYS_STANDOFF_MAY_BREAK;
    const snub_wording bolt = breaks ? SNUB_SAYS_BENT_BOLT_BREAKS : SNUB_SAYS_BENT_BOLT_MAY_BREAK;
    snub_finding f = about(c, r->bolt_tires ? bolt : tube, r->fatigue);
    f.at = c->hub->range[r->fatigue_belt].at;
    f.limit = breaks ? 1.0 : SNUB_MARGINAL_SAFETY;
    /* while it is shut, preload is mean stress in the bolt and no more */
    snub_finding_words(&f, "more", r->gap ? SNUB_MESSAGE(" More preload that keeps it shut helps, too.") : "");
    snub_finding_number(&f, "alternating", r->alternating, SNUB_UNIT_MPA, 0);
    snub_finding_number(&f, "mean", r->mean, SNUB_UNIT_MPA, 0);
    snub_hardware_tell(c->study, &f);
}

/* The pulley's whole load pushes the standoff across its seat. Bending shifts its pressure and leaves its sum. In a
 * slot that its bolt clamps, it is held across the slot by the sides, and along it is the clamp's matter. */
static void judge_slip(const standoff_case *c)
{
    snub_standoff_result *r = c->r;
    snub_slot_hold hold;
    const bool slides = snub_slot_bolt(c->study, c->pulley, &hold) && hold.bolt == &c->standoff->bolt;
    r->friction = c->standoff->friction;
    r->slip_use = slides || c->standoff->located ? 0.0 : c->hub->worst_size / (r->friction * c->tightness.low);
    if (!(r->slip_use > SNUB_MARGINAL_SLIP))
        return;
    const bool slips = r->slip_use > 1.0;
    snub_finding f = about(c, slips ? SNUB_SAYS_STANDOFF_SLIPS : SNUB_SAYS_STANDOFF_MAY_SLIP, r->slip_use);
    f.limit = slips ? 1.0 : SNUB_MARGINAL_SLIP;
    snub_finding_number(&f, "load", c->hub->worst_size, SNUB_UNIT_N, 0);
    snub_finding_number(&f, "preload", c->tightness.low, SNUB_UNIT_KN, 1);
    snub_finding_number(&f, "friction", r->friction, SNUB_UNIT_NONE, 2);
    const snub_screwed screwed = screwed_of(c);
    snub_mend_slip(&f, &screwed, r->slip_use);
    snub_hardware_tell(c->study, &f);
}

/* Its edge presses most where the hub load bends it to. */
static void judge_face(const standoff_case *c)
{
    const snub_mount *mount = mount_of(c);
    snub_standoff_result *r = c->r;
    if (mount == NULL || !mount->plated)
        return;
    r->face_pressure = foot_of(c, c->tightness.high).most;
    r->face_limit = fmin(snub_surface_pressure(&mount->bracket), snub_surface_pressure(&c->standoff->material));
    if (!(r->face_pressure > r->face_limit))
        return;
    const bool sinks = foot_of(c, c->tightness.preload).most > r->face_limit;
    snub_finding f = about(c, sinks ? SNUB_SAYS_STANDOFF_SINKS : SNUB_SAYS_STANDOFF_MAY_SINK, r->face_pressure);
    f.limit = r->face_limit;
    f.at = r->opens_in;
    snub_hardware_tell(c->study, &f);
}

static void judge_bolt(const standoff_case *c)
{
    const snub_screwed screwed = screwed_of(c);
    snub_judge_screw(&screwed, &c->r->screw);
}

static void judge(snub_hardware_study *study, int i)
{
    const snub_standoff *s = &study->hardware->pulleys[i].standoff;
    snub_standoff_result *r = &study->report->standoff[i];
    standoff_case c = {.study = study,
                       .pulley = i,
                       .standoff = s,
                       .hub = &study->report->hub[i],
                       .arm = lever(study, i),
                       .tightness = snub_tightness_of(&s->bolt, study->arena),
                       .r = r};
    r->given = true;
    r->bolt = &s->bolt;
    r->preload_low = c.tightness.low;
    r->preload_high = c.tightness.high;
    r->torque = c.tightness.torque;
    c.moment = c.hub->worst_size * c.arm;
    find_slot(&c);
    r->over_slot = c.slot > 0.0;
    find_opening(&c);
    if (!bend(&c)) {
        study->report->failed = true;
        return;
    }
    tire(&c);
    judge_gap(&c);
    judge_fatigue(&c);
    judge_slip(&c);
    judge_face(&c);
    judge_bolt(&c);
}

void snub_hardware_standoffs(snub_hardware_study *study)
{
    for (int i = 0; i < study->drive->pulley_count; i++) {
        if (study->hardware->pulleys[i].standoff.given)
            judge(study, i);
    }
}

/* Brackets on their bolts: how these share the loads, slip, separation, fatigue. docs/theory/mount.md. */
#include "hardware_study.h"

#include <stdlib.h>
#include <string.h>

/* Bolts whose middles lie within this of one line are in a line, m. */
#define IN_LINE 1e-3
/* A moment under this is the rounding of places, N m. */
#define NO_MOMENT 1e-6
/* Widest pad that the pressure cone through a plate is taken for, in diameters of the bolt; rule of thumb. */
#define PAD_MOST 3.0
/* Diameter under a bolt's head over its own (Shigley, 8-5). */
#define HEAD 1.5

/* Pull of a bolt with one belt. */
typedef struct pull_range {
    bool met;
    double low, high;
    snub_condition at; /* of the high */
} pull_range;

/* What a bolt meets over the cases. Shear, moment and friction of its slip are of one case. */
typedef struct bolt_peaks {
    snub_peak pull, edge;
    pull_range range[SNUB_CORNERS];
    snub_condition fatigue_at;
    double slip_use, shear, turning;
    snub_condition slip_at;
} bolt_peaks;

/* A mount while it is judged. */
typedef struct mount_case {
    snub_hardware_study *study;
    int index;
    const snub_mount *mount;
    snub_mount_result *r;
    snub_group_bolt group[SNUB_GROUP_BOLTS_MOST];
    snub_tightness tightness[SNUB_GROUP_BOLTS_MOST];
    bolt_peaks peaks[SNUB_GROUP_BOLTS_MOST];
    double middle[2], along[2]; /* of the bolts; along the line in which they stand */
    bool pads;                  /* every bolt has one */
    snub_peak turning;          /* about the middle */
    snub_peak about_line;       /* out of the plane */
    snub_peak dropped;          /* what of that nothing carries */
} mount_case;

/* ---- one bolt --------------------------------------------------------------------------------------------------- */

static double tapped_modulus(const char *tapped)
{
    snub_material m;
    return tapped != NULL && snub_material_find(tapped, &m) ? m.modulus : NAN;
}

/* C of a bolt in a tapped hole: its grip is what is clamped and half a diameter of thread (Shigley 8-4); NAN where the
 * grip or the tapped metal is not known. */
static double joint_constant(const snub_mount *mount, const snub_bolt *bolt)
{
    const double below = tapped_modulus(mount->tapped_in);
    if (!(bolt->grip_length > 0.0) || isnan(below))
        return NAN;
    const snub_clamped parts[] = {{bolt->grip_length, mount->bracket.modulus}, {0.5 * bolt->diameter, below}};
    const double shank = SNUB_PI / 4.0 * bolt->diameter * bolt->diameter;
    const double kb =
        snub_bolt_stiffness(shank, bolt->stress_area, bolt->grip_length, 0.5 * bolt->diameter, SNUB_BOLT_MODULUS);
    const double km = snub_member_stiffness(parts, 2, HEAD * bolt->diameter, bolt->diameter);
    return kb / (kb + km);
}

/* The pad of the file, else the pressure cone at the joint's face. */
static double pad_of(const snub_mount *mount, const snub_bolt *bolt, bool *assumed)
{
    *assumed = bolt->pad <= 0.0 && mount->thickness > 0.0;
    if (bolt->pad > 0.0)
        return bolt->pad;
    if (!*assumed)
        return 0.0;
    return fmin(HEAD * bolt->diameter + 2.0 * mount->thickness * tan(SNUB_PI / 6.0), PAD_MOST * bolt->diameter);
}

static void settle_bolt(mount_case *m, int i)
{
    const snub_bolt *bolt = &m->mount->bolts[i];
    const snub_tightness t = snub_tightness_of(bolt, m->study->arena);
    snub_bolt_result *r = &m->r->bolts[i];
    m->tightness[i] = t;
    r->bolt = bolt;
    r->preload = t.preload;
    r->preload_low = t.low;
    r->preload_high = t.high;
    r->torque = t.torque;
    r->torque_source = t.source;
    r->constant = joint_constant(m->mount, bolt);
    m->group[i] = (snub_group_bolt){
        {bolt->at[0], bolt->at[1]}, bolt->stress_area, pad_of(m->mount, bolt, &r->pad_assumed), bolt->hole};
    m->pads = m->pads && m->group[i].pad > m->group[i].hole;
    m->peaks[i] = (bolt_peaks){.pull.value = -INFINITY};
}

/* ---- loads ------------------------------------------------------------------------------------------------------ */

/* Size in the plane: hypot guards ranges that forces do not have, and takes its time. */
static double root(const double v[2])
{
    return sqrt(v[0] * v[0] + v[1] * v[1]);
}

static snub_wrench wrench_of(const snub_hardware_study *study, int mount, const snub_hub_sample *s)
{
    snub_wrench w = {{0}, {0}};
    for (int i = 0; i < study->drive->pulley_count; i++) {
        if (study->hardware->pulleys[i].mount != mount)
            continue;
        const double height = snub_hardware_belt_at(study, i) - study->hardware->mounts[mount].face;
        const double force[3] = {s->force[i][0], s->force[i][1], 0.0};
        const double at[3] = {study->path->centre[i][0], study->path->centre[i][1], height};
        snub_wrench_add(&w, force, at);
        w.moment[2] += s->reaction[i];
    }
    return w;
}

/* Friction of a pad against turning, per force of friction: the mean radius 2/3 (R^3 - r^3)/(R^2 - r^2). */
static double friction_radius(const snub_group_bolt *bolt)
{
    const double big = 0.5 * bolt->pad, small = 0.5 * bolt->hole;
    return 2.0 / 3.0 * (big * big * big - small * small * small) / (big * big - small * small);
}

/* Of two cases in which nothing is left to hold, the one with more shear. */
static void take_slip(bolt_peaks *peaks, double use, double shear, double turning, const snub_condition *at)
{
    if (!(use > peaks->slip_use || (isinf(use) && shear > peaks->shear)))
        return;
    peaks->slip_use = use;
    peaks->shear = shear;
    peaks->turning = turning;
    peaks->slip_at = *at;
}

/* What turns about one bolt is held by the friction that its shear leaves. */
static void take_friction(mount_case *m, int i, const snub_group_share *share, double shear, double turning,
                          const snub_condition *at)
{
    const snub_bolt_result *b = &m->r->bolts[i];
    const double c = isnan(b->constant) ? 0.0 : b->constant;
    const double friction = m->mount->friction * fmax(b->preload_low - (1.0 - c) * share->pull, 0.0);
    double asked = shear;
    if (m->mount->bolt_count == 1 && m->pads && fabs(turning) > NO_MOMENT)
        asked += fabs(turning) / friction_radius(&m->group[i]);
    take_slip(&m->peaks[i], asked > 0.0 ? asked / friction : 0.0, shear, fabs(turning), at);
}

static void take_pull(pull_range *range, double pull, const snub_condition *at)
{
    if (!range->met || pull > range->high) {
        range->high = pull;
        range->at = *at;
    }
    range->low = range->met ? fmin(range->low, pull) : pull;
    range->met = true;
}

static void take_shares(mount_case *m, const snub_group_share *share, double turning, const snub_condition *at)
{
    for (int i = 0; i < m->mount->bolt_count; i++) {
        snub_bolt_result *b = &m->r->bolts[i];
        const double shear = root(share[i].shear);
        b->shear = fmax(b->shear, shear);
        snub_peak_take(&m->peaks[i].pull, share[i].pull, at);
        snub_peak_take(&m->peaks[i].edge, share[i].edge_pull, at);
        take_pull(&m->peaks[i].range[at->corner], share[i].pull, at);
        take_friction(m, i, &share[i], shear, turning, at);
    }
}

/* Out of the plane about the line of the bolts; about one bolt, all of it. */
static double moment_about(const mount_case *m, const snub_wrench *w)
{
    return m->mount->bolt_count == 1 ? root(w->moment) : fabs(w->moment[0] * m->along[0] + w->moment[1] * m->along[1]);
}

static void run_wrench(mount_case *m, snub_wrench w, const snub_hub_sample *sample)
{
    snub_group_share share[SNUB_GROUP_BOLTS_MOST];
    snub_mount_result *r = m->r;
    const double turning = w.moment[2] - (m->middle[0] * w.force[1] - m->middle[1] * w.force[0]);
    r->force = fmax(r->force, root(w.force));
    r->overturning = fmax(r->overturning, root(w.moment));
    snub_peak_take(&m->turning, fabs(turning), &sample->at);
    snub_peak_take(&m->about_line, moment_about(m, &w), &sample->at);
    if (m->mount->bolt_count == 1)
        w.moment[2] -= turning; /* is the pad's matter */
    if (snub_group_share_out(m->group, m->mount->bolt_count, &w, share, NULL) == SNUB_OK) {
        take_shares(m, share, turning, &sample->at);
    } else {
        r->carried = false;
        snub_peak_take(&m->dropped, moment_about(m, &w), &sample->at);
    }
}

/* With each state of vibration, where there is one. */
static void run_case(mount_case *m, const snub_hub_sample *sample)
{
    const snub_wrench belt = wrench_of(m->study, m->index, sample);
    for (int k = 0; k < snub_vibrations(m->mount); k++) {
        snub_wrench w = belt;
        snub_vibrate(m->mount, k, &w);
        run_wrench(m, w, sample);
    }
}

static void run_cases(mount_case *m)
{
    snub_mount_result *r = m->r;
    const snub_study *cases = m->study->study;
    r->carried = true;
    for (int k = 0; k < cases->sample_count; k++)
        run_case(m, &cases->samples[k]);
    r->moment = m->turning.value;
    if (m->mount->bolt_count == 1 && r->moment > NO_MOMENT)
        r->turning_use = m->pads ? m->peaks[0].slip_use : (double)INFINITY;
}

/* ---- judgement -------------------------------------------------------------------------------------------------- */

/* A finding about the mount, or about a bolt of it, at the case in which its value was met. */
static snub_finding about_mount(const mount_case *m, snub_wording wording, const snub_peak *peak)
{
    snub_finding f = snub_mount_finding(m->study, wording, m->mount, peak->value);
    f.at = peak->at;
    return f;
}

static snub_finding about_bolt(const mount_case *m, snub_wording wording, int i, double value, const snub_condition *at)
{
    snub_finding f = snub_bolt_finding(m->study, wording, m->mount, &m->mount->bolts[i], value);
    if (at != NULL)
        f.at = *at;
    return f;
}

static void tell_peak(const mount_case *m, snub_wording wording, const snub_peak *peak)
{
    const snub_finding f = about_mount(m, wording, peak);
    snub_hardware_tell(m->study, &f);
}

/* What the bolts hold not at all. */
static void judge_group(const mount_case *m)
{
    const bool one = m->mount->bolt_count == 1;
    if (!m->r->carried)
        tell_peak(m, one ? SNUB_SAYS_ONE_BOLT_TILTS : SNUB_SAYS_BOLTS_CANNOT_TILT, &m->dropped);
    else if (m->r->in_line && m->pads && m->about_line.value > NO_MOMENT)
        tell_peak(m, SNUB_SAYS_BOLTS_IN_LINE, &m->about_line);
    if (isinf(m->r->turning_use) && !m->pads)
        tell_peak(m, SNUB_SAYS_ONE_BOLT_TURNS, &m->turning);
}

static void judge_turning(const mount_case *m)
{
    const bolt_peaks *peaks = &m->peaks[0];
    const bool turns = peaks->slip_use > 1.0;
    const snub_peak use = {peaks->slip_use, peaks->slip_at};
    snub_finding f = about_mount(m, turns ? SNUB_SAYS_MOUNT_TURNS : SNUB_SAYS_MOUNT_MAY_TURN, &use);
    f.limit = turns ? 1.0 : SNUB_MARGINAL_SLIP;
    snub_finding_number(&f, "moment", peaks->turning, SNUB_UNIT_N_M, 1);
    snub_finding_number(&f, "shear", peaks->shear, SNUB_UNIT_N, 0);
    snub_hardware_tell(m->study, &f);
}

static void judge_slip(const mount_case *m, int i)
{
    const bolt_peaks *peaks = &m->peaks[i];
    const bool slips = peaks->slip_use > 1.0, lifted = isinf(peaks->slip_use);
    snub_finding f = about_bolt(m,
                                lifted  ? SNUB_SAYS_JOINT_LOSES_GRIP
                                : slips ? SNUB_SAYS_JOINT_SLIPS
                                        : SNUB_SAYS_JOINT_MAY_SLIP,
                                i, lifted ? peaks->shear : peaks->slip_use, &peaks->slip_at);
    if (!lifted)
        f.limit = slips ? 1.0 : SNUB_MARGINAL_SLIP;
    snub_finding_number(&f, "shear", peaks->shear, SNUB_UNIT_N, 0);
    snub_finding_number(&f, "preload", m->r->bolts[i].preload_low, SNUB_UNIT_KN, 1);
    snub_finding_number(&f, "friction", m->mount->friction, SNUB_UNIT_NONE, 2);
    snub_hardware_tell(m->study, &f);
}

static void judge_friction(const mount_case *m, int i)
{
    if (!(m->peaks[i].slip_use > SNUB_MARGINAL_SLIP))
        return;
    if (m->mount->bolt_count == 1 && m->pads && m->peaks[i].turning > NO_MOMENT)
        judge_turning(m);
    else
        judge_slip(m, i);
}

/* A safety under SNUB_MARGINAL_SAFETY, and under 1. */
static void judge_safety(const mount_case *m, int i, double safety, const snub_condition *at, snub_wording fails,
                         snub_wording marginal)
{
    if (!(safety < SNUB_MARGINAL_SAFETY))
        return;
    snub_finding f = about_bolt(m, safety < 1.0 ? fails : marginal, i, safety, at);
    f.limit = safety < 1.0 ? 1.0 : SNUB_MARGINAL_SAFETY;
    snub_hardware_tell(m->study, &f);
}

static snub_bolt_joint joint_of(const snub_bolt_result *b, const snub_tightness *t, double low, double high)
{
    const snub_bolt *bolt = b->bolt;
    const snub_bolt_load load = {b->preload_low, snub_tension_most(bolt, t), low, high};
    return snub_bolt_judge(isnan(b->constant) ? 1.0 : b->constant, bolt->stress_area, bolt->proof, bolt->endurance,
                           bolt->tensile, &load);
}

/* Each belt pulls between its own loads: the one that tires the bolt soonest counts. */
static void tire_bolt(bolt_peaks *peaks, const snub_tightness *t, snub_bolt_result *b)
{
    b->joint.fatigue = NAN; /* not listed for this class */
    for (int corner = 0; corner < SNUB_CORNERS && b->bolt->endurance > 0.0; corner++) {
        const pull_range *range = &peaks->range[corner];
        const snub_bolt_joint joint = joint_of(b, t, range->low, range->high);
        if (!range->met || (!isnan(b->joint.fatigue) && !(joint.fatigue < b->joint.fatigue)))
            continue;
        b->joint.fatigue = joint.fatigue;
        b->joint.alternating = joint.alternating;
        b->joint.mean = joint.mean;
        peaks->fatigue_at = range->at;
    }
}

static void work_out_joint(bolt_peaks *peaks, const snub_tightness *t, snub_bolt_result *b)
{
    const bool known = !isnan(b->constant);
    b->pull = isfinite(peaks->pull.value) ? peaks->pull.value : 0.0;
    b->edge_pull = peaks->edge.value;
    b->slip_use = peaks->slip_use;
    b->joint = joint_of(b, t, b->pull, b->pull);
    tire_bolt(peaks, t, b);
    /* the edge of the pad lifts before its middle does */
    b->joint.separate =
        b->edge_pull > 0.0 ? b->preload_low / (known ? (1.0 - b->constant) * b->edge_pull : b->edge_pull) : INFINITY;
}

/* By itself. A group that carries not what is on it says nothing of its pulls. */
static void judge_screw(const mount_case *m, int i)
{
    snub_bolt_result *b = &m->r->bolts[i];
    const double c = isnan(b->constant) ? 1.0 : b->constant;
    const snub_screwed screwed = {.study = m->study,
                                  .bolt = b->bolt,
                                  .tightness = &m->tightness[i],
                                  .mount = m->mount,
                                  .pulley = -1,
                                  .tapped_in = m->mount->tapped_in,
                                  .under_head = m->mount->plated ? &m->mount->bracket : NULL,
                                  .packed = snub_stack_length(&m->mount->stack, SNUB_STACK_SHIM),
                                  .pull = m->r->carried ? c * fmax(b->pull, 0.0) : 0.0,
                                  .pull_at = m->peaks[i].pull.at};
    snub_judge_screw(&screwed, &b->screw);
    b->joint.proof = b->screw.proof;
}

static void judge_bolt(mount_case *m, int i)
{
    bolt_peaks *peaks = &m->peaks[i];
    snub_bolt_result *b = &m->r->bolts[i];
    work_out_joint(peaks, &m->tightness[i], b);
    judge_friction(m, i);
    judge_safety(m, i, b->joint.separate, &peaks->edge.at, SNUB_SAYS_JOINT_OPENS, SNUB_SAYS_JOINT_MAY_OPEN);
    judge_safety(m, i, b->joint.fatigue, &peaks->fatigue_at, SNUB_SAYS_BOLT_BREAKS, SNUB_SAYS_BOLT_MAY_BREAK);
}

/* ---- all --------------------------------------------------------------------------------------------------------- */

static void set_order(snub_mount_result *r)
{
    const snub_mount *mount = r->mount;
    const int n = mount->bolt_count;
    snub_tightening_order(mount->bolts, n, r->tighten);
    for (int k = 0; k < n; k++) {
        r->bolts[r->tighten[k]].order = k + 1;
        r->locating += mount->bolts[k].locates;
    }
}

static bool used(const snub_hardware_study *study, int mount)
{
    for (int i = 0; i < study->drive->pulley_count; i++) {
        if (study->hardware->pulleys[i].mount == mount)
            return true;
    }
    return false;
}

static bool open_mount(mount_case *m)
{
    snub_mount_result *r = m->r;
    const int n = m->mount->bolt_count;
    r->mount = m->mount;
    r->bolts = SNUB_NEW(m->study->arena, snub_bolt_result, n);
    r->tighten = SNUB_NEW(m->study->arena, int, n);
    if (r->bolts == NULL || r->tighten == NULL)
        return false;
    m->pads = true;
    for (int i = 0; i < n; i++)
        settle_bolt(m, i);
    snub_mount_middle(m->mount, m->middle);
    r->in_line = n > 1 && snub_group_in_line(m->group, n, IN_LINE, m->along);
    set_order(r);
    return true;
}

static void judge_bolts(mount_case *m)
{
    snub_mount_result *r = m->r;
    r->worst_slip = NAN; /* a single bolt that the load may turn has none */
    r->least_separation = r->least_proof = r->least_fatigue = INFINITY;
    for (int i = 0; i < m->mount->bolt_count; i++) {
        const snub_bolt_result *b = &r->bolts[i];
        if (r->carried)
            judge_bolt(m, i);
        judge_screw(m, i);
        r->least_proof = fmin(r->least_proof, b->screw.proof);
        if (!r->carried)
            continue;
        r->worst_slip = fmax(r->worst_slip, b->slip_use);
        r->least_separation = fmin(r->least_separation, b->joint.separate);
        r->least_fatigue = fmin(r->least_fatigue, isnan(b->joint.fatigue) ? INFINITY : b->joint.fatigue);
    }
}

static bool judge_mount(snub_hardware_study *study, int index, snub_mount_result *r)
{
    mount_case m = {.study = study, .index = index, .mount = &study->hardware->mounts[index], .r = r};
    if (!open_mount(&m))
        return false;
    run_cases(&m);
    r->slope = snub_hardware_bracket_slope(study, index);
    judge_group(&m);
    judge_bolts(&m);
    if (!used(study, index)) {
        const snub_finding f = snub_mount_finding(study, SNUB_SAYS_MOUNT_CARRIES_NOTHING, m.mount, NAN);
        snub_hardware_tell(study, &f);
    }
    return true;
}

void snub_hardware_bolts(snub_hardware_study *study)
{
    const int n = study->hardware->mount_count;
    study->report->mounts = SNUB_NEW(study->arena, snub_mount_result, n > 0 ? n : 1);
    if (study->report->mounts == NULL) {
        study->report->failed = true;
        return;
    }
    study->report->mount_count = n;
    for (int i = 0; i < n; i++) {
        if (!judge_mount(study, i, &study->report->mounts[i]))
            study->report->failed = true;
    }
}

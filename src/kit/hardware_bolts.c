/* Brackets on their bolts: slip, separation, stress, engagement, order of tightening. docs/theory/mount.md. */
#include "hardware_study.h"

#include <stdlib.h>
#include <string.h>

/* Safeties under which a finding watches; rule of thumb. */
#define WATCH_SAFETY 1.5
#define WATCH_SLIP 0.67
/* Preload that rarely shakes loose, of proof load: Shigley, 9th ed., p. 448. */
#define STAYS_TIGHT 0.60
/* Bolts whose middles lie within this of one line are in a line, m. */
#define IN_LINE 1e-3
/* Widest pad that the pressure cone through a plate is taken for, in diameters of the bolt; rule of thumb. */
#define PAD_MOST 3.0
/* Diameter under a bolt's head over its own (Shigley, 8-5). */
#define HEAD 1.5
#define STEEL 207e9

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
    const double grip = bolt->grip > 0.0 ? bolt->grip : mount->thickness, below = tapped_modulus(mount->tapped);
    if (!(grip > 0.0) || isnan(below))
        return NAN;
    const snub_clamped parts[] = {{grip, mount->bracket.modulus}, {0.5 * bolt->diameter, below}};
    const double shank = SNUB_PI / 4.0 * bolt->diameter * bolt->diameter;
    const double kb = snub_bolt_stiffness(shank, bolt->stress_area, grip, 0.5 * bolt->diameter, STEEL);
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

static void settle_bolt(snub_hardware_study *study, const snub_mount *mount, const snub_bolt *bolt, snub_bolt_result *r,
                        snub_group_bolt *group)
{
    const snub_tightness t = snub_tightness_of(bolt, study->arena);
    r->bolt = bolt;
    r->preload = t.preload;
    r->preload_low = t.low;
    r->preload_high = t.high;
    r->torque = t.torque;
    r->torque_source = t.source;
    r->constant = joint_constant(mount, bolt);
    if (mount->tapped != NULL && bolt->class_ != NULL)
        r->engagement_needed = snub_engagement(mount->tapped, bolt->class_, NULL) * bolt->diameter;
    *group = (snub_group_bolt){
        {bolt->at[0], bolt->at[1]}, bolt->stress_area, pad_of(mount, bolt, &r->pad_assumed), bolt->hole};
}

/* ---- loads ------------------------------------------------------------------------------------------------------ */

static snub_wrench wrench_of(const snub_hardware_study *study, int mount, const snub_hub_sample *s)
{
    snub_wrench w = {{0}, {0}};
    for (int i = 0; i < study->drive->pulley_count; i++) {
        if (study->hardware->pulleys[i].mount != mount)
            continue;
        const double height = study->drive->pulleys[i].plane - study->hardware->mounts[mount].face;
        const double force[3] = {s->force[i][0], s->force[i][1], 0.0};
        const double at[3] = {study->path->centre[i][0], study->path->centre[i][1], height};
        snub_wrench_add(&w, force, at);
    }
    return w;
}

static void middle_of(const snub_mount *mount, double middle[2])
{
    double area = 0.0;
    middle[0] = middle[1] = 0.0;
    for (int i = 0; i < mount->bolt_count; i++) {
        area += mount->bolts[i].stress_area;
        for (int k = 0; k < 2; k++)
            middle[k] += mount->bolts[i].stress_area * mount->bolts[i].at[k];
    }
    for (int k = 0; k < 2; k++)
        middle[k] /= area;
}

/* Friction of one pad against turning: mu Fi times the mean radius 2/3 (R^3 - r^3)/(R^2 - r^2). */
static double turning_friction(const snub_mount *mount, const snub_group_bolt *group, double preload)
{
    const double big = 0.5 * group->pad, small = 0.5 * group->hole;
    if (!(big > small))
        return 0.0;
    return mount->friction * preload * 2.0 / 3.0 * (big * big * big - small * small * small) /
           (big * big - small * small);
}

typedef struct bolt_range {
    double pull_high, pull_low;
} bolt_range;

static void take_shares(const snub_mount *mount, const snub_group_share *share, snub_mount_result *r, bolt_range *range)
{
    for (int i = 0; i < mount->bolt_count; i++) {
        snub_bolt_result *b = &r->bolts[i];
        const double shear = hypot(share[i].shear[0], share[i].shear[1]);
        const double c = isnan(b->constant) ? 0.0 : b->constant;
        const double clamp = b->preload_low - (1.0 - c) * share[i].pull;
        const double use = clamp > 0.0 ? shear / (mount->friction * clamp) : shear > 0.0 ? INFINITY : 0.0;
        b->shear = fmax(b->shear, shear);
        b->slip_use = fmax(b->slip_use, use);
        b->edge_pull = fmax(b->edge_pull, share[i].edge_pull);
        range[i].pull_high = fmax(range[i].pull_high, share[i].pull);
        range[i].pull_low = fmin(range[i].pull_low, share[i].pull);
    }
}

/* All cases; what cannot be carried is told once. */
static void run_cases(snub_hardware_study *study, int index, const snub_group_bolt *group, snub_mount_result *r,
                      bolt_range *range)
{
    const snub_mount *mount = r->mount;
    double middle[2];
    snub_group_share share[SNUB_GROUP_BOLTS_MOST];
    middle_of(mount, middle);
    for (int k = 0; k < study->study->sample_count; k++) {
        snub_wrench w = wrench_of(study, index, &study->study->samples[k]);
        const double turning = w.moment[2] - (middle[0] * w.force[1] - middle[1] * w.force[0]);
        r->force = fmax(r->force, hypot(w.force[0], w.force[1]));
        r->moment = fmax(r->moment, fabs(turning));
        r->overturning = fmax(r->overturning, hypot(w.moment[0], w.moment[1]));
        if (mount->bolt_count == 1) { /* its turning is the pad's matter */
            w.moment[2] -= turning;
            const double most = turning_friction(mount, group, r->bolts[0].preload_low);
            if (fabs(turning) > 1e-6)
                r->turning_use = fmax(r->turning_use, most > 0.0 ? fabs(turning) / most : INFINITY);
        }
        if (snub_group_share_out(group, mount->bolt_count, &w, share, NULL) != SNUB_OK) {
            const snub_finding f = snub_mount_finding(
                study, mount->bolt_count == 1 ? SNUB_SAYS_ONE_BOLT_TILTS : SNUB_SAYS_BOLTS_CANNOT_TILT, mount,
                r->overturning);
            snub_hardware_tell(study, &f);
            r->carried = false;
            return;
        }
        take_shares(mount, share, r, range);
    }
}

/* ---- judgement -------------------------------------------------------------------------------------------------- */

static void judge_turning(snub_hardware_study *study, const snub_mount_result *r)
{
    if (!(r->turning_use > WATCH_SLIP))
        return;
    if (isinf(r->turning_use)) {
        const snub_finding f = snub_mount_finding(study, SNUB_SAYS_ONE_BOLT_TURNS, r->mount, r->moment);
        snub_hardware_tell(study, &f);
        return;
    }
    snub_finding f = snub_mount_finding(study, r->turning_use > 1.0 ? SNUB_SAYS_MOUNT_TURNS : SNUB_SAYS_MOUNT_MAY_TURN,
                                        r->mount, r->turning_use);
    f.limit = r->turning_use > 1.0 ? 1.0 : WATCH_SLIP;
    snub_finding_number(&f, "moment", r->moment, SNUB_UNIT_N_M, 1);
    snub_hardware_tell(study, &f);
}

/* Over proof as meant: fail. Only where the scatter goes against it: watch. */
static void judge_proof(snub_hardware_study *study, const snub_mount *mount, const snub_bolt_result *b)
{
    const snub_bolt *bolt = b->bolt;
    const double most = bolt->proof * bolt->stress_area, meant = b->preload + (b->joint.bolt - b->preload_high);
    if (b->joint.bolt <= most)
        return;
    snub_finding f =
        snub_bolt_finding(study, meant > most ? SNUB_SAYS_BOLT_OVER_PROOF : SNUB_SAYS_BOLT_MAY_PASS_PROOF, mount, bolt,
                          b->stress);
    f.limit = bolt->proof;
    snub_finding_name(&f, "bolt", bolt->name);
    snub_finding_name(&f, "owner", mount->name);
    snub_finding_number(&f, "torque", b->torque * b->joint.proof, SNUB_UNIT_N_M, 0);
    snub_hardware_tell(study, &f);
}

static void judge_slip(snub_hardware_study *study, const snub_mount *mount, const snub_bolt_result *b)
{
    if (!(b->slip_use > WATCH_SLIP))
        return;
    snub_finding f = snub_bolt_finding(study, b->slip_use > 1.0 ? SNUB_SAYS_JOINT_SLIPS : SNUB_SAYS_JOINT_MAY_SLIP,
                                       mount, b->bolt, b->slip_use);
    f.limit = b->slip_use > 1.0 ? 1.0 : WATCH_SLIP;
    snub_finding_number(&f, "shear", b->shear, SNUB_UNIT_N, 0);
    snub_finding_number(&f, "preload", b->preload_low, SNUB_UNIT_KN, 1);
    snub_finding_number(&f, "friction", mount->friction, SNUB_UNIT_NONE, 2);
    snub_hardware_tell(study, &f);
}

/* A safety under the one that is watched for, and under 1. */
static void judge_safety(snub_hardware_study *study, const snub_mount *mount, const snub_bolt_result *b, double safety,
                         snub_wording fails, snub_wording watched)
{
    if (!(safety < WATCH_SAFETY))
        return;
    snub_finding f = snub_bolt_finding(study, safety < 1.0 ? fails : watched, mount, b->bolt, safety);
    f.limit = safety < 1.0 ? 1.0 : WATCH_SAFETY;
    snub_hardware_tell(study, &f);
}

static void judge_preload(snub_hardware_study *study, const snub_mount *mount, const snub_bolt_result *b)
{
    const double proof = b->bolt->proof * b->bolt->stress_area;
    if (!(b->preload < STAYS_TIGHT * proof))
        return;
    snub_finding f = snub_bolt_finding(study, SNUB_SAYS_PRELOAD_LOW, mount, b->bolt, b->preload);
    f.limit = STAYS_TIGHT * proof;
    snub_finding_number(&f, "share", b->preload / proof, SNUB_UNIT_PERCENT, 0);
    snub_hardware_tell(study, &f);
}

static void judge_bolt(snub_hardware_study *study, const snub_mount *mount, const bolt_range *range,
                       snub_bolt_result *b)
{
    const snub_bolt *bolt = b->bolt;
    const bool known = !isnan(b->constant);
    const double endurance = bolt->endurance > 0.0 ? bolt->endurance : 0.0;
    const snub_bolt_load load = {b->preload_low, b->preload_high, isfinite(range->pull_low) ? range->pull_low : 0.0,
                                 isfinite(range->pull_high) ? range->pull_high : 0.0};
    b->pull = isfinite(range->pull_high) ? range->pull_high : 0.0;
    b->joint =
        snub_bolt_judge(known ? b->constant : 1.0, bolt->stress_area, bolt->proof, endurance, bolt->tensile, &load);
    if (!(endurance > 0.0))
        b->joint.fatigue = NAN; /* not listed for this class */
    /* the edge of the pad lifts before its middle does */
    b->joint.separate =
        b->edge_pull > 0.0 ? b->preload_low / (known ? (1.0 - b->constant) * b->edge_pull : b->edge_pull) : INFINITY;
    b->stress = b->joint.bolt / bolt->stress_area;
    judge_slip(study, mount, b);
    judge_safety(study, mount, b, b->joint.separate, SNUB_SAYS_JOINT_OPENS, SNUB_SAYS_JOINT_MAY_OPEN);
    judge_proof(study, mount, b);
    judge_safety(study, mount, b, b->joint.fatigue, SNUB_SAYS_BOLT_BREAKS, SNUB_SAYS_BOLT_MAY_BREAK);
    judge_preload(study, mount, b);
}

static void judge_engagement(snub_hardware_study *study, const snub_mount *mount, const snub_bolt_result *b)
{
    const bool listed = b->engagement_needed > 0.0;
    if (mount->tapped == NULL || b->bolt->engagement <= 0.0 ||
        (listed && b->bolt->engagement >= b->engagement_needed - 1e-9))
        return;
    snub_finding f = snub_bolt_finding(study, listed ? SNUB_SAYS_THREAD_STRIPS : SNUB_SAYS_ENGAGEMENT_UNKNOWN, mount,
                                       b->bolt, b->bolt->engagement);
    f.limit = listed ? b->engagement_needed : (double)NAN;
    snub_finding_words(&f, "metal", mount->tapped);
    snub_finding_name(&f, "class", b->bolt->class_ != NULL ? b->bolt->class_ : "-");
    snub_hardware_tell(study, &f);
}

/* ---- order ------------------------------------------------------------------------------------------------------ */

/* Bolts that locate first, then those that follow; within each from the group's middle outward. */
static void tightening_order(const snub_bolt *bolts, int n, int *order)
{
    double middle[2] = {0, 0};
    for (int i = 0; i < n; i++) {
        middle[0] += bolts[i].at[0] / n;
        middle[1] += bolts[i].at[1] / n;
        order[i] = i;
    }
    for (int i = 1; i < n; i++) { /* insertion: stable, so that equals stay as the file has them */
        const int moved = order[i];
        const snub_bolt *m = &bolts[moved];
        const double far = hypot(m->at[0] - middle[0], m->at[1] - middle[1]);
        int j = i;
        for (; j > 0; j--) {
            const snub_bolt *b = &bolts[order[j - 1]];
            const double its = hypot(b->at[0] - middle[0], b->at[1] - middle[1]);
            if (b->locates != m->locates ? b->locates : its <= far + 1e-9)
                break;
            order[j] = order[j - 1];
        }
        order[j] = moved;
    }
}

static void set_order(snub_mount_result *r)
{
    const snub_mount *mount = r->mount;
    const int n = mount->bolt_count;
    tightening_order(mount->bolts, n, r->tighten);
    for (int k = 0; k < n; k++) {
        r->bolts[r->tighten[k]].order = k + 1;
        r->locating += mount->bolts[k].locates;
    }
}

/* ---- bending of the bracket
 * ------------------------------------------------------------------------------------------ */

/* The plate past the bolts as a strip: bending M L/(E I), twist M L/(G J) with J = w t^3 (1 - 0.63 t/w)/3. A rotation
 * has the direction of its moment. */
static void bend_bracket(snub_hardware_study *study, int index, snub_mount_result *r)
{
    const snub_mount *mount = r->mount;
    double middle[2];
    if (!(mount->width > 0.0 && mount->thickness > 0.0))
        return;
    middle_of(mount, middle);
    const double t = fmin(mount->thickness, mount->width), w = fmax(mount->thickness, mount->width);
    const double i_bend = mount->width * pow(mount->thickness, 3) / 12.0;
    const double twist = mount->bracket.modulus / 2.6 * w * t * t * t * (1.0 - 0.63 * t / w) / 3.0;
    for (int i = 0; i < study->drive->pulley_count; i++) {
        if (study->hardware->pulleys[i].mount != index)
            continue;
        const double *centre = study->path->centre[i], *force = study->report->hub[i].worst;
        double nearest = INFINITY;
        for (int k = 0; k < mount->bolt_count; k++)
            nearest = fmin(nearest, hypot(centre[0] - mount->bolts[k].at[0], centre[1] - mount->bolts[k].at[1]));
        const double reach = mount->reach > 0.0 ? mount->reach : nearest;
        const double far = hypot(centre[0] - middle[0], centre[1] - middle[1]);
        const double along[2] = {far > 0.0 ? (centre[0] - middle[0]) / far : 1.0,
                                 far > 0.0 ? (centre[1] - middle[1]) / far : 0.0};
        const double height = study->drive->pulleys[i].plane - mount->face - 0.5 * mount->thickness;
        const double moment[2] = {-height * force[1], height * force[0]};
        const double m_twist = moment[0] * along[0] + moment[1] * along[1];
        const double m_bend = -moment[0] * along[1] + moment[1] * along[0];
        const double bend = m_bend * reach / (mount->bracket.modulus * i_bend), turn = m_twist * reach / twist;
        study->tilt[i][0] += turn * along[0] - bend * along[1];
        study->tilt[i][1] += turn * along[1] + bend * along[0];
        r->slope = fmax(r->slope, hypot(bend, turn));
    }
}

/* ---- all
 * -------------------------------------------------------------------------------------------------------------- */

static bool used(const snub_hardware_study *study, int mount)
{
    for (int i = 0; i < study->drive->pulley_count; i++) {
        if (study->hardware->pulleys[i].mount == mount)
            return true;
    }
    return false;
}

static void tell_mount(snub_hardware_study *study, snub_wording wording, const snub_mount *mount)
{
    const snub_finding f = snub_mount_finding(study, wording, mount, NAN);
    snub_hardware_tell(study, &f);
}

static bool judge_mount(snub_hardware_study *study, int index, snub_mount_result *r)
{
    const snub_mount *mount = &study->hardware->mounts[index];
    snub_group_bolt group[SNUB_GROUP_BOLTS_MOST];
    bolt_range range[SNUB_GROUP_BOLTS_MOST];
    r->mount = mount;
    r->carried = true;
    r->bolts = SNUB_NEW(study->arena, snub_bolt_result, mount->bolt_count);
    r->tighten = SNUB_NEW(study->arena, int, mount->bolt_count);
    if (r->bolts == NULL || r->tighten == NULL)
        return false;
    for (int i = 0; i < mount->bolt_count; i++) {
        settle_bolt(study, mount, &mount->bolts[i], &r->bolts[i], &group[i]);
        range[i] = (bolt_range){-INFINITY, INFINITY};
    }
    r->in_line = mount->bolt_count > 1 && snub_group_in_line(group, mount->bolt_count, IN_LINE);
    set_order(r);
    run_cases(study, index, group, r, range);
    judge_turning(study, r);
    bend_bracket(study, index, r);
    r->least_separation = r->least_proof = r->least_fatigue = INFINITY;
    for (int i = 0; i < mount->bolt_count && r->carried; i++) {
        snub_bolt_result *b = &r->bolts[i];
        judge_bolt(study, mount, &range[i], b);
        r->worst_slip = fmax(r->worst_slip, b->slip_use);
        r->least_separation = fmin(r->least_separation, b->joint.separate);
        r->least_proof = fmin(r->least_proof, b->joint.proof);
        r->least_fatigue = fmin(r->least_fatigue, isnan(b->joint.fatigue) ? INFINITY : b->joint.fatigue);
    }
    for (int i = 0; i < mount->bolt_count; i++)
        judge_engagement(study, mount, &r->bolts[i]);
    if (!used(study, index))
        tell_mount(study, SNUB_SAYS_MOUNT_CARRIES_NOTHING, mount);
    if (r->in_line && r->carried)
        tell_mount(study, SNUB_SAYS_BOLTS_IN_LINE, mount);
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

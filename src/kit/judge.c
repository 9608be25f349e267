/* One build judged over all its cases: belt, arm, slip, motion, air, clearance, fitting, hardware.
 * docs/theory/findings.md. */
#include "judge.h"

#include <stdlib.h>
#include <string.h>

#include "finding.h"
#include "fixed_tensioner.h"
#include "hardware_study.h"
#include "judge_flap.h"
#include "lie.h"
#include "loads.h"
#include "snub/locale.h"

static snub_status no_memory(snub_error *error)
{
    return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

/* ---- what cannot be laid or set ---------------------------------------------------------------------------------- */

static const char *name_of(const snub_study *s, int pulley)
{
    const int n = s->drive->pulley_count;
    return s->drive->pulleys[(pulley + n) % n].name;
}

static void tell_unlaid(const snub_study *s, const snub_rig *rig)
{
    const int who = rig->culprit;
    const bool lost = rig->laid == SNUB_LOST_BELT;
    snub_finding f = snub_study_finding(s, lost ? SNUB_SAYS_LOST_BELT : SNUB_SAYS_OVERLAP, who, NULL);
    if (lost) {
        snub_finding_name(&f, "before", name_of(s, who - 1));
        snub_finding_name(&f, "after", name_of(s, who + 1));
        snub_finding_words(&f, "side",
                           s->drive->pulleys[who].side == SNUB_RIB ? SNUB_MESSAGE("ribbed face")
                                                                   : SNUB_MESSAGE("plain face"));
    } else {
        f.other = name_of(s, who + 1);
    }
    snub_study_tell(s, &f);
}

/* A belt at the end of its tolerance that the slot cannot tension spoils the build, but not what is shown of the
 * nominal belt. */
static void tell_lock(const snub_study *s, snub_corner corner, double lack)
{
    snub_finding f;
    if (!snub_lock_finding(s->drive, s->loads, snub_corner_belt(corner), lack, &f))
        s->findings->failed = true;
    f.at.corner = corner;
    snub_study_tell(s, &f);
}

/* ---- rigs -------------------------------------------------------------------------------------------------------- */

/* A slot is set cold. A belt that is set again as it wears has its tension at every age, as long as the slot reaches;
 * one that is not wears and stretches after the slot was bolted.
 * @return false: this belt has no setting */
static bool set_lock(const snub_study *s, snub_corner corner, double *settings)
{
    double stretch, lack;
    const double length = snub_corner_length(s, corner, &stretch);
    if (snub_lock_set(s->drive, snub_lock_belt(s->drive, length, stretch), settings, &lack, NULL) == SNUB_OK)
        return true;
    tell_lock(s, corner, lack);
    return false;
}

/* Rigs of all corners. @return false: the nominal belt cannot be laid */
static bool prepare_rigs(snub_study *s, snub_build *build)
{
    const snub_drive *drive = s->drive;
    s->same_rig = drive->locked < 0;
    s->grows = snub_drive_grows(drive);
    for (int corner = 0; corner < SNUB_CORNERS; corner++) {
        double settings[SNUB_PULLEYS_MOST];
        memcpy(settings, build->settings, sizeof settings);
        if (corner != SNUB_NOMINAL && s->same_rig) {
            for (int warm = 0; warm < 2; warm++)
                s->has_rig[warm][corner] = s->has_rig[warm][SNUB_NOMINAL];
            continue;
        }
        if (drive->locked >= 0 && !set_lock(s, (snub_corner)corner, settings)) {
            if (corner == SNUB_NOMINAL) {
                build->settings[drive->locked] = NAN;
                return false;
            }
            continue;
        }
        s->has_rig[0][corner] = snub_rig_prepare(drive, settings, &s->rig[0][corner], NULL) == SNUB_OK;
        s->has_rig[1][corner] = drive->engine.growth == 0.0
                                    ? s->has_rig[0][corner]
                                    : snub_rig_prepare_warm(drive, settings, &s->rig[1][corner], NULL) == SNUB_OK;
        if (corner != SNUB_NOMINAL)
            continue;
        for (int warm = 0; warm < 2; warm++) {
            if (!s->has_rig[warm][corner]) {
                tell_unlaid(s, &s->rig[warm][corner]);
                return false;
            }
        }
        for (int i = 0; i < drive->pulley_count; i++) {
            if (drive->pulleys[i].sits == SNUB_ON_SLOT)
                build->settings[i] = s->rig[0][corner].settings[i];
        }
    }
    return true;
}

/* ---- states ------------------------------------------------------------------------------------------------------ */

static snub_status balance_of(const snub_study *s, int speed, snub_balance *balance)
{
    snub_case wanted;
    snub_equilibrium e;
    const bool warm = snub_study_shown_warm(s, speed);
    const snub_rig *rig = snub_study_rig(s, SNUB_NOMINAL, warm);
    snub_loads_case(s->drive, s->loads, speed, SNUB_STEADY, 0.0, s->length, s->drive->belt.stretch, warm, &wanted);
    const snub_status status = snub_solve(rig, &wanted, &e, NULL);
    if (status == SNUB_OK)
        snub_expand(s->drive, rig, &wanted, &e, balance);
    return status;
}

/* ---- summaries --------------------------------------------------------------------------------------------------- */

void snub_build_no_summary(snub_build *build)
{
    build->hubs = NULL;
    build->nose_torque = NAN;
    build->air = (snub_air_summary){NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN};
    build->hardware = (snub_hardware_summary){false, NAN, NAN, NAN, NAN, NAN, false, 0};
}

static void sum_up_grip(const snub_study *s, snub_build *build)
{
    build->worst_grip = 0.0;
    build->worst_grip_speed = s->loads->speed[s->loads->speeds - 1];
    for (int i = 0; i < s->drive->pulley_count; i++) {
        const snub_worst *worst = &s->grip[i];
        if (worst->set && worst->value > build->worst_grip) {
            build->worst_grip = worst->value;
            build->worst_grip_speed = s->loads->speed[worst->speed];
        }
    }
    const int blower = s->loads->blower;
    build->blower_grip = blower >= 0 && s->grip[blower].set ? s->grip[blower].value : (double)NAN;
    build->slip_onset = s->onset.set ? s->onset.value : (double)NAN;
}

/* After the motion, whose swing may pull more. */
static snub_status judge_hubs(const snub_study *s, snub_build *build, snub_error *error)
{
    snub_judge_hubs(s);
    build->hubs = SNUB_NEW(s->arena, snub_hub_pull, s->drive->pulley_count);
    if (build->hubs == NULL)
        return no_memory(error);
    for (int i = 0; i < s->drive->pulley_count; i++)
        build->hubs[i] = snub_study_pull(s, i);
    build->swings = s->swings;
    build->swing_missing = s->swing_missing;
    build->nose_torque = s->nose.set ? s->nose.value : (double)NAN;
    build->nose_at = snub_worst_at(s, &s->nose);
    return SNUB_OK;
}

/* Wrap of the blower against the same build with its idler at the low end of its slot, the arm where it rests. */
static double wrap_gain(const snub_build *build)
{
    const snub_drive *drive = build->drive;
    const int blower = build->loads.blower;
    int slot = -1;
    double settings[SNUB_PULLEYS_MOST];
    snub_path low;
    for (int i = drive->pulley_count - 1; i >= 0; i--) {
        if (drive->pulleys[i].sits == SNUB_ON_SLOT && i != drive->locked)
            slot = i;
        settings[i] = build->settings[i];
    }
    if (blower < 0 || slot < 0)
        return NAN;
    settings[slot] = 0.0;
    if (snub_drive_lay(drive, build->rest.equilibrium.wind, settings, &low, NULL) != SNUB_OK)
        return NAN;
    return build->rest.path.wrap[blower] / low.wrap[blower] - 1.0;
}

static void sum_up_air(snub_build *build)
{
    const snub_loads *loads = &build->loads;
    if (loads->match == NULL || loads->speeds < 2)
        return;
    const snub_match_result *match = &loads->match[loads->speeds - 1];
    build->air = (snub_air_summary){.boost = match->boost,
                                    .shaft_speed = match->shaft_speed,
                                    .rotor_speed = match->rotor_speed,
                                    .power = match->power,
                                    .torque = match->torque,
                                    .belt_force = match->torque / build->drive->pulleys[loads->blower].pitch_radius,
                                    .outlet = match->outlet_temperature,
                                    .charge = match->charge_temperature,
                                    .mass_flow = match->mass_flow};
}

static void keep_worst(double *worst, double value, bool greater)
{
    if (!isnan(value) && (isnan(*worst) || (greater ? value > *worst : value < *worst)))
        *worst = value;
}

static void sum_up_hardware(const snub_hardware_report *report, snub_hardware_summary *sum)
{
    sum->given = report->done;
    sum->swings = report->swings;
    sum->conflicts = report->conflict_count;
    for (int i = 0; report->done && i < report->drive->pulley_count; i++) {
        const snub_plane_result *plane = &report->plane[i];
        const double most = snub_plane_most(plane), now = sum->entry_angle + sum->entry_tolerance;
        if (isnan(now) || most + plane->rss > now) {
            sum->entry_angle = most;
            sum->entry_tolerance = plane->rss;
        }
        if (report->bearing[i].given)
            keep_worst(&sum->bearing_life, report->bearing[i].life_adjusted, false);
        if (report->clamp[i].given) {
            keep_worst(&sum->bolt_slip, report->clamp[i].slip_use, true);
            keep_worst(&sum->bolt_margin, report->clamp[i].screw.proof, false);
        }
        if (report->standoff[i].given) {
            keep_worst(&sum->bolt_slip, report->standoff[i].slip_use, true);
            keep_worst(&sum->bolt_margin, report->standoff[i].no_gap / report->standoff[i].moment, false);
            keep_worst(&sum->bolt_margin, report->standoff[i].screw.proof, false);
        }
    }
    for (int m = 0; report->done && m < report->mount_count; m++) {
        keep_worst(&sum->bolt_slip, report->mounts[m].worst_slip, true);
        keep_worst(&sum->bolt_margin, report->mounts[m].least_separation, false);
        keep_worst(&sum->bolt_margin, report->mounts[m].least_proof, false);
    }
}

/* ---- all --------------------------------------------------------------------------------------------------------- */

/* From here on the build is the one with the shims that it is fitted with. */
static snub_status fit_shims(snub_study *s, snub_build *build, const snub_path *running, snub_shim_plan *plan,
                             snub_error *error)
{
    if (s->drive->hardware == NULL)
        return SNUB_OK;
    const snub_status status = snub_plan_shims(s, running, plan, &build->drive, error);
    s->drive = build->drive;
    return status;
}

static snub_status judge_hardware(snub_study *s, snub_build *build, const snub_path *running,
                                  const snub_shim_plan *plan, snub_error *error)
{
    if (s->drive->hardware == NULL)
        return SNUB_OK;
    build->report = SNUB_NEW(s->arena, snub_hardware_report, 1);
    if (build->report == NULL)
        return no_memory(error);
    const snub_status status = snub_judge_hardware(s, running, &build->rest.path, plan, build->report, error);
    if (status == SNUB_OK)
        sum_up_hardware(build->report, &build->hardware);
    return status;
}

/* The belt goes where the pulleys that guide it go. */
static bool shims_may_move(const snub_drive *drive, const snub_conflict *c)
{
    const bool belt = c->piece == SNUB_PIECE_SPAN || c->piece == SNUB_PIECE_WRAP;
    const int next = c->piece == SNUB_PIECE_SPAN ? (c->index + 1) % drive->pulley_count : c->index;
    return snub_shims_may_move(drive->hardware, belt ? snub_lie_guide(drive, c->index) : c->index) ||
           (belt && snub_shims_may_move(drive->hardware, snub_lie_guide(drive, next)));
}

/* The worst of what comes too near to an obstacle and stays where it is, whatever shims are fitted later. */
static snub_level fixed_obstacles(snub_study *few, const snub_path *running, const snub_path *rest,
                                  snub_hardware_report *report)
{
    snub_findings dropped = {0};
    snub_level worst = SNUB_PASS;
    few->findings = &dropped;
    snub_judge_obstacles(few, running, rest, report);
    for (int k = 0; k < report->conflict_count; k++) {
        const snub_conflict *c = &report->conflicts[k];
        if (shims_may_move(few->drive, c))
            continue;
        const snub_level level = snub_conflict_finding(few->drive, c).level;
        worst = level > worst ? level : worst;
    }
    return worst;
}

/* What a few cases show already: each rule below looks at the worst of its cases, so that all cases find no less. */
static snub_status look_ahead(const snub_study *s, const snub_build *build, snub_level *found, snub_error *error)
{
    snub_findings findings = {0};
    snub_level near = SNUB_PASS;
    snub_study *few = SNUB_NEW(s->scratch, snub_study, 1);
    snub_hardware_report *report = SNUB_NEW(s->scratch, snub_hardware_report, 1);
    snub_balance *redline = SNUB_NEW(s->scratch, snub_balance, 1);
    if (few == NULL || report == NULL || redline == NULL)
        return no_memory(error);
    *few = *s;
    few->arena = s->scratch;
    few->findings = &findings;
    few->ends_only = true;
    if (!snub_study_run(few))
        return no_memory(error);
    snub_judge_parts(few);
    snub_judge_belt(few);
    snub_judge_hubs(few);
    snub_judge_arm(few);
    snub_judge_slip(few);
    snub_judge_air(few);
    if (build->laid) {
        snub_judge_fitting(few);
        const bool running = balance_of(s, s->loads->speeds - 1, redline) == SNUB_OK;
        if (s->drive->hardware != NULL)
            near = fixed_obstacles(few, running ? &redline->path : &build->rest.path, &build->rest.path, report);
    }
    *found = snub_findings_verdict(&findings);
    *found = near > *found ? near : *found;
    return findings.failed ? no_memory(error) : SNUB_OK;
}

static bool gives_up(snub_build *build, snub_level found, snub_level most)
{
    if (found <= most)
        return false;
    build->judged = false;
    build->verdict = found;
    return true;
}

static snub_status judge(snub_study *s, snub_build *build, snub_level most, snub_error *error)
{
    snub_level found = SNUB_PASS;
    snub_balance *redline = SNUB_NEW(s->scratch, snub_balance, 1);
    snub_shim_plan *plan = SNUB_NEW(s->scratch, snub_shim_plan, 1);
    if (redline == NULL || plan == NULL)
        return no_memory(error);
    if (!prepare_rigs(s, build)) {
        snub_judge_parts(s);
        return SNUB_OK;
    }
    build->laid = balance_of(s, 0, &build->rest) == SNUB_OK;
    snub_status status = most < SNUB_FAIL ? look_ahead(s, build, &found, error) : SNUB_OK;
    if (status != SNUB_OK || gives_up(build, found, most))
        return status;
    if (!snub_study_run(s))
        return no_memory(error);
    snub_judge_parts(s);
    snub_judge_belt(s);
    snub_judge_arm(s);
    snub_judge_slip(s);
    snub_judge_air(s);
    if (!build->laid)
        return judge_hubs(s, build, error);
    const bool running = balance_of(s, s->loads->speeds - 1, redline) == SNUB_OK;
    const snub_path *path = running ? &redline->path : &build->rest.path;
    status = fit_shims(s, build, path, plan, error);
    if (status != SNUB_OK)
        return status;
    snub_judge_back(s, &build->rest.path, build->length_chosen);
    snub_judge_gaps(s, &build->tightest_gap);
    snub_judge_fitting(s);
    sum_up_grip(s, build);
    if (s->drive->arm >= 0) {
        build->wind_rest = build->rest.equilibrium.wind;
        build->wind_low = s->wind_low.set ? s->wind_low.value : (double)NAN;
        build->wind_high = s->wind_high.set ? s->wind_high.value : (double)NAN;
        build->wind_redline = running ? redline->equilibrium.wind : (double)NAN;
    }
    build->wrap_gain = wrap_gain(build);
    if (gives_up(build, snub_findings_verdict(s->findings), most))
        return SNUB_OK;
    if (snub_judge_inertias(s) != SNUB_OK || snub_judge_motion(s) != SNUB_OK ||
        snub_judge_flap(s, build, &build->tightest_gap) != SNUB_OK)
        return no_memory(error);
    status = judge_hubs(s, build, error);
    if (status != SNUB_OK || gives_up(build, snub_findings_verdict(s->findings), most))
        return status;
    return judge_hardware(s, build, path, plan, error);
}

snub_status snub_build_judge(snub_build *build, snub_level most, snub_arena *arena, snub_error *error)
{
    snub_arena scratch;
    snub_arena_branch(arena, &scratch);
    snub_study *s = SNUB_NEW(&scratch, snub_study, 1);
    snub_status status = s != NULL ? SNUB_OK : no_memory(error);
    if (status == SNUB_OK) {
        s->drive = build->drive;
        s->loads = &build->loads;
        s->arena = arena;
        s->scratch = &scratch;
        s->length = build->length;
        s->findings = &build->findings;
        sum_up_air(build);
        build->judged = true;
        status = judge(s, build, most, error);
    }
    snub_arena_drop(arena, &scratch);
    snub_findings_sort(&build->findings);
    if (build->judged)
        build->verdict = snub_findings_verdict(&build->findings);
    if (status == SNUB_OK && (build->findings.failed || arena->refused))
        status = no_memory(error);
    return status;
}

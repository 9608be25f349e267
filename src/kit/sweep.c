/* The rev range in every way of running. docs/theory/sweep.md */
#include "snub/sweep.h"
#include "fixed_tensioner.h"
#include "loads.h"
#include "slip.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { SPEEDS_DEFAULT = 60 };

static bool runs(const snub_drive *drive, snub_way way, bool steady_only)
{
    if (way == SNUB_STEADY)
        return true;
    return !steady_only && (way == SNUB_SHUT || snub_way_rate(&drive->engine, way) != 0);
}

/* Large things of one run, on the heap. */
typedef struct sweep_scratch {
    snub_rig rig;
    snub_case wanted;
    snub_equilibrium e;
    snub_slip slip;
    snub_balance balance;
} sweep_scratch;

static void fill_pulley(const sweep_scratch *scratch, int i, snub_sweep_pulley *out)
{
    const snub_pulley_state *state = &scratch->balance.pulley[i];
    double factor = scratch->slip.factor[i];
    /* the crank turns at its own speed; its factor is the belt's */
    double speed = i == scratch->rig.crank ? fabs(state->speed) / fmax(factor, 1e-12) : fabs(state->speed) * factor;
    *out = (snub_sweep_pulley){.speed = speed,
                               .torque = state->torque,
                               .entry = state->entry,
                               .exit = state->exit,
                               .grip_design = state->grip_design,
                               .grip_limit = state->grip_limit,
                               .hub = hypot(state->hub[0], state->hub[1]),
                               .hub_angle = atan2(state->hub[1], state->hub[0]),
                               .slip = scratch->slip.kind[i],
                               .factor = factor,
                               .slip_speed = scratch->slip.speed[i],
                               .heat = scratch->slip.heat[i]};
}

/* Arm at the edges of its friction band, with the torques of the middle; told for steady running only. */
static void find_band(snub_way way, sweep_scratch *scratch, snub_sweep_point *point)
{
    point->wind = point->wind_low = point->wind_high = NAN;
    if (scratch->rig.arm < 0)
        return;
    point->wind = scratch->balance.equilibrium.wind;
    if (way != SNUB_STEADY)
        return;
    for (int edge = 0; edge < 2; edge++) {
        snub_equilibrium e;
        scratch->wanted.side = edge ? 1 : -1;
        double wind = snub_solve(&scratch->rig, &scratch->wanted, &e, NULL) == SNUB_OK ? e.wind : NAN;
        *(edge ? &point->wind_high : &point->wind_low) = wind;
    }
    if (point->wind_low > point->wind_high) { /* more friction in the spring's favour winds less */
        double swap = point->wind_low;
        point->wind_low = point->wind_high;
        point->wind_high = swap;
    }
}

/* The blower at the speed that the belt gives it. */
static snub_status find_match(const snub_sweep *sweep, const sweep_scratch *scratch, double speed,
                              snub_throttle throttle, snub_sweep_point *point, snub_error *error)
{
    double unused;
    int blower = sweep->blower;
    if (blower < 0)
        return SNUB_OK;
    snub_match_result free_running;
    snub_status status = snub_demand_torque(sweep->drive, blower, speed, 1, throttle, &unused, &free_running, error);
    if (status)
        return status;
    point->boost_without_slip = free_running.boost;
    point->match = free_running;
    double factor = scratch ? scratch->slip.factor[blower] * scratch->slip.factor[scratch->rig.crank] : 1;
    if (factor < 1)
        status = snub_demand_torque(sweep->drive, blower, speed, factor, throttle, &unused, &point->match, error);
    return status;
}

static snub_status run_point(const snub_sweep *sweep, snub_way way, int k, double belt_length, sweep_scratch *scratch,
                             snub_error *error)
{
    snub_sweep_point *point = &sweep->point[way][k];
    snub_sweep_pulley *pulleys = &sweep->pulley[way][k * sweep->pulleys];
    snub_slip_case asked = {.engine_speed = sweep->speed[k],
                            .rate = sweep->rate[way],
                            .throttle = snub_way_throttle(way),
                            .belt_length = belt_length,
                            .friction = sweep->friction};
    snub_error why = {0};
    snub_status status =
        snub_slip_solve(sweep->drive, &scratch->rig, &asked, &scratch->wanted, &scratch->e, &scratch->slip, &why);
    if (status != SNUB_OK && status != SNUB_NO_EQUILIBRIUM && status != SNUB_NO_CONVERGENCE) {
        if (error)
            *error = why;
        return status;
    }
    point->solved = status == SNUB_OK;
    if (!point->solved) {
        snprintf(point->why, sizeof point->why, "%.150s", why.message);
        return find_match(sweep, NULL, sweep->speed[k], asked.throttle, point, error);
    }
    snub_expand(sweep->drive, &scratch->rig, &scratch->wanted, &scratch->e, &scratch->balance);
    for (int i = 0; i < sweep->pulleys; i++) {
        fill_pulley(scratch, i, &pulleys[i]);
        if (scratch->slip.kind[i] != SNUB_SLIP_NONE && isfinite(scratch->slip.heat[i]))
            point->heat += scratch->slip.heat[i];
    }
    point->belt_speed = scratch->e.belt_speed;
    point->power = -pulleys[scratch->rig.crank].torque * sweep->speed[k];
    find_band(way, scratch, point);
    return find_match(sweep, scratch, sweep->speed[k], asked.throttle, point, error);
}

static bool make_room(const snub_drive *drive, const snub_sweep_request *request, snub_arena *arena, snub_sweep *sweep)
{
    sweep->speed = SNUB_NEW(arena, double, sweep->speeds);
    bool good = sweep->speed != NULL;
    for (int way = 0; way < SNUB_WAYS; way++) {
        sweep->rate[way] = snub_way_rate(&drive->engine, (snub_way)way);
        sweep->ran[way] = runs(drive, (snub_way)way, request->steady_only);
        if (!sweep->ran[way])
            continue;
        sweep->point[way] = SNUB_NEW(arena, snub_sweep_point, sweep->speeds);
        sweep->pulley[way] = SNUB_NEW(arena, snub_sweep_pulley, (size_t)sweep->speeds * (size_t)sweep->pulleys);
        good = good && sweep->point[way] && sweep->pulley[way];
    }
    return good;
}

static void set_up(const snub_build *build, const snub_sweep_request *request, snub_sweep *sweep)
{
    *sweep = (snub_sweep){.build = build,
                          .drive = build->drive,
                          .pulleys = build->drive->pulley_count,
                          .blower = snub_first_blower(build->drive)};
    sweep->speeds = request->speeds > 1 ? request->speeds : SPEEDS_DEFAULT;
    if (sweep->speeds > SNUB_SWEEP_SPEEDS_MOST)
        sweep->speeds = SNUB_SWEEP_SPEEDS_MOST;
    sweep->friction = request->friction > 0 ? request->friction : 1;
}

snub_status snub_sweep_run(const snub_build *build, const snub_sweep_request *request, snub_arena *arena,
                           snub_sweep *sweep, snub_error *error)
{
    const snub_drive *drive = build->drive;
    if (!drive->engine.given || !(drive->engine.redline > drive->engine.idle))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "engine",
                         "a sweep needs engine.idle and engine.redline: without them there is no speed range");
    set_up(build, request, sweep);
    sweep_scratch *scratch = calloc(1, sizeof *scratch);
    if (!scratch || !make_room(drive, request, arena, sweep)) {
        free(scratch);
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    }
    double idle = drive->engine.idle, redline = drive->engine.redline;
    for (int k = 0; k < sweep->speeds; k++)
        sweep->speed[k] = idle + (redline - idle) * k / (sweep->speeds - 1);
    double belt_length = snub_belt_pitch_length(&drive->belt, build->length, drive->belt.stretch, true);
    snub_status status = snub_build_rig(build, true, &scratch->rig, error);
    for (int way = 0; way < SNUB_WAYS; way++)
        for (int k = 0; sweep->ran[way] && k < sweep->speeds && status == SNUB_OK; k++)
            status = run_point(sweep, (snub_way)way, k, belt_length, scratch, error);
    free(scratch);
    return status;
}

/* Grip on the limit friction is `friction` (1 when dry) where it slips; onset lies between the last point that holds
 * and the first that slips. How far: the holding point's grip goes on rising as from the point before it. */
double snub_sweep_slip_onset(const snub_sweep *sweep, snub_way way, int pulley)
{
    if (!sweep->ran[way])
        return NAN;
    const snub_sweep_pulley *before = NULL, *earlier = NULL;
    for (int k = 0; k < sweep->speeds; k++) {
        const snub_sweep_pulley *now = &sweep->pulley[way][k * sweep->pulleys + pulley];
        if (!sweep->point[way][k].solved) {
            before = earlier = NULL;
            continue;
        }
        if (now->slip != SNUB_SLIP_NONE) {
            if (!before || !earlier)
                return before ? 0.5 * (sweep->speed[k - 1] + sweep->speed[k]) : sweep->speed[k];
            double gain = before->grip_limit - earlier->grip_limit, step = sweep->speed[k] - sweep->speed[k - 1];
            double part = gain > 0 ? (sweep->friction - before->grip_limit) / gain : 0.5;
            return sweep->speed[k - 1] + step * fmin(fmax(part, 0), 1);
        }
        earlier = before;
        before = now;
    }
    return NAN;
}

/* Stalled is worse than slower, slower than overrun; then the greater heat. */
static double weight_of(const snub_sweep_pulley *p)
{
    const double heat = isfinite(p->heat) ? p->heat : 0;
    return p->slip == SNUB_SLIP_STALLED ? 1e12 + heat : p->slip == SNUB_SLIP_SLOWER ? 1 + heat : 0;
}

snub_slip_worst snub_sweep_worst_slip(const snub_sweep *sweep, int pulley)
{
    snub_slip_worst worst = {0};
    double most = -1;
    for (int way = 0; way < SNUB_WAYS; way++) {
        for (int k = 0; sweep->ran[way] && k < sweep->speeds; k++) {
            const snub_sweep_pulley *p = &sweep->pulley[way][k * sweep->pulleys + pulley];
            if (!sweep->point[way][k].solved || p->slip == SNUB_SLIP_NONE || weight_of(p) <= most)
                continue;
            most = weight_of(p);
            worst = (snub_slip_worst){.slips = true, .way = (snub_way)way, .at = k};
        }
    }
    return worst;
}

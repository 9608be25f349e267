/* A build in one state, to be shown. */
#include "finding.h"
#include "fit.h"
#include "fixed_tensioner.h"
#include "loads.h"
#include "no_loads.h"
#include "travel_end.h"

#include <string.h>

/* What is solved: the belt as it is wanted, on a rig that it was set on. */
typedef struct shown {
    const snub_build *build;
    const snub_wanted_state *wanted;
    snub_rig *rig;
    snub_loads loads;
    int at; /* index of the speed */
    bool warm;
    double length, stretch;
} shown;

static snub_status solve(const shown *s, double side, snub_balance *balance, snub_case *wanted)
{
    snub_equilibrium e;
    snub_loads_case(s->build->drive, &s->loads, s->at, s->at > 0 ? s->wanted->way : SNUB_STEADY, side, s->length,
                    s->stretch, s->warm, wanted);
    const snub_status status = snub_solve(s->rig, wanted, &e, NULL);
    if (status != SNUB_OK)
        return status;
    const int peak = s->at > 0 ? snub_peak_state(s->build->drive, &s->loads, s->wanted->peak) : -1;
    if (peak >= 0) {
        const snub_equilibrium mean = e;
        (void)snub_loads_peak(s->build->drive, &s->loads, s->at, s->wanted->way, peak, wanted);
        snub_solve_held(s->rig, wanted, &mean, &e);
    }
    snub_expand(s->build->drive, s->rig, wanted, &e, balance);
    return status;
}

/* Why there is no balance in the state that is shown. */
static snub_finding why_not(const shown *s, const snub_case *wanted, snub_status status)
{
    static const snub_wording wordings[] = {[SNUB_FAILS_NOT] = SNUB_SAYS_NO_ANSWER,
                                            [SNUB_FAILS_TOO_LONG_FOR_ARM] = SNUB_SAYS_TOO_LONG_FOR_ARM,
                                            [SNUB_FAILS_TOO_LONG] = SNUB_SAYS_TOO_LONG,
                                            [SNUB_FAILS_MOMENTUM] = SNUB_SAYS_SLACK_BY_MOMENTUM,
                                            [SNUB_FAILS_ARM_LOST] = SNUB_SAYS_NO_ARM_POSITION,
                                            [SNUB_FAILS_NO_ANSWER] = SNUB_SAYS_NO_ANSWER};
    double amount;
    const snub_failure failure = snub_solve_failure(s->rig, wanted, status, &amount);
    snub_finding f = snub_finding_of(s->build->drive, wordings[failure]);
    f.value = amount;
    (void)snub_finding_fit(s->build->drive, &s->build->loads, &f); /* without memory: without the lengths */
    f.at = (snub_condition){.moment = wanted->engine_speed > 0.0 ? SNUB_RUNNING : SNUB_AT_REST,
                            .speed = wanted->engine_speed,
                            .way = s->wanted->way};
    return f;
}

/* A fixed tensioner has to come to its tension with the belt that is shown; the nominal one was set where the build
 * was judged. @return false: its slot does not reach, which is told, or the belt does not lie */
static bool prepare(const shown *s, snub_state *state)
{
    const snub_drive *drive = s->build->drive;
    double settings[SNUB_PULLEYS_MOST], lack;
    memcpy(settings, s->build->settings, sizeof settings);
    const bool set = drive->locked < 0 || (s->wanted->belt == SNUB_SHOW_NOMINAL && isfinite(settings[drive->locked]));
    if (!set && snub_lock_set(drive, snub_lock_belt(drive, s->length, s->stretch), settings, &lack, NULL) != SNUB_OK) {
        /* without memory: no lengths */
        (void)snub_lock_finding(drive, &s->build->loads, s->wanted->belt, lack, &state->why);
        return false;
    }
    if (drive->locked >= 0)
        state->fixed_setting = settings[drive->locked];
    return (s->warm ? snub_rig_prepare_warm : snub_rig_prepare)(drive, settings, s->rig, NULL) == SNUB_OK;
}

/* A fixed tensioner is set with the belt of the state, stretched as it was then. */
static void find_lock_end(const shown *s, snub_travel_end *end)
{
    const snub_drive *drive = s->build->drive;
    if (drive->locked >= 0)
        snub_lock_end(drive, s->build->settings, snub_lock_belt(drive, s->length, s->stretch), end);
}

static void find_band(const shown *s, snub_balance *edge, snub_state *state)
{
    snub_case wanted;
    for (int end = 0; end < 2 && s->build->drive->arm >= 0; end++) {
        if (solve(s, end == 0 ? -1.0 : 1.0, edge, &wanted) == SNUB_OK)
            state->wind_band[end] = edge->equilibrium.wind;
    }
}

snub_status snub_build_state(const snub_build *build, const snub_wanted_state *wanted, snub_arena *arena,
                             snub_state *state, snub_error *error)
{
    snub_case asked;
    snub_error why;
    memset(state, 0, sizeof *state);
    shown s = {.build = build, .wanted = &state->wanted};
    state->wanted = *wanted;
    state->wind_band[0] = state->wind_band[1] = state->fixed_setting = NAN;
    state->end = (snub_travel_end){.pulley = -1, .by = NAN};
    if (isnan(wanted->speed))
        state->wanted.speed = build->drive->engine.given ? build->drive->engine.redline : 0.0;
    state->engine_speed = state->wanted.speed;
    snub_status status =
        snub_loads_at(build->drive, state->engine_speed, wanted->way, wanted->rate, arena, &s.loads, &why);
    if (status == SNUB_NO_MEMORY)
        return snub_fail(error, status, NULL, NULL, "out of memory");
    if (status != SNUB_OK) {
        state->why = snub_no_loads_finding(build->drive, &why, arena);
        return SNUB_OK;
    }
    s.at = s.loads.speeds - 1;
    state->rate = s.at > 0 ? s.loads.rate[wanted->way] : 0.0;
    s.warm = wanted->warmth == SNUB_WARM || (wanted->warmth == SNUB_ANY_WARMTH && s.at > 0);
    if (s.loads.match != NULL && s.at > 0 && snub_way_throttle(wanted->way) == SNUB_THROTTLE_OPEN) {
        state->has_match = true;
        state->match = s.loads.match[s.at];
    }
    s.rig = SNUB_NEW(arena, snub_rig, 1);
    snub_balance *edge = SNUB_NEW(arena, snub_balance, 1);
    if (s.rig == NULL || edge == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    if (!build->settled)
        return SNUB_OK;
    s.length = snub_belt_shown(&build->drive->belt, build->length, wanted->belt, &s.stretch);
    find_lock_end(&s, &state->end);
    if (!prepare(&s, state))
        return SNUB_OK;
    status = solve(&s, wanted->side, &state->balance, &asked);
    state->solved = status == SNUB_OK;
    if (build->drive->arm >= 0)
        snub_arm_end(build->drive, s.rig, &asked, state->solved ? &state->balance.equilibrium : NULL, &state->end);
    if (state->solved)
        find_band(&s, edge, state);
    else
        state->why = why_not(&s, &asked, status);
    return SNUB_OK;
}

bool snub_finding_shown_by(const snub_finding *finding, snub_wanted_state *wanted)
{
    const snub_condition *at = &finding->at;
    if (at->moment != SNUB_RUNNING && at->moment != SNUB_AT_REST)
        return false;
    *wanted = (snub_wanted_state){.speed = at->moment == SNUB_RUNNING ? at->speed : 0.0,
                                  .way = at->moment == SNUB_RUNNING ? at->way : SNUB_STEADY,
                                  .belt = snub_corner_belt(at->corner),
                                  .side = at->side,
                                  .warmth = at->warmth,
                                  .peak = at->peak};
    return true;
}

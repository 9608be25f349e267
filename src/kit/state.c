/* A build at one speed, to be shown. */
#include "finding.h"
#include "judge.h"
#include "loads.h"

#include <string.h>

static snub_status solve(const snub_build *build, const snub_rig *rig, const snub_loads *loads, int speed, double side,
                         snub_balance *balance, snub_case *wanted)
{
    snub_equilibrium e;
    snub_loads_case(build->drive, loads, speed, SNUB_STEADY, side, build->length, build->drive->belt.stretch,
                    loads->speed[speed] > 0.0, wanted);
    const snub_status status = snub_solve(rig, wanted, &e, NULL);
    if (status == SNUB_OK)
        snub_expand(build->drive, rig, wanted, &e, balance);
    return status;
}

/* Why there is no balance at the speed that is shown. */
static snub_finding why_not(const snub_build *build, const snub_rig *rig, const snub_case *wanted, snub_status status)
{
    static const snub_wording wordings[] = {[SNUB_FAILS_NOT] = SNUB_SAYS_NO_ANSWER,
                                            [SNUB_FAILS_TOO_LONG_FOR_ARM] = SNUB_SAYS_TOO_LONG_FOR_ARM,
                                            [SNUB_FAILS_TOO_LONG] = SNUB_SAYS_TOO_LONG,
                                            [SNUB_FAILS_MOMENTUM] = SNUB_SAYS_SLACK_BY_MOMENTUM,
                                            [SNUB_FAILS_ARM_LOST] = SNUB_SAYS_NO_ARM_POSITION,
                                            [SNUB_FAILS_NO_ANSWER] = SNUB_SAYS_NO_ANSWER};
    double amount;
    const snub_failure failure = snub_solve_failure(rig, wanted, status, &amount);
    snub_finding f = snub_finding_of(build->drive, wordings[failure]);
    f.value = amount;
    f.at = (snub_condition){.moment = wanted->engine_speed > 0.0 ? SNUB_RUNNING : SNUB_AT_REST,
                            .speed = wanted->engine_speed,
                            .way = SNUB_STEADY};
    return f;
}

snub_status snub_build_state(const snub_build *build, double speed, double rate, snub_arena *arena, snub_state *state,
                             snub_error *error)
{
    snub_loads loads;
    snub_case wanted;
    snub_error why;
    memset(state, 0, sizeof *state);
    state->wind_band[0] = state->wind_band[1] = NAN;
    state->engine_speed = !isnan(speed) ? speed : build->drive->engine.given ? build->drive->engine.redline : 0.0;
    state->rate = state->engine_speed > 0.0 ? rate : 0.0;
    snub_status status = snub_loads_at(build->drive, state->engine_speed, state->rate, arena, &loads, &why);
    if (status == SNUB_NO_MEMORY)
        return snub_fail(error, status, NULL, NULL, "out of memory");
    if (status != SNUB_OK) {
        state->why = snub_no_loads_finding(build->drive, &why, arena);
        return SNUB_OK;
    }
    const int at = loads.speeds - 1;
    if (loads.match != NULL && at > 0) {
        state->has_match = true;
        state->match = loads.match[at];
    }
    snub_rig *rig = SNUB_NEW(arena, snub_rig, 1);
    snub_balance *edge = SNUB_NEW(arena, snub_balance, 1);
    if (rig == NULL || edge == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    if (!build->settled ||
        (at > 0 ? snub_rig_prepare_warm : snub_rig_prepare)(build->drive, build->settings, rig, NULL) != SNUB_OK)
        return SNUB_OK;
    status = solve(build, rig, &loads, at, 0.0, &state->balance, &wanted);
    state->solved = status == SNUB_OK;
    if (!state->solved) {
        state->why = why_not(build, rig, &wanted, status);
        return SNUB_OK;
    }
    for (int end = 0; end < 2 && build->drive->arm >= 0; end++) {
        if (solve(build, rig, &loads, at, end == 0 ? -1.0 : 1.0, edge, &wanted) == SNUB_OK)
            state->wind_band[end] = edge->equilibrium.wind;
    }
    return SNUB_OK;
}

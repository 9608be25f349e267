/* One state of a build after another, slip fed back. docs/theory/sweep.md */
#include <math.h>
#include <string.h>

#include "fixed_tensioner.h"
#include "slip.h"

snub_status snub_slip_bench_make(const snub_build *build, snub_slip_bench *bench, snub_error *error)
{
    bench->drive = *build->drive;
    memcpy(bench->pulleys, build->drive->pulleys, (size_t)build->drive->pulley_count * sizeof *bench->pulleys);
    bench->drive.pulleys = bench->pulleys;
    bench->blower = snub_first_blower(build->drive);
    if (bench->blower < 0)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "pulleys", "the drive has no blower whose slip could be found");
    bench->belt_length = snub_belt_pitch_length(&build->drive->belt, build->length, build->drive->belt.stretch, true);
    return snub_build_rig(build, true, &bench->rig, error);
}

static void find_fastest(const snub_slip_bench *bench, const snub_slip *slip, snub_slip_state *state)
{
    state->pulley = -1;
    for (int i = 0; i < bench->drive.pulley_count; i++)
        if (slip->kind[i] != SNUB_SLIP_NONE && (state->pulley < 0 || slip->speed[i] > state->speed)) {
            state->pulley = i;
            state->speed = slip->speed[i];
            state->heat = slip->heat[i];
        }
}

snub_status snub_slip_bench_ask(const snub_slip_bench *bench, const snub_slip_case *asked, snub_slip_state *state,
                                snub_error *error)
{
    snub_slip_case own = *asked;
    snub_case wanted;
    snub_equilibrium e;
    snub_slip slip;
    snub_balance balance;
    snub_match_result match;
    double torque;
    own.belt_length = bench->belt_length;
    *state = (snub_slip_state){.pulley = -1};
    snub_status status = snub_slip_solve(&bench->drive, &bench->rig, &own, &wanted, &e, &slip, error);
    if (status == SNUB_NO_EQUILIBRIUM || status == SNUB_NO_CONVERGENCE)
        return SNUB_OK;
    if (status != SNUB_OK)
        return status;
    const double factor = slip.factor[bench->blower] * slip.factor[bench->rig.crank];
    snub_expand(&bench->drive, &bench->rig, &wanted, &e, &balance);
    status = snub_demand_torque(&bench->drive, bench->blower, asked->engine_speed, factor, asked->throttle, &torque,
                                &match, error);
    if (status != SNUB_OK)
        return status;
    state->solved = true;
    state->slip = 1.0 - factor;
    state->turns = factor * (1.0 - balance.pulley[bench->blower].creep);
    state->boost = match.boost;
    find_fastest(bench, &slip, state);
    return SNUB_OK;
}

/* The blower's clutch of a run: what it carries, when it closes, and the drive before that. */
#include "scenario_clutch.h"

#include "loads.h"

/* Of the blower's greatest torque, and s. Rules of thumb, no published source: magnetic clutches are chosen for
 * some 1.5 to 2 times what they carry, and their coils take 0.05 to 0.15 s. */
static const double OVER_TORQUE = 1.5, RISE = 0.1;
/* The crank turns unevenly by then, and the drive has settled. */
static const double CLOSES = 0.3; /* s */

static double greatest_torque(const snub_shaft_loads *loads, int pulley)
{
    enum { STEPS = 32 };
    const snub_engine *engine = &loads->drive->engine;
    double most = 0.0;
    for (int k = 0; k <= STEPS; k++) {
        const double speed = engine->idle + (engine->redline - engine->idle) * k / STEPS;
        const double shaft = speed * snub_speed_ratio(loads->drive, pulley);
        most = fmax(most, snub_shaft_load(loads, pulley, speed, 1.0, shaft));
    }
    return most;
}

static snub_status check(const snub_scenario_run *run, int blower, double rise, snub_error *error)
{
    const snub_scenario_request *q = &run->request;
    if (blower < 0)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL,
                         "the run engage needs a pulley with a blower; there is none");
    if (run->drive->pulleys[blower].overruns)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, run->drive->pulleys[blower].name,
                         "the run engage has a clutch that closes here: leave out `overruns`");
    if (!(q->clutch_torque >= 0.0 && q->clutch_rise >= 0.0))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the clutch needs a torque and a time over 0");
    if (q->length < CLOSES + rise)
        return snub_fail(
            error, SNUB_BAD_INPUT, NULL, NULL,
            "the run ends at %.4g s, the clutch closes from %.4g to %.4g s: give --seconds of more than that",
            q->length, CLOSES, CLOSES + rise);
    return SNUB_OK;
}

snub_status snub_scenario_clutch(const snub_shaft_loads *loads, snub_scenario_run *run, snub_error *error)
{
    const snub_scenario_request *q = &run->request;
    const int blower = snub_first_blower(run->drive);
    const double rise = q->clutch_rise > 0.0 ? q->clutch_rise : RISE;
    const snub_status status = check(run, blower, rise, error);
    if (status != SNUB_OK)
        return status;
    run->course.assumed |= (q->clutch_torque > 0.0 ? 0U : (unsigned)SNUB_ASSUMED_CLUTCH) |
                           (q->clutch_rise > 0.0 ? 0U : (unsigned)SNUB_ASSUMED_CLOSING);
    run->clutch = (snub_run_clutch){.pulley = blower,
                                    .torque = q->clutch_torque > 0.0 ? q->clutch_torque
                                                                     : OVER_TORQUE * greatest_torque(loads, blower),
                                    .closes = CLOSES,
                                    .rise = rise};
    run->clutch_rim = snub_rim_inertia(run->drive, &run->vibration.inertias, blower);
    return SNUB_OK;
}

snub_status snub_balance_without(const snub_build *build, const snub_rig *rig, double speed, int pulley,
                                 snub_arena *arena, snub_balance *balance, snub_error *error)
{
    const snub_drive *drive = build->drive;
    snub_loads loads;
    snub_case wanted;
    snub_equilibrium e;
    double stretch;
    const double length = snub_belt_shown(&drive->belt, build->length, SNUB_SHOW_NOMINAL, &stretch);
    snub_status status = snub_loads_at(drive, speed, SNUB_STEADY, 0.0, arena, &loads, error);
    if (status != SNUB_OK)
        return status;
    snub_loads_case(drive, &loads, loads.speeds - 1, SNUB_STEADY, 0.0, length, stretch, true, &wanted);
    wanted.torque[pulley] = 0.0;
    status = snub_solve(rig, &wanted, &e, error);
    if (status == SNUB_OK)
        snub_expand(drive, rig, &wanted, &e, balance);
    return status;
}

/** The blower's clutch of a run. Private to src/kit. */
#ifndef SNUB_KIT_SCENARIO_CLUTCH_H
#define SNUB_KIT_SCENARIO_CLUTCH_H

#include "scenario_loads.h"

/** The clutch as it is asked for, what is missing assumed: fills `clutch`, `clutch_rim` and `course.assumed` of the
 * run.
 *  @param[in] loads  of the run, from idle to redline
 *  @return SNUB_OK; SNUB_BAD_INPUT (no blower, it overruns, it closes after the end; torque or time that cannot be) */
snub_status snub_scenario_clutch(const snub_shaft_loads *loads, snub_scenario_run *run, snub_error *error);

/** The balance with the throttle open and one shaft behind an open clutch, of the nominal belt, warm.
 *  @param[out] balance  written where there is one
 *  @return SNUB_OK; SNUB_NO_MEMORY; as snub_loads_at and snub_solve */
snub_status snub_balance_without(const snub_build *build, const snub_rig *rig, double speed, int pulley,
                                 snub_arena *arena, snub_balance *balance, snub_error *error);

#endif

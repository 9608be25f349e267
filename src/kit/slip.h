/** Steady running of a belt that slips. Private to src/kit. */
#ifndef SNUB_KIT_SLIP_H
#define SNUB_KIT_SLIP_H

#include "snub/sweep.h"

/** Loads, arm and slip that agree: each pulley at or under grip 1 on the limit friction, those that slip at 1.
 *  Pulleys are settled one at a time, the worst first, until all agree.
 *  @param[out] wanted   the case that holds, torques after slip; its engine_speed is the belt's
 *  @param[out] slip     per pulley
 *  @return SNUB_OK; SNUB_NO_EQUILIBRIUM, SNUB_NO_CONVERGENCE as snub_solve; what demand says */
snub_status snub_slip_solve(const snub_drive *drive, const snub_rig *rig, const snub_slip_case *asked,
                            snub_case *wanted, snub_equilibrium *equilibrium, snub_slip *slip, snub_error *error);

#endif

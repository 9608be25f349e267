/** Balances with the engine stopped. Private to src/kit. */
#ifndef SNUB_KIT_EXPECT_H
#define SNUB_KIT_EXPECT_H

#include "snub/steps.h"

/** The belt on a prepared drive, engine stopped, cold, with its present stretch.
 *  @param[in] effective  length, m
 *  @param[in] side       of arm friction: -1, 0, 1
 *  @return false: no balance there */
bool snub_rest_balance(const snub_drive *drive, const snub_rig *rig, double effective, double side,
                       snub_balance *balance);

#endif

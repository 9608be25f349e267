/** Which end of its way the tensioner is driven to by a belt that is too long or too short. Private to the room. */
#ifndef SNUB_KIT_TRAVEL_END_H
#define SNUB_KIT_TRAVEL_END_H

#include "snub/kit.h"

/** The spring arm's. Lengths are those that it holds at its ends in that case; where the belt can hold it at neither,
 * the lengths of the paths there.
 *  @param[in] found  the case's equilibrium; NULL: it has none */
void snub_arm_end(const snub_drive *drive, const snub_rig *rig, const snub_case *wanted, const snub_equilibrium *found,
                  snub_travel_end *end);
/** The locked slot's, as its tension is set. @param[in] length  pitch length of the belt then, m */
void snub_lock_end(const snub_drive *drive, const double *settings, double length, snub_travel_end *end);

#endif

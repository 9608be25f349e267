/* What moves with the arm, at one wind; private to the room. */
#ifndef SNUB_ARM_GEOMETRY_H
#define SNUB_ARM_GEOMETRY_H

#include "snub/balance.h"

/** Fill `geometry` for a wind. Outside of [0, travel] it is still computed.
 *  @return geometry->valid: tangents exist and the wraps make one turn */
bool snub_arm_lay(const snub_rig *rig, double wind, snub_arm_geometry *geometry);

#endif

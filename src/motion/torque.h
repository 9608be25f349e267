/* Torque of one cylinder at an angle; private to the room. */
#ifndef SNUB_MOTION_TORQUE_H
#define SNUB_MOTION_TORQUE_H

#include "snub/motion.h"

/** Torque of the gas on the crank at an angle from top dead centre of its firing [rad], N m. */
double snub_gas_torque(const snub_cylinder *cylinder, double angle);
/** Torque of the reciprocating mass there at an even crank speed [rad/s], N m; its mean is 0. */
double snub_mass_torque(const snub_cylinder *cylinder, double angle, double speed);

#endif

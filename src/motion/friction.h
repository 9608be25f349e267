/* Dry friction by its first harmonic; private to the room. */
#ifndef SNUB_MOTION_FRICTION_H
#define SNUB_MOTION_FRICTION_H

#include <complex.h>

/** Amplitude with dry friction F: it takes the force 4 F/pi against the speed of a swing, whatever its size.
 *  @param[in] alone  swing without friction, @param[in] give  swing that a force of 1 there makes
 *  @return 0: it sticks */
double snub_friction_amplitude(double complex alone, double complex give, double friction);

#endif

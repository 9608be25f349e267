/* An overrunning clutch by its first harmonic; private to the room. */
#ifndef SNUB_MOTION_OVERRUN_H
#define SNUB_MOTION_OVERRUN_H

#include <complex.h>

/** Share of the shaft's inertia that swings with its rim: torque handed on at the swing's frequency over what the
 *  shaft would take if it held. docs/theory/motion.md, an overrunning clutch that lets go.
 *  @param[in] hold  mean torque over the amplitude that the swing asks for, >= 0; from 1 on it never lets go
 *  @param[out] open  angles of the swing at which it lets go and holds again, rad from the greatest acceleration of
 *                    the rim; untouched where it never does. May be NULL
 *  @return 1 where it holds; its imaginary part is not over 0: the swing pays for what the shaft runs ahead */
double complex snub_overrun_share(double hold, double open[2]);

#endif

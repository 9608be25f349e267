/* A string that runs along itself, one end moved across; private to the room. */
#ifndef SNUB_MOTION_DRIVEN_END_H
#define SNUB_MOTION_DRIVEN_END_H

/** Force for each metre at the moved end, N/m: real at every speed, the same for either end.
 *  @param[in] tension  total, N, @param[in] mass  kg/m, @param[in] w  rad/s */
double snub_end_stiffness(double tension, double mass, double speed, double length, double w);

#endif

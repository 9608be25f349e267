/* Two modes of a moving string and a swing of its tension; private to the room. */
#ifndef SNUB_MOTION_COUPLING_H
#define SNUB_MOTION_COUPLING_H

/** How a swing of tension ties two modes of a moving string: |integral of u_n' u_k'|, length 1. Closed form.
 *  @param[in] of_wave  belt speed over wave speed, 0 to 1
 *  @param[in] n,k  modes, from 1 */
double snub_flap_coupling(double of_wave, int n, int k);

#endif

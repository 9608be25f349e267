/** What the readings do not hold. Private to src/measure. */
#ifndef SNUB_MEASURE_FLOATS_H
#define SNUB_MEASURE_FLOATS_H

#include "network.h"

/** Add an error for each pulley and edge that floats, with the reading that would hold it.
 *  @return SNUB_OK: nothing floats; SNUB_BAD_INPUT; SNUB_NO_MEMORY */
snub_status snub_floats_tell(const snub_network *network, snub_arena *arena, snub_errors *errors);

/** How many ways to move a network without any reading that changes, at an x.
 *  @param[out] right_t  unknowns squared, as snub_adjust_decompose: the ways are its last rows
 *  @return -1: memory is out, or it does not converge */
int snub_network_ways(const snub_network *network, const double *x, snub_arena *arena, double *right_t);

#endif

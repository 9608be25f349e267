/** Which reading would help most. Private to src/measure. */
#ifndef SNUB_MEASURE_NEXT_H
#define SNUB_MEASURE_NEXT_H

#include "network.h"
#include "snub/measure.h"

typedef struct snub_next_network {
    const snub_network *network;
    const double *x, *covariance; /**< of the unknowns, by the stated errors */
    const snub_centres *centres;
} snub_next_network;

/** Readings that make the longest axis of all ellipses least, best first. @return false: memory is out */
bool snub_next_find(const snub_next_network *network, snub_arena *arena, snub_next_reading next[SNUB_NEXT_MOST],
                    int *count);
/** Standard deviation of a reading that nobody has taken yet: the mean of those the file has between rims, or between
 * centres where a diameter is not known. */
double snub_next_error(const snub_measured *measured, int a, int b);

#endif

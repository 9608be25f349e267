/** What the readings do not hold. Private to src/measure. */
#ifndef SNUB_MEASURE_FLOATS_H
#define SNUB_MEASURE_FLOATS_H

#include "network.h"

/** Add an error for each pulley and edge that floats, with the reading that would hold it.
 *  @return SNUB_OK: nothing floats; SNUB_BAD_INPUT; SNUB_NO_MEMORY */
snub_status snub_floats_tell(const snub_network *network, snub_arena *arena, snub_errors *errors);

#endif

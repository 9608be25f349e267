/* What a sweep has to say. Private to the room. */
#ifndef SNUB_SWEEP_FINDINGS_H
#define SNUB_SWEEP_FINDINGS_H

#include "snub/sweep.h"

/** Fill sweep->findings; on lack of memory findings.failed is set. */
void snub_sweep_find(snub_sweep *sweep, snub_arena *arena);

#endif

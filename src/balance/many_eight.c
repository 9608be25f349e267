/* Cases of one rig in vectors of eight: AVX-512. Compiled for it; called only where the processor has it (many.c). */
#ifdef SNUB_BATCH_X86
#include "width_eight.h"

#define MANY snub_many_eight
#include "many_lanes.h"
#endif

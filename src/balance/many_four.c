/* Cases of one rig in vectors of four: AVX2. Compiled for it; called only where the processor has it (many.c). */
#ifdef SNUB_BATCH_X86
#include "width_four.h"

#define MANY snub_many_four
#include "many_lanes.h"
#endif

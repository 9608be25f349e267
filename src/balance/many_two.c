/* Cases of one rig in vectors of two: where there are no wider ones (many.c). */
#include "many.h"

#ifdef SNUB_MANY_TWO
#include "width_two.h"

#define MANY snub_many_two
#include "many_lanes.h"
#endif

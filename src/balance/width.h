/** Vectors of LANES doubles, and what of them is the same for every width. Private to src/balance. */
#ifndef SNUB_BALANCE_WIDTH_H
#define SNUB_BALANCE_WIDTH_H

#include "snub/balance.h"

typedef double lanes __attribute__((vector_size(8 * LANES)));
typedef int64_t marks __attribute__((vector_size(8 * LANES))); /**< all bits or none */

/** snub_arm_geometry of each lane */
typedef struct laid {
    marks valid;
    lanes length, span[2], wrap[3], lever_in, lever_out, u[2][2], reach[2];
} laid;

static inline lanes all_of(double value)
{
    return value - (lanes){0};
}

static inline lanes size_of(lanes value)
{
    return (lanes)((marks)value & (INT64_MAX - (marks){0}));
}

static inline marks lane_not(marks which)
{
    return ~which;
}

#endif

/** Vectors of LANES doubles, and what of them is the same for every width. Private to src/balance.
 *
 *  Sine and arc tangent come from a library whose functions of this kind give the same bits at every width, without
 *  fused multiplication; the files that include this are compiled with -ffp-contract=off. */
#ifndef SNUB_BALANCE_BATCH_WIDTH_H
#define SNUB_BALANCE_BATCH_WIDTH_H

#include <stdbool.h>
#include <stdint.h>

#include <sleef.h>

typedef double lanes __attribute__((vector_size(8 * LANES)));
typedef int64_t marks __attribute__((vector_size(8 * LANES))); /**< all bits or none */

static inline lanes all_of(double value)
{
    return value - (lanes){0};
}

static inline lanes size_of(lanes value)
{
    return (lanes)((marks)value & (INT64_MAX - (marks){0}));
}

#endif

/** The kernels of snub_batch_solve, one for each width. Private to src/balance. */
#ifndef SNUB_BALANCE_BATCH_KERNEL_H
#define SNUB_BALANCE_BATCH_KERNEL_H

#include "snub/batch.h"

/** Solve all cases of a batch in lanes.
 *  @param[out] answers  status is SNUB_NO_CONVERGENCE where the lanes cannot decide */
typedef void snub_batch_kernel(const snub_batch *batch, snub_batch_answers *answers);

snub_batch_kernel snub_batch_one;
#ifdef SNUB_BATCH_X86
snub_batch_kernel snub_batch_four, snub_batch_eight;
#endif

#endif

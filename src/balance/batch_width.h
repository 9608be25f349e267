/** Vectors of LANES doubles for the kernel of many rigs. Private to src/balance.
 *
 *  Sine and arc tangent come from a library whose functions of this kind give the same bits at every width, without
 *  fused multiplication; the files that include this are compiled with -ffp-contract=off. */
#ifndef SNUB_BALANCE_BATCH_WIDTH_H
#define SNUB_BALANCE_BATCH_WIDTH_H

#include <sleef.h>

#include "width.h"

#endif

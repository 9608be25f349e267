/** Round steps of an axis. Private to src/draw. */
#ifndef SNUB_DRAW_TICKS_H
#define SNUB_DRAW_TICKS_H

#include "snub/draw.h"

/** Ticks of an axis: a round step (1, 2, 2.5 or 5 times a power of ten) with at most `most` ticks in [low, high].
 *  @param[out] first,step,count,decimals  decimals that the labels need */
void snub_ticks(double low, double high, int most, double *first, double *step, int *count, int *decimals);

#endif

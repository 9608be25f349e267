/** circle.h - a circle through points. Private to src/measure. */
#ifndef SNUB_MEASURE_CIRCLE_H
#define SNUB_MEASURE_CIRCLE_H

#include "snub/circles.h"

/** The circle whose sum of squared distances to the points is least, without the points that stand out.
 *  @param[in] at      m
 *  @param[in] stated  standard error of a point, across the circle, m; NAN: none, the scatter alone tells
 *  @return SNUB_OK; SNUB_BAD_INPUT: fewer than three points, or no circle near them: they stand on a line or in one
 *  place; SNUB_NO_MEMORY */
snub_status snub_circle_through(const double (*at)[2], int count, double stated, snub_arena *arena,
                                snub_circle_fit *fit, snub_error *error);

#endif

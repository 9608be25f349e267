/** Obstacles against each other. Private to src/layout. */
#ifndef SNUB_LAYOUT_BODIES_H
#define SNUB_LAYOUT_BODIES_H

#include "snub/clearance.h"

/** Gap of two obstacles seen from the front; negative where they overlap: how far the deepest corner, end or middle of
 *  one lies in the other, which is at most the depth. @param[out] near  of `a`, where they are nearest */
double snub_body_gap(const snub_obstacle *a, const snub_obstacle *b, double near[2]);

#endif

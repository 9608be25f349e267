/** Where the belt lies on a pulley, and how far things reach at most: what is further apart than that need not be
 *  measured. Private to src/layout. */
#ifndef SNUB_LAYOUT_REACH_H
#define SNUB_LAYOUT_REACH_H

#include "snub/clearance.h"

/** Whether the belt lies on a pulley where that faces a point [m]. */
bool snub_belt_faces(const snub_path *path, int pulley, const double point[2]);
/** Radius [m] of all that turns with a pulley: rim, belt, flanges, discs. */
double snub_widest(const snub_drive *drive, int pulley);
/** A circle around an obstacle, seen from the front. @param[out] middle  [m] @return its radius, m */
double snub_obstacle_within(const snub_obstacle *o, double middle[2]);

#endif

/** The outline of a plate around discs. Private to src/draw. */
#ifndef SNUB_DRAW_PLATE_OUTLINE_H
#define SNUB_DRAW_PLATE_OUTLINE_H

#include "snub/draw.h"

typedef struct snub_disc_at {
    double at[2], radius; /**< model mm */
} snub_disc_at;

/** A large disc with small ones about it has several arcs: fewer than two for each disc, each with two ends. */
#define SNUB_HULL_VERTICES(count) (4 * (count) + 4)
/** Convex hull of discs, counter-clockwise: arcs of discs and the lines that touch two of them.
 *  Derivation: docs/theory/plate.md.
 *  @param[out] vertex  room for SNUB_HULL_VERTICES(count)
 *  @return corners; 0: no disc */
int snub_hull_of_discs(const snub_disc_at *disc, int count, snub_vertex *vertex);

#endif

/** snub/drawn.h - what touches in a drive as it is drawn, found anew for every move of a hand and judged by nobody.
 *  Room: kit. */
#ifndef SNUB_DRAWN_H
#define SNUB_DRAWN_H

#include "snub/clearance.h"
#include "snub/layout.h"

/** Two pulleys that reach into each other: rims, flanges, discs and the belt on them, where they share the axis. */
typedef struct snub_overlap {
    int a, b;     /**< pulleys, a < b */
    double depth; /**< m, > 0 */
    double at[2]; /**< m */
} snub_overlap;

/** @param[in] path  the belt as it lies; where none can be laid only its n, centres and radii are read and no belt is
 *                    counted (`laid` false)
 *  @param[out] overlaps  room for `most`, in belt order
 *  @return how many were written; -1: memory is out */
int snub_drawn_overlaps(const snub_drive *drive, const snub_path *path, bool laid, snub_arena *arena,
                        snub_overlap *overlaps, int most);

/** What comes too near to an obstacle at that one place of the arm, worst first: as drawn, no lean under load.
 *  @param[in] path  laid
 *  @return how many were written; -1: memory is out */
int snub_drawn_conflicts(const snub_drive *drive, const snub_path *path, snub_arena *arena, snub_conflict *conflicts,
                         int most);

/** What is left between a pulley or a span and another, or an obstacle, and what is asked for, as a finding has them.
 */
typedef struct snub_drawn_gap {
    double value; /**< m; negative: they overlap. Of two of the drive what belt flap leaves, else the gap itself */
    double limit; /**< m; beside an obstacle with the flap */
    double flap;  /**< that is counted, m */
} snub_drawn_gap;

/** A pulley, or the span from it on. */
typedef struct snub_drawn_piece {
    int pulley;
    bool span;
} snub_drawn_piece;

/** Two of the drive as drawn, with the tolerances of the stacks, no lean under load. @param[in] path  laid
 *  @return 1; 0: they are not held against each other: the belt lies on the pulley, spans of one pulley, or apart along
 *  the crank; -1: memory is out */
int snub_drawn_pair(const snub_drive *drive, const snub_path *path, snub_arena *arena, snub_drawn_piece a,
                    snub_drawn_piece b, snub_drawn_gap *gap);
/** The same of one and an obstacle; 0: it is a tool's room, or moves with that pulley. */
int snub_drawn_beside(const snub_drive *drive, const snub_path *path, snub_arena *arena, snub_drawn_piece piece,
                      const snub_obstacle *obstacle, snub_drawn_gap *gap);

#endif

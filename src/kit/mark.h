/** The mark of an idler in its slot: how it is found at the engine, and what tells that it is wrong. Private to
 * src/kit. docs/theory/mark.md. */
#ifndef SNUB_KIT_MARK_H
#define SNUB_KIT_MARK_H

#include "snub/steps.h"

/** Distances from a bolt in its slot to bolts that stand still, seen from the front; those that move most with the
 *  setting first.
 *  @param[out] pulley,distance  room for two; m
 *  @return how many there are in reach, at most two */
int snub_slot_centres(const snub_drive *drive, const double *settings, int slot, int pulley[2], double distance[2]);

/** From the slot's visible end to the near edge of its bolt's shank, m; NAN where the slot's width or the bolt is not
 *  known. */
double snub_slot_edge(const snub_drive *drive, const double *settings, int slot);

/** What could tell that a mark is wrong: each is worked out anew with the slot off to both sides.
 *  @param[out] mark  complete */
void snub_slot_readings(const snub_build *build, int slot, snub_slot_mark *mark);

#endif

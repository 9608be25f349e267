/** src/drive/cut.h - what flat cuts leave of an obstacle (inside src/drive only). */
#ifndef SNUB_DRIVE_CUT_H
#define SNUB_DRIVE_CUT_H

#include "snub/drive.h"

/** What a cut can turn out to be. */
typedef enum snub_cut_outcome {
    SNUB_CUT_GOOD,
    SNUB_CUT_INSIDE,  /**< the point that it faces is in the figure */
    SNUB_CUT_HOLLOW,  /**< the outline reaches past the cut beside the place that is nearest to the point */
    SNUB_CUT_THROUGH, /**< nothing is left */
    SNUB_CUT_NO_MEMORY
} snub_cut_outcome;

/** The slices that an obstacle's cuts leave, into obstacle->slices. docs/theory/clearance.md, "Metal taken off".
 *  @param[in,out] obstacle  with its cuts; their `line` is filled
 *  @param[out] wrong  cut that it is about where the outcome is not good */
snub_cut_outcome snub_cut_obstacle(snub_obstacle *obstacle, snub_arena *arena, int *wrong);

#endif

/** snub/batch.h - many equilibria side by side in the lanes of the processor's vectors.
 *
 *  Every case is one of its own: its speed, torques and belt, and where there are columns for it, its own pulleys, arm
 *  and spring. Order of the belt, crank and arm are the same for all. The answers are those of snub_solve, and the same
 *  to the bit for any width; docs/theory/batch.md.
 */
#ifndef SNUB_BATCH_H
#define SNUB_BATCH_H

#include "snub/balance.h"

/** Lanes of the kernels. */
typedef enum snub_batch_width {
    SNUB_BATCH_WIDEST = 0, /**< that this processor has */
    SNUB_BATCH_ONE = 1,    /**< plain C */
    SNUB_BATCH_FOUR = 4,   /**< AVX2 */
    SNUB_BATCH_EIGHT = 8   /**< AVX-512 */
} snub_batch_width;

/** Many cases. A column holds one value for each case; NULL: all have that of `rig` or `wanted`. Caller-owned. */
typedef struct snub_batch {
    const snub_rig *rig;     /**< prepared; order, crank, arm, turn, and whatever has no column */
    const snub_case *wanted; /**< whatever has no column */
    int count;
    const double *centre[SNUB_PULLEYS_MOST][2]; /**< m, as they run (grown); of the pulley on the arm: not used */
    const double *radius[SNUB_PULLEYS_MOST];    /**< signed pitch radius as in snub_path, m */
    const double *pivot[2], *arm_length;        /**< m */
    const double *rest, *travel;                /**< rad */
    const double *preload, *rate, *damping;     /**< N m, N m/rad, fraction */
    const double *stiffness, *mass, *measuring_tension;
    const double *engine_speed, *side, *belt_length;
    const double *torque[SNUB_PULLEYS_MOST];
} snub_batch;

/** Columns of answers, `count` long, caller-owned. Where status is not SNUB_OK the others are NAN or 0. */
typedef struct snub_batch_answers {
    snub_status *status;
    snub_arm_state *arm;
    double *wind;    /**< rad */
    double *tension; /**< total, of the span that leaves the crank, N */
    int *equilibria;
    bool *past_dead_point;
    int handed_over; /**< cases that the lanes could not decide and snub_solve did */
} snub_batch_answers;

/** Whether this processor and this build have a kernel of that width. */
bool snub_batch_has(snub_batch_width width);

/** Solve all.
 *  Cases that differ in speed, torque, belt length and side alone go to snub_solve_many, to the bits of snub_solve.
 * Else a case is decided in its lane unless it may balance in a cell of the wind table in which the belt is lost, or is
 * at an end of a cell so near to balance, or to slack, that rounding would decide: then by snub_solve.
 *  @param[in] width  one that snub_batch_has, or SNUB_BATCH_WIDEST
 *  @return SNUB_BAD_INPUT: no such width here, and nothing is solved; SNUB_OK; each case has its own status: SNUB_OK;
 * as snub_solve; or as snub_rig_prepare, where its pulleys do not let a belt lie */
snub_status snub_batch_solve(const snub_batch *batch, snub_batch_width width, snub_batch_answers *answers);

#endif

/** snub/coupled.h - pulleys, arm and the two spans beside it as one: the arm's pulley moves their ends. Room: motion.
 *
 *  Theory: docs/theory/motion.md, arm and spans together. The two spans are strings that run along themselves; all else
 * as snub/motion.h. No damping.
 */
#ifndef SNUB_COUPLED_H
#define SNUB_COUPLED_H

#include "snub/motion.h"

enum { SNUB_COUPLED_MOST = 16 };

typedef struct snub_coupled_mode {
    snub_mode mode;        /**< shape: rad, the greatest is 1; energy: with that of the spans they add to 1 */
    double span_energy[2]; /**< of the span into the arm's pulley and of the one out of it */
} snub_coupled_mode;

typedef struct snub_coupled_modes {
    int count;
    int span[2];                               /**< which these are */
    snub_coupled_mode mode[SNUB_COUPLED_MOST]; /**< rising frequency, the lowest there are */
} snub_coupled_modes;

/** @param[in] motion  its arm moves
 *  @param[in] count  how many, 1 to SNUB_COUPLED_MOST
 *  @return as snub_modes_find; SNUB_NO_EQUILIBRIUM also where a span beside the arm is slack, SNUB_BAD_INPUT where no
 * arm moves */
snub_status snub_coupled_find(const snub_motion *motion, bool crank_held, int count, snub_arena *arena,
                              snub_coupled_modes *modes, snub_error *error);

#endif

/** Cases of one rig side by side: the kernel at each width. Private to src/balance. */
#ifndef SNUB_BALANCE_MANY_H
#define SNUB_BALANCE_MANY_H

#include "snub/balance.h"

/** As many cases as the width has lanes.
 *  @return bit k: case k is solved, as snub_solve does; the others are not, and their equilibrium is untouched */
typedef unsigned snub_many_kernel(const snub_rig *rig, const snub_case *const *wanted, snub_equilibrium *const *e);

/** snub_solve_many in vectors of 8, 4, 2 or 1.
 *  @return how many the lanes solved themselves; -1: this processor or build has none of that width, and nothing is
 *          solved */
int snub_solve_many_by(int lanes, const snub_rig *rig, int count, const snub_case *const *wanted,
                       snub_equilibrium *const *e, snub_status *status);

#if !defined __wasm__ || defined __wasm_simd128__ /* the core with which the page opens has to be small */
#define SNUB_MANY_TWO
snub_many_kernel snub_many_two;
#endif
#ifdef SNUB_BATCH_X86
snub_many_kernel snub_many_four, snub_many_eight;
#endif

#endif

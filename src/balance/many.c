/* Cases of one rig: by the widest vectors that the processor has, and what these leave one by one. */
#include "many.h"

enum { LANES_MOST = 8 }; /* a power of two */

/* NULL: none of that width here. */
static snub_many_kernel *kernel_of(int lanes)
{
#ifdef SNUB_BATCH_X86
    if (lanes == 8 && __builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512dq"))
        return snub_many_eight;
    if (lanes == 4 && __builtin_cpu_supports("avx2"))
        return snub_many_four;
#endif
#ifdef SNUB_MANY_TWO
    if (lanes == 2)
        return snub_many_two;
#endif
    (void)lanes;
    return NULL;
}

/* The next cases, as many as there are lanes; where fewer are left, the last over again. */
static unsigned solve_round(snub_many_kernel *kernel, int lanes, const snub_rig *rig, int left,
                            const snub_case *const *wanted, snub_equilibrium *const *e)
{
    const snub_case *cases[LANES_MOST];
    snub_equilibrium *answers[LANES_MOST];
    for (int l = 0; l < lanes; l++) {
        cases[l] = wanted[l < left ? l : left - 1];
        answers[l] = e[l < left ? l : left - 1];
    }
    return kernel(rig, cases, answers);
}

int snub_solve_many_by(int lanes, const snub_rig *rig, int count, const snub_case *const *wanted,
                       snub_equilibrium *const *e, snub_status *status)
{
    snub_many_kernel *kernel = kernel_of(lanes);
    int by_lanes = 0;
    if (kernel == NULL && lanes != 1)
        return -1;
    for (int first = 0; first < count; first += lanes) {
        const int left = count - first;
        unsigned solved = 0;
        if (kernel != NULL && rig->arm >= 0 && left > 1)
            solved = solve_round(kernel, lanes, rig, left, wanted + first, e + first);
        for (int l = 0; l < lanes && l < left; l++) {
            const bool done = (solved >> l & 1U) != 0;
            by_lanes += done;
            status[first + l] = done ? SNUB_OK : snub_solve(rig, wanted[first + l], e[first + l], NULL);
        }
    }
    return by_lanes;
}

void snub_solve_many(const snub_rig *rig, int count, const snub_case *const *wanted, snub_equilibrium *const *e,
                     snub_status *status)
{
    for (int lanes = LANES_MOST; snub_solve_many_by(lanes, rig, count, wanted, e, status) < 0; lanes /= 2)
        ; /* one lane there always is */
}

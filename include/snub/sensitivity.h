/** snub/sensitivity.h - how much of a result's scatter comes from each of the values that scatter. Room: num.
 *
 *  Pick and freeze: two independent kits A and B; kit AB_i is A with value i of B. From f of all of them,
 *      first order  S_i = mean(f_B (f_ABi - f_A)) / V      (Saltelli and others 2010)
 *      total        T_i = mean((f_A - f_ABi)^2) / (2 V)    (Jansen 1999)
 *  V is the variance of f over all A and B together. S_i: the share of V that goes when value i scatters no more; T_i:
 * the share that stays when it alone scatters. f may be 0 or 1, of a kit that holds or fails.
 */
#ifndef SNUB_SENSITIVITY_H
#define SNUB_SENSITIVITY_H

#include <stdint.h>

/** Running sums over pairs of kits. Zero to begin with, but for `values`, `shift` and the two arrays of zeros. */
typedef struct snub_sensitivity {
    int values;    /**< how many scatter */
    double shift;  /**< taken off every f: the nearer to its mean, the less S scatters; 0: as the formula stands */
    int64_t pairs; /**< taken so far */
    double sum, squares;   /**< of f_A and f_B */
    double *first, *total; /**< [values]: f_B (f_ABi - f_A); (f_A - f_ABi)^2. The caller's */
} snub_sensitivity;

/** Takes one pair in. @param[in] f_ab  [values] */
void snub_sensitivity_take(snub_sensitivity *sums, double f_a, double f_b, const double *f_ab);
/** Adds the sums of other pairs, of the same `values` and `shift`. Blocks added in the same order give the same bits.
 */
void snub_sensitivity_add(snub_sensitivity *sums, const snub_sensitivity *more);
/** V, and S_i and T_i of all values; both 0 where f does not scatter (V = 0). At least one pair. Standard errors: by
 *  snub_estimate_of_runs (snub/shares.h) over independent runs.
 *  @param[out] first, total  [values]
 *  @return V */
double snub_sensitivity_indices(const snub_sensitivity *sums, double *first, double *total);

#endif

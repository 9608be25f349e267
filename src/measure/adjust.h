/** adjust.h - adjustments of this room, from starts that are near. Private to src/measure. docs/theory/measure.md. */
#ifndef SNUB_MEASURE_ADJUST_H
#define SNUB_MEASURE_ADJUST_H

#include "snub/adjust.h"

/** Least sum of squares near x: Levenberg-Marquardt by QR. Starts that are not near it leaves without an answer; for
 *  those there is snub_adjust_far.
 *  @param[in,out] x  start and answer
 *  @param[out] sum  of squares there
 *  @return SNUB_OK; SNUB_NO_CONVERGENCE (also where a number is not finite); SNUB_NO_MEMORY */
snub_status snub_adjust(const snub_adjustment *a, const snub_adjuster *adjuster, double *x, double *sum);

/** Share of an equation's error that its residual shows, 0 to 1. @param[in] left  as snub_adjust_decompose gives it */
double snub_adjust_share(const snub_adjustment *a, const double *left, int equation);

/** How a sum of squares agrees with the stated errors. */
typedef struct snub_agreement {
    double chance; /**< that it is exceeded if they hold; NAN where nothing is redundant */
    double scale;  /**< scatter over what they say; 1 where nothing is redundant */
    double taken;  /**< by which errors are multiplied: 1, or the scale where the sum is no chance */
} snub_agreement;
snub_agreement snub_adjust_agreement(double sum, int redundancy);

/* ---- what both searches do --------------------------------------------------------------------------------------- */

double snub_adjust_squares(const double *v, int n);
/** The step of one damping, a share of w->scale, in w->right: QR of the stacked system.
 *  @return SNUB_OK; SNUB_NO_CONVERGENCE; SNUB_NO_MEMORY */
snub_status snub_adjust_step(const snub_adjustment *a, const snub_adjuster *w, double damping);
/** What was tried stands. */
void snub_adjust_accept(const snub_adjustment *a, const snub_adjuster *w, double *x);

#endif

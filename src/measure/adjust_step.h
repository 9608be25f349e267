/** adjust_step.h - what both searches for the least sum of squares do. Private to src/measure. */
#ifndef SNUB_MEASURE_ADJUST_STEP_H
#define SNUB_MEASURE_ADJUST_STEP_H

#include "snub/adjust.h"

double snub_adjust_squares(const double *v, int n);
/** The step of one damping, a share of w->scale, in w->right: QR of the stacked system.
 *  @return SNUB_OK; SNUB_NO_CONVERGENCE; SNUB_NO_MEMORY */
snub_status snub_adjust_step(const snub_adjustment *a, const snub_adjuster *w, double damping);
/** What was tried stands. */
void snub_adjust_accept(const snub_adjustment *a, const snub_adjuster *w, double *x);

#endif

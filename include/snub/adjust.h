/** snub/adjust.h - weighted least squares of a model that is not linear. Room: measure. docs/theory/measure.md. */
#ifndef SNUB_ADJUST_H
#define SNUB_ADJUST_H

#include "snub/base.h"

/** Where an entry of a matrix stands that is kept by columns. */
static inline size_t snub_at(int row, int column, int rows)
{
    return (size_t)column * (size_t)rows + (size_t)row;
}

/** What is adjusted. `equations` >= 1, `unknowns` >= 1; fewer equations than unknowns are allowed. */
typedef struct snub_adjustment {
    int unknowns, equations;
    /** Residuals over their errors, and their derivatives by columns: jacobian[k + i * equations]. */
    void (*evaluate)(const double *x, double *residual, double *jacobian, void *context);
    void *context;
} snub_adjustment;

/** Memory of an adjustment. */
typedef struct snub_adjuster {
    double *residual, *jacobian; /**< at the last x that was accepted */
    double *trial, *trial_residual, *trial_jacobian;
    double *stacked, *right;
    double *scale; /**< of each unknown: how much its step costs */
} snub_adjuster;

/** @return false: memory is out */
bool snub_adjuster_make(const snub_adjustment *a, snub_arena *arena, snub_adjuster *adjuster);

/** Least sum of squares from a start that may be far off, by Levenberg-Marquardt; where an unknown has no effect on the
 *  way, what it may step is held by its size.
 *  @param[in] size   > 0: about how far each unknown may be off at the start
 *  @param[in] share  steps under this share of each unknown end the search: 1e-13, or what the model is good for
 *  @param[in,out] x  start and answer
 *  @param[out] sum  of squares there
 *  @return SNUB_OK; SNUB_NO_CONVERGENCE (also where a number is not finite); SNUB_NO_MEMORY */
snub_status snub_adjust_far(const snub_adjustment *a, const snub_adjuster *adjuster, const double *size, double share,
                            double *x, double *sum);

/** Singular values and vectors at an x.
 *  @param[out] value   least of unknowns and equations of them, falling
 *  @param[out] left    equations by (the same), by columns; may be NULL
 *  @param[out] right_t unknowns by unknowns, by columns: V transposed. Rows past the count of values are null vectors
 *  @return SNUB_OK; SNUB_NO_CONVERGENCE; SNUB_NO_MEMORY */
snub_status snub_adjust_decompose(const snub_adjustment *a, const snub_adjuster *adjuster, const double *x,
                                  double *value, double *left, double *right_t);

/** Covariance of the unknowns: V diag(1/g^2) V^T.
 *  @param[in] value,right_t  as snub_adjust_decompose gives them; no value is 0
 *  @param[out] covariance    unknowns by unknowns */
void snub_adjust_covariance(int unknowns, const double *value, const double *right_t, double *covariance);

#endif

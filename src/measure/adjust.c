/** Levenberg-Marquardt; each step is solved by QR of the stacked system. */
#include "adjust.h"

#include <lapacke.h>
#include <math.h>
#include <string.h>

#include "snub/distributions.h"
#include "snub/measure.h"

/** Steps under this share of the largest unknown end the search. */
static const double STEP_LEAST = 1e-13;
/** The damping, as a share of each column's length: first, least, and where it has no more effect than standing still.
 */
static const double DAMPING_FIRST = 1e-4, DAMPING_LEAST = 1e-14, DAMPING_MOST = 1e10;
enum { STEPS_MOST = 300 };

bool snub_adjuster_make(const snub_adjustment *a, snub_arena *arena, snub_adjuster *w)
{
    const size_t n = (size_t)a->unknowns, m = (size_t)a->equations;
    w->residual = SNUB_NEW(arena, double, m);
    w->jacobian = SNUB_NEW(arena, double, m *n);
    w->trial = SNUB_NEW(arena, double, n);
    w->trial_residual = SNUB_NEW(arena, double, m);
    w->trial_jacobian = SNUB_NEW(arena, double, m *n);
    w->stacked = SNUB_NEW(arena, double, (m + n) * n);
    w->right = SNUB_NEW(arena, double, m + n);
    w->scale = SNUB_NEW(arena, double, n);
    return w->residual && w->jacobian && w->trial && w->trial_residual && w->trial_jacobian && w->stacked && w->right &&
           w->scale;
}

double snub_adjust_squares(const double *v, int n)
{
    double sum = 0.0;
    for (int i = 0; i < n; i++)
        sum += v[i] * v[i];
    return sum;
}

snub_status snub_adjust_step(const snub_adjustment *a, const snub_adjuster *w, double damping)
{
    const int n = a->unknowns, m = a->equations, rows = m + n;
    memset(w->stacked, 0, (size_t)rows * (size_t)n * sizeof(double));
    for (int i = 0; i < n; i++) {
        memcpy(&w->stacked[(size_t)i * (size_t)rows], &w->jacobian[(size_t)i * (size_t)m], (size_t)m * sizeof(double));
        w->stacked[(size_t)i * (size_t)rows + (size_t)(m + i)] =
            sqrt(damping) * (w->scale[i] > 0.0 ? w->scale[i] : 1.0);
    }
    for (int k = 0; k < rows; k++)
        w->right[k] = k < m ? -w->residual[k] : 0.0;
    const lapack_int info = LAPACKE_dgels(LAPACK_COL_MAJOR, 'N', rows, n, 1, w->stacked, rows, w->right, rows);
    return info == 0 ? SNUB_OK : info == LAPACK_WORK_MEMORY_ERROR ? SNUB_NO_MEMORY : SNUB_NO_CONVERGENCE;
}

void snub_adjust_accept(const snub_adjustment *a, const snub_adjuster *w, double *x)
{
    const size_t n = (size_t)a->unknowns, m = (size_t)a->equations;
    memcpy(x, w->trial, n * sizeof(double));
    memcpy(w->residual, w->trial_residual, m * sizeof(double));
    memcpy(w->jacobian, w->trial_jacobian, m * n * sizeof(double));
}

/* Each unknown counts by its effect at the last x. */
static void scale_by_columns(const snub_adjustment *a, const snub_adjuster *w)
{
    for (int i = 0; i < a->unknowns; i++)
        w->scale[i] = sqrt(snub_adjust_squares(&w->jacobian[(size_t)i * (size_t)a->equations], a->equations));
}

static double largest(const double *v, int n)
{
    double most = 0.0;
    for (int i = 0; i < n; i++)
        most = fmax(most, fabs(v[i]));
    return most;
}

snub_status snub_adjust(const snub_adjustment *a, const snub_adjuster *w, double *x, double *sum)
{
    double damping = DAMPING_FIRST;
    a->evaluate(x, w->residual, w->jacobian, a->context);
    double now = snub_adjust_squares(w->residual, a->equations);
    for (int step = 0; step < STEPS_MOST && isfinite(now); step++) {
        scale_by_columns(a, w);
        const snub_status status = snub_adjust_step(a, w, damping);
        if (status != SNUB_OK)
            return status;
        for (int i = 0; i < a->unknowns; i++)
            w->trial[i] = x[i] + w->right[i];
        a->evaluate(w->trial, w->trial_residual, w->trial_jacobian, a->context);
        const double then = snub_adjust_squares(w->trial_residual, a->equations);
        const bool small = largest(w->right, a->unknowns) <= STEP_LEAST * (largest(x, a->unknowns) + 1e-3);
        if (then <= now) {
            snub_adjust_accept(a, w, x);
            now = then;
            damping = fmax(DAMPING_LEAST, 0.1 * damping);
        } else {
            damping *= 10.0;
        }
        if (small || damping > DAMPING_MOST) {
            *sum = now;
            return SNUB_OK;
        }
    }
    return SNUB_NO_CONVERGENCE;
}

snub_status snub_adjust_decompose(const snub_adjustment *a, const snub_adjuster *w, const double *x, double *value,
                                  double *left, double *right_t)
{
    const int n = a->unknowns, m = a->equations, least = n < m ? n : m;
    double none, *superb = w->right;
    a->evaluate(x, w->residual, w->jacobian, a->context);
    memcpy(w->trial_jacobian, w->jacobian, (size_t)m * (size_t)n * sizeof(double));
    /* All of V, so that null vectors are there; of U only as many columns as there are values. */
    const lapack_int info =
        least < n ? LAPACKE_dgesvd(LAPACK_COL_MAJOR, 'N', 'A', m, n, w->trial_jacobian, m, value, &none, 1, right_t, n,
                                   superb)
                  : LAPACKE_dgesvd(LAPACK_COL_MAJOR, left != NULL ? 'S' : 'N', 'A', m, n, w->trial_jacobian, m, value,
                                   left != NULL ? left : &none, left != NULL ? m : 1, right_t, n, superb);
    return info == 0 ? SNUB_OK : info == LAPACK_WORK_MEMORY_ERROR ? SNUB_NO_MEMORY : SNUB_NO_CONVERGENCE;
}

void snub_adjust_covariance(int unknowns, const double *value, const double *right_t, double *covariance)
{
    const int n = unknowns;
    for (int i = 0; i < n; i++) {
        for (int k = 0; k < n; k++) {
            double sum = 0.0;
            for (int j = 0; j < n; j++)
                sum += right_t[snub_at(j, i, n)] * right_t[snub_at(j, k, n)] / (value[j] * value[j]);
            covariance[snub_at(i, k, n)] = sum;
        }
    }
}

double snub_adjust_share(const snub_adjustment *a, const double *left, int equation)
{
    double used = 0.0;
    for (int j = 0; j < a->unknowns; j++) {
        const double u = left[snub_at(equation, j, a->equations)];
        used += u * u;
    }
    return fmax(0.0, 1.0 - used);
}

snub_agreement snub_adjust_agreement(double sum, int redundancy)
{
    snub_agreement a = {NAN, 1.0, 1.0};
    if (redundancy < 1)
        return a;
    a.chance = snub_chi_square_over(sum, redundancy);
    a.scale = sqrt(sum / redundancy);
    a.taken = a.chance < SNUB_ERROR_CHANCE ? a.scale : 1.0;
    return a;
}

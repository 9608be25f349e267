/* The least sum of squares from a start that may be far off. docs/theory/measure.md */
#include <math.h>

#include "adjust.h"

/* Two falls of the sum, the one that the step promises and the one that comes, under this share of it end the search.
 */
static const double FALL_LEAST = 1e-15;
/* The damping, as a share of each scale: first, least, and where it has no more effect than standing still. */
static const double DAMPING_FIRST = 1e-3, DAMPING_LEAST = 1e-15, DAMPING_MOST = 1e20;
/* Long valleys with a bend take hundreds of steps (tests/published/nonlinear_fits). */
enum { STEPS_MOST = 3000 };

/* Each unknown may go as far as the others in its own size, and that is held: columns that shrink on the way to a flat
 * place would let theirs run off. */
static void scale_by_sizes(const snub_adjustment *a, const snub_adjuster *w, const double *size)
{
    double most = 0.0;
    for (int i = 0; i < a->unknowns; i++)
        most = fmax(most,
                    size[i] * sqrt(snub_adjust_squares(&w->jacobian[(size_t)i * (size_t)a->equations], a->equations)));
    for (int i = 0; i < a->unknowns; i++)
        w->scale[i] = most / size[i];
}

/* By how much the sum would fall if the model were straight: p'J'Jp + 2 damping |D p|^2. */
static double promised(const snub_adjustment *a, const snub_adjuster *w, double damping)
{
    double sum = 0.0;
    for (int k = 0; k < a->equations; k++) {
        double turn = 0.0;
        for (int i = 0; i < a->unknowns; i++)
            turn += w->jacobian[snub_at(k, i, a->equations)] * w->right[i];
        sum += turn * turn;
    }
    for (int i = 0; i < a->unknowns; i++)
        sum += 2.0 * damping * w->right[i] * w->right[i] * w->scale[i] * w->scale[i];
    return sum;
}

static bool is_small(const snub_adjustment *a, const snub_adjuster *w, const double *x, const double *size,
                     double share)
{
    for (int i = 0; i < a->unknowns; i++)
        if (fabs(w->right[i]) > share * (fabs(x[i]) + share * size[i]))
            return false;
    return true;
}

/* The damping follows how straight the model is over the step (H. B. Nielsen, Damping parameter in Marquardt's method,
 * IMM-REP-1999-05, Technical University of Denmark). */
snub_status snub_adjust_far(const snub_adjustment *a, const snub_adjuster *w, const double *size, double share,
                            double *x, double *sum)
{
    double damping = DAMPING_FIRST, growth = 2.0;
    a->evaluate(x, w->residual, w->jacobian, a->context);
    scale_by_sizes(a, w, size);
    double now = snub_adjust_squares(w->residual, a->equations);
    for (int step = 0; step < STEPS_MOST && isfinite(now); step++) {
        const snub_status status = snub_adjust_step(a, w, damping);
        if (status == SNUB_NO_MEMORY)
            return status;
        if (status != SNUB_OK) { /* no effect is left to be told from rounding: stay nearer */
            damping *= growth;
            continue;
        }
        for (int i = 0; i < a->unknowns; i++)
            w->trial[i] = x[i] + w->right[i];
        a->evaluate(w->trial, w->trial_residual, w->trial_jacobian, a->context);
        const double then = snub_adjust_squares(w->trial_residual, a->equations), fall = promised(a, w, damping);
        const bool done =
            is_small(a, w, x, size, share) || (fall <= FALL_LEAST * now && fabs(now - then) <= FALL_LEAST * now);
        if (then <= now) {
            const double bend = fall > 0.0 ? 2.0 * (now - then) / fall - 1.0 : 0.0;
            snub_adjust_accept(a, w, x);
            now = then;
            damping = fmax(DAMPING_LEAST, damping * fmax(1.0 / 3.0, 1.0 - bend * bend * bend));
            growth = 2.0;
        } else {
            damping *= growth;
            growth *= 2.0;
        }
        if (done || damping > DAMPING_MOST) {
            *sum = now;
            return SNUB_OK;
        }
    }
    return SNUB_NO_CONVERGENCE;
}

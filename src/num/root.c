/* A root of one unknown between two points of opposite sign.
 * R. P. Brent, Algorithms for Minimization without Derivatives (1973), chapter 4: bisection as the guard, secant or
 * inverse quadratic interpolation where they gain more than bisection would. */
#include "snub/num.h"

#include <float.h>
#include <math.h>

/* Bisection alone halves the bracket each time: 1e308 to 5e-324 takes about 2100 halvings; Brent's guard at worst
 * squares the number of steps of bisection, which only a function made for it comes near. */
enum { STEPS_MOST = 5000 };

typedef struct bracket {
    double a, fa; /* the step before */
    double b, fb; /* best so far */
    double c, fc; /* other side of the root */
    double step, step_before;
} bracket;

static void swap_best(bracket *s)
{
    if (fabs(s->fc) >= fabs(s->fb))
        return;
    s->a = s->b, s->b = s->c, s->c = s->a;
    s->fa = s->fb, s->fb = s->fc, s->fc = s->fa;
}

/* The next step: interpolated where that lands well inside the bracket and shrinks fast enough, else half. */
static void choose_step(bracket *s, double tolerance)
{
    double half = (s->c - s->b) / 2, p, q;
    double ratio = s->fb / s->fa;
    if (s->a == s->c) {
        p = 2 * half * ratio;
        q = 1 - ratio;
    } else {
        double u = s->fa / s->fc, v = s->fb / s->fc;
        p = ratio * (2 * half * u * (u - v) - (s->b - s->a) * (v - 1));
        q = (u - 1) * (v - 1) * (ratio - 1);
    }
    if (p > 0)
        q = -q;
    else
        p = -p;
    if (2 * p < fmin(3 * half * q - fabs(tolerance * q), fabs(s->step_before * q))) {
        s->step_before = s->step;
        s->step = p / q;
    } else {
        s->step = s->step_before = half;
    }
}

static snub_status no_value(snub_error *error, double x)
{
    return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the function has no value at %g", x);
}

static snub_status iterate(snub_function f, void *context, bracket *s, double tolerance, double *root,
                           snub_error *error)
{
    for (int i = 0; i < STEPS_MOST; i++) {
        if ((s->fb > 0) == (s->fc > 0)) {
            s->c = s->a, s->fc = s->fa;
            s->step = s->step_before = s->b - s->a;
        }
        swap_best(s);
        double within = 2 * DBL_EPSILON * fabs(s->b) + tolerance / 2;
        double half = (s->c - s->b) / 2;
        if (fabs(half) <= within || s->fb == 0) {
            *root = s->b;
            return SNUB_OK;
        }
        if (fabs(s->step_before) >= within && fabs(s->fa) > fabs(s->fb))
            choose_step(s, within);
        else
            s->step = s->step_before = half;
        s->a = s->b, s->fa = s->fb;
        s->b += fabs(s->step) > within ? s->step : copysign(within, half);
        if (!f(s->b, &s->fb, context) || isnan(s->fb))
            return no_value(error, s->b);
    }
    return snub_fail(error, SNUB_NO_CONVERGENCE, NULL, NULL, "no root within %g after %d steps, near %g", tolerance,
                     STEPS_MOST, s->b);
}

snub_status snub_root(snub_function f, void *context, double a, double b, double tolerance, double *root,
                      snub_error *error)
{
    bracket s = {.a = a, .b = b};
    if (!(tolerance > 0) || !isfinite(a) || !isfinite(b))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "a root search needs finite ends and a tolerance above 0");
    if (!f(a, &s.fa, context) || isnan(s.fa))
        return no_value(error, a);
    if (!f(b, &s.fb, context) || isnan(s.fb))
        return no_value(error, b);
    if (s.fa == 0 || s.fb == 0) {
        *root = s.fa == 0 ? a : b;
        return SNUB_OK;
    }
    if ((s.fa > 0) == (s.fb > 0))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "no change of sign: %g at %g, %g at %g", s.fa, a, s.fb, b);
    s.c = b, s.fc = s.fb; /* same sign as b: the first pass takes a for c */
    return iterate(f, context, &s, tolerance, root, error);
}

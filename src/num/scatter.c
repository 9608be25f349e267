/** Quantiles, shares and moments of how values scatter. docs/theory/scatter.md.
 *
 *  A tail is worked on as what is beyond it, never as 1 less the rest, so that small chances keep their digits.
 */
#include "snub/scatter.h"

#include <float.h>
#include <math.h>
#include <stdbool.h>

#include "normal.h"
#include "snub/num.h"
#include "snub/units.h"

/* Gauss and Legendre's rule of ten points on -1 to 1, its positive half. */
enum { POINTS = 5, PANELS = 32 };
static const double point_at[POINTS] = {0.1488743389816312, 0.4333953941292472, 0.6794095682990244, 0.8650633666889845,
                                        0.9739065285171717};
static const double weight_of[POINTS] = {0.2955242247147529, 0.2692667193099964, 0.2190863625159820, 0.1494513491505806,
                                         0.0666713443086881};

typedef double integrand(double x, const double *with);

static double integral(integrand *f, const double *with, double from, double to)
{
    const double half = 0.5 * (to - from) / PANELS;
    double sum = 0.0;
    for (int p = 0; p < PANELS && to > from; p++) {
        const double middle = from + (2 * p + 1) * half;
        for (int i = 0; i < POINTS; i++)
            sum += weight_of[i] * (f(middle - half * point_at[i], with) + f(middle + half * point_at[i], with));
    }
    return sum * half;
}

/* ---- the skew-normal --------------------------------------------------------------------------------------------- */

/* with: h */
static double owen(double u, const double *with)
{
    const double c = cosh(u), h = with[0];
    return exp(-0.5 * h * h * c * c) / c;
}

/** Share below z <= 0 of the standard skew-normal: Phi(z) - 2 T(z, alpha) is, since Phi(z) = 2 T(z, infinity), Owen's
 *  integral from alpha to infinity, all of it positive. With x = sinh u its integrand is smooth at every z. */
static double skew_tail(double z, double alpha)
{
    enum { EXPONENT_LEFT = 45 }; /* exp(-45) is 3e-20 of the integrand where it is greatest */
    const double h = fabs(z), peak = fmax(alpha, 0.0);
    if (h < DBL_MIN)
        return 0.5 - atan(alpha) / SNUB_PI;
    const double reach = sqrt(2.0 * EXPONENT_LEFT) / h;
    return integral(owen, &h, asinh(fmax(alpha, -reach)), asinh(hypot(peak, reach))) / SNUB_PI;
}

/* ---- normal and skew-normal, in their own scale ------------------------------------------------------------------ */

/** Share below z of what a scatter is before it is cut. */
static double below(const snub_scatter *s, double z)
{
    if (s->kind == SNUB_NORMAL)
        return snub_normal_below(z);
    if (isinf(z))
        return z > 0.0 ? 1.0 : 0.0;
    return z <= 0.0 ? skew_tail(z, s->alpha) : 1.0 - skew_tail(-z, -s->alpha);
}

static double above(const snub_scatter *s, double z)
{
    const snub_scatter mirrored = {.kind = s->kind, .alpha = -s->alpha};
    return below(&mirrored, -z);
}

typedef struct wanted {
    const snub_scatter *scatter;
    double chance; /* of its lower tail */
} wanted;

/* By logarithms, which make of a tail nearly a parabola. */
static bool off(double z, double *y, void *context)
{
    const wanted *w = context;
    *y = log(fmax(below(w->scatter, z), DBL_MIN)) - log(w->chance);
    return true;
}

/** What the lower tail of so small a chance is below. */
static double tail_value(const snub_scatter *s, double chance)
{
    enum { DOUBLINGS = 8 };
    wanted w = {s, fmax(chance, DBL_MIN)};
    double low = -1.0, high = 1.0, y = 1.0, root = NAN;
    if (s->kind == SNUB_NORMAL)
        return snub_normal_quantile(w.chance);
    for (int i = 0; i < DOUBLINGS && off(low, &y, &w) && y > 0.0; i++)
        low *= 2.0;
    for (int i = 0; i < DOUBLINGS && off(high, &y, &w) && y < 0.0; i++)
        high *= 2.0;
    snub_root(off, &w, low, high, 1e-15 * fmax(-low, high), &root, NULL);
    return root;
}

typedef struct cuts {
    double a, b; /* in its own scale */
} cuts;

static cuts cuts_of(const snub_scatter *s)
{
    return (cuts){(s->low - s->centre) / s->sigma, (s->high - s->centre) / s->sigma};
}

/** Share that is left between two ends, from the tail that keeps its digits. */
static double between(const snub_scatter *s, double a, double b)
{
    return a > 0.0 ? above(s, a) - above(s, b) : below(s, b) - below(s, a);
}

static double cut_value(const snub_scatter *s, double chance)
{
    const snub_scatter mirrored = {.kind = s->kind, .alpha = -s->alpha};
    const cuts c = cuts_of(s);
    const double left = between(s, c.a, c.b), lower = below(s, c.a) + chance * left,
                 upper = above(s, c.b) + (1.0 - chance) * left;
    const double z = lower <= upper ? tail_value(s, lower) : -tail_value(&mirrored, upper);
    return fmin(fmax(s->centre + s->sigma * z, s->low), s->high);
}

static double cut_chance(const snub_scatter *s, double value)
{
    const cuts c = cuts_of(s);
    if (value <= s->low)
        return 0.0;
    if (value >= s->high)
        return 1.0;
    return fmin(between(s, c.a, (value - s->centre) / s->sigma) / between(s, c.a, c.b), 1.0);
}

/* with: alpha, middle, power */
static double moment(double z, const double *with)
{
    return exp(-0.5 * z * z) * snub_normal_below(with[0] * z) * pow(z - with[1], with[2]);
}

/** Integral over what is left, in pieces that meet where a strong skew turns sharply. */
static double moment_of(const snub_scatter *s, double middle, double power)
{
    enum { WIDE = 12 }; /* the density has 1e-31 beyond */
    const cuts c = cuts_of(s);
    const double alpha = s->kind == SNUB_SKEWED ? s->alpha : 0.0, turn = fabs(alpha) > 1.0 ? 9.0 / fabs(alpha) : WIDE,
                 with[] = {alpha, middle, power}, ends[] = {-WIDE, -turn, 0.0, turn, WIDE};
    double sum = 0.0;
    for (int i = 0; i < 4; i++)
        sum += integral(moment, with, fmax(ends[i], c.a), fmin(ends[i + 1], c.b));
    return sum;
}

static void cut_moments(const snub_scatter *s, double *mean, double *variance)
{
    const double all = moment_of(s, 0.0, 0.0), middle = moment_of(s, 0.0, 1.0) / all;
    *mean = s->centre + s->sigma * middle;
    *variance = s->sigma * s->sigma * moment_of(s, middle, 2.0) / all;
}

/* ---- a measured sample ------------------------------------------------------------------------------------------- */

static double sampled_value(const snub_scatter *s, double chance)
{
    const double at = chance * s->count - 0.5;
    const int i = (int)floor(at);
    if (i < 0 || s->count == 1)
        return s->sample[0];
    if (i >= s->count - 1)
        return s->sample[s->count - 1];
    return s->sample[i] + (at - i) * (s->sample[i + 1] - s->sample[i]);
}

static double sampled_chance(const snub_scatter *s, double value)
{
    int n = 0;
    while (n < s->count && s->sample[n] <= value)
        n++;
    if (n == 0)
        return 0.0;
    if (n == s->count)
        return 1.0;
    const double part = (value - s->sample[n - 1]) / (s->sample[n] - s->sample[n - 1]);
    return (n - 0.5 + part) / s->count;
}

static void sampled_moments(const snub_scatter *s, double *mean, double *variance)
{
    const int n = s->count;
    double sum = 0.0, square = 0.0;
    for (int i = 0; i < n; i++)
        sum += s->sample[i];
    *mean = sum / n;
    const double first = s->sample[0] - *mean, last = s->sample[n - 1] - *mean;
    for (int i = 0; i + 1 < n; i++) {
        const double a = s->sample[i] - *mean, b = s->sample[i + 1] - *mean;
        square += (a * a + a * b + b * b) / 3.0;
    }
    *variance = (square + 0.5 * (first * first + last * last)) / n;
}

/* ---- the others -------------------------------------------------------------------------------------------------- */

static double triangular_value(const snub_scatter *s, double chance)
{
    const double whole = s->high - s->low, rise = s->centre - s->low, fall = s->high - s->centre;
    return chance * whole <= rise ? s->low + sqrt(chance * whole * rise)
                                  : s->high - sqrt((1.0 - chance) * whole * fall);
}

static double triangular_chance(const snub_scatter *s, double value)
{
    const double whole = s->high - s->low, rise = s->centre - s->low, fall = s->high - s->centre;
    if (value <= s->low)
        return 0.0;
    if (value >= s->high)
        return 1.0;
    return value <= s->centre ? (value - s->low) / whole * ((value - s->low) / rise)
                              : 1.0 - (s->high - value) / whole * ((s->high - value) / fall);
}

double snub_scatter_value(const snub_scatter *scatter, double chance)
{
    switch (scatter->kind) {
    case SNUB_UNIFORM: return scatter->low + chance * (scatter->high - scatter->low);
    case SNUB_TRIANGULAR: return triangular_value(scatter, chance);
    case SNUB_SAMPLED: return sampled_value(scatter, chance);
    case SNUB_NORMAL:
    case SNUB_SKEWED: break;
    }
    return cut_value(scatter, chance);
}

double snub_scatter_chance(const snub_scatter *scatter, double value)
{
    switch (scatter->kind) {
    case SNUB_UNIFORM: return fmin(fmax((value - scatter->low) / (scatter->high - scatter->low), 0.0), 1.0);
    case SNUB_TRIANGULAR: return triangular_chance(scatter, value);
    case SNUB_SAMPLED: return sampled_chance(scatter, value);
    case SNUB_NORMAL:
    case SNUB_SKEWED: break;
    }
    return cut_chance(scatter, value);
}

void snub_scatter_moments(const snub_scatter *scatter, double *mean, double *variance)
{
    const double a = scatter->low, b = scatter->high, c = scatter->centre;
    switch (scatter->kind) {
    case SNUB_UNIFORM:
        *mean = 0.5 * (a + b);
        *variance = (b - a) * (b - a) / 12.0;
        return;
    case SNUB_TRIANGULAR:
        *mean = (a + b + c) / 3.0;
        *variance = ((b - a) * (b - a) + (b - c) * (b - c) + (c - a) * (c - a)) / 36.0;
        return;
    case SNUB_SAMPLED: sampled_moments(scatter, mean, variance); return;
    case SNUB_NORMAL:
    case SNUB_SKEWED: break;
    }
    cut_moments(scatter, mean, variance);
}

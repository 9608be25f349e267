/* A standing span: string, beam on hinges, beam with fixed ends, all under tension. docs/theory/measure.md. */
#include "beam.h"

#include <math.h>

#include "snub/num.h"
#include "snub/units.h"

/* b = beta L of fixed ends: a^2 = b^2 + T L^2/EI, and 2 a b (1/cosh a - cos b) + (a^2 - b^2) sin b tanh a = 0, which is
 * the usual condition over cosh a, so that nothing overflows. */
typedef struct fixed_ends {
    double ratio; /* T L^2/EI */
} fixed_ends;

static bool condition(double b, double *y, void *context)
{
    const fixed_ends *of = context;
    const double a = sqrt(b * b + of->ratio);
    *y = 2.0 * a * b * (1.0 / cosh(a) - cos(b)) + of->ratio * sin(b) * tanh(a);
    return isfinite(*y);
}

/* The n-th root lies between n pi (a string) and (n + 1) pi (no tension: 4.730, 7.853, ...). */
static double fixed(const snub_standing_span *s, double tension, int n)
{
    fixed_ends of = {tension * s->length * s->length / s->bending};
    double b;
    if (snub_root(condition, &of, n * SNUB_PI, (n + 1) * SNUB_PI, 1e-13, &b, NULL) != SNUB_OK)
        return NAN;
    return sqrt(b * b + of.ratio) * b / (s->length * s->length) * sqrt(s->bending / s->mass) / (2.0 * SNUB_PI);
}

double snub_standing_frequency(const snub_standing_span *s, double tension, int harmonic)
{
    const double n = harmonic, across = n * SNUB_PI / s->length;
    if (s->bending > 0.0 && s->ends == SNUB_ENDS_FIXED)
        return fixed(s, tension, harmonic);
    return n / (2.0 * s->length) * sqrt((tension + s->bending * across * across) / s->mass);
}

typedef struct wanted {
    const snub_standing_span *span;
    double frequency;
    int harmonic;
} wanted;

static bool too_high(double tension, double *y, void *context)
{
    const wanted *w = context;
    *y = snub_standing_frequency(w->span, tension, w->harmonic) - w->frequency;
    return isfinite(*y);
}

double snub_standing_tension(const snub_standing_span *s, double frequency, int harmonic)
{
    wanted w = {s, frequency, harmonic};
    const double n = harmonic, across = n * SNUB_PI / s->length, wave = 2.0 * s->length * frequency / n;
    const double string = s->mass * wave * wave;
    double tension;
    if (s->bending > 0.0 && s->ends == SNUB_ENDS_FIXED)
        return snub_root(too_high, &w, 0.0, string, 1e-12 * string, &tension, NULL) == SNUB_OK ? tension : (double)NAN;
    tension = string - s->bending * across * across;
    return tension >= 0.0 ? tension : (double)NAN;
}

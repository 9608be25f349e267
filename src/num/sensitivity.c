/* Sobol's indices from running sums. */
#include "snub/sensitivity.h"

#include <math.h>

void snub_sensitivity_take(snub_sensitivity *sums, double f_a, double f_b, const double *f_ab)
{
    const double a = f_a - sums->shift, b = f_b - sums->shift;
    sums->pairs++;
    sums->sum += a + b;
    sums->squares += a * a + b * b;
    for (int i = 0; i < sums->values; i++) {
        const double change = f_ab[i] - f_a;
        sums->first[i] += b * change;
        sums->total[i] += change * change;
    }
}

void snub_sensitivity_add(snub_sensitivity *sums, const snub_sensitivity *more)
{
    sums->pairs += more->pairs;
    sums->sum += more->sum;
    sums->squares += more->squares;
    for (int i = 0; i < sums->values; i++) {
        sums->first[i] += more->first[i];
        sums->total[i] += more->total[i];
    }
}

double snub_sensitivity_indices(const snub_sensitivity *sums, double *first, double *total)
{
    const double pairs = (double)sums->pairs, mean = sums->sum / (2.0 * pairs);
    const double variance = fmax(sums->squares / (2.0 * pairs) - mean * mean, 0.0);
    for (int i = 0; i < sums->values; i++) {
        first[i] = variance > 0.0 ? sums->first[i] / pairs / variance : 0.0;
        total[i] = variance > 0.0 ? sums->total[i] / pairs / (2.0 * variance) : 0.0;
    }
    return variance;
}

/* Intervals of shares, capability, sums of tolerances. */
#include "snub/shares.h"

#include <float.h>
#include <math.h>
#include <stdbool.h>

#include "snub/distributions.h"
#include "snub/num.h"

/* The fraction below settles in about sqrt(max(a, b)) terms on its side of the mean: 1e5 are enough for 1e9. */
enum { TERMS_MOST = 100000 };

/* Continued fraction of the incomplete beta function (Abramowitz and Stegun, 26.5.8) by Lentz's method. */
static double fraction(double x, double a, double b)
{
    const double tiny = 1e-300; /* in place of a denominator that is nothing */
    double c = 1.0, d = 1.0 - (a + b) * x / (a + 1.0), value;
    d = 1.0 / (fabs(d) < tiny ? tiny : d);
    value = d;
    for (int m = 1; m <= TERMS_MOST; m++) {
        double change = 1.0;
        for (int odd = 0; odd <= 1; odd++) {
            const double term = odd ? -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1.0))
                                    : m * (b - m) * x / ((a + 2 * m - 1.0) * (a + 2 * m));
            d = 1.0 + term * d;
            c = 1.0 + term / c;
            d = 1.0 / (fabs(d) < tiny ? tiny : d);
            c = fabs(c) < tiny ? tiny : c;
            change = c * d;
            value *= change;
        }
        if (fabs(change - 1.0) <= DBL_EPSILON)
            return value;
    }
    return NAN;
}

double snub_beta_under(double x, double a, double b)
{
    if (!(x > 0.0))
        return 0.0;
    if (!(x < 1.0))
        return 1.0;
    /* long double: the gammas of a hundred thousand kits are 1e6, their difference is of the order of 1 */
    const long double gammas = lgammal((long double)a + b) - lgammal(a) - lgammal(b);
    const double front = (double)expl(gammas + a * logl(x) + b * log1pl(-(long double)x));
    if (x < (a + 1.0) / (a + b + 2.0))
        return front * fraction(x, a, b) / a;
    return 1.0 - front * fraction(1.0 - x, b, a) / b;
}

typedef struct wanted {
    double chance, a, b;
} wanted;

static bool off(double x, double *y, void *context)
{
    const wanted *w = context;
    *y = snub_beta_under(x, w->a, w->b) - w->chance;
    return true;
}

double snub_beta_value(double chance, double a, double b)
{
    if (!(chance > 0.0))
        return 0.0;
    if (!(chance < 1.0))
        return 1.0;
    wanted w = {chance, a, b};
    double x = NAN;
    snub_root(off, &w, 0.0, 1.0, DBL_MIN, &x, NULL); /* to the last digit of x, however small */
    return x;
}

/* Each side with a chance of its own to be wrong. */
static snub_interval exact(int64_t counted, int64_t of, double each)
{
    const double k = (double)counted, n = (double)of;
    return (snub_interval){counted == 0 ? 0.0 : snub_beta_value(each, k, n - k + 1.0),
                           counted == of ? 1.0 : snub_beta_value(1.0 - each, k + 1.0, n - k)};
}

snub_interval snub_share_exact(int64_t counted, int64_t of, double confidence)
{
    return exact(counted, of, 0.5 * (1.0 - confidence));
}

snub_interval snub_share_one_sided(int64_t counted, int64_t of, double confidence)
{
    return exact(counted, of, 1.0 - confidence);
}

snub_interval snub_share_wilson(int64_t counted, int64_t of, double confidence)
{
    const double z = snub_normal_value(0.5 * (1.0 - confidence)), n = (double)of, share = (double)counted / n;
    const double middle = (share + 0.5 * z * z / n) / (1.0 + z * z / n);
    const double half = z / (1.0 + z * z / n) * sqrt(share * (1.0 - share) / n + 0.25 * z * z / (n * n));
    return (snub_interval){counted == 0 ? 0.0 : middle - half, counted == of ? 1.0 : middle + half};
}

/* Whether n kits hold too little with a small enough chance: share^n, or share^n + n (1 - share) share^(n-1). */
static bool enough(int n, double share, double confidence, int both_ends)
{
    const double none = pow(share, n), one = n * (1.0 - share) * pow(share, n - 1);
    return none + (both_ends ? one : 0.0) <= 1.0 - confidence;
}

int snub_kits_needed(double share, double confidence, int both_ends)
{
    enum { MOST = 1 << 30 };
    int few = 0, many = 1;
    for (; !enough(many, share, confidence, both_ends); many *= 2) {
        if (many == MOST)
            return -1;
        few = many;
    }
    while (many - few > 1) {
        const int middle = few + (many - few) / 2;
        *(enough(middle, share, confidence, both_ends) ? &many : &few) = middle;
    }
    return many;
}

snub_estimate snub_estimate_of_runs(int runs, const double *value, double confidence)
{
    double sum = 0.0, squares = 0.0;
    for (int i = 0; i < runs; i++)
        sum += value[i];
    snub_estimate e = {sum / runs, NAN, NAN, NAN};
    if (runs < 2)
        return e;
    for (int i = 0; i < runs; i++)
        squares += (value[i] - e.value) * (value[i] - e.value);
    e.error = sqrt(squares / (runs - 1.0) / runs);
    const double half = e.error * snub_student_value(0.5 * (1.0 - confidence), runs - 1);
    e.low = e.value - half;
    e.high = e.value + half;
    return e;
}

snub_capability snub_capability_of(double mean, double sd, double low, double high, double target)
{
    const bool both = isfinite(low) && isfinite(high);
    return (snub_capability){
        .cp = both ? (high - low) / (6.0 * sd) : NAN,
        .cpk = fmin(high - mean, mean - low) / (3.0 * sd),
        .cpm = both ? (high - low) / (6.0 * hypot(sd, mean - target)) : NAN,
        .below = 0.5 * erfc((mean - low) / (sd * sqrt(2.0))),
        .above = 0.5 * erfc((high - mean) / (sd * sqrt(2.0))),
    };
}

snub_stack_sums snub_stack_of(int parts, const double *slope, const double *tolerance)
{
    snub_stack_sums s = {0};
    for (int i = 0; i < parts; i++) {
        const double part = fabs(slope[i] * tolerance[i]);
        s.worst += part;
        s.rss += part * part;
    }
    s.rss = sqrt(s.rss);
    return s;
}

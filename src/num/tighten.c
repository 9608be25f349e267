/* Kits weighed again for other widths. Derivation: docs/theory/tolerate.md.
 *
 * A value x of middle c and density p has, with its width times k, the density p(c + (x - c)/k)/k. A kit's weight is
 * that over p(x): what does not hang on x drops out of a mean that is divided by the sum of the weights. */
#include "snub/tighten.h"

#include <float.h>
#include <math.h>

/* Of the slope: near enough to 1 that the curve is straight, far enough that kits on an edge count. */
static const double NEAR = 0.9;

/* How sure a change must be, in standard errors. */
static const double SURE = 2.0;

static double log_density(const snub_scatter *s, double x)
{
    const double z = (x - s->centre) / s->sigma;
    if (!(x >= s->low && x <= s->high))
        return -INFINITY;
    switch (s->kind) {
    case SNUB_NORMAL: return -0.5 * z * z;
    case SNUB_UNIFORM: return 0.0;
    case SNUB_TRIANGULAR:
        return x < s->centre   ? log((x - s->low) / (s->centre - s->low))
               : x > s->centre ? log((s->high - x) / (s->high - s->centre))
                               : 0.0;
    case SNUB_SKEWED: return -0.5 * z * z + log(fmax(erfc(-s->alpha * z / sqrt(2.0)), DBL_MIN));
    case SNUB_SAMPLED: break;
    }
    return NAN;
}

/* A kit's weight, but for a factor that all have. */
static double weight_of(const snub_held *held, double x, double factor)
{
    const double before = log_density(&held->scatter, x);
    const double after = log_density(&held->scatter, held->middle + (x - held->middle) / factor);
    return isinf(before) ? 0.0 : exp(after - before);
}

/* Share of the new scatter outside of all kits. Of the old one some is, too: so many kits reach no farther. */
static double missing_of(const snub_held *held, double least, double most, double factor)
{
    const double low = held->middle + (least - held->middle) / factor;
    const double high = held->middle + (most - held->middle) / factor;
    return snub_scatter_chance(&held->scatter, low) + 1.0 - snub_scatter_chance(&held->scatter, high);
}

typedef struct weighed {
    double sum, squares, failing; /* of the weights; of those that fail */
    double failing_now;           /* kits */
    double least, most;
} weighed;

static weighed weigh(const snub_counted_kits *kits, int value, double factor)
{
    weighed w = {.least = INFINITY, .most = -INFINITY};
    for (int64_t i = 0; i < kits->count; i++) {
        const double x = kits->value[i * kits->values + value], weight = weight_of(&kits->held[value], x, factor);
        w.sum += weight;
        w.squares += weight * weight;
        w.failing += kits->fails[i] ? weight : 0.0;
        w.failing_now += kits->fails[i] ? 1.0 : 0.0;
        w.least = fmin(w.least, x);
        w.most = fmax(w.most, x);
    }
    return w;
}

/* By the first order of a quotient of sums: each kit adds its weight's deviation from the new share, less its own now.
 */
static double error_of(const snub_counted_kits *kits, int value, double factor, const weighed *w)
{
    const double count = (double)kits->count, now = w->failing_now / count, then = w->failing / w->sum;
    double squares = 0.0;
    for (int64_t i = 0; i < kits->count; i++) {
        const double x = kits->value[i * kits->values + value], weight = weight_of(&kits->held[value], x, factor);
        const double fails = kits->fails[i] ? 1.0 : 0.0,
                     part = weight / w->sum * (fails - then) - (fails - now) / count;
        squares += part * part;
    }
    return sqrt(squares);
}

snub_width_change snub_width_changed(const snub_counted_kits *kits, int value, double factor)
{
    const snub_held *held = &kits->held[value];
    snub_width_change c = {factor, NAN, NAN, NAN, NAN, NAN, false, held->cost * (1.0 / factor - 1.0)};
    if (!held->alone)
        return c;
    const weighed w = weigh(kits, value, factor);
    if (!(w.sum > 0.0)) /* no density, or no kit left */
        return c;
    c.share = w.failing / w.sum;
    c.change = c.share - w.failing_now / (double)kits->count;
    c.effective = w.sum * w.sum / w.squares;
    c.error = fmax(error_of(kits, value, factor, &w), 1.0 / c.effective);
    c.missing = fmax(missing_of(held, w.least, w.most, factor) - missing_of(held, w.least, w.most, 1.0), 0.0);
    c.trusted = c.effective >= fmax(SNUB_EFFECTIVE_KITS_LEAST, SNUB_EFFECTIVE_SHARE_LEAST * (double)kits->count) &&
                c.missing <= c.error;
    return c;
}

static snub_width_change widest_trusted(const snub_counted_kits *kits, int value)
{
    enum { STEPS = 20 }; /* of a twentieth of the width, from twice downwards */
    for (int step = STEPS; step > 0; step--) {
        const snub_width_change c = snub_width_changed(kits, value, 1.0 + (double)step / STEPS);
        if (c.trusted || isnan(c.share))
            return c.trusted ? c : (snub_width_change){NAN, NAN, NAN, NAN, NAN, NAN, false, NAN};
    }
    return (snub_width_change){NAN, NAN, NAN, NAN, NAN, NAN, false, NAN};
}

snub_width_plan snub_width_plan_of(const snub_counted_kits *kits, snub_width *width)
{
    snub_width_plan plan = {0.0, -1, -1};
    for (int64_t i = 0; i < kits->count; i++)
        plan.share += kits->fails[i] ? 1.0 : 0.0;
    plan.share /= (double)kits->count;
    double best = 0.0, least = INFINITY;
    for (int i = 0; i < kits->values; i++) {
        const snub_width_change nearly = snub_width_changed(kits, i, NEAR);
        snub_width *w = &width[i];
        w->half = snub_width_changed(kits, i, 0.5);
        w->twice = snub_width_changed(kits, i, 2.0);
        w->wider = widest_trusted(kits, i);
        w->slope = nearly.change / log(NEAR);
        w->slope_error = fabs(nearly.error / log(NEAR));
        w->per_cost = w->slope / kits->held[i].cost;
        const double bought = -w->half.change / w->half.cost;
        if (w->half.trusted && -w->half.change > SURE * w->half.error && bought > best)
            best = bought, plan.tighten = i;
        const double brought = (w->slope + SURE * w->slope_error) / kits->held[i].cost;
        if (w->wider.trusted && brought < least)
            least = brought, plan.loosen = i;
    }
    return plan;
}

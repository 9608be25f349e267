/* Low and high of each bin: what is short stays to be seen, however long the log is. */
#include "bins.h"

#include <math.h>

#define WIDTH_LEAST 0.01 /* s */

static void widen(double range[2], double value)
{
    range[0] = value < range[0] ? value : range[0]; /* NAN is neither */
    range[1] = value > range[1] ? value : range[1];
}

static void join(snub_log_bin *a, const snub_log_bin *b)
{
    if (b->count == 0)
        return;
    if (a->count == 0) {
        *a = *b;
        return;
    }
    a->count += b->count;
    for (int end = 0; end < 2; end++) {
        widen(a->engine, b->engine[end]);
        widen(a->blower, b->blower[end]);
        widen(a->expected, b->expected[end]);
        widen(a->slip, b->slip[end]);
        widen(a->boost, b->boost[end]);
        widen(a->model_boost, b->model_boost[end]);
    }
}

static void halve(trace_bins *bins)
{
    for (int i = 0; i < SNUB_LOG_BINS; i++) {
        snub_log_bin joined = bins->bin[2 * i < SNUB_LOG_BINS ? 2 * i : 0];
        if (2 * i < SNUB_LOG_BINS)
            join(&joined, &bins->bin[2 * i + 1]);
        bins->bin[i] = 2 * i < SNUB_LOG_BINS ? joined : (snub_log_bin){0};
    }
    bins->count = SNUB_LOG_BINS / 2;
    bins->per_second *= 0.5;
}

void trace_bins_add(trace_bins *bins, const trace_sample *sample, double expected, double slip, double model_boost)
{
    const double nothing[2] = {INFINITY, -INFINITY};
    if (bins->per_second == 0.0)
        bins->per_second = 1.0 / WIDTH_LEAST;
    while (sample->elapsed * bins->per_second >= SNUB_LOG_BINS)
        halve(bins);
    const int at = sample->elapsed > 0.0 ? (int)(sample->elapsed * bins->per_second) : 0;
    snub_log_bin *bin = &bins->bin[at];
    if (bin->count == 0)
        *bin = (snub_log_bin){.time = sample->elapsed,
                              .engine = {nothing[0], nothing[1]},
                              .blower = {nothing[0], nothing[1]},
                              .expected = {nothing[0], nothing[1]},
                              .slip = {nothing[0], nothing[1]},
                              .boost = {nothing[0], nothing[1]},
                              .model_boost = {nothing[0], nothing[1]}};
    bin->count++;
    widen(bin->engine, sample->engine);
    widen(bin->blower, sample->blower);
    widen(bin->expected, expected);
    widen(bin->slip, slip);
    widen(bin->boost, sample->boost);
    widen(bin->model_boost, model_boost);
    bins->count = at + 1 > bins->count ? at + 1 : bins->count;
}

void trace_bins_close(trace_bins *bins)
{
    int kept = 0;
    for (int i = 0; i < bins->count; i++)
        if (bins->bin[i].count > 0)
            bins->bin[kept++] = bins->bin[i];
    bins->count = kept;
}

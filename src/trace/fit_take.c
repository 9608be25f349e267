/* Readings for a fit: means of successive samples with the throttle open. docs/theory/trace.md, "Fit" */
#include <math.h>
#include <stdlib.h>

#include "snub/trace_fit.h"

enum { SAMPLES_MOST = 2000000, AROUND = 2 };
#define SETTLES 0.3     /* s after the throttle opens, in which the blower comes up to the belt */
#define APART_MOST 1.0  /* s between samples: what comes is another stretch */
#define FALLS_MOST 0.05 /* 1/s: an engine that loses speed faster changes gear */
#define OVER 0.02       /* of redline: noise of the engine speed */
#define JUMPS 3.0       /* times the file's greatest rate: two drives put together, not one engine */
#define SPIKE_LEAST 0.05
#define SPIKE_NOISE 8.0
#define MAD 1.4826 /* deviation of normal noise over the median of its size */

typedef struct taken {
    double time, engine, gain, shortfall, boost;
    int stretch;
} taken;

struct snub_fit_taker {
    const snub_log_model *model;
    taken *items;
    long count, room;
    int stretch;
    bool open, failed, full;
    double opened, last;
    long part;
};

snub_fit_taker *snub_fit_taker_open(const snub_log_model *model)
{
    snub_fit_taker *t = calloc(1, sizeof *t);
    if (t != NULL)
        t->model = model;
    return t;
}

static void keep(snub_fit_taker *t, const taken *one)
{
    if (t->count == SAMPLES_MOST) {
        t->full = true;
        return;
    }
    if (t->count == t->room) {
        const long room = t->room > 0 ? 2 * t->room : 1024;
        taken *grown = realloc(t->items, (size_t)room * sizeof *grown);
        t->failed = t->failed || grown == NULL;
        if (grown == NULL)
            return;
        t->items = grown;
        t->room = room;
    }
    t->items[t->count++] = *one;
}

void snub_fit_taker_sample(void *taker, const snub_log_sample *sample)
{
    snub_fit_taker *t = taker;
    const bool goes_on = t->open && sample->part == t->part && sample->time - t->last <= APART_MOST;
    const double rate = t->model->build->drive->engine.accel_rate;
    const bool jumps = rate > 0.0 && sample->gain * sample->engine > JUMPS * rate;
    const bool good = sample->open && !jumps && sample->gain > -FALLS_MOST && sample->engine >= t->model->idle &&
                      sample->engine <= (1.0 + OVER) * t->model->redline && sample->blower > 0.0;
    t->part = sample->part;
    t->last = sample->time;
    t->open = good;
    if (!good)
        return;
    if (!goes_on) {
        t->opened = sample->time;
        t->stretch++;
    }
    if (sample->time - t->opened >= SETTLES)
        keep(t, &(taken){.time = sample->time,
                         .engine = sample->engine,
                         .gain = sample->gain,
                         .shortfall = log(t->model->ratio * sample->engine / sample->blower),
                         .boost = sample->boost,
                         .stretch = t->stretch});
}

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return x < y ? -1 : x > y;
}

/* The middle of itself and those beside it in its stretch. */
static double middle_of(const snub_fit_taker *t, long i)
{
    double near[2 * AROUND + 1];
    int count = 0;
    for (long k = i - AROUND; k <= i + AROUND; k++)
        if (k >= 0 && k < t->count && t->items[k].stretch == t->items[i].stretch)
            near[count++] = t->items[k].shortfall;
    qsort(near, (size_t)count, sizeof *near, by_size);
    return near[count / 2];
}

/* What successive boosts differ by, so that no course of the boost is in it. */
static double boost_noise(const snub_fit_taker *t, double *scratch)
{
    long count = 0;
    for (long i = 1; i < t->count; i++)
        if (t->items[i].stretch == t->items[i - 1].stretch && isfinite(t->items[i].boost) &&
            isfinite(t->items[i - 1].boost))
            scratch[count++] = fabs(t->items[i].boost - t->items[i - 1].boost);
    qsort(scratch, (size_t)count, sizeof *scratch, by_size);
    return count > 0 ? MAD * scratch[count / 2] / sqrt(2.0) : 0.0;
}

typedef struct block {
    int count, boosts;
    double engine, gain, shortfall, boost;
} block;

static void add(block *b, const taken *one)
{
    b->count++;
    b->engine += one->engine;
    b->gain += one->gain;
    b->shortfall += one->shortfall;
    if (isfinite(one->boost)) {
        b->boosts++;
        b->boost += one->boost;
    }
}

/* Noise under which none is believed: it would make one reading count for all. */
static const double NOISE_LEAST = 1e-6, BOOST_NOISE_LEAST = 1.0;

static snub_fit_reading reading_of(const block *b, int log, double noise, double of_boost)
{
    const double n = b->count, engine = b->engine / n, gain = b->gain / n;
    return (snub_fit_reading){.log = log,
                              .engine = engine,
                              .gain = gain,
                              .rate = gain * engine,
                              .shortfall = b->shortfall / n,
                              .shortfall_error = fmax(noise, NOISE_LEAST) / sqrt(n),
                              .boost = b->boosts > 0 ? b->boost / b->boosts : (double)NAN,
                              .boost_error = fmax(of_boost, BOOST_NOISE_LEAST) / sqrt(fmax(b->boosts, 1.0))};
}

snub_status snub_fit_taker_end(const snub_fit_taker *t, int log, double noise, snub_fit_reading *readings, int *count,
                               snub_error *error)
{
    *count = 0;
    if (t->failed)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    if (t->full)
        return snub_fail(error, SNUB_TOO_LARGE, NULL, NULL,
                         "more than %d samples with the throttle open: cut the log to its pulls", (int)SAMPLES_MOST);
    double *scratch = malloc((size_t)(t->count > 0 ? t->count : 1) * sizeof *scratch);
    if (scratch == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    const double of_boost = boost_noise(t, scratch), spike = fmax(SPIKE_LEAST, SPIKE_NOISE * noise);
    free(scratch);
    /* A stretch may leave a block that is not full; so there is room for one more of each. */
    const long stretches = t->stretch < SNUB_FIT_READINGS / 2 ? t->stretch : SNUB_FIT_READINGS / 2;
    const long most = SNUB_FIT_READINGS - stretches, length = (t->count + most - 1) / most;
    block b = {0};
    for (long i = 0; i < t->count; i++) {
        if (fabs(t->items[i].shortfall - middle_of(t, i)) <= spike)
            add(&b, &t->items[i]);
        const bool ends = i + 1 == t->count || t->items[i + 1].stretch != t->items[i].stretch;
        if (b.count > 0 && (b.count >= length || ends)) {
            if (*count < SNUB_FIT_READINGS && (b.count == length || 2 * b.count > length))
                readings[(*count)++] = reading_of(&b, log, noise, of_boost);
            b = (block){0};
        }
    }
    if (*count < SNUB_FIT_READINGS_LEAST)
        return snub_fail(
            error, SNUB_BAD_INPUT, NULL, NULL,
            "only %ld samples between idle and redline with the throttle open for longer than 0.3 s: a fit "
            "needs a pull of %d or more",
            t->count, (int)SNUB_FIT_READINGS_LEAST);
    return SNUB_OK;
}

void snub_fit_taker_close(snub_fit_taker *t)
{
    if (t != NULL)
        free(t->items);
    free(t);
}

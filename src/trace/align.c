/* docs/theory/trace.md, "Samples". */
#include "align.h"

#include <math.h>
#include <stdlib.h>

/* Powers of two. Where fewer will do, they stay in the processor's first cache. */
enum { RING_LEAST = 128, RING = 8192 };
#define STOOD 0.5      /* s: a value that is repeated for so long is what the sensor says, not what a logger held */
#define APART_MOST 1.0 /* s between engine speeds: further apart nothing is known between them */
#define REACH 0.1      /* s before and behind, over which the rate is taken */

/* Sums from the first of the part on, so that a mean over any stretch is two differences. */
typedef struct engine_point {
    double time, speed, times, speeds;
} engine_point;

typedef struct channel {
    bool any;
    double value, since, last; /* last: time of the last fresh one */
} channel;

struct trace_align {
    snub_log_channel by;
    double lag;
    trace_take *take;
    void *context;
    channel engine, blower;
    long mask; /* of the rings as they are used: their size less one */
    engine_point ring[RING];
    long first, count;  /* of the part: the oldest that is still there; all */
    long at, low, high; /* cursors: the last before a sample; the stretch of its rate */
    trace_sample waiting[RING];
    long taken, come; /* of `waiting` */
    double throttle, boost, charge;
    long part, unpaired;
    double began, before; /* time and elapsed time at the start of the part */
    double now, elapsed;
};

trace_align *trace_align_open(snub_log_channel by, double lag, trace_take *take, void *context)
{
    trace_align *a = calloc(1, sizeof *a);
    if (a == NULL)
        return NULL;
    a->mask = RING_LEAST - 1;
    a->by = by;
    a->lag = lag;
    a->take = take;
    a->context = context;
    a->throttle = a->boost = a->charge = NAN;
    return a;
}

static bool is_fresh(channel *c, double time, double value)
{
    if (isnan(value) || (c->any && time <= c->last))
        return false;
    if (c->any && value == c->value && time - c->since < STOOD)
        return false;
    *c = (channel){true, value, time, time};
    return true;
}

static const engine_point *point_of(const trace_align *a, long i)
{
    return &a->ring[i & a->mask];
}

/* Twice the size, as far as there is room: what belongs into the new half goes there. @return false: there is none */
static bool grow(trace_align *a)
{
    const long size = a->mask + 1, mask = 2 * size - 1;
    if (size == RING)
        return false;
    for (long i = a->count - size > a->first ? a->count - size : a->first; i < a->count; i++)
        if ((i & mask) >= size)
            a->ring[i & mask] = a->ring[i & a->mask];
    for (long i = a->taken; i < a->come; i++)
        if ((i & mask) >= size)
            a->waiting[i & mask] = a->waiting[i & a->mask];
    a->mask = mask;
    return true;
}

static void add_engine(trace_align *a, double time, double speed)
{
    const engine_point *last = a->count > 0 ? point_of(a, a->count - 1) : NULL;
    const engine_point sum = {time, speed, (last != NULL ? last->times : 0.0) + (time - a->began),
                              (last != NULL ? last->speeds : 0.0) + speed};
    /* The next sample may be the one before the stretch of its rate. */
    if (a->count > a->mask && a->low - 1 <= a->count - 1 - a->mask)
        (void)grow(a);
    a->ring[a->count++ & a->mask] = sum;
    if (a->count - a->first > a->mask + 1)
        a->first = a->count - a->mask - 1;
}

/* Slope between the mean of the points low..at and that of at + 1..high, over a speed, in one division. */
static double slope(const trace_align *a, long low, long at, long high, double speed)
{
    const engine_point *first = point_of(a, low), *last = point_of(a, at), *end = point_of(a, high);
    const double n = (double)(at - low + 1), m = (double)(high - at);
    const double times = last->times - first->times + first->time - a->began, more_times = end->times - last->times;
    const double speeds = last->speeds - first->speeds + first->speed, more_speeds = end->speeds - last->speeds;
    return (more_speeds * n - speeds * m) / ((more_times * n - times * m) * speed);
}

/* A blower speed whose surroundings are known as far as they will be. */
static void give(trace_align *a, trace_sample *sample)
{
    const double time = sample->time - a->lag;
    a->at = a->at > a->first ? a->at : a->first;
    while (a->at + 1 < a->count && point_of(a, a->at + 1)->time <= time)
        a->at++;
    const engine_point *p = point_of(a, a->at), *q = point_of(a, a->at + 1);
    if (a->count - a->first < 2 || p->time > time || a->at + 1 >= a->count || q->time - p->time > APART_MOST) {
        const bool exact = a->count > a->first && p->time == time && a->at > a->first;
        if (!exact || time - point_of(a, a->at - 1)->time > APART_MOST) {
            a->unpaired++;
            return;
        }
        a->at--; /* the last of the part stands at the sample itself */
        p = point_of(a, a->at);
        q = point_of(a, a->at + 1);
    }
    a->low = a->low > a->first ? a->low : a->first;
    while (a->low < a->at && point_of(a, a->low)->time < time - REACH)
        a->low++;
    a->high = a->high > a->at + 1 ? a->high : a->at + 1;
    while (a->high + 1 < a->count && point_of(a, a->high + 1)->time <= time + REACH)
        a->high++;
    const long low = a->low < a->at ? a->low : a->at;
    sample->engine =
        p->time == time ? p->speed : p->speed + (q->speed - p->speed) * (time - p->time) / (q->time - p->time);
    sample->rate = sample->engine > 0.0 ? slope(a, low, a->at, a->high, sample->engine) : 0.0;
    a->take(a->context, sample);
}

static void give_until(trace_align *a, double time)
{
    while (a->taken < a->come && a->waiting[a->taken & a->mask].time - a->lag + REACH <= time)
        give(a, &a->waiting[a->taken++ & a->mask]);
}

static void begin_part(trace_align *a, const snub_log_row *row)
{
    give_until(a, INFINITY);
    a->before = a->elapsed;
    a->began = row->value[SNUB_LOG_TIME];
    a->part = row->part;
    a->engine.any = a->blower.any = false;
    a->first = a->count = a->at = a->low = a->high = a->taken = a->come = 0;
    a->throttle = a->boost = a->charge = NAN;
}

void trace_align_row(trace_align *a, const snub_log_row *row)
{
    const double time = row->value[SNUB_LOG_TIME];
    if (row->part != a->part)
        begin_part(a, row);
    a->now = time;
    a->elapsed = a->before + time - a->began;
    if (!isnan(row->value[SNUB_LOG_THROTTLE]))
        a->throttle = row->value[SNUB_LOG_THROTTLE];
    if (!isnan(row->value[SNUB_LOG_BOOST]))
        a->boost = row->value[SNUB_LOG_BOOST];
    if (!isnan(row->value[SNUB_LOG_CHARGE]))
        a->charge = row->value[SNUB_LOG_CHARGE];
    if (is_fresh(&a->engine, time, row->value[SNUB_LOG_ENGINE])) {
        add_engine(a, time, row->value[SNUB_LOG_ENGINE]);
        give_until(a, time);
    }
    if (!is_fresh(&a->blower, time, row->value[a->by]))
        return;
    if (a->come - a->taken > a->mask && !grow(a)) { /* the engine's speed has not come for so long */
        a->taken++;
        a->unpaired++;
    }
    a->waiting[a->come++ & a->mask] =
        (trace_sample){.time = time,
                       .elapsed = a->elapsed,
                       .blower = a->by == SNUB_LOG_BLOWER ? row->value[a->by] : (double)NAN,
                       .throttle = a->throttle,
                       .boost = a->boost,
                       .charge = a->charge,
                       .line = row->line,
                       .part = row->part};
}

void trace_align_end(trace_align *a)
{
    give_until(a, INFINITY);
}

long trace_align_unpaired(const trace_align *a)
{
    return a->unpaired;
}

void trace_align_close(trace_align *a)
{
    free(a);
}

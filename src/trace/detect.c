/* docs/theory/trace.md, "Slip". */
#include "detect.h"

#include <math.h>
#include <stdlib.h>

#include "boost_map.h"
#include "expected.h"

enum { WINDOW_RING = 8192, HELD = 5, SIDES = 2, LATEST = 3 };
/* Steps of engine speed in which it is kept when boost was not short; a pull passes some between two readings. */
enum { FINER = 8, STEPS = (SNUB_LOG_SPEEDS - 1) * FINER + 1, PASSED = 3 };
#define APART_MOST 1.0   /* s between samples: what was is over */
#define SPIKE_LEAST 0.05 /* a sample that is further from its neighbours' middle, and lasts for no three */
#define STANDS 3.0       /* ln of how much too slow a blower is at most: one that stands still */
#define SPIKE_NOISE 8.0  /* or so many deviations */
#define BASE_TIME 60.0   /* s in which the base follows a drift */
#define BASE_MOST 0.01   /* further it does not follow */

/* One sign of slip: the cumulative sum of what is above half the threshold. It begins where the sum last was zero and
 * ends where the sum was greatest (Page 1954). */
typedef struct side {
    bool running, on;
    double sum, best;
    long count; /* of samples since it began */
    double mean_sum, heat, boost_sum, model_boost_sum, charge_sum, model_charge_sum;
    long boosts, charges;
    double latest[LATEST];
    trace_sample worst_at;
    snub_log_slip now, kept; /* as far as it has come; at the best */
    trace_sample kept_worst;
} side;

typedef struct windowed {
    double time, value, rate;
} windowed;

typedef struct held {
    trace_sample sample;
    double value;
} held;

struct trace_detect {
    const snub_log_model *model;
    const snub_log_calibration *calibration;
    double base, drift, low, high, full, slack;
    trace_slip_take *take;
    void *context;
    held queue[HELD];
    int queued, oldest; /* of `queue`, round and round */
    double spike_most;
    windowed ring[WINDOW_RING];
    long first, count;
    double sum, rate_sum, share, mean, last_time; /* share: of one sample in the window */
    long last_part;
    bool any;
    side sides[SIDES];
    long samples, spikes;
    double calm[STEPS][2]; /* elapsed: first and last that nothing was short at that engine speed */
};

trace_detect *trace_detect_open(const snub_log_model *model, const snub_log_calibration *calibration, double base,
                                double full, double row_step, trace_slip_take *take, void *context)
{
    trace_detect *d = calloc(1, sizeof *d);
    if (d == NULL)
        return NULL;
    d->model = model;
    d->calibration = calibration;
    d->base = base;
    d->full = full;
    d->slack =
        row_step + (isfinite(calibration->lag_error) && calibration->lag_taken ? 3.0 * calibration->lag_error : 0.0);
    d->spike_most = fmax(SPIKE_LEAST, SPIKE_NOISE * calibration->noise);
    d->take = take;
    d->context = context;
    d->mean = NAN;
    for (int k = 0; k < STEPS; k++) {
        d->calm[k][0] = INFINITY;
        d->calm[k][1] = -INFINITY;
    }
    return d;
}

/* ---- a slip -------------------------------------------------------------------------------------------------------
 */

static snub_log_says says_of(const snub_log_model *model, const snub_log_point *point)
{
    return !point->solved                                                              ? SNUB_LOG_SAYS_NOTHING
           : point->worst_limit > 1.0                                                  ? SNUB_LOG_SAYS_SLIPS
           : point->worst_design > model->build->drive->limits[SNUB_LIMIT_GRIP_DESIGN] ? SNUB_LOG_SAYS_OVER_DESIGN
                                                                                       : SNUB_LOG_SAYS_HOLDS;
}

/* Of the mean over the slip: noise as over the window, less as it lasts longer. */
static double mean_error(const trace_detect *d, const snub_log_slip *slip)
{
    const double windows = (slip->end - slip->start) / d->calibration->window;
    return d->calibration->mean_noise / sqrt(fmax(windows, 1.0));
}

/* What the build says of it, at its worst. */
static void explain(const trace_detect *d, side *s)
{
    snub_log_slip *slip = &s->kept;
    slip->way = trace_way(d->model, d->full, &s->kept_worst);
    const snub_log_point point = trace_point(d->model, slip->way, s->kept_worst.engine);
    slip->worst_engine = s->kept_worst.engine;
    slip->crank_grip = point.solved ? point.crank_grip : (double)NAN;
    slip->blower_grip = point.solved ? point.blower_grip : (double)NAN;
    slip->at_crank = point.solved && point.crank_grip > point.blower_grip;
    slip->says = says_of(d->model, &point);
    slip->error = hypot(mean_error(d, slip), d->calibration->bias);
    slip->leak = slip->filter = NAN;
    if (d->calibration->source == SNUB_LOG_BY_BOOST)
        trace_alike(d->model, slip->worst_engine, slip->mean, &slip->leak, &slip->filter);
    d->take(d->context, slip);
}

static void finish_side(const trace_detect *d, side *s)
{
    if (s->running && s->on)
        explain(d, s);
    *s = (side){0};
}

/* Part of the speed that is lost, or won. */
static double depth_of(bool runs_on, double value)
{
    return runs_on ? expm1(value) : -expm1(-value);
}

/* Tractive force times slip speed, W. A pulley that slips gives or takes the force that the build has there. */
static double heat_rate(const trace_detect *d, const trace_sample *sample, double depth)
{
    const snub_log_point point = trace_point(d->model, trace_way(d->model, d->full, sample), sample->engine);
    const double force = point.crank_grip > point.blower_grip ? point.crank_force : point.blower_force;
    return point.solved ? force * fabs(depth) * sample->engine * d->model->crank_radius : (double)NAN;
}

static void begin_side(side *s, const trace_sample *sample, bool runs_on)
{
    *s = (side){.running = true};
    s->now = (snub_log_slip){.runs_on = runs_on,
                             .line = sample->line,
                             .part = sample->part,
                             .start = sample->time,
                             .elapsed = {sample->elapsed, sample->elapsed},
                             .engine = {sample->engine, sample->engine}};
    s->worst_at = *sample;
}

static void add_to_side(const trace_detect *d, side *s, const trace_sample *sample, double value, double step)
{
    double mean = 0.0;
    const double depth = depth_of(s->now.runs_on, value);
    s->latest[s->count++ % LATEST] = depth;
    s->mean_sum += depth;
    s->heat += step * heat_rate(d, sample, depth);
    if (!isnan(sample->boost)) {
        s->boost_sum += sample->boost;
        s->model_boost_sum += trace_point(d->model, SNUB_STEADY, sample->engine).boost;
        s->boosts++;
    }
    if (!isnan(sample->charge)) {
        s->charge_sum += sample->charge;
        s->model_charge_sum += trace_point(d->model, SNUB_STEADY, sample->engine).charge;
        s->charges++;
    }
    for (int i = 0; i < LATEST; i++)
        mean += s->latest[i] / LATEST;
    if (s->count >= LATEST && mean > s->now.worst) {
        s->now.worst = mean;
        s->worst_at = *sample;
    }
    s->now.end = sample->time;
    s->now.elapsed[1] = sample->elapsed;
    s->now.engine[1] = sample->engine;
    s->now.mean = s->mean_sum / (double)s->count;
    s->now.heat = s->heat;
    s->now.boost = s->boosts > 0 ? s->boost_sum / (double)s->boosts : (double)NAN;
    s->now.model_boost = s->boosts > 0 ? s->model_boost_sum / (double)s->boosts : (double)NAN;
    s->now.charge = s->charges > 0 ? s->charge_sum / (double)s->charges : (double)NAN;
    s->now.model_charge = s->charges > 0 ? s->model_charge_sum / (double)s->charges : (double)NAN;
}

static void step_side(const trace_detect *d, side *s, bool runs_on, const trace_sample *sample, double value,
                      double mean, double threshold, double step)
{
    const double over = value - 0.5 * threshold;
    if (!s->running) {
        if (!(over > 0.0))
            return;
        begin_side(s, sample, runs_on);
        step = 0.0;
    }
    s->sum += over;
    add_to_side(d, s, sample, value, step);
    if (s->sum > s->best) {
        s->best = s->sum;
        s->kept = s->now;
        s->kept_worst = s->worst_at;
    }
    s->on = s->on || mean > threshold;
    if (s->on ? mean < 0.5 * threshold : s->sum <= 0.0)
        finish_side(d, s);
}

/* ---- samples ------------------------------------------------------------------------------------------------------
 */

static void forget(trace_detect *d)
{
    for (int i = 0; i < SIDES; i++)
        finish_side(d, &d->sides[i]);
    d->first = d->count = 0;
    d->sum = d->rate_sum = 0.0;
    d->mean = NAN;
}

static void add_to_window(trace_detect *d, const trace_sample *sample, double value)
{
    const long room = d->count - d->first;
    if (room == WINDOW_RING) {
        d->sum -= d->ring[d->first & (WINDOW_RING - 1)].value;
        d->rate_sum -= d->ring[d->first & (WINDOW_RING - 1)].rate;
        d->first++;
    }
    d->ring[d->count++ & (WINDOW_RING - 1)] = (windowed){sample->time, value, fabs(sample->rate)};
    d->sum += value;
    d->rate_sum += fabs(sample->rate);
    while (d->count - d->first > TRACE_WINDOW_LEAST &&
           sample->time - d->ring[d->first & (WINDOW_RING - 1)].time >= d->calibration->window) {
        d->sum -= d->ring[d->first & (WINDOW_RING - 1)].value;
        d->rate_sum -= d->ring[d->first & (WINDOW_RING - 1)].rate;
        d->first++;
    }
    d->share = 1.0 / (double)(d->count - d->first);
    d->mean = d->count - d->first >= TRACE_WINDOW_LEAST ? d->sum * d->share : (double)NAN;
}

/* The base follows a sensor that drifts, slowly and not far, while nothing slips. */
static void follow(trace_detect *d, double value, double threshold, double step)
{
    if (d->sides[0].on || d->sides[1].on || !(fabs(value) < threshold))
        return;
    const double drift = d->drift + value * step * (1.0 / BASE_TIME);
    d->drift = drift < -BASE_MOST ? -BASE_MOST : drift > BASE_MOST ? BASE_MOST : drift;
    d->low = d->drift < d->low ? d->drift : d->low;
    d->high = d->drift > d->high ? d->drift : d->high;
}

static void note_calm(trace_detect *d, const trace_sample *sample, double at, double threshold)
{
    const long k = lround(FINER * at);
    if (k < 0 || k >= STEPS || !(fabs(d->mean) < 0.5 * threshold))
        return;
    d->calm[k][0] = fmin(d->calm[k][0], sample->elapsed);
    d->calm[k][1] = fmax(d->calm[k][1], sample->elapsed);
}

bool trace_detect_was_calm(const trace_detect *d, const snub_log_slip *slip)
{
    const double middle = 0.5 * (slip->engine[0] + slip->engine[1]);
    const long at = lround(FINER * (middle - d->model->idle) * d->model->steps_per_speed);
    for (long k = at - PASSED; k <= at + PASSED; k++)
        if (k >= 0 && k < STEPS &&
            (d->calm[k][0] < slip->elapsed[0] - APART_MOST || d->calm[k][1] > slip->elapsed[1] + APART_MOST))
            return true;
    return false;
}

static void judge(trace_detect *d, const held *h)
{
    const double step = d->any ? h->sample.time - d->last_time : 0.0;
    if (d->any && (h->sample.part != d->last_part || step > APART_MOST))
        forget(d);
    d->any = true;
    d->last_time = h->sample.time;
    d->last_part = h->sample.part;
    const double value = h->value - d->drift;
    add_to_window(d, &h->sample, value);
    const bool boost = d->calibration->source == SNUB_LOG_BY_BOOST;
    const double at = (h->sample.engine - d->model->idle) * d->model->steps_per_speed;
    const double threshold =
        d->calibration->threshold * (boost ? trace_blur(&d->model->air, at) : 1.0) + d->slack * d->rate_sum * d->share;
    step_side(d, &d->sides[0], false, &h->sample, value, d->mean, threshold, step);
    if (boost)
        note_calm(d, &h->sample, at, threshold);
    else
        step_side(d, &d->sides[1], true, &h->sample, -value, -d->mean, threshold, step);
    follow(d, value, threshold, step);
}

static const held *in_queue(const trace_detect *d, int i)
{
    return &d->queue[(d->oldest + i) % HELD];
}

static bool is_spike(const trace_detect *d, const held *h)
{
    const double most = d->spike_most + d->slack * fabs(h->sample.rate);
    double sorted[HELD];
    if (fabs(in_queue(d, 1)->value - h->value) <= most && fabs(in_queue(d, 3)->value - h->value) <= most)
        return false; /* with itself three of the five: the middle one is among them */
    for (int i = 0; i < HELD; i++) {
        const double value = in_queue(d, i)->value;
        int k = i;
        for (; k > 0 && sorted[k - 1] > value; k--)
            sorted[k] = sorted[k - 1];
        sorted[k] = value;
    }
    return fabs(h->value - sorted[HELD / 2]) > most;
}

static void judge_all(trace_detect *d, int from, int to)
{
    for (int i = from; i < to; i++)
        judge(d, in_queue(d, i));
}

/* Those that have no two on each side yet are judged as they are. */
static void flush(trace_detect *d)
{
    judge_all(d, d->queued == HELD ? HELD / 2 + 1 : 0, d->queued);
    d->queued = d->oldest = 0;
}

static void add_to_queue(trace_detect *d, const trace_sample *sample, double value)
{
    if (d->queued < HELD) {
        d->queue[d->queued++] = (held){*sample, value};
        if (d->queued == HELD)
            judge_all(d, 0, HELD / 2 + 1);
        return;
    }
    d->queue[d->oldest] = (held){*sample, value};
    d->oldest = (d->oldest + 1) % HELD;
    const held *middle = in_queue(d, HELD / 2);
    if (is_spike(d, middle))
        d->spikes++;
    else
        judge(d, middle);
}

bool trace_detect_sample(trace_detect *d, const trace_sample *sample, double expected, double *slip)
{
    const double shortfall = trace_shortfall(d->model, expected, sample);
    const bool stands = sample->engine > d->model->idle * 0.5 && !(sample->blower > 0.0);
    *slip = NAN;
    if (isnan(shortfall) && !stands)
        return false;
    const held *last = d->queued > 0 ? in_queue(d, d->queued - 1) : NULL;
    if (last != NULL && (last->sample.part != sample->part || sample->time - last->sample.time > APART_MOST))
        flush(d);
    d->samples++;
    const double value = shortfall - d->base;
    add_to_queue(d, sample, stands || value > STANDS ? STANDS : value);
    *slip = d->mean;
    return true;
}

void trace_detect_end(trace_detect *d)
{
    flush(d);
    forget(d);
}

long trace_detect_samples(const trace_detect *d)
{
    return d->samples;
}

long trace_detect_spikes(const trace_detect *d)
{
    return d->spikes;
}

void trace_detect_drift(const trace_detect *d, double drift[2])
{
    drift[0] = d->low;
    drift[1] = d->high;
}

void trace_detect_close(trace_detect *d)
{
    free(d);
}

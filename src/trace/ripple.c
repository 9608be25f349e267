/* docs/theory/trace.md, "Slip from ripple": boost against the angle that the blower would turn without slip, so that a
 * pull does not smear the peak. */
#include "ripple.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { ROOM = 4096, GRID_MOST = ROOM, FINER = 4, ROWS_LEAST = 64, FRESH_LEAST = 3 };
enum { HARMONICS = 8 /* of the firing that can be as strong as the blower. Rule of thumb, no published source */ };
#define SPAN_LEAST 0.1    /* s */
#define SPAN_MOST 0.3     /* s */
#define PULSES_LEAST 40.0 /* in a window, up to SPAN_MOST */
#define NYQUIST 0.45      /* of the rate: up to there a pulse is seen at its own frequency */
#define SLIP_LOW (-0.1)   /* share of speed that is looked for */
#define SLIP_HIGH 0.45
#define CLEAR 20.0 /* peak over the middle of all: noise alone has that once in some 7000 windows */
#define NEAR 0.1   /* slip from that of the window before, over which a peak counts less */
#define MASK 2.0   /* steps of resolution: so wide is a line under a raised cosine, to either side */
#define GAP 4.0    /* rows that may be out of step */
#define HALF 0.5

struct trace_ripple {
    const snub_log_model *model;
    double pulses;
    trace_row_take *take;
    void *context;
    long count, part; /* rows of the window */
    double time[ROOM], boost[ROOM], engine[ROOM], throttle[ROOM];
    double charge; /* the last that came: it is slow */
    long line[ROOM];
    double power[GRID_MOST], re[GRID_MOST], im[GRID_MOST], sorted[GRID_MOST];
    double before; /* slip of the window before; NAN: none */
    snub_log_ripple told;
};

/* A window: time from its middle by a straight line through the rows' times, engine speed likewise. */
typedef struct window {
    double middle, step, span; /* s; s between rows; s */
    double speed, gain;        /* of the engine at the middle, rad/s; rad/s^2 */
    double frequency;          /* of the pulses without slip, Hz */
} window;

trace_ripple *trace_ripple_open(const snub_log_model *model, double pulses, trace_row_take *take, void *context)
{
    trace_ripple *r = calloc(1, sizeof *r);
    if (r == NULL)
        return NULL;
    r->model = model;
    r->pulses = pulses;
    r->take = take;
    r->context = context;
    r->before = r->charge = NAN;
    r->told = (snub_log_ripple){.pulses = pulses,
                                .rate_needed = pulses * model->ratio * model->redline / (2.0 * SNUB_PI * NYQUIST)};
    return r;
}

/* Straight line through n points. @return false: they stand in one place */
static bool line_through(const double *x, const double *y, long n, double *at_zero, double *slope)
{
    double sx = 0, sy = 0, sxx = 0, sxy = 0;
    for (long i = 0; i < n; i++) {
        sx += x[i];
        sy += y[i];
    }
    for (long i = 0; i < n; i++) {
        sxx += (x[i] - sx / (double)n) * (x[i] - sx / (double)n);
        sxy += (x[i] - sx / (double)n) * (y[i] - sy / (double)n);
    }
    if (!(sxx > 0.0))
        return false;
    *slope = sxy / sxx;
    *at_zero = sy / (double)n - *slope * sx / (double)n;
    return true;
}

/* A logger's clock may tick more coarsely than it logs: rows are evenly apart, as their times have it on average. */
static bool find_times(trace_ripple *r, window *w)
{
    double *index = r->re, first;
    for (long i = 0; i < r->count; i++)
        index[i] = (double)i;
    if (!line_through(index, r->time, r->count, &first, &w->step) || !(w->step > 0.0))
        return false;
    for (long i = 0; i < r->count; i++)
        if (fabs(r->time[i] - first - w->step * (double)i) > GAP * w->step)
            return false;
    w->middle = first + w->step * 0.5 * (double)(r->count - 1);
    w->span = w->step * (double)r->count;
    return true;
}

/* By the speeds that are new; a logger repeats them between. */
static bool find_speed(trace_ripple *r, window *w)
{
    double *at = r->re, *speed = r->im;
    long n = 0;
    for (long i = 1; i < r->count; i++)
        if (!isnan(r->engine[i]) && r->engine[i] != r->engine[i - 1]) {
            at[n] = w->step * ((double)i - 0.5 * (double)(r->count - 1));
            speed[n++] = r->engine[i];
        }
    if (n < FRESH_LEAST) {
        w->speed = r->engine[r->count / 2];
        w->gain = 0.0;
    } else if (!line_through(at, speed, n, &w->speed, &w->gain)) {
        return false;
    }
    w->frequency = r->pulses * r->model->ratio * w->speed / (2.0 * SNUB_PI);
    return w->speed > HALF * r->model->idle;
}

/* Power over slip: the sum of what each row has at the angle that the blower would have by then. Each row's angle of
 * one step of slip turns its own share on from one place of the grid to the next. */
static void find_power(trace_ripple *r, const window *w, double step, long places)
{
    double mean = 0.0;
    for (long i = 0; i < r->count; i++)
        mean += r->boost[i] / (double)r->count;
    memset(r->re, 0, (size_t)places * sizeof *r->re);
    memset(r->im, 0, (size_t)places * sizeof *r->im);
    for (long i = 0; i < r->count; i++) {
        const double share = ((double)i + 0.5) / (double)r->count,
                     t = w->step * ((double)i - 0.5 * (double)(r->count - 1));
        const double angle = r->pulses * r->model->ratio * (w->speed + 0.5 * w->gain * t) * t;
        const double value = (r->boost[i] - mean) * (1.0 - cos(2.0 * SNUB_PI * share));
        double x = value * cos(angle * (1.0 - SLIP_LOW)), y = -value * sin(angle * (1.0 - SLIP_LOW));
        const double turn_x = cos(angle * step), turn_y = sin(angle * step);
        for (long k = 0; k < places; k++) {
            r->re[k] += x;
            r->im[k] += y;
            const double next = x * turn_x - y * turn_y;
            y = x * turn_y + y * turn_x;
            x = next;
        }
    }
    for (long k = 0; k < places; k++)
        r->power[k] = r->re[k] * r->re[k] + r->im[k] * r->im[k];
}

/* Is a frequency that of an engine's order of firing, or what the rate makes of one? */
static bool is_engines(const trace_ripple *r, const window *w, double frequency)
{
    const snub_engine *engine = &r->model->build->drive->engine;
    const double rate = 1.0 / w->step, firing = w->speed / (2.0 * SNUB_PI) * 2.0 * engine->cylinders / engine->strokes;
    for (int harmonic = 1; harmonic <= HARMONICS; harmonic++) {
        const double order = harmonic * firing, folded = fabs(order - rate * round(order / rate));
        if (fabs(folded - frequency) * w->span < MASK)
            return true;
    }
    return false;
}

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return x < y ? -1 : x > y;
}

/* The peak that stands out, the nearer to the one before the better. @return NAN: none does */
static double find_peak(trace_ripple *r, const window *w, double step, long places)
{
    long best = -1, kept = 0;
    double most = 0.0;
    for (long k = 0; k < places; k++) {
        const double slip = SLIP_LOW + step * (double)k, off = isnan(r->before) ? 0.0 : (slip - r->before) / NEAR;
        if (is_engines(r, w, w->frequency * (1.0 - slip)))
            continue;
        r->sorted[kept++] = r->power[k];
        if (k > 0 && k + 1 < places && r->power[k] >= r->power[k - 1] && r->power[k] >= r->power[k + 1] &&
            r->power[k] > most * (1.0 + off * off)) {
            most = r->power[k] / (1.0 + off * off);
            best = k;
        }
    }
    if (best < 0)
        return NAN;
    qsort(r->sorted, (size_t)kept, sizeof *r->sorted, by_size);
    if (!(r->power[best] > CLEAR * r->sorted[kept / 2]))
        return NAN;
    const double a = log(r->power[best - 1]), b = log(r->power[best]), c = log(r->power[best + 1]);
    const double bend = a - 2.0 * b + c;
    return SLIP_LOW + step * ((double)best + (bend < 0.0 ? 0.5 * (a - c) / bend : 0.0));
}

static double mean_of(const double *values, long count)
{
    double sum = 0.0;
    for (long i = 0; i < count; i++)
        sum += values[i];
    return sum / (double)count;
}

static snub_status judge(trace_ripple *r)
{
    window w = {0};
    if (r->count < FRESH_LEAST || !find_times(r, &w) || !find_speed(r, &w))
        return SNUB_OK;
    r->told.windows++;
    r->told.rate = fmax(r->told.rate, 1.0 / w.step);
    double slip = NAN;
    const double step = 1.0 / (FINER * w.frequency * w.span);
    const long all = (long)((SLIP_HIGH - SLIP_LOW) / step), places = all < GRID_MOST ? all : GRID_MOST;
    if (w.frequency * w.step > NYQUIST) {
        r->told.fast++;
    } else if (is_engines(r, &w, w.frequency)) {
        r->told.engines++;
    } else if (r->count < ROWS_LEAST) {
        r->told.weak++;
    } else {
        find_power(r, &w, step, places);
        slip = find_peak(r, &w, step, places);
        r->told.weak += isnan(slip);
    }
    r->before = slip;
    const long at = r->count / 2;
    const snub_log_row row = {.line = r->line[at],
                              .part = r->part,
                              .value = {[SNUB_LOG_TIME] = w.middle,
                                        [SNUB_LOG_ENGINE] = w.speed,
                                        [SNUB_LOG_BLOWER] = r->model->ratio * w.speed * (1.0 - slip),
                                        [SNUB_LOG_THROTTLE] = r->throttle[at],
                                        [SNUB_LOG_BOOST] = mean_of(r->boost, r->count),
                                        [SNUB_LOG_CHARGE] = r->charge}};
    return r->take(r->context, &row);
}

/* Half of a window is in the next as well. */
static void keep_half(trace_ripple *r)
{
    const long from = r->count / 2, left = r->count - from;
    double *const columns[] = {r->time, r->boost, r->engine, r->throttle};
    for (size_t c = 0; c < sizeof columns / sizeof columns[0]; c++)
        memmove(columns[c], columns[c] + from, (size_t)left * sizeof(double));
    memmove(r->line, r->line + from, (size_t)left * sizeof *r->line);
    r->count = left;
}

/* s that a window is to have at this engine speed */
static double span_of(const trace_ripple *r, double engine)
{
    const double frequency = r->pulses * r->model->ratio * engine / (2.0 * SNUB_PI);
    return fmin(fmax(PULSES_LEAST / frequency, SPAN_LEAST), SPAN_MOST);
}

snub_status trace_ripple_row(trace_ripple *r, const snub_log_row *row)
{
    const double time = row->value[SNUB_LOG_TIME], boost = row->value[SNUB_LOG_BOOST];
    if (isnan(boost))
        return SNUB_OK;
    if (r->count > 0 && (row->part != r->part || time - r->time[r->count - 1] > SPAN_LEAST)) {
        r->count = 0;
        r->before = NAN;
    }
    const long i = r->count++;
    const bool given = !isnan(row->value[SNUB_LOG_ENGINE]);
    r->part = row->part;
    r->time[i] = time;
    r->boost[i] = boost;
    r->engine[i] = given || i == 0 ? row->value[SNUB_LOG_ENGINE] : r->engine[i - 1];
    r->throttle[i] = isnan(row->value[SNUB_LOG_THROTTLE]) && i > 0 ? r->throttle[i - 1] : row->value[SNUB_LOG_THROTTLE];
    if (!isnan(row->value[SNUB_LOG_CHARGE]))
        r->charge = row->value[SNUB_LOG_CHARGE];
    r->line[i] = row->line;
    if (r->count < ROOM && time - r->time[0] < span_of(r, r->engine[i]))
        return SNUB_OK;
    const snub_status status = judge(r);
    keep_half(r);
    return status;
}

void trace_ripple_told(const trace_ripple *r, snub_log_ripple *told)
{
    *told = r->told;
}

void trace_ripple_close(trace_ripple *r)
{
    free(r);
}

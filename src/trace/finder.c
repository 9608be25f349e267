/* One pass: rows are held until there are enough to calibrate by, then judged with all that follow. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "align.h"
#include "bins.h"
#include "boost.h"
#include "calibrate.h"
#include "detect.h"
#include "expected.h"
#include "pulls.h"
#include "ripple.h"

const char *const snub_log_source_words[] = {"any", "speed", "boost", "ripple", NULL};

enum { HELD_MOST = 200000, REFINED = 3, THROTTLES = 20000 };
#define DRIFT_MOST 0.005
#define LEAST_WANTED 0.03
#define BOOST_LEAST_WANTED 0.05
#define BOOST_LATE 0.1 /* s that boost may come late: it is not told from a build whose air is off. Rule of thumb */
#define BAD_MOST 0.01
#define FULL_SHARE 0.99 /* of the throttle's values lie under what is taken for full */

typedef struct events {
    void *items;
    size_t size;
    int count, room;
    long more;
    bool failed;
} events;

struct snub_log_finder {
    const snub_log_model *model;
    const snub_log_offer *offers;
    int offer_count;
    snub_log_source by; /* as the user has it */
    trace_boost boost;
    trace_ripple *ripple; /* NULL: not by it */
    snub_log_row *held;
    long held_count, held_room;
    trace_sample *samples; /* of the held rows */
    long sample_count, sample_room;
    bool ready, failed; /* calibrated; memory is out */
    snub_status status; /* of a calibration that failed: said at the end */
    snub_error why;
    double full, base, own; /* greatest throttle; of the shortfall; the log's ratio over the build's */
    snub_log_calibration calibration;
    trace_align *align;
    trace_detect *detect;
    trace_pulls pulls;
    trace_bins bins;
    events slips, pulled, changes;
    snub_log_sample_take *hand_on;
    void *hand_on_to;
};

static void add_event(events *e, const void *item)
{
    if (e->count == SNUB_LOG_EVENTS_MOST) {
        e->more++;
        return;
    }
    if (e->count == e->room) {
        const int room = e->room > 0 ? 2 * e->room : 16;
        void *grown = realloc(e->items, (size_t)room * e->size);
        if (grown == NULL) {
            e->failed = true;
            return;
        }
        e->items = grown;
        e->room = room;
    }
    memcpy((char *)e->items + (size_t)e->count++ * e->size, item, e->size);
}

static void take_slip(void *context, const snub_log_slip *slip)
{
    add_event(&((snub_log_finder *)context)->slips, slip);
}

static void take_pull(void *context, bool change, const snub_log_pull *pull)
{
    snub_log_finder *f = context;
    add_event(change ? &f->changes : &f->pulled, pull);
}

static snub_status take_row(void *context, const snub_log_row *row);

snub_log_finder *snub_log_finder_open(const snub_log_model *model, const snub_log_offer *offers, int offer_count,
                                      snub_log_source by, double pulses)
{
    snub_log_finder *f = calloc(1, sizeof *f);
    if (f == NULL)
        return NULL;
    f->model = model;
    f->offers = offers;
    f->offer_count = offer_count;
    f->by = by;
    f->slips.size = sizeof(snub_log_slip);
    f->pulled.size = f->changes.size = sizeof(snub_log_pull);
    trace_pulls_init(&f->pulls, model, take_pull, f);
    if (by == SNUB_LOG_BY_RIPPLE)
        f->ripple = trace_ripple_open(model, pulses, take_row, f);
    if (by != SNUB_LOG_BY_RIPPLE || f->ripple != NULL)
        return f;
    snub_log_finder_close(f);
    return NULL;
}

void snub_log_finder_hand_on(snub_log_finder *f, snub_log_sample_take *take, void *context)
{
    f->hand_on = take;
    f->hand_on_to = context;
}

static bool by_boost(const snub_log_finder *f)
{
    return f->calibration.source == SNUB_LOG_BY_BOOST;
}

/* ---- calibration --------------------------------------------------------------------------------------------------
 */

static void keep_sample(void *context, const trace_sample *sample)
{
    snub_log_finder *f = context;
    trace_sample known = *sample;
    if (by_boost(f) && !trace_boost_infer(&f->boost, &known))
        return;
    if (f->sample_count == f->sample_room) {
        const long room = f->sample_room > 0 ? 2 * f->sample_room : 1024;
        trace_sample *grown = realloc(f->samples, (size_t)room * sizeof *grown);
        f->failed = f->failed || grown == NULL;
        if (grown == NULL)
            return;
        f->samples = grown;
        f->sample_room = room;
    }
    f->samples[f->sample_count++] = known;
}

static trace_align *open_align(snub_log_finder *f, double lag, trace_take *take)
{
    trace_boost_init(&f->boost, f->model, f->full);
    return trace_align_open(by_boost(f) ? SNUB_LOG_BOOST : SNUB_LOG_BLOWER, lag, take, f);
}

static bool pair_up(snub_log_finder *f, double lag)
{
    trace_align *align = open_align(f, lag, keep_sample);
    f->sample_count = 0;
    if (align == NULL)
        return false;
    for (long i = 0; i < f->held_count; i++)
        trace_align_row(align, &f->held[i]);
    trace_align_end(align);
    trace_align_close(align);
    return !f->failed;
}

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return x < y ? -1 : x > y;
}

/* @return false: memory is out */
static bool find_full(snub_log_finder *f)
{
    double *values = malloc((size_t)(f->held_count > 0 ? f->held_count : 1) * sizeof *values);
    long count = 0;
    if (values == NULL)
        return false;
    const long step = f->held_count / THROTTLES + 1;
    for (long i = 0; i < f->held_count; i += step)
        if (!isnan(f->held[i].value[SNUB_LOG_THROTTLE]))
            values[count++] = f->held[i].value[SNUB_LOG_THROTTLE];
    qsort(values, (size_t)count, sizeof *values, by_size);
    f->full = count > 0 ? values[(long)(FULL_SHARE * (double)(count - 1))] : (double)NAN;
    free(values);
    return true;
}

static double row_step(const snub_log_finder *f)
{
    double sum = 0.0;
    long count = 0;
    for (long i = 1; i < f->held_count; i++) {
        const double step = f->held[i].value[SNUB_LOG_TIME] - f->held[i - 1].value[SNUB_LOG_TIME];
        if (f->held[i].part == f->held[i - 1].part && step > 0.0 && step < 1.0) {
            sum += step;
            count++;
        }
    }
    return count > 0 ? sum / (double)count : 0.0;
}

static snub_status too_few(const snub_log_finder *f, snub_error *error)
{
    if (!f->failed && by_boost(f))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL,
                         "only %ld boosts of the log tell a blower speed; %d are needed: %ld were logged before the "
                         "throttle had been open for 0.3 s, %ld where boost depends too little on the blower's speed",
                         f->sample_count, TRACE_SAMPLES_LEAST, f->boost.shut, f->boost.blunt);
    return f->failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory")
                     : snub_fail(error, SNUB_BAD_INPUT, NULL, NULL,
                                 "only %ld blower speeds of the log have an engine speed above half of idle beside "
                                 "them; %d are needed",
                                 f->sample_count, TRACE_SAMPLES_LEAST);
}

static bool fit(snub_log_finder *f, double *left, double *wrong)
{
    return trace_fit(f->model, f->full, f->samples, f->sample_count, &f->base, left, wrong);
}

/* The lag is found by samples that were paired with what is known of it so far, until nothing is left of it. */
static snub_status find_lag(snub_log_finder *f, snub_error *error)
{
    double lag = 0.0, left = 0.0, wrong = INFINITY;
    for (int round = 0; round <= REFINED; round++) {
        lag = fmin(fmax(lag + left, -TRACE_LAG_MOST), TRACE_LAG_MOST);
        if (!pair_up(f, lag) || !fit(f, &left, &wrong))
            return too_few(f, error);
        if (left == 0.0)
            break;
    }
    f->calibration.lag = lag;
    f->calibration.lag_error = wrong;
    f->calibration.lag_taken = lag != 0.0;
    return SNUB_OK;
}

static void judge_sample(void *context, const trace_sample *sample)
{
    snub_log_finder *f = context;
    double slip = NAN;
    const bool open = trace_is_open(f->model, f->full, sample);
    const double expected = trace_expected(f->model, open, sample);
    const double boost = open && !isnan(sample->boost) ? trace_full_boost(f->model, sample->engine) : (double)NAN;
    trace_pulls_sample(&f->pulls, sample, open);
    if (!by_boost(f)) {
        (void)trace_detect_sample(f->detect, sample, expected, &slip);
        if (f->hand_on != NULL)
            f->hand_on(f->hand_on_to, &(snub_log_sample){.time = sample->time,
                                                         .engine = sample->engine,
                                                         .blower = sample->blower,
                                                         .gain = sample->rate,
                                                         .boost = sample->boost,
                                                         .open = open,
                                                         .part = sample->part});
        trace_bins_add(&f->bins, sample, f->own * expected, slip, boost);
        return;
    }
    trace_sample known = *sample;
    if (trace_boost_infer(&f->boost, &known))
        (void)trace_detect_sample(f->detect, &known, expected, &slip);
    trace_bins_add(&f->bins, &known, f->own * expected, slip, boost);
}

static bool has(const snub_log_finder *f, snub_log_channel channel)
{
    for (long i = 0; i < f->held_count; i++)
        if (!isnan(f->held[i].value[channel]))
            return true;
    return false;
}

/* Enough windows with a peak of the pulses, or why there are not. */
static snub_status find_pulses(snub_log_finder *f, snub_error *error)
{
    snub_log_ripple *told = &f->calibration.ripple;
    trace_ripple_told(f->ripple, told);
    const long good = told->windows - told->fast - told->engines - told->weak;
    if (good >= TRACE_SAMPLES_LEAST)
        return SNUB_OK;
    if (told->windows == 0)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL,
                         "the log has no stretch of evenly logged boost in which a ripple could be seen: up to redline "
                         "%.0f rows a second are needed",
                         told->rate_needed);
    if (told->fast >= told->weak && told->fast >= told->engines)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL,
                         "the log has %.0f rows a second; %g pulses a turn of the blower need %.0f up to redline",
                         told->rate, told->pulses, told->rate_needed);
    if (told->engines >= told->weak)
        return snub_fail(
            error, SNUB_BAD_INPUT, NULL, NULL,
            "the blower's pulses cannot be told from the engine's: at this ratio %g a turn lie on an order "
            "of its firing in %ld of %ld stretches",
            told->pulses, told->engines, told->windows);
    return snub_fail(
        error, SNUB_BAD_INPUT, NULL, NULL,
        "in %ld of %ld stretches of the log no ripple of %g pulses a turn stands out: are there so many, and "
        "is the sensor near the blower and its signal not filtered?",
        told->weak, told->windows, told->pulses);
}

/* What the blower's speed is taken from: as the user says, else what the log has. */
static snub_status find_source(snub_log_finder *f, snub_error *error)
{
    const bool speed = has(f, SNUB_LOG_BLOWER), boost = has(f, SNUB_LOG_BOOST);
    const snub_log_source by = f->by != SNUB_LOG_BY_ANY ? f->by : speed ? SNUB_LOG_BY_SPEED : SNUB_LOG_BY_BOOST;
    f->calibration.source = by;
    if (by == SNUB_LOG_BY_RIPPLE)
        return find_pulses(f, error);
    if (by == SNUB_LOG_BY_SPEED ? !speed : !boost)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL,
                         by == SNUB_LOG_BY_SPEED ? "the log has no blower speed"
                                                 : "the log has no boost to take the blower's speed from");
    if (by == SNUB_LOG_BY_BOOST && !f->model->air.given)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "blower",
                         "the blower's speed can only be taken from boost where the file says enough of engine and "
                         "blower for snub sweep to give boost");
    if (by == SNUB_LOG_BY_BOOST && !(f->model->air.sharpest > 0.0))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "blower",
                         "by the file the blower makes no boost that depends on its speed: log the blower's speed");
    return SNUB_OK;
}

/* With boost no lag is looked for: a build whose fill of the engine is off a little looks the same. */
static snub_status find_base(snub_log_finder *f, snub_error *error)
{
    if (!by_boost(f))
        return find_lag(f, error);
    if (!pair_up(f, 0.0) || f->sample_count < TRACE_SAMPLES_LEAST)
        return too_few(f, error);
    f->failed = !trace_fit_base(f->model, f->full, f->samples, f->sample_count, &f->base);
    return f->failed ? too_few(f, error) : SNUB_OK;
}

static snub_status calibrate(snub_log_finder *f, snub_error *error)
{
    f->ready = true;
    if (!find_full(f))
        f->failed = true;
    snub_status status = find_source(f, error);
    if (status == SNUB_OK)
        status = find_base(f, error);
    if (status != SNUB_OK)
        return status;
    if (!trace_noise(f->model, f->full, f->samples, f->sample_count, f->base, &f->calibration))
        return too_few(f, error);
    trace_name_offset(f->model, f->offers, f->offer_count, &f->calibration);
    f->own = exp(-f->base);
    free(f->samples);
    f->samples = NULL;
    f->sample_room = 0;
    f->align = open_align(f, f->calibration.lag, judge_sample);
    const double late = by_boost(f)         ? row_step(f) + BOOST_LATE
                        : f->ripple != NULL ? 1.0 / f->calibration.ripple.rate /* of the log's rows, not of windows */
                                            : row_step(f);
    f->detect = trace_detect_open(f->model, &f->calibration, f->base, f->full, late, take_slip, f);
    if (f->align == NULL || f->detect == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (long i = 0; i < f->held_count; i++)
        trace_align_row(f->align, &f->held[i]);
    free(f->held);
    f->held = NULL;
    return SNUB_OK;
}

/* ---- rows ---------------------------------------------------------------------------------------------------------
 */

snub_status snub_log_finder_row(void *finder, const snub_log_row *row)
{
    snub_log_finder *f = finder;
    return f->ripple != NULL ? trace_ripple_row(f->ripple, row) : take_row(f, row);
}

static snub_status take_row(void *finder, const snub_log_row *row)
{
    snub_log_finder *f = finder;
    if (f->status != SNUB_OK)
        return SNUB_OK;
    if (f->ready) {
        trace_align_row(f->align, row);
        return f->slips.failed || f->pulled.failed || f->changes.failed ? SNUB_NO_MEMORY : SNUB_OK;
    }
    if (f->held_count == f->held_room) {
        const long room = f->held_room > 0 ? 2 * f->held_room : 4096;
        snub_log_row *grown = realloc(f->held, (size_t)room * sizeof *grown);
        if (grown == NULL)
            return SNUB_NO_MEMORY;
        f->held = grown;
        f->held_room = room;
    }
    f->held[f->held_count++] = *row;
    if (f->held_count == HELD_MOST)
        f->status = calibrate(f, &f->why);
    return f->status == SNUB_NO_MEMORY ? SNUB_NO_MEMORY : SNUB_OK;
}

/* A filter or a leak is there whenever the engine turns so fast; without a throttle a foot that lifts is as well. */
static void find_alike(const snub_log_finder *f, snub_log_answer *answer)
{
    const bool throttle = answer->rows->column[SNUB_LOG_THROTTLE].number > 0;
    for (int i = 0; i < answer->slip_count && by_boost(f); i++)
        answer->slips[i].alike =
            throttle && trace_detect_was_calm(f->detect, &answer->slips[i]) ? SNUB_LOG_ALIKE_BRIEF : SNUB_LOG_ALIKE_AIR;
}

static void doubt(snub_log_answer *answer)
{
    const snub_log_calibration *c = &answer->calibration;
    const bool boost = c->source == SNUB_LOG_BY_BOOST;
    bool slips = answer->more_slips > 0;
    if (c->fit != SNUB_LOG_FITS_BUILD)
        answer->doubts |= SNUB_LOG_DOUBT_OFFSET;
    if (c->least > (boost ? BOOST_LEAST_WANTED : LEAST_WANTED))
        answer->doubts |= SNUB_LOG_DOUBT_BLIND;
    if (!boost && c->drift[1] - c->drift[0] > DRIFT_MOST)
        answer->doubts |= SNUB_LOG_DOUBT_DRIFT;
    if ((double)answer->rows->bad > BAD_MOST * (double)answer->rows->read)
        answer->doubts |= SNUB_LOG_DOUBT_ROWS;
    for (int i = 0; i < answer->slip_count; i++) {
        const snub_log_slip *slip = &answer->slips[i];
        const bool unsure = slip->alike == SNUB_LOG_ALIKE_AIR && slip->says != SNUB_LOG_SAYS_SLIPS;
        slips = slips || (!slip->runs_on && !unsure);
        if (unsure)
            answer->doubts |= SNUB_LOG_DOUBT_ALIKE;
        if (answer->slips[i].runs_on)
            answer->doubts |= SNUB_LOG_DOUBT_RUNS_ON;
    }
    answer->level = slips ? SNUB_FAIL : answer->doubts != 0 ? SNUB_MARGINAL : SNUB_PASS;
}

/* Rows that would lie further apart than any logger puts them: the unit of the time was guessed wrong. */
static bool guessed_wrong(const snub_log_rows *rows)
{
    enum { STEP_MOST = 5 };
    return rows->column[SNUB_LOG_TIME].assumed && !rows->column[SNUB_LOG_TIME].clock &&
           rows->seconds > (double)STEP_MOST * (double)rows->used;
}

snub_status snub_log_finder_end(snub_log_finder *f, const snub_log_rows *rows, snub_log_answer *answer,
                                snub_error *error)
{
    if (guessed_wrong(rows))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "time",
                         "the log gives no unit of time, and rows that are %.3g s apart are unlikely: say it, as in "
                         "--unit time=ms",
                         rows->seconds / (double)rows->used);
    if (!f->ready)
        f->status = calibrate(f, &f->why);
    if (f->status != SNUB_OK && error != NULL)
        *error = f->why;
    if (f->status != SNUB_OK)
        return f->status;
    trace_align_end(f->align);
    trace_detect_end(f->detect);
    trace_pulls_end(&f->pulls);
    trace_bins_close(&f->bins);
    if (f->failed || f->slips.failed || f->pulled.failed || f->changes.failed)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    trace_detect_drift(f->detect, f->calibration.drift);
    *answer = (snub_log_answer){.model = f->model,
                                .rows = rows,
                                .calibration = f->calibration,
                                .samples = trace_detect_samples(f->detect),
                                .unpaired = trace_align_unpaired(f->align),
                                .spikes = trace_detect_spikes(f->detect),
                                .slip_count = f->slips.count,
                                .pull_count = f->pulled.count,
                                .change_count = f->changes.count,
                                .more_slips = f->slips.more,
                                .more_pulls = f->pulled.more,
                                .more_changes = f->changes.more,
                                .slips = f->slips.items,
                                .pulls = f->pulled.items,
                                .changes = f->changes.items,
                                .bin_count = f->bins.count,
                                .bins = f->bins.bin};
    if (f->ripple != NULL)
        trace_ripple_told(f->ripple, &answer->calibration.ripple);
    answer->calibration.shut = f->boost.shut;
    answer->calibration.blunt = f->boost.blunt;
    find_alike(f, answer);
    doubt(answer);
    return SNUB_OK;
}

void snub_log_finder_close(snub_log_finder *f)
{
    if (f == NULL)
        return;
    trace_align_close(f->align);
    trace_detect_close(f->detect);
    trace_ripple_close(f->ripple);
    free(f->held);
    free(f->samples);
    free(f->slips.items);
    free(f->pulled.items);
    free(f->changes.items);
    free(f);
}

/* docs/theory/trace.md, "Calibration". */
#include "calibrate.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "align.h"
#include "boost_map.h"
#include "expected.h"
#include "snub/distributions.h"

enum { PAIRS = 20000, ROUNDS = 8, DENSEST_MOST = 20000, FITTED_MOST = 50000, BLOCKS_LEAST = 10 };
#define MAD 1.4826      /* standard deviation of a normal distribution over its median deviation */
#define KEPT 3.0        /* deviations */
#define SURE 4.0        /* deviations from which a lag is one */
#define LAG_LEAST 0.002 /* s */
#define FOUND 2.326     /* deviations: 99 of 100 */
#define OFFSET_MOST 0.015
#define BOOST_OFFSET_MOST 0.05 /* of boost: so far two engines of a kind differ. Rule of thumb, no published source */
#define OFFER_NEAR 0.01
#define TEETH_NEAR 0.005
enum { TEETH_MOST = 6 };

static double shortfall(const snub_log_model *model, double full, const trace_sample *sample)
{
    return trace_shortfall(model, trace_expected(model, trace_is_open(model, full, sample), sample), sample);
}

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return x < y ? -1 : x > y;
}

/* The k-th smallest; values are put in another order (Hoare 1961). */
static double smallest(double *values, long count, long k)
{
    long low = 0, high = count - 1;
    while (low < high) {
        const double pivot = values[low + (high - low) / 2];
        long i = low, j = high;
        while (i <= j) {
            while (values[i] < pivot)
                i++;
            while (values[j] > pivot)
                j--;
            if (i <= j) {
                const double swap = values[i];
                values[i++] = values[j];
                values[j--] = swap;
            }
        }
        if (k <= j)
            high = j;
        else if (k >= i)
            low = i;
        else
            break;
    }
    return values[k];
}

static double median(double *values, long count)
{
    const double upper = smallest(values, count, count / 2);
    return count % 2 != 0 ? upper : 0.5 * (upper + smallest(values, count, count / 2 - 1));
}

/* Mean of the shortest stretch that holds half of the values: where most of them lie, however far the rest are. */
static double densest(double *values, long count)
{
    if (count > DENSEST_MOST) { /* so many tell it as well */
        for (long i = 0; i < DENSEST_MOST; i++)
            values[i] = values[i * count / DENSEST_MOST];
        count = DENSEST_MOST;
    }
    const long half = count / 2 + 1;
    long best = 0;
    double sum = 0.0;
    qsort(values, (size_t)count, sizeof *values, by_size);
    for (long i = 1; i + half <= count; i++)
        if (values[i + half - 1] - values[i] < values[best + half - 1] - values[best])
            best = i;
    for (long i = best; i < best + half; i++)
        sum += values[i];
    return sum / (double)half;
}

typedef struct slope {
    double value, weight;
} slope;

static int by_value(const void *a, const void *b)
{
    const slope *x = a, *y = b;
    return x->value < y->value ? -1 : x->value > y->value;
}

/* What a fit works on: usable samples. */
typedef struct fitted {
    long count;
    double *y, *g, *scratch;
} fitted;

static void fitted_free(fitted *f)
{
    free(f->y);
    free(f->g);
    free(f->scratch);
}

static bool gather(const snub_log_model *model, double full, const trace_sample *samples, long count, fitted *f)
{
    const size_t room = (size_t)(count > 0 ? count : 1);
    *f = (fitted){0, malloc(room * sizeof(double)), malloc(room * sizeof(double)), malloc(room * sizeof(double))};
    if (f->y == NULL || f->g == NULL || f->scratch == NULL)
        return false;
    const long step = count / FITTED_MOST + 1; /* so many tell it as well as all */
    for (long i = 0; i < count; i += step) {
        f->y[f->count] = shortfall(model, full, &samples[i]);
        f->g[f->count] = samples[i].rate;
        f->count += isfinite(f->y[f->count]) && isfinite(f->g[f->count]);
    }
    return true;
}

/* Slope of y over g by pairs, the middle one by weight: it needs no base, and slip of a quarter of the samples does not
 * move it far. Pairs are drawn by a fixed rule, so that the same log gives the same answer. */
static double pair_slope(const fitted *f, slope *slopes)
{
    unsigned long seed = 1;
    int count = 0;
    double sum = 0.0, half = 0.0;
    for (int k = 0; k < PAIRS; k++) {
        seed = seed * 6364136223846793005UL + 1442695040888963407UL;
        const long i = (long)((seed >> 33) % (unsigned long)f->count);
        seed = seed * 6364136223846793005UL + 1442695040888963407UL;
        const long j = (long)((seed >> 33) % (unsigned long)f->count);
        const double apart = fabs(f->g[i] - f->g[j]);
        if (apart > 1e-9) {
            slopes[count++] = (slope){(f->y[i] - f->y[j]) / (f->g[i] - f->g[j]), apart};
            sum += apart;
        }
    }
    qsort(slopes, (size_t)count, sizeof *slopes, by_value);
    for (int k = 0; k < count; k++) {
        half += slopes[k].weight;
        if (half >= 0.5 * sum)
            return slopes[k].value;
    }
    return 0.0;
}

/* Least squares over the samples within KEPT deviations of the fit before. */
static void trim_fit(const fitted *f, double *base, double *lag, double *error)
{
    for (int round = 0; round < ROUNDS; round++) {
        double n = 0, sg = 0, sy = 0, sgg = 0, sgy = 0;
        for (long i = 0; i < f->count; i++)
            f->scratch[i] = fabs(f->y[i] - *base - *lag * f->g[i]);
        const double most = fmax(KEPT * MAD * median(f->scratch, f->count), 1e-9);
        for (long i = 0; i < f->count; i++) {
            if (fabs(f->y[i] - *base - *lag * f->g[i]) > most)
                continue;
            n += 1.0;
            sg += f->g[i];
            sy += f->y[i];
            sgg += f->g[i] * f->g[i];
            sgy += f->g[i] * f->y[i];
        }
        const double spread = sgg - sg * sg / n;
        if (!(n > 2.0) || !(spread > 1e-12 * n)) {
            *error = INFINITY;
            return;
        }
        const double before = *lag;
        *lag = (sgy - sg * sy / n) / spread;
        *base = (sy - *lag * sg) / n;
        *error = most / KEPT / sqrt(spread);
        if (fabs(*lag - before) < 0.01 * *error)
            return;
    }
}

bool trace_fit(const snub_log_model *model, double full, const trace_sample *samples, long count, double *base,
               double *lag, double *error)
{
    fitted f;
    slope *slopes = malloc(PAIRS * sizeof *slopes);
    bool good = gather(model, full, samples, count, &f) && slopes != NULL && f.count >= TRACE_SAMPLES_LEAST;
    if (good) {
        *lag = pair_slope(&f, slopes);
        for (long i = 0; i < f.count; i++)
            f.scratch[i] = f.y[i] - *lag * f.g[i];
        *base = densest(f.scratch, f.count);
        trim_fit(&f, base, lag, error);
        if (fabs(*lag) < fmax(SURE * *error, LAG_LEAST) || !isfinite(*error)) {
            /* no lag that is told from none: the base again without it */
            memcpy(f.scratch, f.y, (size_t)f.count * sizeof *f.y);
            *base = densest(f.scratch, f.count);
            *lag = 0.0;
        }
    }
    fitted_free(&f);
    free(slopes);
    return good;
}

bool trace_fit_base(const snub_log_model *model, double full, const trace_sample *samples, long count, double *base)
{
    fitted f;
    const bool good = gather(model, full, samples, count, &f) && f.count >= TRACE_SAMPLES_LEAST;
    if (good)
        *base = densest(f.y, f.count);
    fitted_free(&f);
    return good;
}

/* ---- noise --------------------------------------------------------------------------------------------------------
 */

typedef struct differences {
    double *one, *mean; /* of successive samples; of the means of successive windows */
    long ones, means;
    double *apart; /* s between samples */
} differences;

/* How much blunter the sample is than the log's best: a boost is where the build's boost depends little on speed. */
static double blur_of(const snub_log_model *model, const snub_log_calibration *c, const trace_sample *sample)
{
    return c->source == SNUB_LOG_BY_BOOST
               ? trace_blur(&model->air, (sample->engine - model->idle) * model->steps_per_speed)
               : 1.0;
}

/* Differences of neighbours, in which base, creep and slip that lasts are not. */
static void differ(const snub_log_model *model, double full, const trace_sample *samples, long count,
                   const snub_log_calibration *c, double window, differences *d)
{
    double before = NAN, sum = 0.0, mean_before = NAN, began = NAN;
    long in = 0;
    d->ones = d->means = 0;
    for (long i = 0; i < count; i++) {
        const double y = shortfall(model, full, &samples[i]), blur = blur_of(model, c, &samples[i]);
        const double step =
            i > 0 && samples[i].part == samples[i - 1].part ? samples[i].time - samples[i - 1].time : 1e9;
        if (isnan(y) || step > 1.0) {
            before = mean_before = began = NAN;
            sum = 0.0;
            in = 0;
        }
        if (isnan(y))
            continue;
        if (!isnan(before)) {
            d->apart[d->ones] = step;
            d->one[d->ones++] = fabs(y - before) / blur;
        }
        before = y;
        if (isnan(began))
            began = samples[i].time;
        if (window > 0.0 && samples[i].time - began >= window && in >= TRACE_WINDOW_LEAST) {
            const double mean = sum / (double)in;
            if (!isnan(mean_before))
                d->mean[d->means++] = fabs(mean - mean_before) / blur;
            mean_before = mean;
            sum = 0.0;
            in = 0;
            began = samples[i].time;
        }
        sum += y;
        in++;
    }
}

static double least_of(const snub_log_calibration *c)
{
    return c->source == SNUB_LOG_BY_BOOST ? fmax(TRACE_BOOST_LEAST, KEPT * c->bias) : TRACE_THRESHOLD_LEAST;
}

/* How far boost strays from the build's over the speeds, by the middle of each speed's samples: the deviation of those,
 * which slip at under half of the speeds does not move far. */
static bool find_bias(const snub_log_model *model, double full, const trace_sample *samples, long count, double base,
                      snub_log_calibration *c)
{
    enum { LEAST = 5, SPEEDS_LEAST = 5 };
    double *values = malloc((size_t)(count > 0 ? count : 1) * sizeof *values), middles[SNUB_LOG_SPEEDS];
    int speeds = 0;
    if (values == NULL)
        return false;
    c->usable[0] = INFINITY;
    for (int k = 0; k < SNUB_LOG_SPEEDS; k++) {
        long in = 0;
        for (long i = 0; i < count; i++)
            if (lround((samples[i].engine - model->idle) * model->steps_per_speed) == k)
                values[in++] = shortfall(model, full, &samples[i]) - base;
        if (in < LEAST)
            continue;
        const double engine = model->idle + k / model->steps_per_speed;
        c->usable[0] = fmin(c->usable[0], engine);
        c->usable[1] = fmax(c->usable[1], engine);
        middles[speeds++] = fabs(median(values, in));
    }
    free(values);
    c->bias = speeds >= SPEEDS_LEAST ? MAD * median(middles, speeds) : TRACE_BOOST_LEAST / KEPT;
    return true;
}

bool trace_noise(const snub_log_model *model, double full, const trace_sample *samples, long count, double base,
                 snub_log_calibration *c)
{
    const size_t room = (size_t)(count > 0 ? count : 1);
    differences d = {malloc(room * sizeof(double)), malloc(room * sizeof(double)), 0, 0, malloc(room * sizeof(double))};
    bool good = d.one != NULL && d.mean != NULL && d.apart != NULL;
    if (good && c->source == SNUB_LOG_BY_BOOST)
        good = find_bias(model, full, samples, count, base, c);
    if (good)
        differ(model, full, samples, count, c, 0.0, &d);
    good = good && d.ones >= TRACE_SAMPLES_LEAST / 2;
    if (good) {
        const double step = median(d.apart, d.ones);
        c->rate = 1.0 / fmax(step, 1e-6);
        c->window = fmax(TRACE_WINDOW, TRACE_WINDOW_LEAST * step);
        c->noise = MAD * median(d.one, d.ones) / sqrt(2.0);
        c->mean_noise = c->noise / sqrt(fmax(c->window * c->rate, 1.0));
        differ(model, full, samples, count, c, c->window, &d);
        if (d.means >= BLOCKS_LEAST) /* noise that neighbours share: a speed that comes more slowly than the other */
            c->mean_noise = fmax(c->mean_noise, MAD * median(d.mean, d.means) / sqrt(2.0));
        const double chance = fmin(0.5 / (TRACE_QUIET * c->rate), 0.1);
        c->threshold = fmax(least_of(c), snub_normal_value(chance) * c->mean_noise);
        c->least = c->threshold + FOUND * c->mean_noise;
        c->samples = count;
        c->ratio = model->ratio * exp(-base);
        c->offset = exp(-base) - 1.0;
    }
    free(d.one);
    free(d.mean);
    free(d.apart);
    return good;
}

/* ---- another ratio ------------------------------------------------------------------------------------------------
 */

static bool near_teeth(double factor, int teeth[2])
{
    for (int read = 1; read <= TEETH_MOST; read++)
        for (int real = 1; real <= TEETH_MOST; real++)
            if (read != real && fabs(factor * real / read - 1.0) < TEETH_NEAR) {
                teeth[0] = read;
                teeth[1] = real;
                return true;
            }
    return false;
}

void trace_name_offset(const snub_log_model *model, const snub_log_offer *offers, int offer_count,
                       snub_log_calibration *c)
{
    const double step_up = model->build->drive->pulleys[model->blower].blower.step_up;
    double nearest = OFFER_NEAR;
    const bool boost = c->source == SNUB_LOG_BY_BOOST;
    c->fit = SNUB_LOG_FITS_BUILD;
    if (fabs(c->offset) <= (boost ? BOOST_OFFSET_MOST : OFFSET_MOST))
        return;
    c->fit = SNUB_LOG_FITS_NOTHING;
    for (int i = 0; i < offer_count; i++) {
        const double off = fabs(c->ratio / offers[i].ratio - 1.0);
        if (off < nearest) {
            nearest = off;
            c->fit = SNUB_LOG_FITS_OFFER;
            c->offer = offers[i].value;
        }
    }
    if (boost)
        return; /* no teeth in boost */
    if (c->fit == SNUB_LOG_FITS_NOTHING && step_up > 1.0 && fabs((1.0 + c->offset) / step_up - 1.0) < OFFER_NEAR)
        c->fit = SNUB_LOG_FITS_STEP_UP;
    if (c->fit == SNUB_LOG_FITS_NOTHING && near_teeth(1.0 + c->offset, c->teeth))
        c->fit = SNUB_LOG_FITS_TEETH;
}

/** What rings in a sound: decaying tones, found one after the other, fitted together. docs/theory/measure.md. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "adjust.h"
#include "snub/measure.h"
#include "snub/sound.h"
#include "snub/units.h"

/** High pass against rumble and steps, Hz; what is cut into pieces for loudness, s; from the loudest piece's end so
 * long is left to the finger; the longest that is looked at, and the shortest. */
static const double RUMBLE = 15.0, PIECE = 0.01, FINGER = 0.015, LONGEST = 1.0, SHORTEST = 0.06;
/** The ringing is over where a piece has so many times the power of the quietest tenth, or so little of the loudest;
 * but with so much of it, it is not: the recording may have been stopped while it rang. */
static const double OVER = 3.0, FAINT = 1e-6, STILL_LOUD = 0.03;
/** Chance that noise alone has one tone, and by what a tone has to be over that level. */
static const double NOISE_CHANCE = 1e-3, MARGIN = 1.5;
/** Grid of the spectrum over 1/T, and how far to either side the noise of a tone is taken: Hz, of its frequency, in
 * 1/T. */
static const double FINE = 0.5, BESIDE_HZ = 30.0, BESIDE_PART = 0.3, BESIDE_BINS = 10.0;
/** Decay under which a tone is steady, 1/s; turns in which it has to fall by e; amplitude of what counts as much as
 * another tone. */
static const double STEADY = 0.5, TURNS = 1.6, AS_LOUD = 0.3;
/** A harmonic: so near to where it has to be, below and above; above where the bending is not known. */
static const double NEAR = 0.006, NEAR_UNBENT = 0.04;
/** What a first harmonic that follows from others is off by where the bending is not known, part of it. */
static const double UNSURE_UNBENT = 0.02;
/** Of a recorder's clock. */
static const double CLOCK = 50e-6;
enum { UNKNOWNS = 4, HARMONICS_MOST = 8, PARTS_MOST = 3, SERIES_MOST = 2 };

const char *snub_tone_text(snub_tone_kind kind)
{
    static const char *const words[] = {"other", "span", "steady", "thud", "beside"};
    return words[kind];
}

typedef struct piece {
    const double *x; /* what is looked at */
    int n;
    double rate, seconds;
    double *left; /* x less all tones */
    double *power;
    double least, step;
    int bins;
    int tones;
    double u[UNKNOWNS * SNUB_TONES_MOST]; /* cosine, sine, frequency [Hz], decay [1/s] of each */
} piece;

static snub_status refuse(snub_error *error, const char *what)
{
    return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "%s", what);
}

/* ---- the piece that rings ---------------------------------------------------------------------------------------- */

static void take_rumble(const snub_sound *sound, double *x)
{
    const double keep = exp(-2.0 * SNUB_PI * RUMBLE / sound->rate);
    double out = 0.0, before = sound->sample[0];
    for (int i = 0; i < sound->count; i++) {
        out = keep * (out + sound->sample[i] - before);
        before = sound->sample[i];
        x[i] = out;
    }
}

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* @return false: memory is out. p->n is 0 where nothing is loud */
static bool find_piece(const snub_sound *sound, const double *x, snub_arena *arena, piece *p, double *from)
{
    const int size = (int)(PIECE * sound->rate), pieces = sound->count / size;
    double *power = SNUB_NEW(arena, double, 2 * pieces + 1), *sorted = power + pieces;
    int loudest = 0;
    if (power == NULL)
        return false;
    for (int i = 0; i < pieces; i++) {
        power[i] = 0.0;
        for (int k = 0; k < size; k++)
            power[i] += x[i * size + k] * x[i * size + k];
        if (power[i] > power[loudest])
            loudest = i;
        sorted[i] = power[i];
    }
    p->n = 0;
    if (pieces == 0 || !(power[loudest] > 0.0))
        return true;
    qsort(sorted, (size_t)pieces, sizeof *sorted, by_size);
    const double quiet = fmax(fmin(OVER * sorted[pieces / 10], STILL_LOUD * power[loudest]), FAINT * power[loudest]);
    int last = loudest;
    while (last + 1 < pieces && (power[last + 1] > quiet || (last + 2 < pieces && power[last + 2] > quiet)))
        last++;
    const int loud = (loudest + 1) * size, clipped = (int)(sound->clipped_until * sound->rate) + 1;
    const int start = (loud > clipped ? loud : clipped) + (int)(FINGER * sound->rate);
    int end = (last + 1) * size;
    if (end - start > LONGEST * sound->rate)
        end = start + (int)(LONGEST * sound->rate);
    *from = start / sound->rate;
    p->x = x + start;
    p->n = end - start >= SHORTEST * sound->rate ? end - start : 0;
    p->rate = sound->rate;
    p->seconds = p->n / p->rate;
    return true;
}

/* ---- spectrum: under a window that falls as a half cosine from the loud start ------------------------------------ */

/* Sum of v exp(-i 2 pi f t). */
static void sum_at(const piece *p, const double *v, double f, double sum[2])
{
    const double turn = 2.0 * SNUB_PI * f / p->rate, c = cos(turn), s = sin(turn);
    double re = 1.0, im = 0.0;
    sum[0] = sum[1] = 0.0;
    for (int k = 0; k < p->n; k++) {
        const double next = re * c + im * s;
        sum[0] += v[k] * re;
        sum[1] += v[k] * im;
        im = im * c - re * s;
        re = next;
    }
}

/* Goertzel's sums of GROUP frequencies side by side, which is as fast as one. @param[out] power  of each */
enum { GROUP = 4 };
static void find_group(const double *v, int n, const double *turn, double *power)
{
    double twice[GROUP], one[GROUP] = {0.0}, two[GROUP] = {0.0};
    for (int g = 0; g < GROUP; g++)
        twice[g] = 2.0 * cos(turn[g]);
    for (int k = 0; k < n; k++) {
        for (int g = 0; g < GROUP; g++) {
            const double next = v[k] + twice[g] * one[g] - two[g];
            two[g] = one[g];
            one[g] = next;
        }
    }
    for (int g = 0; g < GROUP; g++)
        power[g] = one[g] * one[g] + two[g] * two[g] - twice[g] * one[g] * two[g];
}

static void find_spectrum(const piece *p, double *windowed)
{
    double squares = 0.0;
    for (int k = 0; k < p->n; k++) {
        const double w = 0.5 + 0.5 * cos(SNUB_PI * (k + 0.5) / p->n);
        windowed[k] = w * p->left[k];
        squares += w * w;
    }
    for (int i = 0; i < p->bins; i += GROUP) {
        double turn[GROUP], power[GROUP];
        for (int g = 0; g < GROUP; g++)
            turn[g] = 2.0 * SNUB_PI * (p->least + (i + g) * p->step) / p->rate;
        find_group(windowed, p->n, turn, power);
        for (int g = 0; g < GROUP && i + g < p->bins; g++)
            p->power[i + g] = power[g] / squares;
    }
}

/* Level of the noise: the median beside, which a few tones do not lift; of noise, it is ln 2 of the mean. */
static double noise_at(const piece *p, double f, double *sorted)
{
    const double beside = fmax(fmax(BESIDE_HZ, BESIDE_PART * f), BESIDE_BINS / p->seconds);
    int count = 0;
    for (int i = 0; i < p->bins; i++)
        if (fabs(p->least + i * p->step - f) <= beside)
            sorted[count++] = p->power[i];
    qsort(sorted, (size_t)count, sizeof *sorted, by_size);
    return count > 0 ? sorted[count / 2] / log(2.0) : 0.0;
}

/* ---- tones ------------------------------------------------------------------------------------------------------- */

/* residual = tones - x; a turning and falling number for each tone, step by step. */
static void evaluate(const double *u, double *residual, double *jacobian, void *context)
{
    const piece *p = context;
    for (int k = 0; k < p->n; k++)
        residual[k] = -p->x[k];
    for (int t = 0; t < p->tones; t++) {
        const double *of = &u[UNKNOWNS * t];
        const double turn = 2.0 * SNUB_PI * of[2] / p->rate, fall = exp(-of[3] / p->rate);
        const double c = fall * cos(turn), s = fall * sin(turn);
        double re = 1.0, im = 0.0;
        for (int k = 0; k < p->n; k++) {
            const double time = k / p->rate, next = re * c - im * s;
            const double value = of[0] * re + of[1] * im;
            residual[k] += value;
            jacobian[snub_at(k, UNKNOWNS * t, p->n)] = re;
            jacobian[snub_at(k, UNKNOWNS * t + 1, p->n)] = im;
            jacobian[snub_at(k, UNKNOWNS * t + 2, p->n)] = 2.0 * SNUB_PI * time * (of[1] * re - of[0] * im);
            jacobian[snub_at(k, UNKNOWNS * t + 3, p->n)] = -time * value;
            im = im * c + re * s;
            re = next;
        }
    }
}

/* The loudest left over: a start for its tone. @return its power over the noise beside it */
static double find_next(const piece *p, double *scratch, double u[UNKNOWNS])
{
    int best = -1;
    double over = 0.0, sum[2];
    for (int i = 1; i + 1 < p->bins; i++) {
        if (!(p->power[i] >= p->power[i - 1] && p->power[i] >= p->power[i + 1]) ||
            (best >= 0 && p->power[i] <= p->power[best]))
            continue;
        best = i;
    }
    if (best < 0)
        return 0.0;
    const double f = p->least + best * p->step;
    over = p->power[best] / noise_at(p, f, scratch);
    const double decay = 2.0 / p->seconds;
    sum_at(p, p->left, f, sum);
    const double norm = 0.5 * p->rate * (1.0 - exp(-decay * p->seconds)) / decay;
    u[0] = sum[0] / norm;
    u[1] = -sum[1] / norm;
    u[2] = f;
    u[3] = decay;
    return over;
}

static double level_needed(const piece *p)
{
    return MARGIN * log((p->bins * p->step * p->seconds + 1.0) / NOISE_CHANCE);
}

/* One tone more, fitted with all before it. @return SNUB_OK; SNUB_NO_CONVERGENCE: leave it out; SNUB_NO_MEMORY */
static snub_status add_tone(piece *p, snub_arena *arena, const double start[UNKNOWNS])
{
    snub_arena branch;
    snub_adjuster w;
    double u[UNKNOWNS * SNUB_TONES_MOST], sum;
    memcpy(u, p->u, sizeof u);
    memcpy(&u[UNKNOWNS * p->tones], start, UNKNOWNS * sizeof *start);
    p->tones++;
    const snub_adjustment a = {UNKNOWNS * p->tones, p->n, evaluate, p};
    snub_arena_branch(arena, &branch);
    snub_status status = snub_adjuster_make(&a, &branch, &w) ? snub_adjust(&a, &w, u, &sum) : SNUB_NO_MEMORY;
    for (int t = 0; status == SNUB_OK && t < p->tones; t++)
        if (!(u[UNKNOWNS * t + 2] > 0.5 * p->least && u[UNKNOWNS * t + 2] < p->least + p->bins * p->step) ||
            !(fabs(u[UNKNOWNS * t + 3]) < 0.5 * p->rate))
            status = SNUB_NO_CONVERGENCE;
    if (status == SNUB_OK) {
        memcpy(p->u, u, sizeof u);
        for (int k = 0; k < p->n; k++)
            p->left[k] = -w.residual[k];
    } else {
        p->tones--;
    }
    snub_arena_drop(arena, &branch);
    return status;
}

/* Errors: covariance of the fit, times the noise beside each tone. */
static snub_status fill_tones(piece *p, snub_arena *arena, double *scratch, snub_ring *ring)
{
    const snub_adjustment a = {UNKNOWNS * p->tones, p->n, evaluate, p};
    enum { MOST = UNKNOWNS * SNUB_TONES_MOST };
    double value[MOST], right_t[MOST * MOST], covariance[MOST * MOST];
    snub_adjuster w;
    if (!snub_adjuster_make(&a, arena, &w))
        return SNUB_NO_MEMORY;
    const snub_status status = snub_adjust_decompose(&a, &w, p->u, value, NULL, right_t);
    if (status != SNUB_OK)
        return status;
    snub_adjust_covariance(a.unknowns, value, right_t, covariance);
    find_spectrum(p, scratch);
    ring->count = p->tones;
    for (int t = 0; t < p->tones; t++) {
        const double *u = &p->u[UNKNOWNS * t];
        const int f = UNKNOWNS * t + 2;
        const double noise = noise_at(p, u[2], scratch);
        ring->tone[t].frequency = u[2];
        ring->tone[t].error = hypot(sqrt(covariance[snub_at(f, f, a.unknowns)] * noise), CLOCK * u[2]);
        ring->tone[t].decay = u[3];
        ring->tone[t].amplitude = hypot(u[0], u[1]);
    }
    return SNUB_OK;
}

static snub_status find_tones(piece *p, snub_arena *arena, snub_ring *ring, snub_error *error)
{
    double *scratch = SNUB_NEW(arena, double, p->n + p->bins);
    p->left = SNUB_NEW(arena, double, p->n);
    p->power = SNUB_NEW(arena, double, p->bins);
    if (scratch == NULL || p->left == NULL || p->power == NULL)
        return SNUB_NO_MEMORY;
    memcpy(p->left, p->x, (size_t)p->n * sizeof *p->left);
    ring->needed = level_needed(p);
    double over[SNUB_TONES_MOST];
    while (p->tones < SNUB_TONES_MOST) {
        double start[UNKNOWNS];
        find_spectrum(p, scratch);
        over[p->tones] = find_next(p, scratch, start);
        if (!(over[p->tones] > ring->needed))
            break;
        const snub_status status = add_tone(p, arena, start);
        if (status == SNUB_NO_MEMORY)
            return status;
        if (status != SNUB_OK)
            break;
    }
    if (p->tones == 0)
        return refuse(error, "nothing rings in it: no tone stands out of the noise. Hold the microphone nearer, where "
                             "it is quiet, and pluck harder.");
    const snub_status status = fill_tones(p, arena, scratch, ring);
    for (int t = 0; status == SNUB_OK && t < p->tones; t++)
        ring->tone[t].over_noise = over[t];
    return status == SNUB_NO_CONVERGENCE ? refuse(error, "its tones cannot be told apart") : status;
}

/* ---- whose harmonics --------------------------------------------------------------------------------------------- */

static void sort_out(snub_ring *ring)
{
    for (int i = 0; i < ring->count; i++) {
        snub_tone *t = &ring->tone[i];
        t->kind = t->decay < STEADY                 ? SNUB_TONE_STEADY
                  : t->frequency < TURNS * t->decay ? SNUB_TONE_THUD
                                                    : SNUB_TONE_OTHER;
    }
    for (int i = 0; i < ring->count; i++) {
        for (int k = 0; k < ring->count; k++) {
            snub_tone *t = &ring->tone[i];
            const snub_tone *by = &ring->tone[k];
            const double foot = (t->decay + by->decay) / SNUB_PI + 1.0 / ring->seconds;
            if (t->kind == SNUB_TONE_OTHER && by->kind == SNUB_TONE_OTHER && t->amplitude < AS_LOUD * by->amplitude &&
                fabs(t->frequency - by->frequency) < foot)
                t->kind = SNUB_TONE_BESIDE;
        }
    }
}

/* f_n over f_1 of a beam on hinges: f_n^2 = n^2 (f_1^2 - c) + n^4 c. */
static double spread(double first, double bending, int n)
{
    const double c = isnan(bending) ? 0.0 : fmin(bending, 0.5 * first * first) / (first * first);
    return n * sqrt(1.0 - c + n * n * c);
}

/* @param[in] above  part by which a harmonic may be over its place */
static int harmonic_of(double first, double bending, double above, double f)
{
    for (int n = 1; n <= HARMONICS_MOST; n++) {
        const double off = f / (first * spread(first, bending, n)) - 1.0;
        if (off > -NEAR && off < (n > 1 ? above : NEAR))
            return n;
    }
    return 0;
}

static int common(int a, int b)
{
    return b == 0 ? a : common(b, a % b);
}

/* The first harmonic whose series explains most: one that is heard itself, or a part of one, if three are in series
 * that no multiple of it explains as well. */
static double find_series(const snub_ring *ring, double least, double most, double bending, double *taken)
{
    double best = NAN, loudest = 0.0;
    for (int i = 0; i < ring->count; i++) {
        for (int part = 1; ring->tone[i].kind == SNUB_TONE_OTHER && part <= PARTS_MOST; part++) {
            const double above = isnan(bending) && part == 1 ? NEAR_UNBENT : NEAR;
            double first = ring->tone[i].frequency / part, score = 0.0;
            for (int again = 0; again < 5; again++)
                first = ring->tone[i].frequency / spread(first, bending, part);
            int in = 0, divisor = 0;
            for (int k = 0; k < ring->count; k++) {
                const int n = ring->tone[k].kind == SNUB_TONE_OTHER
                                  ? harmonic_of(first, bending, above, ring->tone[k].frequency)
                                  : 0;
                if (n == 0)
                    continue;
                in++;
                divisor = common(n, divisor);
                score += ring->tone[k].amplitude * (1.0 - 0.15 * (part - 1));
            }
            if (first >= least && first <= most && (part == 1 || (in >= 3 && divisor == 1)) && score > loudest) {
                best = first;
                *taken = above;
                loudest = score;
            }
        }
    }
    return best;
}

/* The loudest tone that could be a harmonic. @return -1: none */
static int loudest_near(const snub_ring *ring, double first, double bending, double above, int harmonic)
{
    int best = -1;
    for (int k = 0; k < ring->count; k++)
        if (ring->tone[k].kind == SNUB_TONE_OTHER &&
            harmonic_of(first, bending, above, ring->tone[k].frequency) == harmonic &&
            (best < 0 || ring->tone[k].amplitude > ring->tone[best].amplitude))
            best = k;
    return best;
}

/* Takes the series' tones. The first harmonic where it is heard, else the mean of what the others say. */
static void take_series(snub_ring *ring, double first, double bending, double above)
{
    double weights = 0.0, sum = 0.0;
    ring->first_heard = false;
    for (int n = 1; n <= HARMONICS_MOST; n++) {
        const int k = loudest_near(ring, first, bending, above, n);
        if (k < 0)
            continue;
        snub_tone *t = &ring->tone[k];
        t->kind = SNUB_TONE_SPAN;
        t->harmonic = n;
        const double by = spread(first, bending, n);
        const double error = hypot(t->error, (isnan(bending) ? UNSURE_UNBENT : NEAR) * t->frequency) / by;
        weights += 1.0 / (error * error);
        sum += t->frequency / by / (error * error);
        if (n > 1)
            continue;
        ring->first_heard = true;
        ring->frequency = t->frequency;
        ring->error = t->error;
    }
    if (ring->first_heard)
        return;
    ring->frequency = sum / weights;
    ring->error = 1.0 / sqrt(weights);
}

/* Nearer than half of the width of both lines, they are not surely two. */
static snub_status two_spans(const snub_ring *ring, const snub_tone *other, snub_error *error)
{
    for (int k = 0; k < ring->count; k++) {
        const snub_tone *t = &ring->tone[k];
        const double width = (t->decay + other->decay) / (2.0 * SNUB_PI) + 1.0 / ring->seconds;
        if (t->kind == SNUB_TONE_SPAN && fabs(t->frequency - other->frequency) < 0.5 * width)
            return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL,
                             "two tones near %.4g Hz cannot be told apart: hold the other spans still and pluck again",
                             t->frequency);
    }
    return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL,
                     "two spans ring alike, at %.4g and %.4g Hz: hold the other one still, or say `between` which "
                     "frequencies this one lies",
                     ring->frequency, other->frequency);
}

/* @return -1: none */
static int loudest_of(const snub_ring *ring, snub_tone_kind kind, double least, double most)
{
    int best = -1;
    for (int k = 0; k < ring->count; k++)
        if (ring->tone[k].kind == kind && ring->tone[k].frequency >= least && ring->tone[k].frequency <= most &&
            (best < 0 || ring->tone[k].amplitude > ring->tone[best].amplitude))
            best = k;
    return best;
}

snub_status snub_ring_find(const snub_sound *sound, double least, double most, double bending, snub_arena *arena,
                           snub_ring *ring, snub_error *error)
{
    piece p = {.left = NULL};
    double *x = SNUB_NEW(arena, double, sound->count + 1);
    *ring = (snub_ring){.from = NAN};
    if (x == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    if (sound->count > 0)
        take_rumble(sound, x);
    if (!find_piece(sound, x, arena, &p, &ring->from))
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    if (p.n == 0)
        return refuse(error, "nothing rings in it: the sound is silent, at full scale all along, or gone at once");
    ring->seconds = p.seconds;
    p.least = 0.5 * RUMBLE;
    p.step = FINE / p.seconds;
    p.bins = (int)((sound->highest - p.least) / p.step);
    const snub_status status = find_tones(&p, arena, ring, error);
    if (status == SNUB_NO_MEMORY)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    if (status != SNUB_OK)
        return status;
    sort_out(ring);
    double above = NEAR;
    const double first = find_series(ring, least, most, bending, &above);
    if (isnan(first))
        return refuse(error, "no tone in it rings and dies away as a plucked belt does, between the frequencies that "
                             "are looked at");
    take_series(ring, first, bending, above);
    const int own = loudest_of(ring, SNUB_TONE_SPAN, 0.0, INFINITY),
              other = loudest_of(ring, SNUB_TONE_OTHER, least, most);
    if (other >= 0 && ring->tone[other].amplitude >= AS_LOUD * ring->tone[own].amplitude)
        return two_spans(ring, &ring->tone[other], error);
    return SNUB_OK;
}

/* Worst case and root of the sum of squares, by slopes; kits at the worst ends. docs/theory/tolerate.md. */
#include "snub/worst_case.h"

#include <math.h>
#include <string.h>

#include "blocks.h"
#include "judged_kit.h"
#include "ranks_share.h"
#include "snub/shares.h"

enum { ROUND = 16 /* kits of each rank between two looks at whether to go on */ };
static const double SIGMAS = 3.0;

typedef struct record {
    snub_kit kit;
    bool judged;
} record;

typedef struct study {
    const snub_document *document;
    const snub_reading *reading;
    const snub_tolerated *of;
    const snub_worst_case_request *request;
    snub_worst_cases *result;
    double **value; /* of each kit to be judged */
    record *made;   /* what it came to */
    int count;
} study;

/* ---- ends -------------------------------------------------------------------------------------------------------- */

static snub_value_ends ends_of(const snub_scatter *scatter)
{
    const snub_scatter standard = {.kind = SNUB_NORMAL, .sigma = 1.0, .low = -INFINITY, .high = INFINITY};
    const double beyond = snub_scatter_chance(&standard, -SIGMAS);
    const bool measured = scatter->kind == SNUB_SAMPLED, low = isfinite(scatter->low), high = isfinite(scatter->high);
    return (snub_value_ends){.low = low ? scatter->low : snub_scatter_value(scatter, beyond),
                             .high = high ? scatter->high : snub_scatter_value(scatter, 1.0 - beyond),
                             .basis = measured      ? SNUB_END_MEASURED
                                      : low && high ? SNUB_END_TOLERANCE
                                                    : SNUB_END_QUANTILE};
}

static bool moves_as_one(const snub_tolerated *of, int value)
{
    return of->group_of[value] >= 0 && !(fabs(of->scatter[value]->correlation) < 1.0);
}

/* The first value that goes to its ends together with this one; itself where it goes alone. */
static int leader_of(const snub_tolerated *of, int value)
{
    for (int i = 0; moves_as_one(of, value) && i < value; i++) {
        if (of->group_of[i] == of->group_of[value] && moves_as_one(of, i))
            return i;
    }
    return value;
}

/* Whether it moves with its group's cause or against it. */
static double sense_of(const snub_tolerated *of, int value)
{
    return moves_as_one(of, value) && of->scatter[value]->correlation < 0.0 ? -1.0 : 1.0;
}

/* ---- kits -------------------------------------------------------------------------------------------------------- */

static snub_status work(uint64_t block, int thread, void *made, void *context)
{
    const study *s = context;
    record *r = made;
    snub_errors dropped = {0};
    (void)thread;
    const snub_status status = snub_judge_kit(s->document, s->reading, s->of, s->value[block], &r->kit, &dropped);
    snub_errors_free(&dropped);
    r->judged = status == SNUB_OK;
    /* such a kit cannot be built, and what is asked of it is not known */
    return status == SNUB_BAD_INPUT ? SNUB_OK : status;
}

static bool take(uint64_t block, const void *made, void *context)
{
    study *s = context;
    s->made[block] = *(const record *)made;
    s->result->kits++;
    return true;
}

static bool go_on(uint64_t done, void *context)
{
    const study *s = context;
    return s->request->go_on == NULL || s->request->go_on((int)done, s->count, s->request->context);
}

/* Room for kits, each with the nominal values. @return false: memory is out */
static bool open_kits(study *s, int count)
{
    const int n = s->of->scatter_count;
    s->count = count;
    s->value = SNUB_NEW(s->reading->arena, double *, count + 1);
    s->made = SNUB_NEW(s->reading->arena, record, count + 1);
    bool good = s->value != NULL && s->made != NULL;
    for (int k = 0; good && k < count; k++) {
        s->value[k] = SNUB_NEW(s->reading->arena, double, n + 1);
        good = s->value[k] != NULL;
        for (int i = 0; good && i < n; i++)
            s->value[k][i] = s->of->scatter[i]->nominal;
    }
    return good;
}

/* @return SNUB_STOPPED too */
static snub_status judge_all(study *s)
{
    uint64_t done;
    const snub_blocks blocks = {.count = (uint64_t)s->count,
                                .round = ROUND * snub_rank_count(),
                                .record = sizeof(record),
                                .threads = s->request->threads,
                                .work = work,
                                .take = take,
                                .go_on = go_on,
                                .context = s};
    const snub_status status = snub_blocks_run(&blocks, 0, &done);
    return status == SNUB_STOPPED && done == blocks.count ? SNUB_OK : status;
}

/* ---- one value at a time ----------------------------------------------------------------------------------------- */

static bool open_number(const study *s, snub_worst_case *w)
{
    const int n = s->of->scatter_count;
    w->at_low = SNUB_NEW(s->reading->arena, double, n + 1);
    w->at_high = SNUB_NEW(s->reading->arena, double, n + 1);
    w->lowest.value = SNUB_NEW(s->reading->arena, double, n + 1);
    w->highest.value = SNUB_NEW(s->reading->arena, double, n + 1);
    return w->at_low != NULL && w->at_high != NULL && w->lowest.value != NULL && w->highest.value != NULL;
}

static snub_level level_of(const record *made)
{
    return made->judged ? (snub_level)made->kit.level : SNUB_FAIL;
}

/* Kits 2 i and 2 i + 1: value i at its ends. */
static snub_status judge_ends(study *s)
{
    const int n = s->of->scatter_count;
    if (!open_kits(s, 2 * n))
        return SNUB_NO_MEMORY;
    for (int i = 0; i < n; i++) {
        s->value[2 * i][i] = s->result->ends[i].low;
        s->value[2 * i + 1][i] = s->result->ends[i].high;
    }
    const snub_status status = judge_all(s);
    for (int i = 0; status == SNUB_OK && i < n; i++) {
        s->result->ends[i].at_low = level_of(&s->made[2 * i]);
        s->result->ends[i].at_high = level_of(&s->made[2 * i + 1]);
    }
    for (int f = 0; status == SNUB_OK && f < SNUB_FOLLOWED_; f++) {
        snub_worst_case *w = &s->result->of[f];
        w->known = isfinite(s->of->nominal.of[f]);
        for (int i = 0; i < n; i++) {
            w->at_low[i] = s->made[2 * i].judged ? s->made[2 * i].kit.of[f] : (double)NAN;
            w->at_high[i] = s->made[2 * i + 1].judged ? s->made[2 * i + 1].kit.of[f] : (double)NAN;
            w->known = w->known && isfinite(w->at_low[i]) && isfinite(w->at_high[i]);
        }
    }
    return status;
}

/* ---- sums -------------------------------------------------------------------------------------------------------- */

/* From one end of the value to the other. */
static double slope_of(const study *s, const snub_worst_case *w, int i)
{
    return (w->at_high[i] - w->at_low[i]) / (s->result->ends[i].high - s->result->ends[i].low);
}

/* Half of what each cause does to the number from end to end; 0 for a value that follows another one. */
static void find_halves(const study *s, const snub_worst_case *w, double *half)
{
    for (int i = 0; i < s->of->scatter_count; i++) {
        half[i] = 0.0;
        half[leader_of(s->of, i)] += 0.5 * sense_of(s->of, i) * (w->at_high[i] - w->at_low[i]);
    }
}

static void add_linear(const study *s, double nominal, const double *half, const double *ones, snub_worst_case *w)
{
    const int n = s->of->scatter_count;
    double middle = nominal;
    for (int i = 0; i < n; i++)
        middle +=
            slope_of(s, w, i) * (0.5 * (s->result->ends[i].low + s->result->ends[i].high) - s->of->scatter[i]->nominal);
    const double worst = snub_stack_of(n, half, ones).worst;
    w->linear_low = middle - worst;
    w->linear_high = middle + worst;
}

/* Of a value in a group r is the group's part, which adds up over its members, and the root of 1 - r^2 its own. */
static void add_rss(const study *s, double nominal, double *part, const double *ones, snub_worst_case *w)
{
    const int n = s->of->scatter_count, groups = s->of->group_count;
    double middle = nominal;
    memset(part + n, 0, sizeof *part * (size_t)groups);
    for (int i = 0; i < n; i++) {
        const snub_tolerance *t = s->of->scatter[i];
        const int group = s->of->group_of[i];
        const double slope = slope_of(s, w, i), r = group >= 0 ? t->correlation : 0.0;
        double mean, variance;
        snub_scatter_moments(&t->scatter, &mean, &variance);
        middle += slope * (mean - t->nominal);
        part[i] = sqrt(fmax(1.0 - r * r, 0.0)) * slope * SIGMAS * sqrt(variance);
        if (group >= 0)
            part[n + group] += r * slope * SIGMAS * sqrt(variance);
    }
    const double rss = snub_stack_of(n + groups, part, ones).rss;
    w->rss_low = middle - rss;
    w->rss_high = middle + rss;
}

/* All values to the ends that the slopes say. */
static void set_ends(const study *s, const double *half, snub_worst_case *w)
{
    for (int i = 0; i < s->of->scatter_count; i++) {
        const snub_value_ends *ends = &s->result->ends[i];
        const double lead = half[leader_of(s->of, i)], up = lead * sense_of(s->of, i);
        const bool flat = !(fabs(lead) > 0.0);
        w->lowest.value[i] = flat ? s->of->scatter[i]->nominal : up > 0.0 ? ends->low : ends->high;
        w->highest.value[i] = flat ? s->of->scatter[i]->nominal : up > 0.0 ? ends->high : ends->low;
    }
}

/* @return false: memory is out */
static bool add_up(const study *s)
{
    const int all = s->of->scatter_count + s->of->group_count;
    double *half = SNUB_NEW(s->reading->arena, double, all + 1), *part = SNUB_NEW(s->reading->arena, double, all + 1),
           *ones = SNUB_NEW(s->reading->arena, double, all + 1);
    if (half == NULL || part == NULL || ones == NULL)
        return false;
    for (int i = 0; i < all; i++)
        ones[i] = 1.0;
    for (int f = 0; f < SNUB_FOLLOWED_; f++) {
        snub_worst_case *w = &s->result->of[f];
        if (!w->known)
            continue;
        find_halves(s, w, half);
        add_linear(s, s->of->nominal.of[f], half, ones, w);
        add_rss(s, s->of->nominal.of[f], part, ones, w);
        set_ends(s, half, w);
    }
    return true;
}

/* ---- kits at the worst ends -------------------------------------------------------------------------------------- */

static snub_status judge_worst(study *s)
{
    snub_end_kit *of[2 * SNUB_FOLLOWED_];
    int count = 0;
    for (int f = 0; f < SNUB_FOLLOWED_; f++) {
        if (!s->result->of[f].known)
            continue;
        of[count++] = &s->result->of[f].lowest;
        of[count++] = &s->result->of[f].highest;
    }
    if (!open_kits(s, count))
        return SNUB_NO_MEMORY;
    for (int k = 0; k < count; k++)
        memcpy(s->value[k], of[k]->value, sizeof *of[k]->value * (size_t)s->of->scatter_count);
    const snub_status status = judge_all(s);
    for (int k = 0; status == SNUB_OK && k < count; k++) {
        of[k]->judged = s->made[k].judged;
        of[k]->kit = s->made[k].kit;
    }
    return status;
}

/* ---- all --------------------------------------------------------------------------------------------------------- */

snub_status snub_tolerate_worst_cases(const snub_document *document, const snub_reading *reading,
                                      const snub_tolerated *of, const snub_worst_case_request *request,
                                      snub_worst_cases *result)
{
    study s = {document, reading, of, request, result, NULL, NULL, 0};
    memset(result, 0, sizeof *result);
    result->ends = SNUB_NEW(reading->arena, snub_value_ends, of->scatter_count + 1);
    bool good = result->ends != NULL;
    for (int f = 0; good && f < SNUB_FOLLOWED_; f++)
        good = open_number(&s, &result->of[f]);
    if (!good)
        return SNUB_NO_MEMORY;
    for (int i = 0; i < of->scatter_count; i++)
        result->ends[i] = ends_of(&of->scatter[i]->scatter);
    snub_status status = judge_ends(&s);
    if (status == SNUB_OK && !add_up(&s))
        return SNUB_NO_MEMORY;
    if (status == SNUB_OK)
        status = judge_worst(&s);
    if (status != SNUB_STOPPED)
        return status;
    result->stopped = true;
    for (int f = 0; f < SNUB_FOLLOWED_; f++)
        result->of[f].known = false;
    return SNUB_OK;
}

/* Which tolerance contributes how much: pick and freeze over kits. docs/theory/tolerate.md, what contributes. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "blocks.h"
#include "drawn_kit.h"
#include "judged_kit.h"
#include "ranks_share.h"
#include "snub/sensitivity.h"
#include "snub/sobol.h"

enum {
    RUNS = 8,  /* scramblings by themselves: standard errors are between them */
    ROUND = 16 /* pairs of each rank between two looks at whether to go on; a multiple of RUNS keeps them even */
};
static const double CONFIDENCE = 0.95;

typedef struct study {
    const snub_document *document;
    const snub_reading *reading;
    const snub_tolerated *of;
    const snub_contribution_request *request;
    snub_contributions *result;
    int dimensions;
    const int *cause_of; /* of each value */
    snub_sensitivity sums[RUNS][SNUB_CONTRIBUTES_];
} study;

/* ---- causes ------------------------------------------------------------------------------------------------------ */

/* @return false: memory is out */
static bool list_causes(study *s)
{
    const snub_tolerated *of = s->of;
    snub_arena *arena = s->reading->arena;
    int *cause_of = SNUB_NEW(arena, int, of->scatter_count + 1);
    s->result->cause = SNUB_NEW(arena, snub_scatter_cause, of->scatter_count + 1);
    if (cause_of == NULL || s->result->cause == NULL)
        return false;
    for (int i = 0; i < of->scatter_count; i++) {
        const int group = of->group_of[i];
        int cause = s->result->count;
        for (int k = 0; group >= 0 && k < i; k++)
            cause = of->group_of[k] == group ? cause_of[k] : cause;
        if (cause == s->result->count)
            s->result->cause[s->result->count++] = (snub_scatter_cause){
                .name = group >= 0 ? of->scatter[i]->group : of->scatter[i]->path, .is_group = group >= 0};
        cause_of[i] = cause;
    }
    s->cause_of = cause_of;
    return true;
}

/* A kit's point with one cause of another's: its values' own numbers, and its group's. */
static void exchange(const study *s, int cause, const double *from, double *point)
{
    for (int i = 0; i < s->of->scatter_count; i++) {
        if (s->cause_of[i] != cause)
            continue;
        const int group = s->of->group_of[i];
        point[i] = from[i];
        if (group >= 0)
            point[s->of->scatter_count + group] = from[s->of->scatter_count + group];
    }
}

/* ---- one pair ---------------------------------------------------------------------------------------------------- */

/* @param[out] f  of kit number `at` of the pair: for each of its numbers all kits of the pair stand together */
static snub_status judge(const study *s, const double *point, double *value, int at, double *f)
{
    const int kits = s->result->count + 2;
    snub_kit kit = {0};
    snub_errors dropped = {0};
    snub_drawn_values(s->of, point, value);
    const snub_status status = snub_judge_kit(s->document, s->reading, s->of, value, &kit, &dropped);
    snub_errors_free(&dropped);
    for (int k = 0; k < SNUB_FOLLOWED_; k++)
        f[k * kits + at] = kit.of[k];
    f[SNUB_CONTRIBUTES_FAILING * kits + at] = kit.level == SNUB_FAIL;
    return status;
}

/* Record: what A, B and each A with a cause of B come to. */
static snub_status work(uint64_t block, int thread, void *record, void *context)
{
    const study *s = context;
    const int n = s->dimensions;
    double *f = record, *points = calloc((size_t)(4 * n + 2), sizeof *points);
    (void)thread;
    if (points == NULL)
        return SNUB_NO_MEMORY;
    double *a = points, *b = points + n, *mixed = points + 2 * n, *value = points + 3 * n;
    snub_sobol_point(2 * n, s->of->seed + block % RUNS * 1000003U, true, block / RUNS, points);
    snub_status status = judge(s, a, value, 0, f);
    if (status == SNUB_OK)
        status = judge(s, b, value, 1, f);
    for (int c = 0; c < s->result->count && status == SNUB_OK; c++) {
        memcpy(mixed, a, sizeof *a * (size_t)n);
        exchange(s, c, b, mixed);
        status = judge(s, mixed, value, c + 2, f);
    }
    free(points);
    return status;
}

/* ---- sums -------------------------------------------------------------------------------------------------------- */

static bool take(uint64_t block, const void *record, void *context)
{
    study *s = context;
    const double *f = record;
    for (int k = 0; k < SNUB_CONTRIBUTES_; k++, f += s->result->count + 2)
        snub_sensitivity_take(&s->sums[block % RUNS][k], f[0], f[1], f + 2);
    s->result->pairs++;
    s->result->kits += s->result->count + 2;
    return true;
}

static bool go_on(uint64_t done, void *context)
{
    const study *s = context;
    return s->request->go_on == NULL || s->request->go_on((int)done, s->request->pairs, s->request->context);
}

/* A number that some kit lacks makes its sums NAN. */
static void sum_up_number(study *s, int k, double *first, double *total)
{
    const int count = s->result->count;
    bool has = s->result->pairs >= RUNS;
    for (int r = 0; r < RUNS && has; r++) {
        const double spread = snub_sensitivity_indices(&s->sums[r][k], first + r * count, total + r * count);
        has = spread > 0.0 && isfinite(spread) && isfinite(s->sums[r][k].sum);
    }
    s->result->has[k] = has;
    for (int c = 0; c < count && has; c++) {
        double of_run[2][RUNS];
        for (int r = 0; r < RUNS; r++) {
            of_run[0][r] = first[r * count + c];
            of_run[1][r] = total[r * count + c];
        }
        const snub_estimate one = snub_estimate_of_runs(RUNS, of_run[0], CONFIDENCE);
        const snub_estimate all = snub_estimate_of_runs(RUNS, of_run[1], CONFIDENCE);
        s->result->cause[c].to[k] = (snub_contribution){one.value, one.error, all.value, all.error};
    }
}

static bool open_sums(study *s)
{
    const int count = s->result->count;
    bool good = true;
    for (int r = 0; r < RUNS; r++) {
        for (int k = 0; k < SNUB_CONTRIBUTES_; k++) {
            const double nominal = k < SNUB_FOLLOWED_ ? s->of->nominal.of[k] : 0.0;
            s->sums[r][k] = (snub_sensitivity){.values = count,
                                               .shift = isfinite(nominal) ? nominal : 0.0,
                                               .first = SNUB_NEW(s->reading->arena, double, count + 1),
                                               .total = SNUB_NEW(s->reading->arena, double, count + 1)};
            good = good && s->sums[r][k].first != NULL && s->sums[r][k].total != NULL;
        }
    }
    return good;
}

/* ---- all --------------------------------------------------------------------------------------------------------- */

snub_status snub_tolerate_contributions(const snub_document *document, const snub_reading *reading,
                                        const snub_tolerated *of, const snub_contribution_request *request,
                                        snub_contributions *result, snub_errors *errors)
{
    study *s = SNUB_NEW(reading->arena, study, 1);
    uint64_t done;
    memset(result, 0, sizeof *result);
    if (s == NULL)
        return SNUB_NO_MEMORY;
    *s = (study){document, reading, of, request, result, .dimensions = snub_drawn_dimensions(of)};
    if (2 * s->dimensions > SNUB_SOBOL_DIMENSIONS_MOST) {
        snub_error error;
        const snub_status status = snub_fail(&error, SNUB_BAD_INPUT, NULL, "tolerances",
                                             "more than %d values and groups scatter: too many to say what contributes",
                                             SNUB_SOBOL_DIMENSIONS_MOST / 2);
        snub_errors_add(errors, &error);
        return status;
    }
    if (!list_causes(s) || !open_sums(s))
        return SNUB_NO_MEMORY;
    double *first = SNUB_NEW(reading->arena, double, RUNS * result->count + 1);
    double *total = SNUB_NEW(reading->arena, double, RUNS * result->count + 1);
    if (first == NULL || total == NULL)
        return SNUB_NO_MEMORY;
    const snub_blocks blocks = {.count = (uint64_t)(request->pairs / RUNS * RUNS),
                                .round = ROUND * snub_rank_count(),
                                .record = sizeof(double) * SNUB_CONTRIBUTES_ * (size_t)(result->count + 2),
                                .threads = request->threads,
                                .work = work,
                                .take = take,
                                .go_on = go_on,
                                .context = s};
    const snub_status status = snub_blocks_run(&blocks, 0, &done);
    if (status == SNUB_BAD_INPUT) {
        snub_error error;
        snub_fail(&error, status, NULL, "tolerances",
                  "values within their tolerances do not go together in one kit: see snub tolerate with more --kits");
        snub_errors_add(errors, &error);
    }
    result->runs = RUNS;
    result->stopped = status == SNUB_STOPPED && result->pairs < request->pairs;
    for (int k = 0; k < SNUB_CONTRIBUTES_; k++)
        sum_up_number(s, k, first, total);
    return status == SNUB_STOPPED ? SNUB_OK : status;
}

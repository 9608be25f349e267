/* Kits of a build: drawn, judged in blocks, counted. docs/theory/tolerate.md. */
#include "snub/tolerate.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "blocks.h"
#include "drawn_kit.h"
#include "judged_kit.h"
#include "ranks_share.h"

enum {
    BLOCK = 8, /* kits that one thread works on at a time */
    ROUND = 8  /* blocks of each rank between two looks at whether to go on: an answer to Control-C within seconds */
};
static const double CONFIDENCE = 0.95;

typedef struct block_record {
    snub_kit kits[BLOCK];
} block_record;

typedef struct tolerate_run {
    const snub_document *document;
    const snub_reading *reading;
    const snub_tolerate_request *request;
    snub_tolerated *result;
    snub_kit *kits; /* room for all that are asked for */
} tolerate_run;

/* ---- one kit ----------------------------------------------------------------------------------------------------- */

static snub_status judge_kit(const tolerate_run *run, int number, snub_kit *kit, snub_errors *errors)
{
    snub_arena arena;
    snub_status status = SNUB_NO_MEMORY;
    snub_arena_init(&arena, run->reading->arena->limit);
    double *value = SNUB_NEW(&arena, double, run->result->scatter_count + 1);
    if (value != NULL && snub_drawn_kit(run->result, number, &arena, value))
        status = snub_judge_kit(run->document, run->reading, run->result, value, kit, errors);
    snub_arena_free(&arena);
    return status;
}

static snub_status work(uint64_t block, int thread, void *record, void *context)
{
    const tolerate_run *run = context;
    block_record *made = record;
    snub_errors dropped = {0};
    snub_status status = SNUB_OK;
    (void)thread;
    for (int k = 0; k < BLOCK && status == SNUB_OK; k++) {
        const int number = (int)block * BLOCK + k;
        if (number < run->request->known_count)
            made->kits[k] = run->request->known[number];
        else if (number < run->request->kits)
            status = judge_kit(run, number, &made->kits[k], &dropped);
    }
    snub_errors_free(&dropped); /* they are made again where the first kit is looked for that has them */
    return status;
}

/* ---- counting ---------------------------------------------------------------------------------------------------- */

static void count_kit(snub_tolerated *result, const snub_kit *kit, int number)
{
    result->by_level[kit->level]++;
    for (int r = 0; r < SNUB_RULES_; r++) {
        snub_rule_count *count = &result->rules[r];
        count->marginal += kit->by_rule[r] == SNUB_MARGINAL;
        if (kit->by_rule[r] != SNUB_FAIL)
            continue;
        if (count->fail++ == 0)
            count->example = number;
    }
}

static bool take(uint64_t block, const void *record, void *context)
{
    tolerate_run *run = context;
    snub_tolerated *result = run->result;
    const block_record *made = record;
    (void)block;
    for (int k = 0; k < BLOCK && result->kit_count < run->request->kits; k++) {
        run->kits[result->kit_count] = made->kits[k];
        count_kit(result, &made->kits[k], result->kit_count);
        result->kit_count++;
    }
    result->failing = snub_share_exact(result->by_level[SNUB_FAIL], result->kit_count, CONFIDENCE);
    result->precise =
        run->request->precision > 0.0 && result->failing.high - result->failing.low <= 2.0 * run->request->precision;
    return !result->precise;
}

static bool go_on(uint64_t done, void *context)
{
    const tolerate_run *run = context;
    const snub_tolerate_request *request = run->request;
    (void)done;
    return request->go_on == NULL || request->go_on(run->result->kit_count, request->kits, request->context);
}

static snub_spread_of spread_of(const snub_tolerated *result, int followed, double nominal)
{
    snub_spread_of s = {.nominal = nominal, .mean = NAN, .sd = NAN, .least = NAN, .most = NAN};
    double sum = 0.0, squares = 0.0;
    for (int i = 0; i < result->kit_count; i++) {
        const double value = result->kits[i].of[followed];
        if (!isfinite(value)) /* a slack belt's grip has no bound, and no mean */
            continue;
        s.least = fmin(s.least, value);
        s.most = fmax(s.most, value);
        sum += value;
        s.count++;
    }
    if (s.count == 0)
        return s;
    s.mean = sum / s.count;
    for (int i = 0; i < result->kit_count; i++) {
        const double off = result->kits[i].of[followed] - s.mean;
        squares += isfinite(off) ? off * off : 0.0;
    }
    s.sd = s.count > 1 ? sqrt(squares / (s.count - 1)) : (double)NAN;
    return s;
}

static void sum_up(snub_tolerated *result)
{
    for (int f = 0; f < SNUB_FOLLOWED_; f++)
        result->spread[f] = spread_of(result, f, result->nominal.of[f]);
    for (int r = 0; r < SNUB_RULES_ && result->kit_count > 0; r++)
        result->rules[r].failing = snub_share_exact(result->rules[r].fail, result->kit_count, CONFIDENCE);
}

/* ---- all --------------------------------------------------------------------------------------------------------- */

static snub_status refuse(snub_errors *errors, const char *words)
{
    snub_error error;
    const snub_status status = snub_fail(&error, SNUB_BAD_INPUT, NULL, "tolerances", "%s", words);
    snub_errors_add(errors, &error);
    return status;
}

/* The first kit that cannot be read, with its errors: the same for any number of threads. */
static snub_status tell_unreadable(const tolerate_run *run, snub_errors *errors)
{
    snub_kit kit;
    snub_status status = SNUB_OK;
    for (int i = run->result->kit_count; i < run->request->kits && status == SNUB_OK; i++)
        status = judge_kit(run, i, &kit, errors);
    return status;
}

snub_status snub_tolerate_build(const snub_document *document, const snub_reading *reading, const snub_build *build,
                                const snub_tolerate_request *request, snub_tolerated *result, snub_errors *errors)
{
    uint64_t done;
    memset(result, 0, sizeof *result);
    result->build = build;
    result->seed = request->seed;
    for (int r = 0; r < SNUB_RULES_; r++)
        result->rules[r].example = -1;
    if (!build->settled)
        return refuse(errors, "this build has no belt: see snub check");
    snub_status status = snub_drawn_kit_scatter(document, reading, build, result, errors);
    if (status != SNUB_OK)
        return status;
    if (result->scatter_count == 0)
        return refuse(errors, "nothing scatters: write a tolerance behind a value, such as `diameter: 80 +- 0.1`, or a "
                              "`tolerances` section");
    tolerate_run run = {document, reading, request, result, SNUB_NEW(reading->arena, snub_kit, request->kits)};
    if (run.kits == NULL)
        return SNUB_NO_MEMORY;
    result->kits = run.kits;
    const snub_blocks blocks = {.count = ((uint64_t)request->kits + BLOCK - 1) / BLOCK,
                                .round = ROUND * snub_rank_count(),
                                .record = sizeof(block_record),
                                .threads = request->threads,
                                .work = work,
                                .take = take,
                                .go_on = go_on,
                                .context = &run};
    status = judge_kit(&run, SNUB_NOMINAL_KIT, &result->nominal, errors);
    if (status != SNUB_OK)
        return status;
    status = snub_blocks_run(&blocks, 0, &done);
    result->stopped = status == SNUB_STOPPED && result->kit_count < request->kits;
    if (status == SNUB_BAD_INPUT)
        status = tell_unreadable(&run, errors);
    sum_up(result);
    return status == SNUB_STOPPED ? SNUB_OK : status;
}

/* The builds of a candidate: how far from what must hold, and how much of each aim. */
#include "search_measure.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "blocks.h"
#include "snub/units.h"

/* Weights of what is broken, in times of a limit: a build that cannot be judged is worse than any that can. */
#define PER_LEVEL 0.1 /* a finding just over its limit is broken all the same */
#define EXCESS_MOST 10.0
#define NO_BELT 20.0
#define NO_DRIVE 50.0 /* the belt runs nowhere, or the file cannot be read */
#define SAME 1e-9     /* times of a limit: rounding, no change */

/* Builds that are judged before all others: with three, a candidate that cannot win costs a ninth of the example. */
enum { FEW = 3 };

typedef struct snub_bench {
    snub_arena arena;
    snub_build build;
} snub_bench;

/* A finding of today's build. */
typedef struct today_finding {
    snub_rule rule;
    const char *pulley, *other, *second;
    snub_level level;
    double excess, farness;
} today_finding;

typedef struct snub_build_today {
    bool settled;
    snub_level verdict;
    int count;
    today_finding *items;
} snub_build_today;

/* What a build comes to: plain data. */
typedef struct came_to {
    bool settled;
    int level;
    double over, ease; /* ease: how far from passing */
    double grip, life, hub, wrap;
} came_to;

/* ---- what must hold ---------------------------------------------------------------------------------------------- */

/* Times of its limit that a finding is beyond it; 1 where it knows no measure. */
static double excess(const snub_finding *f)
{
    if (isnan(f->value) || isnan(f->limit) || f->limit == 0.0)
        return 1.0;
    return fmin(fabs(f->value - f->limit) / fabs(f->limit), EXCESS_MOST);
}

static double over_level(const snub_finding *f, snub_level allowed)
{
    return f->level > allowed ? PER_LEVEL * (double)(f->level - allowed) + excess(f) : 0.0;
}

static bool same_name(const char *a, const char *b)
{
    return a == b || (a != NULL && b != NULL && strcmp(a, b) == 0);
}

/* How far from passing: every finding of a higher level is farther than any of a lower one, whatever limits they have.
 */
static double farness(const snub_finding *f)
{
    const double over = excess(f);
    return f->level <= SNUB_NOTE ? 0.0 : (double)(f->level - SNUB_MARGINAL) + PER_LEVEL + over / (1.0 + over);
}

/* Of today's build the same finding; NULL: there is none. The worst stand first. */
static const today_finding *find_today(const snub_build_today *today, const snub_finding *f)
{
    for (int i = 0; i < today->count; i++) {
        const today_finding *t = &today->items[i];
        if (t->rule == snub_wording_describe(f->wording)->rule && same_name(t->pulley, f->pulley) &&
            same_name(t->other, f->other) && same_name(t->second, f->second))
            return t;
    }
    return NULL;
}

/* By how much a finding is worse than today's build. Its limit may be another at another level: a lower level is never
 * worse, and only within one are excesses compared. A build that fails today may hide lesser findings, which a rule
 * leaves out beside a failure: where it does not fail any more, they are no worse. */
static double worse_than_today(const snub_build_today *today, snub_level verdict, const snub_finding *f)
{
    const today_finding *t = find_today(today, f);
    if (f->level <= SNUB_NOTE || (t != NULL && f->level < t->level) || verdict < today->verdict)
        return 0.0;
    const double more = t != NULL && f->level == t->level ? excess(f) - t->excess
                        : t != NULL                       ? PER_LEVEL * (double)(f->level - t->level) + excess(f)
                                                          : over_level(f, SNUB_NOTE);
    return more > SAME ? more : 0.0;
}

static double broken(const snub_measuring *m, int row, snub_level verdict, const snub_finding *f)
{
    const snub_hold hold = m->space->section->hold;
    if (hold != SNUB_HOLD_TODAY)
        return over_level(f, hold == SNUB_HOLD_PASS ? SNUB_NOTE : SNUB_MARGINAL);
    /* any belt is better than none: what is found of a build that has none today is no worse */
    if (m->today == NULL || !m->today[row].settled)
        return 0.0;
    return worse_than_today(&m->today[row], verdict, f);
}

static double over_of_build(const snub_measuring *m, int row, const snub_build *build)
{
    double over = 0.0;
    const bool today_too = m->space->section->hold == SNUB_HOLD_TODAY && (m->today == NULL || !m->today[row].settled);
    if (!today_too)
        over += !build->settled ? NO_BELT : !build->laid ? NO_DRIVE : 0.0;
    for (int i = 0; i < build->findings.count; i++)
        over += broken(m, row, build->verdict, &build->findings.items[i]);
    return over;
}

/* ---- a build ----------------------------------------------------------------------------------------------------- */

static double greatest_hub(const snub_build *build, int pulley)
{
    double most = NAN;
    for (int i = 0; build->hubs != NULL && i < build->drive->pulley_count; i++) {
        const bool counts = pulley >= 0 ? i == pulley : snub_hub_is_told(build->drive, i);
        if (counts && build->hubs[i].met)
            most = fmax(most, hypot(build->hubs[i].force[0], build->hubs[i].force[1]));
    }
    return most;
}

/* A bearing that carries nothing lasts for ever: no number for a file of JSON. */
static double life_of(const snub_build *build)
{
    const double most = 1e9 * SNUB_HOUR, life = build->hardware.bearing_life;
    return life > most ? most : life;
}

static void weigh(const snub_measuring *m, int row, const snub_build *build, came_to *out)
{
    const int pulley = m->space->section->pulley;
    double ease = build->settled ? 0.0 : NO_BELT;
    for (int i = 0; i < build->findings.count; i++)
        ease += farness(&build->findings.items[i]);
    *out = (came_to){.settled = build->settled,
                     .level = (int)build->verdict,
                     .over = over_of_build(m, row, build),
                     .ease = ease / (1.0 + ease),
                     .grip = build->laid ? build->worst_grip : (double)NAN,
                     .life = build->hardware.given ? life_of(build) : (double)NAN,
                     .hub = greatest_hub(build, pulley),
                     .wrap = build->laid && pulley >= 0 ? build->rest.path.wrap[pulley] : (double)NAN};
}

/* A part, and what the file writes itself in its place. */
enum { OVERLAYS_MOST = SNUB_MOVES_MOST * 8 };

static const snub_node nothing = {.kind = SNUB_SCALAR, .text = "null"};

static int overlays_of(const snub_space *space, const double *value, snub_arena *arena, snub_overlay *overlays)
{
    int count = 0;
    for (int k = 0; k < space->section->move_count; k++) {
        const snub_move *move = &space->section->moves[k];
        snub_node *node = NULL;
        if (value == NULL || !snub_space_moved(space, k, value))
            continue;
        const char *text = snub_space_text(space, k, value, arena);
        if (text == NULL || snub_node_from_text(text, "search", arena, &node, NULL) != SNUB_OK)
            return -1;
        overlays[count++] = (snub_overlay){move->path, node, move->place};
        for (int i = 0; i < space->taken_count[k]; i++)
            overlays[count++] = (snub_overlay){space->taken[k][i], &nothing, move->place};
    }
    return count;
}

bool snub_measure_row(const snub_space *space, const snub_row *from, const double *value, snub_arena *arena,
                      snub_row *made)
{
    snub_overlay overlays[OVERLAYS_MOST];
    const int count = overlays_of(space, value, arena, overlays);
    *made = *from;
    for (int i = 0; i < count; i++) {
        const snub_row before = *made;
        if (!snub_row_with(&before, &overlays[i], arena, made))
            return false;
    }
    return count >= 0;
}

/* @param[out] readable  false: the values cannot stand together, such as a pulley in an obstacle */
static snub_status make_build(const snub_measuring *m, int row, const double *value, snub_arena *arena,
                              snub_build *build, bool *readable)
{
    snub_errors errors = {0};
    snub_reading own = *m->reading;
    const snub_build_request request = {.afresh = true};
    snub_row made;
    own.arena = arena;
    if (!snub_measure_row(m->space, &m->rows.items[row], value, arena, &made))
        return SNUB_NO_MEMORY;
    const snub_status status = snub_build_make(m->document, &own, &made, &request, build, &errors);
    snub_errors_free(&errors);
    *readable = status == SNUB_OK;
    return status == SNUB_NO_MEMORY ? status : SNUB_OK;
}

/* ---- all of them ------------------------------------------------------------------------------------------------- */

typedef struct round_of {
    snub_measuring *m;
    const double *value;
    int first;
    snub_candidate_measures *out;
    double ease;
    snub_build_today *today; /* to be filled; NULL */
    bool no_memory;
} round_of;

static snub_status keep_today(snub_measuring *m, const snub_build *build, snub_build_today *today)
{
    snub_status status = SNUB_OK;
#pragma omp critical(snub_search_today)
    {
        snub_arena *arena = m->reading->arena;
        today->settled = build->settled && build->laid;
        today->verdict = build->verdict;
        today->items = SNUB_NEW(arena, today_finding, build->findings.count + 1);
        for (int i = 0; today->items != NULL && i < build->findings.count; i++) {
            const snub_finding *f = &build->findings.items[i];
            if (f->level <= SNUB_NOTE)
                continue;
            today->items[today->count++] = (today_finding){snub_wording_describe(f->wording)->rule,
                                                           f->pulley != NULL ? snub_copy_text(arena, f->pulley) : NULL,
                                                           f->other != NULL ? snub_copy_text(arena, f->other) : NULL,
                                                           f->second != NULL ? snub_copy_text(arena, f->second) : NULL,
                                                           f->level,
                                                           excess(f),
                                                           farness(f)};
        }
        status = today->items == NULL || arena->refused ? SNUB_NO_MEMORY : SNUB_OK;
    }
    return status;
}

static snub_status work(uint64_t block, int thread, void *record, void *context)
{
    const round_of *r = context;
    came_to *out = record;
    bool readable;
    const int row = r->m->order[r->first + (int)block];
    snub_bench *b = &r->m->benches[thread];
    snub_status status = make_build(r->m, row, r->value, &b->arena, &b->build, &readable);
    if (status == SNUB_OK && readable)
        weigh(r->m, row, &b->build, out);
    else
        *out = (came_to){false, SNUB_FAIL, 2.0 * NO_DRIVE, 1.0, NAN, NAN, NAN, NAN};
    if (status == SNUB_OK && readable && r->today != NULL)
        status = keep_today(r->m, &b->build, &r->today[row]);
    snub_arena_free(&b->arena);
    return status;
}

/* A build without a value of what is to be gained gains nothing; a bracket without bearings has no life for any. */
static bool take(uint64_t block, const void *record, void *context)
{
    round_of *r = context;
    const came_to *c = record;
    double *of = r->out->of;
    (void)block;
    r->out->counts[c->level]++;
    r->out->over += c->over;
    r->ease += c->level > SNUB_NOTE ? c->ease : 0.0;
    of[SNUB_AIM_GRIP] = fmax(of[SNUB_AIM_GRIP], c->grip);
    of[SNUB_AIM_HUB] = fmax(of[SNUB_AIM_HUB], c->hub);
    of[SNUB_AIM_LIFE] = fmin(of[SNUB_AIM_LIFE], c->life);
    of[SNUB_AIM_WRAP] = fmin(of[SNUB_AIM_WRAP], c->wrap);
    return true;
}

static snub_status measure_rows(round_of *r, int first, int count)
{
    uint64_t done = 0;
    const snub_blocks blocks = {.count = (uint64_t)count,
                                .round = count,
                                .record = sizeof(came_to),
                                .alone = r->today != NULL, /* its findings have names */
                                .threads = r->m->threads,
                                .work = work,
                                .take = take,
                                .context = r};
    r->first = first;
    return count > 0 ? snub_blocks_run(&blocks, 0, &done) : SNUB_OK;
}

static snub_status count_belts(const snub_measuring *m, const double *value, double *belts)
{
    snub_errors errors = {0};
    snub_arena arena;
    snub_overlay overlays[OVERLAYS_MOST];
    snub_reading own = *m->reading;
    snub_chart chart;
    const snub_chart_request request = {.threads = m->threads, .named = *m->named};
    snub_arena_init(&arena, m->reading->arena->limit);
    own.arena = &arena;
    const int moved = overlays_of(m->space, value, &arena, overlays), before = m->reading->overlay_count;
    snub_overlay *all = SNUB_NEW(&arena, snub_overlay, before + OVERLAYS_MOST);
    snub_status status = SNUB_NO_MEMORY;
    if (moved >= 0 && all != NULL) {
        for (int i = 0; i < before + moved; i++)
            all[i] = i < before ? m->reading->overlays[i] : overlays[i - before];
        own.overlays = all;
        own.overlay_count = before + moved;
        status = snub_chart_drive(m->document, &own, &request, &chart, &errors);
        *belts = status == SNUB_OK ? chart.fewest_count : (double)NAN;
        snub_chart_free(&chart);
    }
    snub_errors_free(&errors);
    snub_arena_free(&arena);
    return status == SNUB_NO_MEMORY ? status : SNUB_OK;
}

static snub_status measure(snub_measuring *m, const double *value, bool whole, snub_build_today *today,
                           snub_candidate_measures *out)
{
    const int count = whole ? m->rows.count : m->few;
    round_of r = {.m = m, .value = value, .out = out, .today = today};
    *out = (snub_candidate_measures){.whole = count == m->rows.count};
    for (int a = 0; a < SNUB_AIMS_; a++)
        out->of[a] = NAN;
    snub_status status = measure_rows(&r, 0, count);
    /* builds that were not judged may pass */
    out->of[SNUB_AIM_PASSES] = m->rows.count - out->counts[SNUB_MARGINAL] - out->counts[SNUB_FAIL];
    out->nearly = r.ease / m->rows.count;
    out->of[SNUB_AIM_CHANGE] = value != NULL ? snub_space_change(m->space, value) : 0.0;
    if (status == SNUB_OK && m->belts && out->whole)
        status = count_belts(m, value, &out->of[SNUB_AIM_BELTS]);
    return status;
}

snub_status snub_measure(snub_measuring *m, const double *value, bool whole, snub_candidate_measures *out)
{
    return measure(m, value, whole, NULL, out);
}

/* ---- today ------------------------------------------------------------------------------------------------------- */

/* Those first that are farthest from passing. */
static snub_status put_in_order(snub_measuring *m)
{
    double *weight = SNUB_NEW(m->reading->arena, double, m->rows.count + 1);
    if (weight == NULL)
        return SNUB_NO_MEMORY;
    for (int i = 0; i < m->rows.count; i++)
        for (int k = 0; k < m->today[i].count; k++)
            weight[i] += m->today[i].items[k].farness;
    for (int i = 1; i < m->rows.count; i++) {
        const int moved = m->order[i];
        int j = i;
        for (; j > 0 && weight[moved] > weight[m->order[j - 1]]; j--)
            m->order[j] = m->order[j - 1];
        m->order[j] = moved;
    }
    return SNUB_OK;
}

snub_status snub_measuring_open(snub_measuring *m, snub_candidate_measures *today, snub_errors *errors)
{
    snub_arena *arena = m->reading->arena;
    snub_status status = snub_rows_list(m->document, m->reading, m->named, &m->rows, errors);
    if (status != SNUB_OK)
        return status;
    const snub_blocks any = {.round = m->rows.count, .threads = m->threads};
    m->bench_count = snub_blocks_threads(&any);
    m->benches = calloc((size_t)m->bench_count, sizeof *m->benches);
    m->order = SNUB_NEW(arena, int, m->rows.count + 1);
    snub_build_today *known = SNUB_NEW(arena, snub_build_today, m->rows.count + 1);
    if (m->benches == NULL || m->order == NULL || known == NULL)
        return SNUB_NO_MEMORY;
    for (int i = 0; i < m->bench_count; i++)
        snub_arena_init(&m->benches[i].arena, arena->limit);
    for (int i = 0; i < m->rows.count; i++)
        m->order[i] = i;
    m->few = m->rows.count > FEW ? FEW : m->rows.count;
    status = measure(m, NULL, true, known, today);
    m->today = known;
    return status == SNUB_OK ? put_in_order(m) : status;
}

void snub_measuring_close(snub_measuring *m)
{
    free(m->benches);
    m->benches = NULL;
}

static const snub_finding *worst_of(const snub_measuring *m, int row, const snub_build *build, double *over)
{
    const snub_finding *worst = NULL;
    for (int i = 0; i < build->findings.count; i++) {
        const double this = broken(m, row, build->verdict, &build->findings.items[i]);
        if (this > *over) {
            *over = this;
            worst = &build->findings.items[i];
        }
    }
    return worst;
}

snub_status snub_measure_worst(snub_measuring *m, const double *value, const snub_row **row,
                               const snub_finding **finding)
{
    double over = 0.0;
    bool readable;
    snub_status status = SNUB_OK;
    snub_build *build = SNUB_NEW(m->reading->arena, snub_build, 1);
    *row = NULL;
    *finding = NULL;
    if (build == NULL)
        return SNUB_NO_MEMORY;
    for (int i = 0; i < m->rows.count && status == SNUB_OK; i++) {
        snub_arena branch;
        snub_arena_branch(m->reading->arena, &branch);
        status = make_build(m, i, value, &branch, build, &readable);
        const snub_finding *worst = status == SNUB_OK && readable ? worst_of(m, i, build, &over) : NULL;
        if (worst == NULL) {
            snub_arena_drop(m->reading->arena, &branch);
            continue;
        }
        *row = &m->rows.items[i];
        *finding = worst;
        snub_finding *kept = SNUB_NEW(&branch, snub_finding, 1);
        if (kept != NULL) {
            *kept = *worst;
            *finding = kept;
        }
        status = kept != NULL ? SNUB_OK : SNUB_NO_MEMORY;
        snub_arena_join(m->reading->arena, &branch);
    }
    return status;
}

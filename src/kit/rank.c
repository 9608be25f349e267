/* Positions on offer, side by side. docs/theory/kit.md. */
#include <stdlib.h>
#include <string.h>

#include "snub/kit.h"

bool snub_is_place_option(const snub_option *option)
{
    return option->count > 0 && option->values[0]->kind != SNUB_SCALAR;
}

/* -1: a is better. */
static int compare(const snub_rank *a, const snub_rank *b)
{
    for (int level = SNUB_FAIL; level >= SNUB_MARGINAL; level--) {
        if (a->counts[level] != b->counts[level])
            return a->counts[level] < b->counts[level] ? -1 : 1;
    }
    return a->grip < b->grip ? -1 : a->grip > b->grip ? 1 : 0;
}

/* The file's order among equals. */
static int by_rank(const void *a, const void *b)
{
    const snub_rank *x = a, *y = b;
    const int order = compare(x, y);
    return order != 0 ? order : x->place - y->place;
}

static int by_value(const void *a, const void *b)
{
    const snub_rank *const *x = a, *const *y = b;
    const int order = strcmp((*x)->value, (*y)->value);
    return order != 0 ? order : (*x)->place - (*y)->place;
}

/* The first of the values that reads so. @param[in] sorted  by value; NULL: none */
static snub_rank *rank_of(snub_rank *const *sorted, int count, const char *value)
{
    int low = 0, high = count;
    while (low < high) {
        const int middle = low + (high - low) / 2;
        if (strcmp(sorted[middle]->value, value) < 0)
            low = middle + 1;
        else
            high = middle;
    }
    return low < count && strcmp(sorted[low]->value, value) == 0 ? sorted[low] : NULL;
}

static void add_build(snub_rank *rank, const snub_charted *build)
{
    rank->builds++;
    rank->counts[build->verdict == SNUB_NOTE ? SNUB_PASS : build->verdict]++;
    rank->grip = fmax(rank->grip, build->settled && !isnan(build->worst_grip) ? build->worst_grip : INFINITY);
    rank->gap = fmin(rank->gap, build->laid ? build->tightest_gap : INFINITY);
}

/* A value and a belt that a build of it takes. */
typedef struct taken {
    snub_rank *rank;
    const char *designation;
} taken;

static int by_rank_and_belt(const void *a, const void *b)
{
    const taken *x = a, *y = b;
    return x->rank != y->rank ? x->rank->place - y->rank->place : strcmp(x->designation, y->designation);
}

static void count_belts(taken *all, int count)
{
    qsort(all, (size_t)count, sizeof *all, by_rank_and_belt);
    for (int k = 0; k < count; k++)
        all[k].rank->belts += k == 0 || by_rank_and_belt(&all[k - 1], &all[k]) != 0;
}

bool snub_rank_values(const snub_chart *chart, int option, snub_arena *arena, snub_rank *ranks)
{
    const snub_option *of = &chart->rows.options[option];
    snub_rank **sorted = SNUB_NEW(arena, snub_rank *, of->count);
    taken *all = SNUB_NEW(arena, taken, chart->build_count);
    int count = 0;
    if (sorted == NULL || all == NULL)
        return false;
    for (int i = 0; i < of->count; i++) {
        ranks[i] = (snub_rank){.value = snub_node_flow(of->values[i], arena), .place = i, .gap = INFINITY};
        sorted[i] = &ranks[i];
        if (ranks[i].value == NULL)
            return false;
    }
    qsort(sorted, (size_t)of->count, sizeof(snub_rank *), by_value);
    for (int b = 0; b < chart->build_count; b++) {
        const snub_charted *build = &chart->builds[b];
        snub_rank *rank = rank_of(sorted, of->count, build->row->values[option]);
        if (rank == NULL)
            continue;
        add_build(rank, build);
        if (build->settled)
            all[count++] = (taken){rank, build->designation};
    }
    count_belts(all, count);
    qsort(ranks, (size_t)of->count, sizeof *ranks, by_rank);
    return true;
}

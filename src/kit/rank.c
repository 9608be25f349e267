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

/* Few values: by insertion, which keeps the order of equals. */
static void sort(snub_rank *ranks, int count)
{
    for (int i = 1; i < count; i++) {
        const snub_rank one = ranks[i];
        int k = i;
        for (; k > 0 && compare(&one, &ranks[k - 1]) < 0; k--)
            ranks[k] = ranks[k - 1];
        ranks[k] = one;
    }
}

static int which_value(const snub_row *row, int option, const snub_rank *ranks, int count)
{
    for (int i = 0; i < count; i++) {
        if (strcmp(row->values[option], ranks[i].value) == 0)
            return i;
    }
    return -1;
}

/* True where an earlier build of the same value takes the same belt. */
static bool belt_seen(const snub_chart *chart, int build, int option)
{
    const snub_build *b = &chart->builds[build];
    for (int i = 0; i < build; i++) {
        const snub_build *other = &chart->builds[i];
        if (other->settled && strcmp(other->designation, b->designation) == 0 &&
            strcmp(other->row.values[option], b->row.values[option]) == 0)
            return true;
    }
    return false;
}

bool snub_rank_values(const snub_chart *chart, int option, snub_arena *arena, snub_rank *ranks)
{
    const snub_option *of = &chart->rows.options[option];
    for (int i = 0; i < of->count; i++) {
        ranks[i] = (snub_rank){.value = snub_node_flow(of->values[i], arena), .gap = INFINITY};
        if (ranks[i].value == NULL)
            return false;
    }
    for (int b = 0; b < chart->build_count; b++) {
        const snub_build *build = &chart->builds[b];
        const int which = which_value(&build->row, option, ranks, of->count);
        if (which < 0)
            continue;
        snub_rank *rank = &ranks[which];
        rank->builds++;
        rank->counts[build->verdict == SNUB_NOTE ? SNUB_PASS : build->verdict]++;
        rank->grip = fmax(rank->grip, build->settled && !isnan(build->worst_grip) ? build->worst_grip : INFINITY);
        rank->gap = fmin(rank->gap, build->laid ? build->tightest_gap : INFINITY);
        rank->belts += build->settled && !belt_seen(chart, b, option);
    }
    sort(ranks, of->count);
    return true;
}

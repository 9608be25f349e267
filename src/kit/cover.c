/* Set cover over builds and belts: few belts, small sets, so branch and bound on the build with the fewest belts. */
#include "cover.h"

#include <stdlib.h>
#include <string.h>

/* Nodes of the search for one rib count before the greedy answer stands. */
enum { NODES_MOST = 200000 };
/* Two lengths are one belt below this, m: belts are sold in whole millimetres. */
static const double SAME_LENGTH_M = 1e-6;

typedef struct belts {
    snub_belt_use *items;
    int count;
} belts;

static snub_belt_use *belt_of(belts *all, const snub_drive *drive, double length, int builds, snub_arena *arena)
{
    for (int b = 0; b < all->count; b++) {
        if (all->items[b].ribs == drive->belt.ribs && fabs(all->items[b].length - length) < SAME_LENGTH_M) {
            return &all->items[b];
        }
    }
    snub_belt_use *use = &all->items[all->count];
    use->builds = SNUB_NEW(arena, int, builds);
    if (use->builds == NULL)
        return NULL;
    use->ribs = drive->belt.ribs;
    use->length = length;
    snub_designation(&drive->belt, length, use->designation);
    all->count++;
    return use;
}

static int by_belt(const void *a, const void *b)
{
    const snub_belt_use *x = a, *y = b;
    if (x->ribs != y->ribs)
        return x->ribs < y->ribs ? -1 : 1;
    return x->length < y->length ? -1 : x->length > y->length;
}

/* All belts that may serve (best_only: that the builds take), with their builds. A belt serves a build where the whole
 * build's verdict with it is no worse than with the best. */
static snub_status gather(const snub_chart *chart, bool best_only, snub_arena *arena, belts *all)
{
    int most = 0;
    for (int i = 0; i < chart->build_count; i++)
        most += best_only ? 1 : chart->builds[i].choices.count;
    all->count = 0;
    all->items = SNUB_NEW(arena, snub_belt_use, most + 1);
    if (all->items == NULL)
        return SNUB_NO_MEMORY;
    for (int i = 0; i < chart->build_count; i++) {
        const snub_build *build = &chart->builds[i];
        for (int c = 0; c < build->choices.count; c++) {
            const snub_choice *choice = &build->choices.choice[c];
            if (best_only && c > 0)
                break;
            if (!choice->serves)
                continue;
            snub_belt_use *use = belt_of(all, build->drive, choice->length, chart->build_count, arena);
            if (use == NULL)
                return SNUB_NO_MEMORY;
            if (use->count == 0 || use->builds[use->count - 1] != i) /* two makes of one length are one belt here */
                use->builds[use->count++] = i;
        }
    }
    if (all->count > 1)
        qsort(all->items, (size_t)all->count, sizeof *all->items, by_belt);
    return SNUB_OK;
}

typedef struct hunt {
    const belts *all;
    int first, last; /* belts of one rib count: [first, last) */
    int builds;
    int *covered; /* how many chosen belts serve a build; -1: not to be served by this rib count */
    int *chosen, chosen_count;
    int *best, best_count;
    long nodes;
} hunt;

static bool serves(const snub_belt_use *use, int build)
{
    for (int k = 0; k < use->count; k++) {
        if (use->builds[k] == build)
            return true;
    }
    return false;
}

static void mark(hunt *h, int belt, int by)
{
    const snub_belt_use *use = &h->all->items[belt];
    for (int k = 0; k < use->count; k++)
        h->covered[use->builds[k]] += by;
}

static int gain_of(const hunt *h, int belt)
{
    int gain = 0;
    const snub_belt_use *use = &h->all->items[belt];
    for (int k = 0; k < use->count; k++)
        gain += h->covered[use->builds[k]] == 0;
    return gain;
}

static bool all_covered(const hunt *h)
{
    for (int i = 0; i < h->builds; i++) {
        if (h->covered[i] == 0)
            return false;
    }
    return true;
}

static void greedy(hunt *h)
{
    h->chosen_count = 0;
    while (!all_covered(h)) {
        int best = h->first, most = -1;
        for (int b = h->first; b < h->last; b++) {
            const int gain = gain_of(h, b);
            if (gain > most) {
                most = gain;
                best = b;
            }
        }
        h->chosen[h->chosen_count++] = best;
        mark(h, best, 1);
    }
    h->best_count = h->chosen_count;
    memcpy(h->best, h->chosen, sizeof(int) * (size_t)h->chosen_count);
    while (h->chosen_count > 0)
        mark(h, h->chosen[--h->chosen_count], -1);
}

/* The uncovered build that fewest belts serve is branched on: one of them must be in the answer. */
static int hardest_build(const hunt *h)
{
    int hardest = -1, fewest = 0;
    for (int i = 0; i < h->builds; i++) {
        if (h->covered[i] != 0)
            continue;
        int belts_here = 0;
        for (int b = h->first; b < h->last; b++)
            belts_here += serves(&h->all->items[b], i);
        if (hardest < 0 || belts_here < fewest) {
            hardest = i;
            fewest = belts_here;
        }
    }
    return hardest;
}

static void branch(hunt *h)
{
    if (++h->nodes > NODES_MOST)
        return;
    if (all_covered(h)) {
        if (h->chosen_count < h->best_count) {
            h->best_count = h->chosen_count;
            memcpy(h->best, h->chosen, sizeof(int) * (size_t)h->chosen_count);
        }
        return;
    }
    if (h->chosen_count + 1 >= h->best_count)
        return;
    const int build = hardest_build(h);
    for (int b = h->first; b < h->last; b++) {
        if (!serves(&h->all->items[b], build))
            continue;
        h->chosen[h->chosen_count++] = b;
        mark(h, b, 1);
        branch(h);
        mark(h, b, -1);
        h->chosen_count--;
    }
}

static void hunt_ribs(hunt *h, snub_chart *chart)
{
    for (int i = 0; i < h->builds; i++)
        h->covered[i] = -1;
    for (int b = h->first; b < h->last; b++) {
        const snub_belt_use *use = &h->all->items[b];
        for (int k = 0; k < use->count; k++)
            h->covered[use->builds[k]] = 0;
    }
    greedy(h);
    h->nodes = 0;
    branch(h);
    if (h->nodes > NODES_MOST)
        chart->fewest_exact = false;
    for (int k = 0; k < h->best_count; k++)
        chart->fewest[chart->fewest_count++] = h->all->items[h->best[k]];
}

snub_status snub_cover(snub_chart *chart, snub_arena *arena)
{
    belts all, used;
    if (gather(chart, true, arena, &used) != SNUB_OK || gather(chart, false, arena, &all) != SNUB_OK) {
        return SNUB_NO_MEMORY;
    }
    chart->belts = used.items;
    chart->belt_count = used.count;
    chart->fewest_count = 0;
    chart->fewest_exact = true;
    for (int i = 0; i < chart->build_count; i++)
        chart->fewest_exact = chart->fewest_exact && !chart->builds[i].choices.cut;
    chart->fewest = SNUB_NEW(arena, snub_belt_use, all.count + 1);
    hunt h = {.all = &all, .builds = chart->build_count};
    h.covered = SNUB_NEW(arena, int, chart->build_count + 1);
    h.chosen = SNUB_NEW(arena, int, all.count + 1);
    h.best = SNUB_NEW(arena, int, all.count + 1);
    if (chart->fewest == NULL || h.covered == NULL || h.chosen == NULL || h.best == NULL)
        return SNUB_NO_MEMORY;
    for (h.first = 0; h.first < all.count; h.first = h.last) {
        h.last = h.first;
        while (h.last < all.count && all.items[h.last].ribs == all.items[h.first].ribs)
            h.last++;
        hunt_ribs(&h, chart);
    }
    if (chart->fewest_count > 1) {
        qsort(chart->fewest, (size_t)chart->fewest_count, sizeof *chart->fewest, by_belt);
    }
    return SNUB_OK;
}

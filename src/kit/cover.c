/* Set cover over builds and belts: few belts, small sets, so branch and bound on the build with the fewest belts.
 * Builds that the same belts serve are one group, so that the work goes with how builds differ and not with how many
 * they are.
 */
#include "cover.h"
#include "settle.h"

#include <stdlib.h>
#include <string.h>

/* Nodes of the search for one rib count before the greedy answer stands. */
enum { NODES_MOST = 200000 };

/* A belt that serves a build. */
typedef struct service {
    int build, ribs;
    double length;
    int order; /* as found: of lengths that are one belt the first names it */
    int belt;
} service;

typedef struct services {
    service *items; /* by build, in the order of its choices */
    int count;
    snub_belt_use *belts; /* by ribs, then by length */
    int belt_count;
} services;

static int by_belt(const void *a, const void *b)
{
    const snub_belt_use *x = a, *y = b;
    if (x->ribs != y->ribs)
        return x->ribs < y->ribs ? -1 : 1;
    return x->length < y->length ? -1 : x->length > y->length;
}

static int by_length(const void *a, const void *b)
{
    const service *x = a, *y = b;
    if (x->ribs != y->ribs)
        return x->ribs < y->ribs ? -1 : 1;
    if (x->length != y->length)
        return x->length < y->length ? -1 : 1;
    return x->order - y->order;
}

static int by_build(const void *a, const void *b)
{
    const service *x = a, *y = b;
    return x->build != y->build ? x->build - y->build : x->belt != y->belt ? x->belt - y->belt : x->order - y->order;
}

static void add_service(services *all, int build, int ribs, double length)
{
    all->items[all->count] = (service){build, ribs, length, all->count, 0};
    all->count++;
}

/* All belts that may serve (best_only: that the builds take). A belt serves a build where the whole build's verdict
 * with it is no worse than with the best. */
static bool list_services(const snub_chart *chart, bool best_only, snub_arena *arena, services *all)
{
    int most = 0;
    for (int i = 0; i < chart->build_count; i++)
        most += chart->builds[i].serving_count + chart->builds[i].open_count;
    *all = (services){.items = SNUB_NEW(arena, service, most)};
    for (int i = 0; i < chart->build_count && all->items != NULL; i++) {
        const snub_charted *build = &chart->builds[i];
        const int taken = best_only ? build->first_serves : build->serving_count;
        for (int c = 0; c < taken; c++)
            add_service(all, i, build->ribs, build->serving[c]);
        for (int c = 0; c < build->open_count && !best_only; c++)
            add_service(all, i, build->ribs, build->open[c]);
    }
    return all->items != NULL;
}

/* Services of one belt: [from, to). */
static int end_of_belt(const services *all, int from)
{
    int to = from + 1;
    while (to < all->count && all->items[to].ribs == all->items[from].ribs &&
           snub_same_length(all->items[to].length, all->items[from].length))
        to++;
    return to;
}

static void name_belt(const snub_chart *chart, services *all, int from, int to)
{
    const service *first = &all->items[from];
    for (int k = from; k < to; k++) {
        first = all->items[k].order < first->order ? &all->items[k] : first;
        all->items[k].belt = all->belt_count;
    }
    snub_belt_use *use = &all->belts[all->belt_count++];
    const snub_belt belt = {.section = chart->builds[first->build].section, .ribs = first->ribs};
    use->ribs = first->ribs;
    use->length = first->length;
    snub_designation(&belt, first->length, use->designation);
}

/* Two makes of one length are one belt to a build. */
static void drop_twice(services *all)
{
    int kept = 0;
    for (int k = 0; k < all->count; k++) {
        const service *s = &all->items[k];
        if (kept > 0 && all->items[kept - 1].build == s->build && all->items[kept - 1].belt == s->belt)
            continue;
        all->items[kept++] = *s;
    }
    all->count = kept;
}

/* @param[in] arena  for the list of belts, @param[in] scratch  for the rest */
static bool gather(const snub_chart *chart, bool best_only, snub_arena *arena, snub_arena *scratch, services *all)
{
    if (!list_services(chart, best_only, scratch, all))
        return false;
    int belts = 0;
    qsort(all->items, (size_t)all->count, sizeof *all->items, by_length);
    for (int from = 0; from < all->count; from = end_of_belt(all, from))
        belts++;
    all->belts = SNUB_NEW(arena, snub_belt_use, belts);
    if (all->belts == NULL)
        return false;
    for (int from = 0, to; from < all->count; from = to) {
        to = end_of_belt(all, from);
        name_belt(chart, all, from, to);
    }
    qsort(all->items, (size_t)all->count, sizeof *all->items, by_build);
    drop_twice(all);
    for (int k = 0; k < all->count; k++)
        all->belts[all->items[k].belt].count++;
    return true;
}

/* ---- groups ------------------------------------------------------------------------------------------------------ */

/* Builds that the same belts serve. */
typedef struct group {
    const service *services; /* of its first build, by belt */
    int belts, builds;
    int covered; /* how many chosen belts serve it */
} group;

static int by_belts(const group *x, const group *y)
{
    const int least = x->belts < y->belts ? x->belts : y->belts;
    for (int k = 0; k < least; k++) {
        if (x->services[k].belt != y->services[k].belt)
            return x->services[k].belt < y->services[k].belt ? -1 : 1;
    }
    return x->belts - y->belts;
}

static int alike_first(const void *a, const void *b)
{
    const group *x = a, *y = b;
    const int order = by_belts(x, y);
    return order != 0 ? order : x->services->build - y->services->build;
}

/* Fewest belts first, of those the build that comes first. */
static int hardest_first(const void *a, const void *b)
{
    const group *x = a, *y = b;
    return x->belts != y->belts ? x->belts - y->belts : x->services->build - y->services->build;
}

/* Groups of the builds of one rib count, the hardest first. */
static group *group_builds(const services *all, int first_belt, int last_belt, snub_arena *scratch, int *count)
{
    group *groups = SNUB_NEW(scratch, group, all->count);
    int made = 0, kept = 0;
    for (int k = 0, next; k < all->count && groups != NULL; k = next) {
        for (next = k + 1; next < all->count && all->items[next].build == all->items[k].build;)
            next++;
        if (all->items[k].belt >= first_belt && all->items[k].belt < last_belt)
            groups[made++] = (group){&all->items[k], next - k, 1, 0};
    }
    if (groups == NULL)
        return NULL;
    qsort(groups, (size_t)made, sizeof *groups, alike_first);
    for (int g = 0; g < made; g++) {
        if (kept > 0 && by_belts(&groups[kept - 1], &groups[g]) == 0)
            groups[kept - 1].builds++;
        else
            groups[kept++] = groups[g];
    }
    qsort(groups, (size_t)kept, sizeof *groups, hardest_first);
    *count = kept;
    return groups;
}

/* ---- the search -------------------------------------------------------------------------------------------------- */

typedef struct hunt {
    int first, last; /* belts of one rib count: [first, last) */
    group *groups;
    int group_count, uncovered;
    int *gains; /* per belt: builds that it would serve first */
    int *chosen, chosen_count;
    int *best, best_count;
    long nodes;
} hunt;

static bool serves(const group *g, int belt)
{
    for (int k = 0; k < g->belts; k++) {
        if (g->services[k].belt == belt)
            return true;
    }
    return false;
}

static void choose(hunt *h, int belt)
{
    h->chosen[h->chosen_count++] = belt;
    for (int g = 0; g < h->group_count; g++) {
        if (serves(&h->groups[g], belt))
            h->uncovered -= h->groups[g].covered++ == 0;
    }
}

static void give_up_last(hunt *h)
{
    const int belt = h->chosen[--h->chosen_count];
    for (int g = 0; g < h->group_count; g++) {
        if (serves(&h->groups[g], belt))
            h->uncovered += --h->groups[g].covered == 0;
    }
}

static void note_best(hunt *h)
{
    h->best_count = h->chosen_count;
    memcpy(h->best, h->chosen, sizeof(int) * (size_t)h->chosen_count);
}

static void greedy(hunt *h)
{
    h->chosen_count = 0;
    while (h->uncovered > 0) {
        int best = h->first;
        memset(&h->gains[h->first], 0, sizeof(int) * (size_t)(h->last - h->first));
        for (int g = 0; g < h->group_count; g++) {
            for (int k = 0; h->groups[g].covered == 0 && k < h->groups[g].belts; k++)
                h->gains[h->groups[g].services[k].belt] += h->groups[g].builds;
        }
        for (int b = h->first; b < h->last; b++)
            best = h->gains[b] > h->gains[best] ? b : best;
        choose(h, best);
    }
    note_best(h);
    while (h->chosen_count > 0)
        give_up_last(h);
}

/* The uncovered build that fewest belts serve is branched on: one of them must be in the answer. */
static void branch(hunt *h)
{
    if (++h->nodes > NODES_MOST)
        return;
    if (h->uncovered == 0) {
        if (h->chosen_count < h->best_count)
            note_best(h);
        return;
    }
    if (h->chosen_count + 1 >= h->best_count)
        return;
    const group *hardest = h->groups;
    while (hardest->covered != 0)
        hardest++;
    for (int k = 0; k < hardest->belts; k++) {
        choose(h, hardest->services[k].belt);
        branch(h);
        give_up_last(h);
    }
}

static bool hunt_ribs(hunt *h, const services *all, snub_arena *scratch, snub_chart *chart)
{
    h->groups = group_builds(all, h->first, h->last, scratch, &h->group_count);
    if (h->groups == NULL)
        return false;
    h->uncovered = h->group_count;
    greedy(h);
    h->nodes = 0;
    branch(h);
    if (h->nodes > NODES_MOST)
        chart->fewest_exact = false;
    for (int k = 0; k < h->best_count; k++)
        chart->fewest[chart->fewest_count++] = all->belts[h->best[k]];
    return true;
}

static bool find_fewest(snub_chart *chart, const services *all, snub_arena *arena, snub_arena *scratch)
{
    chart->fewest_count = 0;
    chart->fewest_exact = true;
    for (int i = 0; i < chart->build_count; i++)
        chart->fewest_exact = chart->fewest_exact && !chart->builds[i].cut;
    chart->fewest = SNUB_NEW(arena, snub_belt_use, all->belt_count);
    hunt h = {.gains = SNUB_NEW(scratch, int, all->belt_count),
              .chosen = SNUB_NEW(scratch, int, all->belt_count),
              .best = SNUB_NEW(scratch, int, all->belt_count)};
    if (chart->fewest == NULL || h.gains == NULL || h.chosen == NULL || h.best == NULL)
        return false;
    for (h.first = 0; h.first < all->belt_count; h.first = h.last) {
        h.last = h.first;
        while (h.last < all->belt_count && all->belts[h.last].ribs == all->belts[h.first].ribs)
            h.last++;
        if (!hunt_ribs(&h, all, scratch, chart))
            return false;
    }
    if (chart->fewest_count > 1)
        qsort(chart->fewest, (size_t)chart->fewest_count, sizeof *chart->fewest, by_belt);
    return true;
}

snub_status snub_cover(snub_chart *chart, bool fewest, snub_arena *arena)
{
    snub_arena scratch;
    services used, all;
    snub_arena_init(&scratch, arena->limit);
    const bool good =
        gather(chart, true, arena, &scratch, &used) &&
        (!fewest || (gather(chart, false, arena, &scratch, &all) && find_fewest(chart, &all, arena, &scratch)));
    snub_arena_free(&scratch);
    if (!good)
        return SNUB_NO_MEMORY;
    chart->belts = used.belts;
    chart->belt_count = used.belt_count;
    chart->has_fewest = fewest;
    return SNUB_OK;
}

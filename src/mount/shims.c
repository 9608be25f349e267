/* Shims from a list of those that exist: exact search over packs, by branch and bound. */
#include "snub/mount.h"

#include <stdlib.h>
#include <string.h>

/* Packs nearer than this are one thickness, m. */
#define SAME_THICKNESS 1e-9
/* Looks after which the search is given up, an error. */
enum { LOOKS_MOST = 20000000 };

typedef struct pack {
    double thickness;
    int shims;
    signed char count[SNUB_SHIM_SIZES_MOST];
} pack;

typedef struct search {
    const snub_shim_problem *problem;
    pack *packs;
    int pack_count;
    double thickest;
    double *angle; /* [place][end]: with the packs of the places before */
    int chosen[SNUB_SHIM_PLACES_MOST], best[SNUB_SHIM_PLACES_MOST];
    double best_worst;
    int best_shims;
    bool found, best_passes;
    long looked;
} search;

static int by_shims(const void *a, const void *b)
{
    const pack *p = a, *q = b;
    if (p->shims != q->shims)
        return p->shims - q->shims;
    return (p->thickness > q->thickness) - (p->thickness < q->thickness);
}

/* All multisets of up to `most` shims, by number of shims; of equal thickness the first stays. */
static void list_packs(search *s, pack *made, int from)
{
    s->packs[s->pack_count++] = *made;
    if (made->shims == s->problem->most)
        return;
    for (int size = from; size < s->problem->sizes; size++) {
        made->count[size]++;
        made->shims++;
        made->thickness += s->problem->thickness[size];
        list_packs(s, made, size);
        made->thickness -= s->problem->thickness[size];
        made->shims--;
        made->count[size]--;
    }
}

static void keep_different(search *s)
{
    qsort(s->packs, (size_t)s->pack_count, sizeof *s->packs, by_shims);
    int kept = 0;
    for (int i = 0; i < s->pack_count; i++) {
        bool again = false;
        for (int j = 0; j < kept && !again; j++)
            again = fabs(s->packs[j].thickness - s->packs[i].thickness) < SAME_THICKNESS;
        if (!again)
            s->packs[kept++] = s->packs[i];
        s->thickest = fmax(s->thickest, s->packs[i].thickness);
    }
    s->pack_count = kept;
}

/* Least worst angle that the places from `place` on can still reach: each takes the end where it helps most. */
static double least_worst(const search *s, int place)
{
    const snub_shim_problem *p = s->problem;
    double worst = 0.0;
    for (int e = 0; e < p->ends; e++) {
        double low = s->angle[place * p->ends + e], high = low;
        for (int k = place; k < p->places; k++) {
            const double reach = p->slope[e * p->places + k] * s->thickest;
            low += fmin(reach, 0.0);
            high += fmax(reach, 0.0);
        }
        const double least = low > 0.0 ? low : high < 0.0 ? -high : 0.0;
        worst = fmax(worst, least + (p->spread != NULL ? p->spread[e] : 0.0));
    }
    return worst;
}

static bool hopeless(const search *s, double worst, int shims)
{
    if (!s->found)
        return false;
    if (worst > s->problem->limit)
        return s->best_passes || worst >= s->best_worst;
    return s->best_passes && (shims > s->best_shims || (shims == s->best_shims && worst >= s->best_worst));
}

/* @return false when too many were looked at */
static bool look(search *s, int place, int shims)
{
    const snub_shim_problem *p = s->problem;
    if (++s->looked > LOOKS_MOST)
        return false;
    const double worst = least_worst(s, place);
    if (hopeless(s, worst, shims))
        return true;
    if (place == p->places) {
        memcpy(s->best, s->chosen, sizeof s->best);
        s->best_worst = worst;
        s->best_shims = shims;
        s->best_passes = worst <= p->limit;
        s->found = true;
        return true;
    }
    for (int i = 0; i < s->pack_count; i++) {
        const double *before = &s->angle[place * p->ends];
        for (int e = 0; e < p->ends; e++)
            s->angle[(place + 1) * p->ends + e] = before[e] + p->slope[e * p->places + place] * s->packs[i].thickness;
        s->chosen[place] = i;
        if (!look(s, place + 1, shims + s->packs[i].shims))
            return false;
    }
    return true;
}

static snub_status examine(const snub_shim_problem *p, snub_error *error)
{
    if (p->sizes < 1 || p->places < 1)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "shims",
                         p->sizes < 1 ? "the list of shims is empty" : "there is no place for a shim");
    if (p->sizes > SNUB_SHIM_SIZES_MOST || p->places > SNUB_SHIM_PLACES_MOST)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "shims", "at most %d shims and %d places can be searched",
                         SNUB_SHIM_SIZES_MOST, SNUB_SHIM_PLACES_MOST);
    if (p->most < 1 || p->most > SNUB_SHIMS_IN_PLACE_MOST)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "shims", "a pack has 1 to %d shims", SNUB_SHIMS_IN_PLACE_MOST);
    for (int i = 0; i < p->sizes; i++) {
        if (!(p->thickness[i] > 0.0))
            return snub_fail(error, SNUB_BAD_INPUT, NULL, "shims", "a shim's thickness must be over zero");
    }
    return SNUB_OK;
}

static void write_answer(const search *s, snub_shim_answer *answer)
{
    *answer = (snub_shim_answer){
        .worst = s->best_worst, .shims = s->best_shims, .passes = s->best_passes, .looked = s->looked};
    for (int k = 0; k < s->problem->places; k++) {
        const pack *chosen = &s->packs[s->best[k]];
        answer->pack[k] = chosen->thickness;
        for (int i = 0; i < s->problem->sizes; i++)
            answer->count[k][i] = chosen->count[i];
    }
}

snub_status snub_shim_search(const snub_shim_problem *problem, snub_arena *arena, snub_shim_answer *answer,
                             snub_error *error)
{
    const snub_status status = examine(problem, error);
    if (status != SNUB_OK)
        return status;
    search s = {.problem = problem};
    pack empty = {0};
    s.packs = SNUB_NEW(arena, pack, SNUB_SHIM_PACKS_MOST);
    s.angle = SNUB_NEW(arena, double, (problem->places + 1) * (problem->ends > 0 ? problem->ends : 1));
    if (s.packs == NULL || s.angle == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    list_packs(&s, &empty, 0);
    keep_different(&s);
    for (int e = 0; e < problem->ends; e++)
        s.angle[e] = problem->angle[e];
    if (!look(&s, 0, 0))
        return snub_fail(error, SNUB_TOO_LARGE, NULL, "shims", "too many packs of shims to search: name fewer sizes");
    write_answer(&s, answer);
    return SNUB_OK;
}

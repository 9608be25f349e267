/** Layouts: every start adjusted, those that agree once. */
#include "layouts.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "place.h"
#include "snub/units.h"

/** Starts at random places where not all can be placed by crossings. */
enum { RANDOM_STARTS = 300 };
/** Operations that all starts together may take, and the fewest starts whatever they take: some seconds at worst. A
 * step of the adjustment takes 2 (m + n) n^2, a start some thirty of them. */
static const double WORK_MOST = 6e9;
enum { STARTS_LEAST = 4, STEPS_USUAL = 30 };
/** Two layouts are one where no centre differs by more, m. */
static const double ALIKE = 1e-7;

/* Numbers from 0 to 1 in a fixed order. */
static double fixed_random(uint32_t *state)
{
    *state = *state * 1664525U + 1013904223U; /* Numerical recipes' quick generator */
    return (double)(*state >> 8) / (double)(1U << 24);
}

double snub_network_size(const snub_measured *m)
{
    double size = 0.0;
    for (int i = 0; i < m->distance_count; i++)
        size = fmax(size, m->distances[i].value);
    for (int i = 0; i < m->pulley_count; i++)
        if (m->pulleys[i].known)
            for (int k = 0; k < m->pulley_count; k++)
                if (m->pulleys[k].known)
                    size = fmax(size, hypot(m->pulleys[i].at[0] - m->pulleys[k].at[0],
                                            m->pulleys[i].at[1] - m->pulleys[k].at[1]));
    return 1.5 * size;
}

static void known_middle(const snub_measured *m, double middle[2])
{
    int known = 0;
    middle[0] = middle[1] = 0.0;
    for (int i = 0; i < m->pulley_count; i++) {
        if (!m->pulleys[i].known)
            continue;
        known++;
        for (int k = 0; k < 2; k++)
            middle[k] += m->pulleys[i].at[k];
    }
    for (int k = 0; k < 2 && known > 0; k++)
        middle[k] /= known;
}

void snub_network_scatter(const snub_network *n, double size, uint32_t *state, double *x)
{
    double middle[2];
    known_middle(n->measured, middle);
    for (int i = 0; i < n->measured->pulley_count; i++) {
        const double point[2] = {middle[0] + size * (fixed_random(state) - 0.5),
                                 middle[1] + size * (fixed_random(state) - 0.5)};
        snub_network_put_point(n, x, i, point);
        if (snub_network_on_ray(n, i))
            x[n->centre[i]] = size * (0.1 + fixed_random(state));
    }
    for (int e = 0; e < n->measured->edge_count; e++) {
        const double normal = 2.0 * SNUB_PI * fixed_random(state), random = fixed_random(state) - 0.5;
        snub_network_put_edge(n, x, e, normal, size * random + cos(normal) * middle[0] + sin(normal) * middle[1]);
    }
    snub_network_put_diameters(n, x);
}

/* ---- the list ---------------------------------------------------------------------------------------------------- */

static bool alike(const snub_network *n, const double *x, const double *y)
{
    for (int i = 0; i < n->measured->pulley_count; i++) {
        double p[2], q[2];
        snub_network_point(n, x, i, p);
        snub_network_point(n, y, i, q);
        if (!(hypot(p[0] - q[0], p[1] - q[1]) <= ALIKE * (1.0 + hypot(p[0], p[1]))))
            return false;
    }
    return true;
}

/* In its place by rising sum; the worst goes where there is no room. */
static void take(const snub_network *n, snub_layouts *all, const double *x, double sum)
{
    for (int i = 0; i < all->count; i++)
        if (alike(n, all->items[i].x, x))
            return;
    if (all->count == all->room && !(sum < all->items[all->count - 1].sum))
        return;
    if (all->count < all->room)
        all->count++;
    int at = all->count - 1;
    double *memory = all->items[at].x;
    for (; at > 0 && all->items[at - 1].sum > sum; at--)
        all->items[at] = all->items[at - 1];
    all->items[at] = (snub_layout){sum, memory};
    memcpy(memory, x, (size_t)n->unknowns * sizeof *x);
}

/* The direction of the frame has a sense. */
static bool ahead(const snub_network *n, const double *x)
{
    const snub_measured *m = n->measured;
    return !m->framed || n->centre[m->towards] < 0 || x[n->centre[m->towards]] > 0.0;
}

static snub_status try_start(const snub_network *n, const snub_adjuster *w, double *x, snub_layouts *all)
{
    const snub_adjustment a = snub_network_adjustment(n);
    double sum;
    const snub_status status = snub_adjust(&a, w, x, &sum);
    if (status == SNUB_OK && ahead(n, x))
        take(n, all, x, sum);
    return status == SNUB_NO_MEMORY ? status : SNUB_OK; /* one that goes nowhere is no layout */
}

static int affordable(const snub_network *n, int wanted)
{
    const double unknowns = n->unknowns, each = 2.0 * (n->equations + unknowns) * unknowns * unknowns * STEPS_USUAL;
    return (int)fmax(fmin(STARTS_LEAST, wanted), fmin(wanted, WORK_MOST / each));
}

static snub_status from_branches(const snub_network *n, const snub_placing *placing, const snub_adjuster *w, double *x,
                                 snub_layouts *all)
{
    const snub_measured *m = n->measured;
    bool whole = !placing->turned;
    for (int i = 0; i < m->pulley_count; i++)
        whole = whole && placing->pulley[i];
    for (int e = 0; e < m->edge_count; e++)
        whole = whole && placing->edge[e];
    uint32_t seed = 1;
    const int starts = affordable(n, whole ? placing->count : RANDOM_STARTS);
    for (int k = 0; k < starts; k++) {
        const snub_placed *p = &placing->branch[k % placing->count];
        snub_network_scatter(n, snub_network_size(m), &seed, x);
        for (int i = 0; i < m->pulley_count; i++)
            if (placing->pulley[i] && !placing->turned)
                snub_network_put_point(n, x, i, p->at[i]);
        for (int e = 0; e < m->edge_count; e++)
            if (placing->edge[e] && !placing->turned)
                snub_network_put_edge(n, x, e, p->normal[e], p->offset[e]);
        const snub_status status = try_start(n, w, x, all);
        if (status != SNUB_OK)
            return status;
    }
    return SNUB_OK;
}

/* From the drive file's own layout, where it has all pulleys. Edges are laid by the first start that there is. */
static snub_status from_drive(const snub_network *n, const snub_adjuster *w, double *x, snub_layouts *all)
{
    const snub_measured *m = n->measured;
    for (int i = 0; i < m->pulley_count; i++)
        if (!isfinite(m->pulleys[i].at[0]))
            return SNUB_OK;
    uint32_t seed = 1;
    if (all->count > 0)
        memcpy(x, all->items[0].x, (size_t)n->unknowns * sizeof *x);
    else
        snub_network_scatter(n, snub_network_size(m), &seed, x);
    for (int i = 0; i < m->pulley_count; i++)
        snub_network_put_point(n, x, i, m->pulleys[i].at);
    return try_start(n, w, x, all);
}

snub_status snub_layouts_find(const snub_network *n, snub_arena *arena, snub_layouts *all)
{
    const snub_adjustment a = snub_network_adjustment(n);
    snub_adjuster w;
    snub_placing placing;
    double *x = SNUB_NEW(arena, double, n->unknowns);
    *all = (snub_layouts){.room = SNUB_BRANCHES_MOST, .items = SNUB_NEW(arena, snub_layout, SNUB_BRANCHES_MOST)};
    if (x == NULL || all->items == NULL || !snub_adjuster_make(&a, arena, &w) || !snub_placing_make(n, arena, &placing))
        return SNUB_NO_MEMORY;
    for (int i = 0; i < all->room; i++)
        if ((all->items[i].x = SNUB_NEW(arena, double, n->unknowns)) == NULL)
            return SNUB_NO_MEMORY;
    const snub_status status = from_branches(n, &placing, &w, x, all);
    return status == SNUB_OK ? from_drive(n, &w, x, all) : status;
}

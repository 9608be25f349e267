/** What the readings do not hold: null vectors of the network at places without any order. */
#include "floats.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "layouts.h"

/** Under this share of the largest a singular value is none; a null vector has its end over it. */
static const double NOTHING = 1e-9, MOVES = 1e-6;

typedef struct search {
    snub_network network;
    snub_arena *arena;
    double *x, *right_t;
} search;

/* How many ways to move a network without any reading that changes, at an x: the last rows of right_t, as
 * snub_adjust_decompose has it. @return -1: memory is out, or it does not converge */
static int find_ways(const snub_network *n, const double *x, snub_arena *arena, double *right_t)
{
    const snub_adjustment a = snub_network_adjustment(n);
    const int values = a.unknowns < a.equations ? a.unknowns : a.equations;
    snub_adjuster w;
    double *value = SNUB_NEW(arena, double, values);
    if (value == NULL || !snub_adjuster_make(&a, arena, &w) ||
        snub_adjust_decompose(&a, &w, x, value, NULL, right_t) != SNUB_OK)
        return -1;
    int rank = 0;
    while (rank < values && value[rank] > NOTHING * value[0])
        rank++;
    return a.unknowns - rank;
}

/* How far the null vectors move unknowns from `at` on. */
static double moved(const search *s, int ways, int at, int count)
{
    const int n = s->network.unknowns;
    double sum = 0.0;
    for (int row = n - ways; row < n; row++)
        for (int i = at; i < at + count; i++)
            sum += s->right_t[snub_at(row, i, n)] * s->right_t[snub_at(row, i, n)];
    return sqrt(sum);
}

static bool pulley_moves(const search *s, int ways, int i)
{
    const int at = s->network.centre[i];
    return at >= 0 && moved(s, ways, at, snub_network_on_ray(&s->network, i) ? 1 : 2) > MOVES;
}

static bool edge_moves(const search *s, int ways, int e)
{
    const int normal = s->network.normal[e], offset = s->network.offset[e];
    return (normal >= 0 && moved(s, ways, normal, 1) > MOVES) || (offset >= 0 && moved(s, ways, offset, 1) > MOVES);
}

/* How much the null vectors change the distance of two pulleys. */
static double changes(const search *s, int ways, int a, int b, double *gradient)
{
    const int n = s->network.unknowns;
    double sum = 0.0;
    snub_network_gradient(&s->network, s->x, a, b, false, gradient);
    for (int row = n - ways; row < n; row++) {
        double along = 0.0;
        for (int i = 0; i < n; i++)
            along += gradient[i] * s->right_t[snub_at(row, i, n)];
        sum += along * along;
    }
    return sqrt(sum);
}

/* The distance of a pulley that the null vectors change most; of any where pulley < 0. @return false: none changes */
static bool best_reading(const search *s, int ways, int pulley, int pair[2])
{
    const int pulleys = s->network.measured->pulley_count;
    double *gradient = SNUB_NEW(s->arena, double, s->network.unknowns), best = 1e-4;
    pair[0] = pair[1] = -1;
    for (int a = 0; a < pulleys && gradient != NULL; a++) {
        for (int b = a + 1; b < pulleys; b++) {
            if (pulley >= 0 && a != pulley && b != pulley)
                continue;
            const double change = changes(s, ways, a, b, gradient);
            if (change <= best)
                continue;
            best = change;
            pair[0] = a;
            pair[1] = b;
        }
    }
    return pair[0] >= 0;
}

static int readings_of(const snub_measured *m, int pulley)
{
    int count = 0;
    for (int i = 0; i < m->distance_count; i++)
        count += m->distances[i].a == pulley || (m->distances[i].kind != SNUB_TO_EDGE && m->distances[i].b == pulley);
    return count;
}

static void tell_pulley(const search *s, int ways, int i, snub_errors *errors)
{
    const snub_measured *m = s->network.measured;
    int pair[2];
    snub_error error;
    snub_fail(&error, SNUB_BAD_INPUT, &m->pulleys[i].place, "pulleys",
              "%.40s floats: its readings (%d) and those of its neighbours do not hold it", m->pulleys[i].name,
              readings_of(s->network.measured, i));
    if (best_reading(s, ways, i, pair) || best_reading(s, ways, -1, pair)) /* a neighbour's may hold it, too */
        snprintf(error.need, sizeof error.need, "another reading, as from %.40s to %.40s", m->pulleys[pair[0]].name,
                 m->pulleys[pair[1]].name);
    snub_errors_add(errors, &error);
}

static void tell_edge(const search *s, int e, snub_errors *errors)
{
    const snub_measured *m = s->network.measured;
    int readings = 0;
    snub_error error;
    for (int i = 0; i < m->distance_count; i++)
        readings += m->distances[i].kind == SNUB_TO_EDGE && m->distances[i].b == e;
    snub_fail(&error, SNUB_BAD_INPUT, &m->edges[e].place, "edges", "%.40s floats: its readings (%d) do not hold it",
              m->edges[e].name, readings);
    snprintf(error.need, sizeof error.need, "readings to it from %s",
             isnan(m->edges[e].direction) ? "two pulleys that stand, and one that it helps to hold"
                                          : "a pulley that stands");
    snub_errors_add(errors, &error);
}

snub_status snub_floats_tell(const snub_network *network, snub_arena *arena, snub_errors *errors)
{
    const int n = network->unknowns;
    search s = {.network = *network, .arena = arena};
    uint32_t seed = 7;
    s.x = SNUB_NEW(arena, double, n);
    s.right_t = SNUB_NEW(arena, double, (size_t)n *(size_t)n);
    if (s.x == NULL || s.right_t == NULL)
        return SNUB_NO_MEMORY;
    snub_network_scatter(network, fmax(snub_network_size(network->measured), 1e-3), &seed, s.x);
    const int ways = find_ways(network, s.x, arena, s.right_t);
    if (ways <= 0)
        return ways < 0 ? SNUB_NO_MEMORY : SNUB_OK;
    for (int i = 0; i < network->measured->pulley_count; i++)
        if (pulley_moves(&s, ways, i))
            tell_pulley(&s, ways, i, errors);
    for (int e = 0; e < network->measured->edge_count; e++)
        if (edge_moves(&s, ways, e))
            tell_edge(&s, e, errors);
    return SNUB_BAD_INPUT;
}

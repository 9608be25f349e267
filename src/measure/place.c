/** Pulley after pulley where two readings cross. */
#include "place.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "snub/units.h"

/** A reading as it places something: a circle about a centre, or a line. */
typedef struct locus {
    bool line;
    double centre[2], radius; /* of the circle; of the line, its normal and offset */
} locus;

enum { LOCI_MOST = 64 };

static double radius_of(const snub_measured *m, int pulley)
{
    return 0.5 * m->pulleys[pulley].diameter;
}

/* From middle to middle, or from the middle to the edge. */
static double middle(const snub_measured *m, const snub_distance *d)
{
    switch (d->kind) {
    case SNUB_OUTSIDE: return d->value - radius_of(m, d->a) - radius_of(m, d->b);
    case SNUB_INSIDE: return d->value + radius_of(m, d->a) + radius_of(m, d->b);
    case SNUB_TO_EDGE: return d->value + radius_of(m, d->a);
    default: return d->value;
    }
}

/* The other end of a reading that has this pulley at one end; -1: it is no such reading. */
static int other_end(const snub_distance *d, int pulley)
{
    if (d->kind == SNUB_TO_EDGE)
        return -1;
    return d->a == pulley ? d->b : d->b == pulley ? d->a : -1;
}

static bool usable(const snub_placing *s, const snub_distance *d, int pulley)
{
    if (d->kind == SNUB_TO_EDGE)
        return d->a == pulley && s->edge[d->b];
    const int other = other_end(d, pulley);
    return other >= 0 && s->pulley[other];
}

static int loci_of(const snub_placing *s, const snub_placed *p, int pulley, locus *out)
{
    const snub_measured *m = s->network->measured;
    int count = 0;
    for (int i = 0; i < m->distance_count && count < LOCI_MOST; i++) {
        const snub_distance *d = &m->distances[i];
        if (!usable(s, d, pulley))
            continue;
        locus *l = &out[count++];
        const double reach = middle(m, d);
        if (d->kind == SNUB_TO_EDGE) {
            *l = (locus){true, {cos(p->normal[d->b]), sin(p->normal[d->b])}, p->offset[d->b] + reach};
            continue;
        }
        *l = (locus){false, {0.0, 0.0}, fmax(reach, 0.0)};
        memcpy(l->centre, p->at[other_end(d, pulley)], sizeof l->centre);
    }
    return count;
}

/* ---- where two loci cross ---------------------------------------------------------------------------------------- */

/* Both points, the nearest ones where they miss each other.
 * @return sine of the angle at which they cross, 0 where they miss */
static double circles(const locus *a, const locus *b, double point[2][2])
{
    const double x = b->centre[0] - a->centre[0], y = b->centre[1] - a->centre[1], apart = hypot(x, y);
    if (!(apart > 0.0))
        return -1.0;
    double along = (apart * apart + a->radius * a->radius - b->radius * b->radius) / (2.0 * apart);
    const double square = a->radius * a->radius - along * along;
    const double off = square > 0.0 ? sqrt(square) : 0.0;
    if (!(square > 0.0)) /* halfway between the two rims */
        along = along > 0.0 ? 0.5 * (a->radius + apart - (apart > a->radius ? b->radius : -b->radius))
                            : -0.5 * (a->radius + b->radius - apart);
    for (int k = 0; k < 2; k++) {
        const double h = k == 0 ? off : -off;
        point[k][0] = a->centre[0] + (along * x - h * y) / apart;
        point[k][1] = a->centre[1] + (along * y + h * x) / apart;
    }
    const double product = a->radius * b->radius;
    return product > 0.0 ? apart * off / product : 0.0;
}

static double circle_and_line(const locus *c, const locus *l, double point[2][2])
{
    const double off = l->radius - (l->centre[0] * c->centre[0] + l->centre[1] * c->centre[1]);
    const double square = c->radius * c->radius - off * off, half = square > 0.0 ? sqrt(square) : 0.0;
    for (int k = 0; k < 2; k++) {
        const double h = k == 0 ? half : -half;
        point[k][0] = c->centre[0] + off * l->centre[0] - h * l->centre[1];
        point[k][1] = c->centre[1] + off * l->centre[1] + h * l->centre[0];
    }
    return c->radius > 0.0 ? half / c->radius : 0.0;
}

static double lines(const locus *a, const locus *b, double point[2][2])
{
    const double sine = a->centre[0] * b->centre[1] - a->centre[1] * b->centre[0];
    if (fabs(sine) < 1e-9)
        return -1.0;
    point[0][0] = (a->radius * b->centre[1] - b->radius * a->centre[1]) / sine;
    point[0][1] = (b->radius * a->centre[0] - a->radius * b->centre[0]) / sine;
    memcpy(point[1], point[0], sizeof point[0]);
    return fabs(sine);
}

static double crossing(const locus *a, const locus *b, double point[2][2])
{
    if (a->line && b->line)
        return lines(a, b, point);
    if (a->line || b->line)
        return a->line ? circle_and_line(b, a, point) : circle_and_line(a, b, point);
    return circles(a, b, point);
}

/* The two places of the pair that crosses best. @return false: there is none */
static bool best_crossing(const locus *loci, int count, double point[2][2])
{
    double best = -1.0, trial[2][2];
    for (int i = 0; i < count; i++) {
        for (int k = i + 1; k < count; k++) {
            const double sine = crossing(&loci[i], &loci[k], trial);
            if (!(sine > best))
                continue;
            best = sine;
            memcpy(point, trial, sizeof trial);
        }
    }
    return best >= 0.0;
}

/* ---- growing ----------------------------------------------------------------------------------------------------- */

static double miss(const locus *l, const double p[2])
{
    if (l->line)
        return l->centre[0] * p[0] + l->centre[1] * p[1] - l->radius;
    return hypot(p[0] - l->centre[0], p[1] - l->centre[1]) - l->radius;
}

static int by_cost(const void *a, const void *b)
{
    const double x = ((const snub_placed *)a)->cost, y = ((const snub_placed *)b)->cost;
    return (x > y) - (x < y);
}

/* A list that twice as many are grown into; the best stay. */
static void keep_best(snub_placing *s, snub_placed *grown, int count)
{
    qsort(grown, (size_t)count, sizeof *grown, by_cost);
    s->count = count < SNUB_BRANCHES_MOST ? count : SNUB_BRANCHES_MOST;
    memcpy(s->branch, grown, (size_t)s->count * sizeof *grown);
}

static bool grow_pulley(snub_placing *s, snub_placed *grown, int pulley)
{
    locus loci[LOCI_MOST];
    double point[2][2];
    int count = 0;
    for (int i = 0; i < s->count; i++) {
        const int found = loci_of(s, &s->branch[i], pulley, loci);
        if (!best_crossing(loci, found, point))
            continue;
        const int ways = memcmp(point[0], point[1], sizeof point[0]) == 0 ? 1 : 2;
        for (int k = 0; k < ways; k++) {
            snub_placed *p = &grown[count++];
            *p = s->branch[i];
            memcpy(p->at[pulley], point[k], sizeof point[k]);
            for (int l = 0; l < found; l++)
                p->cost += miss(&loci[l], point[k]) * miss(&loci[l], point[k]);
        }
    }
    if (count == 0)
        return false;
    keep_best(s, grown, count);
    s->pulley[pulley] = true;
    return true;
}

/* Pulleys that stand and have a reading to an edge. */
static int at_edge(const snub_placing *s, int edge, int reading[LOCI_MOST])
{
    const snub_measured *m = s->network->measured;
    int count = 0;
    for (int i = 0; i < m->distance_count && count < LOCI_MOST; i++)
        if (m->distances[i].kind == SNUB_TO_EDGE && m->distances[i].b == edge && s->pulley[m->distances[i].a])
            reading[count++] = i;
    return count;
}

/* The edge whose normal is the given one, as far off as the first reading wants. */
static void lay_edge(const snub_placing *s, snub_placed *p, int edge, const snub_distance *d, double normal)
{
    const double *at = p->at[d->a];
    p->normal[edge] = normal;
    p->offset[edge] = cos(normal) * at[0] + sin(normal) * at[1] - middle(s->network->measured, d);
}

/* n . (q - p) = difference of their distances: two normals, on either side of the way from p to q. */
static bool grow_edge(snub_placing *s, snub_placed *grown, int edge)
{
    const snub_measured *m = s->network->measured;
    int reading[LOCI_MOST], count = 0;
    const int readings = at_edge(s, edge, reading);
    const bool turns = isnan(m->edges[edge].direction);
    if (readings < (turns ? 2 : 1) || (!turns && s->turned))
        return false;
    const snub_distance *first = &m->distances[reading[0]], *last = &m->distances[reading[readings - 1]];
    for (int i = 0; i < s->count; i++) {
        const double *p = s->branch[i].at[first->a], *q = s->branch[i].at[last->a];
        const double apart = hypot(q[0] - p[0], q[1] - p[1]);
        const double way = atan2(q[1] - p[1], q[0] - p[0]);
        const double cosine = apart > 0.0 ? (middle(m, last) - middle(m, first)) / apart : 0.0;
        const double off = acos(fmax(-1.0, fmin(1.0, cosine)));
        for (int k = 0; k < (turns ? 2 : 1); k++) {
            grown[count] = s->branch[i];
            lay_edge(s, &grown[count++], edge, first,
                     !turns   ? m->edges[edge].direction + 0.5 * SNUB_PI
                     : k == 0 ? way + off
                              : way - off);
        }
    }
    keep_best(s, grown, count);
    s->edge[edge] = true;
    return true;
}

static int readings_to_placed(const snub_placing *s, int pulley)
{
    const snub_measured *m = s->network->measured;
    int count = 0;
    for (int i = 0; i < m->distance_count; i++)
        count += usable(s, &m->distances[i], pulley);
    return count;
}

/* The pulley with most readings to what stands; -1: none has two. */
static int next_pulley(const snub_placing *s, const bool *tried)
{
    int best = -1, most = 1;
    for (int i = 0; i < s->network->measured->pulley_count; i++) {
        if (s->pulley[i] || tried[i])
            continue;
        const int readings = readings_to_placed(s, i);
        if (readings > most) {
            most = readings;
            best = i;
        }
    }
    return best;
}

static void grow(snub_placing *s, snub_placed *grown)
{
    bool tried[SNUB_PULLEYS_MOST] = {false}, more = true;
    while (more) {
        const int pulley = next_pulley(s, tried);
        more = false;
        if (pulley >= 0) {
            tried[pulley] = !grow_pulley(s, grown, pulley);
            more = true;
            continue;
        }
        for (int e = 0; e < s->network->measured->edge_count && !more; e++)
            more = !s->edge[e] && grow_edge(s, grown, e);
    }
}

/* ---- the first ones ---------------------------------------------------------------------------------------------- */

/* A reading between two pulleys; first one between origin and the pulley that gives the direction, then of the origin.
 * @return -1: there is none */
static int first_reading(const snub_measured *m)
{
    int best = -1, most = -1;
    for (int i = 0; i < m->distance_count; i++) {
        const snub_distance *d = &m->distances[i];
        if (d->kind == SNUB_TO_EDGE)
            continue;
        const bool origin = d->a == m->origin || d->b == m->origin;
        const bool towards = d->a == m->towards || d->b == m->towards;
        const int good = (origin && towards ? 2 : 0) + origin;
        if (good > most) {
            most = good;
            best = i;
        }
    }
    return best;
}

static void begin_framed(snub_placing *s)
{
    const snub_measured *m = s->network->measured;
    snub_placed *p = &s->branch[0];
    const int reading = first_reading(m);
    if (reading < 0)
        return;
    const snub_distance *d = &m->distances[reading];
    const int from = d->b == m->origin ? d->b : d->a, to = from == d->a ? d->b : d->a;
    s->turned = from != m->origin || to != m->towards;
    memcpy(p->at[from], m->pulleys[m->origin].at, sizeof p->at[from]);
    p->at[to][0] = p->at[from][0] + fmax(middle(m, d), 0.0) * cos(m->direction);
    p->at[to][1] = p->at[from][1] + fmax(middle(m, d), 0.0) * sin(m->direction);
    s->pulley[from] = s->pulley[to] = true;
}

static void begin(snub_placing *s)
{
    const snub_measured *m = s->network->measured;
    s->count = 1;
    for (int i = 0; !m->framed && i < m->pulley_count; i++) {
        s->pulley[i] = m->pulleys[i].known;
        memcpy(s->branch[0].at[i], m->pulleys[i].at, sizeof s->branch[0].at[i]);
    }
    if (m->framed)
        begin_framed(s);
    for (int e = 0; e < m->edge_count && !s->turned; e++) {
        s->edge[e] = m->edges[e].through;
        if (s->edge[e])
            snub_network_edge(s->network, NULL, e, &s->branch[0].normal[e], &s->branch[0].offset[e]);
    }
}

/* Into the file's frame, where they were placed in one of their own. */
static void turn_back(snub_placing *s)
{
    const snub_measured *m = s->network->measured;
    if (!s->turned || !s->pulley[m->origin] || !s->pulley[m->towards])
        return;
    for (int i = 0; i < s->count; i++) {
        snub_placed *p = &s->branch[i];
        const double from[2] = {p->at[m->origin][0], p->at[m->origin][1]}, *to = p->at[m->towards];
        const double turn = m->direction - atan2(to[1] - from[1], to[0] - from[0]), c = cos(turn), sine = sin(turn);
        const double *origin = m->pulleys[m->origin].at;
        for (int k = 0; k < m->pulley_count; k++) {
            const double x = p->at[k][0] - from[0], y = p->at[k][1] - from[1];
            p->at[k][0] = origin[0] + c * x - sine * y;
            p->at[k][1] = origin[1] + sine * x + c * y;
        }
        for (int e = 0; e < m->edge_count; e++) {
            const double n = p->normal[e], off = p->offset[e] - cos(n) * from[0] - sin(n) * from[1];
            p->normal[e] = n + turn;
            p->offset[e] = off + cos(n + turn) * origin[0] + sin(n + turn) * origin[1];
        }
    }
    s->turned = false;
}

bool snub_placing_make(const snub_network *network, snub_arena *arena, snub_placing *s)
{
    snub_placed *grown = SNUB_NEW(arena, snub_placed, 2 * SNUB_BRANCHES_MOST);
    *s = (snub_placing){.network = network, .branch = SNUB_NEW(arena, snub_placed, SNUB_BRANCHES_MOST)};
    if (grown == NULL || s->branch == NULL)
        return false;
    begin(s);
    grow(s, grown);
    if (s->turned) {
        turn_back(s);
        for (int e = 0; e < network->measured->edge_count && !s->turned; e++) {
            if (!network->measured->edges[e].through)
                continue;
            s->edge[e] = true;
            for (int i = 0; i < s->count; i++)
                snub_network_edge(network, NULL, e, &s->branch[i].normal[e], &s->branch[i].offset[e]);
        }
        grow(s, grown);
    }
    return true;
}

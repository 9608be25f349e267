/** Unknowns and readings of a network. */
#include "network.h"

#include <math.h>
#include <string.h>

#include "snub/units.h"

/** Centres nearer than this have no direction to each other, m. */
static const double NO_DISTANCE = 1e-12;

static bool rim_is_read(const snub_measured *m, int pulley)
{
    for (int i = 0; i < m->distance_count; i++) {
        const snub_distance *d = &m->distances[i];
        if (d->kind != SNUB_CENTRES && (d->a == pulley || (d->kind != SNUB_TO_EDGE && d->b == pulley)))
            return true;
    }
    return false;
}

void snub_network_make(const snub_measured *m, snub_network *n)
{
    *n = (snub_network){.measured = m, .equations = m->distance_count};
    for (int i = 0; i < m->pulley_count; i++) {
        const snub_measured_pulley *p = &m->pulleys[i];
        n->centre[i] = p->known ? -1 : n->unknowns;
        n->unknowns += p->known ? 0 : snub_network_on_ray(n, i) ? 1 : 2;
    }
    for (int i = 0; i < m->edge_count; i++) {
        const snub_measured_edge *e = &m->edges[i];
        n->normal[i] = isnan(e->direction) ? n->unknowns++ : -1;
        n->offset[i] = e->through ? -1 : n->unknowns++;
    }
    for (int i = 0; i < m->pulley_count; i++) {
        const bool free = m->pulleys[i].diameter_error > 0.0 && rim_is_read(m, i);
        n->diameter[i] = free ? n->unknowns++ : -1;
        n->equations += free;
    }
}

bool snub_network_on_ray(const snub_network *n, int pulley)
{
    return n->measured->framed && pulley == n->measured->towards;
}

static void ray(const snub_measured *m, double u[2])
{
    u[0] = cos(m->direction);
    u[1] = sin(m->direction);
}

void snub_network_point(const snub_network *n, const double *x, int pulley, double point[2])
{
    const snub_measured *m = n->measured;
    const int at = n->centre[pulley];
    if (at < 0) {
        memcpy(point, m->pulleys[pulley].at, 2 * sizeof(double));
    } else if (snub_network_on_ray(n, pulley)) {
        double u[2];
        ray(m, u);
        for (int k = 0; k < 2; k++)
            point[k] = m->pulleys[m->origin].at[k] + x[at] * u[k];
    } else {
        memcpy(point, &x[at], 2 * sizeof(double));
    }
}

double snub_network_diameter(const snub_network *n, const double *x, int pulley)
{
    return n->diameter[pulley] < 0 ? n->measured->pulleys[pulley].diameter : x[n->diameter[pulley]];
}

void snub_network_edge(const snub_network *n, const double *x, int edge, double *normal, double *offset)
{
    const snub_measured_edge *e = &n->measured->edges[edge];
    *normal = n->normal[edge] < 0 ? e->direction + 0.5 * SNUB_PI : x[n->normal[edge]];
    *offset =
        n->offset[edge] < 0 ? cos(*normal) * e->through_at[0] + sin(*normal) * e->through_at[1] : x[n->offset[edge]];
}

void snub_network_put_point(const snub_network *n, double *x, int pulley, const double point[2])
{
    const snub_measured *m = n->measured;
    const int at = n->centre[pulley];
    if (at < 0)
        return;
    if (!snub_network_on_ray(n, pulley)) {
        memcpy(&x[at], point, 2 * sizeof(double));
        return;
    }
    double u[2];
    const double *from = m->pulleys[m->origin].at;
    ray(m, u);
    x[at] = (point[0] - from[0]) * u[0] + (point[1] - from[1]) * u[1];
}

void snub_network_put_edge(const snub_network *n, double *x, int edge, double normal, double offset)
{
    if (n->normal[edge] >= 0)
        x[n->normal[edge]] = normal;
    if (n->offset[edge] >= 0)
        x[n->offset[edge]] = offset;
}

void snub_network_put_diameters(const snub_network *n, double *x)
{
    for (int i = 0; i < n->measured->pulley_count; i++)
        if (n->diameter[i] >= 0)
            x[n->diameter[i]] = n->measured->pulleys[i].diameter;
}

/* ---- readings ---------------------------------------------------------------------------------------------------- */

/* Adds `weight` times the gradient along u of a centre. */
static void add_along(const snub_network *n, int pulley, const double u[2], double weight, double *row, int stride)
{
    const int at = n->centre[pulley];
    if (at < 0)
        return;
    if (snub_network_on_ray(n, pulley)) {
        double way[2];
        ray(n->measured, way);
        row[at * stride] += weight * (u[0] * way[0] + u[1] * way[1]);
        return;
    }
    row[at * stride] += weight * u[0];
    row[(at + 1) * stride] += weight * u[1];
}

static void add_diameter(const snub_network *n, int pulley, double weight, double *row, int stride)
{
    if (n->diameter[pulley] >= 0)
        row[n->diameter[pulley] * stride] += weight;
}

/* Distance of two centres; its gradient times `weight` goes into the row. */
static double between(const snub_network *n, const double *x, int a, int b, double weight, double *row, int stride)
{
    double p[2], q[2];
    snub_network_point(n, x, a, p);
    snub_network_point(n, x, b, q);
    const double length = hypot(q[0] - p[0], q[1] - p[1]);
    const double u[2] = {length > NO_DISTANCE ? (q[0] - p[0]) / length : 1.0,
                         length > NO_DISTANCE ? (q[1] - p[1]) / length : 0.0};
    add_along(n, a, u, -weight, row, stride);
    add_along(n, b, u, weight, row, stride);
    return length;
}

static double to_edge(const snub_network *n, const double *x, const snub_distance *d, double weight, double *row,
                      int stride)
{
    double p[2], normal, offset;
    snub_network_point(n, x, d->a, p);
    snub_network_edge(n, x, d->b, &normal, &offset);
    const double u[2] = {cos(normal), sin(normal)};
    add_along(n, d->a, u, weight, row, stride);
    add_diameter(n, d->a, -0.5 * weight, row, stride);
    if (n->offset[d->b] >= 0)
        row[n->offset[d->b] * stride] -= weight;
    if (n->normal[d->b] >= 0)
        row[n->normal[d->b] * stride] += weight * (u[0] * p[1] - u[1] * p[0]);
    return u[0] * p[0] + u[1] * p[1] - offset - 0.5 * snub_network_diameter(n, x, d->a);
}

static double read_as(const snub_network *n, const double *x, const snub_distance *d, double *row, int stride)
{
    const double weight = 1.0 / d->error, half = d->kind == SNUB_OUTSIDE ? 0.5 : -0.5;
    if (d->kind == SNUB_TO_EDGE)
        return to_edge(n, x, d, weight, row, stride);
    double value = between(n, x, d->a, d->b, weight, row, stride);
    if (d->kind == SNUB_CENTRES)
        return value;
    add_diameter(n, d->a, half * weight, row, stride);
    add_diameter(n, d->b, half * weight, row, stride);
    value += half * (snub_network_diameter(n, x, d->a) + snub_network_diameter(n, x, d->b));
    return value;
}

static void evaluate(const double *x, double *residual, double *jacobian, void *context)
{
    const snub_network *n = context;
    const snub_measured *m = n->measured;
    const int stride = n->equations;
    memset(jacobian, 0, (size_t)n->equations * (size_t)n->unknowns * sizeof(double));
    for (int k = 0; k < m->distance_count; k++) {
        const snub_distance *d = &m->distances[k];
        residual[k] = (read_as(n, x, d, &jacobian[k], stride) - d->value) / d->error;
    }
    int k = m->distance_count;
    for (int i = 0; i < m->pulley_count; i++) {
        const snub_measured_pulley *p = &m->pulleys[i];
        if (n->diameter[i] < 0)
            continue;
        add_diameter(n, i, 1.0 / p->diameter_error, &jacobian[k], stride);
        residual[k++] = (x[n->diameter[i]] - p->diameter) / p->diameter_error;
    }
}

snub_adjustment snub_network_adjustment(const snub_network *n)
{
    return (snub_adjustment){n->unknowns, n->equations, evaluate, (void *)n};
}

void snub_network_gradient(const snub_network *n, const double *x, int a, int b, bool rims, double *gradient)
{
    memset(gradient, 0, (size_t)n->unknowns * sizeof(double));
    between(n, x, a, b, 1.0, gradient, 1);
    if (!rims)
        return;
    add_diameter(n, a, -0.5, gradient, 1);
    add_diameter(n, b, -0.5, gradient, 1);
}

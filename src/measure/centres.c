/** Centres: which layout, how good, which reading is suspect. docs/theory/measure.md. */
#include "snub/measure.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "ellipse.h"
#include "floats.h"
#include "layouts.h"
#include "next.h"
#include "snub/distributions.h"
#include "snub/units.h"

/** Likelihood of another layout over that of the best, from which on it fits as well. */
#define AS_LIKELY 1e-3
/** Likelihood of a blunder in another reading over that of one in the worst, from which on it may as well be that. */
#define AS_SUSPECT (1.0 / 3.0)
/** A standard error over this is no answer, m. */
static const double NO_ANSWER = 0.1;
/** Under this share of its error a reading shows nothing of it: nothing else checks it. */
static const double UNCHECKED = 1e-6;

typedef struct work {
    snub_network network;
    snub_adjustment adjustment;
    snub_adjuster adjuster;
    const double *x;
    double *value, *left, *right_t, *covariance; /* of all unknowns, by the stated errors */
} work;

/* ---- which layout ------------------------------------------------------------------------------------------------ */

static bool on_side(const snub_network *n, const double *x, const snub_measured_side *s)
{
    double p[2], a[2], b[2];
    snub_network_point(n, x, s->pulley, p);
    snub_network_point(n, x, s->from, a);
    snub_network_point(n, x, s->to, b);
    const double cross = (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]);
    return s->left ? cross > 0.0 : cross < 0.0;
}

static bool on_sides(const snub_network *n, const double *x)
{
    for (int i = 0; i < n->measured->side_count; i++)
        if (!on_side(n, x, &n->measured->sides[i]))
            return false;
    return true;
}

/* How far centres are from the drive file's, mean of squares; NAN: it knows none that is not given. */
static double off_drive(const snub_network *n, const double *x)
{
    double sum = 0.0;
    int count = 0;
    for (int i = 0; i < n->measured->pulley_count; i++) {
        const double *near = n->measured->pulleys[i].at;
        double p[2];
        if (n->centre[i] < 0 || !isfinite(near[0]))
            continue;
        snub_network_point(n, x, i, p);
        sum += (p[0] - near[0]) * (p[0] - near[0]) + (p[1] - near[1]) * (p[1] - near[1]);
        count += !snub_network_on_ray(n, i);
    }
    return count > 0 ? sum / count : (double)NAN;
}

/* By how much a sum may be over the best and fit as well. */
static double room(const snub_layouts *all, int redundancy)
{
    const double scatter = redundancy > 0 ? all->items[0].sum / redundancy : 1.0;
    return -2.0 * log(AS_LIKELY) * fmax(1.0, scatter);
}

static snub_status no_side(const snub_network *n, const snub_layouts *all, snub_errors *errors)
{
    snub_error error;
    for (int i = 0; i < n->measured->side_count; i++) {
        if (on_side(n, all->items[0].x, &n->measured->sides[i]))
            continue;
        snub_fail(&error, SNUB_BAD_INPUT, &n->measured->sides[i].place, "sides",
                  "no layout that fits the readings has %.40s on that side, with the other sides",
                  n->measured->pulleys[n->measured->sides[i].pulley].name);
        snub_errors_add(errors, &error);
    }
    return SNUB_BAD_INPUT;
}

/* @return index; -1: errors say why */
static int choose(const work *w, const snub_layouts *all, snub_centres *c, int *second, snub_errors *errors)
{
    const snub_network *n = &w->network;
    int fits[SNUB_LAYOUTS_MOST], count = 0, without_sides = 0;
    const double most = all->items[0].sum + room(all, c->redundancy);
    for (int i = 0; i < all->count && all->items[i].sum <= most; i++) {
        without_sides++;
        if (count < SNUB_LAYOUTS_MOST && on_sides(n, all->items[i].x))
            fits[count++] = i;
    }
    *second = -1;
    if (count == 0)
        return no_side(n, all, errors), -1;
    int best = 0;
    c->layouts = count;
    c->choice = without_sides == 1 ? SNUB_LAYOUT_ONLY : SNUB_LAYOUT_SIDES;
    if (count > 1) {
        c->choice = SNUB_LAYOUT_UNDECIDED;
        for (int i = 0; i < count; i++) {
            const double off = off_drive(n, all->items[fits[i]].x);
            if (!isfinite(off))
                continue;
            c->choice = SNUB_LAYOUT_DRIVE;
            if (off < off_drive(n, all->items[fits[best]].x))
                best = i;
        }
        *second = fits[best == 0 ? 1 : 0];
    }
    return fits[best];
}

/* What tells this layout from the other. */
static void find_decider(const work *w, const double *other, snub_centres *c)
{
    const int count = w->network.measured->pulley_count;
    double most = 0.0;
    c->decider = -1;
    c->settles = (snub_next_reading){.a = -1, .b = -1, .worst = NAN};
    for (int i = 0; i < count; i++) {
        snub_network_point(&w->network, other, i, c->other[i]);
        const double off = hypot(c->other[i][0] - c->centre[i].at[0], c->other[i][1] - c->centre[i].at[1]);
        if (off > most) {
            most = off;
            c->decider = i;
        }
    }
    most = 3.0 * snub_next_error(w->network.measured, 0, 0);
    for (int a = 0; a < count; a++) {
        for (int b = a + 1; b < count; b++) {
            const double *p = c->centre[a].at, *q = c->centre[b].at;
            const double here = hypot(p[0] - q[0], p[1] - q[1]);
            const double there = hypot(c->other[a][0] - c->other[b][0], c->other[a][1] - c->other[b][1]);
            if (fabs(here - there) <= most)
                continue;
            most = fabs(here - there);
            c->settles = (snub_next_reading){.a = a, .b = b, .now = here, .worst = NAN};
            c->settles_other = there;
        }
    }
}

/* ---- how good ---------------------------------------------------------------------------------------------------- */

/* Room for a network that is made. */
static bool make_work(snub_arena *arena, work *w)
{
    w->adjustment = snub_network_adjustment(&w->network);
    const size_t n = (size_t)w->network.unknowns, e = (size_t)w->network.equations;
    w->value = SNUB_NEW(arena, double, n + 1);
    w->left = SNUB_NEW(arena, double, n *e + 1);
    w->right_t = SNUB_NEW(arena, double, n *n + 1);
    w->covariance = SNUB_NEW(arena, double, n *n + 1);
    return w->value && w->left && w->right_t && w->covariance &&
           snub_adjuster_make(&w->adjustment, arena, &w->adjuster);
}

/* The unknown that moves a centre along an axis, and by how much. @return -1: it stands */
static int unknown_of(const snub_network *n, int pulley, int axis, double *weight)
{
    const bool ray = snub_network_on_ray(n, pulley);
    *weight = !ray ? 1.0 : axis == 0 ? cos(n->measured->direction) : sin(n->measured->direction);
    return n->centre[pulley] < 0 ? -1 : n->centre[pulley] + (ray ? 0 : axis);
}

static double covariance_of(const work *w, int p, int p_axis, int q, int q_axis)
{
    double a, b;
    const int i = unknown_of(&w->network, p, p_axis, &a), k = unknown_of(&w->network, q, q_axis, &b);
    return i < 0 || k < 0 ? 0.0 : a * b * w->covariance[snub_at(i, k, w->network.unknowns)];
}

static double ellipse_factor(const snub_centres *c)
{
    const double p = SNUB_ERROR_CHANCE;
    return sqrt(c->taken > 1.0 ? c->redundancy * (pow(p, -2.0 / c->redundancy) - 1.0) : -2.0 * log(p));
}

static void fill_centres(const work *w, snub_centres *c)
{
    const int pulleys = w->network.measured->pulley_count;
    const double scale = c->taken * c->taken, factor = ellipse_factor(c);
    for (int i = 0; i < 2 * pulleys; i++)
        for (int k = 0; k < 2 * pulleys; k++)
            c->covariance[snub_at(i, k, 2 * pulleys)] = scale * covariance_of(w, i / 2, i % 2, k / 2, k % 2);
    for (int i = 0; i < pulleys; i++) {
        snub_centre *p = &c->centre[i];
        const double block[3] = {scale * covariance_of(w, i, 0, i, 0), scale * covariance_of(w, i, 0, i, 1),
                                 scale * covariance_of(w, i, 1, i, 1)};
        const int d = w->network.diameter[i];
        p->error[0] = sqrt(fmax(block[0], 0.0));
        p->error[1] = sqrt(fmax(block[2], 0.0));
        snub_ellipse(block, factor, p->axis, &p->turn);
        p->diameter = snub_network_diameter(&w->network, w->x, i);
        p->diameter_error = !isfinite(p->diameter) ? (double)NAN
                            : d < 0                ? w->network.measured->pulleys[i].diameter_error
                                                   : c->taken * sqrt(w->covariance[snub_at(d, d, w->network.unknowns)]);
    }
}

/* ---- which reading ----------------------------------------------------------------------------------------------- */

static void fill_check(const work *w, int k, int pulley, snub_centres *c)
{
    const snub_measured *m = w->network.measured;
    const double f = c->redundancy;
    snub_read_check *r = &c->check[k];
    *r = (snub_read_check){.distance = pulley < 0 ? k : -1, .pulley = pulley};
    r->value = pulley < 0 ? m->distances[k].value : m->pulleys[pulley].diameter;
    r->error = pulley < 0 ? m->distances[k].error : m->pulleys[pulley].diameter_error;
    r->share = snub_adjust_share(&w->adjustment, w->left, k);
    r->residual = w->adjuster.residual[k] * r->error;
    r->against_stated = r->against_rest = r->others = r->others_error = NAN;
    if (r->share < UNCHECKED || f < 1.0)
        return;
    r->against_stated = w->adjuster.residual[k] / sqrt(r->share);
    r->others = r->value + r->residual / r->share;
    r->others_error = c->taken * r->error * sqrt((1.0 - r->share) / r->share);
    const double left = c->sum - r->against_stated * r->against_stated;
    if (f >= 2.0)
        r->against_rest = r->against_stated / sqrt(fmax(left, 1e-12 * c->sum) / (f - 1.0));
}

/* The worst one; and those that could be wrong in its stead: left out, a reading takes w'^2 off the sum. */
static void find_suspects(snub_centres *c)
{
    int worst = -1;
    for (int k = 0; k < c->check_count; k++) {
        const snub_read_check *r = &c->check[k];
        const bool over = fabs(r->against_stated) > c->stated_limit || fabs(r->against_rest) > c->rest_limit;
        if (over && (worst < 0 || fabs(r->against_stated) > fabs(c->check[worst].against_stated)))
            worst = k;
    }
    if (worst < 0)
        return;
    const double most = c->check[worst].against_stated * c->check[worst].against_stated;
    const double rest = c->redundancy > 1 ? (c->sum - most) / (c->redundancy - 1) : 1.0;
    const bool by_stated = fabs(c->check[worst].against_stated) > c->stated_limit; /* else by the scatter of the rest */
    const double least = most + 2.0 * log(AS_SUSPECT) * (by_stated ? fmax(1.0, rest) : rest);
    for (int k = 0; k < c->check_count; k++) {
        snub_read_check *r = &c->check[k];
        r->suspect = k == worst || r->against_stated * r->against_stated > least;
        c->suspects += r->suspect;
    }
}

static void fill_checks(const work *w, snub_centres *c)
{
    const double each = 0.25 * SNUB_ERROR_CHANCE / c->check_count; /* two tests of two sides */
    c->stated_limit = snub_normal_value(each);
    c->rest_limit = c->redundancy >= 2 ? snub_student_value(each, c->redundancy - 1) : (double)NAN;
    int k = 0;
    for (; k < w->network.measured->distance_count; k++)
        fill_check(w, k, -1, c);
    for (int i = 0; i < w->network.measured->pulley_count; i++)
        if (w->network.diameter[i] >= 0)
            fill_check(w, k++, i, c);
    find_suspects(c);
}

/* ---- the answer -------------------------------------------------------------------------------------------------- */

static bool make_centres(const snub_measured *m, const work *w, snub_arena *arena, snub_centres *c)
{
    const size_t n = (size_t)m->pulley_count;
    *c = (snub_centres){.measured = m,
                        .check_count = w->network.equations,
                        .unknowns = w->network.unknowns,
                        .redundancy = w->network.equations - w->network.unknowns,
                        .decider = -1};
    c->centre = SNUB_NEW(arena, snub_centre, n);
    c->edge = SNUB_NEW(arena, snub_edge_line, m->edge_count + 1);
    c->check = SNUB_NEW(arena, snub_read_check, c->check_count + 1);
    c->covariance = SNUB_NEW(arena, double, 4 * n * n);
    return c->centre && c->edge && c->check && c->covariance;
}

static void fill_places(const work *w, snub_centres *c)
{
    for (int i = 0; i < c->measured->pulley_count; i++)
        snub_network_point(&w->network, w->x, i, c->centre[i].at);
    for (int e = 0; e < c->measured->edge_count; e++)
        snub_network_edge(&w->network, w->x, e, &c->edge[e].normal, &c->edge[e].distance);
}

/* A pulley that the readings hold by a hair only. @return SNUB_BAD_INPUT: told */
static snub_status tell_loose(const work *w, snub_errors *errors)
{
    const snub_measured *m = w->network.measured;
    const int before = errors->count;
    for (int i = 0; i < m->pulley_count; i++) {
        const double error = sqrt(covariance_of(w, i, 0, i, 0) + covariance_of(w, i, 1, i, 1));
        snub_error e;
        if (error <= NO_ANSWER)
            continue;
        snub_fail(&e, SNUB_BAD_INPUT, &m->pulleys[i].place, "pulleys",
                  "%.40s is hardly held: the readings lie so that small errors move it far", m->pulleys[i].name);
        snprintf(e.need, sizeof e.need, "readings to it from other sides, or better ones");
        snub_errors_add(errors, &e);
    }
    return errors->count > before ? SNUB_BAD_INPUT : SNUB_OK;
}

static snub_status judge(work *w, const snub_layout *layout, snub_arena *arena, snub_centres *c, snub_errors *errors)
{
    w->x = layout->x;
    fill_places(w, c);
    snub_status status = snub_adjust_decompose(&w->adjustment, &w->adjuster, w->x, w->value, w->left, w->right_t);
    if (status != SNUB_OK)
        return status;
    const int n = w->network.unknowns;
    for (int j = 0; j < n; j++)
        w->value[j] = fmax(w->value[j], 1e-12 * w->value[0]);
    snub_adjust_covariance(n, w->value, w->right_t, w->covariance);
    if ((status = tell_loose(w, errors)) != SNUB_OK)
        return status;
    c->sum = layout->sum;
    const snub_agreement agreement = snub_adjust_agreement(c->sum, c->redundancy);
    c->chance = agreement.chance;
    c->scale = agreement.scale;
    c->taken = agreement.taken;
    fill_centres(w, c);
    fill_checks(w, c);
    const snub_next_network next = {&w->network, w->x, w->covariance, c};
    return snub_next_find(&next, arena, c->next, &c->next_count) ? SNUB_OK : SNUB_NO_MEMORY;
}

static snub_status no_layout(const snub_measured *m, snub_errors *errors)
{
    snub_error error;
    snub_fail(&error, SNUB_BAD_INPUT, &m->distances[0].place, "readings",
              "no layout comes near to these readings: one or more is far off");
    snub_errors_add(errors, &error);
    return SNUB_BAD_INPUT;
}

snub_status snub_centres_adjust(const snub_measured *m, snub_arena *arena, snub_centres *c, snub_errors *errors)
{
    work w = {0};
    snub_layouts all;
    int second;
    snub_network_make(m, &w.network);
    if (w.network.unknowns == 0) {
        snub_error error;
        snub_fail(&error, SNUB_BAD_INPUT, &m->pulleys[0].place, "pulleys", "every centre is given: nothing is wanted");
        snub_errors_add(errors, &error);
        return SNUB_BAD_INPUT;
    }
    snub_status status = snub_floats_tell(&w.network, arena, errors);
    if (status != SNUB_OK)
        return status;
    if (!make_work(arena, &w) || !make_centres(m, &w, arena, c))
        return SNUB_NO_MEMORY;
    if ((status = snub_layouts_find(&w.network, arena, &all)) != SNUB_OK)
        return status;
    if (all.count == 0)
        return no_layout(m, errors);
    const int best = choose(&w, &all, c, &second, errors);
    if (best < 0)
        return SNUB_BAD_INPUT;
    status = judge(&w, &all.items[best], arena, c, errors);
    if (status != SNUB_OK || second < 0)
        return status;
    c->other = snub_alloc(arena, (size_t)m->pulley_count, sizeof *c->other);
    if (c->other == NULL)
        return SNUB_NO_MEMORY;
    find_decider(&w, all.items[second].x, c);
    return SNUB_OK;
}

snub_level snub_centres_level(const snub_centres *c)
{
    return c->suspects > 0 || c->choice == SNUB_LAYOUT_UNDECIDED ? SNUB_FAIL
           : c->taken > 1.0                                      ? SNUB_MARGINAL
                                                                 : SNUB_PASS;
}

/** Circles of one middle put together, and compared with the pulleys of a drive. docs/theory/measure.md. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "circle.h"
#include "tips.h"

/** From this part of the points on that stand out, what is left is no one circle: rule of thumb, no published source.
 */
static const double OUT_MOST = 0.25;

typedef struct job {
    snub_circles *c;
    snub_arena *arena;
    snub_errors *errors;
} job;

static snub_status note(const job *j, snub_status status, int line, const char *key, const char *message)
{
    snub_error error;
    const snub_place place = {.file = j->c->name, .line = line};
    snub_fail(&error, status, &place, key, "%s", message);
    snub_errors_add(j->errors, &error);
    return status;
}

/* Into the drive file's frame. */
static void to_drive(const job *j, const double from[2], double at[2])
{
    const snub_circles_wish *w = &j->c->wish;
    const double x = from[0] - w->origin[0], y = from[1] - w->origin[1], c = cos(w->turn), s = sin(w->turn);
    at[0] = c * x + s * y;
    at[1] = c * y - s * x;
}

/* ---- circles of a sketch ------------------------------------------------------------------------------------------
 */

typedef struct piece {
    int round;
    double from, sweep;
} piece;

static bool is_same(const job *j, const snub_round *r, const double at[2], double diameter)
{
    const double most = j->c->wish.tolerance;
    return hypot(r->at[0] - at[0], r->at[1] - at[1]) <= most && fabs(r->diameter - diameter) <= most;
}

/* @return its index; -1: there are too many */
static int round_of(const job *j, const snub_sketch_arc *arc)
{
    snub_circles *c = j->c;
    double at[2];
    to_drive(j, arc->at, at);
    for (int i = 0; i < c->round_count; i++)
        if (is_same(j, &c->round[i], at, 2.0 * arc->radius)) {
            c->round[i].pieces++;
            return i;
        }
    if (c->round_count == SNUB_ROUNDS_MOST)
        return -1;
    c->round[c->round_count] = (snub_round){
        .layer = arc->layer, .line = arc->line, .at = {at[0], at[1]}, .diameter = 2.0 * arc->radius, .pieces = 1};
    return c->round_count++;
}

static int by_round(const void *a, const void *b)
{
    const piece *p = a, *q = b;
    return p->round != q->round ? p->round - q->round : (p->from > q->from) - (p->from < q->from);
}

/* What the pieces cover together, in the order in which they begin. What runs on over the turn's end covers its start.
 */
static double covered(const piece *p, int count)
{
    const double turn = 2.0 * SNUB_PI;
    double end = 0.0;
    for (int i = 0; i < count; i++)
        end = fmax(end, p[i].from + p[i].sweep - turn);
    double sum = end;
    for (int i = 0; i < count; i++) {
        const double to = fmin(p[i].from + p[i].sweep, turn);
        sum += fmax(0.0, to - fmax(end, p[i].from));
        end = fmax(end, to);
    }
    return sum;
}

static void keep_long(snub_circles *c)
{
    int kept = 0;
    for (int i = 0; i < c->round_count; i++)
        if (c->round[i].arc >= c->wish.arc * (1.0 - 1e-9))
            c->round[kept++] = c->round[i];
    c->short_count = c->round_count - kept;
    c->round_count = kept;
}

static snub_status take_sketch(const job *j)
{
    snub_circles *c = j->c;
    const snub_sketch *s = c->sketch;
    piece *pieces = SNUB_NEW(j->arena, piece, s->arc_count);
    c->round = SNUB_NEW(j->arena, snub_round, SNUB_ROUNDS_MOST);
    if (pieces == NULL || c->round == NULL)
        return SNUB_NO_MEMORY;
    for (int i = 0; i < s->arc_count; i++) {
        const double from = fmod(s->arc[i].from + 4.0 * SNUB_PI, 2.0 * SNUB_PI);
        pieces[i] = (piece){round_of(j, &s->arc[i]), from, s->arc[i].sweep};
        if (pieces[i].round < 0)
            return note(j, SNUB_TOO_LARGE, s->arc[i].line, NULL,
                        "there are more than 2000 different circles: choose layers by --layer");
    }
    qsort(pieces, (size_t)s->arc_count, sizeof *pieces, by_round);
    for (int i = 0, end; i < s->arc_count; i = end) {
        for (end = i + 1; end < s->arc_count && pieces[end].round == pieces[i].round;)
            end++;
        c->round[pieces[i].round].arc = covered(&pieces[i], end - i);
    }
    keep_long(c);
    return SNUB_OK;
}

/* ---- circles of points --------------------------------------------------------------------------------------------
 */

static snub_status take_group(const job *j, const snub_scan_group *g)
{
    snub_circles *c = j->c;
    snub_error error;
    snub_circle_fit *fit = SNUB_NEW(j->arena, snub_circle_fit, 1);
    snub_scan_group *turned = SNUB_NEW(j->arena, snub_scan_group, 1);
    double(*at)[2] = (double(*)[2])snub_alloc(j->arena, (size_t)g->count, sizeof *at);
    if (fit == NULL || turned == NULL || at == NULL)
        return SNUB_NO_MEMORY;
    for (int i = 0; i < g->count; i++)
        to_drive(j, g->at[i], at[i]);
    *turned = (snub_scan_group){g->name, g->count, at, g->line};
    const snub_status status =
        snub_circle_through((const double(*)[2])at, g->count, c->wish.error, j->arena, fit, &error);
    if (status == SNUB_BAD_INPUT)
        return note(j, status, g->line[0], g->name, error.message);
    if (status != SNUB_OK)
        return status;
    c->round[c->round_count++] = (snub_round){.name = g->name,
                                              .line = g->line[0],
                                              .at = {fit->at[0], fit->at[1]},
                                              .diameter = 2.0 * fit->radius,
                                              .arc = fit->arc,
                                              .fit = fit,
                                              .points = turned,
                                              .hardly = fit->axis[0] > c->wish.reach};
    return SNUB_OK;
}

static snub_status take_scan(const job *j)
{
    const snub_scan *s = j->c->scan;
    snub_status bad = SNUB_OK;
    j->c->round = SNUB_NEW(j->arena, snub_round, s->group_count);
    if (j->c->round == NULL)
        return SNUB_NO_MEMORY;
    for (int g = 0; g < s->group_count; g++) {
        const snub_status status = take_group(j, &s->group[g]);
        if (status != SNUB_OK && status != SNUB_BAD_INPUT)
            return status;
        bad = status != SNUB_OK ? status : bad;
    }
    return bad;
}

/* ---- one middle ---------------------------------------------------------------------------------------------------
 */

static int by_diameter(const void *a, const void *b)
{
    const snub_round *p = a, *q = b;
    return p->diameter != q->diameter ? (p->diameter < q->diameter) - (p->diameter > q->diameter) : p->line - q->line;
}

static int by_group(const void *a, const void *b)
{
    const snub_round *p = a, *q = b;
    return p->group != q->group ? p->group - q->group : by_diameter(a, b);
}

/* How far a centre lies from where it is said to be, with 95 %. */
static double unsure(const snub_round *r)
{
    return r->fit != NULL && isfinite(r->fit->axis[0]) ? r->fit->axis[0] : 0.0;
}

static double unsure_size(const snub_round *r)
{
    return r->fit != NULL && isfinite(r->fit->within) ? 2.0 * r->fit->within * r->fit->radius_error : 0.0;
}

static bool has_place(const snub_round *r)
{
    return r->fit == NULL || !r->fit->straight;
}

/* Points of different names are different things. */
static bool one_middle(const job *j, const snub_round *a, const snub_round *b)
{
    return has_place(a) && has_place(b) && a->name == NULL && b->name == NULL &&
           hypot(a->at[0] - b->at[0], a->at[1] - b->at[1]) <= j->c->wish.tolerance;
}

static snub_status put_together(const job *j)
{
    snub_circles *c = j->c;
    c->group = SNUB_NEW(j->arena, snub_round_group, c->round_count);
    if (c->group == NULL)
        return SNUB_NO_MEMORY;
    if (c->scan == NULL)
        qsort(c->round, (size_t)c->round_count, sizeof *c->round, by_diameter);
    for (int i = 0; i < c->round_count; i++)
        c->round[i].group = -1;
    for (int i = 0; i < c->round_count; i++) {
        if (c->round[i].group >= 0)
            continue;
        for (int k = i; k < c->round_count; k++)
            if (c->round[k].group < 0 && (k == i || one_middle(j, &c->round[i], &c->round[k])))
                c->round[k].group = c->group_count;
        c->group[c->group_count++] = (snub_round_group){.pulley = -1};
    }
    qsort(c->round, (size_t)c->round_count, sizeof *c->round, by_group);
    for (int i = c->round_count - 1; i >= 0; i--) {
        snub_round_group *g = &c->group[c->round[i].group];
        g->first = i;
        g->count++;
    }
    return SNUB_OK;
}

/* ---- pulleys ------------------------------------------------------------------------------------------------------
 */

/* Over the diameter of pulley, rim or rib tips, whichever is nearest: what a sketch shows of it is not known. */
static double size_off(const snub_pulley *p, const snub_round *r)
{
    const double sizes[] = {p->diameter, 2.0 * p->rim_radius, snub_tip_diameter(p)};
    double off = r->diameter - sizes[0];
    for (int i = 1; i < 3; i++)
        off = fabs(r->diameter - sizes[i]) < fabs(off) ? r->diameter - sizes[i] : off;
    return off;
}

static double place_off(const snub_pulley *p, const snub_round *r)
{
    return hypot(r->at[0] - p->at[0], r->at[1] - p->at[1]);
}

static bool size_fits(const job *j, const snub_pulley *p, const snub_round *r)
{
    return fabs(size_off(p, r)) <= j->c->wish.tolerance + unsure_size(r);
}

static bool place_fits(const job *j, const snub_pulley *p, const snub_round *r)
{
    return place_off(p, r) <= j->c->wish.reach + unsure(r);
}

static bool has_name(const snub_round *r, const snub_pulley *p)
{
    return r->name != NULL && strcmp(r->name, p->name) == 0;
}

/* Whose name is given in the file is that pulley and no other. */
static bool fits(const job *j, const snub_pulley *p, const snub_round *r)
{
    if (!has_place(r))
        return false;
    if (has_name(r, p))
        return true;
    for (int i = 0; r->name != NULL && i < j->c->drive->pulley_count; i++)
        if (has_name(r, &j->c->drive->pulleys[i]))
            return false;
    return place_fits(j, p, r) && size_fits(j, p, r);
}

/* @return the round of a middle by which it is the pulley, that of the nearest size; -1 */
static int fit_of(const job *j, const snub_pulley *p, const snub_round_group *g)
{
    int best = -1;
    for (int i = g->first; i < g->first + g->count; i++)
        if (fits(j, p, &j->c->round[i]) &&
            (best < 0 || fabs(size_off(p, &j->c->round[i])) < fabs(size_off(p, &j->c->round[best]))))
            best = i;
    return best;
}

static void compare(const job *j, int pulley)
{
    snub_circles *c = j->c;
    const snub_pulley *p = &c->drive->pulleys[pulley];
    snub_round_pulley *m = &c->pulley[pulley];
    int near = -1;
    *m = (snub_round_pulley){.match = SNUB_ROUND_MOVES, .round = -1};
    if (p->sits != SNUB_FIXED)
        return;
    for (int g = 0; g < c->group_count; g++) {
        const int round = fit_of(j, p, &c->group[g]);
        m->round = round >= 0 ? round : m->round;
        m->by_name = m->by_name || (round >= 0 && has_name(&c->round[round], p));
        m->fits += round >= 0;
    }
    for (int i = 0; i < c->round_count; i++)
        if (has_place(&c->round[i]) && (near < 0 || place_off(p, &c->round[i]) < place_off(p, &c->round[near])))
            near = i;
    m->match = m->fits == 0 ? SNUB_ROUND_NONE : m->fits == 1 || m->by_name ? SNUB_ROUND_FOUND : SNUB_ROUND_SEVERAL;
    for (int i = 0; m->by_name && i < c->round_count; i++)
        m->round = has_name(&c->round[i], p) ? i : m->round;
    m->round = m->match == SNUB_ROUND_NONE ? near : m->round;
    if (m->round < 0)
        return;
    const snub_round *r = &c->round[m->round];
    for (int k = 0; k < 2; k++)
        m->off[k] = r->at[k] - p->at[k];
    m->size_off = size_off(p, r);
    m->elsewhere = m->by_name && !(place_fits(j, p, r) && size_fits(j, p, r));
}

/* Would another pulley take the middle that was found for one? A name settles it. */
static bool is_wanted_twice(const job *j, int pulley)
{
    const snub_circles *c = j->c;
    const snub_round_group *g = &c->group[c->round[c->pulley[pulley].round].group];
    for (int i = 0; i < c->drive->pulley_count; i++)
        if (i != pulley && c->pulley[i].match != SNUB_ROUND_MOVES && !c->pulley[i].by_name &&
            fit_of(j, &c->drive->pulleys[i], g) >= 0)
            return true;
    return false;
}

/* A middle that two pulleys want is open for both. */
static void settle(const job *j)
{
    snub_circles *c = j->c;
    for (int i = 0; i < c->drive->pulley_count; i++) {
        snub_round_pulley *p = &c->pulley[i];
        if (p->match != SNUB_ROUND_FOUND)
            continue;
        if (!p->by_name && is_wanted_twice(j, i))
            p->match = SNUB_ROUND_SEVERAL;
        else
            c->group[c->round[p->round].group].pulley = i;
    }
}

snub_status snub_circles_find(const char *name, const snub_sketch *sketch, const snub_scan *scan,
                              const snub_circles_wish *wish, const snub_drive *drive, snub_arena *arena,
                              snub_circles *circles, snub_errors *errors)
{
    const job j = {circles, arena, errors};
    *circles = (snub_circles){.name = name, .sketch = sketch, .scan = scan, .wish = *wish, .drive = drive};
    snub_status status = sketch != NULL ? take_sketch(&j) : take_scan(&j);
    if (status == SNUB_OK && circles->round_count == 0)
        status = note(&j, SNUB_BAD_INPUT, 0, NULL, "no circle is there far enough round: see --arc");
    if (status == SNUB_OK)
        status = put_together(&j);
    if (status != SNUB_OK || drive == NULL)
        return status;
    circles->pulley = SNUB_NEW(arena, snub_round_pulley, drive->pulley_count);
    if (circles->pulley == NULL)
        return SNUB_NO_MEMORY;
    for (int i = 0; i < drive->pulley_count; i++)
        compare(&j, i);
    settle(&j);
    return SNUB_OK;
}

/* ---- verdict ------------------------------------------------------------------------------------------------------
 */

static snub_level level_of(const snub_round *r)
{
    const snub_circle_fit *f = r->fit;
    if (f == NULL)
        return SNUB_PASS;
    if (f->straight || f->count - f->used > OUT_MOST * f->count)
        return SNUB_FAIL;
    return f->used < f->count || isnan(f->radius_error) || f->used == SNUB_CIRCLE_POINTS || f->taken > 1.0 || r->hardly
               ? SNUB_MARGINAL
               : SNUB_PASS;
}

snub_level snub_circles_level(const snub_circles *c)
{
    snub_level level = SNUB_PASS;
    for (int i = 0; i < c->round_count; i++) {
        const snub_level one = level_of(&c->round[i]);
        level = one > level ? one : level;
    }
    for (int i = 0; c->drive != NULL && i < c->drive->pulley_count; i++) {
        const snub_round_pulley *p = &c->pulley[i];
        const snub_level one = p->match == SNUB_ROUND_SEVERAL                ? SNUB_FAIL
                               : p->match == SNUB_ROUND_NONE || p->elsewhere ? SNUB_MARGINAL
                                                                             : SNUB_PASS;
        level = one > level ? one : level;
    }
    return level;
}

/** The batch kernel at one width: a template. Whoever includes it has defined LANES, KERNEL (the name of the function)
 *  and pick, any, lane_sqrt, lane_atan2, lane_sincos on `lanes` (batch_width.h). Private to src/balance.
 *
 *  Formulas are those of rig.c and solve.c, in the same order; docs/theory/batch.md says where the two may differ.
 *  Nothing here depends on a neighbour lane: lanes that have their answer are kept by a mask while others go on. */
#include "batch_kernel.h"
#include "lanes_common.h"

#include <string.h>

/* Vectors that go through memory from call to call cost half of the time. */
#define IN_PLACE static inline __attribute__((always_inline))

/* Every fourth place of the wind table is laid, and between them what these do not decide. */
enum { STRIDE = 4, COARSE = SNUB_WIND_GRID / STRIDE };
/* Tension that rounding and the walk along the table may make or take, a share of the belt's stiffness; some 1e6
 * roundings. A case that is nearer to slack, or at that tension on its arm nearer to balance at a wind of the table, is
 * not decided here. */
static const double NEAR = 1e-10;
/* Where spans are so many times as long as their end moves from one coarse place to the next, R and tension are so
 * smooth that second differences tell how far they leave their chord. */
static const double ROOM = 4.0;

/* The cases of one round of lanes. */
typedef struct cases {
    const snub_rig *rig;
    marks lost;
    lanes x[SNUB_PULLEYS_MOST], y[SNUB_PULLEYS_MOST], radius[SNUB_PULLEYS_MOST];
    lanes span[SNUB_PULLEYS_MOST], wrap[SNUB_PULLEYS_MOST], u[SNUB_PULLEYS_MOST][2], rise[SNUB_PULLEYS_MOST];
    lanes sign[SNUB_PULLEYS_MOST], size[SNUB_PULLEYS_MOST]; /* of the radii: 1 or -1; m */
    lanes pivot[2], arm_length, rest, travel, preload, rate;
    lanes stiffness, measuring_tension, target, centrifugal, factor;
    lanes fixed_length, fixed_turn, fixed, rise_span[2], rise_arc[3], most_rise;
} cases;

static lanes column(const double *values, double all, int first, int count)
{
    lanes v = all_of(all);
    if (values != NULL && first + LANES <= count)
        memcpy(&v, values + first, sizeof v);
    else if (values != NULL)
        for (int k = 0; k < LANES; k++) /* the last round: its last case over again */
            v[k] = values[first + k < count ? first + k : count - 1];
    return v;
}

/* ---- geometry --------------------------------------------------------------------------------------------------- */

/* snub_tangent, but for a quotient: u is `square` times the direction */
IN_PLACE marks tangent_times(const lanes from[2], lanes r1, const lanes to[2], lanes r2, lanes u[2], lanes *length,
                             lanes *square)
{
    const lanes dx = to[0] - from[0], dy = to[1] - from[1], h = r1 - r2;
    *square = dx * dx + dy * dy;
    const lanes rest = *square - h * h;
    const lanes l = lane_sqrt(pick(rest > 0.0, rest, all_of(0.0)));
    u[0] = l * dx + h * dy;
    u[1] = l * dy - h * dx;
    *length = l;
    return (rest > 0.0) & (rest < (double)INFINITY);
}

IN_PLACE marks tangent(const lanes from[2], lanes r1, const lanes to[2], lanes r2, lanes u[2], lanes *length)
{
    lanes square;
    const marks valid = tangent_times(from, r1, to, r2, u, length, &square);
    const lanes inverse = all_of(1.0) / square;
    u[0] *= inverse;
    u[1] *= inverse;
    return valid;
}

/* wrap_of in rig.c */
static lanes wrap_of(const lanes before[2], const lanes after[2], lanes radius)
{
    lanes angle = lane_atan2(before[0] * after[1] - before[1] * after[0], before[0] * after[0] + before[1] * after[1]);
    angle = pick(radius > all_of(0.0), -angle, angle);
    angle = pick(angle < all_of(-TOUCH_RAD), angle + all_of(2.0 * SNUB_PI), angle);
    return pick(angle < all_of(0.0), all_of(0.0), angle);
}

/* Signed as its radius. */
static lanes signed_as(lanes value, lanes radius)
{
    return pick(radius > all_of(0.0), value, -value);
}

/* Spans and levers at an angle of the arm. */
IN_PLACE void lay_spans(const cases *c, lanes sine, lanes cosine, laid *g)
{
    const int p = c->rig->before, a = c->rig->arm, q = c->rig->after;
    const lanes winds = all_of(c->rig->winds);
    g->reach[0] = c->arm_length * cosine;
    g->reach[1] = c->arm_length * sine;
    const lanes centre[2] = {c->pivot[0] + g->reach[0], c->pivot[1] + g->reach[1]};
    const lanes from[2] = {c->x[p], c->y[p]}, to[2] = {c->x[q], c->y[q]};
    lanes square[2];
    g->valid = tangent_times(from, c->radius[p], centre, c->radius[a], g->u[0], &g->span[0], &square[0]);
    g->valid &= tangent_times(centre, c->radius[a], to, c->radius[q], g->u[1], &g->span[1], &square[1]);
    const lanes inverse = 1.0 / (square[0] * square[1]); /* one quotient for both */
    for (int k = 0; k < 2; k++) {
        g->u[k][0] *= inverse * square[1 - k];
        g->u[k][1] *= inverse * square[1 - k];
    }
    g->lever_in = winds * (g->reach[0] * g->u[0][1] - g->reach[1] * g->u[0][0]);
    g->lever_out = winds * (g->reach[0] * g->u[1][1] - g->reach[1] * g->u[1][0]);
}

static void find_wraps(const cases *c, const laid *g, lanes wrap[3])
{
    const int p = c->rig->before, a = c->rig->arm, q = c->rig->after, n = c->rig->n;
    wrap[1] = wrap_of(g->u[0], g->u[1], c->radius[a]);
    wrap[0] = wrap_of(p == q ? g->u[1] : c->u[p > 0 ? p - 1 : n - 1], g->u[0], c->radius[p]);
    wrap[2] = p == q ? wrap[0] : wrap_of(g->u[1], c->u[q], c->radius[q]);
}

/* Length, and whether the wraps make one turn. */
IN_PLACE void close_path(const cases *c, laid *g)
{
    const int p = c->rig->before, a = c->rig->arm, q = c->rig->after;
    lanes turned = c->sign[p] * g->wrap[0] + c->sign[a] * g->wrap[1];
    g->length = g->span[0] + g->span[1] + c->size[p] * g->wrap[0] + c->size[a] * g->wrap[1];
    if (p != q) {
        turned += c->fixed_turn + c->sign[q] * g->wrap[2];
        g->length += c->fixed_length + c->size[q] * g->wrap[2];
    }
    g->valid &= size_of(turned - all_of(c->rig->sense * 2.0 * SNUB_PI)) < all_of(SNUB_PI);
}

/* snub_arm_lay */
static void lay_arm(const cases *c, lanes wind, laid *g)
{
    lanes sine, cosine;
    lane_sincos(c->rest + all_of(c->rig->winds) * wind, &sine, &cosine);
    lay_spans(c, sine, cosine, g);
    find_wraps(c, g, g->wrap);
    close_path(c, g);
}

/* The arm from place to place of the wind table without sine and arc tangent: it turns by one and the same angle, and
 * a wrap grows by what its spans turn, whose sine is the cross product of their directions. */
typedef struct walk {
    lanes sine, cosine, step_sine, step_cosine;
    lanes u[2][2], wrap[3];
    marks good; /* tangents at the place before */
} walk;

static void set_out(const cases *c, walk *w)
{
    lane_sincos(c->rest, &w->sine, &w->cosine);
    lane_sincos(all_of(c->rig->winds) * c->travel / all_of(COARSE), &w->step_sine, &w->step_cosine);
    w->good = (marks){0};
    for (int i = 0; i < 3; i++)
        w->wrap[i] = all_of(0.0);
}

/* Sine of the greatest turn of a span that the series of the arc sine is good for: what it leaves out is less than
 * 4e-13 rad. */
static const double SERIES = 0.15;

/* What a direction has turned by. */
IN_PLACE lanes turn_of(const lanes before[2], const lanes now[2], marks *good)
{
    const lanes x = before[0] * now[1] - before[1] * now[0], square = x * x;
    *good &= (size_of(x) < all_of(SERIES)) & (before[0] * now[0] + before[1] * now[1] > all_of(0.0));
    return x + x * (square * (1.0 / 6.0 +
                              square * (3.0 / 40.0 + square * (15.0 / 336.0 + square * (105.0 / 3456.0 +
                                                                                        square * (945.0 / 42240.0))))));
}

/* The wraps at this place from those at the one before; by arc tangent where there is none or the spans turn fast. */
IN_PLACE void walk_on(const cases *c, walk *w, laid *g)
{
    const int p = c->rig->before, a = c->rig->arm, q = c->rig->after;
    const bool two = p == q;
    marks good = w->good & g->valid;
    const lanes in = turn_of(w->u[0], g->u[0], &good), out = turn_of(w->u[1], g->u[1], &good);
    lanes wrap[3] = {w->wrap[0] + c->sign[p] * (two ? out - in : -in), w->wrap[1] + c->sign[a] * (in - out),
                     w->wrap[2] + c->sign[q] * out};
    if (two)
        wrap[2] = wrap[0];
    marks off = {0};
    for (int i = 0; i < 3; i++)
        off |= (wrap[i] < 0.0) | (wrap[i] >= 2.0 * SNUB_PI - TOUCH_RAD);
    if (any(off | ~good)) {
        lanes anew[3];
        find_wraps(c, g, anew);
        for (int i = 0; i < 3; i++)
            wrap[i] = pick(good, within_turn(wrap[i]), anew[i]);
    }
    memcpy(w->wrap, wrap, sizeof wrap);
    for (int i = 0; i < 3; i++)
        g->wrap[i] = pick(wrap[i] < 0.0, all_of(0.0), wrap[i]);
    memcpy(w->u, g->u, sizeof w->u);
    w->good = g->valid;
}

IN_PLACE void turn_arm(walk *w)
{
    const lanes sine = w->sine * w->step_cosine + w->cosine * w->step_sine;
    w->cosine = w->cosine * w->step_cosine - w->sine * w->step_sine;
    w->sine = sine;
}

static bool span_moves(const snub_rig *rig, int i)
{
    return rig->arm >= 0 && (i == rig->before || i == rig->arm);
}

static bool arc_moves(const snub_rig *rig, int i)
{
    return span_moves(rig, i) || (rig->arm >= 0 && i == rig->after);
}

/* Spans and arcs that the arm does not move. */
static void lay_fixed(cases *c)
{
    const snub_rig *rig = c->rig;
    for (int i = 0; i < rig->n; i++) {
        const int next = i + 1 < rig->n ? i + 1 : 0;
        const lanes from[2] = {c->x[i], c->y[i]}, to[2] = {c->x[next], c->y[next]};
        if (span_moves(rig, i))
            continue;
        c->lost |= ~tangent(from, c->radius[i], to, c->radius[next], c->u[i], &c->span[i]);
    }
    c->fixed_length = c->fixed_turn = all_of(0.0);
    for (int i = 0; i < rig->n; i++) {
        if (!span_moves(rig, i))
            c->fixed_length += c->span[i];
        if (arc_moves(rig, i))
            continue;
        c->wrap[i] = wrap_of(c->u[i > 0 ? i - 1 : rig->n - 1], c->u[i], c->radius[i]);
        c->fixed_length += c->size[i] * c->wrap[i];
        c->fixed_turn += c->sign[i] * c->wrap[i];
    }
    if (rig->arm < 0)
        c->lost |= ~(size_of(c->fixed_turn - all_of(rig->sense * 2.0 * SNUB_PI)) < all_of(SNUB_PI));
}

/* The next place of a walk. */
IN_PLACE void lay_next(const cases *c, walk *w, laid *g)
{
    lay_spans(c, w->sine, w->cosine, g);
    walk_on(c, w, g);
    close_path(c, g);
    turn_arm(w);
}

/* ---- tension and moment, as in solve.c -------------------------------------------------------------------------- */

static lanes mean_rise(const cases *c, int pulley)
{
    return all_of(0.5) * (c->rise[pulley > 0 ? pulley - 1 : c->rig->n - 1] + c->rise[pulley]);
}

static void add_up(cases *c)
{
    const snub_rig *rig = c->rig;
    c->fixed = c->most_rise = all_of(0.0);
    for (int i = 0; i < rig->n; i++) {
        c->most_rise = pick(c->rise[i] > c->most_rise, c->rise[i], c->most_rise);
        if (!span_moves(rig, i))
            c->fixed += c->rise[i] * c->span[i];
        if (!arc_moves(rig, i))
            c->fixed += mean_rise(c, i) * c->size[i] * c->wrap[i];
    }
    if (rig->arm < 0)
        return;
    const int arcs[3] = {rig->before, rig->arm, rig->after};
    c->rise_span[0] = c->rise[rig->before];
    c->rise_span[1] = c->rise[rig->arm];
    for (int k = 0; k < 3; k++)
        c->rise_arc[k] = mean_rise(c, arcs[k]) * c->size[arcs[k]];
    if (rig->before == rig->after)
        c->rise_arc[2] = all_of(0.0);
}

IN_PLACE lanes tension_from_length(const cases *c, lanes length, lanes weighted)
{
    return c->measuring_tension + (c->stiffness * (length - c->target) - weighted) / length;
}

IN_PLACE lanes weighted_rise(const cases *c, const laid *g)
{
    return c->fixed + c->rise_span[0] * g->span[0] + c->rise_span[1] * g->span[1] + c->rise_arc[0] * g->wrap[0] +
           c->rise_arc[1] * g->wrap[1] + c->rise_arc[2] * g->wrap[2];
}

IN_PLACE lanes unbalance(const cases *c, const laid *g, lanes wind, lanes *tension)
{
    *tension = tension_from_length(c, g->length, weighted_rise(c, g));
    const lanes in = *tension + c->rise_span[0] - c->centrifugal, out = *tension + c->rise_span[1] - c->centrifugal;
    return (c->preload + c->rate * wind) * c->factor - (out * g->lever_out - in * g->lever_in);
}

static lanes slope(const cases *c, const laid *g, lanes tension)
{
    const snub_rig *rig = c->rig;
    const lanes winds = all_of(rig->winds), x = g->reach[0], y = g->reach[1], dx = -winds * y, dy = winds * x;
    const lanes *in = g->u[0], *out = g->u[1];
    const lanes turn_in = (-in[1] * dx + in[0] * dy) / g->span[0];
    const lanes turn_out = -(-out[1] * dx + out[0] * dy) / g->span[1];
    const lanes d_in = winds * (dx * in[1] - dy * in[0] + turn_in * (x * in[0] + y * in[1]));
    const lanes d_out = winds * (dx * out[1] - dy * out[0] + turn_out * (x * out[0] + y * out[1]));
    const lanes d_span_in = in[0] * dx + in[1] * dy, d_span_out = -(out[0] * dx + out[1] * dy);
    lanes d_weighted = c->rise_span[0] * d_span_in + c->rise_span[1] * d_span_out +
                       c->rise_arc[1] * c->sign[rig->arm] * (turn_in - turn_out);
    if (rig->before == rig->after)
        d_weighted += c->rise_arc[0] * c->sign[rig->before] * (turn_out - turn_in);
    else
        d_weighted +=
            c->rise_arc[0] * c->sign[rig->before] * -turn_in + c->rise_arc[2] * c->sign[rig->after] * turn_out;
    const lanes d_tension =
        ((c->stiffness - (tension - c->measuring_tension)) * (d_span_in + d_span_out) - d_weighted) / g->length;
    const lanes t_in = tension + c->rise_span[0] - c->centrifugal, t_out = tension + c->rise_span[1] - c->centrifugal;
    return c->rate * c->factor - (t_out * d_out - t_in * d_in + d_tension * (g->lever_out - g->lever_in));
}

/* ---- the arm ---------------------------------------------------------------------------------------------------- */

typedef struct answer {
    marks open;  /* not decided here */
    marks slack; /* all round */
    marks free, at_stop, dead;
    lanes wind, tension, equilibria;
} answer;

/* A place of the wind table. Unbalance and tension are times the length of the path, which spares a quotient and
 * changes no sign. */
typedef struct place {
    marks valid;
    lanes length, r, tight; /* m, R of it, N m2; greatest tractive tension of all spans of it, N m */
    lanes span[2], wrap[3], u[2][2], sine, cosine;
} place;

/* The last cell in which R goes from - to +. */
typedef struct scanned {
    lanes count;     /* of such cells */
    lanes low, high; /* winds at its ends */
    lanes base;      /* coarse place before it: from there it is laid */
    lanes r[4];      /* at the place before the cell, its ends, the place behind; NAN: not known */
    marks lies;      /* the belt lies well all over the travel */
    place at[COARSE + 1];
} scanned;

IN_PLACE void measure(const cases *c, const laid *g, const walk *w, lanes wind, place *p)
{
    const lanes l = g->length,
                tension = c->measuring_tension * l + c->stiffness * (l - c->target) - weighted_rise(c, g);
    const lanes in = tension + (c->rise_span[0] - c->centrifugal) * l;
    const lanes out = tension + (c->rise_span[1] - c->centrifugal) * l;
    p->valid = g->valid;
    p->length = l;
    p->r = (c->preload + c->rate * wind) * c->factor * l - (out * g->lever_out - in * g->lever_in);
    p->tight = tension + (c->most_rise - c->centrifugal) * l;
    memcpy(p->span, g->span, sizeof p->span);
    memcpy(p->wrap, w->wrap, sizeof p->wrap);
    memcpy(p->u, g->u, sizeof p->u);
}

/* Whether rounding would decide what R or the belt does at a place. */
IN_PLACE marks is_near(const cases *c, const place *p)
{
    const lanes near = NEAR * c->stiffness * p->length;
    return p->valid & ((size_of(p->r) < near * c->arm_length) | (size_of(p->tight) < near));
}

IN_PLACE lanes least(lanes a, lanes b)
{
    return pick(a < b, a, b);
}

IN_PLACE lanes most(lanes a, lanes b)
{
    return pick(a > b, a, b);
}

/* Least span and wrap, and greatest wrap, of places. */
typedef struct extent {
    marks valid;
    lanes span[2], least[3], most[3];
} extent;

IN_PLACE void take_in(const place *p, extent *e)
{
    e->valid &= p->valid;
    for (int i = 0; i < 2; i++)
        e->span[i] = least(e->span[i], p->span[i]);
    for (int i = 0; i < 3; i++) {
        e->least[i] = least(e->least[i], p->wrap[i]);
        e->most[i] = most(e->most[i], p->wrap[i]);
    }
}

IN_PLACE extent extent_of(const place *p)
{
    extent e = {.valid = p->valid};
    memcpy(e.span, p->span, sizeof e.span);
    memcpy(e.least, p->wrap, sizeof e.least);
    memcpy(e.most, p->wrap, sizeof e.most);
    return e;
}

/* Whether the belt lies well between coarse places at which it does: a span changes by no more than its end moves, and
 * turns by no more than that over its least length; a wrap changes by the turn of its spans. */
static marks lies_well(const cases *c, const extent *e)
{
    const double turn = 2.0 * SNUB_PI;
    const lanes way = c->arm_length * c->travel / all_of(COARSE);
    const lanes in = way / (e->span[0] - way), out = way / (e->span[1] - way);
    const bool two = c->rig->before == c->rig->after;
    const lanes turns[3] = {two ? in + out : in, in + out, two ? in + out : out};
    marks lies = e->valid & (e->span[0] > ROOM * way) & (e->span[1] > ROOM * way);
    for (int i = 0; i < 3; i++)
        lies &= (e->least[i] > turns[i]) & (e->most[i] < turn - turns[i]);
    return lies;
}

static marks lies_between(const cases *c, const place *at, int k)
{
    extent e = extent_of(&at[k]);
    take_in(&at[k + 1], &e);
    return lies_well(c, &e);
}

/* @return lanes of which the belt lies well all over the travel */
static marks lay_coarse(const cases *c, place *at, marks *open)
{
    const lanes step = c->travel / all_of(COARSE);
    walk w = {0};
    set_out(c, &w);
    for (int k = 0; k <= COARSE; k++) {
        laid g;
        at[k].sine = w.sine;
        at[k].cosine = w.cosine;
        lay_next(c, &w, &g);
        measure(c, &g, &w, step * all_of(k), &at[k]);
        *open |= is_near(c, &at[k]);
    }
    extent all = extent_of(&at[0]);
    for (int k = 1; k <= COARSE; k++)
        take_in(&at[k], &all);
    return lies_well(c, &all);
}

/* By how much a quantity bends about two places: its second difference there, and by how much that changes. */
IN_PLACE lanes bends(lanes before, lanes a, lanes b, lanes behind)
{
    const lanes one = before - 2.0 * a + b, other = a - 2.0 * b + behind;
    return most(size_of(one), size_of(other)) + size_of(one - other);
}

/* What is known of the cells between coarse places k and k + 1 without looking at them: that there is no crossing, or
 * one (`up`). A parabola leaves its chord by an eighth of its second difference, and its slope changes by half of it
 * from the chord's; twice that is allowed for. */
IN_PLACE marks known(const cases *c, const scanned *s, int k, marks *up)
{
    /* at the ends of the travel, the bend of the next cells inside */
    const int i = k < 1 ? 1 : k + 2 > COARSE ? COARSE - 2 : k;
    const place *a = &s->at[k], *b = &s->at[k + 1], *p = &s->at[i - 1];
    const lanes bend = bends(p[0].r, p[1].r, p[2].r, p[3].r);
    const lanes low = least(a->r, b->r), high = most(a->r, b->r), off = 0.25 * bend;
    const marks straight = high - low > bend, rises = straight & (a->r < 0.0) & (b->r >= 0.0);
    marks lies = s->lies, sure = (low > off) | (high < -off) | (straight & (a->r >= 0.0) & (b->r < 0.0));
    *up = (marks){0};
    if (any(rises)) {
        const lanes loose = 0.25 * bends(p[0].tight, p[1].tight, p[2].tight, p[3].tight);
        const marks taut = least(a->tight, b->tight) > loose, hangs = most(a->tight, b->tight) < -loose;
        *up = rises & taut;
        sure |= rises & (taut | hangs);
    }
    if (any(~lies))
        lies |= lies_between(c, s->at, k) & p[0].valid & p[1].valid & p[2].valid & p[3].valid;
    *up &= lies;
    return lies & sure;
}

IN_PLACE void note(scanned *s, marks crosses, lanes low, lanes high, double base, const lanes r[4])
{
    s->count += pick(crosses, all_of(1.0), all_of(0.0));
    s->low = pick(crosses, low, s->low);
    s->high = pick(crosses, high, s->high);
    s->base = pick(crosses, all_of(base), s->base);
    for (int i = 0; i < 4; i++)
        s->r[i] = pick(crosses, r[i], s->r[i]);
}

/* The cells between coarse places k and k + 1 one by one, of the lanes in `which`. A cell in which the belt is lost may
 * have a crossing up to there: that is not looked for here. */
static void look_closely(const cases *c, int k, marks which, scanned *s, marks *open)
{
    const lanes step = c->travel / all_of(SNUB_WIND_GRID), none = all_of((double)NAN);
    place a = s->at[k];
    walk w = {.sine = a.sine, .cosine = a.cosine, .good = a.valid};
    memcpy(w.u, a.u, sizeof w.u);
    memcpy(w.wrap, a.wrap, sizeof w.wrap);
    lane_sincos(c->rig->winds * step, &w.step_sine, &w.step_cosine);
    turn_arm(&w);
    for (int i = 1; i <= STRIDE; i++) {
        const lanes low = step * all_of(STRIDE * k + i - 1), high = step * all_of(STRIDE * k + i);
        place b = s->at[k + 1];
        if (i < STRIDE) {
            laid g;
            lay_next(c, &w, &g);
            measure(c, &g, &w, high, &b);
            *open |= which & is_near(c, &b);
        }
        const marks from = which & a.valid & (a.tight > 0.0) & (a.r < 0.0), to = which & b.valid & (b.r >= 0.0);
        const lanes r[4] = {none, a.r, b.r, none};
        *open |= (from & ~b.valid) | (to & ~a.valid);
        note(s, from & to, low, high, k, r);
        a = b;
    }
}

static void scan(const cases *c, scanned *s, marks *open)
{
    const lanes step = c->travel / all_of(COARSE), none = all_of((double)NAN);
    s->lies = lay_coarse(c, s->at, open);
    s->count = s->low = s->high = s->base = all_of(0.0);
    for (int i = 0; i < 4; i++)
        s->r[i] = all_of(0.0);
    for (int k = 0; k < COARSE; k++) {
        marks up;
        const marks decided = known(c, s, k, &up);
        if (any(up)) {
            const lanes r[4] = {k > 0 ? s->at[k - 1].r : none, s->at[k].r, s->at[k + 1].r,
                                k + 1 < COARSE ? s->at[k + 2].r : none};
            note(s, up, step * all_of(k), step * all_of(k + 1), k, r);
        }
        if (any(~decided))
            look_closely(c, k, ~decided, s, open);
    }
}

/* The cell that was found; where no neighbours are known, without its bend. */
static crossing crossing_of(const scanned *s)
{
    const lanes second = s->r[0] - 2.0 * s->r[1] + s->r[2], third = s->r[1] - 2.0 * s->r[2] + s->r[3] - second;
    const marks inner = third == third; /* no NaN among the four */
    return (crossing){
        s->low, s->high, s->r[1], s->r[2], pick(inner, second, all_of(0.0)), pick(inner, third, all_of(0.0))};
}

/* The place from which each lane is laid. */
static void gather_base(const scanned *s, place *from)
{
    for (int l = 0; l < LANES; l++) {
        const place *at = &s->at[(int)s->base[l]];
        from->valid[l] = at->valid[l];
        from->sine[l] = at->sine[l];
        from->cosine[l] = at->cosine[l];
        for (int i = 0; i < 2; i++) {
            from->u[0][i][l] = at->u[0][i][l];
            from->u[1][i][l] = at->u[1][i][l];
        }
        for (int i = 0; i < 3; i++)
            from->wrap[i][l] = at->wrap[i][l];
    }
}

/* The arm at a wind, `by` from a place near by. */
IN_PLACE void lay_from(const cases *c, const place *from, lanes wind, lanes by, laid *g)
{
    const lanes turn = c->rig->winds * by, s = turn * turn;
    const lanes sine = turn + turn * sine_rest(s), less = cosine_rest(s);
    lanes at[2] = {from->sine + (from->sine * less + from->cosine * sine),
                   from->cosine + (from->cosine * less - from->sine * sine)};
    const marks far = ~(size_of(turn) < TURN_MOST);
    if (any(far)) {
        lanes exact[2];
        lane_sincos(c->rest + c->rig->winds * wind, &exact[0], &exact[1]);
        at[0] = pick(far, exact[0], at[0]);
        at[1] = pick(far, exact[1], at[1]);
    }
    walk w = {.good = from->valid};
    memcpy(w.u, from->u, sizeof w.u);
    memcpy(w.wrap, from->wrap, sizeof w.wrap);
    lay_spans(c, at[0], at[1], g);
    walk_on(c, &w, g);
    close_path(c, g);
}

static void refine(const cases *c, const scanned *s, answer *a)
{
    const lanes base = c->travel / all_of(COARSE) * s->base;
    const crossing in = crossing_of(s);
    lanes low = in.low, high = in.high, next = low + first_guess(&in) * (high - low);
    marks busy = a->free & ~a->open;
    place from = {0};
    gather_base(s, &from);
    for (int k = 0; k < STEPS_MOST && any(busy); k++) {
        const marks inside = k == 0 ? (next >= low) & (next <= high) : (next > low) & (next < high);
        const lanes wind = pick(inside, next, 0.5 * (low + high));
        laid g;
        lanes tension;
        lay_from(c, &from, wind, wind - base, &g);
        a->open |= busy & ~g.valid;
        busy &= g.valid;
        const lanes r = unbalance(c, &g, wind, &tension);
        low = pick(r < all_of(0.0), wind, low);
        high = pick(r < all_of(0.0), high, wind);
        next = wind - r / slope(c, &g, tension);
        const marks there =
            busy & ((size_of(next - wind) <= WIND_STEP_RAD) | (r == 0.0) | (high - low <= WIND_STEP_RAD));
        a->wind = pick(there, wind, a->wind);
        a->tension = pick(there, tension, a->tension);
        a->dead = (there & (g.lever_out - g.lever_in <= all_of(0.0))) | (~there & a->dead);
        busy &= ~there;
    }
    a->open |= busy;
}

static void hold_at_end(const cases *c, answer *a)
{
    laid g;
    if (!any(~a->free))
        return;
    a->wind = pick(a->at_stop, c->travel, all_of(0.0));
    lay_arm(c, a->wind, &g);
    (void)unbalance(c, &g, a->wind, &a->tension);
    a->dead = g.lever_out - g.lever_in <= all_of(0.0);
}

static void solve_arm(const cases *c, answer *a)
{
    scanned s;
    scan(c, &s, &a->open);
    const place *rest = &s.at[0], *stop = &s.at[COARSE];
    a->free = s.count > all_of(0.0);
    a->at_stop = ~a->free & stop->valid & (stop->tight > 0.0) & (stop->r < 0.0);
    const marks at_rest = ~a->free & ~a->at_stop & rest->valid & ((rest->r >= 0.0) | ~(rest->tight > 0.0));
    a->open |= ~(a->free | a->at_stop | at_rest);
    a->equilibria = s.count;
    hold_at_end(c, a);
    refine(c, &s, a);
}

/* ---- all cases -------------------------------------------------------------------------------------------------- */

static void read_arm(const snub_batch *b, int first, cases *c)
{
    const snub_rig *rig = b->rig;
    if (rig->arm < 0)
        return;
    for (int k = 0; k < 2; k++)
        c->pivot[k] = column(b->pivot[k], rig->pivot[k], first, b->count);
    c->arm_length = column(b->arm_length, rig->arm_length, first, b->count);
    c->rest = column(b->rest, rig->rest, first, b->count);
    c->travel = column(b->travel, rig->travel, first, b->count);
    c->preload = column(b->preload, rig->preload, first, b->count);
    c->rate = column(b->rate, rig->rate, first, b->count);
    c->factor = all_of(1.0) +
                column(b->side, b->wanted->side, first, b->count) * column(b->damping, rig->damping, first, b->count);
}

static void read_cases(const snub_batch *b, int first, cases *c)
{
    const snub_rig *rig = b->rig;
    c->rig = rig;
    c->lost = (marks){0};
    for (int i = 0; i < rig->n; i++) {
        c->x[i] = column(b->centre[i][0], rig->path.centre[i][0], first, b->count);
        c->y[i] = column(b->centre[i][1], rig->path.centre[i][1], first, b->count);
        c->radius[i] = column(b->radius[i], rig->path.radius[i], first, b->count);
        c->sign[i] = signed_as(all_of(1.0), c->radius[i]);
        c->size[i] = size_of(c->radius[i]);
    }
    read_arm(b, first, c);
    c->stiffness = column(b->stiffness, rig->stiffness, first, b->count);
    c->measuring_tension = column(b->measuring_tension, rig->measuring_tension, first, b->count);
    c->target = column(b->belt_length, b->wanted->belt_length, first, b->count);
    const lanes speed = column(b->engine_speed, b->wanted->engine_speed, first, b->count) * c->size[rig->crank];
    c->centrifugal = column(b->mass, rig->mass, first, b->count) * speed * speed;
    c->rise[rig->crank] = all_of(0.0);
    for (int k = 1, last = rig->crank; k < rig->n; k++) {
        const int i = last + 1 < rig->n ? last + 1 : 0;
        c->rise[i] = c->rise[last] + column(b->torque[i], b->wanted->torque[i], first, b->count) / c->size[i];
        last = i;
    }
}

static void solve_cases(cases *c, answer *a)
{
    *a = (answer){.equilibria = all_of(1.0)};
    lay_fixed(c);
    add_up(c);
    a->open = c->lost;
    if (c->rig->arm < 0)
        a->tension = tension_from_length(c, c->fixed_length, c->fixed);
    else
        solve_arm(c, a);
    const lanes tightest = a->tension + c->most_rise - c->centrifugal;
    a->open |= ~(size_of(tightest) >= all_of(NEAR) * c->stiffness); /* NaN as well */
    a->slack = ~(tightest > all_of(0.0));
}

void KERNEL(const snub_batch *batch, snub_batch_answers *answers)
{
    for (int first = 0; first < batch->count; first += LANES) {
        cases c;
        answer a;
        read_cases(batch, first, &c);
        solve_cases(&c, &a);
        for (int l = 0; l < LANES && first + l < batch->count; l++) {
            const int i = first + l;
            const bool good = !a.open[l] && !a.slack[l];
            answers->status[i] = a.open[l] ? SNUB_NO_CONVERGENCE : a.slack[l] ? SNUB_NO_EQUILIBRIUM : SNUB_OK;
            answers->arm[i] = !good || batch->rig->arm < 0 ? SNUB_ARM_NONE
                              : a.free[l]                  ? SNUB_ARM_FREE
                              : a.at_stop[l]               ? SNUB_ARM_AT_STOP
                                                           : SNUB_ARM_AT_REST;
            answers->wind[i] = good ? a.wind[l] : (double)NAN;
            answers->tension[i] = good ? a.tension[l] : (double)NAN;
            answers->equilibria[i] = good ? (int)a.equilibria[l] : 0;
            answers->past_dead_point[i] = good && a.dead[l];
        }
    }
}

/** The batch kernel at one width: a template. Whoever includes it has defined LANES, KERNEL (the name of the function)
 *  and pick, any, lane_sqrt, lane_atan2, lane_sincos on `lanes` (batch_width.h). Private to src/balance.
 *
 *  Formulas are those of rig.c and solve.c, in the same order; docs/theory/batch.md says where the two may differ.
 *  Nothing here depends on a neighbour lane: lanes that have their answer are kept by a mask while others go on. */
#include "batch_kernel.h"

#include <string.h>

/* Vectors that go through memory from call to call cost half of the time. */
#define IN_PLACE static inline __attribute__((always_inline))

static const double TOUCH_RAD = 1e-12;     /* as in rig.c */
static const double WIND_STEP_RAD = 1e-13; /* as in solve.c */
enum { STEPS_MOST = 100 };
/* Tension that rounding and the walk along the table may make or take, a share of the belt's stiffness; some 1e6
 * roundings. A case that is nearer to slack, or at that tension on its arm nearer to balance at a wind of the table, is
 * not decided here. */
static const double NEAR = 1e-10;

typedef struct laid_arm {
    marks valid;
    lanes length, span[2], wrap[3], lever_in, lever_out, u[2][2], reach[2];
} laid_arm;

/* The cases of one round of lanes. */
typedef struct cases {
    const snub_rig *rig;
    bool own; /* geometry of their own */
    marks lost;
    lanes x[SNUB_PULLEYS_MOST], y[SNUB_PULLEYS_MOST], radius[SNUB_PULLEYS_MOST];
    lanes span[SNUB_PULLEYS_MOST], wrap[SNUB_PULLEYS_MOST], u[SNUB_PULLEYS_MOST][2], rise[SNUB_PULLEYS_MOST];
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

/* snub_tangent */
IN_PLACE marks tangent(const lanes from[2], lanes r1, const lanes to[2], lanes r2, lanes u[2], lanes *length)
{
    const lanes dx = to[0] - from[0], dy = to[1] - from[1], h = r1 - r2;
    const lanes square = dx * dx + dy * dy, rest = square - h * h;
    const lanes l = lane_sqrt(pick(rest > all_of(0.0), rest, all_of(0.0)));
    const lanes inverse = all_of(1.0) / square;
    u[0] = (l * dx + h * dy) * inverse;
    u[1] = (l * dy - h * dx) * inverse;
    *length = l;
    return (rest > all_of(0.0)) & (rest < all_of((double)INFINITY));
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
IN_PLACE void lay_spans(const cases *c, lanes sine, lanes cosine, laid_arm *g)
{
    const int p = c->rig->before, a = c->rig->arm, q = c->rig->after;
    const lanes winds = all_of(c->rig->winds);
    g->reach[0] = c->arm_length * cosine;
    g->reach[1] = c->arm_length * sine;
    const lanes centre[2] = {c->pivot[0] + g->reach[0], c->pivot[1] + g->reach[1]};
    const lanes from[2] = {c->x[p], c->y[p]}, to[2] = {c->x[q], c->y[q]};
    g->valid = tangent(from, c->radius[p], centre, c->radius[a], g->u[0], &g->span[0]);
    g->valid &= tangent(centre, c->radius[a], to, c->radius[q], g->u[1], &g->span[1]);
    g->lever_in = winds * (g->reach[0] * g->u[0][1] - g->reach[1] * g->u[0][0]);
    g->lever_out = winds * (g->reach[0] * g->u[1][1] - g->reach[1] * g->u[1][0]);
}

static void find_wraps(const cases *c, const laid_arm *g, lanes wrap[3])
{
    const int p = c->rig->before, a = c->rig->arm, q = c->rig->after, n = c->rig->n;
    wrap[1] = wrap_of(g->u[0], g->u[1], c->radius[a]);
    wrap[0] = wrap_of(p == q ? g->u[1] : c->u[p > 0 ? p - 1 : n - 1], g->u[0], c->radius[p]);
    wrap[2] = p == q ? wrap[0] : wrap_of(g->u[1], c->u[q], c->radius[q]);
}

/* Length, and whether the wraps make one turn. */
IN_PLACE void close_path(const cases *c, laid_arm *g)
{
    const int p = c->rig->before, a = c->rig->arm, q = c->rig->after;
    lanes turned = signed_as(g->wrap[0], c->radius[p]) + signed_as(g->wrap[1], c->radius[a]);
    g->length = g->span[0] + g->span[1] + size_of(c->radius[p]) * g->wrap[0] + size_of(c->radius[a]) * g->wrap[1];
    if (p != q) {
        turned += c->fixed_turn + signed_as(g->wrap[2], c->radius[q]);
        g->length += c->fixed_length + size_of(c->radius[q]) * g->wrap[2];
    }
    g->valid &= size_of(turned - all_of(c->rig->sense * 2.0 * SNUB_PI)) < all_of(SNUB_PI);
}

/* snub_arm_lay */
static void lay_arm(const cases *c, lanes wind, laid_arm *g)
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
    lane_sincos(all_of(c->rig->winds) * c->travel / all_of(SNUB_WIND_GRID), &w->step_sine, &w->step_cosine);
    w->good = (marks){0};
    for (int i = 0; i < 3; i++)
        w->wrap[i] = all_of(0.0);
}

/* Sine of the greatest turn of a span from one place to the next that the series of the arc sine is good for: what it
 * leaves out is less than 3e-13 rad. */
static const double SERIES = 0.1;

/* What a direction has turned by. */
IN_PLACE lanes turn_of(const lanes before[2], const lanes now[2], marks *good)
{
    const lanes x = before[0] * now[1] - before[1] * now[0], square = x * x;
    *good &= (size_of(x) < all_of(SERIES)) & (before[0] * now[0] + before[1] * now[1] > all_of(0.0));
    return x * (all_of(1.0) + square * (all_of(1.0 / 6.0) +
                                        square * (all_of(3.0 / 40.0) +
                                                  square * (all_of(15.0 / 336.0) + square * all_of(105.0 / 3456.0)))));
}

/* In the range of wrap_of. */
IN_PLACE lanes within_turn(lanes wrap)
{
    const lanes turn = all_of(2.0 * SNUB_PI);
    wrap = pick(wrap < all_of(-TOUCH_RAD), wrap + turn, wrap);
    return pick(wrap >= turn - all_of(TOUCH_RAD), wrap - turn, wrap);
}

/* The wraps at this place from those at the one before; by arc tangent where there is none or the spans turn fast. */
IN_PLACE void walk_on(const cases *c, walk *w, laid_arm *g)
{
    const snub_rig *rig = c->rig;
    const bool two = rig->before == rig->after;
    marks good = w->good & g->valid;
    const lanes in = turn_of(w->u[0], g->u[0], &good), out = turn_of(w->u[1], g->u[1], &good);
    const lanes grown[3] = {signed_as(two ? out - in : -in, c->radius[rig->before]),
                            signed_as(in - out, c->radius[rig->arm]), signed_as(out, c->radius[rig->after])};
    lanes anew[3] = {w->wrap[0], w->wrap[1], w->wrap[2]};
    if (any(~good))
        find_wraps(c, g, anew);
    for (int i = 0; i < 3; i++) {
        w->wrap[i] = within_turn(w->wrap[i] + grown[i]);
        if (any(~good))
            w->wrap[i] = pick(good, w->wrap[i], anew[i]);
    }
    if (two)
        w->wrap[2] = w->wrap[0];
    for (int i = 0; i < 3; i++)
        g->wrap[i] = pick(w->wrap[i] < all_of(0.0), all_of(0.0), w->wrap[i]);
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
        if (c->own) {
            c->lost |= ~tangent(from, c->radius[i], to, c->radius[next], c->u[i], &c->span[i]);
        } else {
            c->span[i] = all_of(rig->path.span[i]);
            c->u[i][0] = all_of(rig->path.u[i][0]);
            c->u[i][1] = all_of(rig->path.u[i][1]);
        }
    }
    c->fixed_length = c->fixed_turn = all_of(0.0);
    for (int i = 0; i < rig->n; i++) {
        if (!span_moves(rig, i))
            c->fixed_length += c->span[i];
        if (arc_moves(rig, i))
            continue;
        c->wrap[i] =
            c->own ? wrap_of(c->u[i > 0 ? i - 1 : rig->n - 1], c->u[i], c->radius[i]) : all_of(rig->path.wrap[i]);
        c->fixed_length += size_of(c->radius[i]) * c->wrap[i];
        c->fixed_turn += signed_as(c->wrap[i], c->radius[i]);
    }
    if (rig->arm < 0)
        c->lost |= ~(size_of(c->fixed_turn - all_of(rig->sense * 2.0 * SNUB_PI)) < all_of(SNUB_PI));
}

/* The next place of the wind table. */
IN_PLACE void lay_grid(const cases *c, walk *w, laid_arm *g)
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
            c->fixed += mean_rise(c, i) * size_of(c->radius[i]) * c->wrap[i];
    }
    if (rig->arm < 0)
        return;
    const int arcs[3] = {rig->before, rig->arm, rig->after};
    c->rise_span[0] = c->rise[rig->before];
    c->rise_span[1] = c->rise[rig->arm];
    for (int k = 0; k < 3; k++)
        c->rise_arc[k] = mean_rise(c, arcs[k]) * size_of(c->radius[arcs[k]]);
    if (rig->before == rig->after)
        c->rise_arc[2] = all_of(0.0);
}

IN_PLACE lanes tension_from_length(const cases *c, lanes length, lanes weighted)
{
    return c->measuring_tension + (c->stiffness * (length - c->target) - weighted) / length;
}

IN_PLACE lanes unbalance(const cases *c, const laid_arm *g, lanes wind, lanes *tension)
{
    const lanes weighted = c->fixed + c->rise_span[0] * g->span[0] + c->rise_span[1] * g->span[1] +
                           c->rise_arc[0] * g->wrap[0] + c->rise_arc[1] * g->wrap[1] + c->rise_arc[2] * g->wrap[2];
    *tension = tension_from_length(c, g->length, weighted);
    const lanes in = *tension + c->rise_span[0] - c->centrifugal, out = *tension + c->rise_span[1] - c->centrifugal;
    return (c->preload + c->rate * wind) * c->factor - (out * g->lever_out - in * g->lever_in);
}

/* The same from the table of a rig that all share: snub_wind_table */
IN_PLACE lanes unbalance_of_table(const cases *c, int k, lanes *tension)
{
    const snub_wind_table *t = &c->rig->table;
    const lanes lost = c->stiffness * c->target + c->fixed;
    *tension = c->measuring_tension + c->stiffness -
               (lost * all_of(t->per_length[k]) + c->rise_span[0] * all_of(t->span[0][k]) +
                c->rise_span[1] * all_of(t->span[1][k]) + c->rise_arc[0] * all_of(t->wrap[0][k]) +
                c->rise_arc[1] * all_of(t->wrap[1][k]) + c->rise_arc[2] * all_of(t->wrap[2][k]));
    const lanes in = *tension + c->rise_span[0] - c->centrifugal, out = *tension + c->rise_span[1] - c->centrifugal;
    const lanes wind = c->travel * all_of((double)k / SNUB_WIND_GRID);
    return (c->preload + c->rate * wind) * c->factor - (out * all_of(t->lever_out[k]) - in * all_of(t->lever_in[k]));
}

static lanes slope(const cases *c, const laid_arm *g, lanes tension)
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
                       c->rise_arc[1] * signed_as(turn_in - turn_out, c->radius[rig->arm]);
    if (rig->before == rig->after)
        d_weighted += c->rise_arc[0] * signed_as(turn_out - turn_in, c->radius[rig->before]);
    else
        d_weighted += c->rise_arc[0] * signed_as(-turn_in, c->radius[rig->before]) +
                      c->rise_arc[2] * signed_as(turn_out, c->radius[rig->after]);
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

/* The last cell in which R goes from - to +, R around it, and both ends of the travel. */
typedef struct scanned {
    lanes cell, count; /* count: of such cells */
    lanes r[4];        /* at the place before the cell, its ends, the place behind */
    lanes r_end[2];
    marks valid[2], taut[2];
} scanned;

static void scan(const cases *c, scanned *s, marks *open)
{
    const lanes step = c->travel / all_of(SNUB_WIND_GRID), near = all_of(NEAR) * c->stiffness;
    const lanes greatest = c->most_rise - c->centrifugal;
    lanes r[SNUB_WIND_GRID + 1];
    marks taut_before = {0}, valid_before = {0};
    walk w = {0};
    if (c->own)
        set_out(c, &w);
    s->cell = s->count = all_of(0.0);
    for (int k = 0; k <= SNUB_WIND_GRID; k++) {
        laid_arm g;
        lanes tension;
        if (c->own) {
            lay_grid(c, &w, &g);
            r[k] = unbalance(c, &g, step * all_of(k), &tension);
        } else {
            g.valid = c->rig->table.valid[k] ? ~(marks){0} : (marks){0};
            r[k] = unbalance_of_table(c, k, &tension);
        }
        const marks taut = tension + greatest > all_of(0.0);
        *open |= g.valid & ((size_of(r[k]) < near * c->arm_length) | (size_of(tension + greatest) < near));
        if (k > 0) {
            const marks from = valid_before & taut_before & (r[k - 1] < all_of(0.0));
            const marks to = g.valid & (r[k] >= all_of(0.0)), crosses = from & to;
            /* a cell in which the belt is lost may have a crossing up to there: that is not looked for here */
            *open |= (from & ~g.valid) | (to & ~valid_before);
            s->cell = pick(crosses, all_of(k - 1), s->cell);
            s->count += pick(crosses, all_of(1.0), all_of(0.0));
        }
        taut_before = taut;
        valid_before = g.valid;
        if (k == 0 || k == SNUB_WIND_GRID) {
            s->r_end[k > 0] = r[k];
            s->valid[k > 0] = g.valid;
            s->taut[k > 0] = taut;
        }
    }
    for (int l = 0; l < LANES; l++) {
        for (int i = 0; i < 4; i++) {
            const int k = (int)s->cell[l] + i - 1;
            s->r[i][l] = r[k < 0 ? 0 : k > SNUB_WIND_GRID ? SNUB_WIND_GRID : k][l];
        }
    }
}

/* first_guess in solve.c */
static lanes first_guess(const scanned *s)
{
    const lanes rise = s->r[2] - s->r[1];
    const marks inner = (s->cell > all_of(0.0)) & (s->cell < all_of(SNUB_WIND_GRID - 1));
    const lanes second = pick(inner, s->r[0] - all_of(2.0) * s->r[1] + s->r[2], all_of(0.0));
    const lanes third = pick(inner, s->r[1] - all_of(2.0) * s->r[2] + s->r[3] - second, all_of(0.0));
    const lanes bend = second / all_of(2.0), twist = third / all_of(6.0), one = all_of(1.0), two = all_of(2.0);
    lanes t = -s->r[1] / rise;
    for (int k = 0; k < 3; k++) {
        const lanes r = s->r[1] + t * (rise + (t - one) * (bend + (t + one) * twist));
        t -= r / (rise + (two * t - one) * bend + (all_of(3.0) * t * t - one) * twist);
    }
    return t;
}

static void refine(const cases *c, const scanned *s, answer *a)
{
    const lanes step = c->travel / all_of(SNUB_WIND_GRID);
    lanes low = step * s->cell, high = step * (s->cell + all_of(1.0)), next = low + first_guess(s) * (high - low);
    marks busy = a->free & ~a->open;
    for (int k = 0; k < STEPS_MOST && any(busy); k++) {
        const lanes wind = pick((next >= low) & (next <= high), next, all_of(0.5) * (low + high));
        laid_arm g;
        lanes tension;
        lay_arm(c, wind, &g);
        a->open |= busy & ~g.valid;
        busy &= g.valid;
        const lanes r = unbalance(c, &g, wind, &tension);
        low = pick(r < all_of(0.0), wind, low);
        high = pick(r < all_of(0.0), high, wind);
        next = wind - r / slope(c, &g, tension);
        const marks there = busy & ((size_of(next - wind) <= all_of(WIND_STEP_RAD)) | (r == all_of(0.0)));
        a->wind = pick(there, wind, a->wind);
        a->tension = pick(there, tension, a->tension);
        a->dead = (there & (g.lever_out - g.lever_in <= all_of(0.0))) | (~there & a->dead);
        busy &= ~there;
    }
    a->open |= busy;
}

static void hold_at_end(const cases *c, answer *a)
{
    laid_arm g;
    if (!any(~a->free))
        return;
    a->wind = pick(a->at_stop, c->travel, all_of(0.0));
    lay_arm(c, a->wind, &g);
    (void)unbalance(c, &g, a->wind, &a->tension);
    a->dead = g.lever_out - g.lever_in <= all_of(0.0);
}

static void solve_arm(const cases *c, answer *a)
{
    scanned s = {0};
    scan(c, &s, &a->open);
    a->free = s.count > all_of(0.0);
    a->at_stop = ~a->free & s.valid[1] & s.taut[1] & (s.r_end[1] < all_of(0.0));
    const marks at_rest = ~a->free & ~a->at_stop & s.valid[0] & ((s.r_end[0] >= all_of(0.0)) | ~s.taut[0]);
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

static void read_cases(const snub_batch *b, bool own, int first, cases *c)
{
    const snub_rig *rig = b->rig;
    c->rig = rig;
    c->own = own;
    c->lost = (marks){0};
    for (int i = 0; i < rig->n; i++) {
        c->x[i] = column(b->centre[i][0], rig->path.centre[i][0], first, b->count);
        c->y[i] = column(b->centre[i][1], rig->path.centre[i][1], first, b->count);
        c->radius[i] = column(b->radius[i], rig->path.radius[i], first, b->count);
    }
    read_arm(b, first, c);
    c->stiffness = column(b->stiffness, rig->stiffness, first, b->count);
    c->measuring_tension = column(b->measuring_tension, rig->measuring_tension, first, b->count);
    c->target = column(b->belt_length, b->wanted->belt_length, first, b->count);
    const lanes speed =
        column(b->engine_speed, b->wanted->engine_speed, first, b->count) * size_of(c->radius[rig->crank]);
    c->centrifugal = column(b->mass, rig->mass, first, b->count) * speed * speed;
    c->rise[rig->crank] = all_of(0.0);
    for (int k = 1, last = rig->crank; k < rig->n; k++) {
        const int i = last + 1 < rig->n ? last + 1 : 0;
        c->rise[i] =
            c->rise[last] + column(b->torque[i], b->wanted->torque[i], first, b->count) / size_of(c->radius[i]);
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

void KERNEL(const snub_batch *batch, bool own, snub_batch_answers *answers)
{
    for (int first = 0; first < batch->count; first += LANES) {
        cases c;
        answer a;
        read_cases(batch, own, first, &c);
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

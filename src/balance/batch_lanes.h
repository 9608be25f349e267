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

/* Every eighth place of the wind table is laid, every fourth where those are too far apart, and between them what these
 * do not decide. */
enum { STRIDE = 4, COARSE = SNUB_WIND_GRID / STRIDE, WIDE = 2, HALVES = 4 };
/* Tension that rounding and the walk along the table may make or take, a share of the belt's stiffness; some 1e6
 * roundings. A case that is nearer to slack, or at that tension on its arm nearer to balance at a wind of the table, is
 * not decided here. */
static const double NEAR = 1e-10;
/* Where spans are so many times as long as their end moves from one coarse place to the next, R and tension are so
 * smooth that second differences tell how far they leave their chord. */
static const double ROOM = 4.0;
/* And where the arm turns by less than this from place to place, rad: four places that are farther apart may lie in
 * line by chance. */
static const double TURN_OF_GAP = 0.2;
/* A step of Newton that may be the last, rad: tension follows it along a tangent. */
static const double LAST_STEP = 1e-8;

/* The cases of one round of lanes. */
typedef struct cases {
    const snub_rig *rig;
    marks lost;
    marks alike; /* all pulleys on the same side of the belt as the rig's */
    lanes x[SNUB_PULLEYS_MOST], y[SNUB_PULLEYS_MOST], radius[SNUB_PULLEYS_MOST];
    lanes span[SNUB_PULLEYS_MOST], wrap[SNUB_PULLEYS_MOST], u[SNUB_PULLEYS_MOST][2], rise[SNUB_PULLEYS_MOST];
    lanes sign[SNUB_PULLEYS_MOST], size[SNUB_PULLEYS_MOST]; /* of the radii: 1 or -1; m */
    lanes turned[SNUB_PULLEYS_MOST];                        /* a span that does not move from that of the rig, rad */
    marks little[SNUB_PULLEYS_MOST];                        /* by so little that it can be told without arc tangent */
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
    lanes sine, cosine;
    lanes u[2][2], wrap[3];
    marks good; /* tangents at the place before */
} walk;

/* An angle of the arm. */
typedef struct rotation {
    lanes sine, cosine;
} rotation;

/* From the rig's own path, its arm at rest. */
static void set_out(const cases *c, walk *w)
{
    const snub_rig *rig = c->rig;
    const int arcs[3] = {rig->before, rig->arm, rig->after};
    const int first = rig->before > 0 ? rig->before - 1 : rig->n - 1;
    for (int i = 0; i < 3; i++)
        w->wrap[i] = all_of(rig->path.wrap[arcs[i]]);
    for (int i = 0; i < 2; i++)
        for (int k = 0; k < 2; k++)
            w->u[i][k] = all_of(rig->path.u[arcs[i]][k]);
    w->good = rig->grid[0].valid ? c->alike : (marks){0};
    if (rig->before != rig->after) {
        w->wrap[0] += c->sign[rig->before] * c->turned[first];
        w->wrap[2] -= c->sign[rig->after] * c->turned[rig->after];
        w->good &= c->little[first] & c->little[rig->after];
    }
    lane_sincos(c->rest, &w->sine, &w->cosine);
}

/* By one cell of the wind table and by twice, four and eight times as many. */
static void find_turns(const cases *c, rotation turns[HALVES])
{
    lane_sincos(all_of(c->rig->winds) * c->travel / all_of(SNUB_WIND_GRID), &turns[0].sine, &turns[0].cosine);
    for (int i = 1; i < HALVES; i++) {
        const rotation *by = &turns[i - 1];
        turns[i] = (rotation){2.0 * by->sine * by->cosine, 1.0 - 2.0 * by->sine * by->sine};
    }
}

/* Sine of the greatest turn of a span that the series of the arc sine is good for: what it leaves out is less than
 * 2e-16 rad. */
static const double SERIES = 0.15;

/* What a direction has turned by. */
IN_PLACE lanes turn_of(const lanes before[2], const lanes now[2], marks *good)
{
    const lanes x = before[0] * now[1] - before[1] * now[0], square = x * x;
    *good &= (size_of(x) < all_of(SERIES)) & (before[0] * now[0] + before[1] * now[1] > all_of(0.0));
    return x + x * arc_sine_rest(square);
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

IN_PLACE void turn_arm(walk *w, const rotation *by)
{
    const lanes sine = w->sine * by->cosine + w->cosine * by->sine;
    w->cosine = w->cosine * by->cosine - w->sine * by->sine;
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

/* A wrap between spans that do not move: that of the rig, grown by what they have turned. */
static lanes fixed_wrap(const cases *c, int i)
{
    const int before = i > 0 ? i - 1 : c->rig->n - 1;
    const marks good = c->little[before] & c->little[i];
    const lanes wrap = c->rig->path.wrap[i] + c->sign[i] * (c->turned[before] - c->turned[i]);
    if (!any((wrap < 0.0) | (wrap >= 2.0 * SNUB_PI - TOUCH_RAD) | ~good))
        return wrap;
    const lanes within = within_turn(wrap), anew = wrap_of(c->u[before], c->u[i], c->radius[i]);
    return pick(good, pick(within < 0.0, all_of(0.0), within), anew);
}

/* Spans and arcs that the arm does not move. */
static void lay_fixed(cases *c)
{
    const snub_rig *rig = c->rig;
    const bool lies = rig->arm >= 0 ? rig->grid[0].valid : rig->laid == SNUB_OK; /* the rig's own path, as it stands */
    c->alike = ~(marks){0};
    for (int i = 0; i < rig->n; i++)
        c->alike &= c->sign[i] * rig->path.radius[i] > 0.0;
    for (int i = 0; i < rig->n; i++) {
        const int next = i + 1 < rig->n ? i + 1 : 0;
        const lanes from[2] = {c->x[i], c->y[i]}, to[2] = {c->x[next], c->y[next]};
        if (span_moves(rig, i))
            continue;
        c->lost |= ~tangent(from, c->radius[i], to, c->radius[next], c->u[i], &c->span[i]);
        const lanes like[2] = {all_of(rig->path.u[i][0]), all_of(rig->path.u[i][1])};
        c->little[i] = lies ? c->alike : (marks){0};
        c->turned[i] = turn_of(like, c->u[i], &c->little[i]);
    }
    c->fixed_length = c->fixed_turn = all_of(0.0);
    for (int i = 0; i < rig->n; i++) {
        if (!span_moves(rig, i))
            c->fixed_length += c->span[i];
        if (arc_moves(rig, i))
            continue;
        c->wrap[i] = fixed_wrap(c, i);
        c->fixed_length += c->size[i] * c->wrap[i];
        c->fixed_turn += c->sign[i] * c->wrap[i];
    }
    if (rig->arm < 0)
        c->lost |= ~(size_of(c->fixed_turn - all_of(rig->sense * 2.0 * SNUB_PI)) < all_of(SNUB_PI));
}

/* The place of a walk that its angle says. */
IN_PLACE void lay_here(const cases *c, walk *w, laid *g)
{
    lay_spans(c, w->sine, w->cosine, g);
    walk_on(c, w, g);
    close_path(c, g);
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

static lanes slope(const cases *c, const laid *g, lanes tension, lanes *d_tension)
{
    const snub_rig *rig = c->rig;
    const lanes winds = all_of(rig->winds), x = g->reach[0], y = g->reach[1], dx = -winds * y, dy = winds * x;
    const lanes *in = g->u[0], *out = g->u[1];
    const lanes turn_in = (-in[1] * dx + in[0] * dy) / g->span[0];
    const lanes turn_out = -(-out[1] * dx + out[0] * dy) / g->span[1];
    const lanes d_in = winds * (dx * in[1] - dy * in[0] + turn_in * (x * in[0] + y * in[1]));
    const lanes d_out = winds * (dx * out[1] - dy * out[0] + turn_out * (x * out[0] + y * out[1]));
    const lanes d_span_in = in[0] * dx + in[1] * dy, d_span_out = -(out[0] * dx + out[1] * dy);
    /* a free span grows by what its end moves along it, and by what it rolls off from one pulley to the other */
    const int p = rig->before, arm = rig->arm, q = rig->after;
    const lanes grows_in = d_span_in + (c->radius[p] - c->radius[arm]) * turn_in;
    const lanes grows_out = d_span_out + (c->radius[arm] - c->radius[q]) * turn_out;
    lanes d_weighted = c->rise_span[0] * grows_in + c->rise_span[1] * grows_out +
                       c->rise_arc[1] * c->sign[rig->arm] * (turn_in - turn_out);
    if (rig->before == rig->after)
        d_weighted += c->rise_arc[0] * c->sign[rig->before] * (turn_out - turn_in);
    else
        d_weighted +=
            c->rise_arc[0] * c->sign[rig->before] * -turn_in + c->rise_arc[2] * c->sign[rig->after] * turn_out;
    *d_tension =
        ((c->stiffness - (tension - c->measuring_tension)) * (d_span_in + d_span_out) - d_weighted) / g->length;
    const lanes t_in = tension + c->rise_span[0] - c->centrifugal, t_out = tension + c->rise_span[1] - c->centrifugal;
    return c->rate * c->factor - (t_out * d_out - t_in * d_in + *d_tension * (g->lever_out - g->lever_in));
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
    lanes base;      /* coarse place before it */
    lanes wide;      /* coarse places from there to the next one that is laid */
    lanes r[4];      /* at the place before the cell, its ends, the place behind; NAN: not known */
    marks *open;
    rotation turns[HALVES];
    place at[COARSE + 1];
} scanned;

/* Coarse places between which cells are looked for, of the lanes in `which`. */
typedef struct gap {
    int k, wide; /* from place k to k + wide */
    marks which, lies;
    lanes bend, loose; /* of R and of tension, from place to place */
} gap;

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

/* Whether the belt lies well between places at which it does, so many coarse ones apart. From one to the next the
 * pulley of the arm moves by a `way`: a span turns by no more than that over its least length, a wrap changes by the
 * turn of its spans. */
static marks lies_well(const cases *c, const extent *e, int places)
{
    const lanes angle = c->travel * ((double)places / COARSE), way = c->arm_length * angle;
    const int p = c->rig->before, arm = c->rig->arm, q = c->rig->after;
    const lanes h[2] = {c->radius[p] - c->radius[arm], c->radius[arm] - c->radius[q]};
    const double whole = 2.0 * SNUB_PI;
    const lanes in = way / (e->span[0] - way), out = way / (e->span[1] - way);
    const bool two = c->rig->before == c->rig->after;
    const lanes turns[3] = {two ? in + out : in, in + out, two ? in + out : out};
    marks lies = e->valid & (angle < TURN_OF_GAP) & (e->span[0] > ROOM * way) & (e->span[1] > ROOM * way);
    /* the distance of centres falls by no more than a way, the square of the span by twice their product */
    for (int i = 0; i < 2; i++) {
        const lanes square = e->span[i] * e->span[i];
        lies &= square * square > 4.0 * way * way * (square + h[i] * h[i]);
    }
    for (int i = 0; i < 3; i++)
        lies &= (e->least[i] > turns[i]) & (e->most[i] < whole - turns[i]);
    return lies;
}

static marks lies_between(const cases *c, const place *a, const place *b, int places)
{
    extent e = extent_of(a);
    take_in(b, &e);
    return lies_well(c, &e, places);
}

/* A walk that goes on from a place. */
IN_PLACE walk walk_from(const place *p)
{
    walk w = {.sine = p->sine, .cosine = p->cosine, .good = p->valid};
    memcpy(w.u, p->u, sizeof w.u);
    memcpy(w.wrap, p->wrap, sizeof w.wrap);
    return w;
}

/* The place at a wind, `by` from one that is laid. */
IN_PLACE void lay_beside(const cases *c, const place *from, const rotation *by, lanes wind, place *p)
{
    walk w = walk_from(from);
    laid g;
    turn_arm(&w, by);
    p->sine = w.sine;
    p->cosine = w.cosine;
    lay_here(c, &w, &g);
    measure(c, &g, &w, wind, p);
}

/* Every second coarse place. @return lanes of which the belt lies well all over the travel */
static marks lay_wide(const cases *c, scanned *s)
{
    const lanes step = c->travel / all_of(COARSE);
    walk w;
    set_out(c, &w);
    for (int k = 0; k <= COARSE; k += WIDE) {
        laid g;
        s->at[k].sine = w.sine;
        s->at[k].cosine = w.cosine;
        lay_here(c, &w, &g);
        measure(c, &g, &w, step * all_of(k), &s->at[k]);
        turn_arm(&w, &s->turns[HALVES - 1]);
        *s->open |= is_near(c, &s->at[k]);
    }
    extent all = extent_of(&s->at[0]);
    for (int k = WIDE; k <= COARSE; k += WIDE)
        take_in(&s->at[k], &all);
    return lies_well(c, &all, WIDE);
}

/* The places between them, for the lanes that need them. */
static void lay_rest(const cases *c, scanned *s, marks which)
{
    const lanes step = c->travel / all_of(COARSE);
    for (int k = 1; k < COARSE; k += WIDE) {
        lay_beside(c, &s->at[k - 1], &s->turns[HALVES - 2], step * all_of(k), &s->at[k]);
        *s->open |= which & is_near(c, &s->at[k]);
    }
}

/* By how much a quantity bends about two places: its second difference there, and by how much that changes. */
IN_PLACE lanes bends(lanes before, lanes a, lanes b, lanes behind)
{
    const lanes one = before - 2.0 * a + b, other = a - 2.0 * b + behind;
    return most(size_of(one), size_of(other)) + size_of(one - other);
}

/* What is known between two places without looking there: that there is no crossing, or one (`up`). A parabola leaves
 * its chord by an eighth of its second difference, and its slope changes by half of it from the chord's; twice that is
 * allowed for. */
IN_PLACE marks known(const gap *g, const place *a, const place *b, marks *up)
{
    const lanes bend = g->bend;
    const lanes low = least(a->r, b->r), high = most(a->r, b->r), off = 0.25 * bend;
    const marks straight = high - low > bend, rises = straight & (a->r < 0.0) & (b->r >= 0.0);
    marks sure = (low > off) | (high < -off) | (straight & (a->r >= 0.0) & (b->r < 0.0));
    const lanes loose = 0.25 * g->loose;
    const marks taut = least(a->tight, b->tight) > loose, hangs = most(a->tight, b->tight) < -loose;
    *up = rises & taut & g->lies;
    sure |= rises & (taut | hangs);
    return g->lies & sure;
}

IN_PLACE void note(scanned *s, const gap *g, marks crosses, lanes low, lanes high, const lanes r[4])
{
    s->count += pick(crosses, all_of(1.0), all_of(0.0));
    s->low = pick(crosses, low, s->low);
    s->high = pick(crosses, high, s->high);
    s->base = pick(crosses, all_of(g->k), s->base);
    s->wide = pick(crosses, all_of(g->wide), s->wide);
    for (int i = 0; i < 4; i++)
        s->r[i] = pick(crosses, r[i], s->r[i]);
}

/* Half by half the cells of the table from `first` on between two places, of the lanes in g->which, down to single ones
 * where need be. A cell in which the belt is lost may have a crossing up to there: that is not looked for here. */
static void look_between(const cases *c, scanned *s, const gap *g, const place *a, const place *b, int first, int cells)
{
    const lanes step = c->travel / all_of(SNUB_WIND_GRID);
    const int half = cells / 2, level = half >= 4 ? 2 : half >= 2 ? 1 : 0;
    place middle;
    lay_beside(c, a, &s->turns[level], step * all_of(first + half), &middle);
    *s->open |= g->which & is_near(c, &middle);
    const lanes bend = a->r - 2.0 * middle.r + b->r;
    const lanes r[2][4] = {{bend + 2.0 * a->r - middle.r, a->r, middle.r, b->r},
                           {a->r, middle.r, b->r, bend + 2.0 * b->r - middle.r}};
    gap part = *g;
    part.bend = most(0.25 * g->bend, 2.0 * size_of(bend));
    part.loose = most(0.25 * g->loose, 2.0 * size_of(a->tight - 2.0 * middle.tight + b->tight));
    for (int side = 0; side < 2; side++) {
        const place *from = side == 0 ? a : &middle, *to = side == 0 ? &middle : b;
        const int at = first + side * half;
        const lanes low = step * all_of(at), high = step * all_of(at + half);
        if (half == 1) {
            const marks starts = g->which & from->valid & (from->tight > 0.0) & (from->r < 0.0);
            const marks ends = g->which & to->valid & (to->r >= 0.0);
            *s->open |= (starts & ~to->valid) | (ends & ~from->valid);
            note(s, g, starts & ends, low, high, r[side]);
            continue;
        }
        marks up;
        part.which = g->which & ~known(&part, from, to, &up);
        note(s, g, up & g->which, low, high, r[side]);
        if (any(part.which))
            look_between(c, s, &part, from, to, at, half);
    }
}

/* All cells, of the lanes in `which`, from coarse place to coarse place that is laid. */
static void scan_gaps(const cases *c, scanned *s, marks which, marks lies, int wide)
{
    const lanes step = c->travel / all_of(COARSE), none = all_of((double)NAN);
    for (int k = 0; k < COARSE; k += wide) {
        /* at the ends of the travel, the bend of the next cells inside */
        const int bent = k < wide ? 0 : k + 2 * wide > COARSE ? COARSE - 3 * wide : k - wide;
        const place *a = &s->at[k], *b = &s->at[k + wide], *p = &s->at[bent];
        gap g = {.k = k, .wide = wide, .which = which, .lies = lies};
        g.bend = bends(p[0].r, p[wide].r, p[2 * wide].r, p[3 * wide].r);
        g.loose = bends(p[0].tight, p[wide].tight, p[2 * wide].tight, p[3 * wide].tight);
        marks up;
        if (any(which & ~lies))
            g.lies |= lies_between(c, a, b, wide) & lies_between(c, &p[0], &p[wide], wide) &
                      lies_between(c, &p[2 * wide], &p[3 * wide], wide);
        g.which &= ~known(&g, a, b, &up);
        up &= which;
        if (any(up)) {
            const lanes r[4] = {k > 0 ? s->at[k - wide].r : none, a->r, b->r,
                                k + wide < COARSE ? s->at[k + 2 * wide].r : none};
            note(s, &g, up, step * all_of(k), step * all_of(k + wide), r);
        }
        if (any(g.which))
            look_between(c, s, &g, a, b, STRIDE * k, STRIDE * wide);
    }
}

static void scan(const cases *c, scanned *s, marks *open)
{
    s->open = open;
    s->count = s->low = s->high = s->base = all_of(0.0);
    s->wide = all_of(WIDE);
    for (int i = 0; i < 4; i++)
        s->r[i] = all_of(0.0);
    find_turns(c, s->turns);
    const marks lies = lay_wide(c, s);
    scan_gaps(c, s, lies, lies, WIDE);
    if (any(~lies)) {
        lay_rest(c, s, ~lies);
        scan_gaps(c, s, ~lies, (marks){0}, 1);
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

/* Of the two places beside the cell that was found the one nearer to a wind, from which each lane is laid. */
static lanes base_near(const cases *c, const scanned *s, lanes wind)
{
    const lanes places = wind * all_of(COARSE) / c->travel;
    return s->base + pick(places - s->base > 0.5 * s->wide, s->wide, all_of(0.0));
}

static void gather_base(const scanned *s, lanes base, place *from)
{
    for (int l = 0; l < LANES; l++) {
        const place *at = &s->at[(int)base[l]];
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
    walk w = walk_from(from);
    w.sine += from->sine * less + from->cosine * sine;
    w.cosine += from->cosine * less - from->sine * sine;
    const marks far = ~(size_of(turn) < TURN_MOST);
    if (any(far)) {
        lanes exact[2];
        lane_sincos(c->rest + c->rig->winds * wind, &exact[0], &exact[1]);
        w.sine = pick(far, exact[0], w.sine);
        w.cosine = pick(far, exact[1], w.cosine);
    }
    lay_here(c, &w, g);
}

static void refine(const cases *c, const scanned *s, answer *a)
{
    const lanes step = c->travel / all_of(COARSE);
    const crossing in = crossing_of(s);
    lanes low = in.low, high = in.high, next = low + first_guess(&in) * (high - low);
    marks busy = a->free & ~a->open;
    place from = {0};
    lanes before = all_of(0.0); /* the step before, of Newton */
    const lanes place_of_base = base_near(c, s, next), base = step * place_of_base;
    gather_base(s, place_of_base, &from);
    for (int k = 0; k < STEPS_MOST && any(busy); k++) {
        const marks inside = k == 0 ? (next >= low) & (next <= high) : (next > low) & (next < high);
        const lanes wind = pick(inside, next, 0.5 * (low + high));
        laid g;
        lanes tension, d_tension;
        lay_from(c, &from, wind, wind - base, &g);
        a->open |= busy & ~g.valid;
        busy &= g.valid;
        const lanes r = unbalance(c, &g, wind, &tension);
        low = pick(r < all_of(0.0), wind, low);
        high = pick(r < all_of(0.0), high, wind);
        const lanes by = r / slope(c, &g, tension, &d_tension);
        next = wind - by;
        /* what a step leaves goes with its square: as much as this one left of the one before */
        const lanes size = size_of(by);
        const marks within = (next > low) & (next < high);
        const marks last = within & (size <= LAST_STEP) & (size * by * by <= WIND_STEP_RAD * before * before);
        before = pick(within, by, all_of(0.0));
        const marks there = busy & (last | (size <= WIND_STEP_RAD) | (r == 0.0) | (high - low <= WIND_STEP_RAD));
        a->wind = pick(there, pick(last, next, wind), a->wind);
        a->tension = pick(there, pick(last, tension - d_tension * by, tension), a->tension);
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
    c->lost |= c->rate < 0.0; /* no spring: R may bend as it likes */
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
    /* NaN as well */
    a->open |= ~(size_of(tightest) >= all_of(NEAR) * c->stiffness) | ~(size_of(tightest) < (double)INFINITY);
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

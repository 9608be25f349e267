/** Tension and moment of a case, and Newton's way to its balance: a template, so that one case and the many in the
 * lanes of a vector go the same way to the bit. Whoever includes it has defined, for LANES doubles: `lanes`, `marks`
 * (bool or a mask), `laid` (the members of snub_arm_geometry), pick, any, lane_not, lane_sqrt, size_of, all_of. LANES
 * 1: plain doubles. Derivation: docs/theory/tension.md; private to src/balance. */
#include "lanes_common.h"

/* The arm near a place of the wind table. */

/* Sine of the turn of a span that the series of the arc sine is good for: it leaves out less than 3e-18 of it. */
static const double SINE_MOST = 0.1;

/* What a direction has turned by; `far` where the series of the arc sine does not reach. */
static inline lanes turn_of(const lanes before[2], const lanes now[2], marks *far)
{
    const lanes x = before[0] * now[1] - before[1] * now[0], s = x * x;
    *far |= lane_not((size_of(x) < SINE_MOST) & (before[0] * now[0] + before[1] * now[1] > 0.0));
    return x + x * arc_sine_rest(s);
}

/* snub_tangent */
static inline marks near_tangent(const lanes from[2], double r1, const lanes to[2], double r2, lanes u[2],
                                 lanes *length)
{
    const lanes dx = to[0] - from[0], dy = to[1] - from[1], square = dx * dx + dy * dy;
    const double h = r1 - r2;
    const lanes rest = square - h * h, l = lane_sqrt(pick(rest > 0.0, rest, all_of(0.0)));
    u[0] = (l * dx + h * dy) / square;
    u[1] = (l * dy - h * dx) / square;
    *length = l;
    return (rest > 0.0) & (rest < (double)INFINITY);
}

static inline lanes signed_as(lanes value, double radius)
{
    return radius > 0.0 ? value : -value;
}

static inline lanes grown_wrap(lanes before, lanes growth)
{
    const lanes wrap = within_turn(before + growth);
    return pick(wrap < 0.0, all_of(0.0), wrap);
}

/* snub_arm_lay from what is laid at a wind near by, `by` rad on.
 * @param[out] far  too far for that: nothing is known */
static inline marks lay_near(const snub_rig *rig, const laid *near, lanes by, laid *g, marks *far)
{
    const int p = rig->before, a = rig->arm, q = rig->after;
    const double *radius = rig->path.radius;
    const lanes turn = rig->winds * by, square = turn * turn;
    const lanes sine = turn + turn * sine_rest(square), less = cosine_rest(square);
    *far = lane_not(size_of(turn) < TURN_MOST);
    g->reach[0] = near->reach[0] + (near->reach[0] * less - near->reach[1] * sine);
    g->reach[1] = near->reach[1] + (near->reach[1] * less + near->reach[0] * sine);
    const lanes centre[2] = {rig->pivot[0] + g->reach[0], rig->pivot[1] + g->reach[1]};
    const lanes from[2] = {all_of(rig->path.centre[p][0]), all_of(rig->path.centre[p][1])};
    const lanes to[2] = {all_of(rig->path.centre[q][0]), all_of(rig->path.centre[q][1])};
    marks valid = near_tangent(from, radius[p], centre, radius[a], g->u[0], &g->span[0]);
    valid &= near_tangent(centre, radius[a], to, radius[q], g->u[1], &g->span[1]);
    const lanes in = turn_of(near->u[0], g->u[0], far), out = turn_of(near->u[1], g->u[1], far);
    g->wrap[0] = grown_wrap(near->wrap[0], signed_as(p == q ? out - in : -in, radius[p]));
    g->wrap[1] = grown_wrap(near->wrap[1], signed_as(in - out, radius[a]));
    g->wrap[2] = p == q ? g->wrap[0] : grown_wrap(near->wrap[2], signed_as(out, radius[q]));
    g->length = g->span[0] + g->span[1] + fabs(radius[p]) * g->wrap[0] + fabs(radius[a]) * g->wrap[1];
    lanes turned = signed_as(g->wrap[0], radius[p]) + signed_as(g->wrap[1], radius[a]);
    if (p != q) {
        g->length += rig->fixed_length + fabs(radius[q]) * g->wrap[2];
        turned += rig->fixed_turn + signed_as(g->wrap[2], radius[q]);
    }
    g->lever_in = rig->winds * (g->reach[0] * g->u[0][1] - g->reach[1] * g->u[0][0]);
    g->lever_out = rig->winds * (g->reach[0] * g->u[1][1] - g->reach[1] * g->u[1][0]);
    valid &= size_of(turned - rig->sense * 2.0 * SNUB_PI) < SNUB_PI; /* a jump by a whole turn is a lost belt */
    g->valid = valid;
    return valid;
}

/* Tension and moment. */

/* The sums that do not depend on the wind. */
typedef struct sums {
    lanes fixed;       /* sum of rise x length over all that the arm does not move, N m */
    lanes span[2];     /* rise of the arm's spans, N */
    lanes arc[3];      /* mean rise of the three arcs, N */
    lanes centrifugal; /* N */
    lanes factor;      /* (1 + side damping) */
    lanes target;      /* m */
    lanes most_rise;   /* greatest of all spans, N */
} sums;

static inline lanes mean_rise(const snub_rig *rig, const lanes *rise, int pulley)
{
    return 0.5 * (rise[pulley > 0 ? pulley - 1 : rig->n - 1] + rise[pulley]);
}

/* Rise of each span over the one that leaves the crank: tension grows by M/|r| as the belt passes a pulley.
 * @param[in,out] rise  of each pulley its torque; then its span's rise */
static inline void find_rises(const snub_rig *rig, lanes *rise)
{
    rise[rig->crank] = all_of(0.0);
    for (int k = 1, last = rig->crank; k < rig->n; k++) {
        const int i = last + 1 < rig->n ? last + 1 : 0;
        rise[i] = rise[last] + rise[i] / fabs(rig->path.radius[i]);
        last = i;
    }
}

static inline void add_up(const snub_rig *rig, lanes side, lanes belt_length, const lanes *rise, lanes centrifugal,
                          sums *out)
{
    const snub_path *path = &rig->path;
    out->centrifugal = centrifugal;
    out->factor = 1.0 + side * rig->damping;
    out->target = belt_length;
    out->fixed = all_of(0.0);
    out->most_rise = all_of(0.0); /* the crank's */
    for (int i = 0; i < rig->n; i++) {
        out->most_rise = pick(rise[i] > out->most_rise, rise[i], out->most_rise);
        const bool moves = rig->arm >= 0 && (i == rig->before || i == rig->arm);
        if (!moves)
            out->fixed += rise[i] * path->span[i];
        if (rig->arm >= 0 && (moves || i == rig->after))
            continue;
        out->fixed += mean_rise(rig, rise, i) * fabs(path->radius[i]) * path->wrap[i];
    }
    if (rig->arm < 0)
        return;
    out->span[0] = rise[rig->before];
    out->span[1] = rise[rig->arm];
    out->arc[0] = mean_rise(rig, rise, rig->before) * fabs(path->radius[rig->before]);
    out->arc[1] = mean_rise(rig, rise, rig->arm) * fabs(path->radius[rig->arm]);
    out->arc[2] =
        rig->before == rig->after ? all_of(0.0) : mean_rise(rig, rise, rig->after) * fabs(path->radius[rig->after]);
}

static inline lanes weighted_rise(const sums *s, const laid *g)
{
    return s->fixed + s->span[0] * g->span[0] + s->span[1] * g->span[1] + s->arc[0] * g->wrap[0] +
           s->arc[1] * g->wrap[1] + s->arc[2] * g->wrap[2];
}

/* Length condition: G - [(T0 - Tm) G + W]/EA = target. */
static inline lanes tension_from_length(const snub_rig *rig, lanes length, lanes target, lanes weighted)
{
    return rig->measuring_tension + (rig->stiffness * (length - target) - weighted) / length;
}

/* R = spring with friction - moment of the belt's force. */
static inline lanes unbalance(const snub_rig *rig, const sums *s, const laid *g, lanes wind, lanes *tension)
{
    *tension = tension_from_length(rig, g->length, s->target, weighted_rise(s, g));
    const lanes in = *tension + s->span[0] - s->centrifugal, out = *tension + s->span[1] - s->centrifugal;
    return (rig->preload + rig->rate * wind) * s->factor - (out * g->lever_out - in * g->lever_in);
}

/* dR/dwind. The centre moves by dc = winds x reach; dG = (u_in - u_out).dc; u turns by (n.dc)/L at its moving end;
 * each wrap grows by as much as its leaving span turns ahead of its entering one, in the pulley's own sense. */
static inline lanes slope(const snub_rig *rig, const sums *s, const laid *g, lanes tension)
{
    const double *radius = rig->path.radius;
    const lanes x = g->reach[0], y = g->reach[1];
    const lanes dx = -rig->winds * y, dy = rig->winds * x;
    const lanes *in = g->u[0], *out = g->u[1];
    const lanes turn_in = (-in[1] * dx + in[0] * dy) / g->span[0];
    const lanes turn_out = -(-out[1] * dx + out[0] * dy) / g->span[1];
    const lanes d_in = rig->winds * (dx * in[1] - dy * in[0] + turn_in * (x * in[0] + y * in[1]));
    const lanes d_out = rig->winds * (dx * out[1] - dy * out[0] + turn_out * (x * out[0] + y * out[1]));
    const lanes d_span_in = in[0] * dx + in[1] * dy, d_span_out = -(out[0] * dx + out[1] * dy);
    const lanes d_length = d_span_in + d_span_out; /* of the path: its arcs take what its spans roll off */
    const lanes grows_in = d_span_in + (radius[rig->before] - radius[rig->arm]) * turn_in;
    const lanes grows_out = d_span_out + (radius[rig->arm] - radius[rig->after]) * turn_out;
    lanes d_weighted =
        s->span[0] * grows_in + s->span[1] * grows_out + s->arc[1] * signed_as(turn_in - turn_out, radius[rig->arm]);
    if (rig->before == rig->after)
        d_weighted += s->arc[0] * signed_as(turn_out - turn_in, radius[rig->before]);
    else
        d_weighted +=
            s->arc[0] * signed_as(-turn_in, radius[rig->before]) + s->arc[2] * signed_as(turn_out, radius[rig->after]);
    const lanes d_tension = ((rig->stiffness - (tension - rig->measuring_tension)) * d_length - d_weighted) / g->length;
    const lanes t_in = tension + s->span[0] - s->centrifugal, t_out = tension + s->span[1] - s->centrifugal;
    return rig->rate * s->factor - (t_out * d_out - t_in * d_in + d_tension * (g->lever_out - g->lever_in));
}

/* The balance in its cell. */

/* A balance, and how it was come by. */
typedef struct balanced {
    laid geometry;
    lanes wind, tension, steps;
    marks there, lost, far; /* found; the belt is off a pulley at `wind`; not to be found from this place */
} balanced;

/* The arm at a wind from a place of the table; with one lane also from none. */
static inline marks lay(const snub_rig *rig, lanes wind, const laid *near, lanes near_wind, laid *g, marks *far)
{
#if LANES == 1
    *far = false;
    if (near == NULL)
        return snub_arm_lay(rig, wind, g);
#endif
    return lay_near(rig, near, wind - near_wind, g, far);
}

/* Root of R in a cell where it goes from - to +: of all lanes that are `busy`.
 * @param[in] near, near_wind  place from which the arm is laid */
static inline void refine(const snub_rig *rig, const sums *s, const crossing *in, const laid *near, lanes near_wind,
                          marks busy, balanced *b)
{
    lanes low = in->low, high = in->high, next = low + first_guess(in) * (high - low);
    b->there = b->lost = b->far = busy & lane_not(busy);
    b->steps = all_of(0.0);
    b->wind = next;
    for (int step = 0; step < STEPS_MOST && any(busy); step++) {
        marks far;
        lanes tension;
        /* lanes that are done stay, and are laid again to the same bits */
        const marks inside = step == 0 ? (next >= low) & (next <= high) : (next > low) & (next < high);
        b->wind = pick(busy, pick(inside, next, 0.5 * (low + high)), b->wind);
        const marks valid = lay(rig, b->wind, near, near_wind, &b->geometry, &far);
        b->far |= busy & far;
        b->lost |= busy & lane_not(far) & lane_not(valid);
        busy &= lane_not(far) & valid;
        const lanes r = unbalance(rig, s, &b->geometry, b->wind, &tension);
        low = pick(r < 0.0, b->wind, low);
        high = pick(r < 0.0, high, b->wind);
        next = b->wind - r / slope(rig, s, &b->geometry, tension);
        b->steps += pick(busy, all_of(1.0), all_of(0.0));
        b->tension = tension;
        /* where R hardly rises, rounding moves the next step by more than that: then what is left of the cell tells */
        const marks there =
            busy & ((size_of(next - b->wind) <= WIND_STEP_RAD) | (r == 0.0) | (high - low <= WIND_STEP_RAD));
        b->there |= there;
        busy &= lane_not(there);
    }
}

/** Many cases of one rig, LANES of them side by side: a template. Whoever includes it has defined what solve_lanes.h
 *  wants, and MANY, the name of the function. Private to src/balance.
 *
 *  A case that has a balance in its travel, between two winds at which the belt lies well, is solved here, by the
 *  operations of snub_solve and in their order, and so to the bit. Every other is left to it. */
#include "many.h"

#include <string.h>

#include "solve_lanes.h"

/* What a lane has from its case. */
static void gather(const snub_rig *rig, const snub_case *const *wanted, lanes *speed, lanes *rise, lanes *side,
                   lanes *belt_length)
{
    for (int l = 0; l < LANES; l++) {
        (*speed)[l] = wanted[l]->engine_speed;
        (*side)[l] = wanted[l]->side;
        (*belt_length)[l] = wanted[l]->belt_length;
        for (int i = 0; i < rig->n; i++)
            rise[i][l] = wanted[l]->torque[i];
    }
}

/* The last cell in which R goes from - to +. */
typedef struct scanned {
    lanes cell, count; /* count: of such cells */
    marks edge;        /* there is one in a cell that has lost the belt at one end */
} scanned;

/* Of an end of a cell: R, and whether the arm is pushed on there, or held. */
typedef struct pushed {
    lanes r;
    marks on, back;
} pushed;

static inline pushed pushed_by(lanes r, lanes tight)
{
    return (pushed){r, (tight > 0.0) & (r < 0.0), r >= 0.0};
}

static void spread(const snub_arm_geometry *from, laid *g)
{
    g->length = all_of(from->length);
    g->lever_in = all_of(from->lever_in);
    g->lever_out = all_of(from->lever_out);
    for (int i = 0; i < 2; i++)
        g->span[i] = all_of(from->span[i]);
    for (int i = 0; i < 3; i++)
        g->wrap[i] = all_of(from->wrap[i]);
}

static pushed at_edge(const snub_rig *rig, const sums *s, int cell)
{
    pushed none = {all_of((double)NAN), (marks){0}, (marks){0}};
    for (int i = 0; i < rig->edges; i++) {
        const snub_arm_geometry *from = &rig->edge[i].geometry;
        laid g;
        lanes tension;
        if (rig->edge[i].cell != cell)
            continue;
        if (!from->valid)
            return none;
        spread(from, &g);
        const lanes r = unbalance(rig, s, &g, all_of(rig->edge[i].wind), &tension);
        return pushed_by(r, tension + s->most_rise - s->centrifugal);
    }
    return none;
}

static void scan(const snub_rig *rig, const sums *s, lanes *r, scanned *found)
{
    const snub_wind_table *t = &rig->table;
    const double all = rig->measuring_tension + rig->stiffness;
    const lanes lost = rig->stiffness * s->target + s->fixed;
    const lanes in = s->span[0] - s->centrifugal, out = s->span[1] - s->centrifugal;
    const lanes greatest = s->most_rise - s->centrifugal;
    pushed before = {0};
    found->cell = found->count = all_of(0.0);
    found->edge = (marks){0};
    for (int k = 0; k <= SNUB_WIND_GRID; k++) {
        const lanes tension = all - (lost * t->per_length[k] + s->span[0] * t->span[0][k] + s->span[1] * t->span[1][k] +
                                     s->arc[0] * t->wrap[0][k] + s->arc[1] * t->wrap[1][k] + s->arc[2] * t->wrap[2][k]);
        r[k] = t->spring[k] * s->factor - ((tension + out) * t->lever_out[k] - (tension + in) * t->lever_in[k]);
        const pushed now = pushed_by(r[k], tension + greatest);
        if (k > 0 && t->valid[k] && t->valid[k - 1]) {
            const marks crosses = before.on & now.back;
            found->cell = pick(crosses, all_of(k - 1), found->cell);
            found->count += pick(crosses, all_of(1.0), all_of(0.0));
        } else if (k > 0 && t->valid[k] != t->valid[k - 1]) {
            const pushed edge = at_edge(rig, s, k - 1);
            found->edge |= t->valid[k] ? edge.on & now.back : before.on & edge.back;
        }
        before = now;
    }
}

/* R around the cell that was found, and the place from which it is laid. */
static void look_up(const snub_rig *rig, const scanned *found, const lanes *r, crossing *at, laid *near)
{
    const bool *valid = rig->table.valid;
    const lanes one = all_of(1.0);
    at->low = rig->travel * found->cell / SNUB_WIND_GRID;
    at->high = rig->travel * (found->cell + one) / SNUB_WIND_GRID;
    at->bend = at->twist = all_of(0.0);
    for (int l = 0; l < LANES; l++) {
        const int k = (int)found->cell[l];
        const snub_arm_geometry *from = &rig->grid[k];
        at->r_low[l] = r[k][l];
        at->r_high[l] = r[k + 1][l];
        for (int i = 0; i < 2; i++) {
            near->reach[i][l] = from->reach[i];
            near->u[0][i][l] = from->u[0][i];
            near->u[1][i][l] = from->u[1][i];
        }
        for (int i = 0; i < 3; i++)
            near->wrap[i][l] = from->wrap[i];
        if (k == 0 || k + 2 > SNUB_WIND_GRID || !(valid[k - 1] && valid[k] && valid[k + 1] && valid[k + 2]))
            continue;
        at->bend[l] = r[k - 1][l] - 2.0 * r[k][l] + r[k + 1][l];
        at->twist[l] = r[k][l] - 2.0 * r[k + 1][l] + r[k + 2][l] - at->bend[l];
    }
}

static void tell(const balanced *b, int l, snub_equilibrium *e)
{
    const laid *g = &b->geometry;
    snub_arm_geometry *to = &e->geometry;
    e->wind = b->wind[l];
    e->tension = b->tension[l];
    e->steps = (int)b->steps[l];
    to->valid = true;
    to->length = g->length[l];
    to->lever_in = g->lever_in[l];
    to->lever_out = g->lever_out[l];
    for (int i = 0; i < 2; i++) {
        to->span[i] = g->span[i][l];
        to->reach[i] = g->reach[i][l];
        to->u[0][i] = g->u[0][i][l];
        to->u[1][i] = g->u[1][i][l];
    }
    for (int i = 0; i < 3; i++)
        to->wrap[i] = g->wrap[i][l];
    e->arm = SNUB_ARM_FREE;
    e->past_dead_point = to->lever_out - to->lever_in <= 0.0;
}

/** @param[in] wanted  LANES of them
 *  @return bit l: the case of lane l has its answer */
unsigned MANY(const snub_rig *rig, const snub_case *const *wanted, snub_equilibrium *const *e)
{
    lanes speed, side, belt_length, rise[SNUB_PULLEYS_MOST], r[SNUB_WIND_GRID + 1];
    sums s = {0};
    scanned found;
    crossing at;
    laid near;
    balanced b;
    gather(rig, wanted, &speed, rise, &side, &belt_length);
    const lanes belt_speed = speed * fabs(rig->path.radius[rig->crank]);
    const lanes centrifugal = rig->mass * belt_speed * belt_speed;
    find_rises(rig, rise);
    add_up(rig, side, belt_length, rise, centrifugal, &s);
    scan(rig, &s, r, &found);
    const marks busy = (found.count > 0.0) & ~found.edge;
    if (!any(busy))
        return 0;
    look_up(rig, &found, r, &at, &near);
    refine(rig, &s, &at, &near, at.low, busy, &b);
    marks pulls = (marks){0};
    for (int i = 0; i < rig->n; i++)
        pulls |= b.tension + rise[i] - centrifugal > 0.0;
    const marks done = b.there & pulls;
    unsigned answered = 0;
    for (int l = 0; l < LANES; l++) {
        if (!done[l])
            continue;
        answered |= 1U << l;
        tell(&b, l, e[l]);
        e[l]->belt_speed = belt_speed[l];
        e[l]->centrifugal = centrifugal[l];
        e[l]->equilibria = (int)found.count[l];
        for (int i = 0; i < rig->n; i++)
            e[l]->rise[i] = rise[i][l];
    }
    return answered;
}

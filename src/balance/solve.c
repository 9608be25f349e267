/* The equilibrium of arm and belt. Derivation: docs/theory/tension.md. */
#include "snub/balance.h"

#include <string.h>

#define IN_PLACE static inline __attribute__((always_inline))

/* Step of wind below which Newton has arrived, rad: 1e-13 rad at a 0.1 m arm is 1e-14 m, a force of some 1e-10 N at
 * the stiffness of a belt. Risk when larger: tension errors; when smaller: rounding never lets it end. */
static const double WIND_STEP_RAD = 1e-13;
/* Newton or bisection steps: bisection alone needs 50 from a cell of a wind table to WIND_STEP_RAD. */
enum { STEPS_MOST = 100 };

double snub_belt_pitch_length(const snub_belt *belt, double effective, double stretch, bool warm)
{
    return (effective + 2.0 * SNUB_PI * belt->be) * (1.0 + stretch) * (1.0 + (warm ? belt->growth : 0.0));
}

/* The sums that do not depend on the wind. */
typedef struct sums {
    double fixed;       /* sum of rise x length over all that the arm does not move, N m */
    double span[2];     /* rise of the arm's spans, N */
    double arc[3];      /* mean rise of the three arcs, N */
    double centrifugal; /* N */
    double factor;      /* (1 + side damping) */
    double target;      /* m */
    double most_rise;   /* greatest of all spans, N */
} sums;

static double mean_rise(const snub_rig *rig, const double *rise, int pulley)
{
    return 0.5 * (rise[pulley > 0 ? pulley - 1 : rig->n - 1] + rise[pulley]);
}

/* Rise of each span over the one that leaves the crank: tension grows by M/|r| as the belt passes a pulley. */
static void find_rises(const snub_rig *rig, const double *torque, double *rise)
{
    rise[rig->crank] = 0.0;
    for (int k = 1, last = rig->crank; k < rig->n; k++) {
        const int i = last + 1 < rig->n ? last + 1 : 0;
        rise[i] = rise[last] + torque[i] / fabs(rig->path.radius[i]);
        last = i;
    }
}

static void add_up(const snub_rig *rig, const snub_case *wanted, const double *rise, double centrifugal, sums *out)
{
    const snub_path *path = &rig->path;
    out->centrifugal = centrifugal;
    out->factor = 1.0 + wanted->side * rig->damping;
    out->target = wanted->belt_length;
    out->fixed = 0.0;
    out->most_rise = 0.0; /* the crank's */
    for (int i = 0; i < rig->n; i++) {
        out->most_rise = fmax(out->most_rise, rise[i]);
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
    out->arc[2] = rig->before == rig->after ? 0.0 : mean_rise(rig, rise, rig->after) * fabs(path->radius[rig->after]);
}

static double weighted_rise(const sums *s, const snub_arm_geometry *g)
{
    return s->fixed + s->span[0] * g->span[0] + s->span[1] * g->span[1] + s->arc[0] * g->wrap[0] +
           s->arc[1] * g->wrap[1] + s->arc[2] * g->wrap[2];
}

/* Length condition: G - [(T0 - Tm) G + W]/EA = target. */
static double tension_from_length(const snub_rig *rig, double length, double target, double weighted)
{
    return rig->measuring_tension + (rig->stiffness * (length - target) - weighted) / length;
}

/* R = spring with friction - moment of the belt's force. */
static double unbalance(const snub_rig *rig, const sums *s, const snub_arm_geometry *g, double wind, double *tension)
{
    *tension = tension_from_length(rig, g->length, s->target, weighted_rise(s, g));
    const double in = *tension + s->span[0] - s->centrifugal, out = *tension + s->span[1] - s->centrifugal;
    return (rig->preload + rig->rate * wind) * s->factor - (out * g->lever_out - in * g->lever_in);
}

/* A wrap grows by as much as its leaving span turns ahead of its entering one, in the pulley's own sense. */
static double wrap_growth(const snub_rig *rig, int pulley, double enter, double leave)
{
    return rig->path.radius[pulley] > 0.0 ? enter - leave : leave - enter;
}

/* dR/dwind. The centre moves by dc = winds x reach; dG = (u_in - u_out).dc; u turns by (n.dc)/L at its moving end;
 * each wrap grows by what its spans turn. */
static double slope(const snub_rig *rig, const sums *s, const snub_arm_geometry *g, double tension)
{
    const double x = g->reach[0], y = g->reach[1];
    const double dx = -rig->winds * y, dy = rig->winds * x;
    const double *in = g->u[0], *out = g->u[1];
    const double turn_in = (-in[1] * dx + in[0] * dy) / g->span[0];
    const double turn_out = -(-out[1] * dx + out[0] * dy) / g->span[1];
    const double d_in = rig->winds * (dx * in[1] - dy * in[0] + turn_in * (x * in[0] + y * in[1]));
    const double d_out = rig->winds * (dx * out[1] - dy * out[0] + turn_out * (x * out[0] + y * out[1]));
    const double d_span_in = in[0] * dx + in[1] * dy, d_span_out = -(out[0] * dx + out[1] * dy);
    const double d_length = d_span_in + d_span_out;
    double d_weighted =
        s->span[0] * d_span_in + s->span[1] * d_span_out + s->arc[1] * wrap_growth(rig, rig->arm, turn_in, turn_out);
    if (rig->before == rig->after)
        d_weighted += s->arc[0] * wrap_growth(rig, rig->before, turn_out, turn_in);
    else
        d_weighted += s->arc[0] * wrap_growth(rig, rig->before, 0.0, turn_in) +
                      s->arc[2] * wrap_growth(rig, rig->after, turn_out, 0.0);
    const double d_tension =
        ((rig->stiffness - (tension - rig->measuring_tension)) * d_length - d_weighted) / g->length;
    const double t_in = tension + s->span[0] - s->centrifugal, t_out = tension + s->span[1] - s->centrifugal;
    return rig->rate * s->factor - (t_out * d_out - t_in * d_in + d_tension * (g->lever_out - g->lever_in));
}

/* Where R goes from - to + between two winds. */
typedef struct crossing {
    double low, high, r_low, r_high;
    double bend, twist; /* second and third difference of R over steps of the table, N m; 0 where not known */
} crossing;

/* One end of a cell: R there, and whether the belt pulls at all. */
typedef struct cell_end {
    double wind, r;
    bool valid, taut;
} cell_end;

static cell_end end_at(const snub_rig *rig, const sums *s, const snub_arm_geometry *g, double wind)
{
    cell_end end = {.wind = wind, .r = NAN, .valid = g->valid};
    if (g->valid) {
        double tension;
        end.r = unbalance(rig, s, g, wind, &tension);
        end.taut = tension + s->most_rise > s->centrifugal;
    }
    return end;
}

/* The last good wind in a cell of which one end has lost the belt. */
static cell_end edge_of(const snub_rig *rig, const sums *s, int cell)
{
    for (int i = 0; i < rig->edges; i++) {
        if (rig->edge[i].cell == cell)
            return end_at(rig, s, &rig->edge[i].geometry, rig->edge[i].wind);
    }
    return (cell_end){.r = NAN};
}

/* R and tightness at every wind of the table. A belt that is slack all round does not push the arm, whatever the
 * formula says: there the spring wins (past the dead point R of a slack belt is negative, and means nothing). */
typedef struct table_values {
    double r[SNUB_WIND_GRID + 1];            /* N m */
    double tight[SNUB_WIND_GRID + 1];        /* greatest tractive tension of all spans, N */
    unsigned char may_cross[SNUB_WIND_GRID]; /* whether a cell is worth a look: 1 or 0 */
} table_values;

IN_PLACE void fill_table(const snub_rig *rig, const sums *s, table_values *v)
{
    const snub_wind_table *t = &rig->table;
    const double all = rig->measuring_tension + rig->stiffness, lost = rig->stiffness * s->target + s->fixed;
    const double in = s->span[0] - s->centrifugal, out = s->span[1] - s->centrifugal;
    const double greatest = s->most_rise - s->centrifugal;
    for (int k = 0; k <= SNUB_WIND_GRID; k++) {
        const double tension =
            all - (lost * t->per_length[k] + s->span[0] * t->span[0][k] + s->span[1] * t->span[1][k] +
                   s->arc[0] * t->wrap[0][k] + s->arc[1] * t->wrap[1][k] + s->arc[2] * t->wrap[2][k]);
        v->r[k] = t->spring[k] * s->factor - ((tension + out) * t->lever_out[k] - (tension + in) * t->lever_in[k]);
        v->tight[k] = tension + greatest;
    }
    for (int k = 0; k < SNUB_WIND_GRID; k++)
        v->may_cross[k] = ((v->r[k] < 0.0) & (v->r[k + 1] >= 0.0)) | (t->valid[k] ^ t->valid[k + 1]);
}

/* The same operations, as many at once as the processor can: the compiler's vectors, the same bits. Not by clang, which
 * fuses products and sums where the processor can. */
#if defined __x86_64__ && !defined __clang__
#define FILLS_BY_WIDTH
__attribute__((target("avx2"))) static void fill_by_four(const snub_rig *rig, const sums *s, table_values *v)
{
    fill_table(rig, s, v);
}

__attribute__((target("avx512f,avx512bw,avx512dq,avx512vl,prefer-vector-width=512"))) static void
fill_by_eight(const snub_rig *rig, const sums *s, table_values *v)
{
    fill_table(rig, s, v);
}
#endif

static void work_out_table(const snub_rig *rig, const sums *s, table_values *v)
{
#ifdef FILLS_BY_WIDTH
    if (__builtin_cpu_supports("avx512bw") && __builtin_cpu_supports("avx512vl") && __builtin_cpu_supports("avx512dq"))
        fill_by_eight(rig, s, v);
    else if (__builtin_cpu_supports("avx2"))
        fill_by_four(rig, s, v);
    else
#endif
        fill_table(rig, s, v);
}

static cell_end end_of_table(const snub_rig *rig, const table_values *v, int k)
{
    return (cell_end){.wind = rig->travel * k / SNUB_WIND_GRID,
                      .r = rig->table.valid[k] ? v->r[k] : (double)NAN,
                      .valid = rig->table.valid[k],
                      .taut = rig->table.valid[k] && v->tight[k] > 0.0};
}

/* Does R go from - to + in this cell? A cell of whose ends one has lost the belt is looked at as far as the belt lies
 * well. */
static bool crosses(const snub_rig *rig, const sums *s, int cell, cell_end low, cell_end high, crossing *found)
{
    if (low.valid != high.valid)
        *(low.valid ? &high : &low) = edge_of(rig, s, cell);
    if (!(low.taut && low.r < 0.0 && high.r >= 0.0))
        return false;
    *found = (crossing){low.wind, high.wind, low.r, high.r, 0.0, 0.0};
    return true;
}

/* The next cell that is worth a look, SNUB_WIND_GRID: none. Eight at a time, since hardly any is. */
static int next_cell(const table_values *v, int from)
{
    uint64_t eight;
    for (int k = from; k < SNUB_WIND_GRID; k++) {
        if (k % (int)sizeof eight == 0) {
            memcpy(&eight, v->may_cross + k, sizeof eight);
            if (eight == 0) {
                k += (int)sizeof eight - 1;
                continue;
            }
        }
        if (v->may_cross[k])
            return k;
    }
    return SNUB_WIND_GRID;
}

/* Scan the wind table; the last crossing is what the arm meets when let go from its stop. */
static int scan(const snub_rig *rig, const sums *s, crossing *last, cell_end ends[2])
{
    table_values v;
    int crossings = 0;
    const bool *valid = rig->table.valid;
    work_out_table(rig, s, &v);
    ends[0] = end_of_table(rig, &v, 0);
    ends[1] = end_of_table(rig, &v, SNUB_WIND_GRID);
    for (int k = next_cell(&v, 0); k < SNUB_WIND_GRID; k = next_cell(&v, k + 1)) {
        if (!crosses(rig, s, k, end_of_table(rig, &v, k), end_of_table(rig, &v, k + 1), last))
            continue;
        crossings++;
        if (k == 0 || k + 2 > SNUB_WIND_GRID || !(valid[k - 1] && valid[k] && valid[k + 1] && valid[k + 2]))
            continue;
        last->bend = v.r[k - 1] - 2.0 * v.r[k] + v.r[k + 1];
        last->twist = v.r[k] - 2.0 * v.r[k + 1] + v.r[k + 2] - last->bend;
    }
    return crossings;
}

/* Root of the cubic through R at both ends and at their neighbours, as a share of the cell: so near to the root that
 * Newton has one step left. Rarely it lies outside of the cell, or is no number: refine() looks after that. */
static double first_guess(const crossing *c)
{
    const double rise = c->r_high - c->r_low, chord = -c->r_low / rise, bend = c->bend / 2.0, twist = c->twist / 6.0;
    double t = chord;
    for (int k = 0; k < 3; k++) {
        const double r = c->r_low + t * (rise + (t - 1.0) * (bend + (t + 1.0) * twist));
        t -= r / (rise + (2.0 * t - 1.0) * bend + (3.0 * t * t - 1.0) * twist);
    }
    return t;
}

/* Root of R in a cell where it goes from - to +. */
static snub_status refine(const snub_rig *rig, const sums *s, const crossing *in, snub_equilibrium *e,
                          snub_error *error)
{
    double low = in->low, high = in->high;
    double next = low + first_guess(in) * (high - low);
    for (int step = 0; step < STEPS_MOST; step++) {
        const double wind = next >= low && next <= high ? next : 0.5 * (low + high);
        double tension;
        if (!snub_arm_lay(rig, wind, &e->geometry)) {
            return snub_fail(error, SNUB_NO_CONVERGENCE, NULL, NULL,
                             "the belt comes off a pulley with the arm at %.2f deg from free, "
                             "between two positions where it stays on",
                             wind / SNUB_DEG);
        }
        const double r = unbalance(rig, s, &e->geometry, wind, &tension);
        *(r < 0.0 ? &low : &high) = wind;
        next = wind - r / slope(rig, s, &e->geometry, tension);
        if (fabs(next - wind) <= WIND_STEP_RAD || r == 0.0) {
            e->wind = wind;
            e->tension = tension;
            e->steps = step + 1;
            return SNUB_OK;
        }
    }
    return snub_fail(error, SNUB_NO_CONVERGENCE, NULL, NULL, "arm position not found in %d steps", STEPS_MOST);
}

static bool slack_all_round(const snub_rig *rig, const snub_equilibrium *e)
{
    for (int i = 0; i < rig->n; i++) {
        if (e->tension + e->rise[i] - e->centrifugal > 0.0)
            return false;
    }
    return true;
}

/* At rest or at stop the arm is a locked pulley at that end. */
static snub_status hold_at_end(const snub_rig *rig, const sums *s, bool stop, snub_equilibrium *e)
{
    e->arm = stop ? SNUB_ARM_AT_STOP : SNUB_ARM_AT_REST;
    e->wind = stop ? rig->travel : 0.0;
    e->geometry = rig->grid[stop ? SNUB_WIND_GRID : 0];
    (void)unbalance(rig, s, &e->geometry, e->wind, &e->tension);
    return SNUB_OK;
}

static snub_status solve_arm(const snub_rig *rig, const sums *s, snub_equilibrium *e, snub_error *error)
{
    crossing last;
    cell_end ends[2];
    e->equilibria = scan(rig, s, &last, ends);
    if (e->equilibria > 0) {
        e->arm = SNUB_ARM_FREE;
        return refine(rig, s, &last, e, error);
    }
    if (ends[1].valid && ends[1].taut && ends[1].r < 0.0)
        return hold_at_end(rig, s, true, e);
    if (ends[0].valid && (ends[0].r >= 0.0 || !ends[0].taut))
        return hold_at_end(rig, s, false, e);
    return snub_fail(error, SNUB_NO_EQUILIBRIUM, NULL, NULL,
                     "the arm has no equilibrium with the belt on all pulleys: at the free position or at the stop it "
                     "is off a pulley");
}

/* Why there is no tension anywhere: the belt is too long, or it is not and its momentum takes all that there is. */
static snub_failure slack_reason(const snub_rig *rig, const snub_case *wanted, double *amount)
{
    double wish;
    const bool arm = rig->arm >= 0 && snub_length_for_wind(rig, wanted, 0.0, &wish);
    if (!arm) /* as it lies there without tension */
        wish =
            (rig->arm >= 0 ? rig->grid[0].length : rig->path.length) * (1.0 + rig->measuring_tension / rig->stiffness);
    *amount = wanted->belt_length - wish;
    if (*amount > 0.0)
        return arm ? SNUB_FAILS_TOO_LONG_FOR_ARM : SNUB_FAILS_TOO_LONG;
    *amount = wanted->engine_speed * fabs(rig->path.radius[rig->crank]);
    return SNUB_FAILS_MOMENTUM;
}

static snub_status too_long(const snub_rig *rig, const snub_case *wanted, snub_error *error)
{
    double amount;
    switch (slack_reason(rig, wanted, &amount)) {
    case SNUB_FAILS_TOO_LONG_FOR_ARM:
        return snub_fail(error, SNUB_NO_EQUILIBRIUM, NULL, "belt.length",
                         "slack all round: the belt is %.1f mm too long for the arm to leave its free position",
                         amount / SNUB_MM);
    case SNUB_FAILS_TOO_LONG:
        return snub_fail(error, SNUB_NO_EQUILIBRIUM, NULL, "belt.length",
                         "slack all round: the belt is %.1f mm longer than the path around the pulleys",
                         amount / SNUB_MM);
    default:
        return snub_fail(error, SNUB_NO_EQUILIBRIUM, NULL, "belt.length",
                         "slack all round: at %.0f m/s centrifugal force takes up all of the belt's tension; set more "
                         "tension at standstill or run the belt slower",
                         amount);
    }
}

snub_status snub_solve(const snub_rig *rig, const snub_case *wanted, snub_equilibrium *e, snub_error *error)
{
    sums s;
    e->belt_speed = wanted->engine_speed * fabs(rig->path.radius[rig->crank]);
    e->centrifugal = rig->mass * e->belt_speed * e->belt_speed;
    e->past_dead_point = false;
    e->equilibria = 1;
    e->steps = 0;
    find_rises(rig, wanted->torque, e->rise);
    add_up(rig, wanted, e->rise, e->centrifugal, &s);
    if (rig->arm < 0) {
        e->arm = SNUB_ARM_NONE;
        e->wind = 0.0;
        e->tension = tension_from_length(rig, rig->path.length, s.target, s.fixed);
    } else {
        const snub_status status = solve_arm(rig, &s, e, error);
        if (status != SNUB_OK)
            return status;
        e->past_dead_point = e->geometry.lever_out - e->geometry.lever_in <= 0.0;
    }
    return slack_all_round(rig, e) ? too_long(rig, wanted, error) : SNUB_OK;
}

void snub_solve_held(const snub_rig *rig, const snub_case *wanted, const snub_equilibrium *at, snub_equilibrium *held)
{
    sums s;
    *held = *at;
    find_rises(rig, wanted->torque, held->rise);
    add_up(rig, wanted, held->rise, held->centrifugal, &s);
    held->tension = rig->arm < 0
                        ? tension_from_length(rig, rig->path.length, s.target, s.fixed)
                        : tension_from_length(rig, held->geometry.length, s.target, weighted_rise(&s, &held->geometry));
}

/* Strain of a belt beyond which no tension is believed, a plain number (rule of thumb, no published source: cords break
 * at some 3 %). With hardly any lever left the spring would ask for more. */
static const double STRAIN_MOST = 0.02;

bool snub_length_for_wind(const snub_rig *rig, const snub_case *wanted, double wind, double *belt_length)
{
    double rise[SNUB_PULLEYS_MOST];
    snub_arm_geometry g;
    sums s;
    if (rig->arm < 0 || !snub_arm_lay(rig, wind, &g))
        return false;
    const double lever = g.lever_out - g.lever_in;
    if (!(lever > 0.0))
        return false;
    const double speed = wanted->engine_speed * fabs(rig->path.radius[rig->crank]);
    find_rises(rig, wanted->torque, rise);
    add_up(rig, wanted, rise, rig->mass * speed * speed, &s);
    const double moment = (rig->preload + rig->rate * wind) * s.factor;
    const double balancing = s.centrifugal + (moment - (s.span[1] * g.lever_out - s.span[0] * g.lever_in)) / lever;
    const double tension = fmin(balancing, STRAIN_MOST * rig->stiffness);
    *belt_length = g.length - ((tension - rig->measuring_tension) * g.length + weighted_rise(&s, &g)) / rig->stiffness;
    return true;
}

snub_failure snub_solve_failure(const snub_rig *rig, const snub_case *wanted, snub_status status, double *amount)
{
    snub_equilibrium e;
    sums s;
    *amount = NAN;
    if (status == SNUB_OK)
        return SNUB_FAILS_NOT;
    if (status != SNUB_NO_EQUILIBRIUM)
        return SNUB_FAILS_NO_ANSWER;
    if (rig->arm >= 0) {
        const double speed = wanted->engine_speed * fabs(rig->path.radius[rig->crank]);
        find_rises(rig, wanted->torque, e.rise);
        add_up(rig, wanted, e.rise, rig->mass * speed * speed, &s);
        if (solve_arm(rig, &s, &e, NULL) != SNUB_OK)
            return SNUB_FAILS_ARM_LOST;
    }
    return slack_reason(rig, wanted, amount);
}

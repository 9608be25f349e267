/* The equilibrium of arm and belt. Derivation: docs/theory/tension.md. */
#include "snub/balance.h"

#include <string.h>

#define IN_PLACE static inline __attribute__((always_inline))
#define LANES 1
typedef double lanes;
typedef int marks; /* 1 or 0 */
typedef snub_arm_geometry laid;

IN_PLACE double pick(marks which, double yes, double no)
{
    return which ? yes : no;
}

IN_PLACE bool any(marks mark)
{
    return mark != 0;
}

IN_PLACE marks lane_not(marks mark)
{
    return !mark;
}

IN_PLACE double lane_sqrt(double x)
{
    return sqrt(x);
}

IN_PLACE double size_of(double x)
{
    return fabs(x);
}

IN_PLACE double all_of(double x)
{
    return x;
}

#include "solve_lanes.h"

double snub_belt_pitch_length(const snub_belt *belt, double effective, double stretch, bool warm)
{
    return (effective + 2.0 * SNUB_PI * belt->be) * (1.0 + stretch) * (1.0 + (warm ? belt->growth : 0.0));
}

/* The rises of a case and its sums. */
static void sum_up(const snub_rig *rig, const snub_case *wanted, double centrifugal, double *rise, sums *out)
{
    memcpy(rise, wanted->torque, sizeof *rise * (size_t)rig->n);
    find_rises(rig, rise);
    add_up(rig, wanted->side, wanted->belt_length, rise, centrifugal, out);
}

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

/* The last crossing, and the place of the table from which it is laid; -1: its cell has lost the belt at one end. */
typedef struct found {
    crossing at;
    int place;
} found;

/* Does R go from - to + in this cell? A cell of whose ends one has lost the belt is looked at as far as the belt lies
 * well. */
static bool crosses(const snub_rig *rig, const sums *s, int cell, cell_end low, cell_end high, found *last)
{
    const bool whole = low.valid == high.valid;
    if (!whole)
        *(low.valid ? &high : &low) = edge_of(rig, s, cell);
    if (!(low.taut && low.r < 0.0 && high.r >= 0.0))
        return false;
    *last = (found){{low.wind, high.wind, low.r, high.r, 0.0, 0.0}, whole ? cell : -1};
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
static int scan(const snub_rig *rig, const sums *s, found *last, cell_end ends[2])
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
        last->at.bend = v.r[k - 1] - 2.0 * v.r[k] + v.r[k + 1];
        last->at.twist = v.r[k] - 2.0 * v.r[k + 1] + v.r[k + 2] - last->at.bend;
    }
    return crossings;
}

/* Root of R in the cell that was found. */
static snub_status refine_in(const snub_rig *rig, const sums *s, const found *in, snub_equilibrium *e,
                             snub_error *error)
{
    balanced b = {.far = true};
    for (int place = in->place; b.far; place = -1) { /* too far from its place: from none */
        const bool near = place >= 0;
        refine(rig, s, &in->at, near ? &rig->grid[place] : NULL, near ? rig->travel * place / SNUB_WIND_GRID : 0.0,
               true, &b);
    }
    if (b.lost) {
        return snub_fail(error, SNUB_NO_CONVERGENCE, NULL, NULL,
                         "the belt comes off a pulley with the arm at %.2f deg from free, "
                         "between two positions where it stays on",
                         b.wind / SNUB_DEG);
    }
    if (!b.there)
        return snub_fail(error, SNUB_NO_CONVERGENCE, NULL, NULL, "arm position not found in %d steps", STEPS_MOST);
    e->geometry = b.geometry;
    e->wind = b.wind;
    e->tension = b.tension;
    e->steps = (int)b.steps;
    return SNUB_OK;
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
    found last;
    cell_end ends[2];
    e->equilibria = scan(rig, s, &last, ends);
    if (e->equilibria > 0) {
        e->arm = SNUB_ARM_FREE;
        return refine_in(rig, s, &last, e, error);
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
    sum_up(rig, wanted, e->centrifugal, e->rise, &s);
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
    sum_up(rig, wanted, held->centrifugal, held->rise, &s);
    held->tension = rig->arm < 0
                        ? tension_from_length(rig, rig->path.length, s.target, s.fixed)
                        : tension_from_length(rig, held->geometry.length, s.target, weighted_rise(&s, &held->geometry));
}

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
    sum_up(rig, wanted, rig->mass * speed * speed, rise, &s);
    const double moment = (rig->preload + rig->rate * wind) * s.factor;
    const double balancing = s.centrifugal + (moment - (s.span[1] * g.lever_out - s.span[0] * g.lever_in)) / lever;
    const double tension = fmin(balancing, SNUB_STRAIN_MOST * rig->stiffness);
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
        sum_up(rig, wanted, rig->mass * speed * speed, e.rise, &s);
        if (solve_arm(rig, &s, &e, NULL) != SNUB_OK)
            return SNUB_FAILS_ARM_LOST;
    }
    return slack_reason(rig, wanted, amount);
}

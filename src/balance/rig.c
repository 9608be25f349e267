/* A drive made ready for many balances: what does not move is summed once, what moves with the arm is tabulated. */
#include "rig.h"
#include "snub/balance.h"

#include <string.h>

/* See turn_between in layout: a turn below this is a touch. */
static const double TOUCH_RAD = 1e-12;

/* How near the wind at which a pulley loses the belt is looked for, rad. An equilibrium nearer to it than that is not
 * seen; nobody could use it. */
static const double EDGE_STEP_RAD = 1e-10;

static double wrap_of(const double before[2], const double after[2], double radius)
{
    double angle = atan2(before[0] * after[1] - before[1] * after[0], before[0] * after[0] + before[1] * after[1]);
    if (radius > 0.0)
        angle = -angle;
    if (angle < -TOUCH_RAD)
        angle += 2.0 * SNUB_PI;
    return angle < 0.0 ? 0.0 : angle;
}

bool snub_arm_lay(const snub_rig *rig, double wind, snub_arm_geometry *geometry)
{
    const int p = rig->before, a = rig->arm, q = rig->after;
    const double *radius = rig->path.radius;
    const double angle = rig->rest + rig->winds * wind;
    double *reach = geometry->reach;
    reach[0] = rig->arm_length * cos(angle);
    reach[1] = rig->arm_length * sin(angle);
    const double centre[2] = {rig->pivot[0] + reach[0], rig->pivot[1] + reach[1]};
    double(*u)[2] = geometry->u;
    geometry->valid = false;
    if (!snub_tangent(rig->path.centre[p], radius[p], centre, radius[a], u[0], &geometry->span[0]))
        return false;
    if (!snub_tangent(centre, radius[a], rig->path.centre[q], radius[q], u[1], &geometry->span[1]))
        return false;
    geometry->wrap[1] = wrap_of(u[0], u[1], radius[a]);
    double turned; /* change of the signed wraps: a jump by a whole turn is a lost belt */
    if (p == q) {  /* two pulleys */
        geometry->wrap[0] = geometry->wrap[2] = wrap_of(u[1], u[0], radius[p]);
        geometry->length = geometry->span[0] + geometry->span[1] + fabs(radius[p]) * geometry->wrap[0] +
                           fabs(radius[a]) * geometry->wrap[1];
        turned = copysign(geometry->wrap[0], radius[p]) + copysign(geometry->wrap[1], radius[a]);
    } else {
        const int into = p > 0 ? p - 1 : rig->n - 1;
        geometry->wrap[0] = wrap_of(rig->path.u[into], u[0], radius[p]);
        geometry->wrap[2] = wrap_of(u[1], rig->path.u[q], radius[q]);
        geometry->length = rig->fixed_length + geometry->span[0] + geometry->span[1] +
                           fabs(radius[p]) * geometry->wrap[0] + fabs(radius[a]) * geometry->wrap[1] +
                           fabs(radius[q]) * geometry->wrap[2];
        turned = rig->fixed_turn + copysign(geometry->wrap[0], radius[p]) + copysign(geometry->wrap[1], radius[a]) +
                 copysign(geometry->wrap[2], radius[q]);
    }
    for (int k = 0; k < 2; k++) {
        const double lever = rig->winds * (reach[0] * u[k][1] - reach[1] * u[k][0]);
        *(k == 0 ? &geometry->lever_in : &geometry->lever_out) = lever;
    }
    geometry->valid = lround(rig->sense * turned / (2.0 * SNUB_PI)) == 1;
    return geometry->valid;
}

/* Length and turn of all that the arm does not move. */
static void sum_fixed(snub_rig *rig)
{
    const snub_path *path = &rig->path;
    rig->fixed_length = 0.0;
    rig->fixed_turn = 0.0;
    for (int i = 0; i < rig->n; i++) {
        const bool arc_moves = rig->arm >= 0 && (i == rig->before || i == rig->arm || i == rig->after);
        const bool span_moves = rig->arm >= 0 && (i == rig->before || i == rig->arm);
        if (!arc_moves) {
            rig->fixed_length += fabs(path->radius[i]) * path->wrap[i];
            rig->fixed_turn += copysign(path->wrap[i], path->radius[i]);
        }
        if (!span_moves)
            rig->fixed_length += path->span[i];
    }
}

static void copy_constants(const snub_drive *drive, double grown, snub_rig *rig)
{
    rig->n = drive->pulley_count;
    rig->crank = drive->crank;
    rig->arm = drive->arm;
    rig->sense = drive->turn;
    rig->grown = grown;
    rig->stiffness = drive->belt.stiffness;
    rig->mass = drive->belt.mass;
    rig->measuring_tension = drive->belt.measuring_tension;
    if (rig->arm < 0)
        return;
    const snub_arm *arm = &drive->pulleys[rig->arm].arm;
    rig->before = (rig->arm + rig->n - 1) % rig->n;
    rig->after = (rig->arm + 1) % rig->n;
    for (int k = 0; k < 2; k++)
        rig->pivot[k] = arm->pivot[k] * grown;
    rig->arm_length = arm->length * grown;
    rig->rest = arm->free;
    rig->winds = arm->loads;
    rig->travel = arm->travel;
    rig->preload = arm->preload;
    rig->rate = arm->rate;
    rig->damping = arm->damping;
}

/* Between a wind where the belt lies well and one where a pulley has lost it: the last good one. */
static void find_edge(const snub_rig *rig, double good, double lost, snub_wind_edge *edge)
{
    snub_arm_geometry g;
    while (fabs(lost - good) > EDGE_STEP_RAD) { /* halves: ends after 30 to 40 steps */
        const double middle = 0.5 * (good + lost);
        *(snub_arm_lay(rig, middle, &g) ? &good : &lost) = middle;
    }
    edge->wind = good;
    snub_arm_lay(rig, good, &edge->geometry);
}

static void fill_column(snub_rig *rig, int k, double wind)
{
    const snub_arm_geometry *g = &rig->grid[k];
    snub_wind_table *t = &rig->table;
    t->valid[k] = g->valid;
    t->per_length[k] = g->valid ? 1.0 / g->length : 0.0;
    for (int i = 0; i < 2; i++)
        t->span[i][k] = g->valid ? g->span[i] / g->length : 0.0;
    for (int i = 0; i < 3; i++)
        t->wrap[i][k] = g->valid ? g->wrap[i] / g->length : 0.0;
    t->lever_in[k] = g->valid ? g->lever_in : 0.0;
    t->lever_out[k] = g->valid ? g->lever_out : 0.0;
    t->spring[k] = rig->preload + rig->rate * wind;
}

static void tabulate(snub_rig *rig)
{
    const double step = rig->travel / SNUB_WIND_GRID;
    rig->edges = 0;
    for (int k = 0; k <= SNUB_WIND_GRID; k++) {
        snub_arm_lay(rig, step * k, &rig->grid[k]);
        fill_column(rig, k, step * k);
        if (k == 0 || rig->grid[k].valid == rig->grid[k - 1].valid || rig->edges == SNUB_WIND_EDGES_MOST)
            continue;
        const bool comes = rig->grid[k].valid;
        rig->edge[rig->edges].cell = k - 1;
        find_edge(rig, step * (comes ? k : k - 1), step * (comes ? k - 1 : k), &rig->edge[rig->edges]);
        rig->edges++;
    }
}

static snub_status refuse(const snub_drive *drive, snub_status status, int culprit, snub_error *error)
{
    const snub_pulley *who = &drive->pulleys[culprit];
    const snub_pulley *next = &drive->pulleys[(culprit + 1) % drive->pulley_count];
    if (status == SNUB_NO_TANGENT) {
        return snub_fail(error, status, &who->place, who->name,
                         "%s and %s are too close: there is no room for a span between them", who->name, next->name);
    }
    return snub_fail(error, status, &who->place, who->name,
                     "the belt is off %s: between the pulleys before and after, it does not reach its %s side",
                     who->name, who->side == SNUB_RIB ? "rib" : "back");
}

/* Centres with the arm at a wind, all distances grown. */
static void place(const snub_drive *drive, double wind, double grown, const snub_rig *rig, double (*centre)[2])
{
    snub_place_pulleys(drive, wind, rig->settings, centre);
    for (int i = 0; i < rig->n; i++) {
        centre[i][0] *= grown;
        centre[i][1] *= grown;
    }
}

static snub_status prepare(const snub_drive *drive, const double *settings, double grown, snub_rig *rig,
                           snub_error *error)
{
    double centre[SNUB_PULLEYS_MOST][2], radius[SNUB_PULLEYS_MOST];
    copy_constants(drive, grown, rig);
    for (int i = 0; i < rig->n; i++) {
        const snub_pulley *pulley = &drive->pulleys[i];
        double s = settings != NULL ? settings[i] : NAN;
        if (isnan(s))
            s = isnan(pulley->setting) ? 0.0 : pulley->setting;
        rig->settings[i] = s;
    }
    snub_signed_radii(drive, radius);
    place(drive, 0.0, grown, rig, centre);
    rig->culprit = 0;
    rig->laid = snub_path_lay(rig->n, (const double(*)[2])centre, radius, rig->sense, &rig->path, &rig->culprit);
    if (rig->arm < 0) {
        if (rig->laid != SNUB_OK)
            return refuse(drive, rig->laid, rig->culprit, error);
        sum_fixed(rig);
        return SNUB_OK;
    }
    /* The path at rest may be no good and yet good further on: lay it where it first is. */
    for (int k = 1; rig->laid != SNUB_OK && k <= SNUB_WIND_GRID; k++) {
        int culprit = rig->culprit;
        place(drive, rig->travel * k / SNUB_WIND_GRID, grown, rig, centre);
        rig->laid = snub_path_lay(rig->n, (const double(*)[2])centre, radius, rig->sense, &rig->path, &culprit);
    }
    if (rig->laid != SNUB_OK)
        return refuse(drive, rig->laid, rig->culprit, error);
    sum_fixed(rig);
    tabulate(rig);
    return SNUB_OK;
}

snub_status snub_rig_prepare(const snub_drive *drive, const double *settings, snub_rig *rig, snub_error *error)
{
    return prepare(drive, settings, 1.0, rig, error);
}

snub_status snub_rig_prepare_warm(const snub_drive *drive, const double *settings, snub_rig *rig, snub_error *error)
{
    return prepare(drive, settings, 1.0 + drive->engine.growth, rig, error);
}

/* With the arm at a wind. */
static snub_status lay_at(snub_rig *rig, double wind)
{
    double centre[SNUB_PULLEYS_MOST][2], radius[SNUB_PULLEYS_MOST];
    memcpy(centre, rig->path.centre, sizeof centre);
    memcpy(radius, rig->path.radius, sizeof radius);
    if (rig->arm >= 0) {
        const double angle = rig->rest + rig->winds * wind;
        centre[rig->arm][0] = rig->pivot[0] + rig->arm_length * cos(angle);
        centre[rig->arm][1] = rig->pivot[1] + rig->arm_length * sin(angle);
    }
    return snub_path_lay(rig->n, (const double(*)[2])centre, radius, rig->sense, &rig->path, &rig->culprit);
}

snub_status snub_rig_lay_again(snub_rig *rig)
{
    rig->laid = lay_at(rig, 0.0);
    for (int k = 1; rig->arm >= 0 && rig->laid != SNUB_OK && k <= SNUB_WIND_GRID; k++)
        rig->laid = lay_at(rig, rig->travel * k / SNUB_WIND_GRID);
    if (rig->laid != SNUB_OK)
        return rig->laid;
    sum_fixed(rig);
    if (rig->arm >= 0)
        tabulate(rig);
    return SNUB_OK;
}

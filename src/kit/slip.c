/* Slip fed back: what the belt can carry, and how fast a shaft turns that is given no more. docs/theory/sweep.md */
#include <math.h>
#include <string.h>

#include "slip.h"
#include "snub/sweep.h"

/* On grip, a plain number: 1e-7 of it is about 1e-7 of the torque. Rounds end when no pulley is out by more. */
#define GRIP_TOLERANCE 1e-7
#define TORQUE_TOLERANCE 1e-10 /* of the asked torque */
#define FACTOR_TOLERANCE 1e-10
#define FACTOR_LEAST 1e-4 /* a shaft slower than this, of its speed without slip, has stopped */
#define GRIP_MOST 1e3     /* stands for the infinite grip of a slack span */
/* Two pulleys that lean on each other come nearer by a factor a round; 0.98 is the worst met. */
enum { ROUNDS_MOST = 1500, WHOLE_STEPS = 20, HALF_STEPS = 200 }; /* smaller steps end a going to and fro */

typedef struct slip_search {
    const snub_drive *drive;
    const snub_rig *rig;
    const snub_slip_case *asked;
    snub_case *wanted;
    snub_equilibrium *e;
    snub_slip *slip;
    snub_status status; /* of the last solve or demand that failed */
    snub_error *error;
    int pulley;                        /* being settled */
    double capacity;                   /* N m */
    double step;                       /* part of the way that a pulley is moved to its own answer */
    double carried[SNUB_PULLEYS_MOST]; /* what the belt carries to pulleys that slip by themselves, N m */
} slip_search;

const char *snub_slip_text(snub_slip_kind kind)
{
    static const char *const names[] = {"no", "slower", "stalled", "overrun"};
    return names[kind];
}

static double wrap_of(const slip_search *s, int pulley)
{
    const snub_rig *rig = s->rig;
    if (rig->arm >= 0 && pulley == rig->before)
        return s->e->geometry.wrap[0];
    if (rig->arm >= 0 && pulley == rig->arm)
        return s->e->geometry.wrap[1];
    if (rig->arm >= 0 && pulley == rig->after)
        return s->e->geometry.wrap[2];
    return rig->path.wrap[pulley];
}

/* Speed between belt and pulley at the pitch line. */
static double slip_speed(const slip_search *s, int pulley)
{
    const int crank = s->rig->crank;
    const double *factor = s->slip->factor, belt = s->asked->engine_speed * fabs(s->rig->path.radius[crank]);
    return pulley == crank ? belt * (1 - factor[crank]) : belt * factor[crank] * (1 - factor[pulley]);
}

static double friction_of(const slip_search *s, int pulley)
{
    const snub_friction *limit = &s->drive->belt.limit;
    if (s->drive->pulleys[pulley].side != SNUB_RIB)
        return limit->back * s->asked->friction;
    const double falls = s->asked->falls != 0 ? exp(-s->asked->falls * slip_speed(s, pulley)) : 1;
    return limit->rib * s->asked->friction * falls;
}

static double grip_of(const slip_search *s, int pulley)
{
    const double friction = friction_of(s, pulley);
    if (!isfinite(friction))
        return 0;
    const double *rise = s->e->rise;
    double base = s->e->tension - s->e->centrifugal;
    double in = base + rise[(pulley + s->rig->n - 1) % s->rig->n], out = base + rise[pulley];
    return fmin(snub_grip(in, out, friction, wrap_of(s, pulley)), GRIP_MOST);
}

/* Torque that a pulley asks at a factor of its own speed, belt at the crank's factor. */
static bool ask(slip_search *s, int pulley, double factor, double *torque)
{
    snub_status status = snub_demand_torque(s->drive, pulley, s->asked->engine_speed, factor, s->asked->throttle,
                                            torque, NULL, s->error);
    if (status)
        s->status = status;
    const double inertia = factor * snub_inertia_torque(s->drive, pulley, s->slip->followed * s->asked->rate);
    *torque = snub_with_inertia(s->drive, pulley, *torque, inertia);
    return status == SNUB_OK;
}

static bool solve(slip_search *s)
{
    snub_status status = snub_solve(s->rig, s->wanted, s->e, s->error);
    if (status)
        s->status = status;
    return status == SNUB_OK;
}

/* Grip of the pulley in hand at a torque, less 1. A belt that is slack all round holds nothing. */
static bool over_capacity(double torque, double *value, void *context)
{
    slip_search *s = context;
    s->wanted->torque[s->pulley] = torque;
    snub_status status = snub_solve(s->rig, s->wanted, s->e, NULL);
    *value = status == SNUB_OK ? grip_of(s, s->pulley) - 1 : GRIP_MOST;
    return true;
}

static bool over_asked(double factor, double *value, void *context)
{
    slip_search *s = context;
    double torque;
    if (!ask(s, s->pulley, factor * s->slip->factor[s->rig->crank], &torque))
        return false;
    *value = torque - s->capacity;
    return true;
}

/* Shaft speed at which the pulley asks for no more than the belt carries. */
static snub_status settle_speed(slip_search *s, double asked)
{
    snub_slip *slip = s->slip;
    int p = s->pulley;
    double value;
    if (asked < 0) {
        slip->kind[p] = SNUB_SLIP_OVERRUN;
        slip->factor[p] = 1;
        return SNUB_OK;
    }
    if (!over_asked(FACTOR_LEAST, &value, s))
        return s->status;
    if (value >= 0) {
        slip->kind[p] = SNUB_SLIP_STALLED;
        slip->factor[p] = 0;
        return SNUB_OK;
    }
    slip->kind[p] = SNUB_SLIP_SLOWER;
    snub_status status = snub_root(over_asked, s, FACTOR_LEAST, 1, FACTOR_TOLERANCE, &slip->factor[p], s->error);
    if (status == SNUB_OK && slip->factor[p] < 2 * FACTOR_LEAST) {
        slip->kind[p] = SNUB_SLIP_STALLED;
        slip->factor[p] = 0;
    }
    return status;
}

/* One pulley, the others as they are: full torque where the belt carries it, else the torque of grip 1. */
static snub_status settle_pulley(slip_search *s, int pulley)
{
    double asked, value, before = s->wanted->torque[pulley];
    s->pulley = pulley;
    if (!ask(s, pulley, s->slip->factor[s->rig->crank], &asked))
        return s->status;
    const double near = TORQUE_TOLERANCE * fmax(fabs(asked), 1);
    double torque = asked;
    (void)over_capacity(asked, &value, s);
    if (value > 0) {
        snub_status status = snub_root(over_capacity, s, 0, asked, near, &torque, s->error);
        if (status)
            return status;
    }
    if (s->slip->kind[pulley] != SNUB_SLIP_NONE)
        torque = before + s->step * (torque - before);
    if (value <= 0 && fabs(asked - torque) <= near) {
        s->wanted->torque[pulley] = asked;
        s->slip->kind[pulley] = SNUB_SLIP_NONE;
        s->slip->factor[pulley] = 1;
        return SNUB_OK;
    }
    s->capacity = s->carried[pulley] = s->wanted->torque[pulley] = torque;
    return settle_speed(s, asked);
}

/* ---- the crank ---- */

/* With the belt at a factor of the crank's speed: loads, centrifugal force and the crank's grip, less 1. */
static bool crank_over(double factor, double *value, void *context)
{
    slip_search *s = context;
    snub_slip *slip = s->slip;
    for (int i = 0; i < s->drive->pulley_count; i++) {
        double torque;
        if (i == s->rig->crank)
            continue;
        if (!ask(s, i, factor * slip->factor[i], &torque))
            return false;
        /* one that slips by itself gets what the belt carries, or less where it asks less */
        bool slips = slip->kind[i] != SNUB_SLIP_NONE;
        s->wanted->torque[i] = slips ? copysign(fmin(fabs(s->carried[i]), fabs(torque)), torque) : torque;
    }
    s->wanted->engine_speed = factor * s->asked->engine_speed;
    slip->factor[s->rig->crank] = factor; /* its friction may go with how fast it slips */
    snub_status status = snub_solve(s->rig, s->wanted, s->e, NULL);
    *value = status == SNUB_OK ? grip_of(s, s->rig->crank) - 1 : GRIP_MOST;
    return true;
}

/* Force that the crank gives to the belt, N. */
static double crank_force(const slip_search *s)
{
    double total = 0;
    for (int i = 0; i < s->rig->n; i++)
        total += i == s->rig->crank ? 0 : s->wanted->torque[i] / fabs(s->rig->path.radius[i]);
    return total;
}

/* The crank slows faster than its grip can slow the belt: belt and pulleys follow a share of its rate. */
static bool crank_over_at_share(double share, double *value, void *context)
{
    slip_search *s = context;
    s->slip->followed = share;
    return crank_over(1, value, context);
}

static bool force_at_share(double share, double *value, void *context)
{
    slip_search *s = context;
    if (!crank_over_at_share(share, value, context))
        return false;
    *value = crank_force(s);
    return true;
}

/* Between the share at which the crank gives no force, and so needs no grip, and the whole rate. */
static snub_status settle_crank_overrun(slip_search *s, double before)
{
    double force, low = 0, share, value;
    s->slip->kind[s->rig->crank] = SNUB_SLIP_OVERRUN;
    if (!force_at_share(0, &force, s))
        return s->status;
    if (force > 0) {
        snub_status status = snub_root(force_at_share, s, 0, 1, FACTOR_TOLERANCE, &low, s->error);
        if (status)
            return status;
    }
    snub_status status = snub_root(crank_over_at_share, s, low, 1, FACTOR_TOLERANCE, &share, s->error);
    if (status == SNUB_OK)
        (void)crank_over_at_share(before + s->step * (share - before), &value, s);
    return status;
}

/* The crank holds: a share that was under 1 goes back there, in as many steps as are asked for. */
static snub_status release_crank(slip_search *s, double before)
{
    double value, share = before + s->step * (1 - before);
    if (1 - share <= FACTOR_TOLERANCE)
        share = 1;
    else
        s->slip->kind[s->rig->crank] = SNUB_SLIP_OVERRUN;
    return crank_over_at_share(share, &value, s) ? SNUB_OK : s->status;
}

/* A belt that stands on a turning crank: the loads share out what it can carry anywhere. */
static bool crank_over_standing(double share, double *value, void *context)
{
    slip_search *s = context;
    for (int i = 0; i < s->drive->pulley_count; i++)
        s->wanted->torque[i] = i == s->rig->crank ? 0 : share * s->carried[i];
    snub_status status = snub_solve(s->rig, s->wanted, s->e, NULL);
    double worst = 0;
    for (int i = 0; i < s->rig->n; i++)
        worst = fmax(worst, grip_of(s, i));
    *value = status == SNUB_OK ? worst - 1 : GRIP_MOST;
    return true;
}

static snub_status stall_crank(slip_search *s)
{
    double share;
    s->slip->kind[s->rig->crank] = SNUB_SLIP_STALLED;
    s->slip->factor[s->rig->crank] = 0;
    s->wanted->engine_speed = 0;
    for (int i = 0; i < s->drive->pulley_count; i++) {
        s->carried[i] = s->wanted->torque[i];
        if (i != s->rig->crank) {
            s->slip->kind[i] = SNUB_SLIP_NONE;
            s->slip->factor[i] = 1;
        }
    }
    return snub_root(crank_over_standing, s, 0, 1, FACTOR_TOLERANCE, &share, s->error);
}

static snub_status settle_crank(slip_search *s)
{
    int crank = s->rig->crank;
    bool slipped = s->slip->kind[crank] == SNUB_SLIP_SLOWER;
    double value, before = slipped ? s->slip->factor[crank] : 1, followed = s->slip->followed;
    s->slip->followed = 1;
    if (!crank_over(1, &value, s))
        return s->status;
    s->slip->factor[crank] = 1;
    s->slip->kind[crank] = SNUB_SLIP_NONE;
    if (value <= 0)
        return release_crank(s, followed);
    if (crank_force(s) < 0)
        return settle_crank_overrun(s, followed);
    if (!crank_over(FACTOR_LEAST, &value, s))
        return s->status;
    if (value >= 0)
        return stall_crank(s);
    s->slip->kind[crank] = SNUB_SLIP_SLOWER;
    double factor;
    snub_status status = snub_root(crank_over, s, FACTOR_LEAST, 1, FACTOR_TOLERANCE, &factor, s->error);
    if (status == SNUB_OK) {
        s->slip->factor[crank] = before + s->step * (factor - before);
        (void)crank_over(s->slip->factor[crank], &value, s);
    }
    return status;
}

/* The pulley whose grip is furthest over 1, or under it though it slips. -1: all agree. */
static int worst_pulley(const slip_search *s)
{
    if (s->slip->kind[s->rig->crank] == SNUB_SLIP_STALLED)
        return -1; /* the belt stands: said so */
    int worst = -1;
    double most = GRIP_TOLERANCE;
    for (int i = 0; i < s->rig->n; i++) {
        double off = grip_of(s, i) - 1;
        if (s->slip->kind[i] != SNUB_SLIP_NONE && s->slip->kind[i] != SNUB_SLIP_STALLED)
            off = fabs(off);
        if (off > most) {
            most = off;
            worst = i;
        }
    }
    return worst;
}

/* Slip speed at the pitch line and what it turns to heat. */
static void find_heat(slip_search *s)
{
    snub_slip *slip = s->slip;
    int crank = s->rig->crank;
    for (int i = 0; i < s->rig->n; i++) {
        if (slip->kind[i] == SNUB_SLIP_NONE)
            continue;
        slip->slipping++;
        double force = i == crank ? crank_force(s) : s->wanted->torque[i] / s->rig->path.radius[i];
        slip->speed[i] = slip_speed(s, i);
        if (slip->kind[i] == SNUB_SLIP_OVERRUN)
            slip->speed[i] = NAN;
        slip->heat[i] = slip->speed[i] * fabs(force);
    }
}

static snub_status settle_all(slip_search *s)
{
    for (int round = 0; round < ROUNDS_MOST; round++) {
        s->step = round < WHOLE_STEPS ? 1 : round < HALF_STEPS ? 0.5 : 0.1;
        if (!solve(s))
            return s->status;
        int worst = worst_pulley(s);
        if (worst < 0)
            return SNUB_OK;
        snub_status status = worst == s->rig->crank ? settle_crank(s) : settle_pulley(s, worst);
        if (status)
            return status;
    }
    return snub_fail(s->error, SNUB_NO_CONVERGENCE, NULL, NULL,
                     "pulleys that slip do not settle at a crank speed of %.0f rpm", s->asked->engine_speed / SNUB_RPM);
}

snub_status snub_slip_solve(const snub_drive *drive, const snub_rig *rig, const snub_slip_case *asked,
                            snub_case *wanted, snub_equilibrium *equilibrium, snub_slip *slip, snub_error *error)
{
    memset(slip, 0, sizeof *slip);
    memset(wanted, 0, sizeof *wanted);
    slip_search s = {
        .drive = drive, .rig = rig, .asked = asked, .wanted = wanted, .e = equilibrium, .slip = slip, .error = error};
    slip->followed = 1;
    wanted->engine_speed = asked->engine_speed;
    wanted->rate = asked->rate;
    wanted->side = asked->side;
    wanted->belt_length = asked->belt_length;
    for (int i = 0; i < drive->pulley_count; i++) {
        slip->factor[i] = 1;
        if (i != rig->crank && !ask(&s, i, 1, &wanted->torque[i]))
            return s.status;
    }
    snub_status status = settle_all(&s);
    if (status == SNUB_OK)
        find_heat(&s);
    else if (status == SNUB_BAD_INPUT && s.status == SNUB_OK) /* a root without a change of sign is no one's input */
        return snub_fail(error, SNUB_NO_CONVERGENCE, NULL, NULL, "slip finds no balance at a crank speed of %.0f rpm",
                         asked->engine_speed / SNUB_RPM);
    return status;
}

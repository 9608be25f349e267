/* Slip fed back: what the belt can carry, and how fast a shaft turns that is given no more. docs/theory/sweep.md */
#include <math.h>
#include <string.h>

#include "snub/sweep.h"

/* On grip, a plain number: 1e-7 of it is about 1e-7 of the torque. Rounds end when no pulley is out by more. */
#define GRIP_TOLERANCE 1e-7
#define TORQUE_TOLERANCE 1e-10 /* of the asked torque */
#define FACTOR_TOLERANCE 1e-10
#define FACTOR_LEAST 1e-4 /* a shaft slower than this, of its speed without slip, has stopped */
#define GRIP_MOST 1e3     /* stands for the infinite grip of a slack span */
enum { ROUNDS_MOST = 60 };

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

static double grip_of(const slip_search *s, int pulley)
{
    const snub_friction *limit = &s->drive->belt.limit;
    double friction = (s->drive->pulleys[pulley].side == SNUB_RIB ? limit->rib : limit->back) * s->asked->friction;
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
    *torque += factor * snub_inertia_torque(s->drive, pulley, s->asked->rate);
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
    double asked, value;
    s->pulley = pulley;
    if (!ask(s, pulley, s->slip->factor[s->rig->crank], &asked))
        return s->status;
    (void)over_capacity(asked, &value, s);
    if (value <= 0) {
        s->slip->kind[pulley] = SNUB_SLIP_NONE;
        s->slip->factor[pulley] = 1;
        return SNUB_OK;
    }
    double torque;
    snub_status status =
        snub_root(over_capacity, s, 0, asked, TORQUE_TOLERANCE * fmax(fabs(asked), 1), &torque, s->error);
    if (status)
        return status;
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
    snub_status status = snub_solve(s->rig, s->wanted, s->e, NULL);
    *value = status == SNUB_OK ? grip_of(s, s->rig->crank) - 1 : GRIP_MOST;
    return true;
}

static snub_status settle_crank(slip_search *s)
{
    int crank = s->rig->crank;
    double value;
    if (!crank_over(1, &value, s))
        return s->status;
    s->slip->factor[crank] = 1;
    s->slip->kind[crank] = SNUB_SLIP_NONE;
    if (value <= 0)
        return SNUB_OK;
    if (!crank_over(FACTOR_LEAST, &value, s))
        return s->status;
    if (value >= 0) {
        s->slip->kind[crank] = SNUB_SLIP_STALLED;
        s->slip->factor[crank] = FACTOR_LEAST;
        return SNUB_OK;
    }
    s->slip->kind[crank] = SNUB_SLIP_SLOWER;
    return snub_root(crank_over, s, FACTOR_LEAST, 1, FACTOR_TOLERANCE, &s->slip->factor[crank], s->error);
}

/* The pulley whose grip is furthest over 1, or under it though it slips. -1: all agree. */
static int worst_pulley(const slip_search *s)
{
    int worst = -1;
    double most = GRIP_TOLERANCE;
    for (int i = 0; i < s->rig->n; i++) {
        double off = grip_of(s, i) - 1;
        if (s->slip->kind[i] != SNUB_SLIP_NONE && s->slip->kind[i] != SNUB_SLIP_STALLED)
            off = fabs(off);
        if (i == s->rig->crank && s->slip->kind[i] == SNUB_SLIP_STALLED)
            continue; /* nothing turns any more; said so */
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
    const snub_slip_case *asked = s->asked;
    snub_slip *slip = s->slip;
    int crank = s->rig->crank;
    double belt = asked->engine_speed * fabs(s->rig->path.radius[crank]), total = 0;
    for (int i = 0; i < s->rig->n; i++) {
        if (slip->kind[i] == SNUB_SLIP_NONE)
            continue;
        slip->slipping++;
        if (i == crank)
            continue;
        bool overrun = slip->kind[i] == SNUB_SLIP_OVERRUN;
        slip->speed[i] = overrun ? NAN : belt * slip->factor[crank] * (1 - slip->factor[i]);
        slip->heat[i] = overrun ? NAN : slip->speed[i] * fabs(s->wanted->torque[i] / s->rig->path.radius[i]);
    }
    for (int i = 0; i < s->rig->n; i++)
        total += i == crank ? 0 : s->wanted->torque[i] / fabs(s->rig->path.radius[i]);
    if (slip->kind[crank] != SNUB_SLIP_NONE) {
        slip->speed[crank] = belt * (1 - slip->factor[crank]);
        slip->heat[crank] = slip->speed[crank] * fabs(total);
    }
}

static snub_status settle_all(slip_search *s)
{
    for (int round = 0; round < ROUNDS_MOST; round++) {
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
                     "pulleys that slip do not settle at a crank speed of %.0f rpm",
                     s->asked->engine_speed * 30 / SNUB_PI);
}

snub_status snub_slip_solve(const snub_drive *drive, const snub_rig *rig, const snub_slip_case *asked,
                            snub_case *wanted, snub_equilibrium *equilibrium, snub_slip *slip, snub_error *error)
{
    memset(slip, 0, sizeof *slip);
    memset(wanted, 0, sizeof *wanted);
    slip_search s = {
        .drive = drive, .rig = rig, .asked = asked, .wanted = wanted, .e = equilibrium, .slip = slip, .error = error};
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
    return status;
}

/* From an equilibrium to what each pulley and span sees: grip, creep, hub load, frequency. */
#include "expand.h"
#include "snub/balance.h"

#include <string.h>

/* ln of the ratio of two tensions, 0 where they are the same, INFINITY where the belt is slack. */
static double log_ratio(double tension_a, double tension_b)
{
    /* A pulley without torque needs no grip; the sides then differ by rounding only. SAME is a fraction of tension. */
    const double SAME = 1e-12;
    const double high = tension_a > tension_b ? tension_a : tension_b,
                 low = tension_a > tension_b ? tension_b : tension_a;
    if (high - low <= SAME * (fabs(high) > fabs(low) ? fabs(high) : fabs(low)))
        return 0.0;
    return low <= 0.0 ? INFINITY : log(high / low);
}

/* Of the grip that friction gives over the wrap. */
static double share_of_grip(double log_of_ratio, double friction, double wrap)
{
    return log_of_ratio == 0.0 ? 0.0 : wrap > 0.0 ? log_of_ratio / (friction * wrap) : INFINITY;
}

double snub_grip(double tension_a, double tension_b, double friction, double wrap)
{
    return share_of_grip(log_ratio(tension_a, tension_b), friction, wrap);
}

double snub_creep(double crank_entry, double entry, double stiffness)
{
    return (crank_entry - entry) / (stiffness + crank_entry);
}

void snub_design_grips(const snub_drive *drive, const snub_rig *rig, const snub_equilibrium *e, double *grip)
{
    double wrap[SNUB_PULLEYS_MOST];
    memcpy(wrap, rig->path.wrap, sizeof *wrap * (size_t)rig->n);
    if (rig->arm >= 0) {
        wrap[rig->before] = e->geometry.wrap[0];
        wrap[rig->arm] = e->geometry.wrap[1];
        wrap[rig->after] = e->geometry.wrap[2];
    }
    for (int i = 0; i < rig->n; i++) {
        const double in = e->tension + e->rise[i > 0 ? i - 1 : rig->n - 1] - e->centrifugal;
        const double out = e->tension + e->rise[i] - e->centrifugal;
        const snub_belt *belt = &drive->belt;
        const double friction = drive->pulleys[i].side == SNUB_RIB ? belt->design.rib : belt->design.back;
        grip[i] = snub_grip(in, out, friction, wrap[i]);
    }
}

/* Of its pulleys only: there is room for many more, and a chart does this for every case. */
static void copy_path(const snub_path *from, snub_path *to)
{
    const size_t n = (size_t)from->n;
    to->n = from->n;
    to->length = from->length;
    to->turns = from->turns;
    memcpy(to->centre, from->centre, n * sizeof from->centre[0]);
    memcpy(to->radius, from->radius, n * sizeof from->radius[0]);
    memcpy(to->u, from->u, n * sizeof from->u[0]);
    memcpy(to->span, from->span, n * sizeof from->span[0]);
    memcpy(to->wrap, from->wrap, n * sizeof from->wrap[0]);
}

static void lay_out(const snub_drive *drive, const snub_rig *rig, const snub_equilibrium *e, snub_path *path)
{
    copy_path(&rig->path, path);
    if (rig->arm < 0)
        return;
    snub_arm_point(&drive->pulleys[rig->arm].arm, e->wind, path->centre[rig->arm]);
    for (int k = 0; k < 2; k++)
        path->centre[rig->arm][k] *= rig->grown;
    for (int k = 0; k < 2; k++) {
        path->u[rig->before][k] = e->geometry.u[0][k];
        path->u[rig->arm][k] = e->geometry.u[1][k];
    }
    path->span[rig->before] = e->geometry.span[0];
    path->span[rig->arm] = e->geometry.span[1];
    path->wrap[rig->before] = e->geometry.wrap[0];
    path->wrap[rig->arm] = e->geometry.wrap[1];
    path->wrap[rig->after] = e->geometry.wrap[2];
    path->length = e->geometry.length;
    path->turns = e->geometry.valid ? 1 : 0;
}

/* A pulley that the belt enters along `u_in` and leaves along `u_out`. */
static void expand_pulley(const snub_drive *drive, const snub_rig *rig, const snub_case *wanted,
                          const snub_equilibrium *e, int i, const double u_in[2], const double u_out[2],
                          snub_pulley_state *state)
{
    const snub_belt *belt = &drive->belt;
    const int before = i > 0 ? i - 1 : rig->n - 1, last = rig->crank > 0 ? rig->crank - 1 : rig->n - 1;
    const bool rib = drive->pulleys[i].side == SNUB_RIB;
    const double radius = rig->path.radius[i];
    state->entry = e->tension + e->rise[before];
    state->exit = e->tension + e->rise[i];
    state->torque = i == rig->crank ? -e->rise[last] * fabs(radius) : wanted->torque[i];
    state->speed = e->belt_speed / radius;
    state->creep = snub_creep(e->tension + e->rise[last], state->entry, belt->stiffness);
    const double in = state->entry - e->centrifugal, out = state->exit - e->centrifugal;
    const double ratio = log_ratio(in, out), limit = rib ? belt->limit.rib : belt->limit.back;
    state->grip_design = share_of_grip(ratio, rib ? belt->design.rib : belt->design.back, state->wrap);
    state->grip_limit = share_of_grip(ratio, limit, state->wrap);
    state->grip_wet = share_of_grip(ratio, limit * (1.0 - belt->wet), state->wrap);
    state->slack = (in < out ? in : out) <= 0.0;
    for (int k = 0; k < 2; k++)
        state->hub[k] = out * u_out[k] - in * u_in[k];
}

void snub_expand_pulleys(const snub_drive *drive, const snub_rig *rig, const snub_case *wanted,
                         const snub_equilibrium *equilibrium, snub_pulley_state *pulley)
{
    const int n = rig->n, before = rig->arm >= 0 ? rig->before : -1, arm = rig->arm;
    const double(*u)[2] = rig->path.u;
    for (int i = 0; i < n; i++)
        pulley[i].wrap = rig->path.wrap[i];
    if (arm >= 0) {
        pulley[rig->before].wrap = equilibrium->geometry.wrap[0];
        pulley[arm].wrap = equilibrium->geometry.wrap[1];
        pulley[rig->after].wrap = equilibrium->geometry.wrap[2];
    }
    for (int i = 0; i < n; i++) {
        const int into = i > 0 ? i - 1 : n - 1;
        const double *enters = into == before ? equilibrium->geometry.u[0]
                               : into == arm  ? equilibrium->geometry.u[1]
                                              : u[into];
        const double *leaves = i == before ? equilibrium->geometry.u[0] : i == arm ? equilibrium->geometry.u[1] : u[i];
        expand_pulley(drive, rig, wanted, equilibrium, i, enters, leaves, &pulley[i]);
    }
}

void snub_expand(const snub_drive *drive, const snub_rig *rig, const snub_case *wanted,
                 const snub_equilibrium *equilibrium, snub_balance *balance)
{
    const snub_belt *belt = &drive->belt;
    balance->equilibrium = *equilibrium;
    lay_out(drive, rig, equilibrium, &balance->path);
    balance->spring_moment = rig->arm >= 0 ? rig->preload + rig->rate * equilibrium->wind : 0.0;
    snub_expand_pulleys(drive, rig, wanted, equilibrium, balance->pulley);
    for (int i = 0; i < rig->n; i++) {
        balance->span_tension[i] = balance->pulley[i].exit;
        const snub_free_span span = {balance->span_tension[i], belt->mass, belt->bending, equilibrium->belt_speed,
                                     balance->path.span[i]};
        balance->span_frequency[i] = snub_span_frequency(&span, 1);
    }
}

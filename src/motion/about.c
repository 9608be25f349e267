/* Small motion about a balance: how far each span stretches, and what springs back. */
#include "snub/motion.h"

#include <string.h>

/* Span i leaves pulley i and runs to the next. Turned in the sense of travel, the first pays belt out, the second draws
 * it in. */
static void turn_stretches(const snub_drive *drive, snub_motion *m)
{
    for (int i = 0; i < m->pulleys; i++) {
        const int next = (i + 1) % m->pulleys;
        m->stretch[i][i] -= drive->pulleys[i].pitch_radius;
        m->stretch[i][next] += drive->pulleys[next].pitch_radius;
    }
}

/* Change of the path on either side of the arm's pulley with wind, first and second: with a from the pivot to the
 * pulley, both spans directed with travel,
 *     d' = +- u . c',  d'' = (n . c')^2/L +- u . c'',  c' = turned a, c'' = -a,
 * + for the span that runs to the pulley. Wraps are counted in: docs/theory/motion.md. */
static void swing(const snub_drive *drive, const snub_balance *balance, snub_motion *m)
{
    const snub_arm_geometry *g = &balance->equilibrium.geometry;
    const int arm = drive->arm, before = (arm + m->pulleys - 1) % m->pulleys, at = m->count - 1;
    const double first[2] = {g->lever_in, -g->lever_out};
    const int span[2] = {before, arm};
    m->arm_stiffness = drive->pulleys[arm].arm.rate;
    for (int k = 0; k < 2; k++) {
        const double along = g->reach[0] * g->u[k][0] + g->reach[1] * g->u[k][1];
        const double second = along * along / g->span[k] + (k == 0 ? -along : along);
        m->stretch[span[k]][at] += first[k];
        m->across[span[k]] = along;
        m->beside_arm[span[k]] = true;
        /* The tractive tension: what the momentum of the running belt takes off pulls at no pulley. */
        m->arm_stiffness += (balance->span_tension[span[k]] - balance->equilibrium.centrifugal) * second;
    }
}

static void add_up(snub_motion *m)
{
    for (int i = 0; i < m->pulleys; i++) {
        for (int a = 0; a < m->count; a++) {
            for (int b = 0; b < m->count && m->stretch[i][a] != 0.0; b++)
                m->stiffness[a * m->count + b] += m->spring[i] * m->stretch[i][a] * m->stretch[i][b];
        }
    }
    if (m->arm_moves)
        m->stiffness[m->count * m->count - 1] += m->arm_stiffness;
}

void snub_motion_about(const snub_drive *drive, const snub_balance *balance, const snub_inertias *inertias,
                       snub_motion *motion)
{
    memset(motion, 0, sizeof *motion);
    motion->pulleys = drive->pulley_count;
    motion->crank = drive->crank;
    motion->arm_moves = drive->arm >= 0 && balance->equilibrium.arm == SNUB_ARM_FREE;
    motion->count = motion->pulleys + (motion->arm_moves ? 1 : 0);
    for (int i = 0; i < motion->pulleys; i++) {
        motion->inertia[i] = inertias->pulley[i];
        motion->shaft[i] = inertias->rim[i] > 0.0 ? inertias->pulley[i] - inertias->rim[i] : 0.0;
        motion->torque[i] = balance->pulley[i].torque;
        motion->spring[i] = drive->belt.stiffness / balance->path.span[i];
        motion->span[i] = balance->path.span[i];
        motion->tension[i] = balance->span_tension[i];
        motion->arc[i] = drive->pulleys[i].pitch_radius * balance->path.wrap[i];
    }
    motion->belt_stiffness = drive->belt.stiffness;
    motion->belt_mass = drive->belt.mass;
    motion->belt_speed = balance->equilibrium.belt_speed;
    turn_stretches(drive, motion);
    if (motion->arm_moves) {
        motion->inertia[motion->count - 1] = inertias->arm;
        motion->friction = drive->pulleys[drive->arm].arm.damping * balance->spring_moment;
        swing(drive, balance, motion);
    }
    add_up(motion);
}

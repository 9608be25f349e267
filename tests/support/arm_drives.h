/** Drives with an arm for tests of the equilibrium, beside those by chance. */
#ifndef TESTS_ARM_DRIVES_H
#define TESTS_ARM_DRIVES_H

#include "support/random_drive.h"

/** A soft belt and an arm with a weak spring that swings from far out on one side to far out on the other: it stands on
 *  the way in and on the way out, and the last position is the one. */
#define SEVERAL_POSITIONS                                                                                              \
    "snub: 1\n"                                                                                                        \
    "engine: {idle: 800, redline: 6000}\n"                                                                             \
    "belt: {ribs: 6, length: 1013.5, stiffness: 500}\n"                                                                \
    "pulleys:\n"                                                                                                       \
    "  - {name: crank, role: crank, at: [0, 0], diameter: 150}\n"                                                      \
    "  - {name: tensioner, side: back, diameter: 60,\n"                                                                \
    "     arm: {pivot: [8.1, 215.5], length: 93.1, free: 34.8, loads: ccw, travel: 134,\n"                             \
    "           preload: 3, rate: 0.05, work: [1, 133]}}\n"                                                            \
    "  - {name: pump, at: [-20, 320], diameter: 70}\n"

/** Crank and one pulley on an arm, upright at free; the belt pulls it over towards the crank. Both arcs are moved by
 *  both spans. */
static inline void two_on_an_arm(plain_drive *p)
{
    const double centre[2][2] = {{0, 0}, {0.3, 0}}, radius[2] = {0.07, 0.05};
    plain_drive_init(p, 2, centre, radius);
    p->drive.belt.measuring_tension = 300;
    p->drive.arm = 1;
    p->pulleys[1].sits = SNUB_ON_ARM;
    p->pulleys[1].arm = (snub_arm){.pivot = {0.3, -0.1},
                                   .length = 0.1,
                                   .free = SNUB_PI / 2 - 0.3,
                                   .loads = 1,
                                   .travel = 0.7,
                                   .preload = 60,
                                   .rate = 100,
                                   .damping = 0.2};
}

/** Pitch length of a belt for it, of the d-th that is 2 mm shorter than the one before, m. */
static inline double length_for_two(int d)
{
    return 0.6 + SNUB_PI * 0.12 - 0.002 * d;
}

/** From `back` rad further out and with so much more travel, where the belt may be off. */
static inline void swing_further_out(plain_drive *p, double back, double more)
{
    snub_arm *arm = &p->pulleys[p->drive.arm].arm;
    arm->free -= arm->loads * back;
    arm->travel += more;
}

/** A belt length with which a rig without torque at standstill balances in the j-th cell that has lost the belt at one
 *  end, between the last good wind and the cell's good end.
 *  @return false: there is none */
static inline bool length_in_cut_cell(const snub_rig *rig, int j, double side, double *length)
{
    const snub_wind_edge *edge = &rig->edge[j];
    const bool comes = rig->grid[edge->cell + 1].valid;
    const double end = rig->travel * (edge->cell + (comes ? 1 : 0)) / SNUB_WIND_GRID;
    const snub_case wanted = {.side = side};
    return snub_length_for_wind(rig, &wanted, edge->wind + 0.4 * (end - edge->wind), length);
}

#endif

/** Belt drives in numbers for tests of motion, and a loaded one of five pulleys with an arm (derived; inputs chosen for
 * the check). */
#ifndef TESTS_FIVE_PULLEYS_H
#define TESTS_FIVE_PULLEYS_H

#include "snub/motion.h"
#include "support/near.h"
#include "support/plain_drive.h"

enum { MOST = 5 };

typedef struct chosen {
    int n, arm;                           /* -1: none */
    double centre[MOST][2], radius[MOST]; /* > 0: rib */
    double inertia[MOST], arm_inertia, pivot[2], rate, stiffness, centrifugal, total[MOST];
} chosen;

static const chosen five = {5,
                            2,
                            {{0, 0}, {0.22, 0.1}, {0.085, 0.205}, {-0.02, 0.34}, {-0.23, 0.17}},
                            {0.08, 0.065, -0.036, 0.042, 0.028},
                            {0.09, 0.0016, 0.00021, 0.0048, 0.0031},
                            0.00145,
                            {0.02, 0.165},
                            62,
                            165000,
                            60.48, /* 0.105 kg/m, 24 m/s */
                            {440.48, 478.94153846153847, 478.94153846153847, 812.2748717948718, 955.1320146520147}};

/* The crank turns counter-clockwise; the arm's wind is its angle counter-clockwise from the given place. */
static inline void set_up(const chosen *c, plain_drive *p, snub_motion *motion)
{
    snub_rig rig;
    snub_balance balance = {0};
    snub_inertias inertias = {.arm = c->arm_inertia};
    plain_drive_init(p, c->n, c->centre, c->radius);
    p->drive.turn = -1.0;
    p->drive.arm = c->arm;
    p->drive.belt.stiffness = c->stiffness;
    if (c->arm >= 0) {
        const double x = c->centre[c->arm][0] - c->pivot[0], y = c->centre[c->arm][1] - c->pivot[1];
        p->pulleys[c->arm].sits = SNUB_ON_ARM;
        p->pulleys[c->arm].arm = (snub_arm){.pivot = {c->pivot[0], c->pivot[1]},
                                            .length = hypot(x, y),
                                            .free = atan2(y, x),
                                            .loads = 1,
                                            .travel = 0.1,
                                            .rate = c->rate};
    }
    assert_int_equal(snub_rig_prepare(&p->drive, NULL, &rig, NULL), SNUB_OK);
    balance.path = rig.path;
    balance.equilibrium.arm = c->arm >= 0 ? SNUB_ARM_FREE : SNUB_ARM_NONE;
    balance.equilibrium.centrifugal = c->centrifugal;
    if (c->arm >= 0)
        assert_true(snub_arm_lay(&rig, 0.0, &balance.equilibrium.geometry));
    memcpy(balance.span_tension, c->total, sizeof c->total);
    memcpy(inertias.pulley, c->inertia, sizeof c->inertia);
    snub_motion_about(&p->drive, &balance, &inertias, motion);
}

#endif

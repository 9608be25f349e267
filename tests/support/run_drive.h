/** A drive in numbers that runs in time, for tests: as little as the equations need. */
#ifndef TESTS_RUN_DRIVE_H
#define TESTS_RUN_DRIVE_H

#include "snub/motion_run.h"
#include "support/near.h"
#include "support/plain_drive.h"

typedef struct run_drive {
    plain_drive plain;
    snub_rig rig;
    snub_run_model model;
    snub_run_start start;
    double (*speed)(double time);      /**< of the crank, rad/s */
    double mean;                       /**< rad/s */
    double torque[PLAIN_PULLEYS_MOST]; /**< of each shaft while it turns, N m */
    double ramp; /**< s in which the torques rise, whether the shafts turn or not; 0: they are there from the start */
} run_drive;

static void run_drive_crank(const void *context, double time, snub_run_crank *crank)
{
    const run_drive *d = context;
    *crank = (snub_run_crank){.mean = d->mean, .now = d->speed(time)};
}

static double run_drive_torque(const void *context, int pulley, double time, double speed)
{
    const run_drive *d = context;
    if (d->ramp > 0.0)
        return d->torque[pulley] * fmin(time / d->ramp, 1.0);
    return speed > 0.0 ? d->torque[pulley] : 0.0;
}

/** n pulleys, the crank first, all spans at one tension; the arm's pulley in its free position.
 *  @param[in] arm  index, -1: none; from the pivot to its centre */
static inline void run_drive_init(run_drive *d, int n, const double (*centre)[2], const double *radius, int arm,
                                  const double pivot[2], double stiffness, double mass)
{
    memset(d, 0, sizeof *d);
    plain_drive_init(&d->plain, n, centre, radius);
    d->plain.drive.belt.stiffness = stiffness;
    d->plain.drive.belt.mass = mass;
    d->plain.drive.arm = arm;
    if (arm >= 0) {
        const double x = centre[arm][0] - pivot[0], y = centre[arm][1] - pivot[1];
        d->plain.pulleys[arm].sits = SNUB_ON_ARM;
        d->plain.pulleys[arm].arm = (snub_arm){
            .pivot = {pivot[0], pivot[1]}, .length = hypot(x, y), .free = atan2(y, x), .loads = 1, .travel = 1.0};
    }
    assert_int_equal(snub_rig_prepare(&d->plain.drive, NULL, &d->rig, NULL), SNUB_OK);
    d->model = (snub_run_model){.rig = &d->rig,
                                .arm_free = arm >= 0,
                                .arm_inertia = 1e-3,
                                .stops = {-1.0, 1.0},
                                .slip_drag = 10.0,
                                .crank_at = run_drive_crank,
                                .torque_at = run_drive_torque,
                                .context = d};
    for (int i = 0; i < n; i++) {
        d->model.inertia[i] = 1e-3;
        d->model.friction[i] = 100.0; /* holds */
    }
}

static inline void run_drive_go(run_drive *d, double length, double sample, double tolerance, snub_arena *arena,
                                snub_run_result *result)
{
    snub_error error = {0};
    const snub_run_request request = {.length = length, .sample = sample, .tolerance = tolerance};
    const snub_status status = snub_run(&d->model, &d->start, &request, arena, result, &error);
    if (status != SNUB_OK || !result->whole)
        print_error("%s %s\n", error.message, result->why.message);
    assert_int_equal(status, SNUB_OK);
    assert_true(result->whole);
}

#endif

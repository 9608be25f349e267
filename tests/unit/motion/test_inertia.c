/* Inertias that a file leaves out: the rules of thumb of docs/theory/motion.md, worked out by hand; and that a given
 * one stands. */
#include "snub/motion.h"
#include "support/near.h"
#include "support/plain_drive.h"

static const double CENTRE[4][2] = {{0, 0}, {0.3, 0}, {0.3, 0.3}, {0, 0.3}}, RADIUS[4] = {0.08, 0.04, 0.05, 0.03};
/* 2 pi 7850 0.003 = 147.969 kg/m2, times width 0.02 m and radius cubed */
static const double RIM_40 = 1.89400e-4, RIM_50 = 3.69922e-4, RIM_30 = 7.99031e-5;

static void set_up(plain_drive *p)
{
    plain_drive_init(p, 4, CENTRE, RADIUS);
    for (int i = 0; i < 4; i++)
        p->pulleys[i].width = 0.02;
}

static void pulleys(void **state)
{
    (void)state;
    plain_drive p;
    snub_inertias j;
    set_up(&p);
    p.pulleys[2].load.n = 2;
    p.pulleys[3].load_by_boost.nx = 2;
    snub_inertias_of(&p.drive, &j);
    assert_near("rim", j.pulley[1], RIM_40, 1e-9, "kg m2");
    assert_near("accessory", j.pulley[2], RIM_50 + 0.0025, 1e-9, "kg m2");
    assert_near("accessory, load by boost", j.pulley[3], RIM_30 + 0.0025, 1e-9, "kg m2");
    assert_int_equal(j.pulley_from[1], SNUB_INERTIA_RIM);
    assert_int_equal(j.pulley_from[3], SNUB_INERTIA_DRIVEN);
    p.pulleys[2].inertia = 0.003;
    snub_inertias_of(&p.drive, &j);
    assert_near("given", j.pulley[2], 0.003, 0, "kg m2");
    assert_int_equal(j.pulley_from[2], SNUB_INERTIA_GIVEN);
    assert_true(isnan(j.arm));
}

/* A rim is no more than half of the whole. */
static void rims_that_overrun(void **state)
{
    (void)state;
    plain_drive p;
    snub_inertias j;
    set_up(&p);
    p.pulleys[0].overruns = p.pulleys[1].overruns = p.pulleys[2].overruns = true;
    p.pulleys[1].inertia = 0.003;
    p.pulleys[2].inertia = 0.0005;
    snub_inertias_of(&p.drive, &j);
    assert_near("not the crank's", j.rim[0], 0.0, 0.0, "kg m2");
    assert_near("of its size", j.rim[1], RIM_40, 1e-9, "kg m2");
    assert_near("half of it", j.rim[2], 0.00025, 0.0, "kg m2");
    assert_near("does not overrun", j.rim[3], 0.0, 0.0, "kg m2");
}

static void blowers(void **state)
{
    (void)state;
    plain_drive p;
    snub_inertias j;
    double flow[2] = {0.1, 1.0};
    snub_map_line lines[2] = {{.n = 1, .flow = flow}, {.n = 2, .flow = flow}};
    set_up(&p);
    p.pulleys[1].has_blower = p.pulleys[2].has_blower = p.pulleys[3].has_blower = true;
    p.pulleys[1].blower = (snub_blower){.kind = SNUB_ROOTS, .swept = 8e-3};
    p.pulleys[2].blower = (snub_blower){.kind = SNUB_TWIN_SCREW, .swept = 2e-3, .step_up = 2};
    p.pulleys[3].blower = (snub_blower){.kind = SNUB_CENTRIFUGAL, .step_up = 3, .design_flow = 0.25};
    snub_inertias_of(&p.drive, &j);
    assert_near("8 L: 32 times", j.pulley[1], RIM_40 + 0.0512, 1e-9, "kg m2");
    assert_near("1 L per rotor turn, step-up 2", j.pulley[2], RIM_50 + 0.0064, 1e-9, "kg m2");
    assert_near("0.25 m3/s, step-up 3", j.pulley[3], RIM_30 + 9 * 2.2e-4, 1e-9, "kg m2");
    p.pulleys[3].blower.map = lines;
    p.pulleys[3].blower.map_lines = 2;
    snub_inertias_of(&p.drive, &j);
    assert_near("a map to 1 m3/s: 32 times", j.pulley[3], RIM_30 + 32 * 9 * 2.2e-4, 1e-9, "kg m2");
    assert_int_equal(j.pulley_from[2], SNUB_INERTIA_ROTORS);
    assert_int_equal(j.pulley_from[3], SNUB_INERTIA_IMPELLER);
}

static void crank_and_arm(void **state)
{
    (void)state;
    plain_drive p;
    snub_inertias j;
    set_up(&p);
    p.drive.arm = 1;
    p.pulleys[1].sits = SNUB_ON_ARM;
    p.pulleys[1].inertia = 0.00032; /* 0.2 kg at 40 mm */
    p.pulleys[1].arm.length = 0.06;
    p.pulleys[0].inertia = 0.01;
    snub_inertias_of(&p.drive, &j);
    assert_true(isnan(j.pulley[0]));
    assert_int_equal(j.pulley_from[0], SNUB_INERTIA_UNKNOWN);
    assert_near("arm", j.arm, 7.0 / 6.0 * 0.2 * 0.0036, 1e-12, "kg m2");
    p.drive.engine.displacement = 5e-3;
    snub_inertias_of(&p.drive, &j);
    assert_near("5 L, and the crank's pulley", j.pulley[0], 0.36, 1e-12, "kg m2");
    assert_int_equal(j.pulley_from[0], SNUB_INERTIA_CRANKSHAFT);
    p.drive.engine.inertia = 0.2;
    p.pulleys[1].arm.inertia = 0.001;
    snub_inertias_of(&p.drive, &j);
    assert_near("given, and the crank's pulley", j.pulley[0], 0.21, 1e-12, "kg m2");
    assert_near("arm given", j.arm, 0.001, 0, "kg m2");
    assert_int_equal(j.arm_from, SNUB_INERTIA_GIVEN);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(pulleys), cmocka_unit_test(rims_that_overrun),
                                       cmocka_unit_test(blowers), cmocka_unit_test(crank_and_arm)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Khurmi and Gupta, Theory of Machines, example 11.1: an engine at 150 rpm drives a line shaft, that a dynamo, by
 * pulleys of 750 on 450 and 900 on 150 mm; with 2 % slip at each drive the dynamo turns at 1440 rpm. */
#include "balance/expand.h"
#include "support/near.h"
#include "support/plain_drive.h"

static double driven_speed(double driver_mm, double driven_mm, double speed)
{
    const double centre[2][2] = {{0, 0}, {1.5, 0}}, radius[2] = {driver_mm * 0.5e-3, driven_mm * 0.5e-3};
    plain_drive p;
    snub_rig rig;
    snub_equilibrium e;
    snub_balance b;
    snub_case wanted = {.engine_speed = speed};
    plain_drive_init(&p, 2, centre, radius);
    assert_int_equal(snub_rig_prepare(&p.drive, NULL, &rig, NULL), SNUB_OK);
    wanted.belt_length = plain_length_for(&p, &rig.path, 500);
    assert_int_equal(snub_solve(&rig, &wanted, &e, NULL), SNUB_OK);
    snub_expand(&p.drive, &rig, &wanted, &e, &b);
    return b.pulley[1].speed;
}

static void example_11_1(void **state)
{
    (void)state;
    const double rpm = SNUB_PI / 30, slip = 0.98;
    const double line = driven_speed(750, 450, 150 * rpm), dynamo = driven_speed(900, 150, line);
    assert_near("without slip", dynamo / rpm, 1500, 1e-9, "rpm");
    const double slipping = driven_speed(900, 150, driven_speed(750, 450, 150 * rpm) * slip) * slip;
    assert_near("with slip, print", slipping / rpm, 1440, 1, "rpm");
    assert_near("with slip, exact", slipping / rpm, 1440.6, 1e-9, "rpm");
}

/* The same chapter, example 11.2: a pulley of 1 m at 200 rpm drives one of 2.25 m; stress 1.4 and 0.5 N/mm2 in the
 * tight and the slack side, modulus 100 N/mm2. The book puts roots of the stresses into its formula, which no unit
 * allows; what is held here is the formula with the stresses themselves, worked out by hand: 200/2.25 (1 + 0.5/100)/(1
 * + 1.4/100). */
static void example_11_2(void **state)
{
    (void)state;
    const double rpm = SNUB_PI / 30, creep = snub_creep(1.4, 0.5, 100);
    assert_near("creep", creep, 0.00887573964497057, 1e-15, "");
    assert_near("speed with creep", driven_speed(1000, 2250, 200 * rpm) * (1 - creep) / rpm, 88.09993425378039, 1e-9,
                "rpm");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(example_11_1), cmocka_unit_test(example_11_2)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

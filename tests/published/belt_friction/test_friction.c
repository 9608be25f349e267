/* Budynas and Nisbett, Shigley's Mechanical Engineering Design, 10th ed.: example 17-3. The book calls the tension
 * ratio that the belt could hold exp(f pi) = 3.0; F1 = 63.8, F2 = 48.8 lbf, developed friction 0.0853. */
#include "support/near.h"
#include "support/plain_drive.h"

static void example_17_3(void **state)
{
    (void)state;
    const double f = 0.35, torque = 30, diameter = 4;
    /* Slip where all friction is used. */
    assert_near("ratio at slip", exp(f * SNUB_PI), 3.0, 0.01, "");
    assert_near("grip at that ratio", snub_grip(exp(f * SNUB_PI), 1, f, SNUB_PI), 1, 1e-14, "");
    const double f1 = 63.8, f2 = 48.8;
    assert_near("F1 - F2", f1 - f2, 2 * torque / diameter, 1e-9, "lbf");
    assert_near("developed friction", snub_grip(f1, f2, f, SNUB_PI) * f, 0.0853, 0.00005, "");
}

/* The pull of 17-3 laid on a drive: two equal pulleys, 15 lbf between the sides. */
static void example_17_3_balanced(void **state)
{
    (void)state;
    const double centre[2][2] = {{0, 0}, {0.4, 0}}, radius[2] = {2 * 0.0254, 2 * 0.0254};
    const double lbf = 4.4482216152605;
    plain_drive p;
    snub_rig rig;
    snub_equilibrium e;
    snub_balance b;
    snub_case wanted = {.engine_speed = 1e-3};
    plain_drive_init(&p, 2, centre, radius);
    p.drive.belt.design.rib = 0.35;
    assert_int_equal(snub_rig_prepare(&p.drive, NULL, &rig, NULL), SNUB_OK);
    wanted.torque[1] = 30 * lbf * 0.0254;
    /* Equal wraps and spans: the belt is at the mean of its sides. */
    wanted.belt_length = plain_length_for(&p, &rig.path, (63.8 + 48.8) / 2 * lbf);
    assert_int_equal(snub_solve(&rig, &wanted, &e, NULL), SNUB_OK);
    snub_expand(&p.drive, &rig, &wanted, &e, &b);
    assert_near("F1", b.pulley[0].entry / lbf, 63.8, 1e-6, "lbf");
    assert_near("F2", b.pulley[0].exit / lbf, 48.8, 1e-6, "lbf");
    assert_near("developed friction", b.pulley[1].grip_design * 0.35, 0.0853, 0.00005, "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(example_17_3), cmocka_unit_test(example_17_3_balanced)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

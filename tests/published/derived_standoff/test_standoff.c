/* A standoff of 25/10.5 x 60 mm of steel under 2 kN, worked out from the formulas of beams (derived); and the
 * cantilever with a force and a moment, P L^3/3EI + M L^2/2EI, and with a force short of its tip, as every table of
 * beams has it. */
#include "snub/mount.h"
#include "support/near.h"

static void standoff(void **state)
{
    (void)state;
    const double inertia = snub_annulus_inertia(0.025, 0.0105), area = snub_annulus_area(0.025, 0.0105);
    assert_near("I", inertia * 1e12, 18578.1, 0.05, "mm4");
    assert_near("A", area * 1e6, 404.28, 0.005, "mm2");
    const snub_bend bend = snub_cantilever(2000, 0.060, 0, 0.060, 207e9 * inertia);
    assert_near("deflection", bend.deflection * 1e3, 0.03744, 5e-6, "mm");
    assert_near("slope", bend.slope, 0.000936, 5e-7, "rad");
    assert_near("slope", bend.slope * 180 / SNUB_PI, 0.0536, 5e-5, "deg");
    assert_near("stress", 2000 * 0.060 * 0.0125 / inertia / 1e6, 80.74, 0.005, "MPa");
    assert_near("least preload", 2000 * 0.060 / snub_no_gap_moment(1, 0.025, 0.0105), 32642, 0.5, "N");
}

static void beams(void **state)
{
    (void)state;
    const snub_bend both = snub_cantilever(300, 0.2, 40, 0.2, 1000);
    assert_near("tip", both.deflection, 300 * 0.008 / 3000 + 40 * 0.04 / 2000, 1e-15, "m");
    assert_near("slope", both.slope, 300 * 0.04 / 2000 + 40 * 0.2 / 1000, 1e-15, "rad");
    const snub_bend part = snub_cantilever(300, 0.12, 0, 0.2, 1000);
    assert_near("load short of the tip", part.deflection, 300 * 0.0144 * (0.6 - 0.12) / 6000, 1e-15, "m");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(standoff), cmocka_unit_test(beams)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

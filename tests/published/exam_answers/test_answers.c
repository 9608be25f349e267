/* Answers printed with engineering examinations: a small bolt group, a bearing's life from C/P; and the cantilever of
 * an exam key with its derived standoff. */
#include "snub/mount.h"
#include "support/near.h"

static void small_group(void **state)
{
    (void)state;
    snub_group_bolt bolts[4] = {
        {{0.040, 0.030}, 1, 0, 0}, {{0.040, -0.030}, 1, 0, 0}, {{-0.040, 0.030}, 1, 0, 0}, {{-0.040, -0.030}, 1, 0, 0}};
    const double force[3] = {0, -10000, 0}, at[3] = {0.100, 0, 0};
    snub_wrench w = {{0}, {0}};
    snub_wrench_add(&w, force, at);
    snub_group_share s[4];
    assert_int_equal(snub_group_share_out(bolts, 4, &w, s, NULL), SNUB_OK);
    double most = 0;
    for (int i = 0; i < 4; i++)
        most = fmax(most, hypot(s[i].shear[0], s[i].shear[1]));
    assert_near("greatest", most / 1e3, 7.16, 0.005, "kN");
    assert_near("greatest, recomputed", most / 1e3, 7.1589, 5e-5, "kN");
}

static void ratio(void **state)
{
    (void)state;
    const double one_turn_a_second = 2 * SNUB_PI;
    assert_near("L10", snub_bearing_life(16, 2, one_turn_a_second) / 1e6, 512, 1e-9, "million turns");
}

/* Derived: standoff 25/10.5 x 60, 2 kN, steel. */
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

/* P L^3/3EI + M L^2/2EI (exam key), and a load short of the tip (beam table). */
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
    const struct CMUnitTest tests[] = {cmocka_unit_test(small_group), cmocka_unit_test(ratio),
                                       cmocka_unit_test(standoff), cmocka_unit_test(beams)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

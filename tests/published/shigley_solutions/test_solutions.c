/* Solutions to Shigley's Mechanical Engineering Design (9th ed. unless named): 6-1 (11th), 7-1, 8-2, 8-22, 8-48 and the
 * M30 bolt of ch. 8. */
#include "drive/tables.h"
#include "snub/mount.h"
#include "support/near.h"

/* 8-2: stress areas; derived to three decimals. */
static void areas(void **state)
{
    (void)state;
    static const double want[][3] = {
        {6, 1, 20.123}, {8, 1.25, 36.608}, {10, 1.5, 57.989}, {12, 1.75, 84.266}, {14, 2, 115.439}};
    for (int i = 0; i < 5; i++)
        assert_near("As", snub_stress_area(want[i][0] * 1e-3, want[i][1] * 1e-3) * 1e6, want[i][2], 6e-4, "mm2");
}

/* 6-1, 11th ed., with that edition's constants of a ground surface. */
static void solution_6_1(void **state)
{
    (void)state;
    const double sut = 1020e6;
    const snub_marin none = {1, 1, 1, 1, 1, 1};
    assert_near("Se'", snub_endurance(sut, &none) / 1e6, 510, 1e-9, "MPa");
    const snub_marin m = {snub_marin_surface(sut, 1.38, -0.067), snub_marin_size(0.010), 1, 1, 1, 1};
    assert_near("ka", m.surface, 0.868, 5e-4, "");
    assert_near("kb", m.size, 0.969, 5e-4, "");
    assert_near("Se", snub_endurance(sut, &m) / 1e6, 429, 0.5, "MPa");
}

/* 7-1: diameter of a turning shaft by Goodman, for a safety of 2; psi and in are only a scale here. */
static void solution_7_1(void **state)
{
    (void)state;
    const double ma = 2.2 * 600, ta = 1.8 * 400, mm = 2.2 * 500, tm = 1.8 * 300;
    const double a = sqrt(4 * ma * ma + 3 * ta * ta), b = sqrt(4 * mm * mm + 3 * tm * tm);
    assert_near("A", a, 2920, 0.5, "lbf in");
    assert_near("B", b, 2391, 1, "lbf in");
    /* the diameter to half of its last digit; the safety goes by its cube */
    const double section = SNUB_PI / 16 * 1.073 * 1.073 * 1.073;
    assert_near("n at 1.073 in", snub_goodman(2920 / section, 2391 / section, 30000, 100000), 2, 2 * 3 * 5e-4 / 1.073,
                "");
}

/* One frustum, by a plate twice as thick: two of them, one after the other. */
static double frustum(double thickness, double small, double hole, double modulus)
{
    const snub_clamped plate = {2 * thickness, modulus};
    return 2 * snub_member_stiffness(&plate, 1, small, hole);
}

/* 8-22: M12 8.8 through steel and cast iron. */
static void solution_8_22(void **state)
{
    (void)state;
    const double kb = snub_bolt_stiffness(113e-6, 84.3e-6, 0.030, 0.015, 207e9);
    assert_near("kb", kb / 1e6, 466.8, 0.05, "MN/m");
    assert_near("k1", frustum(0.020, 0.018, 0.012, 207e9) / 1e6, 4470, 1, "MN/m");
    assert_near("k2", frustum(0.0025, 0.04109, 0.012, 100e9) / 1e6, 52230, 30, "MN/m");
    assert_near("k3", frustum(0.0225, 0.018, 0.012, 100e9) / 1e6, 2074, 1, "MN/m");
    const snub_clamped parts[] = {{0.020, 207e9}, {0.025, 100e9}};
    const double km = snub_member_stiffness(parts, 2, 0.018, 0.012);
    assert_near("km", km / 1e6, 1379, 1, "MN/m");
    assert_near("C", kb / (kb + km), 0.253, 5e-4, "");
    assert_near("Fi", 0.75 * 84.3e-6 * 600e6 / 1e3, 37.9, 0.05, "kN");
    const snub_bolt_load load = {37.9e3, 37.9e3, 0, 10.6e3};
    const snub_bolt_joint j = snub_bolt_judge(0.253, 84.3e-6, 600e6, 129e6, 830e6, &load);
    /* printed 4.73; its own numbers make 4.717 */
    assert_near("nL", j.overload, 4.73, 0.015, "");
}

/* 8-48: three bolts in a row 50 mm apart, F at 201 mm from the middle one, the worst sees 2.343 F. */
static void solution_8_48(void **state)
{
    (void)state;
    snub_group_bolt bolts[3] = {{{-0.05, 0}, 1, 0, 0}, {{0, 0}, 1, 0, 0}, {{0.05, 0}, 1, 0, 0}};
    const double force[3] = {0, -1, 0}, at[3] = {0.201, 0, 0};
    snub_wrench w = {{0}, {0}};
    snub_wrench_add(&w, force, at);
    snub_group_share s[3];
    assert_int_equal(snub_group_share_out(bolts, 3, &w, s, NULL), SNUB_OK);
    const double worst = hypot(s[2].shear[0], s[2].shear[1]);
    assert_near("worst over F", worst, 2.343, 5e-4, "");
    assert_near("allowed F", 113.1e-6 * 242.3e6 / (2.8 * worst) / 1e3, 4.18, 0.005, "kN");
    assert_near("sum", s[0].shear[1] + s[1].shear[1] + s[2].shear[1], -1, 1e-12, "N");
}

/* M30 of ch. 8, P from nothing to 80 kN. */
static void bolt_m30(void **state)
{
    (void)state;
    const double at = 561e-6;
    const snub_bolt_load load = {252.45e3, 252.45e3, 0, 80e3};
    const snub_bolt_joint j = snub_bolt_judge(0.33, at, 600e6, 129e6, 830e6, &load);
    assert_near("initial", 252.45e3 / at / 1e6, 450, 0.05, "MPa");
    assert_near("alternating", j.alternating / 1e6, 23.53, 0.005, "MPa");
    assert_near("nL", j.overload, 3.19, 0.005, "");
    assert_near("n0", j.separate, 4.71, 0.005, "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(areas),         cmocka_unit_test(solution_6_1),
                                       cmocka_unit_test(solution_7_1),  cmocka_unit_test(solution_8_22),
                                       cmocka_unit_test(solution_8_48), cmocka_unit_test(bolt_m30)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

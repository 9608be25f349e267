/* Arc of contact factors: the pull that a belt may take at a wrap, over that at 180 deg.
 * V-belts: 0.143543 + 0.007468 a - 0.000015052 a^2 (Shigley, 9th ed., Table 17-13, fit of its VV column);
 * that column has 0.94 at 156.9 deg and 0.80 at 113.3 deg. Digits from memory, agree with a recomputation.
 * Tension ratio 5: 1.25 (1 - 5^(-a/180)) (ISO 5292 form, not compared with its text); ratio 4 on ribs:
 * (4/3)(1 - 4^(-a/180)), friction ln 4/pi = 0.4413 (ANSI/RMA IP-26, not compared with its text).
 * Behind each ratio form is the capstan: at equal grip the pull is T1 (1 - exp(-mu a)). */
#include "snub/balance.h"
#include "snub/drive.h"
#include "support/drive_text.h"

static const double DEG = SNUB_PI / 180;

/* Pull over the tight side's tension at which grip is all used. */
static double pull(double friction, double wrap)
{
    double low = 0, high = 1;
    for (int i = 0; i < 100; i++) {
        const double middle = (low + high) / 2;
        *(snub_grip(1, 1 - middle, friction, wrap) < 1 ? &low : &high) = middle;
    }
    return low;
}

static double factor(double ratio, double degrees)
{
    const double friction = log(ratio) / SNUB_PI;
    return pull(friction, degrees * DEG) / pull(friction, 180 * DEG);
}

static void ratio_5(void **state)
{
    (void)state;
    assert_near("180 deg", factor(5, 180), 1, 1e-12, "");
    assert_near("156.5 deg", factor(5, 156.5), 0.9416, 0.0001, ""); /* 0.94154 */
    assert_near("90 deg", factor(5, 90), 0.691, 0.0005, "");
    assert_near("the form itself", factor(5, 137), 1.25 * (1 - pow(5, -137.0 / 180)), 1e-12, "");
    /* Shigley's parabola is another fit to the same thing. */
    static const double column[][2] = {{156.9, 0.94}, {113.3, 0.80}};
    for (int i = 0; i < 2; i++) {
        const double a = column[i][0], parabola = 0.143543 + 0.007468 * a - 0.000015052 * a * a;
        assert_near("parabola", parabola, column[i][1], 0.0055, "");
        assert_near("capstan beside the parabola", factor(5, a), parabola, 0.01, "");
    }
}

static void ratio_4(void **state)
{
    (void)state;
    assert_near("180 deg", factor(4, 180), 1, 1e-12, "");
    assert_near("150 deg", factor(4, 150), 0.913, 0.0005, "");
    assert_near("120 deg", factor(4, 120), 0.804, 0.0005, "");
    assert_near("90 deg", factor(4, 90), 0.667, 0.0005, "");
}

/* The design friction that a drive has by itself is that of ratio 4. */
static void default_design_friction(void **state)
{
    (void)state;
    drive_text t;
    drive_text_open(&t, "snub: 1\ntitle: two\nbelt: {ribs: 6, length: 1200}\npulleys:\n"
                        "  - {name: crank, role: crank, at: [0, 0], diameter: 150}\n"
                        "  - {name: fan, at: [300, 0], diameter: 100}\n");
    assert_near("design friction on ribs", t.drive.belt.design.rib, 0.4413, 1e-12, "");
    assert_near("ratio at 180 deg", exp(t.drive.belt.design.rib * SNUB_PI), 4, 0.001, "");
    assert_near("design friction on the back (rule of thumb)", t.drive.belt.design.back, 0.35, 0, "");
    assert_near("limit friction on ribs (rule of thumb)", t.drive.belt.limit.rib, 0.9, 0, "");
    drive_text_close(&t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(ratio_5), cmocka_unit_test(ratio_4),
                                       cmocka_unit_test(default_design_friction)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

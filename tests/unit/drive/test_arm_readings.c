/** The arm's spring and friction from readings of a torque wrench. */
#include <math.h>

#include "drive/sections.h"
#include "support/near.h"

#define DEG (SNUB_PI / 180)
/** Of a fit to readings without scatter, relative. */
#define EXACT 1e-9

enum { POINTS = 12 };

static int make(snub_arm_reading *out, double preload, double rate, double damping, int branches)
{
    int n = 0;
    for (int i = 0; i < POINTS; i++) {
        for (int branch = 1; branch >= -1; branch -= 2) {
            if (branches != 0 && branch != branches)
                continue;
            double wind = 5 * DEG * i;
            out[n++] = (snub_arm_reading){wind, (preload + rate * wind) * (1 + branch * damping), branch};
        }
    }
    return n;
}

/** Readings made from a known arm give it back, for light and for heavy friction. */
static void test_known_arm(void **state)
{
    (void)state;
    static const double dampings[] = {0, 0.05, 0.2, 0.5, 0.9};
    for (int i = 0; i < 5; i++) {
        snub_arm_reading readings[2 * POINTS];
        snub_arm arm = {0};
        int n = make(readings, 25, 0.8 / DEG, dampings[i], 0);
        assert_int_equal(snub_arm_from_readings(readings, n, NAN, &arm), SNUB_OK);
        assert_near("preload", arm.preload, 25, 25 * EXACT, "N m");
        assert_near("rate", arm.rate, 0.8 / DEG, 0.8 / DEG * EXACT, "N m/rad");
        assert_near("damping", arm.damping, dampings[i], EXACT, "");
        assert_near("residual", arm.readings_residual, 0, 25 * EXACT, "N m");
        assert_true(arm.from_readings);
    }
}

/** One branch alone, its friction known: the spring is what lies below the friction. */
static void test_one_branch(void **state)
{
    (void)state;
    snub_arm_reading readings[POINTS];
    snub_arm arm = {0};
    int n = make(readings, 25, 40, 0.2, 1);
    assert_int_equal(snub_arm_from_readings(readings, n, 0.2, &arm), SNUB_OK);
    assert_near("preload", arm.preload, 25, 25 * EXACT, "N m");
    assert_near("rate", arm.rate, 40, 40 * EXACT, "N m/rad");
    assert_near("damping", arm.damping, 0.2, 0, "");
}

/** The fit is a least: no small step away from it lowers the sum of squares. */
static void test_least(void **state)
{
    (void)state;
    static const double scatter[] = {0.3, -0.2, 0.1, 0.4, -0.5, 0.2, -0.1, 0.3, -0.4, 0.2, 0.1, -0.3};
    snub_arm_reading readings[2 * POINTS];
    snub_arm arm = {0};
    int n = make(readings, 25, 40, 0.2, 0);
    for (int i = 0; i < n; i++)
        readings[i].torque += scatter[i % POINTS] * (i < POINTS ? 1 : -0.7);
    assert_int_equal(snub_arm_from_readings(readings, n, NAN, &arm), SNUB_OK);
    double least = arm.readings_residual;
    assert_true(least > 0.1);
    for (int i = 0; i < 6; i++) {
        double step = i % 2 == 0 ? 1e-3 : -1e-3, sum = 0;
        double p = arm.preload * (1 + (i / 2 == 0) * step), k = arm.rate * (1 + (i / 2 == 1) * step);
        double d = arm.damping * (1 + (i / 2 == 2) * step);
        for (int j = 0; j < n; j++)
            sum += pow(readings[j].torque - (p + k * readings[j].wind) * (1 + readings[j].branch * d), 2);
        assert_true(sqrt(sum / n) > least);
    }
}

/** Twice the torque is twice the spring and the same friction. */
static void test_scale(void **state)
{
    (void)state;
    snub_arm_reading readings[2 * POINTS];
    snub_arm one = {0}, two = {0};
    int n = make(readings, 25, 40, 0.3, 0);
    readings[3].torque += 1;
    assert_int_equal(snub_arm_from_readings(readings, n, NAN, &one), SNUB_OK);
    for (int i = 0; i < n; i++)
        readings[i].torque *= 2;
    assert_int_equal(snub_arm_from_readings(readings, n, NAN, &two), SNUB_OK);
    assert_near("preload", two.preload, 2 * one.preload, 50 * EXACT, "N m");
    assert_near("rate", two.rate, 2 * one.rate, 80 * EXACT, "N m/rad");
    assert_near("damping", two.damping, one.damping, EXACT, "");
}

static void test_too_little(void **state)
{
    (void)state;
    snub_arm arm = {.preload = 7};
    const snub_arm_reading same[] = {{0.1, 5, 1}, {0.1, 4, -1}, {0.1, 5, 1}};
    assert_int_equal(snub_arm_from_readings(same, 3, NAN, &arm), SNUB_BAD_INPUT);
    assert_int_equal(snub_arm_from_readings(same, 1, NAN, &arm), SNUB_BAD_INPUT);
    assert_near("untouched", arm.preload, 7, 0, "N m");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_known_arm), cmocka_unit_test(test_one_branch),
                                       cmocka_unit_test(test_least), cmocka_unit_test(test_scale),
                                       cmocka_unit_test(test_too_little)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* A. V. Arasu, Turbomachines, chapter 3; numbers as in its worked-example companion. cp 1005, gamma 1.4, R 287. */
#include "support/near.h"

#include "snub/demand.h"

static const snub_gas gas = {.constant = 287, .cp = 1005, .gamma = 1.4};

static double pressure_by_temperature(double hot, double cold)
{
    return pow(hot / cold, 3.5);
}

/* Example 3.1, p. 93: 10 kg/s from 1 bar, 293 K at 150 m/s to P02 = 4.5 bar, 20,000 rpm, efficiency 0.8, whirl 0.95 of
 * tip speed: dT0 182.6 K, U2 439.55 m/s, D2 0.42 m, 1835.4 kW. */
static void example_3_1(void **state)
{
    (void)state;
    double t01 = 293 + 150.0 * 150 / (2 * 1005);
    double ratio = 4.5 / pressure_by_temperature(t01, 293);
    double rise = snub_compressed_temperature(&gas, t01, ratio, 0.8) - t01;
    double tip = snub_impeller_tip_speed(&gas, t01, ratio, 0.95, 0.8);
    assert_near("dT0", rise, 182.6, 0.1, "K");
    assert_near("U2", tip, 439.55, 0.15, "m/s");
    assert_near("D2", tip * 60 / (SNUB_PI * 20000), 0.42, 5e-4, "m");
    assert_near("power", 10 * gas.cp * rise / 1e3, 1835.4, 1, "kW");
}

/* Example 3.3, p. 97: ratio 4 from 288 K, 200 rev/s, slip 0.9, power input 1.04, efficiency 0.8: D2 69 cm. */
static void example_3_3(void **state)
{
    (void)state;
    double tip = snub_impeller_tip_speed(&gas, 288, 4, 0.9 * 1.04, 0.8);
    assert_near("D2", 100 * tip / (SNUB_PI * 200), 69, 0.5, "cm");
    assert_near("ratio back", snub_impeller_ratio(&gas, 288, tip, 0.9 * 1.04, 0.8), 4, 1e-12, "");
}

/* Example 3.5, p. 100: ratio 4 from 298 K, 16,500 rpm, pressure coefficient (isentropic work over U2^2) 0.7,
 * efficiency 0.78, 8.3 kg/s, leaving at 120 m/s: D2 0.528 m, T3 476.5 K, p3 3.796 bar, 1.549 MW. */
static void example_3_5(void **state)
{
    (void)state;
    double tip = snub_impeller_tip_speed(&gas, 298, 4, 0.7 / 0.78, 0.78);
    double t03 = snub_compressed_temperature(&gas, 298, 4, 0.78), t3 = t03 - 120.0 * 120 / (2 * 1005);
    assert_near("D2", tip * 60 / (SNUB_PI * 16500), 0.528, 5e-4, "m");
    assert_near("T3", t3, 476.5, 0.1, "K");
    assert_near("p3", 4 / pressure_by_temperature(t03, t3), 3.796, 2e-3, "bar");
    assert_near("power", 8.3 * gas.cp * (t03 - 298) / 1e6, 1.549, 1e-3, "MW");
}

/* Example 3.7, p. 105: U2 350 m/s, slip 0.9, radial velocity 28 m/s, 288 K, 1 bar, efficiency 0.9, outlet area
 * 0.08 m2: M2 0.8458, 3.9423 kg/s. (The source writes slip where efficiency belongs; both are 0.9.) */
static void example_3_7(void **state)
{
    (void)state;
    double ratio = snub_impeller_ratio(&gas, 288, 350, 0.9, 0.9);
    double t02 = snub_compressed_temperature(&gas, 288, ratio, 0.9), whirl = 0.9 * 350;
    double velocity2 = whirl * whirl + 28.0 * 28, t2 = t02 - velocity2 / (2 * gas.cp);
    double p2 = ratio * 1e5 / pressure_by_temperature(t02, t2);
    assert_near("M2", sqrt(velocity2 / (1.4 * 287 * t2)), 0.8458, 2e-4, "");
    assert_near("mass flow", p2 / (287 * t2) * 0.08 * 28, 3.9423, 3e-3, "kg/s");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(example_3_1), cmocka_unit_test(example_3_3),
                                       cmocka_unit_test(example_3_5), cmocka_unit_test(example_3_7)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Onkar Singh, Applied Thermodynamics, chapter 16; numbers as in its worked-example companion, cells 26 and 28.
 * hp is 0.7457 kW there. Both blowers are also put on an engine that makes them reach the example's ratio. */
#include "demand/match.h"
#include "support/blown_engine.h"
#include "support/displacement_work.h"
#include "support/near.h"

#define HP 745.7

/* Engine displacement with which a blower of a given swept flow balances at the example's ratio: at full fill,
 * displacement * n/2 = V n (p1/p3)(T3/T1). One turn per second of both. */
static snub_match_result match_at_ratio(const snub_blower *blower, double ratio)
{
    snub_gas gas = test_gas(287, 1.4);
    double fill = 1, work = displacement_work(1.4, blower->internal_ratio, ratio);
    double warmth = 1 + 0.4 / 1.4 * work;
    snub_engine engine = test_engine(2 * blower->swept / ratio * warmth, &fill);
    snub_air air = test_air(100e3, 300);
    snub_match_result result;
    assert_int_equal(snub_match_gas(&engine, &air, &gas, NULL, blower, 2 * SNUB_PI * 50, 2 * SNUB_PI * 50,
                                    SNUB_THROTTLE_OPEN, &result, NULL),
                     SNUB_OK);
    assert_near("ratio", result.ratio, ratio, 1e-8, "");
    return result;
}

/* Cell 26: Roots, 100 to 200 kPa, 0.5 m3/s: 67.05 hp, isentropic efficiency 76.65 % (published). */
static void roots(void **state)
{
    (void)state;
    snub_blower blower = test_roots(0.5 / 50);
    snub_match_result result = match_at_ratio(&blower, 2);
    assert_near("power", result.power / HP, 67.05, 0.005, "hp");
    assert_near("power", result.power / 1e3, 50, 1e-6, "kW");
    assert_near("isentropic efficiency", 100 * result.isentropic_efficiency, 76.65, 0.015, "%");
}

/* Cell 28: internal compression to 0.7 of the volume, then against 230 kPa; 0.6 m3/s from 100 kPa: 79.928 hp, 94.66 %
 * (published); 59.6024 kW and 164.764 kPa inside (derived). */
static void internal_compression(void **state)
{
    (void)state;
    snub_blower blower = test_roots(0.6 / 50);
    blower.kind = SNUB_TWIN_SCREW;
    blower.internal_ratio = 1 / 0.7;
    snub_match_result result = match_at_ratio(&blower, 2.3);
    assert_near("power", result.power / HP, 79.928, 0.005, "hp");
    assert_near("power", result.power / 1e3, 59.6024, 1e-3, "kW");
    assert_near("internal pressure", result.internal_pressure / 1e3, 164.76415825455044, 1e-6, "kPa");
    assert_near("isentropic efficiency", 100 * result.isentropic_efficiency, 94.66, 0.015, "%");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(roots), cmocka_unit_test(internal_compression)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

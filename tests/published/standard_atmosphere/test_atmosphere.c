/* US Standard Atmosphere, 1976, as printed in Mechanical Engineers' Handbook, volume 4, table 6, p. 12 (published):
 * geometric altitude [m], temperature [K], pressure [bar], density [kg/m3]. Tolerance: the last printed digit, and
 * half a digit more where the table cuts (223.25 for 223.252). */
#include "support/near.h"

#include "snub/demand.h"

static const double table[][4] = {
    {0, 288.15, 1.0133, 1.225},     {1000, 281.65, 0.8988, 1.1117}, {2000, 275.15, 0.795, 1.0066},
    {3000, 268.66, 0.7012, 0.9093}, {4000, 262.17, 0.6166, 0.8194}, {5000, 255.68, 0.5405, 0.7364},
    {6000, 249.19, 0.4722, 0.6601}, {7000, 242.7, 0.4111, 0.59},    {8000, 236.22, 0.3565, 0.5258},
    {9000, 229.73, 0.308, 0.4671},  {10000, 223.25, 0.265, 0.4135}, {11000, 216.77, 0.227, 0.3648},
};

static void printed_rows(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        double temperature, pressure;
        assert_int_equal(snub_standard_atmosphere(table[i][0], &temperature, &pressure, NULL), SNUB_OK);
        snub_air air = {.pressure = pressure, .temperature = temperature, .altitude = table[i][0]};
        assert_near("temperature", temperature, table[i][1], 0.006, "K");
        assert_near("pressure", pressure / 1e5, table[i][2], 1.0e-4, "bar");
        assert_near("density", snub_air_density(&air), table[i][3], 1.0e-4, "kg/m3");
    }
}

/* The isothermal layer from 11 to 20 km of geopotential altitude: 22632.06 Pa at its foot, 5474.89 Pa at 20 km (the
 * standard's own base values; not compared with its text). */
static void isothermal_layer(void **state)
{
    (void)state;
    double foot = 6356766.0 * 11000 / (6356766.0 - 11000), temperature, pressure;
    assert_int_equal(snub_standard_atmosphere(foot, &temperature, &pressure, NULL), SNUB_OK);
    assert_near("at the tropopause", pressure, 22632.06, 0.5, "Pa");
    assert_near("temperature", temperature, 216.65, 1e-9, "K");
    assert_int_equal(snub_standard_atmosphere(20000, &temperature, &pressure, NULL), SNUB_OK);
    double geopotential = 6356766.0 * 20000 / (6356766.0 + 20000);
    assert_near("near the layer's top", pressure * exp(-9.80665 / 287.05287 / 216.65 * (20000 - geopotential)), 5474.89,
                0.3, "Pa");
}

static void out_of_range(void **state)
{
    (void)state;
    double pressure = -1;
    snub_error error = {0};
    assert_int_equal(snub_standard_atmosphere(20001, NULL, &pressure, &error), SNUB_BAD_INPUT);
    assert_int_equal(snub_standard_atmosphere(NAN, NULL, &pressure, &error), SNUB_BAD_INPUT);
    assert_true(pressure < 0);
    assert_string_equal(error.key, "air.altitude");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(printed_rows), cmocka_unit_test(isothermal_layer),
                                       cmocka_unit_test(out_of_range)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

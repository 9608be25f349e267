/* SAE J1349 (June 1990), printed form and exact form for mechanical efficiency 0.85; ISO 1585; DIN 70020 (total, not
 * dry, pressure): values derived from the printed formulas; ISO exponents not compared with its text. Rows: pressure
 * [mbar], degC, factors. Tolerance: the last digit. */
#include "support/near.h"

#include "demand/air.h"
#include "snub/demand.h"

static const double table[][6] = {
    {990, 25, 1.00000, 1.00000, 1.00000, 1.03193},  {950, 35, 1.07015, 1.06994, 1.07175, 1.09327},
    {1010, 15, 0.95706, 0.95719, 0.95649, 0.99438}, {970, 30, 1.03439, 1.03429, 1.03508, 1.06200},
    {850, 20, 1.18277, 1.18223, 1.18864, 1.19176},
};

static double factor_of(snub_correction form, const snub_air *air)
{
    double factor;
    assert_int_equal(snub_power_correction(form, air, 0.85, &factor, NULL, NULL), SNUB_OK);
    return factor;
}

static void dry_air(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        snub_air air = {.pressure = table[i][0] * 100, .temperature = table[i][1] + 273.15};
        assert_near("SAE J1349", factor_of(SNUB_SAE_J1349, &air), table[i][2], 6e-6, "");
        assert_near("SAE J1349 exact", factor_of(SNUB_SAE_J1349_EXACT, &air), table[i][3], 6e-6, "");
        assert_near("ISO 1585", factor_of(SNUB_ISO_1585, &air), table[i][4], 6e-6, "");
        assert_near("DIN 70020", factor_of(SNUB_DIN_70020, &air), table[i][5], 6e-6, "");
    }
}

/* Humid air of the same dry pressure: the forms with dry pressure do not move, DIN 70020 does. */
static void humid_air(void **state)
{
    (void)state;
    snub_air dry = {.pressure = 97000, .temperature = 303.15}, humid = dry;
    humid.humidity = 0.6;
    humid.pressure += 0.6 * snub_vapour_pressure(303.15);
    assert_near("SAE J1349", factor_of(SNUB_SAE_J1349, &humid), factor_of(SNUB_SAE_J1349, &dry), 1e-12, "");
    assert_near("ISO 1585", factor_of(SNUB_ISO_1585, &humid), factor_of(SNUB_ISO_1585, &dry), 1e-12, "");
    assert_true(factor_of(SNUB_DIN_70020, &humid) < factor_of(SNUB_DIN_70020, &dry) - 0.02);
}

static void ranges_and_mistakes(void **state)
{
    (void)state;
    snub_air hot = {.pressure = 99000, .temperature = 313.15}, fine = {.pressure = 99000, .temperature = 298.15};
    double factor = -1;
    bool in_range;
    assert_int_equal(snub_power_correction(SNUB_SAE_J1349, &hot, 0, &factor, &in_range, NULL), SNUB_OK);
    assert_false(in_range);
    assert_int_equal(snub_power_correction(SNUB_SAE_J1349, &fine, 0, &factor, &in_range, NULL), SNUB_OK);
    assert_true(in_range);
    factor = -1;
    assert_int_equal(snub_power_correction(SNUB_SAE_J1349_EXACT, &fine, 0, &factor, NULL, NULL), SNUB_BAD_INPUT);
    assert_int_equal(snub_power_correction((snub_correction)9, &fine, 1, &factor, NULL, NULL), SNUB_BAD_INPUT);
    fine.pressure = 99; /* kPa for Pa */
    assert_int_equal(snub_power_correction(SNUB_SAE_J1349, &fine, 1, &factor, NULL, NULL), SNUB_BAD_INPUT);
    assert_true(factor < 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(dry_air), cmocka_unit_test(humid_air),
                                       cmocka_unit_test(ranges_and_mistakes)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

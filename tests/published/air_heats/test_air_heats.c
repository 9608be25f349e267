/* NBS Circular 564 (1955), as given on a course page of Ohio University (published): temperature [K], cp [kJ/(kg K)],
 * cv [kJ/(kg K)], gamma, to their printed digits. */
#include "support/near.h"

#include "demand/air.h"
#include "snub/demand.h"

static const double table[][4] = {
    {250, 1.003, 0.716, 1.401}, {300, 1.005, 0.718, 1.4},   {350, 1.008, 0.721, 1.398}, {400, 1.013, 0.726, 1.395},
    {450, 1.02, 0.733, 1.391},  {500, 1.029, 0.742, 1.387}, {550, 1.04, 0.753, 1.381},  {600, 1.051, 0.764, 1.376},
};

static void printed_digits(void **state)
{
    (void)state;
    const snub_air dry = {.pressure = SNUB_ATMOSPHERE, .temperature = 288.15};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        const snub_gas gas = snub_air_gas(&dry, table[i][0]);
        const double cp = gas.cp / 1e3, gamma = gas.gamma;
        assert_near("cp", cp, table[i][1], 0.0005, "kJ/(kg K)");
        assert_near("cv", cp / gamma, table[i][2], 0.0005, "kJ/(kg K)");
        assert_near("gamma", gamma, table[i][3], 0.0005, "");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(printed_digits)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

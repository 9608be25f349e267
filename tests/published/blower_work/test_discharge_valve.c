/* Schey and Wilson, NACA report on discharge valves and intake control of a Roots supercharger: a discharge valve,
 * which turns external into internal compression, saves about 26 % of the power for a critical altitude of 20,000 ft
 * (published; from p-V cards and tests). Our comparison: one less the ideal efficiency of a Roots at the ratio of sea
 * level to 20,000 ft pressure, 0.2595 at r = 2.1746 (derived). */
#include "support/displacement_work.h"
#include "support/near.h"

#include "snub/demand.h"

static void saving(void **state)
{
    (void)state;
    double pressure;
    assert_int_equal(snub_standard_atmosphere(20000 * 0.3048, NULL, &pressure, NULL), SNUB_OK);
    double ratio = 101325 / pressure, gamma = 1.4;
    double roots = displacement_work(gamma, 1, ratio);
    double inside = displacement_work(gamma, pow(ratio, 1 / gamma), ratio);
    assert_near("ratio", ratio, 2.1746, 2e-3, "");
    assert_near("saving, derived", 100 * (1 - inside / roots), 25.95, 0.03, "%");
    assert_near("saving, published", 100 * (1 - inside / roots), 26, 0.5, "%");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(saving)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

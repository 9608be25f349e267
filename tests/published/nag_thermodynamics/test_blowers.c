/* P. K. Nag, Basic and Applied Thermodynamics, chapter 19; numbers as in its worked-example companion. */
#include "support/near.h"

#include "snub/demand.h"

/* Example 19.14: Roots, p1 = 101.3 kPa, p2/p1 = 1.5, 0.03 m3/rev, work 1.5195 kJ/rev (published). */
static void roots_work_per_turn(void **state)
{
    (void)state;
    assert_near("work", 101.3e3 * 0.03 * snub_displacement_work(1.4, 1, 1.5) / 1e3, 1.5195, 5e-5, "kJ/rev");
}

/* Example 19.17: charger of ratio 2.5 from 0.6 bar, 278 K; gamma 1.39, cp 1.005, isentropic 0.84, air 13 x 0.04 kg/s,
 * leaving at 120 m/s; T02 = 109.186 degC, p02 = 160.466 kPa (published). Its power of 54.604 kW is left out: from
 * these temperatures m cp dT0 is 54.448 kW. The book writes 273 for 273.15. */
static void charger_outlet(void **state)
{
    (void)state;
    snub_gas gas = {.constant = 1005 * 0.39 / 1.39, .cp = 1005, .gamma = 1.39};
    double t2 = snub_compressed_temperature(&gas, 278, 2.5, 0.84);
    double t02 = t2 + 120.0 * 120 / (2 * gas.cp);
    assert_near("T02", t02 - 273, 109.186, 5e-4, "degC");
    assert_near("p02", 150 * pow(t02 / t2, 1.39 / 0.39), 160.466, 5e-4, "kPa");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(roots_work_per_turn), cmocka_unit_test(charger_outlet)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

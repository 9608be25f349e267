/* K. K. Ramalingam, Thermal Engineering, chapter 7, p. 7.51; numbers as in its worked-example companion: 29.15 kW net
 * gain (published), the rest derived. */
#include "support/charged_engine.h"
#include "support/near.h"

static void example(void **state)
{
    (void)state;
    charged_answer a = charged_engine((charged_example){.swept = 0.0033,
                                                        .rpm = 3500,
                                                        .fill = 0.8,
                                                        .pressure = 1.013e5,
                                                        .temperature = 298,
                                                        .ratio = 1.75,
                                                        .isentropic = 0.75,
                                                        .mechanical = 0.8,
                                                        .indicated = 13e3 * 60});
    assert_near("T2", a.outlet, 366.89, 1e-3, "K");
    assert_near("mass flow", a.mass, 0.162043, 5e-5, "kg/s");
    assert_near("shaft", a.shaft / 1e3, 14.0238, 5e-3, "kW");
    assert_near("net gain", a.gain / 1e3, 29.15, 0.015, "kW");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(example)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* P. K. Nag, Power Plant Engineering, chapter 11, first example; numbers as in its worked-example companion: 28.67 kW
 * net gain (published), the rest derived. */
#include "support/charged_engine.h"
#include "support/near.h"

static void example(void **state)
{
    (void)state;
    charged_answer a = charged_engine((charged_example){.swept = 0.0035,
                                                        .rpm = 3600,
                                                        .fill = 0.82,
                                                        .pressure = 1.013e5,
                                                        .temperature = 298,
                                                        .ratio = 1.75,
                                                        .isentropic = 0.7,
                                                        .mechanical = 0.8,
                                                        .indicated = 13.1e3 * 60});
    assert_near("T2", a.outlet, 371.811, 1e-3, "K");
    assert_near("mass flow", a.mass, 0.174435, 5e-5, "kg/s");
    assert_near("shaft", a.shaft / 1e3, 16.1745, 5e-3, "kW");
    assert_near("net gain", a.gain / 1e3, 28.67, 0.015, "kW");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(example)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

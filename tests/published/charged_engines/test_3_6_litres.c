/* R. K. Rajput, A Textbook of Internal Combustion Engines, example 16.3, p. 527; numbers derived from its inputs. The
 * printed net gain of 17.6 kW is left out: it takes off the swept volume where four other books take off the volume
 * that the unboosted engine induces (27.706 kW, derived). */
#include "support/charged_engine.h"
#include "support/near.h"

static void example(void **state)
{
    (void)state;
    charged_answer a = charged_engine((charged_example){.swept = 0.0036,
                                                        .rpm = 3000,
                                                        .fill = 0.82,
                                                        .pressure = 1.0132e5,
                                                        .temperature = 298,
                                                        .ratio = 1.8,
                                                        .isentropic = 0.75,
                                                        .mechanical = 0.8,
                                                        .indicated = 13e3 * 60,
                                                        .drop = 4});
    assert_near("T2", a.outlet, 370.658, 1e-3, "K");
    assert_near("charge", a.charge, 366.658, 1e-3, "K");
    assert_near("mass flow", a.mass, 0.155979, 5e-5, "kg/s");
    assert_near("shaft", a.shaft / 1e3, 14.2373, 5e-3, "kW");
    assert_near("net gain", a.gain / 1e3, 27.706, 0.015, "kW");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(example)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

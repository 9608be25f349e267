/* First frequency of a moving string, (c^2 - v^2)/(2 c L) with the total tension in c = sqrt(P/m): closed form, and a
 * Galerkin solution of 400 terms in state space that knows nothing of it (derived). P 300 N, m 0.1029 kg/m, L 0.35 m.
 */
#include "balance/expand.h"
#include "snub/balance.h"
#include "support/near.h"

static const double TENSION = 300, MASS = 0.1029, LENGTH = 0.35, WAVE = 53.994924715603894;

static void string_at_speed(void **state)
{
    (void)state;
    static const double speed[] = {0, 10, 20, 30, 40};
    static const double closed[] = {77.135606736577, 74.4898554255124, 66.55260149231864, 53.323844936995684,
                                    34.80358575954355};
    static const double galerkin[] = {77.135606736577, 74.48985544693312, 66.55260156901981, 53.323845075564286,
                                      34.80358592062923};
    for (int i = 0; i < 5; i++) {
        const double f = snub_span_frequency(TENSION, MASS, speed[i], LENGTH);
        assert_near("closed form", f, closed[i], 1e-11, "Hz");
        assert_near("Galerkin", f, galerkin[i], 5e-8 * galerkin[i], "Hz");
    }
}

/* A belt as fast as its wave stands still; beyond it nothing is reported. */
static void as_fast_as_its_wave(void **state)
{
    (void)state;
    assert_near("wave speed", sqrt(TENSION / MASS), WAVE, 1e-12, "m/s");
    assert_near("just below", snub_span_frequency(TENSION, MASS, WAVE - 1e-9, LENGTH), 0, 1e-8, "Hz");
    assert_true(snub_span_frequency(TENSION, MASS, WAVE - 1e-9, LENGTH) > 0);
    assert_true(snub_span_frequency(TENSION, MASS, WAVE + 1e-9, LENGTH) == 0);
    assert_true(snub_span_frequency(-1, MASS, 0, LENGTH) == 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(string_at_speed), cmocka_unit_test(as_fast_as_its_wave)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

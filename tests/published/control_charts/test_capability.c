/* Control chart slides: fill weight, 15.8 to 16.2, mean 15.9, sd 0.1: Cpk 0.33 (published), Cp 0.6667 (recomputed). */
#include "snub/mount.h"
#include "support/near.h"

static void fill_weight(void **state)
{
    (void)state;
    double cpk = 0;
    const double cp = snub_capability(15.8, 16.2, 15.9, 0.1, &cpk);
    assert_near("Cpk", cpk, 0.33, 0.005, "");
    assert_near("Cpk, recomputed", cpk, 0.3333, 5e-5, "");
    assert_near("Cp, recomputed", cp, 0.6667, 5e-5, "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(fill_weight)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

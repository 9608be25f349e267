/* Marks' Calculations for Machine Design, p. 337 (separation) and p. 347 (Goodman). */
#include "snub/mount.h"
#include "support/near.h"

static void page_337(void **state)
{
    (void)state;
    const snub_bolt_load load = {37950, 37950, 0, 11000};
    const snub_bolt_joint j = snub_bolt_judge(0.24, 84.3e-6, 600e6, 129e6, 830e6, &load);
    assert_near("n0", j.separate, 4.5, 0.05, "");
    assert_near("n0, recomputed", j.separate, 4.539, 5e-4, "");
}

static void page_347(void **state)
{
    (void)state;
    const double si = 84780 / 0.000157, sa = 16.1e6;
    const double nf = snub_bolt_fatigue(sa, si + sa, si, 129e6, 830e6);
    assert_near("Sa", nf * sa / 1e6, 39.0, 0.05, "MPa");
    assert_near("nf", nf, 2.4, 0.05, "");
    assert_near("nf, recomputed", nf, 2.423, 5e-4, "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(page_337), cmocka_unit_test(page_347)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

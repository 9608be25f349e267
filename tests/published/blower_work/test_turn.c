/* P. K. Nag, Basic and Applied Thermodynamics, chapter 19; numbers as in its worked-example companion. */
#include "support/displacement_work.h"
#include "support/near.h"

#include "snub/demand.h"

/* Example 19.14: Roots, p1 = 101.3 kPa, p2/p1 = 1.5, 0.03 m3/rev, work 1.5195 kJ/rev (published). */
static void roots_work_per_turn(void **state)
{
    (void)state;
    assert_near("work", 101.3e3 * 0.03 * displacement_work(1.4, 1, 1.5) / 1e3, 1.5195, 5e-5, "kJ/rev");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(roots_work_per_turn)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

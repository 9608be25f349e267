/* Bhandari, Design of Machine Elements, ch. 7, as worked in its worked-example companion (7.5, 7.8, 7.9), and a machine
 * design test bank (first bracket): brackets that tilt about an edge. */
#include "snub/mount.h"
#include "support/near.h"

static void test_bank(void **state)
{
    (void)state;
    const double lever[4] = {0.125, 0.125, 0.025, 0.025};
    double pull[4];
    snub_tilt_about_edge(20000 * 0.100, lever, 4, pull);
    assert_near("far", pull[0], 7692.3, 0.05, "N");
    assert_near("near", pull[2], 1538.46, 0.005, "N");
    assert_near("direct shear, 18 mm", 20000 / 4 / (SNUB_PI / 4 * 0.018 * 0.018) / 1e6, 19.6, 0.06, "MPa");
    double moment = 0;
    for (int i = 0; i < 4; i++)
        moment += pull[i] * lever[i];
    assert_near("moment", moment, 2000, 1e-9, "N m");
}

static void example_7_5(void **state)
{
    (void)state;
    const double lever[4] = {0.150, 0.150, 0.025, 0.025};
    double pull[4];
    snub_tilt_about_edge(25000 * 0.100, lever, 4, pull);
    assert_near("pull", pull[0], 8108.108, 5e-4, "N");
    assert_near("shear", 25000 / 4.0, 6250, 0, "N");
    assert_near("core area", snub_area_for_shear(pull[0], 6250, 76e6) * 1e6, 98.022213, 5e-7, "mm2");
}

static void example_7_8(void **state)
{
    (void)state;
    const double lever[2] = {0.450, 0.050};
    double pull[2];
    snub_tilt_about_edge(20000 * 0.550, lever, 2, pull);
    assert_near("tilt", pull[0], 24146.34, 0.005, "N");
    assert_near("total", pull[0] + 20000 / 2.0, 34146.34, 0.005, "N");
    assert_near("core area", (pull[0] + 10000) / 75e6 * 1e6, 455.284553, 5e-7, "mm2");
}

static void example_7_9(void **state)
{
    (void)state;
    const double lever[4] = {0.200, 0.200, 0.050, 0.050};
    double pull[4];
    snub_tilt_about_edge(25000 * 0.400, lever, 4, pull);
    assert_near("tilt", pull[0], 23529.41, 0.005, "N");
    assert_near("core area", (pull[0] + 25000 / 4.0) / 50e6 * 1e6, 595.588235, 5e-7, "mm2");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_bank), cmocka_unit_test(example_7_5),
                                       cmocka_unit_test(example_7_8), cmocka_unit_test(example_7_9)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

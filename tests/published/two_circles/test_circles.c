/* Belts over circles whose length is known.
 * Two pulleys of 0.5 and 1.6 m, 12 m apart: open 27.32 m in print, exactly 27.3239; crossed 27.39061 (derived).
 * Circles of radius 6 and 1, 13 apart (a puzzle with an exact answer): band of 49.9390597721.
 * Three circles of radius 10, 20, 3 with sides 75, 100, 50, all inside of the belt (derived). */
#include "snub/layout.h"
#include "support/near.h"

static const double DEG = SNUB_PI / 180;

static snub_path two(double r1, double r2, double apart)
{
    const double centre[2][2] = {{0, 0}, {apart, 0}}, radius[2] = {r1, r2};
    snub_path path;
    const snub_status status = snub_path_lay(2, centre, radius, 1.0, &path, NULL);
    /* A crossed belt makes no turn in all. */
    assert_int_equal(status, r1 * r2 > 0 ? SNUB_OK : SNUB_LOST_BELT);
    assert_int_equal(path.turns, r1 * r2 > 0 ? 1 : 0);
    return path;
}

static void open_and_crossed(void **state)
{
    (void)state;
    const snub_path open = two(0.25, 0.8, 12);
    assert_near("open, print", open.length, 27.32, 0.005, "m");
    assert_near("open, exact", open.length, 27.3239, 0.00005, "m");
    assert_near("open, one turn", open.wrap[0] + open.wrap[1], 360 * DEG, 1e-14, "rad");
    const snub_path crossed = two(0.25, -0.8, 12);
    assert_near("crossed, exact", crossed.length, 27.39061, 0.000005, "m");
    assert_near("crossed, equal wraps", crossed.wrap[0], crossed.wrap[1], 1e-14, "rad");
}

static void band_round_6_and_1(void **state)
{
    (void)state;
    const snub_path band = two(6, 1, 13);
    /* Both spans are 12: a 5-12-13 triangle. */
    assert_near("span", band.span[0], 12, 1e-14, "");
    assert_near("band", band.length, 49.9390597721, 5e-11, "");
}

static void three_inside(void **state)
{
    (void)state;
    /* A at the origin, B at 75 along x, C 50 from A and 100 from B. Clockwise order of A, B, C needs C below. */
    const double x = (50.0 * 50 + 75.0 * 75 - 100.0 * 100) / (2 * 75);
    const double centre[3][2] = {{0, 0}, {75, 0}, {x, -sqrt(50 * 50 - x * x)}}, radius[3] = {10, 20, 3};
    snub_path path;
    assert_int_equal(snub_path_lay(3, centre, radius, 1.0, &path, NULL), SNUB_OK);
    static const double wraps[3] = {75.908, 168.495, 115.597}, spans[3] = {74.33, 98.544, 49.508};
    assert_near("length", path.length, 300.49929, 0.000005, "");
    for (int i = 0; i < 3; i++) {
        assert_near("wrap", path.wrap[i] / DEG, wraps[i], 0.0005, "deg");
        assert_near("span", path.span[i], spans[i], 0.005, "");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(open_and_crossed), cmocka_unit_test(band_round_6_and_1),
                                       cmocka_unit_test(three_inside)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

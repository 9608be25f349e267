/* Entry angle of the belt: limit 0.33 deg (Meckstroth et al., SAE 1999-01-1709, abstract: chirp still occurs at times
 * within it). Two derived checks of the angle, and what neighbouring limits are worth per metre: 0.25 deg for V-ribbed
 * belts in general is printed as 1/16 in per ft, 0.5 deg as 1/10 in per ft and 0.87 mm per 100 mm (belt makers). */
#include "snub/drive.h"
#include "snub/mount.h"
#include "support/near.h"

/* Two like pulleys 200 mm apart; the belt runs +x on top when they turn clockwise. */
static void lay_two(snub_path *path)
{
    const double centre[2][2] = {{0, 0}, {0.2, 0}}, radius[2] = {0.04, 0.04};
    assert_int_equal(snub_path_lay(2, centre, radius, 1, path, NULL), SNUB_OK);
    assert_near("u", path->u[0][0], 1, 1e-12, "");
    assert_near("span", path->span[0], 0.2, 1e-12, "m");
}

static void offset(void **state)
{
    (void)state;
    snub_path path;
    double entry[2], exit[2];
    lay_two(&path);
    const snub_plane plane[2] = {{0, {0, 0}, true}, {0.001, {0, 0}, true}};
    assert_int_equal(snub_entry_angles(&path, plane, entry, exit, NULL, NULL), SNUB_OK);
    assert_near("1 mm over 200 mm", entry[1] / SNUB_DEG, 0.28648, 1.5e-5, "deg");
    assert_near("back", entry[0] / SNUB_DEG, -0.28648, 1.5e-5, "deg");
    assert_near("exit", exit[0] / SNUB_DEG, 0.28648, 1.5e-5, "deg");
}

static void tilt(void **state)
{
    (void)state;
    snub_path path;
    double entry[2], exit[2];
    lay_two(&path);
    const snub_plane plane[2] = {{0, {0, 0}, true}, {0, {0, -0.005}, true}};
    assert_int_equal(snub_entry_angles(&path, plane, entry, exit, NULL, NULL), SNUB_OK);
    assert_near("tilted pulley", entry[1] / SNUB_DEG, -0.28648, 1.5e-5, "deg");
}

static void limits(void **state)
{
    (void)state;
    assert_near("default limit", snub_limit_describe(SNUB_LIMIT_MISALIGNMENT)->value, 0.33, 1e-12, "deg");
    assert_near("0.33 deg", tan(0.33 * SNUB_DEG) * 1000, 5.76, 0.005, "mm/m");
    assert_near("1/16 in per ft", atan(1 / 16.0 / 12) / SNUB_DEG, 0.25, 0.05, "deg");
    assert_near("1/16 in per ft", 1000 / 16.0 / 12, 5.2, 0.01, "mm/m");
    assert_near("1/10 in per ft", 1000 / 10.0 / 12, 8.3, 0.04, "mm/m");
    assert_near("0.5 deg", tan(0.5 * SNUB_DEG) * 100, 0.87, 0.005, "mm per 100 mm");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(offset), cmocka_unit_test(tilt), cmocka_unit_test(limits)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

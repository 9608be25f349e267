/* Default limits and belt properties against the guides they come from.
 * SAE J1596 (a summary; cancelled in 2019): 50 m/s, ribbed pulleys of 50 mm, back-side pulleys of 90 mm.
 * ISO 9981:2020: 45 mm at least. SAE 1999-01-1709: 0.33 deg entry angle.
 * US 6422963: EA 9800 to 29400 N per rib. EP 1046835: cord to rib tip 3 to 4 mm.
 * Sheng et al. 2011: kinetic friction falls 30 to 40 % in the wet.
 * Blower pulleys of 2.5 in on 6 ribs, 2.4 in on 8 or 10: common practice, no published source. */
#include "support/drive_text.h"

static void limits(void **state)
{
    (void)state;
    static const struct {
        snub_limit limit;
        double printed;
        const char *unit, *source;
    } want[] = {
        {SNUB_LIMIT_RIB_DIAMETER, 45, "mm", "ISO 9981:2020"},
        {SNUB_LIMIT_RIB_DIAMETER_LIFE, 50, "mm", "SAE J1596, a summary of it; cancelled 2019"},
        {SNUB_LIMIT_BACK_DIAMETER_LIFE, 90, "mm", "SAE J1596, a summary of it; cancelled 2019"},
        {SNUB_LIMIT_BELT_SPEED, 50, "m/s", "SAE J1596, a summary of it; cancelled 2019"},
        {SNUB_LIMIT_MISALIGNMENT, 0.33, "deg", "SAE 1999-01-1709, read as an abstract"},
        {SNUB_LIMIT_BLOWER_DIAMETER_6, 63.5, "mm", "common practice, no published source"},
        {SNUB_LIMIT_BLOWER_DIAMETER_8, 60.96, "mm", "common practice, no published source"},
    };
    for (size_t i = 0; i < sizeof want / sizeof want[0]; i++) {
        const snub_limit_info *info = snub_limit_describe(want[i].limit);
        assert_near(info->key, info->value, want[i].printed, 1e-12, snub_unit_describe(info->unit)->text);
        assert_string_equal(snub_unit_describe(info->unit)->text, want[i].unit);
        assert_string_equal(info->source, want[i].source);
    }
}

/* J1596 has 0.58 mm per 100 mm, the paper 0.33 deg: the same angle. */
static void misalignment_both_ways(void **state)
{
    (void)state;
    const double angle = snub_limit_describe(SNUB_LIMIT_MISALIGNMENT)->value * SNUB_DEG;
    assert_near("offset over 100 mm", tan(angle) * 100, 0.58, 0.005, "mm");
}

static void belt_by_default(void **state)
{
    (void)state;
    drive_text t;
    drive_text_open(&t, "snub: 1\ntitle: two\nbelt: {ribs: 6, length: 1200}\npulleys:\n"
                        "  - {name: crank, role: crank, at: [0, 0], diameter: 150}\n"
                        "  - {name: fan, at: [300, 0], diameter: 100}\n");
    const snub_belt *belt = &t.drive.belt;
    const double per_rib = belt->stiffness / belt->ribs, cord_to_tip = (belt->thickness - belt->back) * 1e3;
    assert_true(per_rib >= 9800 && per_rib <= 29400);
    assert_true(cord_to_tip >= 3.0 - 1e-9 && cord_to_tip <= 4.0);
    assert_true(belt->wet >= 0.30 && belt->wet <= 0.40);
    drive_text_close(&t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(limits), cmocka_unit_test(misalignment_both_ways),
                                       cmocka_unit_test(belt_by_default)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* A drive that grows when it is warm. Two equal pulleys, radius r, c apart, have the pitch length 2 (c + pi r), so that
 * what cold and warm do to a tension that was set is a closed form. */
#include "snub/balance.h"
#include "support/drive_text.h"
#include "support/random_drive.h"

static const char TWO[] = "snub: 1\n"
                          "engine: {idle: 800, redline: 6000, growth: %g}\n"
                          "belt: {ribs: 6, growth: %g}\n"
                          "pulleys:\n"
                          "  - {name: crank, role: crank, at: [%g, %g], diameter: 120}\n"
                          "  - {name: fan, diameter: 120, slot: {from: [%g, %g], to: [%g, %g]}, fixed_tension: 600}\n";

/* Wherever the datum lies: growth has no middle. */
static void a_set_tension_warms_by_the_closed_form(void **state)
{
    (void)state;
    const double growths[][2] = {{0.0015, 0}, {0, 0.001}, {0.001, 0.001}, {0.0012, -0.0003}};
    for (int k = 0; k < 8; k++) {
        const double *growth = growths[k % 4], shift = k < 4 ? 0 : 250;
        char text[800];
        drive_text t;
        snprintf(text, sizeof text, TWO, growth[0], growth[1], shift, -shift, 350 + shift, -shift, 450 + shift, -shift);
        drive_text_open(&t, text);
        const snub_belt *belt = &t.drive.belt;
        const double r = t.drive.pulleys[0].pitch_radius, c = 0.4, set = 600;
        const double path = 2 * (c + SNUB_PI * r);
        const double cold = path * (1 - (set - belt->measuring_tension) / belt->stiffness);
        double settings[2] = {NAN, NAN};
        assert_int_equal(snub_lock_set(&t.drive, cold, settings, NULL, NULL), SNUB_OK);
        assert_near("setting", settings[1], 0.05, 1e-9, "m");
        const double warm = 2 * (c * (1 + growth[0]) + SNUB_PI * r), length = cold * (1 + growth[1]);
        const double want = belt->measuring_tension + belt->stiffness * (warm - length) / warm;
        snub_rig rig;
        snub_equilibrium e;
        snub_case wanted = {.belt_length = length};
        assert_int_equal(snub_rig_prepare_warm(&t.drive, settings, &rig, NULL), SNUB_OK);
        assert_int_equal(snub_solve(&rig, &wanted, &e, NULL), SNUB_OK);
        assert_near("warm tension", e.tension, want, 1e-5, "N");
        wanted.belt_length = cold;
        assert_int_equal(snub_rig_prepare(&t.drive, settings, &rig, NULL), SNUB_OK);
        assert_int_equal(snub_solve(&rig, &wanted, &e, NULL), SNUB_OK);
        assert_near("cold tension", e.tension, set, 1e-5, "N");
        drive_text_close(&t);
    }
}

/* An arm: a drive grown by g with the belt of the same share, its radii grown as well, is the same drive at another
 * scale. Here the radii stay: so against a drive whose numbers are the grown ones. */
static void a_grown_drive_is_the_drive_with_grown_numbers(void **state)
{
    (void)state;
    chance c = {77};
    for (int k = 0; k < 100; k++) {
        plain_drive p, grown;
        double length;
        const double g = chance_between(&c, -0.003, 0.005);
        random_drive(&c, true, &p, &length);
        grown = p;
        grown.drive.pulleys = grown.pulleys;
        for (int i = 0; i < p.drive.pulley_count; i++) {
            for (int d = 0; d < 2; d++) {
                grown.pulleys[i].at[d] *= 1 + g;
                grown.pulleys[i].arm.pivot[d] *= 1 + g;
            }
            grown.pulleys[i].arm.length *= 1 + g;
        }
        p.drive.engine.growth = g;
        snub_rig a, b;
        snub_equilibrium x, y;
        snub_case wanted = {.engine_speed = 200, .belt_length = length};
        wanted.torque[2] = 3;
        const snub_status first = snub_rig_prepare_warm(&p.drive, NULL, &a, NULL);
        assert_int_equal(first, snub_rig_prepare(&grown.drive, NULL, &b, NULL));
        if (first != SNUB_OK || snub_solve(&a, &wanted, &x, NULL) != SNUB_OK)
            continue;
        assert_int_equal(snub_solve(&b, &wanted, &y, NULL), SNUB_OK);
        assert_near("wind", x.wind, y.wind, 1e-12, "rad");
        assert_near("tension", x.tension, y.tension, 1e-7, "N");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(a_set_tension_warms_by_the_closed_form),
                                       cmocka_unit_test(a_grown_drive_is_the_drive_with_grown_numbers)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

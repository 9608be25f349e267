/* When a fixed tensioner is set again. Two equal pulleys: the mean of the two spans' tensions is the one that was set,
 * their difference is the torque over the radius, and a belt that works at four to one of tractive tension uses all of
 * its design grip (mu pi = ln 4). */
#include "snub/kit.h"
#include "support/drive_text.h"

static const char TWO[] = "snub: 1\n"
                          "engine: {idle: 800, redline: 6000}\n"
                          "belt: {ribs: 6, length: 1160, tolerance: 0.1, worn: %g}\n"
                          "pulleys:\n"
                          "  - {name: crank, role: crank, at: [0, 0], diameter: 120}\n"
                          "  - {name: fan, diameter: 120, slot: {from: [370, 0], to: [430, 0]}, fixed_tension: %g,\n"
                          "     load: [[500, %g], [20000, %g]], peak: %g}\n";

typedef struct pair {
    drive_text t;
    snub_build build;
} pair;

/* peak: greatest torque of the load over its mean. */
static snub_retension of_pulsing(pair *p, double worn, double set, double load, double peak)
{
    char text[800];
    const snub_build_request as_written = {0};
    snub_error error;
    snub_retension r;
    snprintf(text, sizeof text, TWO, worn, set, load, load, peak);
    drive_text_open(&p->t, text);
    assert_int_equal(snub_build_of_drive(&p->t.drive, &as_written, &p->t.arena, &p->build, &error), SNUB_OK);
    snub_retension_find(&p->build, &r);
    assert_true(r.given);
    assert_near("set", r.set, set, 1e-5, "N");
    assert_true(isnan(r.warm));
    return r;
}

static snub_retension of_pair(pair *p, double worn, double set, double load)
{
    return of_pulsing(p, worn, set, load, 1);
}

/* Least mean tension at which the ratio of tractive tensions is `ratio`, at the redline. */
static double least(const pair *p, double load, double ratio)
{
    const snub_drive *drive = &p->t.drive;
    const double radius = drive->pulleys[0].pitch_radius, speed = drive->engine.redline * radius;
    return load / (2 * radius) * (ratio + 1) / (ratio - 1) + drive->belt.mass * speed * speed;
}

static void it_is_set_again_before_the_design_grip_is_used_up(void **state)
{
    (void)state;
    for (int k = 0; k < 3; k++) {
        pair p;
        const double load = 3 + 2 * k;
        const snub_retension r = of_pair(&p, 0.001, 600, load);
        assert_true(r.by_design);
        assert_near("again", r.again, least(&p, load, exp(p.t.drive.belt.design.rib * SNUB_PI)), 0.05, "N");
        const snub_belt *belt = &p.t.drive.belt;
        const double path = p.build.rest.path.length;
        const double made = path * (1 - (600 - belt->measuring_tension) / belt->stiffness);
        assert_near("worn", r.worn, belt->measuring_tension + belt->stiffness * (1 - made * 1.001 / path), 1e-4, "N");
        drive_text_close(&p.t);
    }
}

/* Over the design grip as it is set: then before it slips. */
static void a_belt_that_works_over_the_design_grip_is_watched_for_slip(void **state)
{
    (void)state;
    pair p;
    const double load = 30;
    const snub_retension r = of_pair(&p, 0, 560, load);
    assert_false(r.by_design);
    assert_true(isnan(r.worn));
    assert_near("again", r.again, least(&p, load, exp(p.t.drive.belt.limit.rib * SNUB_PI)), 0.05, "N");
    drive_text_close(&p.t);
}

/* A load that swings uses the grip up in its peaks: then as a steady load of that size does. */
static void the_peaks_of_a_load_count(void **state)
{
    (void)state;
    for (int k = 0; k < 2; k++) {
        pair p;
        const double peak = k == 0 ? 1.6 : 6; /* within the design grip, and over it */
        const snub_retension r = of_pulsing(&p, 0.001, 560, 5, peak);
        const snub_belt *belt = &p.t.drive.belt;
        assert_int_equal(r.by_design, k == 0);
        assert_near("again", r.again, least(&p, 5 * peak, exp((k == 0 ? belt->design.rib : belt->limit.rib) * SNUB_PI)),
                    0.05, "N");
        drive_text_close(&p.t);
    }
}

/* Nothing holds even as set. */
static void a_belt_that_slips_as_set_has_no_such_tension(void **state)
{
    (void)state;
    pair p;
    const snub_retension r = of_pair(&p, 0, 300, 30);
    assert_true(isnan(r.again));
    drive_text_close(&p.t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(it_is_set_again_before_the_design_grip_is_used_up),
                                       cmocka_unit_test(a_belt_that_works_over_the_design_grip_is_watched_for_slip),
                                       cmocka_unit_test(the_peaks_of_a_load_count),
                                       cmocka_unit_test(a_belt_that_slips_as_set_has_no_such_tension)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* A drive whose tensioner is locked in a slot: a slot that serves the nominal belt but not the shortest or the longest
 * one in tolerance is a finding that names the belt, and the nominal belt's numbers still stand. */
#include "kit/finding.h"
#include "snub/kit.h"
#include "snub/steps.h"
#include "snub/sweep.h"
#include "support/drive_text.h"

enum { TEXT = 900 };

/* The sliding idler has `in` mm of slot left towards the loop's inside of where the nominal belt has its tension, and
 * `out` mm the other way. */
static void build_with(double in, double out, double tolerance, drive_text *t, snub_build *build)
{
    char text[TEXT];
    const int n = snprintf(text, sizeof text,
                           "snub: 1\nbelt: {ribs: 6, length: 1273.4877, tolerance: %.6g}\n"
                           "engine: {displacement: 2 L, cylinders: 4, idle: 800 rpm, redline: 6000 rpm}\n"
                           "pulleys:\n"
                           "  - {name: crank, role: crank, at: [0, 0], diameter: 150}\n"
                           "  - name: idler\n    side: back\n    diameter: 70\n"
                           "    slot: {from: [%.6g, 210], to: [%.6g, 210], setting: 1}\n    fixed_tension: 500\n"
                           "  - {name: fan, at: [0, 420], diameter: 120, load: [[1000, 2], [6000, 8]]}\n",
                           tolerance, -60 - out, -60 + in);
    assert_true(n > 0 && n < TEXT);
    drive_text_open(t, text);
    const snub_build_request as_written = {0};
    snub_error error;
    assert_int_equal(snub_build_of_drive(&t->drive, &as_written, &t->arena, build, &error), SNUB_OK);
}

/* The finding that the lock cannot serve a belt: the shortest or the longest. */
static const snub_finding *find(const snub_build *build, snub_corner corner)
{
    for (int i = 0; i < build->findings.count; i++) {
        const snub_finding *f = &build->findings.items[i];
        if (snub_wording_describe(f->wording)->rule == SNUB_RULE_LOCK && f->at.corner == corner)
            return f;
    }
    return NULL;
}

static void a_slot_with_room(void **state)
{
    (void)state;
    drive_text t;
    snub_build build;
    build_with(30, 30, 6, &t, &build);
    assert_true(build.laid);
    assert_null(find(&build, SNUB_SHORTEST));
    assert_null(find(&build, SNUB_LONGEST));
    drive_text_close(&t);
}

static void a_slot_too_short_for_the_shortest_belt(void **state)
{
    (void)state;
    drive_text t, roomy;
    snub_build build, whole;
    build_with(30, 2, 6, &t, &build);
    const snub_finding *f = find(&build, SNUB_SHORTEST);
    assert_non_null(f);
    assert_int_equal(f->level, SNUB_FAIL);
    assert_string_equal(f->pulley, "idler");
    assert_null(find(&build, SNUB_LONGEST));
    /* The nominal belt stands as in a slot that has room. */
    assert_true(build.laid);
    build_with(30, 30, 6, &roomy, &whole);
    for (int i = 0; i < 3; i++)
        assert_near("tension", build.rest.span_tension[i], whole.rest.span_tension[i], 1e-5, "N");
    assert_near("setting", build.settings[1] + 28e-3, whole.settings[1], 1e-9, "m");
    drive_text_close(&t);
    drive_text_close(&roomy);
}

static void a_slot_too_short_for_the_longest_belt(void **state)
{
    (void)state;
    drive_text t;
    snub_build build;
    build_with(2, 30, 6, &t, &build);
    assert_non_null(find(&build, SNUB_LONGEST));
    assert_null(find(&build, SNUB_SHORTEST));
    assert_true(build.laid);
    drive_text_close(&t);
}

static void show(const snub_build *build, snub_shown_belt belt, drive_text *t, snub_state *shown)
{
    const snub_wanted_state wanted = {.speed = 100.0, .belt = belt};
    snub_error error;
    assert_int_equal(snub_build_state(build, &wanted, &t->arena, shown, &error), SNUB_OK);
}

static void assert_told(const snub_finding *why, snub_wording wording, double value, const char *belt)
{
    assert_int_equal(why->wording, wording);
    assert_int_equal(why->level, SNUB_FAIL);
    assert_string_equal(why->pulley, "idler");
    assert_string_equal(why->other, belt);
    assert_near("misses by", why->value, value, 1e-12, "m");
}

/* Of such a belt no setting, no tension and no reading is shown: whoever asks is told why there is none. */
static void a_slot_that_does_not_serve_the_nominal_belt(void **state)
{
    static const snub_shown_belt belts[] = {SNUB_SHOW_NOMINAL, SNUB_SHOW_LONGEST};
    static const char *const names[] = {"nominal belt", "longest belt"};
    (void)state;
    for (int is_long = 0; is_long < 2; is_long++) {
        drive_text t;
        snub_build build;
        snub_state shown;
        snub_expectation expected;
        snub_retension again;
        snub_sweep sweep;
        snub_error error = {0};
        build_with(is_long ? -20 : 40, is_long ? 40 : -20, 0, &t, &build);
        const snub_finding *f = find(&build, SNUB_NOMINAL);
        assert_non_null(f);
        assert_int_equal(f->wording, is_long ? SNUB_SAYS_LOCK_TOO_LONG : SNUB_SAYS_LOCK_TOO_SHORT);
        assert_true(f->value > 1e-3 && f->value < 0.04); /* a path goes with the slot by twice its way at most */
        assert_false(build.laid);
        assert_int_equal(snub_findings_verdict(&build.findings), SNUB_FAIL);
        assert_true(isnan(build.settings[1]));
        for (int k = 0; k < 2; k++) { /* without a tolerance they are one belt */
            show(&build, belts[k], &t, &shown);
            assert_false(shown.solved);
            assert_told(&shown.why, f->wording, f->value, names[k]);
        }
        snub_expect(&build, &expected);
        assert_false(expected.known);
        snub_retension_find(&build, &again);
        assert_false(again.given);
        const snub_sweep_request request = {.speeds = 3};
        assert_int_equal(snub_sweep_run(&build, &request, &t.arena, &sweep, &error), SNUB_NO_EQUILIBRIUM);
        assert_non_null(strstr(error.message, is_long ? "too long to reach the set tension of 500 N"
                                                      : "too short to reach the set tension of 500 N"));
        /* a build that is settled and not judged has none either */
        const snub_build_request settle_only = {.settle_only = true};
        assert_int_equal(snub_build_of_drive(&t.drive, &settle_only, &t.arena, &build, &error), SNUB_OK);
        assert_true(isnan(build.settings[1]));
        drive_text_close(&t);
    }
}

/* Where the nominal belt is set, a state of one that is not has the finding's reason. */
static void a_state_of_a_belt_that_the_slot_does_not_serve(void **state)
{
    (void)state;
    drive_text t;
    snub_build build;
    snub_state shown;
    build_with(30, 2, 6, &t, &build);
    show(&build, SNUB_SHOW_SHORTEST, &t, &shown);
    assert_false(shown.solved);
    assert_told(&shown.why, SNUB_SAYS_LOCK_TOO_SHORT, find(&build, SNUB_SHORTEST)->value, "shortest belt");
    show(&build, SNUB_SHOW_NOMINAL, &t, &shown);
    assert_true(shown.solved);
    drive_text_close(&t);
    build_with(2, 30, 6, &t, &build);
    show(&build, SNUB_SHOW_WORN, &t, &shown);
    assert_false(shown.solved);
    assert_told(&shown.why, SNUB_SAYS_LOCK_TOO_LONG, find(&build, SNUB_LONGEST)->value, "longest belt, worn");
    drive_text_close(&t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(a_slot_with_room),
                                       cmocka_unit_test(a_slot_too_short_for_the_shortest_belt),
                                       cmocka_unit_test(a_slot_too_short_for_the_longest_belt),
                                       cmocka_unit_test(a_slot_that_does_not_serve_the_nominal_belt),
                                       cmocka_unit_test(a_state_of_a_belt_that_the_slot_does_not_serve)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* A drive whose tensioner is locked in a slot: a slot that serves the nominal belt but not the shortest or the longest
 * one in tolerance is a finding that names the belt, and the nominal belt's numbers still stand. */
#include "kit/finding.h"
#include "snub/kit.h"
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
                           "    slot: {from: [%.6g, 210], to: [%.6g, 210]}\n    fixed_tension: 500\n"
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

static void a_slot_that_does_not_serve_the_nominal_belt(void **state)
{
    (void)state;
    drive_text t;
    snub_build build;
    build_with(40, -20, 0, &t, &build);
    assert_false(build.laid);
    assert_int_equal(snub_findings_verdict(&build.findings), SNUB_FAIL);
    drive_text_close(&t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(a_slot_with_room),
                                       cmocka_unit_test(a_slot_too_short_for_the_shortest_belt),
                                       cmocka_unit_test(a_slot_too_short_for_the_longest_belt),
                                       cmocka_unit_test(a_slot_that_does_not_serve_the_nominal_belt)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

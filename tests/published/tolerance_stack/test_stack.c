/* Shigley's Mechanical Engineering Design, 9th ed., Example 1-3: a shouldered screw, w = a - b - c - d, as the stack of
 * a pulley whose plane is w. */
#include "snub/hardware.h"
#include "snub/kit.h"
#include "support/drive_text.h"

/* %s: the pump's stack. The crank's plane is 0 and has no tolerance. */
static const char two_pulleys[] = "snub: 1\n"
                                  "engine: {displacement: 2.0 L, cylinders: 4, idle: 800 rpm, redline: 6000 rpm}\n"
                                  "belt: {section: PK, ribs: 6, length: 945.8}\n"
                                  "pulleys:\n"
                                  "  - {name: crank, role: crank, at: [0, 0], diameter: 130}\n"
                                  "  - {name: pump, at: [0, 300], diameter: 90, stack: [%s]}\n";

typedef struct sum {
    double mean, worst, rss; /* of the pump's plane, m */
} sum;

static sum stack_up(const char *stack)
{
    char file[2048];
    drive_text text;
    snub_build build;
    snub_error error = {0};
    const snub_build_request as_written = {0};
    snprintf(file, sizeof file, two_pulleys, stack);
    drive_text_open(&text, file);
    if (snub_build_of_drive(&text.drive, &as_written, &text.arena, &build, &error) != SNUB_OK)
        fail_msg("%s", error.message);
    assert_non_null(build.report);
    const int pump = snub_drive_pulley(&text.drive, "pump");
    const snub_plane_result *r = &build.report->plane[pump];
    const double span = build.rest.path.span[0]; /* an angle is a step of the plane over the span */
    const sum w = {r->entry * span, r->worst * span, r->rss * span};
    drive_text_close(&text);
    return w;
}

static void example_1_3(void **state)
{
    (void)state;
    const sum w = stack_up("{name: a, kind: offset, length: 1.75 in, tolerance: 0.003 in},"
                           "{name: b, kind: offset, length: -0.75 in, tolerance: 0.001 in},"
                           "{name: c, kind: offset, length: -0.12 in, tolerance: 0.005 in},"
                           "{name: d, kind: offset, length: -0.875 in, tolerance: 0.001 in}");
    const double mean = w.mean / SNUB_INCH, worst = w.worst / SNUB_INCH, rss = w.rss / SNUB_INCH;
    assert_near("mean", mean, 0.005, 1e-12, "in");
    assert_near("worst", worst, 0.010, 1e-12, "in");
    assert_near("most", mean + worst, 0.015, 1e-12, "in");
    assert_near("least", mean - worst, -0.005, 1e-12, "in");
    assert_near("d for a least gap of 0.003", 0.875 - (0.003 - (mean - worst)), 0.867, 1e-12, "in");
    assert_near("rss", rss, 0.006, 1e-12, "in");
    assert_near("rss least", mean - rss, -0.001, 1e-12, "in");
    assert_near("rss most", mean + rss, 0.011, 1e-12, "in");
    /* derived: sd = tolerance / 3 */
    assert_near("P(w < 0)", 0.5 * erfc(mean / (rss / 3) / sqrt(2)), 0.00621, 5e-6, "");
    assert_near("P(w < 0.003)", 0.5 * erfc((mean - 0.003) / (rss / 3) / sqrt(2)), 0.158655, 5e-7, "");
}

/* Derived: ten equal parts of +-0.1 mm. */
static void ten_parts(void **state)
{
    (void)state;
    char stack[1024];
    int length = 0;
    for (int i = 0; i < 10; i++)
        length += snprintf(stack + length, sizeof stack - (size_t)length,
                           "%s{name: part %d, kind: offset, length: %d, tolerance: 0.1}", i > 0 ? ", " : "", i,
                           i < 5 ? 1 : -1);
    const sum ten = stack_up(stack);
    assert_near("mean", ten.mean, 0, 1e-15, "m");
    assert_near("worst", ten.worst / SNUB_MM, 1.0, 1e-12, "mm");
    assert_near("rss", ten.rss / SNUB_MM, 0.316228, 5e-7, "mm");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(example_1_3), cmocka_unit_test(ten_parts)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

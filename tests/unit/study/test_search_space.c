/* Regions from both sides, grids, choices, how far things are moved, and how a value is written. */
#include <stdio.h>
#include <string.h>

#include "snub/units.h"
#include "study/search_space.h"
#include "support/drive_text.h"
#include "support/near.h"

#define HEAD                                                                                                           \
    "snub: 1\nbelt: {ribs: 6}\npulleys:\n"                                                                             \
    "  - {name: crank, role: crank, at: [0, 0], diameter: 150}\n"                                                      \
    "  - {name: arm, side: back, diameter: 80, arm: {pivot: [-120, 75], length: 110, free: 40, loads: ccw, travel: "   \
    "32,\n"                                                                                                            \
    "     preload: 20, rate: 0.4}}\n"                                                                                  \
    "  - {name: idler, side: back, at: [-90, 250.04], diameter: 80}\n"                                                 \
    "  - {name: pump, at: [0, 350], diameter: 110}\n"

static void open_space(drive_text *t, const char *units, const char *moves, snub_space *space)
{
    char text[4000];
    snprintf(text, sizeof text, "%s%s\nsearch: {aims: [worst grip], move: [%s]}\n", units, HEAD, moves);
    drive_text_open(t, text);
    snub_space_open(&t->drive, space);
}

/* Points in mm and how far they lie outside. */
static void outside(const snub_space *space, double x, double y, double want)
{
    const double at[2] = {x * SNUB_MM, y * SNUB_MM};
    assert_near("outside", snub_region_outside(&space->section->moves[0], at) / SNUB_MM, want, 1e-9, "mm");
}

static void regions(void **state)
{
    drive_text t;
    snub_space s;
    (void)state;
    open_space(&t, "", "{what: idler.at, within: {circle: {at: [-90, 250], diameter: 20}}}", &s);
    outside(&s, -90, 259.99, 0.0);
    outside(&s, -90, 260.0, 0.0);
    outside(&s, -90, 260.5, 0.5);
    outside(&s, -84, 258, 0.0);
    outside(&s, -78, 266, 10.0);
    drive_text_close(&t);
    open_space(&t, "", "{what: idler.at, within: {rectangle: {from: [-80, 240], to: [-100, 260]}}}", &s);
    outside(&s, -80, 260, 0.0);
    outside(&s, -77, 264, 5.0);
    outside(&s, -101, 250, 1.0);
    drive_text_close(&t);
    /* an L: the corner that is cut out lies in its box and not in it */
    open_space(&t, "", "{what: idler.at, within: {polygon: [[0, 0], [20, 0], [20, 10], [10, 10], [10, 20], [0, 20]]}}",
               &s);
    outside(&s, 5, 15, 0.0);
    outside(&s, 15, 5, 0.0);
    outside(&s, 14, 13, 3.0);
    outside(&s, 10, 15, 0.0);
    outside(&s, -2, 5, 2.0);
    drive_text_close(&t);
}

static void grids(void **state)
{
    drive_text t;
    snub_space s;
    double v[SNUB_SEARCH_NUMBERS_MOST];
    (void)state;
    open_space(&t, "",
               "{what: idler.at, step: 2, within: {circle: {at: [-90, 250], diameter: 20}}},"
               "{what: arm.arm.free, from: 30, to: 50}, {what: idler.diameter, choose: [72, 80, 95]},"
               "{what: pump.diameter, from: 100.05, to: 120}",
               &s);
    assert_int_equal(s.count, 5);
    const double x[] = {-89.1 * SNUB_MM, 251.1 * SNUB_MM, 41.26 * SNUB_DEG, 2.7, 104.96 * SNUB_MM};
    assert_near("inside", snub_space_values(&s, x, v), 0.0, 0.0, "m");
    assert_near("x", v[0] / SNUB_MM, -90, 1e-9, "mm");
    assert_near("y", v[1] / SNUB_MM, 252, 1e-9, "mm");
    assert_near("free", v[2] / SNUB_DEG, 41.3, 1e-9, "deg");
    assert_near("choice", v[3] / SNUB_MM, 95, 1e-9, "mm");
    assert_near("diameter", v[4] / SNUB_MM, 105.0, 1e-9, "mm");
    /* 1.96 mm up, 1.3 deg on 110 mm, 15 mm and 5 mm in diameter */
    assert_near("moved", snub_space_change(&s, v) / SNUB_MM, 1.96 + 1.3 * SNUB_DEG * 110 + 15 + 5, 1e-6, "mm");
    const double ends[] = {-89.1 * SNUB_MM, 261.1 * SNUB_MM, 41.26 * SNUB_DEG, 3.0, 100.06 * SNUB_MM};
    assert_true(snub_space_values(&s, ends, v) > 1.9 * SNUB_MM); /* 262 is on the grid and outside */
    assert_near("last choice", v[3] / SNUB_MM, 95, 1e-9, "mm");
    assert_near("start in the list", s.start[3], 1.5, 0.0, "");
    drive_text_close(&t);
}

/* A grid value beyond an end is outside: 100.05 rounds to 100.1 or 100.0. */
static void ends_of_numbers(void **state)
{
    drive_text t;
    snub_space s;
    double v[SNUB_SEARCH_NUMBERS_MOST];
    (void)state;
    open_space(&t, "", "{what: pump.diameter, from: 100.04, to: 110.06}", &s);
    assert_near("under", snub_space_values(&s, (double[]){100.04 * SNUB_MM}, v) / SNUB_MM, 0.04, 1e-9, "mm");
    assert_near("over", snub_space_values(&s, (double[]){110.06 * SNUB_MM}, v) / SNUB_MM, 0.04, 1e-9, "mm");
    assert_near("in", snub_space_values(&s, (double[]){110.0 * SNUB_MM}, v) / SNUB_MM, 0.0, 0.0, "mm");
    drive_text_close(&t);
}

static void is_written(const snub_space *s, drive_text *t, int move, const double *x, const char *want)
{
    double v[SNUB_SEARCH_NUMBERS_MOST];
    snub_space_values(s, x, v);
    assert_string_equal(snub_space_text(s, move, v, &t->arena), want);
}

static void words(void **state)
{
    drive_text t;
    snub_space s;
    double v[SNUB_SEARCH_NUMBERS_MOST];
    const char *moves =
        "{what: idler.at, within: {circle: {at: [-90, 250], diameter: 40}}}, {what: arm.arm.free, from: 30, to: 50},"
        "{what: pump.diameter, from: 100, to: 120, step: 2}";
    const double x[] = {-91.34 * SNUB_MM, 250.02 * SNUB_MM, 40.04 * SNUB_DEG, 110.2 * SNUB_MM};
    (void)state;
    open_space(&t, "", moves, &s);
    is_written(&s, &t, 0, x, "[-91.3, 250]");
    is_written(&s, &t, 1, x, "40");
    is_written(&s, &t, 2, x, "110");
    snub_space_values(&s, x, v);
    assert_true(snub_space_moved(&s, 0, v));
    assert_false(snub_space_moved(&s, 1, v)); /* 40.04 is 40 on the grid */
    assert_false(snub_space_moved(&s, 2, v));
    const double up[] = {-90 * SNUB_MM, 251 * SNUB_MM, 40 * SNUB_DEG, 110 * SNUB_MM};
    snub_space_values(&s, up, v);
    assert_true(snub_space_moved(&s, 0, v)); /* in y alone */
    drive_text_close(&t);
    open_space(&t, "units: us\n", moves, &s);
    is_written(&s, &t, 0, x, "[-3.595 in, 9.845 in]");
    is_written(&s, &t, 2, x, "110 mm"); /* its step is in mm */
    drive_text_close(&t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(regions),
        cmocka_unit_test(grids),
        cmocka_unit_test(ends_of_numbers),
        cmocka_unit_test(words),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

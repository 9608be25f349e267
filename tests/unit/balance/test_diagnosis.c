/* Why there is no balance, or a bad one: too long, too short, lost belt, dead point, two positions, slack. */
#include "snub/balance.h"

#include "support/drive_text.h"

static const char *const three =
    "snub: 1\n"
    "belt: {section: PK, ribs: 6, length: 985}\n"
    "pulleys:\n"
    "  - {name: crank, role: crank, at: [0, 0], diameter: 150}\n"
    "  - {name: tensioner, side: back, diameter: 70, arm: {pivot: [-120, 75], length: 110, free: 40, loads: ccw,\n"
    "     travel: 32, preload: 20, rate: 0.4, damping: 0.2}}\n"
    "  - {name: alternator, at: [-20, 320], diameter: 60}\n";

typedef struct balanced {
    drive_text t;
    snub_rig rig;
    snub_case wanted;
    snub_equilibrium e;
    snub_error error;
} balanced;

static snub_status solve(balanced *b, const char *text, double length_mm)
{
    drive_text_open(&b->t, text);
    memset(&b->wanted, 0, sizeof b->wanted);
    memset(&b->error, 0, sizeof b->error);
    const snub_status status = snub_rig_prepare(&b->t.drive, NULL, &b->rig, &b->error);
    if (status != SNUB_OK)
        return status;
    b->wanted.belt_length = snub_belt_pitch_length(&b->t.drive.belt, length_mm * 1e-3, 0.0, false);
    return snub_solve(&b->rig, &b->wanted, &b->e, &b->error);
}

/* The inverse gives back the belt that was put in, and the moment balance closes. */
static void inverse_gives_the_belt_back(void **state)
{
    (void)state;
    balanced b;
    double length;
    assert_int_equal(solve(&b, three, 990.0), SNUB_OK);
    assert_int_equal(b.e.arm, SNUB_ARM_FREE);
    assert_true(snub_length_for_wind(&b.rig, &b.wanted, b.e.wind, &length));
    assert_near("belt length", length * 1e3, b.wanted.belt_length * 1e3, 1e-9, "mm");
    const double lever = b.e.geometry.lever_out - b.e.geometry.lever_in;
    const double spring = b.rig.preload + b.rig.rate * b.e.wind;
    assert_near("moment about the pivot", b.e.tension * lever, spring, 1e-9 * spring, "N m");
    drive_text_close(&b.t);
}

static void long_belt_lies_on_rest_then_goes_slack(void **state)
{
    (void)state;
    balanced b;
    double rest_length;
    assert_int_equal(solve(&b, three, 990.0), SNUB_OK);
    assert_true(snub_length_for_wind(&b.rig, &b.wanted, 0.0, &rest_length));
    b.wanted.belt_length = rest_length + 0.0005; /* a little too long: still some tension, on the rest */
    assert_int_equal(snub_solve(&b.rig, &b.wanted, &b.e, &b.error), SNUB_OK);
    assert_int_equal(b.e.arm, SNUB_ARM_AT_REST);
    assert_near("wind", b.e.wind, 0.0, 0.0, "rad");
    b.wanted.belt_length = rest_length + 0.0123;
    assert_int_equal(snub_solve(&b.rig, &b.wanted, &b.e, &b.error), SNUB_NO_EQUILIBRIUM);
    assert_non_null(strstr(b.error.message, "12.3 mm too long"));
    drive_text_close(&b.t);
}

static void short_belt_lies_on_the_stop(void **state)
{
    (void)state;
    balanced b;
    double stop_length;
    assert_int_equal(solve(&b, three, 990.0), SNUB_OK);
    assert_true(snub_length_for_wind(&b.rig, &b.wanted, b.rig.travel, &stop_length));
    b.wanted.belt_length = stop_length - 0.002;
    assert_int_equal(snub_solve(&b.rig, &b.wanted, &b.e, &b.error), SNUB_OK);
    assert_int_equal(b.e.arm, SNUB_ARM_AT_STOP);
    assert_near("wind", b.e.wind, b.rig.travel, 0.0, "rad");
    /* A locked pulley: 2 mm more of stretch over the whole loop. */
    snub_equilibrium at_end;
    b.wanted.belt_length = stop_length - 1e-12;
    assert_int_equal(snub_solve(&b.rig, &b.wanted, &at_end, &b.error), SNUB_OK);
    const double more = b.t.drive.belt.stiffness * 0.002 / at_end.geometry.length;
    assert_near("tension on the stop", b.e.tension - at_end.tension, more, 1e-3 * more, "N");
    drive_text_close(&b.t);
}

/* The tensioner stands clear of the belt at every wind: it has lost it, and is named. */
static void lost_belt_is_named(void **state)
{
    (void)state;
    balanced b;
    const char *const text = "snub: 1\n"
                             "belt: {section: PK, ribs: 6, length: 985}\n"
                             "pulleys:\n"
                             "  - {name: crank, role: crank, at: [0, 0], diameter: 150}\n"
                             "  - {name: idler, side: back, diameter: 70, at: [-220, 150]}\n"
                             "  - {name: alternator, at: [-20, 320], diameter: 60}\n";
    assert_int_equal(solve(&b, text, 990.0), SNUB_LOST_BELT);
    assert_string_equal(b.error.key, "idler");
    assert_int_equal(b.error.place.line, 5);
    drive_text_close(&b.t);
}

static void overlap_is_named(void **state)
{
    (void)state;
    balanced b;
    const char *const text = "snub: 1\n"
                             "belt: {section: PK, ribs: 6, length: 985}\n"
                             "pulleys:\n"
                             "  - {name: crank, role: crank, at: [0, 0], diameter: 150}\n"
                             "  - {name: idler, side: back, diameter: 70, at: [-60, 60]}\n"
                             "  - {name: alternator, at: [-20, 320], diameter: 60}\n";
    assert_int_equal(solve(&b, text, 990.0), SNUB_NO_TANGENT);
    assert_non_null(strstr(b.error.message, "crank and idler"));
    drive_text_close(&b.t);
}

/* A long arm that swings across a span: first it takes belt up, then past its dead point it lets belt out again.
 * A spring that falls off with wind (negative rates are refused) is not needed: with no belt the spring wins there. */
static void dead_point_is_seen(void **state)
{
    (void)state;
    balanced b;
    const char *const text =
        "snub: 1\n"
        "belt: {section: PK, ribs: 6, length: 985}\n"
        "pulleys:\n"
        "  - {name: crank, role: crank, at: [0, 0], diameter: 150}\n"
        "  - {name: tensioner, side: back, diameter: 70, arm: {pivot: [-160, 160], length: 120, free: 60,\n"
        "     loads: cw, travel: 120, preload: 5, rate: 0.05, damping: 0}}\n"
        "  - {name: alternator, at: [-20, 320], diameter: 60}\n";
    drive_text_open(&b.t, text);
    assert_int_equal(snub_rig_prepare(&b.t.drive, NULL, &b.rig, &b.error), SNUB_OK);
    int rising = 0, falling = 0;
    for (int k = 0; k <= SNUB_WIND_GRID; k++) {
        const snub_arm_geometry *g = &b.rig.grid[k];
        if (!g->valid)
            continue;
        if (g->lever_out - g->lever_in > 0.0)
            falling++; /* winding shortens the path */
        else
            rising++;
    }
    assert_true(rising > 0);
    assert_true(falling > 0);
    /* Where winding lengthens the path the inverse has no answer and says so. */
    double length;
    memset(&b.wanted, 0, sizeof b.wanted);
    assert_false(snub_length_for_wind(&b.rig, &b.wanted, 0.02, &length));
    drive_text_close(&b.t);
}

/* The levers are the slope of the path: -dG/dwind = lever_out - lever_in, by central differences of second order. */
static void lever_is_the_slope_of_the_path(void **state)
{
    (void)state;
    balanced b;
    assert_int_equal(solve(&b, three, 990.0), SNUB_OK);
    double centre[SNUB_PULLEYS_MOST][2], radius[SNUB_PULLEYS_MOST], error[2];
    snub_signed_radii(&b.t.drive, radius);
    for (int half = 0; half < 2; half++) {
        const double h = half == 0 ? 1e-2 : 5e-3;
        double length[2];
        for (int end = 0; end < 2; end++) {
            snub_path path;
            snub_place_pulleys(&b.t.drive, b.e.wind + (end == 0 ? -h : h), NULL, centre);
            assert_int_equal(snub_path_lay(3, (const double(*)[2])centre, radius, 1.0, &path, NULL), SNUB_OK);
            length[end] = path.length;
        }
        error[half] = fabs(-(length[1] - length[0]) / (2.0 * h) - (b.e.geometry.lever_out - b.e.geometry.lever_in));
    }
    assert_near("order of convergence", log2(error[0] / error[1]), 2.0, 0.1, "");
    drive_text_close(&b.t);
}

static void slack_span_is_infinite_grip(void **state)
{
    (void)state;
    assert_true(isinf(snub_grip(100.0, -1.0, 0.4, 3.0)));
    assert_true(isinf(snub_grip(100.0, 0.0, 0.4, 3.0)));
    assert_true(isinf(snub_grip(100.0, 50.0, 0.4, 0.0)));
    assert_near("no torque needs no grip", snub_grip(100.0, 100.0, 0.4, 0.0), 0.0, 0.0, "");
    assert_near("sides change nothing", snub_grip(100.0, 200.0, 0.4, 3.0), snub_grip(200.0, 100.0, 0.4, 3.0), 0.0, "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(inverse_gives_the_belt_back),
        cmocka_unit_test(long_belt_lies_on_rest_then_goes_slack),
        cmocka_unit_test(short_belt_lies_on_the_stop),
        cmocka_unit_test(lost_belt_is_named),
        cmocka_unit_test(overlap_is_named),
        cmocka_unit_test(dead_point_is_seen),
        cmocka_unit_test(lever_is_the_slope_of_the_path),
        cmocka_unit_test(slack_span_is_infinite_grip),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

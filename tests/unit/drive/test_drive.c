/** Values of a drive as read: units, defaults, conversions, overlays, parts. */
#include <pthread.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#include "drive/tree.h"
#include "support/drive_text.h"

/** Of values that differ by rounding only, relative. */
#define ROUNDING 1e-12

/** The example on which the format was fixed. */
#define EXAMPLE SNUB_SOURCE_DIR "/tests/unit/drive/design_example.yaml"

#define HEAD "snub: 1\nbelt: {ribs: 6}\npulleys:\n"
#define CRANK "  - {name: crank, role: crank, at: [0, 0], diameter: 150}\n"
#define ALTERNATOR "  - {name: alternator, at: [-40, 280], diameter: 60}\n"

static void close_to(double got, double want, const char *unit)
{
    if (!(fabs(got - want) <= ROUNDING * (1 + fabs(want)))) {
        print_error("got %.17g, want %.17g, tolerance %g %s\n", got, want, ROUNDING * (1 + fabs(want)), unit);
        fail();
    }
}

static snub_overlay lay(drive_text *t, const char *path, const char *text)
{
    snub_node *node = NULL;
    snub_error error = {0};
    assert_int_equal(snub_node_from_text(text, "test", &t->arena, &node, &error), SNUB_OK);
    return (snub_overlay){path, node, {.file = "test"}};
}

static snub_status read_with(drive_text *t, const snub_overlay *overlays, int count, snub_drive *drive,
                             snub_errors *errors)
{
    snub_reading reading = t->reading;
    reading.overlays = overlays;
    reading.overlay_count = count;
    return snub_drive_read(&t->document, &reading, drive, errors);
}

static void test_example(void **state)
{
    (void)state;
    drive_text t;
    drive_text_open_file(&t, EXAMPLE);
    const snub_drive *d = &t.drive;
    assert_string_equal(d->title, "Inline six with a snub idler");
    assert_int_equal(d->pulley_count, 7);
    assert_int_equal(d->crank, 0);
    assert_int_equal(d->arm, 1);
    assert_int_equal(d->locked, -1);
    close_to(d->turn, 1, "");
    close_to(d->engine.displacement, 0.004, "m3");
    close_to(d->engine.redline, 6200 * SNUB_RPM, "rad/s");
    close_to(d->engine.decel_rate, 9000 * SNUB_RPM, "rad/s2");
    assert_int_equal(d->engine.volumetric_efficiency.n, 3);
    close_to(d->engine.volumetric_efficiency.x[1], 3500 * SNUB_RPM, "rad/s");
    close_to(d->engine.volumetric_efficiency.y[1], 0.92, "");
    close_to(d->air.pressure, 101325, "Pa");
    close_to(d->air.temperature, 298.15, "K");
    close_to(d->belt.mass, 8 * 0.019, "kg/m");
    close_to(d->belt.stiffness, 8 * 28000.0, "N");
    close_to(d->belt.measuring_tension, 400, "N");
    close_to(d->belt.length, 1.575, "m");
    assert_true(isnan(d->belt.tolerance)); /* it follows from the belt */
    close_to(snub_belt_tolerance(&d->belt, d->belt.length), 0.009, "m");
    assert_int_equal(d->belt.stock_count, 41);
    close_to(d->belt.stock[40].length, 1.7, "m");
    const snub_arm *arm = &d->pulleys[1].arm;
    close_to(arm->rate, 0.8 / SNUB_DEG, "N m/rad");
    close_to(arm->loads, -1, "");
    close_to(arm->work[1], 52 * SNUB_DEG, "rad");
    close_to(d->pulleys[1].pitch_radius, 0.0395, "m");
    close_to(d->pulleys[1].at[0], -0.220 + 0.095 * cos(20 * SNUB_DEG), "m");
    close_to(d->pulleys[1].at[1], 0.130 + 0.095 * sin(20 * SNUB_DEG), "m");
    const snub_pulley *blower = &d->pulleys[snub_drive_pulley(d, "blower")];
    close_to(blower->diameter, 0.080885, "m");
    close_to(blower->pitch_radius, 0.0424425, "m");
    close_to(blower->blower.swept, 0.0016, "m3");
    close_to(blower->blower.leakage_speed, 850 * SNUB_RPM, "rad/s");
    const snub_pulley *snub = &d->pulleys[snub_drive_pulley(d, "snub")];
    close_to(snub->slot.length, 0.05, "m");
    close_to(snub->setting, 0.02, "m");
    close_to(snub->at[0], -0.112 + 0.4 * 0.04, "m");
    close_to(snub->at[1], 0.304 + 0.4 * 0.03, "m");
    assert_int_equal(d->option_count, 2);
    assert_int_equal(d->options[0].count, 6);
    assert_int_equal(d->variant_count, 1);
    assert_int_equal(d->variants[0].count, 2);
    close_to(d->limits[SNUB_LIMIT_BACK_DIAMETER_LIFE], 0.09, "m");
    assert_int_equal(d->limits_place[SNUB_LIMIT_CLEARANCE].line, 0);
    assert_int_equal(snub_drive_pulley(d, "none"), -1);
    drive_text_close(&t);
}

static void test_lock(void **state)
{
    (void)state;
    drive_text t;
    drive_text_open(
        &t, HEAD CRANK ALTERNATOR
        "  - {name: slider, side: back, diameter: 60, slot: {from: [-80, 100], to: [-40, 130], setting: 25}, "
        "fixed_tension: 150 lbf}\n");
    assert_int_equal(t.drive.arm, -1);
    assert_int_equal(t.drive.locked, 2);
    close_to(t.drive.pulleys[2].fixed_tension, 150 * 4.4482216152605, "N");
    close_to(t.drive.pulleys[2].at[0], -0.060, "m");
    drive_text_close(&t);
}

/** The examples that come along can all be read, with every value on offer. */
static void test_examples(void **state)
{
    (void)state;
    static const char *const files[] = {"sedgemere", "sedgemere-locked", "three-pulleys", "ironbrook-v8"};
    for (int i = 0; i < 4; i++) {
        char path[512];
        drive_text t;
        snub_drive drive;
        snub_errors errors = {0};
        snprintf(path, sizeof(path), "%s/examples/%s.yaml", SNUB_SOURCE_DIR, files[i]);
        drive_text_open_file(&t, path);
        assert_int_equal(t.drive.locked >= 0, i == 1);
        assert_int_equal(snub_drive_check(&t.document, &t.reading, &drive, &errors), SNUB_OK);
        drive_text_close(&t);
    }
}

static void test_defaults(void **state)
{
    (void)state;
    drive_text t;
    drive_text_open(&t, HEAD CRANK ALTERNATOR);
    const snub_drive *d = &t.drive;
    assert_string_equal(d->title, "");
    assert_string_equal(d->belt.section, "PK");
    assert_false(d->engine.given);
    assert_false(d->cooler.given);
    close_to(d->belt.be, 0.002, "m");
    close_to(d->belt.back, 0.0008, "m");
    assert_int_equal(d->belt.back_from, SNUB_BACK_DEFAULT);
    close_to(d->belt.thickness, 0.0045, "m");
    close_to(d->belt.pitch, 0.00356, "m");
    close_to(d->belt.wet, 0.35, "");
    close_to(d->belt.bending, 0, "N m2");
    close_to(d->belt.flap_damping, 0.01, "");
    close_to(d->belt.worn, 0, "");
    close_to(d->belt.design.rib, 0.4413, "");
    close_to(d->belt.limit.rib, 0.9, "");
    close_to(d->belt.limit.back, 0.35, "");
    assert_int_equal(d->belt.stock_count, 0);
    assert_true(isnan(d->belt.length));
    close_to(d->pulleys[1].width, 5 * 0.00356 + 0.005, "m");
    close_to(d->pulleys[1].rim_radius, 0.03, "m");
    close_to(d->pulleys[1].plane, 0, "m");
    assert_int_equal(d->pulleys[1].load.n, 0);
    assert_null(d->hardware);
    for (int i = 0; i < SNUB_LIMITS_; i++) {
        const snub_limit_info *info = snub_limit_describe((snub_limit)i);
        assert_non_null(info->key);
        assert_non_null(info->source);
        close_to(snub_in_unit(info->unit, d->limits[i]), info->value, snub_unit_describe(info->unit)->text);
        assert_true(info->least <= info->value && info->value <= info->most);
    }
    close_to(d->limits[SNUB_LIMIT_BEARING_LIFE] / SNUB_HOUR, 4000, "h");
    drive_text_close(&t);
}

static void test_limits_by_section(void **state)
{
    (void)state;
    static const struct {
        const char *section;
        double least_mm;
    } at[] = {{"PH", 13}, {"PJ", 20}, {"PL", 75}, {"PM", 180}};
    for (size_t i = 0; i < sizeof at / sizeof *at; i++) {
        char text[600];
        snprintf(text, sizeof text,
                 "snub: 1\ntitle: t\nengine: {displacement: 2 L, cylinders: 4, idle: 800, redline: 6000}\n"
                 "belt: {section: %s, ribs: 4, length: 900, back: 1, thickness: 13, mass: 0.05, stiffness: 9000}\n"
                 "pulleys:\n  - {name: crank, role: crank, at: [0, 0], diameter: 200}\n"
                 "  - {name: fan, at: [0, 300], diameter: 200}\n",
                 at[i].section);
        drive_text t;
        drive_text_open(&t, text);
        const snub_drive *d = &t.drive;
        const double least = at[i].least_mm / 1000;
        close_to(d->limits[SNUB_LIMIT_RIB_DIAMETER], least, "m");
        close_to(d->limits[SNUB_LIMIT_RIB_DIAMETER_LIFE], least * 50 / 45, "m");
        close_to(d->limits[SNUB_LIMIT_BACK_DIAMETER], least, "m");
        close_to(d->limits[SNUB_LIMIT_BACK_DIAMETER_LIFE], least * 2, "m");
        close_to(d->limits[SNUB_LIMIT_RIB_TENSION], 250, "N");
        assert_string_equal(snub_limit_preset(d, SNUB_LIMIT_RIB_TENSION).source,
                            "of section PK: rule of thumb, no published source");
        drive_text_close(&t);
    }
}

/** A loop makes one turn: round a circle the back lies at outside/(2 pi), the cord at length/(2 pi) + be. Inches, a be
 *  of its own, a section without a default, and another belt than the drive's. */
static void test_measured_outside(void **state)
{
    (void)state;
    static const struct {
        const char *belt;
        double back_mm;
    } at[] = {{"ribs: 6, length: 1000, outside: {value: 1592, length: 1575}", 17 / (2 * SNUB_PI) - 2},
              {"ribs: 6, be: 1.4, outside: {value: 1592, length: 1575}", 17 / (2 * SNUB_PI) - 1.4},
              {"ribs: 6, outside: {value: 62.7 in, length: 62 in}", 0.7 * 25.4 / (2 * SNUB_PI) - 2},
              {"section: PJ, ribs: 6, outside: {value: 1016, length: 1000}, thickness: 4, mass: 0.01, stiffness: 9000",
               16 / (2 * SNUB_PI) - 1.2}};
    for (size_t i = 0; i < sizeof at / sizeof at[0]; i++) {
        char text[400];
        drive_text t;
        snprintf(text, sizeof text,
                 "snub: 1\nbelt: {%s}\npulleys:\n  - {name: crank, role: crank, at: [0, 0], diameter: 150}\n"
                 "  - {name: idler, side: back, at: [0, 300], diameter: 80}\n",
                 at[i].belt);
        drive_text_open(&t, text);
        close_to(t.drive.belt.back, at[i].back_mm * 1e-3, "m");
        close_to(t.drive.pulleys[1].pitch_radius, 0.040 + at[i].back_mm * 1e-3, "m");
        assert_int_equal(t.drive.belt.back_from, SNUB_BACK_MEASURED);
        drive_text_close(&t);
    }
}

static void test_measured_diameters(void **state)
{
    (void)state;
    drive_text t;
    drive_text_open(&t, HEAD CRANK
                    "  - {name: tips, at: [0, 300], diameter: {value: 3.15 in, over: outside}}\n"
                    "  - {name: balls, at: [200, 300], diameter: {value: 80, over: balls}}\n"
                    "  - {name: plain, at: [200, 0], diameter: {value: 80}, rim: 43, width: 30, plane: -1.5}\n"
                    "  - {name: back, side: back, at: [100, 100], diameter: '2.5 in'}\n");
    close_to(t.drive.pulleys[1].diameter, 3.15 * 0.0254 + 0.000885, "m");
    close_to(t.drive.pulleys[2].diameter, 0.080 - 0.000990, "m");
    close_to(t.drive.pulleys[3].diameter, 0.080, "m");
    close_to(t.drive.pulleys[3].rim_radius, 0.043, "m");
    close_to(t.drive.pulleys[3].plane, -0.0015, "m");
    close_to(t.drive.pulleys[4].pitch_radius, 1.25 * 0.0254 + 0.0008, "m");
    drive_text_close(&t);
}

/** U.S. Standard Atmosphere 1976, Mechanical Engineers' Handbook vol. 4, table 6, p. 12 (published). */
static void test_altitude(void **state)
{
    (void)state;
    static const double table[][2] = {{0, 1.0133}, {1000, 0.8988}, {2000, 0.7950}, {3000, 0.7012}};
    const double printed = 0.5e-4; /* bar, half of the last digit printed */
    for (int i = 0; i < 4; i++) {
        char text[400];
        drive_text t;
        snprintf(text, sizeof(text), "snub: 1\nair: {altitude: %g m}\nbelt: {ribs: 6}\npulleys:\n" CRANK ALTERNATOR,
                 table[i][0]);
        drive_text_open(&t, text);
        double got = t.drive.air.pressure / 1e5;
        if (fabs(got - table[i][1]) > printed + 1e-12)
            fail_msg("at %g m: got %.6f, want %.4f, tolerance %g bar", table[i][0], got, table[i][1], printed);
        close_to(t.drive.air.altitude, table[i][0], "m");
        close_to(t.drive.air.temperature, 298.15, "K");
        drive_text_close(&t);
    }
}

/** A gauge pressure is one atmosphere more where pressures are absolute, and as it stands where they are differences.
 */
static void test_gauge(void **state)
{
    (void)state;
    drive_text t;
    drive_text_open(
        &t, "snub: 1\nair: {pressure: 0 barg}\ncooler: {effectiveness: 0.7, pressure_drop: 0.9 psig, flow: 1}\n"
            "belt: {ribs: 6}\npulleys:\n" CRANK
            "  - {name: pump, at: [0, 300], diameter: 60, load_by_boost: {speed: [1000], boost: [0, 8 psig, 9 psi],"
            " torque: [[1, 2, 3]]}}\n");
    const double psi = 0.45359237 * 9.80665 / (0.0254 * 0.0254);
    close_to(t.drive.air.pressure, 101325, "Pa");
    assert_near("loss", t.drive.cooler.pressure_drop, 0.9 * psi, 1e-9, "Pa");
    assert_near("boost", t.drive.pulleys[1].load_by_boost.y[1], 8 * psi, 1e-9, "Pa");
    assert_near("boost", t.drive.pulleys[1].load_by_boost.y[2], 9 * psi, 1e-9, "Pa");
    drive_text_close(&t);
}

/** A density is a number, or follows from pressure and temperature: p M/(R* T), US Standard Atmosphere, 1976. */
static void test_bench_air(void **state)
{
    (void)state;
    static const struct {
        const char *keys;
        double density, inlet_density;
    } written[] = {
        {"", 0, 0},
        {", density: 1.2", 1.2, 0},
        {", density: 0.075 lb/ft3", 0.075 * 0.45359237 / (0.3048 * 0.3048 * 0.3048), 0},
        {", density: {pressure: 160 kPa, temperature: 95 degC}", 160e3 * 28.9644 / (8314.32 * 368.15), 0},
        {", inlet_flow: 0.1, inlet_density: {pressure: 0 psig, temperature: 77 degF}", 0,
         101325 * 28.9644 / (8314.32 * 298.15)},
    };
    for (size_t i = 0; i < sizeof written / sizeof written[0]; i++) {
        drive_text t;
        char text[600];
        snprintf(text, sizeof text,
                 "snub: 1\ncooler: {effectiveness: 0.7, pressure_drop: 5, flow: 12 lb/min%s}\nbelt: {ribs: 6}\n"
                 "pulleys:\n" CRANK "  - {name: pump, at: [0, 300], diameter: 60}\n",
                 written[i].keys);
        drive_text_open(&t, text);
        close_to(t.drive.cooler.flow, 12 * 0.45359237 / 60, "kg/s");
        close_to(t.drive.cooler.density, written[i].density, "kg/m3");
        close_to(t.drive.cooler.inlet_density, written[i].inlet_density, "kg/m3");
        drive_text_close(&t);
    }
    close_to(snub_bench_density(), 101325 * 28.9644 / (8314.32 * 298.15), "kg/m3");
}

/* A number that stands twice is told apart by seal and clearance; a seat that says no clearance has its row's. */
static void test_bearings(void **state)
{
    (void)state;
    drive_text t;
    drive_text_open(&t, HEAD CRANK ALTERNATOR
                    "  - {name: a, at: [40, 280], diameter: 60, bearing: {type: 6203, seal: shield}}\n"
                    "  - {name: b, at: [80, 280], diameter: 60, bearing: {type: 6203, seal: contact, clearance: C4}}\n"
                    "  - {name: c, at: [120, 280], diameter: 60, bearing: {type: 6303}}\n"
                    "  - {name: d, at: [160, 280], diameter: 60, bearing: {type: 6204, clearance: C3}}\n"
                    "  - {name: e, at: [160, 200], diameter: 60, bearing: {type: 6204, clearance: C2}}\n"
                    "bearings:\n"
                    "  - {designation: 6203, bore: 17, outside: 40, dynamic: 9550, static: 4800, seal: contact}\n"
                    "  - {designation: 6203, bore: 17, outside: 40, dynamic: 9550, static: 4800, seal: shield}\n"
                    "  - {designation: 6303, bore: 17, outside: 47, dynamic: 9550, static: 4800, clearance: C3}\n"
                    "  - {designation: 6204, bore: 20, outside: 47, dynamic: 9550, static: 4800, clearance: C3}\n"
                    "  - {designation: 6204, bore: 20, outside: 47, dynamic: 9550, static: 4800, clearance: C2}\n");
    static const struct {
        int row;
        const char *clearance;
    } want[] = {{1, "CN"}, {0, "C4"}, {2, "C3"}, {3, "C3"}, {4, "C2"}};
    for (int i = 0; i < 5; i++) {
        const snub_bearing_seat *seat = &t.drive.hardware->pulleys[2 + i].seat;
        assert_int_equal(seat->bearing, want[i].row);
        assert_string_equal(seat->clearance, want[i].clearance);
    }
    assert_null(t.drive.hardware->bearings[0].clearance);
    drive_text_close(&t);
}

/* What a bearing's life rests on, where the file does not say. */
static void test_bearing_film(void **state)
{
    (void)state;
    drive_text t;
    drive_text_open(
        &t, HEAD CRANK ALTERNATOR
        "  - {name: a, at: [40, 280], diameter: 60, bearing: {type: 6203, seal: shield}}\n"
        "  - {name: b, at: [80, 280], diameter: 60, bearing: {type: 6203, seal: contact, grease: wide-range}}\n"
        "  - {name: c, at: [120, 280], diameter: 60, bearing: {type: 6303, oil: [100 cSt, 11.1], cleanliness: "
        "severe-contamination, application_factor: 1.5}}\n"
        "bearings:\n"
        "  - {designation: 6203, bore: 17, outside: 40, dynamic: 9550, static: 4800, seal: contact}\n"
        "  - {designation: 6203, bore: 17, outside: 40, dynamic: 9550, static: 4800, seal: shield}\n"
        "  - {designation: 6303, bore: 17, outside: 47, dynamic: 9550, static: 4800, seal: open}\n");
    static const struct {
        double oil[2], application;
        snub_cleanliness level;
    } want[] = {{{70, 7.3}, 1.2, SNUB_DIRTY_SLIGHTLY},
                {{70, 9.4}, 1.2, SNUB_CLEAN_NORMALLY},
                {{100, 11.1}, 1.5, SNUB_DIRTY_SEVERELY}};
    for (int i = 0; i < 3; i++) {
        const snub_bearing_seat *seat = &t.drive.hardware->pulleys[2 + i].seat;
        for (int k = 0; k < 2; k++)
            assert_near("oil", seat->oil[k] * 1e6, want[i].oil[k], 1e-9, "mm2/s");
        assert_near("application factor", seat->application_factor, want[i].application, 0, "");
        assert_int_equal(seat->cleanliness, want[i].level);
        assert_true(seat->oil_given == (i == 2) && seat->cleanliness_given == (i == 2) &&
                    seat->application_given == (i == 2));
    }
    drive_text_close(&t);
}

static void test_bearing_numbers(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        size_t length;
    } want[] = {{"6203", 4},       {"6203-2XYZ", 4}, {"62203 Q", 5}, {"608", 3},         {"618/8", 5},
                {"63/28-2XYZ", 5}, {"6203/C3", 4},   {"6203/", 4},   {"22 mm", 0},       {"", 0},
                {"our own", 0},    {"NU 203", 0},    {"1/2 in", 0},  {"made up 6203", 0}};
    for (size_t i = 0; i < sizeof want / sizeof want[0]; i++) {
        if (snub_bearing_number(want[i].text) != want[i].length)
            fail_msg("%s: got %zu, want %zu", want[i].text, snub_bearing_number(want[i].text), want[i].length);
    }
}

static void test_curved_slot(void **state)
{
    (void)state;
    drive_text t;
    double point[2];
    drive_text_open(&t, HEAD CRANK ALTERNATOR "  - {name: idler, side: back, diameter: 60, slot: {centre: [100, 200], "
                                              "radius: 50, from: 90, to: 0, setting: 10}}\n");
    const snub_slot *slot = &t.drive.pulleys[2].slot;
    assert_true(slot->curved);
    close_to(slot->length, 0.025 * SNUB_PI, "m");
    close_to(slot->from[1], 0.25, "m");
    close_to(slot->to[0], 0.15, "m");
    snub_slot_point(slot, slot->length / 2, point);
    close_to(point[0], 0.1 + 0.05 * sqrt(0.5), "m");
    close_to(point[1], 0.2 + 0.05 * sqrt(0.5), "m");
    close_to(hypot(t.drive.pulleys[2].at[0] - 0.1, t.drive.pulleys[2].at[1] - 0.2), 0.05, "m");
    drive_text_close(&t);
}

static void test_free_slot_and_sense(void **state)
{
    (void)state;
    drive_text t;
    drive_text_open(&t, HEAD "  - {name: crank, role: crank, turns: ccw, at: [0, 0], diameter: 150}\n" ALTERNATOR
                             "  - {name: idler, side: back, diameter: 60, slot: {from: [100, 0], to: [100, 60]}}\n");
    close_to(t.drive.turn, -1, "");
    assert_true(isnan(t.drive.pulleys[2].setting));
    close_to(t.drive.pulleys[2].at[0], 0.1, "m");
    drive_text_close(&t);
}

static void test_arm_point(void **state)
{
    (void)state;
    snub_arm arm = {.pivot = {0.1, 0.2}, .length = 0.05, .free = 30 * SNUB_DEG, .loads = -1};
    double point[2];
    snub_arm_point(&arm, 30 * SNUB_DEG, point);
    close_to(point[0], 0.15, "m");
    close_to(point[1], 0.2, "m");
    arm.loads = 1;
    snub_arm_point(&arm, 60 * SNUB_DEG, point);
    close_to(point[0], 0.1, "m");
    close_to(point[1], 0.25, "m");
}

/** A choice of 75 stays a diameter over tips, and what is not touched is the file's. */
static void test_overlays(void **state)
{
    (void)state;
    drive_text t;
    snub_drive drive;
    snub_errors errors = {0};
    drive_text_open_file(&t, EXAMPLE);
    snub_overlay overlays[] = {lay(&t, "blower.diameter", "85"),
                               lay(&t, "blower.diameter", "75"),
                               lay(&t, "belt.ribs", "6"),
                               lay(&t, "pulleys.pump.at.0", "191"),
                               lay(&t, "snub.slot.setting", "33"),
                               lay(&t, "limits.wrap_crank", "160"),
                               lay(&t, "belt.length", "null"),
                               lay(&t, "cooler.effectiveness", "0.5"),
                               lay(&t, "limits.clearance", "0.25 in")};
    assert_int_equal(read_with(&t, overlays, 9, &drive, &errors), SNUB_OK);
    close_to(drive.pulleys[4].diameter, 0.075885, "m");
    close_to(drive.belt.mass, 6 * 0.019, "kg/m");
    close_to(drive.pulleys[6].at[0], 0.191, "m");
    close_to(drive.pulleys[6].at[1], 0.170, "m");
    close_to(drive.pulleys[3].setting, 0.033, "m");
    close_to(drive.limits[SNUB_LIMIT_WRAP_CRANK], 160 * SNUB_DEG, "rad");
    assert_true(isnan(drive.belt.length));
    close_to(drive.limits[SNUB_LIMIT_CLEARANCE], 0.00635, "m");
    assert_string_equal(drive.limits_place[SNUB_LIMIT_CLEARANCE].file, "test");
    assert_true(drive.cooler.given);
    snub_drive again;
    assert_int_equal(read_with(&t, NULL, 0, &again, &errors), SNUB_OK);
    close_to(again.pulleys[4].diameter, 0.080885, "m");
    close_to(again.belt.length, 1.575, "m");
    snub_overlay other = lay(&t, "blower.diameter", "{value: 75, over: balls}");
    assert_int_equal(read_with(&t, &other, 1, &drive, &errors), SNUB_OK);
    close_to(drive.pulleys[4].diameter, 0.07401, "m");
    drive_text_close(&t);
}

static void test_wrong_overlays(void **state)
{
    (void)state;
    static const char *const wrong[][2] = {{"blower.diameter", "-5"},
                                           {"blower.diametre", "5"},
                                           {"nobody.at", "[1, 2]"},
                                           {"pulleys.9.at", "[1, 2]"},
                                           {"belt.ribs.deep", "3"},
                                           {"", "3"},
                                           {"snub", "2"},
                                           {"options.belt.ribs", "[1]"},
                                           {"crank.at.x", "3"},
                                           {"belt..ribs", "6"},
                                           {"pulleys", "3"},
                                           {"belt", "null"}};
    drive_text t;
    drive_text_open_file(&t, EXAMPLE);
    for (size_t i = 0; i < sizeof(wrong) / sizeof(wrong[0]); i++) {
        snub_drive drive;
        snub_errors errors = {0};
        snub_overlay overlay = lay(&t, wrong[i][0], wrong[i][1]);
        if (read_with(&t, &overlay, 1, &drive, &errors) != SNUB_BAD_INPUT || errors.count < 1)
            fail_msg("%s: %s is taken", wrong[i][0], wrong[i][1]);
        snub_errors_free(&errors);
    }
    char *deep = SNUB_NEW(&t.arena, char, 4 << 20);
    assert_non_null(deep);
    for (int i = 0; i < (4 << 20) - 1; i++)
        deep[i] = i % 2 == 0 ? 'a' : '.';
    memcpy(deep, "crank", 5); /* a path that begins well */
    snub_drive drive;
    snub_errors errors = {0};
    snub_overlay overlay = lay(&t, deep, "1");
    assert_int_equal(read_with(&t, &overlay, 1, &drive, &errors), SNUB_BAD_INPUT);
    assert_string_equal(errors.items[0].message, "has too many words in its path");
    snub_errors_free(&errors);
    drive_text_close(&t);
}

/** A variant's own map changes what stands in it; its overlays give the drive that the file with these values gives. */
static void test_variants(void **state)
{
    (void)state;
    drive_text t;
    snub_drive drive;
    snub_errors errors = {0};
    drive_text_open(&t, HEAD CRANK ALTERNATOR "variants: {deep: {alternator: {at: [-42, 277], diameter: 62}, "
                                              "belt.ribs: 8, engine.idle: 700, engine.redline: 6000}}\n");
    const snub_variant *deep = &t.drive.variants[0];
    assert_string_equal(deep->name, "deep");
    assert_int_equal(deep->count, 5);
    assert_string_equal(deep->changes[1].path, "alternator.diameter");
    assert_int_equal(read_with(&t, deep->changes, deep->count, &drive, &errors), SNUB_OK);
    close_to(drive.pulleys[1].diameter, 0.062, "m");
    close_to(drive.pulleys[1].at[0], -0.042, "m");
    assert_int_equal(drive.belt.ribs, 8);
    assert_true(drive.engine.given);
    close_to(drive.engine.idle, 700 * SNUB_RPM, "rad/s");
    drive_text_close(&t);
}

/* ---- parts ------------------------------------------------------------------------------------------------------- */

static snub_status find_part(void *context, const char *kind, const char *key, snub_arena *arena, snub_node **map,
                             snub_part_sale *sale, snub_error *error)
{
    (void)sale;
    static const char *const parts[][3] = {
        {"pulley", "SM-80", "{diameter: {value: 80, over: outside}, inertia: 0.0016, max_speed: 16000, width: 30}"},
        {"arm", "SM-A", "{length: 80, loads: cw, travel: 50, preload: 15, rate: 0.5, damping: 0.3}"},
        {"belt", "SM-B", "{mass: 0.02, stiffness: 30000, ribs: 8}"},
        {"blower", "SM-S", "{kind: twin-screw, swept: 1.6, internal_ratio: 1.3, leakage_speed: 850}"},
        {"pulley", "SM-bad", "{diameter: -80}"}};
    int *asked = context;
    (*asked)++;
    for (size_t i = 0; i < sizeof(parts) / sizeof(parts[0]); i++) {
        if (strcmp(parts[i][0], kind) == 0 && strcmp(parts[i][1], key) == 0)
            return snub_node_from_text(parts[i][2], "catalogue", arena, map, error);
    }
    return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "is not in the catalogue");
}

static snub_status find_belts(void *context, const char *section, int ribs, snub_arena *arena, snub_stock_belt **stock,
                              int *count, snub_error *error)
{
    (void)context;
    (void)error;
    assert_string_equal(section, "PK");
    assert_int_equal(ribs, 6);
    *stock = SNUB_NEW(arena, snub_stock_belt, 2);
    if (*stock == NULL)
        return SNUB_NO_MEMORY;
    for (int i = 0; i < 2; i++)
        (*stock)[i] = (snub_stock_belt){1.0 + 0.1 * i, "SM-B", NAN, NAN, NAN, NAN, NAN, NAN, NULL, 0};
    *count = 2;
    return SNUB_OK;
}

static snub_status read_parts(drive_text *t, const char *text, snub_drive *drive, snub_errors *errors)
{
    int asked = 0;
    snub_part_source source = {.find = find_part, .belts = find_belts, .context = &asked};
    memset(t, 0, sizeof(*t));
    snub_arena_init(&t->arena, 0);
    assert_int_equal(snub_units_open(&t->units, NULL), SNUB_OK);
    snub_reading reading = {.units = t->units, .arena = &t->arena, .parts = &source};
    assert_int_equal(snub_document_parse("parts.yaml", text, strlen(text), &t->arena, &t->document, errors), SNUB_OK);
    return snub_drive_read(&t->document, &reading, drive, errors);
}

static void test_parts(void **state)
{
    (void)state;
    drive_text t;
    snub_drive drive;
    snub_errors errors = {0};
    snub_status status = read_parts(
        &t,
        "snub: 1\nbelt: {part: SM-B, ribs: 6, stock: catalogue}\npulleys:\n" CRANK
        "  - {name: tensioner, side: back, diameter: 70, arm: {part: SM-A, pivot: [-150, 60], free: 30, "
        "damping: 0.1}}\n"
        "  - {name: blower, at: [-40, 280], part: SM-80, max_speed: 15000, blower: {part: SM-S, leakage_speed: 700}}\n",
        &drive, &errors);
    drive_text_errors(&errors);
    assert_int_equal(status, SNUB_OK);
    assert_int_equal(drive.belt.ribs, 6);
    close_to(drive.belt.mass, 0.12, "kg/m");
    assert_true(drive.belt.stock_from_parts);
    assert_int_equal(drive.belt.stock_count, 2);
    close_to(drive.pulleys[1].arm.damping, 0.1, "");
    close_to(drive.pulleys[1].arm.preload, 15, "N m");
    close_to(drive.pulleys[2].diameter, 0.080885, "m");
    close_to(drive.pulleys[2].max_speed, 15000 * SNUB_RPM, "rad/s");
    close_to(drive.pulleys[2].inertia, 0.0016, "kg m2");
    close_to(drive.pulleys[2].blower.leakage_speed, 700 * SNUB_RPM, "rad/s");
    assert_string_equal(snub_node_get(drive.pulleys[2].node, "inertia")->from_part, "SM-80");
    assert_null(snub_node_get(drive.pulleys[2].node, "max_speed")->from_part);
    drive_text_close(&t);
}

/** What is null in the file is the part's. */
static void test_part_fills_null(void **state)
{
    (void)state;
    drive_text t;
    snub_drive drive;
    snub_errors errors = {0};
    snub_status status = read_parts(&t,
                                    "snub: 1\nbelt: {ribs: 6}\npulleys:\n" CRANK ALTERNATOR
                                    "  - {name: idler, at: [-140, 280], part: SM-80, diameter: null, max_speed: null, "
                                    "inertia: 0.002}\n",
                                    &drive, &errors);
    drive_text_errors(&errors);
    assert_int_equal(status, SNUB_OK);
    close_to(drive.pulleys[2].diameter, 0.080885, "m");
    close_to(drive.pulleys[2].max_speed, 16000 * SNUB_RPM, "rad/s");
    close_to(drive.pulleys[2].inertia, 0.002, "kg m2");
    drive_text_close(&t);
}

/** Readings in the file put a part's spring aside. */
static void test_part_gives_way(void **state)
{
    (void)state;
    drive_text t;
    snub_drive drive;
    snub_errors errors = {0};
    snub_status status =
        read_parts(&t,
                   "snub: 1\nbelt: {ribs: 6}\npulleys:\n" CRANK ALTERNATOR
                   "  - {name: tensioner, side: back, diameter: 70, arm: {part: SM-A, pivot: [-150, 60], free: 30, "
                   "readings: [[0, 10], [50, 30]]}}\n",
                   &drive, &errors);
    drive_text_errors(&errors);
    assert_int_equal(status, SNUB_OK);
    close_to(drive.pulleys[2].arm.preload, 10, "N m");
    close_to(drive.pulleys[2].arm.damping, 0, "");
    assert_true(drive.pulleys[2].arm.from_readings);
    drive_text_close(&t);
}

static void test_wrong_parts(void **state)
{
    (void)state;
    drive_text t;
    snub_drive drive;
    snub_errors errors = {0};
    assert_int_equal(read_parts(&t,
                                HEAD CRANK "  - {name: a, at: [0, 300], part: SM-none, diameter: 60}\n"
                                           "  - {name: b, at: [300, 300], part: SM-bad}\n",
                                &drive, &errors),
                     SNUB_BAD_INPUT);
    assert_int_equal(errors.count, 2);
    assert_string_equal(errors.items[0].key, "pulleys.a.part");
    assert_string_equal(errors.items[0].message, "is not in the catalogue");
    assert_string_equal(errors.items[1].key, "pulleys.b.diameter");
    assert_string_equal(errors.items[1].message, "is negative, from the part SM-bad");
    assert_int_equal(errors.items[1].place.line, 6);
    snub_errors_free(&errors);
    drive_text_close(&t);
}

/* ---- one document, many readings --------------------------------------------------------------------------------- */

static void *read_many(void *context)
{
    const snub_document *document = context;
    snub_units *units = NULL;
    intptr_t wrong = snub_units_open(&units, NULL) != SNUB_OK;
    for (int i = 0; i < 200 && !wrong; i++) {
        snub_arena arena;
        snub_drive drive;
        snub_errors errors = {0};
        snub_reading reading = {.units = units, .arena = &arena};
        snub_arena_init(&arena, 0);
        wrong = snub_drive_read(document, &reading, &drive, &errors) != SNUB_OK ||
                drive.engine.redline != snub_quantity_from_bare(SNUB_Q_TURN_SPEED, 6200);
        snub_errors_free(&errors);
        snub_arena_free(&arena);
    }
    snub_units_free(units);
    return (void *)wrong;
}

/** Threads that read one document at once all get its values. */
static void test_threads(void **state)
{
    (void)state;
    enum { THREADS = 4 };
    snub_arena arena;
    snub_document document;
    snub_errors errors = {0};
    pthread_t threads[THREADS];
    snub_arena_init(&arena, 0);
    assert_int_equal(snub_document_read(EXAMPLE, &arena, &document, &errors), SNUB_OK);
    for (int i = 0; i < THREADS; i++)
        assert_int_equal(pthread_create(&threads[i], NULL, read_many, &document), 0);
    for (int i = 0; i < THREADS; i++) {
        void *wrong = NULL;
        assert_int_equal(pthread_join(threads[i], &wrong), 0);
        assert_null(wrong);
    }
    snub_arena_free(&arena);
}

/** A value read as two quantities is right as both, whichever came first. */
static void test_alias_of_two_quantities(void **state)
{
    (void)state;
    for (int turn = 0; turn < 2; turn++) {
        drive_text t;
        snub_drive drive;
        snub_errors errors = {0};
        drive_text_open(
            &t,
            "snub: 1\nengine: {idle: &n 700, redline: 6000}\nbelt: {ribs: 6, length: *n}\npulleys:\n" CRANK ALTERNATOR);
        assert_int_equal(read_with(&t, NULL, 0, &drive, &errors), SNUB_OK);
        close_to(drive.engine.idle, 700 * SNUB_RPM, "rad/s");
        close_to(drive.belt.length, 0.7, "m");
        drive_text_close(&t);
    }
}

/* ---- memory ------------------------------------------------------------------------------------------------------ */

static snub_status read_refusing(const char *data, size_t length, snub_units *units, long after)
{
    snub_arena arena;
    snub_document document;
    snub_drive drive;
    snub_errors errors = {0};
    snub_arena_init(&arena, 0);
    arena.refuse_after = after;
    snub_reading reading = {.units = units, .arena = &arena};
    snub_status status = snub_document_parse("memory.yaml", data, length, &arena, &document, &errors);
    if (status == SNUB_OK)
        status = snub_drive_read(&document, &reading, &drive, &errors);
    assert_true(status == SNUB_OK || errors.count > 0);
    snub_errors_free(&errors);
    snub_arena_free(&arena);
    return status;
}

/** Whichever allocation is refused, the reading says so, or does without. */
static void refuse_each(const char *path)
{
    char *data = NULL;
    size_t length = 0;
    snub_units *units = NULL;
    long after = 1, refused = 0;
    assert_int_equal(snub_units_open(&units, NULL), SNUB_OK);
    assert_int_equal(snub_file_read(path, SNUB_FILE_BYTES_MOST, &data, &length, NULL), SNUB_OK);
    while (after < 5000) {
        snub_status status = read_refusing(data, length, units, after++);
        if (status == SNUB_OK)
            break;
        assert_int_equal(status, SNUB_NO_MEMORY);
        refused++;
    }
    print_message("%ld allocations refused in turn\n", refused);
    assert_true(refused > 300 && after < 5000);
    free(data);
    snub_units_free(units);
}

static void test_refused_memory(void **state)
{
    (void)state;
    refuse_each(EXAMPLE);
    refuse_each(SNUB_SOURCE_DIR "/tests/fuzz/corpus/drive/old_names");
}

/** The same for a file full of errors: what is said may be shorter, but never that the file is good. */
static void test_refused_memory_with_mistakes(void **state)
{
    (void)state;
    static const char *const names[] = {"unknown_keys", "options_paths", "pulleys_place", "arm_readings_wrong",
                                        "duplicate_keys"};
    snub_units *units = NULL;
    assert_int_equal(snub_units_open(&units, NULL), SNUB_OK);
    for (int i = 0; i < 5; i++) {
        char path[512], *data = NULL;
        size_t length = 0;
        long after = 0, refused = 0;
        snprintf(path, sizeof(path), "%s/tests/unit/drive/cases/%s.yaml", SNUB_SOURCE_DIR, names[i]);
        assert_int_equal(snub_file_read(path, SNUB_FILE_BYTES_MOST, &data, &length, NULL), SNUB_OK);
        for (after = 1; after < 600; after++) {
            snub_status status = read_refusing(data, length, units, after);
            assert_true(status == SNUB_BAD_INPUT || status == SNUB_NO_MEMORY);
            refused += status == SNUB_NO_MEMORY;
        }
        assert_true(refused > 20);
        free(data);
    }
    snub_units_free(units);
}

/** `units: us` is for results: numbers are read as ever, and bare ones are counted, but for zeros and what is a plain
 *  number or an angle. */
static void test_units_of_results(void **state)
{
    (void)state;
    static const char *const files[] = {
        "snub: 1\nbelt: {ribs: 6}\npulleys:\n" CRANK ALTERNATOR,
        "snub: 1\nunits: metric\nbelt: {ribs: 6}\npulleys:\n" CRANK ALTERNATOR,
        "snub: 1\nunits: us\nbelt: {ribs: 6}\npulleys:\n" CRANK ALTERNATOR,
        "snub: 1\nunits: us\nbelt: {ribs: 6}\npulleys:\n"
        "  - {name: crank, role: crank, at: [0, 0], diameter: 150 mm}\n"
        "  - {name: alternator, at: [-40 mm, 280 mm], diameter: 60 mm, load: [[2000 rpm, 8 N m], [9000, 4 N m]]}\n"};
    static const int bare[] = {0, 0, 4, 0};
    for (int i = 0; i < 4; i++) {
        drive_text t;
        drive_text_open(&t, files[i]);
        assert_int_equal(t.drive.inches, i >= 2);
        assert_int_equal(snub_document_inches(&t.document), i >= 2);
        assert_int_equal(t.drive.bare.count, bare[i]);
        close_to(t.drive.pulleys[1].diameter, 0.060, "m");
        close_to(t.drive.pulleys[1].at[1], 0.280, "m");
        if (bare[i] > 0) {
            snub_error error;
            snub_bare_error(&t.drive.bare, &error);
            assert_string_equal(error.key, "pulleys.crank.diameter");
            assert_int_equal(error.place.line, 5);
            assert_non_null(strstr(error.message, "is read in mm"));
            assert_non_null(strstr(error.message, "3 other bare numbers"));
            assert_non_null(strstr(error.message, "Write '150 in'"));
        }
        drive_text_close(&t);
    }
}

/** A verdict is of numbers: the units of results are left out of the tree's fingerprint. An option may not change them.
 */
static void test_units_are_of_no_build(void **state)
{
    (void)state;
    drive_text a, b;
    char one[65], two[65];
    snub_drive drive;
    snub_errors errors = {0};
    drive_text_open(&a, HEAD CRANK ALTERNATOR);
    drive_text_open(&b, "units: us\n" HEAD CRANK ALTERNATOR);
    snub_drive_tree_digest(&a.drive, one);
    snub_drive_tree_digest(&b.drive, two);
    assert_string_equal(one, two);
    const snub_overlay us = lay(&a, "units", "us");
    assert_int_equal(read_with(&a, &us, 1, &drive, &errors), SNUB_BAD_INPUT);
    snub_errors_free(&errors);
    drive_text_close(&a);
    drive_text_close(&b);
}

/** The unit in which a bare number was read, for those who show it beside others. */
static void test_bare_unit(void **state)
{
    (void)state;
    drive_text t;
    drive_text_open(&t, HEAD CRANK "  - {name: alternator, at: [-40, 280], diameter: 2.5 in}\n");
    const snub_node *pulleys = snub_node_get(t.drive.tree, "pulleys");
    assert_string_equal(snub_node_bare_unit(snub_node_get(pulleys->items[0], "diameter")), "mm");
    assert_string_equal(snub_node_bare_unit(snub_node_get(pulleys->items[0], "name")), "");
    assert_string_equal(snub_node_bare_unit(snub_node_get(pulleys->items[1], "diameter")), "");
    assert_string_equal(snub_node_bare_unit(pulleys), "");
    drive_text_close(&t);
}

/* Holes before taps as tables of drills give them (ISO 2306, from memory). */
static void test_tapping_holes(void **state)
{
    static const struct {
        double thread, pitch, hole; /* mm */
    } want[] = {{4, 0.7, 3.3},  {5, 0.8, 4.2},    {6, 1, 5},   {8, 1.25, 6.8}, {8, 1, 7},
                {10, 1.5, 8.5}, {12, 1.75, 10.2}, {14, 2, 12}, {16, 2, 14},    {20, 2.5, 17.5}};
    (void)state;
    for (size_t i = 0; i < sizeof want / sizeof want[0]; i++)
        assert_near("tapping hole", snub_tapping_hole(want[i].thread * 1e-3, want[i].pitch * 1e-3) * 1e3, want[i].hole,
                    1e-9, "mm");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_example),
                                       cmocka_unit_test(test_units_of_results),
                                       cmocka_unit_test(test_units_are_of_no_build),
                                       cmocka_unit_test(test_bare_unit),
                                       cmocka_unit_test(test_lock),
                                       cmocka_unit_test(test_examples),
                                       cmocka_unit_test(test_defaults),
                                       cmocka_unit_test(test_limits_by_section),
                                       cmocka_unit_test(test_measured_outside),
                                       cmocka_unit_test(test_measured_diameters),
                                       cmocka_unit_test(test_altitude),
                                       cmocka_unit_test(test_bearings),
                                       cmocka_unit_test(test_bearing_film),
                                       cmocka_unit_test(test_bearing_numbers),
                                       cmocka_unit_test(test_curved_slot),
                                       cmocka_unit_test(test_gauge),
                                       cmocka_unit_test(test_bench_air),
                                       cmocka_unit_test(test_free_slot_and_sense),
                                       cmocka_unit_test(test_arm_point),
                                       cmocka_unit_test(test_overlays),
                                       cmocka_unit_test(test_wrong_overlays),
                                       cmocka_unit_test(test_variants),
                                       cmocka_unit_test(test_parts),
                                       cmocka_unit_test(test_part_fills_null),
                                       cmocka_unit_test(test_part_gives_way),
                                       cmocka_unit_test(test_wrong_parts),
                                       cmocka_unit_test(test_threads),
                                       cmocka_unit_test(test_tapping_holes),
                                       cmocka_unit_test(test_alias_of_two_quantities),
                                       cmocka_unit_test(test_refused_memory),
                                       cmocka_unit_test(test_refused_memory_with_mistakes)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

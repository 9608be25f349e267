/** Tolerances of a drive's values: behind the value, in the section, and those that other keys give. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "support/drive_text.h"
#include "support/near.h"

#define HEAD "snub: 1\nbelt: {ribs: 6, length: 1000}\npulleys:\n"
#define CRANK "  - {name: crank, role: crank, at: [0, 0], diameter: 150}\n"
#define IDLER(diameter) "  - {name: idler, at: [-40, 280], diameter: " diameter "}\n"

/** Of lengths, m. */
#define ROUNDING 1e-15

static const snub_tolerance *find(const drive_text *t, const char *path)
{
    for (int i = 0; i < t->drive.tolerance_count; i++) {
        if (strcmp(t->drive.tolerances[i].path, path) == 0)
            return &t->drive.tolerances[i];
    }
    print_error("no tolerance of %s\n", path);
    fail();
    return NULL;
}

static bool has(const drive_text *t, const char *path)
{
    for (int i = 0; i < t->drive.tolerance_count; i++) {
        if (strcmp(t->drive.tolerances[i].path, path) == 0)
            return true;
    }
    return false;
}

static void lengths(const snub_tolerance *t, double nominal, double low, double high)
{
    assert_near("nominal", t->nominal, nominal, ROUNDING, "m");
    assert_near("low", t->scatter.low, low, ROUNDING, "m");
    assert_near("high", t->scatter.high, high, ROUNDING, "m");
}

/* One text for each way of writing it: diameter of a pulley in mm. */
static void written(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        double nominal, low, high;
    } ways[] = {
        {"80 +- 0.1", 0.08, 0.0799, 0.0801},
        {"80 +/- 0.1", 0.08, 0.0799, 0.0801},
        {"80 \xC2\xB1 0.1", 0.08, 0.0799, 0.0801},
        {"80\xC2\xB1"
         "0.1",
         0.08, 0.0799, 0.0801},
        {"80 mm +- 0.1 mm", 0.08, 0.0799, 0.0801},
        {"80 mm +- 0.1", 0.08, 0.0799, 0.0801},
        {"80 +- 0.1 mm", 0.08, 0.0799, 0.0801},
        {"\"80 mm +- 0.1\"", 0.08, 0.0799, 0.0801},
        {"8 cm +- 0.01", 0.08, 0.0799, 0.0801},
        {"4 in +- 0.005 in", 0.1016, 0.101473, 0.101727},
        {"4 in +- 0.005", 0.1016, 0.101473, 0.101727},
        {"80 +- 10 %", 0.08, 0.072, 0.088},
        {"80 +0.1 -0.05", 0.08, 0.07995, 0.0801},
        {"80 -0.05 +0.1", 0.08, 0.07995, 0.0801},
        {"80 mm +0.1 mm -0", 0.08, 0.08, 0.0801},
        {"80 +1 % -0", 0.08, 0.08, 0.0808},
    };
    for (size_t i = 0; i < sizeof ways / sizeof ways[0]; i++) {
        char text[500];
        drive_text t;
        snprintf(text, sizeof text, HEAD CRANK "  - {name: idler, at: [-40, 280], diameter: %s}\n", ways[i].text);
        drive_text_open(&t, text);
        const snub_tolerance *d = find(&t, "idler.diameter");
        lengths(d, ways[i].nominal, ways[i].low, ways[i].high);
        assert_near("its middle", d->scatter.centre, 0.5 * (ways[i].low + ways[i].high), ROUNDING, "m");
        assert_near("three sigma", 3.0 * d->scatter.sigma, 0.5 * (ways[i].high - ways[i].low), ROUNDING, "m");
        assert_int_equal(d->scatter.kind, SNUB_NORMAL);
        assert_int_equal(d->basis, SNUB_TOLERANCE_WRITTEN);
        assert_int_equal(d->place.line, 5);
        assert_int_equal(d->quantity, SNUB_Q_LENGTH);
        assert_null(d->group);
        assert_true(isnan(d->cost));
        /* the drive is that of the number alone, to the bit */
        drive_text plain;
        const char *sign = strpbrk(ways[i].text + 1, "+-\xC2");
        snprintf(text, sizeof text, HEAD CRANK "  - {name: idler, at: [-40, 280], diameter: %.*s}\n",
                 (int)(sign - ways[i].text) - (ways[i].text[0] == '"'), ways[i].text + (ways[i].text[0] == '"'));
        drive_text_open(&plain, text);
        assert_memory_equal(&plain.drive.pulleys[1].diameter, &t.drive.pulleys[1].diameter, sizeof(double));
        assert_false(has(&plain, "idler.diameter"));
        drive_text_close(&plain);
        drive_text_close(&t);
    }
}

/* Quantities whose units have a zero of their own, and points. */
static void other_quantities(void **state)
{
    (void)state;
    drive_text t;
    drive_text_open(&t, "snub: 1\nbelt: {ribs: 6, length: 1000}\nair: {temperature: 68 degF +- 9}\npulleys:\n" CRANK
                        "  - {name: idler, at: [-40 +- 0.2, 280 mm +- 0.3 mm], diameter: {value: 80 +- 0.1, over: "
                        "outside}}\n");
    const snub_tolerance *air = find(&t, "air.temperature");
    assert_near("low", air->scatter.low, 288.15, 1e-9, "K");
    assert_near("high", air->scatter.high, 298.15, 1e-9, "K");
    lengths(find(&t, "idler.at.0"), -0.04, -0.0402, -0.0398);
    lengths(find(&t, "idler.at.1"), 0.28, 0.2797, 0.2803);
    lengths(find(&t, "idler.diameter.value"), 0.08, 0.0799, 0.0801);
    drive_text_close(&t);
}

static void listed(void **state)
{
    (void)state;
    drive_text t;
    drive_text_open(
        &t, HEAD CRANK
        "  - {name: idler, at: [-40, 280], diameter: 80, inertia: 0.002, stack: [{name: plate, length: 12, tolerance: "
        "0.2}, {name: shim, length: 3, tolerance: 0.05}]}\n"
        "tolerances:\n"
        "  - {of: idler.diameter, plus: 0.1, minus: 0.02 mm, shape: triangular, cost: 1.5}\n"
        "  - {of: [idler.at, pulleys.crank.diameter], plus_minus: 0.15, group: casting, correlation: "
        "-0.5, shape: uniform}\n"
        "  - {of: idler.inertia, sigma: 4 %, cut: 10 %}\n"
        "  - {of: idler.stack.plate.length, sigma: 0.01, shape: skewed, skew: 0.6}\n"
        "  - {of: belt.length, sample: [1001, 998, 1000 mm, 39.4 in]}\n");
    const snub_tolerance *d = find(&t, "idler.diameter");
    lengths(d, 0.08, 0.07998, 0.0801);
    assert_int_equal(d->scatter.kind, SNUB_TRIANGULAR);
    assert_near("mode", d->scatter.centre, 0.08, ROUNDING, "m");
    assert_near("cost", d->cost, 1.5, 0, "");
    assert_int_equal(d->basis, SNUB_TOLERANCE_LISTED);
    assert_int_equal(d->place.line, 7);
    static const char *const together[] = {"idler.at.0", "idler.at.1", "crank.diameter"};
    for (int i = 0; i < 3; i++) {
        const snub_tolerance *one = find(&t, together[i]);
        assert_string_equal(one->group, "casting");
        assert_near("correlation", one->correlation, -0.5, 0, "");
        assert_int_equal(one->scatter.kind, SNUB_UNIFORM);
        assert_near("width", one->scatter.high - one->scatter.low, 0.0003, ROUNDING, "m");
    }
    const snub_tolerance *inertia = find(&t, "idler.inertia");
    assert_near("sigma", inertia->scatter.sigma, 8e-5, 1e-16, "kg m2");
    assert_near("cut", inertia->scatter.low, 0.0018, 1e-16, "kg m2");
    double mean, variance;
    const snub_tolerance *plate = find(&t, "idler.stack.0.length");
    snub_scatter_moments(&plate->scatter, &mean, &variance);
    assert_int_equal(plate->scatter.kind, SNUB_SKEWED);
    assert_near("mean of the skewed", mean, 0.012, 1e-14, "m");
    assert_near("its sigma", sqrt(variance), 1e-5, 1e-14, "m");
    /* skewness 0.6 by the formula of the skew-normal, from its alpha */
    const double delta = plate->scatter.alpha / sqrt(1 + plate->scatter.alpha * plate->scatter.alpha),
                 c = delta * sqrt(2 / acos(-1));
    assert_near("its skewness", (4 - acos(-1)) / 2 * c * c * c / pow(1 - c * c, 1.5), 0.6, 1e-12, "");
    const snub_tolerance *belt = find(&t, "belt.length");
    assert_int_equal(belt->scatter.kind, SNUB_SAMPLED);
    assert_int_equal(belt->scatter.count, 4);
    assert_near("least", belt->scatter.sample[0], 0.998, ROUNDING, "m");
    assert_near("third", belt->scatter.sample[2], 1.00076, ROUNDING, "m");
    /* the shim keeps the tolerance that its stack gives it */
    const snub_tolerance *shim = find(&t, "idler.stack.1.length");
    assert_int_equal(shim->basis, SNUB_TOLERANCE_STACK);
    lengths(shim, 0.003, 0.00295, 0.00305);
    drive_text_close(&t);
}

/* What a drive brings without a word of tolerances, and how it is left out. */
static void by_itself(void **state)
{
    (void)state;
    drive_text t;
    drive_text_open(&t, HEAD CRANK IDLER("80"));
    const snub_tolerance *belt = find(&t, "belt.length");
    assert_int_equal(t.drive.tolerance_count, 1);
    assert_int_equal(belt->basis, SNUB_TOLERANCE_BELT_DEFAULT);
    lengths(belt, 1.0, 0.995, 1.005);
    drive_text_close(&t);
    drive_text_open(&t, HEAD CRANK IDLER("80") "tolerances: [{of: belt.length, fixed: true}]\n");
    assert_int_equal(t.drive.tolerance_count, 0);
    drive_text_close(&t);
    drive_text_open(&t, "snub: 1\nbelt: {ribs: 6, stock: [900, 1000], tolerance: 3, stiffness: [100 kN, 200 kN]}\n"
                        "pulleys:\n" CRANK IDLER("80"));
    belt = find(&t, "belt.length");
    assert_true(isnan(belt->nominal));
    assert_near("difference", belt->scatter.high, 0.003, ROUNDING, "m");
    assert_int_equal(belt->basis, SNUB_TOLERANCE_BELT);
    const snub_tolerance *range = find(&t, "belt.stiffness");
    assert_int_equal(range->basis, SNUB_TOLERANCE_RANGE);
    assert_near("range", range->scatter.low, 1e5, 1e-9, "N");
    assert_int_equal(t.drive.tolerance_count, 2);
    drive_text_close(&t);
    drive_text_open(&t,
                    "snub: 1\nbelt: {ribs: 6, stock: [900, 1000], tolerance: 3, stiffness: [100 kN, 200 kN]}\n"
                    "pulleys:\n" CRANK IDLER("80") "tolerances: [{of: [belt.length, belt.stiffness], fixed: true}]\n");
    assert_int_equal(t.drive.tolerance_count, 0);
    drive_text_close(&t);
}

/* A kit's own values: nothing scatters any more, and a value at the end of its tolerance is no mistake. */
static void one_kit(void **state)
{
    (void)state;
    drive_text t;
    snub_node *node = NULL;
    snub_drive kit;
    snub_errors errors = {0};
    drive_text_open(&t, HEAD CRANK IDLER("80 +- 0.1") "tolerances: [{of: idler.at, plus_minus: 1}]\n");
    assert_int_equal(snub_node_from_text("80.05", "kit", &t.arena, &node, NULL), SNUB_OK);
    const snub_overlay overlay = {"idler.diameter", node, {.file = "kit"}};
    snub_reading reading = t.reading;
    reading.overlays = &overlay;
    reading.overlay_count = 1;
    reading.one_kit = true;
    assert_int_equal(snub_drive_read(&t.document, &reading, &kit, &errors), SNUB_OK);
    assert_int_equal(kit.tolerance_count, 0);
    assert_near("larger", kit.pulleys[1].diameter - t.drive.pulleys[1].diameter, 5e-5, ROUNDING, "m");
    /* laid over by hand it has a tolerance of its own */
    assert_int_equal(snub_node_from_text("80.05 +- 0.2", "test", &t.arena, &node, NULL), SNUB_OK);
    const snub_overlay again = {"idler.diameter", node, {.file = "test"}};
    reading.overlays = &again;
    reading.one_kit = false;
    assert_int_equal(snub_drive_read(&t.document, &reading, &t.drive, &errors), SNUB_OK);
    lengths(find(&t, "idler.diameter"), 0.08005, 0.07985, 0.08025);
    snub_errors_free(&errors);
    drive_text_close(&t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(written), cmocka_unit_test(other_quantities),
                                       cmocka_unit_test(listed), cmocka_unit_test(by_itself),
                                       cmocka_unit_test(one_kit)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

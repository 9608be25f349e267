/* Units: the small table against UDUNITS-2, the angle as a dimension, what is refused and why. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <udunits2.h>

#include "base/units_table.h"
#include "snub/base.h"

/* Relative; a few roundings of a double in either route. */
static const double SAME = 1e-14;
/* UDUNITS-2 holds hp, inHg and slug to 7 digits or so; compared where our definition differs only by its rounding. */
static const double SAME_AS_ROUNDED = 2e-6;

static snub_units *units;

static int open_units(void **state)
{
    (void)state;
    return snub_units_open(&units, NULL) == SNUB_OK ? 0 : -1;
}

static int close_units(void **state)
{
    (void)state;
    snub_units_free(units);
    units = NULL;
    return 0;
}

static void expect_si(snub_quantity quantity, const char *text, double want)
{
    double got = NAN;
    snub_error error = {0};
    snub_status status = snub_units_parse(units, quantity, text, &got, &error);
    if (status != SNUB_OK)
        fail_msg("\"%s\" refused: %s", text, error.message);
    if (!(fabs(got - want) <= SAME * fabs(want)))
        fail_msg("\"%s\": got %.17g, want %.17g (SI), tolerance %g relative", text, got, want, SAME);
}

static void expect_refused(snub_quantity quantity, const char *text, const char *message)
{
    double got = 42;
    snub_error error = {0};
    snub_status status = snub_units_parse(units, quantity, text, &got, &error);
    if (status != SNUB_BAD_INPUT || got != 42)
        fail_msg("\"%s\" taken as %.17g (status %d)", text, got, (int)status);
    if (!strstr(error.message, message))
        fail_msg("\"%s\": got \"%s\", want \"%s\"", text, error.message, message);
    assert_true(error.got[0] || !text[0]);
    assert_true(strlen(error.need) > 5);
}

/* SI of 1 and of 2 units straight from UDUNITS-2: two points fix scale and zero. */
static void compare_row(ut_system *system, const snub_unit_row *row, double tolerance)
{
    const snub_quantity_info *info = snub_quantity_describe(row->quantity);
    ut_unit *from = ut_parse(system, row->name, UT_ASCII), *to = ut_parse(system, info->si, UT_ASCII);
    cv_converter *converter = from && to ? ut_get_converter(from, to) : NULL;
    if (!converter)
        fail_msg("UDUNITS-2 does not turn \"%s\" into \"%s\"", row->name, info->si);
    bool difference = row->quantity == SNUB_Q_TEMPERATURE_DIFFERENCE;
    for (double value = 1; value <= 2; value++) {
        double want = cv_convert_double(converter, value) - (difference ? cv_convert_double(converter, 0) : 0);
        double got = snub_unit_to_si(row, value);
        /* A difference of offset scales loses digits of the offset. */
        double allowed = tolerance * fabs(want) + (difference ? 1e-12 : 0);
        if (!(fabs(got - want) <= allowed))
            fail_msg("%g %s: got %.17g, want %.17g %s, tolerance %g", value, row->name, got, want, info->si, allowed);
    }
    cv_free(converter);
    ut_free(from);
    ut_free(to);
}

static void every_row_of_the_table_equals_udunits(void **state)
{
    (void)state;
    ut_set_error_message_handler(ut_ignore);
    ut_system *system = ut_read_xml(NULL);
    assert_non_null(system);
    int count, compared = 0;
    const snub_unit_row *rows = snub_unit_rows(&count);
    for (int i = 0; i < count; i++) {
        if (rows[i].ours)
            continue;
        compare_row(system, &rows[i], SAME);
        compared++;
    }
    assert_true(compared > 75);
    /* Ours, against the definition written with units that UDUNITS-2 has. */
    static const struct {
        const char *name, *definition;
        double tolerance;
    } ours[] = {{"thou", "0.001 inch", 1e-14},
                {"deg", "arc_degree", 1e-14},
                {"rev", "revolution", 1e-14},
                {"Nm", "N m", 1e-14},
                {"N m/deg", "N m/arc_degree", 1e-14},
                {"Nm/deg", "N m/arc_degree", 1e-14},
                {"lbf ft/deg", "lbf ft/arc_degree", 1e-14},
                {"lbf in/deg", "lbf in/arc_degree", 1e-14},
                {"hp", "550 ft lbf/s", 1e-14},
                {"PS", "75 kgf m/s", 1e-14},
                {"rev/min", "revolution/minute", 1e-14},
                {"rev/s", "revolution/s", 1e-14},
                {"deg/s", "arc_degree/s", 1e-14},
                {"mph", "mile/hour", SAME_AS_ROUNDED}, /* UDUNITS-2's mile may be the survey mile */
                {"psia", "psi", 1e-14},
                {"inHg", "13595.1 kg/m3 9.80665 m/s2 inch", 1e-14},
                {"degR", "K/1.8", 1e-14},
                {"cfm", "ft3/min", 1e-14}};
    int matched = 0;
    for (int i = 0; i < count; i++) {
        if (!rows[i].ours || rows[i].after != 0)
            continue;
        size_t k = 0;
        while (k < sizeof ours / sizeof ours[0] && strcmp(ours[k].name, rows[i].name) != 0)
            k++;
        if (k == sizeof ours / sizeof ours[0])
            fail_msg("\"%s\" is ours and has no definition here to compare with", rows[i].name);
        snub_unit_row as_defined = rows[i];
        as_defined.name = ours[k].definition;
        compare_row(system, &as_defined, ours[k].tolerance);
        matched++;
    }
    assert_int_equal(matched, sizeof ours / sizeof ours[0]);
    ut_free_system(system);
}

static void every_row_has_the_dimension_of_its_quantity(void **state)
{
    (void)state;
    /* Past the table, through the database: "/(m/m)" changes nothing but the spelling. */
    int count;
    const snub_unit_row *rows = snub_unit_rows(&count);
    for (int i = 0; i < count; i++) {
        char text[80];
        if (rows[i].after != 0 || rows[i].before != 0 || strcmp(rows[i].name, "%") == 0)
            continue;
        double got = NAN;
        snprintf(text, sizeof text, "3 %s/(m/m)", rows[i].name);
        snub_error error = {0};
        if (snub_units_parse(units, rows[i].quantity, text, &got, &error) != SNUB_OK)
            fail_msg("\"%s\": %s", text, error.message);
        double want = snub_unit_to_si(&rows[i], 3);
        if (!(fabs(got - want) <= SAME_AS_ROUNDED * fabs(want)))
            fail_msg("\"%s\": got %.17g, want %.17g (SI)", text, got, want);
    }
}

static void bare_numbers_are_in_the_usual_unit(void **state)
{
    (void)state;
    expect_si(SNUB_Q_NUMBER, "0.85", 0.85);
    expect_si(SNUB_Q_LENGTH, "80", 0.08);
    expect_si(SNUB_Q_ANGLE, "180", SNUB_PI);
    expect_si(SNUB_Q_TORQUE_RATE, "0.8", 0.8 * 180 / SNUB_PI);
    expect_si(SNUB_Q_POWER, "30", 30000);
    expect_si(SNUB_Q_TURN_SPEED, "60", 2 * SNUB_PI);
    expect_si(SNUB_Q_TURN_RATE, "30", SNUB_PI);
    expect_si(SNUB_Q_PRESSURE, "101.325", 101325);
    expect_si(SNUB_Q_TEMPERATURE, "25", 298.15);
    expect_si(SNUB_Q_TEMPERATURE_DIFFERENCE, "25", 25);
    expect_si(SNUB_Q_VOLUME, "4", 0.004);
    expect_si(SNUB_Q_STRESS, "250", 250e6);
    expect_si(SNUB_Q_STIFFNESS, "50", 50000);
    for (int q = 0; q < SNUB_Q_COUNT_; q++) {
        double si = snub_quantity_from_bare((snub_quantity)q, 12.5);
        assert_true(fabs(snub_quantity_to_bare((snub_quantity)q, si) - 12.5) < 1e-12);
        const char *bare = snub_quantity_unit((snub_quantity)q);
        if (bare[0] && !snub_unit_find((snub_quantity)q, bare))
            fail_msg("the bare unit \"%s\" is not in the table", bare);
    }
    double si = snub_quantity_from_bare(SNUB_Q_LENGTH, 0.1);
    assert_true(si == 0.0001);
}

static void strings_carry_any_unit(void **state)
{
    (void)state;
    expect_si(SNUB_Q_LENGTH, "3.15 in", 3.15 * 0.0254);
    expect_si(SNUB_Q_LENGTH, "12 thou", 12 * 0.0000254);
    expect_si(SNUB_Q_LENGTH, "1 furlong", 201.168402336805); /* far off the table: the survey furlong of UDUNITS-2 */
    expect_si(SNUB_Q_TORQUE, "18 lbf ft", 18 * 4.4482216152605 * 0.3048);
    expect_si(SNUB_Q_TORQUE, "18 lbf-ft", 18 * 4.4482216152605 * 0.3048);
    expect_si(SNUB_Q_TORQUE, "18 lbf*ft", 18 * 4.4482216152605 * 0.3048);
    expect_si(SNUB_Q_TORQUE, "18 ft\xC2\xB7lbf", 18 * 4.4482216152605 * 0.3048);
    expect_si(SNUB_Q_TORQUE, "25Nm", 25);
    expect_si(SNUB_Q_TORQUE_RATE, "0.8 N m / deg", 0.8 * 180 / SNUB_PI);
    expect_si(SNUB_Q_TORQUE_RATE, "1 kN m/rad", 1000);
    expect_si(SNUB_Q_TORQUE_RATE, "1 N m/rev", 1 / (2 * SNUB_PI));
    expect_si(SNUB_Q_PRESSURE, "14.7 psi", 14.7 * 4.4482216152605 / (0.0254 * 0.0254));
    expect_si(SNUB_Q_PRESSURE, "8 psig", 101325 + 8 * 4.4482216152605 / (0.0254 * 0.0254));
    expect_si(SNUB_Q_PRESSURE, "0.5 barg", 151325);
    expect_si(SNUB_Q_PRESSURE, "760 mmHg", 101325.0144354); /* 13595.1 kg/m3 */
    expect_si(SNUB_Q_TURN_SPEED, "6200 rpm", 6200 * SNUB_PI / 30);
    expect_si(SNUB_Q_TURN_SPEED, "1 rev/s", 2 * SNUB_PI);
    expect_si(SNUB_Q_TURN_SPEED, "360 deg/s", 2 * SNUB_PI);
    expect_si(SNUB_Q_TURN_RATE, "1500 rpm/s", 1500 * SNUB_PI / 30);
    expect_si(SNUB_Q_TURN_RATE, "90000 rpm/min", 1500 * SNUB_PI / 30);
    expect_si(SNUB_Q_TEMPERATURE, "77 degF", 298.15);
    expect_si(SNUB_Q_TEMPERATURE,
              "77 \xC2\xB0"
              "F",
              298.15);
    expect_si(SNUB_Q_TEMPERATURE, "298.15 K", 298.15);
    expect_si(SNUB_Q_TEMPERATURE_DIFFERENCE, "18 degF", 10);
    expect_si(SNUB_Q_TEMPERATURE_DIFFERENCE, "5000 mK", 5);
    expect_si(SNUB_Q_INERTIA, "0.0016 kg m^2", 0.0016);
    expect_si(SNUB_Q_INERTIA, "0.0016 kg\xC2\xB7m\xC2\xB2", 0.0016);
    expect_si(SNUB_Q_INERTIA, "16 kg.cm2", 0.0016);
    expect_si(SNUB_Q_POWER, "1 hp", 745.69987158227022);
    expect_si(SNUB_Q_MASS, "16 oz", 0.45359237);
    expect_si(SNUB_Q_MASS_PER_LENGTH, "19 g/m", 0.019);
    expect_si(SNUB_Q_FLOW_MASS, "26 lb/min", 26 * 0.45359237 / 60);
    expect_si(SNUB_Q_FLOW_VOLUME, "424 cfm", 424 * 0.3048 * 0.3048 * 0.3048 / 60);
    expect_si(SNUB_Q_VOLUME, "1600 cc", 0.0016);
    expect_si(SNUB_Q_VOLUME, "98 in3", 98 * 0.0254 * 0.0254 * 0.0254);
    expect_si(SNUB_Q_ANGLE, "0.5 rev", SNUB_PI);
    expect_si(SNUB_Q_ANGLE, "30\xC2\xB0", SNUB_PI / 6);
    expect_si(SNUB_Q_NUMBER, "92 %", 0.92);
    expect_si(SNUB_Q_FREQUENCY, "2 kHz", 2000);
    expect_si(SNUB_Q_SPEED, "36 km/h", 10);
}

static void other_quantities_are_refused_by_name(void **state)
{
    (void)state;
    expect_refused(SNUB_Q_LENGTH, "3 kg", "\"kg\" is a unit of a mass, not of a length");
    expect_refused(SNUB_Q_LENGTH, "3 deg", "\"deg\" is a unit of an angle");
    expect_refused(SNUB_Q_NUMBER, "3 deg", "takes no unit, but has \"deg\"");
    expect_refused(SNUB_Q_NUMBER, "3 rad", "takes no unit");
    expect_refused(SNUB_Q_ANGLE, "3 %", "\"%\" is a unit of a number");
    expect_refused(SNUB_Q_TURN_SPEED, "50 Hz", "a frequency is not a rotational speed: write rpm");
    expect_refused(SNUB_Q_TURN_SPEED, "50 s-1", "a frequency is not a rotational speed: write rpm");
    expect_refused(SNUB_Q_FREQUENCY, "3000 rpm", "a rotational speed is not a frequency: write Hz");
    expect_refused(SNUB_Q_TURN_RATE, "3000 rpm", "\"rpm\" is a unit of a rotational speed");
    expect_refused(SNUB_Q_TORQUE_RATE, "0.8 N m", "a torque is not a torque per angle");
    expect_refused(SNUB_Q_TORQUE, "18 lb ft", "lb is a mass; write lbf");
    expect_refused(SNUB_Q_TORQUE, "18 ft-lb", "lb is a mass; write lbf");
    expect_refused(SNUB_Q_TORQUE, "0.8 N m/deg", "a torque per angle");
    expect_refused(SNUB_Q_FORCE, "90 lb", "a mass is not a force");
    expect_refused(SNUB_Q_POWER, "30 mW/s", "\"mW/s\" is not a unit of a power");
    expect_refused(SNUB_Q_TEMPERATURE, "25 C", "\"C\" alone is not a temperature: write degC");
}

static void nonsense_is_refused_with_a_reason(void **state)
{
    (void)state;
    expect_refused(SNUB_Q_LENGTH, "", "is empty");
    expect_refused(SNUB_Q_LENGTH, "  ", "is empty");
    expect_refused(SNUB_Q_LENGTH, "wide", "does not begin with a number");
    expect_refused(SNUB_Q_LENGTH, "nan", "does not begin with a number");
    expect_refused(SNUB_Q_LENGTH, ".inf", "does not begin with a number");
    expect_refused(SNUB_Q_LENGTH, "mm 5", "does not begin with a number");
    expect_refused(SNUB_Q_LENGTH, "1e999", "number out of range");
    expect_refused(SNUB_Q_LENGTH, "1e308 km", "is too large");
    expect_refused(SNUB_Q_LENGTH, "5 wibble", "unknown unit \"wibble\"");
    expect_refused(SNUB_Q_LENGTH, "1,5", "use a decimal point, not a comma");
    expect_refused(SNUB_Q_LENGTH, "1,5 mm", "use a decimal point, not a comma");
    expect_refused(SNUB_Q_LENGTH, "3 1/2 in", "fractions and sums are not accepted: write 3.5 in");
    expect_refused(SNUB_Q_LENGTH, "1/2 in", "fractions and sums are not accepted: write 0.5 in");
    expect_refused(SNUB_Q_LENGTH, "3 1/4\"", "fractions and sums are not accepted: write 3.25 in");
    expect_refused(SNUB_Q_LENGTH, "3.5 1/4 in", "write one decimal number and its unit");
    expect_refused(SNUB_Q_LENGTH, "1/0 in", "write one decimal number and its unit");
    expect_refused(SNUB_Q_LENGTH, "3.4\"", "write in, not \"\"\"");
    expect_refused(SNUB_Q_TORQUE, "18 ft lbs", "write lbf ft, not \"ft lbs\"");
    expect_refused(SNUB_Q_VOLUME, "350 cid", "write in3, not \"cid\"");
    expect_refused(SNUB_Q_VOLUME, "350 cu in", "write in3, not \"cu in\"");
    expect_refused(SNUB_Q_PRESSURE, "8 PSI", "write psi, not \"PSI\"");
    expect_refused(SNUB_Q_LENGTH, "8 PSI", "unknown unit \"PSI\"");
    expect_refused(SNUB_Q_LENGTH, "5 ft 3 in", "unknown unit");
    expect_refused(SNUB_Q_LENGTH, "5 m @ 3", "unknown unit");
    expect_refused(SNUB_Q_TIME, "5 s since 2000", "unknown unit");
    expect_refused(SNUB_Q_LENGTH, "5 lg(re m)", "unknown unit");
    expect_refused(SNUB_Q_LENGTH, "5 m/", "unknown unit");
    expect_refused(SNUB_Q_LENGTH, "5 m99999999999", "unknown unit");
    expect_refused(SNUB_Q_TEMPERATURE, "-300", "is below absolute zero");
    char endless[4000];
    memset(endless, 'm', sizeof endless - 1);
    endless[0] = '5';
    endless[sizeof endless - 1] = 0;
    expect_refused(SNUB_Q_LENGTH, endless, "unknown unit");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_row_of_the_table_equals_udunits),
        cmocka_unit_test(every_row_has_the_dimension_of_its_quantity),
        cmocka_unit_test(bare_numbers_are_in_the_usual_unit),
        cmocka_unit_test(strings_carry_any_unit),
        cmocka_unit_test(other_quantities_are_refused_by_name),
        cmocka_unit_test(nonsense_is_refused_with_a_reason),
    };
    return cmocka_run_group_tests(tests, open_units, close_units);
}

/* Values as they are shown: what is told as an order must not be rounded past it, in any unit. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "snub/locale.h"
#include "snub/units.h"

static void expect(const snub_locale *locale, double si, snub_unit unit, int decimals, snub_rounding rounding,
                   const char *want)
{
    snub_text out = {0};
    snub_value_text_rounded(locale, si, unit, decimals, rounding, &out);
    assert_string_equal(out.data, want);
    snub_text_free(&out);
}

static void to_a_side(void **state)
{
    (void)state;
    expect(NULL, 26.64, SNUB_UNIT_N_M, 0, SNUB_ROUND_NEAREST, "27 N m");
    expect(NULL, 26.64, SNUB_UNIT_N_M, 0, SNUB_ROUND_DOWN, "26 N m");
    expect(NULL, 26.14, SNUB_UNIT_N_M, 0, SNUB_ROUND_UP, "27 N m");
    expect(NULL, -26.04e-3, SNUB_UNIT_MM, 1, SNUB_ROUND_DOWN, "-26.1 mm");
    expect(NULL, -26.04e-3, SNUB_UNIT_MM, 1, SNUB_ROUND_UP, "-26.0 mm");
}

/* 16.0 mm in SI is a little off 16 mm: neither 16.1 nor 15.9 is meant. */
static void a_number_that_can_be_shown_stays(void **state)
{
    (void)state;
    for (int tenths = -400; tenths <= 400; tenths++) {
        char want[16];
        snprintf(want, sizeof want, "%.1f mm", tenths / 10.0);
        expect(NULL, tenths * 1e-4 * (1.0 + 4e-16), SNUB_UNIT_MM, 1, SNUB_ROUND_UP, want);
        expect(NULL, tenths * 1e-4 * (1.0 - 4e-16), SNUB_UNIT_MM, 1, SNUB_ROUND_DOWN, want);
    }
    expect(NULL, 16.00001e-3, SNUB_UNIT_MM, 1, SNUB_ROUND_UP, "16.1 mm");
    expect(NULL, 15.99999e-3, SNUB_UNIT_MM, 1, SNUB_ROUND_DOWN, "15.9 mm");
}

/* 10 mm are 0.3937 in. Both units are rounded, each by itself. */
static void in_each_unit(void **state)
{
    (void)state;
    const snub_locale inch = {.inches = true}, both = {.both = true};
    expect(&inch, 10e-3, SNUB_UNIT_MM, 1, SNUB_ROUND_DOWN, "0.393 in");
    expect(&inch, 10e-3, SNUB_UNIT_MM, 1, SNUB_ROUND_UP, "0.394 in");
    expect(&both, 10e-3, SNUB_UNIT_MM, 1, SNUB_ROUND_DOWN, "10.0\xc2\xa0mm (0.393\xc2\xa0in)");
    expect(&both, 10.01e-3, SNUB_UNIT_MM, 1, SNUB_ROUND_UP, "10.1\xc2\xa0mm (0.395\xc2\xa0in)");
}

static void expect_shown(double value, const char *unit, int decimals, double want, const char *in, int digits)
{
    const snub_locale inch = {.inches = true}, metric = {0};
    const snub_shown got = snub_number_shown(&inch, value, unit, decimals);
    if (!(fabs(got.value - want) <= 1e-9 * (1 + fabs(want)))) {
        print_error("%g %s: got %.12g, want %.12g %s\n", value, unit, got.value, want, in);
        fail();
    }
    assert_string_equal(got.unit, in);
    assert_int_equal(got.decimals, digits);
    const snub_shown same = snub_number_shown(&metric, value, unit, decimals),
                     none = snub_number_shown(NULL, 0, NULL, 3);
    assert_true(same.value == value && same.decimals == decimals);
    assert_string_equal(same.unit, unit);
    assert_string_equal(none.unit, "");
}

/* By hand, with the factors of NIST SP 811, B.8 and B.9. */
static void a_number_by_the_text_of_its_unit(void **state)
{
    (void)state;
    expect_shown(25.4, "mm", 1, 1, "in", 3);
    expect_shown(-40, "degC", 0, -40, "degF", 0);
    expect_shown(100, "degC", 0, 212, "degF", 0);
    expect_shown(5, "K", 0, 9, "degF", 0);
    expect_shown(4448.2216152605, "N", 0, 1000, "lbf", 0);
    expect_shown(4.4482216152605, "kN", 1, 1000, "lbf", 0);
    expect_shown(1.3558179483314, "N m", 2, 1, "lbf ft", 2);
    expect_shown(6.894757293168361, "kPa", 1, 1, "psi", 2);
    expect_shown(6.894757293168361, "MPa", 0, 1, "ksi", 1);
    expect_shown(0.74569987158227, "kW", 1, 1, "hp", 1);
    expect_shown(50, "m/s", 1, 50 * 60 / 0.3048, "ft/min", 0);
    expect_shown(0.45359237, "kg/s", 3, 60, "lb/min", 1);
    expect_shown(16.018463373960142, "kg/m3", 3, 1, "lb/ft3", 4);
    expect_shown(12, "mm2/s", 1, 12, "cSt", 1);
    expect_shown(0.0254 * 0.0254 * 0.45359237, "kg m2", 5, 1, "lb in2", 2);
    expect_shown(175.12683524647636, "N/mm", 1, 1000, "lbf/in", 0);
    expect_shown(25.4, "mm", -1, 1, "in", -1);
    expect_shown(12.5, "deg", 1, 12.5, "deg", 1);
    expect_shown(5, "grip", 2, 5, "grip", 2);
}

/* What is printed can be written back: each inch form is a unit that the reader takes, of the same size. */
static void every_inch_form_is_read(void **state)
{
    (void)state;
    static const char *const kept[] = {"mm rpm", "arcmin", "%"}; /* shown, never read with a unit */
    snub_units *units;
    int read = 0;
    assert_int_equal(snub_units_open(&units, NULL), SNUB_OK);
    for (int u = 0; u < SNUB_UNITS_; u++) {
        const snub_unit_info *info = snub_unit_describe((snub_unit)u);
        bool skip = info->text[0] == '\0';
        for (size_t i = 0; i < sizeof kept / sizeof kept[0]; i++)
            skip = skip || strcmp(info->text, kept[i]) == 0;
        for (int q = 0; q < SNUB_Q_COUNT_ && !skip; q++) {
            char text[64];
            double value = NAN, want = 7 * info->us_size + info->us_zero;
            if (strcmp(snub_quantity_unit((snub_quantity)q), info->text) != 0)
                continue;
            snprintf(text, sizeof text, "7 %s", q == SNUB_Q_TEMPERATURE_DIFFERENCE ? "K" : info->us_text);
            if (q == SNUB_Q_TEMPERATURE_DIFFERENCE)
                want = 7;
            if (snub_units_parse(units, (snub_quantity)q, text, &value, NULL) != SNUB_OK ||
                !(fabs(value - want) <= 1e-9 * fabs(want))) {
                print_error("%s: got %.12g, want %.12g\n", text, value, want);
                fail();
            }
            read++;
        }
    }
    assert_true(read >= 20);
    snub_units_free(units);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(to_a_side), cmocka_unit_test(a_number_that_can_be_shown_stays), cmocka_unit_test(in_each_unit),
        cmocka_unit_test(a_number_by_the_text_of_its_unit), cmocka_unit_test(every_inch_form_is_read)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Values as they are shown: what is told as an order must not be rounded past it, in any unit. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

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

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(to_a_side), cmocka_unit_test(a_number_that_can_be_shown_stays),
                                       cmocka_unit_test(in_each_unit)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

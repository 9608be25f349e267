/* Tables, wrapping and findings as a terminal shows them. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <string.h>

#include "kit/finding.h"
#include "snub/report.h"

static void expect_wrapped(const char *words, int column, int indent, int width, const char *want)
{
    snub_text out = {0};
    snub_wrap(words, column, indent, width, &out);
    assert_string_equal(out.data, want);
    snub_text_free(&out);
}

static void words_are_wrapped_at_blanks(void **state)
{
    (void)state;
    expect_wrapped("one two three", 0, 0, 8, "one two\nthree\n");
    expect_wrapped("one two three", 0, 2, 7, "one two\n  three\n");
    expect_wrapped("one two", 5, 5, 8, "one\n     two\n");
    expect_wrapped("one  two\nthree", 0, 0, 0, "one two three\n");
    expect_wrapped("incomprehensibilities", 0, 2, 8, "incomprehensibilities\n");
    expect_wrapped("a incomprehensibilities b", 0, 2, 8, "a\n  incomprehensibilities\n  b\n");
    expect_wrapped("", 0, 0, 8, "\n");
    expect_wrapped("\xE5\xB8\xAF\xE5\xB8\xAF x", 0, 0, 5, "\xE5\xB8\xAF\xE5\xB8\xAF\nx\n"); /* two wide, 4 columns */
}

static const snub_column columns[] = {{"name", "", SNUB_CELL_TEXT, 0},
                                      {"size", "mm", SNUB_CELL_NUMBER, 2},
                                      {"verdict", "", SNUB_CELL_LEVEL, 0},
                                      {"why", "", SNUB_CELL_TEXT, 0}};

static void expect_table(const snub_cell *cells, int rows, snub_look look, const char *want)
{
    snub_data_table table = {.name = "t", .column_count = 4, .columns = columns, .row_count = rows, .cells = cells};
    snub_text out = {0};
    snub_error error;
    assert_int_equal(snub_table_show(&table, &look, &out, &error), SNUB_OK);
    assert_string_equal(out.data, want);
    snub_text_free(&out);
}

static void the_last_column_is_wrapped_into_the_width(void **state)
{
    (void)state;
    const snub_cell cells[] = {
        snub_cell_text("blower"),
        snub_cell_number(80, SNUB_MARK_NONE),
        snub_cell_level(SNUB_MARK_FAIL),
        snub_cell_text("slips at 6200 rpm"),
        snub_cell_text("a"),
        snub_cell_number(-0.001, SNUB_MARK_NONE),
        snub_cell_level(SNUB_MARK_PASS),
        snub_cell_text(NULL),
    };
    expect_table(cells, 2, (snub_look){.width = 36},
                 "name     size  verdict  why\n"
                 "           mm\n"
                 "blower  80.00  fail     slips at\n"
                 "                        6200 rpm\n"
                 "a        0.00  pass\n"); /* and no minus before a zero */
    expect_table(cells, 1, (snub_look){0},
                 "name     size  verdict  why\n"
                 "           mm\n"
                 "blower  80.00  fail     slips at 6200 rpm\n");
    /* Narrower than can be read: the column keeps its least width. */
    expect_table(cells, 1, (snub_look){.width = 20},
                 "name     size  verdict  why\n"
                 "           mm\n"
                 "blower  80.00  fail     slips at\n"
                 "                        6200 rpm\n");
}

static void colour_goes_with_the_word(void **state)
{
    (void)state;
    const snub_cell cells[] = {snub_cell_text("b"), snub_cell_number(1, SNUB_MARK_NONE),
                               snub_cell_level(SNUB_MARK_FAIL), snub_cell_text("x")};
    expect_table(cells, 1, (snub_look){.colour = true},
                 "name  size  verdict  why\n"
                 "        mm\n"
                 "b     1.00  \x1b[1;31mfail\x1b[0m     x\n");
}

static void findings_say_value_limit_where_and_what(void **state)
{
    (void)state;
    snub_finding items[] = {
        {.wording = SNUB_SAYS_SLIPS,
         .level = SNUB_FAIL,
         .pulley = "blower",
         .line = 31,
         .value = 1.234,
         .limit = 1,
         .at = {.moment = SNUB_RUNNING,
                .speed = 6200 * SNUB_RPM,
                .way = SNUB_RISING,
                .corner = SNUB_LONGEST,
                .side = -1}},
        {.wording = SNUB_SAYS_BACK_SMALL_FOR_LIFE,
         .level = SNUB_NOTE,
         .pulley = "idler",
         .value = 0.076,
         .limit = 0.09,
         .limit_line = 12},
        {.wording = SNUB_SAYS_BOLTS_IN_LINE, .level = SNUB_NOTE, .other = "plate", .value = NAN, .limit = NAN},
    };
    snub_finding_number(&items[0], "share", 1.234, SNUB_UNIT_PERCENT, 0);
    snub_finding_words(&items[0], "mend", "Use more wrap, more {pull}, or a larger pulley.");
    snub_finding_words(&items[0], "pull", "arm moment");
    snub_findings findings = {.items = items, .count = 3};
    snub_look look = {.width = 60};
    snub_text out = {0};
    snub_findings_show(&findings, SNUB_AREA_BIT(SNUB_AREA_SLIP) | SNUB_AREA_BIT(SNUB_AREA_BELT), &look, &out);
    assert_string_equal(out.data, "FAIL      grip, blower (line 31): 1.23, limit 1.00, at 6200\n"
                                  "          rpm, accelerating\n"
                                  "          blower slips at 6200 rpm, accelerating, longest\n"
                                  "          belt, worn, arm friction low: it needs 123 % of\n"
                                  "          the grip that limit friction gives. Use more wrap,\n"
                                  "          more arm moment, or a larger pulley.\n"
                                  "          (basis: mechanics: a belt slips at 1)\n"
                                  "note      smallest pulley, idler: 76.0 mm, limit 90.0 mm\n"
                                  "          idler is smaller than full belt life needs: 76.0\n"
                                  "          mm, against 90.0 mm. Change the belt sooner, or\n"
                                  "          use a larger idler.\n"
                                  "          (basis: the drive file, line 12)\n"); /* the hardware is not shown here */
    snub_text_free(&out);
}

static void expect_numbers(double value, double limit, const snub_locale *locale, const char *want)
{
    const snub_finding finding = {
        .wording = SNUB_SAYS_BACK_SMALL_FOR_LIFE, .pulley = "idler", .value = value, .limit = limit};
    snub_findings findings = {.items = (snub_finding *)&finding, .count = 1};
    const snub_look look = {.locale = locale};
    snub_text out = {0};
    snub_findings_show(&findings, SNUB_ALL_AREAS, &look, &out);
    if (strstr(out.data, want) == NULL) {
        print_error("got %s, want %s\n", out.data, want);
        fail();
    }
    snub_text_free(&out);
}

/* "90.0 mm, limit 90.0 mm" would be no reason. */
static void a_value_and_its_limit_differ(void **state)
{
    (void)state;
    const snub_locale inch = {.inches = true};
    expect_numbers(0.0899, 0.09, NULL, ": 89.9 mm, limit 90.0 mm");
    expect_numbers(0.08996, 0.09, NULL, ": 89.96 mm, limit 90.00 mm");
    expect_numbers(0.08996, 0.09, NULL, "89.96 mm, against 90.00 mm");
    expect_numbers(0.0899999, 0.09, NULL, ": 89.9999 mm, limit 90.0000 mm");
    expect_numbers(0.09, 0.09, NULL, ": 90.0 mm, limit 90.0 mm");
    expect_numbers(0.09 * (1 - 1e-12), 0.09, NULL, ": 90.0 mm, limit 90.0 mm");
    expect_numbers(0.0899, 0.09, &inch, ": 3.539 in, limit 3.543 in");
    expect_numbers(0.08999, 0.09, &inch, ": 3.5429 in, limit 3.5433 in");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(words_are_wrapped_at_blanks),  cmocka_unit_test(the_last_column_is_wrapped_into_the_width),
        cmocka_unit_test(colour_goes_with_the_word),    cmocka_unit_test(findings_say_value_limit_where_and_what),
        cmocka_unit_test(a_value_and_its_limit_differ),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

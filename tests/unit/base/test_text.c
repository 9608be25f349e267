/* Arena, text, numbers, nearest names. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "snub/base.h"

static void arena_gives_zeroed_aligned_memory(void **state)
{
    (void)state;
    snub_arena arena = {0};
    for (size_t size = 1; size < 300; size += 7) {
        unsigned char *memory = snub_alloc(&arena, 3, size);
        assert_non_null(memory);
        assert_int_equal((uintptr_t)memory % sizeof(double), 0);
        for (size_t i = 0; i < 3 * size; i++)
            assert_int_equal(memory[i], 0);
        memset(memory, 0xAB, 3 * size); /* the next one must be zero all the same */
    }
    unsigned char *large = snub_alloc(&arena, 1, 1 << 20);
    assert_non_null(large);
    large[(1 << 20) - 1] = 1;
    assert_non_null(snub_alloc(&arena, 0, 8));
    snub_arena_free(&arena);
    assert_null(arena.blocks);
    assert_int_equal(arena.used, 0);
    snub_arena_free(NULL);
}

static void arena_refuses_overflow_limit_and_nth(void **state)
{
    (void)state;
    snub_arena arena;
    snub_arena_init(&arena, 1000);
    assert_null(snub_alloc(&arena, SIZE_MAX / 2, 3));
    assert_null(snub_alloc(&arena, SIZE_MAX, 1));
    assert_null(snub_alloc(&arena, 1001, 1));
    assert_non_null(snub_alloc(&arena, 900, 1));
    assert_null(snub_alloc(&arena, 200, 1));
    arena.refuse_after = 2;
    assert_non_null(snub_alloc(&arena, 1, 1));
    assert_null(snub_alloc(&arena, 1, 1));
    assert_non_null(snub_alloc(&arena, 1, 1));
    snub_arena_free(&arena);
}

static void arena_copies_and_formats(void **state)
{
    (void)state;
    snub_arena arena = {0};
    assert_string_equal(snub_copy_text(&arena, "belt"), "belt");
    assert_string_equal(snub_copy_text_n(&arena, "beltway", 4), "belt");
    assert_string_equal(snub_format(&arena, "%d ribs, %.2f mm", 8, 3.56), "8 ribs, 3.56 mm");
    arena.refuse_after = 1;
    assert_null(snub_format(&arena, "%d", 1));
    snub_arena_free(&arena);
}

static void text_grows_and_keeps_what_it_has(void **state)
{
    (void)state;
    snub_text text = {0};
    for (int i = 0; i < 1000; i++)
        snub_text_printf(&text, "%d,", i);
    assert_int_equal(text.length, 10 * 2 + 90 * 3 + 900 * 4);
    assert_int_equal(strlen(text.data), text.length);
    snub_text_add(&text, "a\0b", 3);
    assert_int_equal(text.data[text.length - 2], 0);
    assert_false(text.failed);
    size_t before = text.length;
    snub_text_add(&text, "x", SIZE_MAX - 10);
    assert_true(text.failed);
    assert_int_equal(text.length, before);
    snub_text_puts(&text, "more");
    assert_int_equal(text.length, before);
    snub_text_free(&text);
    snub_text_free(&text);
    snub_text empty = {0};
    snub_text_add(&empty, "", 0);
    assert_string_equal(empty.data, "");
    snub_text_free(&empty);
}

static void numbers_read_whole_or_not_at_all(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        double value;
    } good[] = {{"12", 12},    {"-0.5", -0.5},        {"+3", 3},       {".5", 0.5},
                {"5.", 5},     {"1e3", 1000},         {"1E-3", 1e-3},  {" 7 ", 7},
                {"\t8", 8},    {"0.1", 0.1},          {"1e-400", 0.0}, {"00012", 12},
                {"1e+2", 100}, {"4.9e-324", 4.9e-324}};
    static const char *const bad[] = {"",    " ",   "abc", "1,5", "0x10",  "inf",      "nan", "-inf", "1e999", "1e",
                                      "1 2", "--1", ".",   "+",   "1_000", "infinity", "1f",  "e5",   "-.e1"};
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++) {
        double value = NAN;
        if (snub_parse_number(good[i].text, NULL, &value) != SNUB_OK || !(value == good[i].value))
            fail_msg("\"%s\": got %.17g, want %.17g", good[i].text, value, good[i].value);
    }
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        double value = 42;
        if (snub_parse_number(bad[i], NULL, &value) != SNUB_BAD_INPUT || value != 42)
            fail_msg("\"%s\" was taken as %.17g", bad[i], value);
    }
}

static void numbers_say_where_they_end(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        double value;
        const char *rest;
    } cases[] = {{"12 mm", 12, " mm"}, {"12mm", 12, "mm"},   {"5 eV", 5, " eV"},    {"5e", 5, "e"},
                 {"5e+", 5, "e+"},     {"1.2.3", 1.2, ".3"}, {"1e3kg", 1000, "kg"}, {"1,5", 1, ",5"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        double value = NAN;
        const char *end = NULL;
        assert_int_equal(snub_parse_number(cases[i].text, &end, &value), SNUB_OK);
        if (!(value == cases[i].value))
            fail_msg("\"%s\": got %.17g, want %.17g", cases[i].text, value, cases[i].value);
        assert_string_equal(end, cases[i].rest);
    }
}

/* A locale whose decimal point is a comma: where the system has none, one is compiled by the caller of this test
 * (LOCPATH) or the test says that it was skipped. */
static bool enter_comma_locale(void)
{
    static const char *const names[] = {"de_DE.UTF-8", "de_DE.utf8", "de_DE", "fr_FR.UTF-8", "nl_NL.UTF-8"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        if (setlocale(LC_ALL, names[i]) && strcmp(localeconv()->decimal_point, ",") == 0)
            return true;
    }
    return false;
}

static void numbers_are_the_same_under_a_comma_locale(void **state)
{
    (void)state;
    if (!enter_comma_locale()) {
        print_message("no locale with a decimal comma here\n");
        skip();
    }
    char plain[32];
    snprintf(plain, sizeof plain, "%.1f", 1.5);
    assert_string_equal(plain, "1,5"); /* the trap is set */
    snub_text text = {0};
    snub_text_printf(&text, "%.1f", 1.5);
    assert_string_equal(text.data, "1.5");
    snub_text_free(&text);
    snub_arena arena = {0};
    assert_string_equal(snub_format(&arena, "%g", 0.25), "0.25");
    snub_arena_free(&arena);
    double value = 0;
    assert_int_equal(snub_parse_number("2.75", NULL, &value), SNUB_OK);
    assert_true(value == 2.75);
    snub_error error;
    snub_fail(&error, SNUB_BAD_INPUT, NULL, NULL, "%.1f", 0.5);
    assert_string_equal(error.message, "0.5");
    snprintf(plain, sizeof plain, "%.1f", 1.5);
    assert_string_equal(plain, "1,5"); /* and the program's own locale is back */
    setlocale(LC_ALL, "C");
}

static void nearest_finds_what_was_meant(void **state)
{
    (void)state;
    static const char *const names[] = {"diameter", "length", "travel", "preload", "rate", "max_speed", "at"};
    const int count = sizeof names / sizeof names[0];
    static const char *const pairs[][2] = {
        {"diamter", "diameter"},    {"daimeter", "diameter"}, {"lenght", "length"}, {"Diameter", "diameter"},
        {"max-speed", "max_speed"}, {"rat", "rate"},          {"pre", "preload"},   {"ta", "at"},
        {"diam", "diameter"}};
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        const char *got = snub_nearest(pairs[i][0], names, count);
        if (!got || strcmp(got, pairs[i][1]) != 0)
            fail_msg("\"%s\": got %s, want %s", pairs[i][0], got ? got : "none", pairs[i][1]);
    }
    static const char *const strangers[] = {"", "colour", "x", "zz", "supercalifragilistic"};
    for (size_t i = 0; i < sizeof strangers / sizeof strangers[0]; i++)
        assert_null(snub_nearest(strangers[i], names, count));
    char endless[5000];
    memset(endless, 'a', sizeof endless - 1);
    endless[sizeof endless - 1] = 0;
    assert_null(snub_nearest(endless, names, count));
    assert_null(snub_nearest("diameter", names, 0));
}

static void mistakes_are_capped_and_counted(void **state)
{
    (void)state;
    snub_errors errors = {0};
    snub_error error;
    for (int i = 0; i < SNUB_ERRORS_MOST + 5; i++) {
        snub_fail(&error, SNUB_BAD_INPUT, NULL, NULL, "mistake %d", i);
        snub_errors_add(&errors, &error);
    }
    assert_int_equal(errors.count, SNUB_ERRORS_MOST);
    assert_int_equal(errors.more, 5);
    assert_string_equal(errors.items[0].message, "mistake 0");
    assert_string_equal(errors.items[SNUB_ERRORS_MOST - 1].message, "mistake 199");
    snub_errors_free(&errors);
    snub_errors_free(&errors);
    snub_errors_free(NULL);
}

static void widths_count_columns(void **state)
{
    (void)state;
    assert_int_equal(snub_text_width("belt"), 4);
    assert_int_equal(snub_text_width("gr\xC3\xBC\xC3\x9F"), 4);
    assert_int_equal(snub_text_width("e\xCC\x81"), 1);    /* combining acute */
    assert_int_equal(snub_text_width("\xE5\xB8\xAF"), 2); /* a CJK character */
    assert_int_equal(snub_text_width("\xFF\xFE"), 2);     /* two stray bytes */
    const char *bad = "\xE5\xB8", *at = bad;
    assert_int_equal(snub_utf8_next(&at, bad + 2), 0xFFFD);
    assert_ptr_equal(at, bad + 1);
    const char *overlong = "\xC0\xAF";
    at = overlong;
    assert_int_equal(snub_utf8_next(&at, overlong + 2), 0xFFFD);
}

static void days_are_of_the_calendar(void **state)
{
    static const char *const days[] = {"2026-01-31", "2024-02-29", "2000-02-29", "2026-04-30", "2026-12-01"};
    static const char *const others[] = {"2026-02-29", "2100-02-29", "2026-04-31", "2026-01-00",
                                         "2026-00-01", "2026-13-01", "2026-1-31",  "2026/01/31",
                                         "2026-01-3x", "x026-01-31", "",           "2026-01-311"};
    (void)state;
    for (size_t i = 0; i < sizeof days / sizeof days[0]; i++)
        if (!snub_is_day(days[i], strlen(days[i])))
            fail_msg("%s is a day", days[i]);
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++)
        if (snub_is_day(others[i], strlen(others[i])))
            fail_msg("%s is no day", others[i]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(arena_gives_zeroed_aligned_memory),
        cmocka_unit_test(arena_refuses_overflow_limit_and_nth),
        cmocka_unit_test(arena_copies_and_formats),
        cmocka_unit_test(text_grows_and_keeps_what_it_has),
        cmocka_unit_test(numbers_read_whole_or_not_at_all),
        cmocka_unit_test(numbers_say_where_they_end),
        cmocka_unit_test(numbers_are_the_same_under_a_comma_locale),
        cmocka_unit_test(nearest_finds_what_was_meant),
        cmocka_unit_test(mistakes_are_capped_and_counted),
        cmocka_unit_test(widths_count_columns),
        cmocka_unit_test(days_are_of_the_calendar),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Errors: filled, and rendered with the line and a caret. The texts are test data. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <string.h>

#include "snub/base.h"

static void expect(const snub_error *error, const char *source, const char *want)
{
    snub_text out = {0};
    snub_error_render(error, source, source ? strlen(source) : 0, &out);
    assert_string_equal(out.data, want);
    snub_text_free(&out);
}

static snub_error at(int line, int column, const char *key, const char *message)
{
    snub_error error;
    snub_place place = {.file = "kit.yaml", .line = line, .column = column};
    snub_fail(&error, SNUB_BAD_INPUT, &place, key, "%s", message);
    return error;
}

static void names_place_key_got_and_need(void **state)
{
    (void)state;
    snub_error error = at(2, 9, "belt.ribs", "not a whole number");
    strcpy(error.got, "eight");
    strcpy(error.need, "a whole number, such as 8");
    expect(&error, "belt:\n  ribs: eight\n  length: 1575\n",
           "kit.yaml:2:9: belt.ribs: not a whole number (got eight, need a whole number, such as 8)\n"
           "      ribs: eight\n"
           "            ^\n");
    error.got[0] = 0;
    expect(&error, NULL, "kit.yaml:2:9: belt.ribs: not a whole number (need a whole number, such as 8)\n");
    error.place.line = 0;
    expect(&error, "x", "kit.yaml: belt.ribs: not a whole number (need a whole number, such as 8)\n");
}

static void copes_with_no_message_and_no_place(void **state)
{
    (void)state;
    snub_error error = {.code = SNUB_NO_MEMORY};
    expect(&error, "x", "out of memory\n");
    snub_error past = at(9, 1, "", "gone");
    expect(&past, "one line\n", "kit.yaml:9:1: gone\n");
}

static void caret_stays_under_its_place(void **state)
{
    (void)state;
    snub_error error = at(1, 3, "", "here");
    expect(&error, "\tx: 1", "kit.yaml:1:3: here\n        x: 1\n         ^\n");      /* a tab shows as 4 */
    expect(&error, "\xC3\xBC: x", "kit.yaml:1:3: here\n    \xC3\xBC: x\n      ^\n"); /* two bytes, one column */
    expect(&error, "\xE5\xB8\xAF: x", "kit.yaml:1:3: here\n    \xE5\xB8\xAF: x\n       ^\n"); /* one, two columns */
    expect(&error, "a: x\r\nb", "kit.yaml:1:3: here\n    a: x\n      ^\n");
    expect(&error,
           "\xEF\xBB\xBF"
           "a: x",
           "kit.yaml:1:3: here\n    a: x\n      ^\n");
    expect(&error, "", "kit.yaml:1:3: here\n    \n    ^\n");
    snub_error second = at(2, 1, "", "here");
    expect(&second, "a: 1\rb: 2", "kit.yaml:2:1: here\n    b: 2\n    ^\n"); /* a lone CR ends a line in YAML 1.1 */
}

static void long_lines_are_cut_around_the_caret(void **state)
{
    (void)state;
    char source[2001], want_middle[101];
    memset(source, 'a', 2000);
    source[2000] = 0;
    source[999] = 'X';
    snub_error error = at(1, 1000, "", "here");
    snub_text out = {0};
    snub_error_render(&error, source, 2000, &out);
    memset(want_middle, 'a', 100);
    want_middle[100] = 0;
    want_middle[60] = 'X';
    char want[400];
    strcpy(want, "kit.yaml:1:1000: here\n... ");
    strcat(want, want_middle);
    strcat(want, " ...\n");
    size_t length = strlen(want);
    memset(want + length, ' ', 64);
    strcpy(want + length + 64, "^\n");
    assert_string_equal(out.data, want);
    snub_text_free(&out);
    snub_error last = at(1, 2000, "", "here"); /* at the end nothing is cut behind */
    snub_error_render(&last, source, 2000, &out);
    assert_null(strstr(out.data, "a ...\n"));
    snub_text_free(&out);
}

static void terminal_codes_from_a_file_are_not_passed_on(void **state)
{
    (void)state;
    snub_error error = at(1, 1, "k\x1b[2J", "unknown key \"\x1b]0;x\x07\"");
    strcpy(error.got, "a\nb\xC2\x9B"
                      "c");
    expect(&error, "k\x1b[2J: 1",
           "kit.yaml:1:1: k\\x1B[2J: unknown key \"\\x1B]0;x\\x07\" (got a b\\x9Bc)\n    k\\x1B[2J: 1\n    ^\n");
    /* The caret stays under its character behind what takes more columns when it is escaped: a mark that turns the
     * line, a number that is no character, a byte that begins none. */
    error = at(1, 5, "k", "no");
    expect(&error, "\xE2\x80\xAE\xF0\x9F\xBF\xBE\x9B:x",
           "kit.yaml:1:5: k: no\n    \\u202E\\U0001FFFE\\x9B:x\n                         ^\n");
}

static void every_hidden_character_is_known(void **state)
{
    (void)state;
    static const uint32_t hidden[] = {0,      0x1B,   0x7F,    0x9B,    0x61C,    0x200B, 0x200E,
                                      0x200F, 0x202A, 0x202E,  0x2066,  0x2069,   0xFEFF, 0xFDD0,
                                      0xFDEF, 0xFFFE, 0x1FFFF, 0xE0041, 0x10FFFE, 0x2028};
    static const uint32_t shown[] = {' ', '~', 0xA0, 0xE9, 0x5D0, 0x2010, 0x2030, 0xFDCF, 0xFDF0, 0xFFFD, 0x1F527};
    for (size_t i = 0; i < sizeof hidden / sizeof hidden[0]; i++)
        assert_true(snub_utf8_is_hidden(hidden[i]));
    for (size_t i = 0; i < sizeof shown / sizeof shown[0]; i++)
        assert_false(snub_utf8_is_hidden(shown[i]));
    uint32_t point = 0;
    assert_false(snub_text_hidden("a\tb\r\n", 5, &point));
    assert_true(snub_text_hidden("a\xE2\x80\xAE", 4, &point));
    assert_int_equal(point, 0x202E);
    snub_text text = {0};
    snub_text_shell(&text, "a\x1b'\xC3\xA4");
    assert_string_equal(text.data, "$'a\\x1B\\x27\\xC3\\xA4'");
    snub_text_free(&text);
}

static void a_cut_message_ends_on_a_whole_character(void **state)
{
    (void)state;
    snub_error error;
    char key[200] = "";
    for (int i = 0; i < 60; i++)
        strcat(key, "\xE5\xB8\xAF"); /* 180 bytes into 95 */
    assert_int_equal(snub_fail(&error, SNUB_IO, NULL, key, "x"), SNUB_IO);
    assert_int_equal(strlen(error.key) % 3, 0);
    assert_true(strlen(error.key) > 90);
    assert_int_equal(snub_fail(NULL, SNUB_IO, NULL, NULL, "x"), SNUB_IO);
}

static void every_status_has_a_text(void **state)
{
    (void)state;
    for (int i = SNUB_OK; i <= SNUB_STOPPED; i++) {
        assert_true(strlen(snub_status_text((snub_status)i)) > 1);
        assert_string_not_equal(snub_status_text((snub_status)i), "unknown status");
    }
    assert_string_equal(snub_status_text((snub_status)999), "unknown status");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(names_place_key_got_and_need),
        cmocka_unit_test(copes_with_no_message_and_no_place),
        cmocka_unit_test(caret_stays_under_its_place),
        cmocka_unit_test(long_lines_are_cut_around_the_caret),
        cmocka_unit_test(terminal_codes_from_a_file_are_not_passed_on),
        cmocka_unit_test(every_hidden_character_is_known),
        cmocka_unit_test(a_cut_message_ends_on_a_whole_character),
        cmocka_unit_test(every_status_has_a_text),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* CSV: what spreadsheets write is read, with lines; what cannot be read is refused with the line. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "snub/csv.h"

/* Rows as one text: "line:field|field\n". */
static snub_status take(void *context, const snub_csv_row *row, snub_error *error)
{
    snub_text *out = context;
    (void)error;
    snub_text_printf(out, "%d:", row->line);
    for (int i = 0; i < row->count; i++) {
        assert_int_equal(strlen(row->fields[i]), row->lengths[i]);
        snub_text_puts(out, i ? "|" : "");
        snub_text_puts(out, row->fields[i]);
    }
    snub_text_puts(out, "\n");
    return SNUB_OK;
}

static void expect_rows(const char *data, size_t length, const char *want)
{
    /* whole, and one byte at a time: the same rows */
    snub_text whole = {0}, bytes = {0};
    snub_error error = {0};
    assert_int_equal(snub_csv_read("t.csv", data, length, NULL, take, &whole, &error), SNUB_OK);
    assert_string_equal(whole.data ? whole.data : "", want);
    snub_csv_reader *reader = NULL;
    assert_int_equal(snub_csv_open("t.csv", NULL, take, &bytes, &reader, &error), SNUB_OK);
    for (size_t i = 0; i < length; i++)
        assert_int_equal(snub_csv_feed(reader, data + i, 1, &error), SNUB_OK);
    assert_int_equal(snub_csv_finish(reader, &error), SNUB_OK);
    snub_csv_close(reader);
    assert_string_equal(bytes.data ? bytes.data : "", want);
    snub_text_free(&whole);
    snub_text_free(&bytes);
}

#define ROWS(data, want) expect_rows(data, sizeof(data) - 1, want)

static void expect_refusal(const char *data, size_t length, const snub_csv_limits *limits, snub_status want, int line,
                           const char *words)
{
    snub_text out = {0};
    snub_error error = {0};
    snub_status got = snub_csv_read("t.csv", data, length, limits, take, &out, &error);
    snub_text_free(&out);
    if (got != want || error.place.line != line || !strstr(error.message, words))
        fail_msg("got status %d line %d \"%s\", want status %d line %d \"%s\"", got, error.place.line, error.message,
                 want, line, words);
}

static void reads_what_spreadsheets_write(void **state)
{
    (void)state;
    ROWS("a,b\n1,2\n", "1:a|b\n2:1|2\n");
    ROWS("a,b\r\n1,2\r\n", "1:a|b\n2:1|2\n");
    ROWS("a,b\r1,2\r", "1:a|b\n2:1|2\n");
    ROWS("a,b\n1,2", "1:a|b\n2:1|2\n");
    ROWS("\xEF\xBB\xBF"
         "a,b\n1,2\n",
         "1:a|b\n2:1|2\n");
    ROWS("\"\xEF\xBB\xBF"
         "a\",b\n",
         "1:\xEF\xBB\xBF"
         "a|b\n");
    ROWS("\xEF\xBB\xBF\n\na;b\n", "3:a|b\n");
    ROWS("a;b\n1,5;2\n", "1:a|b\n2:1,5|2\n");
    ROWS("a\tb\n1;5\t2\n", "1:a|b\n2:1;5|2\n");
    ROWS("a,b,c\n,,\n", "1:a|b|c\n2:||\n");
    ROWS("a, b ,\" c \"\n", "1:a|b| c \n");
    ROWS("", "");
    ROWS("\n\n \n", "");
}

static void knows_lines_across_quoted_newlines(void **state)
{
    (void)state;
    ROWS("a,b\n\"one\ntwo\nthree\",2\nx,y\n", "1:a|b\n2:one\ntwo\nthree|2\n5:x|y\n");
    ROWS("a,b\r\n\"one\r\ntwo\",2\r\nx,y\r\n", "1:a|b\n2:one\r\ntwo|2\n4:x|y\n");
    ROWS("\n\na,b\n\n  \n1,2\n", "3:a|b\n6:1|2\n");
    ROWS("\"he said \"\"no\"\"\",\"\"\n", "1:he said \"no\"|\n");
    ROWS("\"a,b\nc\";d\n1;2\n", "1:a,b\nc|d\n3:1|2\n");
}

static void refuses_with_the_line(void **state)
{
    (void)state;
#define REFUSE(data, limits, status, line, words) expect_refusal(data, sizeof(data) - 1, limits, status, line, words)
    REFUSE("a,b\n1,2\"3\n", NULL, SNUB_BAD_INPUT, 2, "misplaced quote");
    REFUSE("a,b\n1,\"2\"3\n", NULL, SNUB_BAD_INPUT, 2, "misplaced quote");
    REFUSE("a,b\nx,y\n1,\"2\n3\n", NULL, SNUB_BAD_INPUT, 3, "never closed");
    REFUSE("a,b\n1,\0\n", NULL, SNUB_BAD_INPUT, 2, "NUL");
    REFUSE("a\0,\0b\0", NULL, SNUB_BAD_INPUT, 1, "UTF-16");
    REFUSE("a,b\n1,\xC3(\n", NULL, SNUB_BAD_INPUT, 2, "not UTF-8");
    REFUSE("a,b\n1,\xED\xA0\x80\n", NULL, SNUB_BAD_INPUT, 2, "not UTF-8");
    snub_csv_limits two_rows = {.rows = 2}, two_fields = {.row_fields = 2}, short_fields = {.field_bytes = 4};
    REFUSE("a\nb\nc\n", &two_rows, SNUB_TOO_LARGE, 3, "too many rows");
    REFUSE("a,b\n1,2,3\n", &two_fields, SNUB_TOO_LARGE, 2, "too many fields");
    REFUSE("a,b\n1,12345\n", &short_fields, SNUB_TOO_LARGE, 2, "too long");
    snub_csv_limits odd = {.delimiter = '|'};
    REFUSE("a|b\n", &odd, SNUB_BAD_INPUT, 0, "field separator");
}

/* "Breite;B\u00E4cker\u20AC" in each encoding by hand, whole and byte by byte. */
static void encodings_are_read(void **state)
{
    static const char want[] = "1:a|b\n2:B\xC3\xA4r|3 \xE2\x82\xAC\n";
    static const struct {
        const char *bytes;
        size_t length;
        snub_encoding said;
    } files[] = {
#define FILE_OF(bytes, said) {bytes, sizeof(bytes) - 1, said}
        FILE_OF("a;b\nB\xE4r;3 \x80\n", SNUB_ENCODING_WINDOWS_1252),
        FILE_OF("a;b\nB\xC3\xA4r;3 \xE2\x82\xAC\n", SNUB_ENCODING_UTF_8),
        FILE_OF("\xEF\xBB\xBF"
                "a;b\nB\xC3\xA4r;3 \xE2\x82\xAC\n",
                SNUB_ENCODING_UTF_8),
        FILE_OF("\xFF\xFE"
                "a\0;\0b\0\n\0B\0\xE4\0r\0;\0003\0 \0\xAC\x20\n\0",
                SNUB_ENCODING_FOUND_OUT),
        FILE_OF("\xFF\xFE"
                "a\0;\0b\0\n\0B\0\xE4\0r\0;\0003\0 \0\xAC\x20\n\0",
                SNUB_ENCODING_UTF_16),
        FILE_OF("\xFE\xFF\0a\0;\0b\0\n\0B\0\xE4\0r\0;\0003\0 \x20\xAC\0\n", SNUB_ENCODING_FOUND_OUT),
        FILE_OF("\0a\0;\0b\0\n\0B\0\xE4\0r\0;\0003\0 \x20\xAC\0\n", SNUB_ENCODING_UTF_16BE),
#undef FILE_OF
    };
    (void)state;
    for (size_t i = 0; i < sizeof files / sizeof files[0]; i++) {
        const snub_csv_limits limits = {.encoding = files[i].said};
        snub_text whole = {0}, bytes = {0};
        snub_csv_reader *reader = NULL;
        snub_error error = {0};
        assert_int_equal(snub_csv_read("t.csv", files[i].bytes, files[i].length, &limits, take, &whole, &error),
                         SNUB_OK);
        assert_string_equal(whole.data, want);
        assert_int_equal(snub_csv_open("t.csv", &limits, take, &bytes, &reader, &error), SNUB_OK);
        for (size_t k = 0; k < files[i].length; k++)
            assert_int_equal(snub_csv_feed(reader, files[i].bytes + k, 1, &error), SNUB_OK);
        assert_int_equal(snub_csv_finish(reader, &error), SNUB_OK);
        snub_csv_close(reader);
        assert_string_equal(bytes.data, want);
        snub_text_free(&whole);
        snub_text_free(&bytes);
    }
}

static void wrong_bytes_have_their_line(void **state)
{
    const snub_csv_limits windows = {.encoding = SNUB_ENCODING_WINDOWS_1252},
                          latin = {.encoding = SNUB_ENCODING_LATIN_1}, sixteen = {.encoding = SNUB_ENCODING_UTF_16},
                          utf8 = {.encoding = SNUB_ENCODING_UTF_8}, help = {.encoding_help = "write --encoding"};
    snub_error error = {0};
    snub_text out = {0};
    (void)state;
    REFUSE("a;b\nx;y\n1;\x81\n", &windows, SNUB_BAD_INPUT, 3, "is no character");
    REFUSE("a;b\n1;\x80\n", &latin, SNUB_BAD_INPUT, 2, "is no character");
    REFUSE("\xFF\xFE"
           "a\0\n\0\0\xDC\n\0",
           NULL, SNUB_BAD_INPUT, 2, "is no character");
    REFUSE("\xFF\xFE"
           "a\0\n\0b",
           NULL, SNUB_BAD_INPUT, 2, "ends within a character");
    REFUSE("a;b\n", &sixteen, SNUB_BAD_INPUT, 1, "no byte-order mark");
    REFUSE("\xFF\xFE"
           "a\0",
           &utf8, SNUB_BAD_INPUT, 1, "mark of another encoding");
    REFUSE("\xEF\xBB\xBF"
           "a",
           &windows, SNUB_BAD_INPUT, 1, "mark of another encoding");
    assert_int_equal(snub_csv_read("t.csv", "a\nB\xE4r\n", 6, &help, take, &out, &error), SNUB_BAD_INPUT);
    assert_string_equal(error.got, "byte 0xE4");
    assert_string_equal(error.need, "write --encoding");
    assert_string_equal(out.data, "1:a\n");
    snub_text_free(&out);
}

static void an_open_quote_does_not_take_in_the_file(void **state)
{
    (void)state;
    size_t length = 8 << 20;
    char *data = malloc(length);
    assert_non_null(data);
    memset(data, 'x', length);
    memcpy(data, "a,b\n\"", 5);
    snub_csv_reader *reader = NULL;
    snub_text out = {0};
    snub_error error = {0};
    assert_int_equal(snub_csv_open("t.csv", NULL, take, &out, &reader, &error), SNUB_OK);
    size_t fed = 0;
    snub_status status = SNUB_OK;
    for (; fed < length && status == SNUB_OK; fed += 4096)
        status = snub_csv_feed(reader, data + fed, 4096, &error);
    assert_int_equal(status, SNUB_TOO_LARGE);
    assert_int_equal(error.place.line, 2);
    assert_true(fed < 4 * SNUB_CSV_FIELD_BYTES);
    assert_int_equal(snub_csv_feed(reader, "x", 1, &error), SNUB_TOO_LARGE); /* and stays refused */
    snub_csv_close(reader);
    snub_text_free(&out);
    free(data);
}

static void what_is_written_comes_back(void **state)
{
    (void)state;
    static const char *const fields[] = {"",
                                         "plain",
                                         " blank before",
                                         "blank after ",
                                         "a,b",
                                         "a;b",
                                         "a\tb",
                                         "say \"no\"",
                                         "\"",
                                         "line\nbreak",
                                         "line\r\nbreak",
                                         "\xD7\xA9\xD7\x9C\xD7\x95\xD7\x9D",
                                         "\xEF\xBB\xBFmark",
                                         "=1+1",
                                         "'quoted'",
                                         "\"\"\"",
                                         ",",
                                         "\n"};
    enum { COUNT = (int)(sizeof fields / sizeof fields[0]) };
    for (int shift = 0; shift < COUNT; shift++) {
        snub_text out = {0}, back = {0}, want = {0};
        snub_error error = {0};
        snub_text_puts(&want, "1:");
        for (int i = 0; i < COUNT; i++) {
            const char *field = fields[(i + shift) % COUNT];
            snub_csv_field(&out, field, strlen(field), i == 0, false);
            snub_text_puts(&want, i ? "|" : "");
            snub_text_puts(&want, field);
        }
        snub_text_puts(&want, "\n");
        snub_csv_end_row(&out);
        snub_csv_limits comma = {.delimiter = ','};
        assert_int_equal(snub_csv_read("t.csv", out.data, out.length, &comma, take, &back, &error), SNUB_OK);
        assert_string_equal(back.data, want.data);
        snub_text_free(&out);
        snub_text_free(&back);
        snub_text_free(&want);
    }
}

static snub_status stop(void *context, const snub_csv_row *row, snub_error *error)
{
    (void)context;
    return row->line == 2 ? snub_fail(error, SNUB_STOPPED, NULL, NULL, "enough") : SNUB_OK;
}

static void the_taker_can_stop(void **state)
{
    (void)state;
    snub_error error = {0};
    assert_int_equal(snub_csv_read("t.csv", "a\nb\nc\n", 6, NULL, stop, NULL, &error), SNUB_STOPPED);
    assert_string_equal(error.message, "enough");
}

static void utf8_is_judged(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        size_t length, bad;
    } cases[] = {{"abc", 3, 3},
                 {"\xC3\xA9", 2, 2},
                 {"\xE2\x82\xAC", 3, 3},
                 {"\xF0\x9F\x94\xA7", 4, 4},
                 {"\xC0\x80", 2, 0},
                 {"a\x80", 2, 1},
                 {"ab\xE2\x82", 4, 2},
                 {"\xED\xA0\x80", 3, 0},
                 {"\xF4\x90\x80\x80", 4, 0},
                 {"\xE0\x80\x80", 3, 0},
                 {"\xF0\x80\x80\x80", 4, 0},
                 {"\xEF\xBF\xBF", 3, 3},
                 {"\xF4\x8F\xBF\xBF", 4, 4}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        if (snub_utf8_invalid(cases[i].text, cases[i].length) != cases[i].bad)
            fail_msg("case %zu: got %zu, want %zu byte", i, snub_utf8_invalid(cases[i].text, cases[i].length),
                     cases[i].bad);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_what_spreadsheets_write),
        cmocka_unit_test(knows_lines_across_quoted_newlines),
        cmocka_unit_test(refuses_with_the_line),
        cmocka_unit_test(encodings_are_read),
        cmocka_unit_test(wrong_bytes_have_their_line),
        cmocka_unit_test(an_open_quote_does_not_take_in_the_file),
        cmocka_unit_test(what_is_written_comes_back),
        cmocka_unit_test(the_taker_can_stop),
        cmocka_unit_test(utf8_is_judged),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

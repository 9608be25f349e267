/* Logs as loggers write them: rows in SI with their lines; what is wrong is counted with line and reason. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <zlib.h>

#include <cmocka.h>

#include "snub/trace.h"
#include "trace/number.h"

typedef struct taken {
    snub_text text;
    snub_log_rows rows;
    snub_status status;
    snub_error error;
} taken;

/* "line/part: time engine blower throttle boost [temperature]", in s, rpm, Pa, K. */
static snub_status take(void *context, const snub_log_row *row)
{
    taken *t = context;
    snub_text_printf(&t->text, "%ld/%ld:", row->line, row->part);
    for (int c = 0; c < SNUB_LOG_CHANNELS; c++) {
        if (c == SNUB_LOG_CHARGE && isnan(row->value[c]))
            continue;
        const double unit = c == SNUB_LOG_ENGINE || c == SNUB_LOG_BLOWER ? SNUB_RPM : 1.0;
        if (isnan(row->value[c]))
            snub_text_puts(&t->text, " -");
        else
            snub_text_printf(&t->text, " %.10g", row->value[c] / unit);
    }
    snub_text_puts(&t->text, "\n");
    return SNUB_OK;
}

static void read_pieces(const char *data, size_t length, size_t piece, const snub_log_wish *wish, taken *t)
{
    snub_units *units;
    snub_log_reader *reader;
    assert_int_equal(snub_units_open(&units, NULL), SNUB_OK);
    *t = (taken){0};
    assert_int_equal(snub_log_open("t.log", wish, units, take, t, &reader, NULL), SNUB_OK);
    for (size_t at = 0; at < length && t->status == SNUB_OK; at += piece)
        t->status = snub_log_feed(reader, data + at, length - at < piece ? length - at : piece, &t->error);
    if (t->status == SNUB_OK)
        t->status = snub_log_finish(reader, &t->error);
    t->rows = *snub_log_read(reader);
    snub_log_close(reader);
    snub_units_free(units);
}

/* Whole, byte by byte, and packed: the same rows. */
static snub_log_rows expect_rows(const char *data, const snub_log_wish *wish, const char *want)
{
    const snub_log_wish usual = {0};
    const size_t length = strlen(data);
    taken whole, bytes, packed;
    unsigned char zipped[4096];
    z_stream z = {.next_in = (z_const Bytef *)(uintptr_t)data,
                  .avail_in = (uInt)length,
                  .next_out = zipped,
                  .avail_out = sizeof zipped};
    assert_int_equal(deflateInit2(&z, 6, Z_DEFLATED, 16 + MAX_WBITS, 8, Z_DEFAULT_STRATEGY), Z_OK);
    assert_int_equal(deflate(&z, Z_FINISH), Z_STREAM_END);
    deflateEnd(&z);
    wish = wish != NULL ? wish : &usual;
    read_pieces(data, length, length, wish, &whole);
    read_pieces(data, length, 1, wish, &bytes);
    read_pieces((const char *)zipped, z.total_out, 7, wish, &packed);
    if (whole.status != SNUB_OK)
        fail_msg("line %d: %s", whole.error.place.line, whole.error.message);
    assert_string_equal(whole.text.data, want);
    assert_string_equal(bytes.text.data, want);
    assert_string_equal(packed.text.data, want);
    assert_true(packed.rows.zipped && !whole.rows.zipped);
    const snub_log_rows rows = whole.rows;
    snub_text_free(&whole.text);
    snub_text_free(&bytes.text);
    snub_text_free(&packed.text);
    return rows;
}

static void expect_refusal(const char *data, size_t length, const snub_log_wish *wish, int line, const char *words)
{
    const snub_log_wish usual = {0};
    taken t;
    read_pieces(data, length, length, wish != NULL ? wish : &usual, &t);
    snub_text_free(&t.text);
    if (t.status == SNUB_OK || t.error.place.line != line || strstr(t.error.message, words) == NULL)
        fail_msg("got status %d line %d \"%s\", want line %d \"%s\"", t.status, t.error.place.line, t.error.message,
                 line, words);
}
#define REFUSED(data, wish, line, words) expect_refusal(data, sizeof(data) - 1, wish, line, words)

/* Water boils at 212 degF. */
static void temperatures(void **state)
{
    (void)state;
    expect_rows("time,rpm,blower,IAT [degF]\n1,2,3,212\n2,2,3,-\n", NULL, "2/1: 1 2 3 - - 373.15\n3/1: 2 2 3 - -\n");
    expect_rows("time,rpm,blower,Ladelufttemperatur\n1,2,3,\"20\"\n", NULL, "2/1: 1 2 3 - - 293.15\n");
    expect_rows("time,rpm,blower,x\n1,2,3,300\n",
                &(snub_log_wish){.column = {[SNUB_LOG_CHARGE] = "x"}, .unit = {[SNUB_LOG_CHARGE] = "K"}},
                "2/1: 1 2 3 - - 300\n");
    REFUSED("time,rpm,blower,IAT [kPa]\n1,2,3,4\n", NULL, 1, "--unit temperature=UNIT");
}

static void forms(void **state)
{
    (void)state;
    snub_log_rows rows = expect_rows("time,engine speed,blower speed\n0,1000,1800\n0.01,1001,1801.5\n", NULL,
                                     "2/1: 0 1000 1800 - -\n3/1: 0.01 1001 1801.5 - -\n");
    assert_int_equal(rows.header, 1);
    assert_int_equal(rows.separator, ',');
    assert_true(rows.column[SNUB_LOG_ENGINE].assumed);
    rows = expect_rows("\xEF\xBB\xBF# Pr\xC3\xBC"
                       "fstand\r\nKunde: Muster\r\n\r\n"
                       "Zeit [ms];Motordrehzahl [1/min];Laderdrehzahl [U/min];Drosselklappe [%];Ladedruck [mbar]\r\n"
                       "10,5;2500,25;4500,5;80;500\r\n; ;\r\n20,5;2600;4680;81;;\r\n",
                       NULL, "5/1: 0.0105 2500.25 4500.5 80 50000\n7/1: 0.0205 2600 4680 81 -\n");
    assert_int_equal(rows.bad, 1); /* "; ;" is a row too short here, no comment */
    assert_int_equal(rows.first_bad[0].line, 6);
    (void)expect_rows("log\nTime\tRPM\tSC speed\tMAP\ns\trpm\tkrpm\tkPa\n0\t1000\t1.8\t101.325\n",
                      &(snub_log_wish){.ambient = 100e3, .unit = {[SNUB_LOG_BLOWER] = "rpm"}},
                      "4/1: 0 1000 1.8 - 1325\n");
    (void)expect_rows("t  n_mot   n_lader\n 0  1000  1800\n 1  1001 1801\n", NULL,
                      "2/1: 0 1000 1800 - -\n3/1: 1 1001 1801 - -\n");
    (void)expect_rows("time|rpm|blower\n00:01:02.5|1000|1800\n1:00:00|1000|1801\n", NULL,
                      "2/1: 62.5 1000 1800 - -\n3/1: 3600 1000 1801 - -\n");
    (void)expect_rows("\"Time (s)\",\"Engine, RPM\",\"Blower Speed (rad/s)\"\n\"0\",\"1000\",\"30\"\n",
                      &(snub_log_wish){.column = {[SNUB_LOG_ENGINE] = "engine, rpm"}}, "2/1: 0 1000 286.4788976 - -\n");
}

static void chosen(void **state)
{
    (void)state;
    (void)expect_rows("a,b,c\n1,20,3600\n", &(snub_log_wish){.column = {"a", "2", "C"}, .unit = {NULL, "rps", NULL}},
                      "2/1: 1 1200 3600 - -\n");
}

static void by_number(void **state)
{
    (void)state;
    /* without a blower speed boost will do: kPa, above ambient */
    (void)expect_rows("time,rpm,boost\n1,2000,50\n", NULL, "2/1: 1 2000 - - 50000\n");
    (void)expect_rows("2000,3600\n2010,3610\n", &(snub_log_wish){.column = {NULL, "1", "2"}, .rate = 100},
                      "1/1: 0 2000 3600 - -\n2/1: 0.01 2010 3610 - -\n");
    (void)expect_rows("rpm,sc rpm\n2000,3600\n2010,3610\n", &(snub_log_wish){.rate = 50},
                      "2/1: 0 2000 3600 - -\n3/1: 0.02 2010 3610 - -\n");
}

static void gaps_and_faults(void **state)
{
    (void)state;
    const snub_log_rows rows =
        expect_rows("time,rpm,blower\n"
                    "0,1000,\n0.1,NaN,1800\n0.1,1000,-\n"
                    "0.2,1000\n0.3,1000,abc\n,1000,1800\n0.4,40000,1800\n0.5,inf,1800\n"
                    "0.6,1000,1800\n0.1,1000,1800\n0.3,1000,1800\n",
                    NULL,
                    "2/1: 0 1000 - - -\n3/1: 0.1 - 1800 - -\n4/1: 0.1 1000 - - -\n"
                    "10/1: 0.6 1000 1800 - -\n11/2: 0.1 1000 1800 - -\n12/2: 0.3 1000 1800 - -\n");
    assert_int_equal(rows.read, 11);
    assert_int_equal(rows.used, 6);
    assert_int_equal(rows.bad, 5);
    assert_int_equal(rows.still, 1);
    assert_int_equal(rows.parts, 2);
    assert_int_equal(rows.back[0], 11);
    assert_int_equal(rows.back[1], 0);
    assert_true(fabs(rows.seconds - 0.8) < 1e-12);
    static const snub_log_fault faults[] = {SNUB_LOG_FIELDS, SNUB_LOG_NO_NUMBER, SNUB_LOG_NO_TIME, SNUB_LOG_RANGE,
                                            SNUB_LOG_NO_NUMBER};
    for (int i = 0; i < 5; i++) {
        assert_int_equal(rows.first_bad[i].line, 5 + i);
        assert_int_equal(rows.first_bad[i].fault, faults[i]);
    }
    assert_string_equal(rows.first_bad[1].text, "abc");
}

/* The row is good without its temperature. */
static void broken_temperatures(void **state)
{
    (void)state;
    const snub_log_rows rows =
        expect_rows("time,rpm,blower,iat [degC]\n"
                    "0,1000,1800,-99.5\n1,1000,1800,-100.5\n2,1000,1800,499.5\n"
                    "3,1000,1800,500.5\n4,1000,1800,4000\n",
                    NULL,
                    "2/1: 0 1000 1800 - - 173.65\n3/1: 1 1000 1800 - -\n4/1: 2 1000 1800 - - 772.65\n"
                    "5/1: 3 1000 1800 - -\n6/1: 4 1000 1800 - -\n");
    assert_int_equal(rows.bad, 0);
    assert_int_equal(rows.hot, 3);
    assert_int_equal(rows.hot_line, 3);
}

static void resets(void **state)
{
    (void)state;
    const snub_log_rows rows =
        expect_rows("time,rpm,blower\n6,1,2\n5,1,2\n4,1,2\n3,1,2\n2,1,2\n1,1,2\n0,1,2\n", NULL,
                    "2/1: 6 1 2 - -\n3/2: 5 1 2 - -\n4/3: 4 1 2 - -\n5/4: 3 1 2 - -\n6/5: 2 1 2 - -\n"
                    "7/6: 1 1 2 - -\n8/7: 0 1 2 - -\n");
    assert_int_equal(rows.parts, 7);
    for (int i = 0; i < SNUB_LOG_BACK_MOST; i++)
        assert_int_equal(rows.back[i], 3 + i);
}

static void refusals(void **state)
{
    (void)state;
    REFUSED("", NULL, 0, "empty");
    REFUSED("time,rpm,blower\n", NULL, 1, "no rows");
    REFUSED("time,rpm,load\n1,2,3\n", NULL, 1, "--column blower=NAME or boost=NAME");
    REFUSED("time,boost,blower\n1,2,3\n", NULL, 1, "--column engine=NAME");
    REFUSED("time,rpm,blower\n1,2,3\n", (&(snub_log_wish){.column = {[SNUB_LOG_THROTTLE] = "pedal"}}), 1, "no line");
    REFUSED("rpm,blower\n1,2\n", NULL, 1, "--rate");
    REFUSED("time,rpm [kPa],blower\n1,2,3\n", NULL, 1, "--unit engine=UNIT");
    REFUSED("time,rpm,blower\n1,x,3\n2,x,4\n", NULL, 2, "no row");
    REFUSED("time,rpm,blower\n1,2\0,3\n", NULL, 2, "no text");
    REFUSED("\xFF\xFEt\0i\0", NULL, 1, "UTF-16");
    REFUSED("\x1f\x8b\x08\0\0\0\0\0\0\0\xFF\xFF\xFF\xFF", NULL, 1, "damaged");
    REFUSED("\x1f\x8b\x08\0", NULL, 1, "ends in the middle");
    enum { LONG = 70000 };
    char *line = malloc(LONG);
    assert_non_null(line);
    memset(line, 'a', LONG);
    expect_refusal(line, LONG, NULL, 1, "longer than 65536");
    line[LONG - 1] = '\n';
    expect_refusal(line, LONG, NULL, 1, "longer than 65536");
    free(line);
}

static double number_of(const char *text, bool comma)
{
    double value = -999;
    const trace_found found = trace_number(text, text + strlen(text), comma, &value);
    return found == TRACE_NUMBER ? value : found == TRACE_GAP ? -1000 : -1001;
}

/* Against the C library's, which rounds correctly: digits of all lengths, marks in all places. */
static void numbers(void **state)
{
    (void)state;
    unsigned long seed = 12345;
    for (int n = 0; n < 200000; n++) {
        char text[64];
        int at = 0, digits;
        seed = seed * 6364136223846793005UL + 1442695040888963407UL;
        digits = 1 + (int)(seed >> 33) % 24;
        const int mark = (int)(seed >> 40) % (digits + 2);
        text[at] = '-';
        at += (int)(seed >> 60) & 1;
        for (int i = 0; i < digits; i++) {
            seed = seed * 6364136223846793005UL + 1442695040888963407UL;
            if (i == mark && i > 0)
                text[at++] = '.';
            text[at++] = (char)('0' + (seed >> 40) % 10);
        }
        if (seed % 5 == 0)
            at += snprintf(text + at, 8, "e%d", (int)(seed >> 50) % 60 - 30);
        text[at] = '\0';
        const double got = number_of(text, false), want = strtod(text, NULL);
        if (memcmp(&got, &want, sizeof got) != 0)
            fail_msg("%s: got %.17g, want %.17g", text, got, want);
    }
    assert_true(number_of(" 1,5 ", true) == 1.5 && number_of("1,5", false) == -1001 &&
                number_of("1.000,5", true) == -1001);
    assert_true(number_of("", false) == -1000 && number_of("n/a", false) == -1000 && number_of("0x10", false) == -1001);
    assert_true(number_of("+3", false) == 3 && number_of("\"4\"", false) == 4 && number_of(".5", false) == 0.5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(forms),     cmocka_unit_test(temperatures),    cmocka_unit_test(chosen),
        cmocka_unit_test(by_number), cmocka_unit_test(gaps_and_faults), cmocka_unit_test(broken_temperatures),
        cmocka_unit_test(resets),    cmocka_unit_test(refusals),        cmocka_unit_test(numbers)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

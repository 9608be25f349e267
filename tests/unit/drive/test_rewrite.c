/** Values changed in the file's own text: only these bytes differ, and the result means what was asked for. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "snub/drive.h"

static snub_status rewrite(const char *text, const snub_change *changes, int count, snub_text *out, snub_error *error)
{
    snub_arena arena;
    snub_document document;
    snub_errors errors = {0};
    snub_arena_init(&arena, 0);
    assert_int_equal(snub_document_parse("test.yaml", text, strlen(text), &arena, &document, &errors), SNUB_OK);
    snub_status status = snub_document_rewrite(&document, changes, count, out, error);
    if (status != SNUB_OK)
        assert_string_equal(error->place.file, "test.yaml");
    snub_arena_free(&arena);
    return status;
}

static void becomes(const char *text, const char *path, const char *value, const char *want)
{
    snub_text out = {0};
    snub_error error = {0};
    snub_change change = {path, value};
    if (rewrite(text, &change, 1, &out, &error) != SNUB_OK)
        fail_msg("%s: %s: %s", path, value, error.message);
    if (strcmp(out.data, want) != 0)
        fail_msg("%s: %s\n--- got\n%s--- want\n%s", path, value, out.data, want);
    snub_text_free(&out);
}

static void refuses(const char *text, const char *path, const char *value)
{
    snub_text out = {0};
    snub_error error = {0};
    snub_change change = {path, value};
    if (rewrite(text, &change, 1, &out, &error) != SNUB_BAD_INPUT)
        fail_msg("%s: %s is taken:\n%s", path, value, out.data);
    assert_true(error.message[0] != '\0');
    assert_null(out.data);
}

/** A file that has keys by names of before keeps its spelling; a change may come by either name. */
static void test_names_of_before(void **state)
{
    (void)state;
    static const char arm[] = "pulleys:\n  - name: p\n    arm: {rest: 30, winds: cw} # old\n";
    becomes(arm, "p.arm.free", "31", "pulleys:\n  - name: p\n    arm: {rest: 31, winds: cw} # old\n");
    becomes(arm, "p.arm.rest", "31", "pulleys:\n  - name: p\n    arm: {rest: 31, winds: cw} # old\n");
    becomes(arm, "p.arm.travel", "60", "pulleys:\n  - name: p\n    arm: {rest: 30, winds: cw, travel: 60} # old\n");
    becomes("pulleys:\n  - name: p\n    lock: {tension: 300} # N\n", "p.fixed_tension", "400",
            "pulleys:\n  - name: p\n    lock: {tension: 400} # N\n");
    becomes("pulleys:\n  - name: p\n    lock:\n      tension: 300 # N\n", "p.lock.tension", "400",
            "pulleys:\n  - name: p\n    lock:\n      tension: 400 # N\n");
    becomes("pulleys:\n  - name: p\n", "p.lock.tension", "400", "pulleys:\n  - name: p\n    fixed_tension: 400\n");
    becomes("pulleys:\n  - {name: p, diameter: {value: 80, over: tips}}\n", "p.diameter", "75",
            "pulleys:\n  - {name: p, diameter: {value: 75, over: tips}}\n");
    becomes("pulleys:\n  - {name: p, diameter: {value: 80, over: tips}}\n", "p.diameter.over", "balls",
            "pulleys:\n  - {name: p, diameter: {value: 80, over: balls}}\n");
    becomes("engine: {rises: 5}\n", "engine.falls", "6", "engine: {rises: 5, decel_rate: 6}\n");
    refuses("pulleys:\n  - {name: p, slot: &s {at: 5}}\n  - {name: q, slot: *s}\n", "q.slot.setting", "6");
}

static void test_exchange(void **state)
{
    (void)state;
    becomes("a: 12   # twelve\nb: 3\n", "a", "7.5", "a: 7.5   # twelve\nb: 3\n");
    becomes("a: {b: [1, 2], c: 'x'} # y\n", "a.b.1", "3 in", "a: {b: [1, 3 in], c: 'x'} # y\n");
    becomes("a: {b: [1, 2], c: 'x'} # y\n", "a.b", "[5, 6]", "a: {b: [5, 6], c: 'x'} # y\n");
    becomes("a: {b: [1, 2], c: 'x'} # y\n", "a.c", "\"z, w\"", "a: {b: [1, 2], c: \"z, w\"} # y\n");
    becomes("a:\n  - 1 # one\n  - 2\n", "a.0", "5", "a:\n  - 5 # one\n  - 2\n");
    becomes("a:   # nothing yet\nb: 1\n", "a", "5", "a: 5   # nothing yet\nb: 1\n");
    becomes("a: ~\n", "a", "5", "a: 5\n");
    becomes("a: |\n  long\n  text\nb: 1\n", "a", "short", "a: short\nb: 1\n");
    becomes("a: \"\xC3\xBC\" # \xC3\xBC\nb: \xC3\xBC\n", "b", "5", "a: \"\xC3\xBC\" # \xC3\xBC\nb: 5\n");
    becomes("a: one\n  two # y\nb: 1\n", "a", "5", "a: 5 # y\nb: 1\n");
    becomes("a: 5", "a", "6", "a: 6");
    becomes("a: 1\r\nb: 2\r\n", "b", "3", "a: 1\r\nb: 3\r\n");
    becomes("\xEF\xBB\xBF"
            "a: 1\n",
            "a", "2",
            "\xEF\xBB\xBF"
            "a: 2\n");
    becomes("a: !!str 5\n", "a", "'6'", "a: !!str '6'\n");
}

/** An alias gives way to the value: the anchor's place stays as it was. */
static void test_alias(void **state)
{
    (void)state;
    becomes("a: &x 5\nb: *x\n", "b", "6", "a: &x 5\nb: 6\n");
    refuses("a: &x 5\nb: *x\n", "a", "6");
    refuses("a: &x {c: 5}\nb: *x\n", "b.c", "6");
    refuses("a: &x {c: 5}\nb: *x\n", "a.c", "6");
    becomes("a: &x {c: 5}\nb: 1\n", "a.c", "6", "a: &x {c: 6}\nb: 1\n");
}

/** `value` under a diameter that says how it was measured. */
static void test_value(void **state)
{
    (void)state;
    becomes("pulleys:\n  - {name: p, diameter: {value: 80, over: outside}}\n", "p.diameter", "75",
            "pulleys:\n  - {name: p, diameter: {value: 75, over: outside}}\n");
    becomes("pulleys:\n  - {name: p, diameter: {value: 80, over: outside}}\n", "p.diameter", "{value: 7, over: balls}",
            "pulleys:\n  - {name: p, diameter: {value: 7, over: balls}}\n");
}

static void test_insert(void **state)
{
    (void)state;
    becomes("a: {b: 1} # y\n", "a.c", "2", "a: {b: 1, c: 2} # y\n");
    becomes("a: {b: 1,\n    d: 3  # last\n   }\n", "a.c", "2", "a: {b: 1,\n    d: 3, c: 2  # last\n   }\n");
    becomes("a: {b: 1, }\n", "a.c", "2", "a: {b: 1, c: 2, }\n");
    becomes("a: {}\n", "a.c", "2", "a: {c: 2}\n");
    becomes("a: { }\n", "a.c", "2", "a: {c: 2 }\n");
    becomes("a:\n  b: 1 # y\n# end\nd: 4\n", "a.c", "2", "a:\n  b: 1 # y\n  c: 2\n# end\nd: 4\n");
    becomes("a:\n  b:\n    e: {x: 1} # y\nd: 4\n", "a.c", "2", "a:\n  b:\n    e: {x: 1} # y\n  c: 2\nd: 4\n");
    becomes("a:\n  b:\n    - 1\n    - 2\n", "a.c", "2", "a:\n  b:\n    - 1\n    - 2\n  c: 2\n");
    becomes("a: 1", "c", "2", "a: 1\nc: 2\n");
    becomes("a: 1\r\nd: 2\r\n", "c", "2", "a: 1\r\nd: 2\r\nc: 2\r\n");
    becomes("a: |\n  long\n", "c", "2", "a: |\n  long\nc: 2\n");
    becomes("pulleys:\n  - name: p\n    at: [1, 2] # y\n  - name: q\n", "p.slot.setting", "5",
            "pulleys:\n  - name: p\n    at: [1, 2] # y\n    slot: {setting: 5}\n  - name: q\n");
    becomes("a:\n", "a.b.c", "5", "a: {b: {c: 5}}\n");
    becomes("a: ~ # y\n", "a.b", "5", "a: {b: 5} # y\n");
    becomes("a: 1\n", "new one.b", "5", "a: 1\nnew one: {b: 5}\n");
    becomes("a: 1\n", "it's", "5", "a: 1\n'it''s': 5\n");
    becomes("a: 1\n", "- b", "5", "a: 1\n'- b': 5\n");
}

static void test_refused(void **state)
{
    (void)state;
    static const char text[] = "a: {b: 1, c: [1, 2]}\nd: 4 # y\n";
    refuses(text, "a.b", "1, e: 2");
    refuses(text, "a.b", "1 # y");
    refuses(text, "a.b", "1}");
    refuses(text, "a.b", "");
    refuses(text, "a.b", "1\n2");
    refuses(text, "a.b", "[1");
    refuses(text, "a.b", "x: 1");
    refuses(text, "a.b", "*x");
    refuses(text, "a.b.c", "1");
    refuses(text, "a.c.2", "1");
    refuses(text, "a.c.x", "1");
    refuses(text, "a..x", "1");
    refuses(text, "", "1");
    refuses(text, "d", "a: b");
    refuses("[1, 2]\n", "a", "1");
    refuses("5\n", "a", "1");
}

/** One more item at the end of a list, in the list's own style. */
static void test_one_more(void **state)
{
    (void)state;
    becomes("a: [1, 2] # two\n", "a.+", "3", "a: [1, 2, 3] # two\n");
    becomes("a: []\n", "a.+", "3", "a: [3]\n");
    becomes("a: [1, 2]\n", "a.+.b.c", "3", "a: [1, 2, {b: {c: 3}}]\n");
    becomes("m:\n  - name: x\n    bolts:   # two\n      - {name: a, at: [1, -2]}   # the first\n      - {name: b-c, "
            "at: [-1, 2]} # last\n    "
            "mass: 3\nz: 1\n",
            "m.x.bolts.+", "{name: d}",
            "m:\n  - name: x\n    bolts:   # two\n      - {name: a, at: [1, -2]}   # the first\n      - {name: b-c, "
            "at: [-1, 2]} # last\n      "
            "- {name: d}\n    mass: 3\nz: 1\n");
    becomes("a:\n- b: 1\n  c: [1,\n    2]", "a.+", "5", "a:\n- b: 1\n  c: [1,\n    2]\n- 5\n");
    becomes("a:\r\n  - 1\r\nb: 2\r\n", "a.+", "5", "a:\r\n  - 1\r\n  - 5\r\nb: 2\r\n");
    becomes("a:\n  - - 1\n    - 2\n  - - 3\n", "a.1.+", "5", "a:\n  - - 1\n    - 2\n  - - 3\n    - 5\n");
    becomes("a:\n  - - 1\n    - 2\n  - - 3\n", "a.+", "5", "a:\n  - - 1\n    - 2\n  - - 3\n  - 5\n");
    refuses("a: &x []\nb: *x\n", "b.+", "1");
    refuses("a: &x [1]\nb: *x\n", "b.+", "1");
    refuses("a: [1, 2]\n", "a.++", "3");
    refuses("a: {b: 1}\n", "a.+.x.y", "*z");
}

static void test_many(void **state)
{
    (void)state;
    const snub_change changes[] = {{"a", "100"}, {"b.c", "2"}, {"a", "7"}, {"e", "5"}, {"b.d", "3"}};
    snub_text out = {0};
    snub_error error = {0};
    assert_int_equal(rewrite("a: 1 # one\nb: {c: 1}\n", changes, 5, &out, &error), SNUB_OK);
    assert_string_equal(out.data, "a: 7 # one\nb: {c: 2, d: 3}\ne: 5\n");
    snub_text_free(&out);
    const snub_change more[] = {{"a.+", "3"}, {"a.+", "3"}, {"a.0", "9"}};
    assert_int_equal(rewrite("a: [1]\n", more, 3, &out, &error), SNUB_OK);
    assert_string_equal(out.data, "a: [9, 3, 3]\n");
    snub_text_free(&out);
    assert_int_equal(rewrite("a: 1 # one\nb: {c: 1}\n", changes, 0, &out, &error), SNUB_OK);
    assert_string_equal(out.data, "a: 1 # one\nb: {c: 1}\n");
    snub_text_free(&out);
}

/** What was written reads back: a page's changes to a real drive file, and the drive that comes of it. */
static void test_drive(void **state)
{
    (void)state;
    const snub_change changes[] = {{"blower.diameter", "75"},
                                   {"snub.slot.setting", "33.5"},
                                   {"pump.inertia", "0.001"},
                                   {"belt.tolerance", "5"},
                                   {"idler.at", "[90, 320]"}};
    snub_arena arena;
    snub_document document, again;
    snub_drive drive;
    snub_errors errors = {0};
    snub_text out = {0};
    snub_error error = {0};
    snub_reading reading = {.arena = &arena};
    snub_arena_init(&arena, 0);
    assert_int_equal(snub_units_open(&reading.units, &error), SNUB_OK);
    assert_int_equal(
        snub_document_read(SNUB_SOURCE_DIR "/tests/unit/drive/design_example.yaml", &arena, &document, &errors),
        SNUB_OK);
    assert_int_equal(snub_document_rewrite(&document, changes, 5, &out, &error), SNUB_OK);
    assert_non_null(strstr(out.data, "{value: 75, over: outside}          # outside | balls | effective (default)"));
    assert_int_equal(snub_document_parse("again.yaml", out.data, out.length, &arena, &again, &errors), SNUB_OK);
    assert_int_equal(snub_drive_check(&again, &reading, &drive, &errors), SNUB_OK);
    assert_true(fabs(drive.pulleys[4].diameter - 0.075885) < 1e-12);
    assert_true(fabs(drive.pulleys[3].setting - 0.0335) < 1e-12);
    assert_true(fabs(drive.pulleys[6].inertia - 0.001) < 1e-12);
    assert_true(fabs(drive.pulleys[5].at[1] - 0.320) < 1e-12);
    assert_true(drive.belt.tolerance > 0);
    snub_text_free(&out);
    snub_units_free(reading.units);
    snub_arena_free(&arena);
}

/** What is saved of a change by a hand that knows the number alone; NULL: refused. */
static void keeps(const char *was, const char *value, const char *want)
{
    snub_arena arena;
    snub_document document;
    snub_errors errors = {0};
    snub_error error = {0};
    snub_units *units = NULL;
    snub_text out = {0};
    char text[200], wanted[200];
    snprintf(text, sizeof text, "a: {b: %s} # kept\n", was);
    snprintf(wanted, sizeof wanted, "a: {b: %s} # kept\n", want != NULL ? want : "");
    snub_arena_init(&arena, 0);
    assert_int_equal(snub_units_open(&units, NULL), SNUB_OK);
    assert_int_equal(snub_document_parse("test.yaml", text, strlen(text), &arena, &document, &errors), SNUB_OK);
    snub_change change = {"a.b", value};
    const snub_status status = snub_changes_keep_tolerances(&document, units, &change, 1, &arena, &error);
    assert_int_equal(status, want != NULL ? SNUB_OK : SNUB_BAD_INPUT);
    if (want == NULL) {
        assert_non_null(strstr(error.message, "units"));
    } else {
        assert_int_equal(snub_document_rewrite(&document, &change, 1, &out, &error), SNUB_OK);
        assert_string_equal(out.data, wanted);
    }
    snub_text_free(&out);
    snub_units_free(units);
    snub_arena_free(&arena);
}

static void test_tolerances(void **state)
{
    (void)state;
    keeps("80 +- 0.1", "81", "81 +- 0.1");
    keeps("80 \xC2\xB1 0.1", "81.5", "81.5 +- 0.1");
    keeps("80 mm +- 0.1", "81 mm", "81 mm +- 0.1");
    keeps("80 +0.1 -0.05 mm", "81", "81 +0.1 -0.05 mm");
    keeps("34 N m +- 10 %", "36 N m", "36 N m +- 10 %");
    keeps("3.15 in +- 0.004", "81", "81 mm +- 0.004 in");
    keeps("3.15 in +- 0.004 in", "8.1 cm", "8.1 cm +- 0.004 in");
    keeps("80 +- 0.1", "3.2 in", "3.2 in +- 0.1 mm");
    keeps("30 psi +2 -0", "31 psi", "31 psi +2 -0");
    keeps("30 psi +2 -0", "210", NULL); /* of a pressure or a stress: kPa or MPa */
    keeps("[-40 +- 0.2, 280]", "[-41.5, 281]", "[-41.5 +- 0.2, 281]");
    keeps("[-40 +- 0.2, 280 +- 0.3]", "[-41.5, 281 +- 0.5]", "[-41.5 +- 0.2, 281 +- 0.5]");
    keeps("80 +- 0.1", "81 +- 0.2", "81 +- 0.2");
    keeps("{value: 80 +- 0.1, over: outside}", "81", "{value: 81 +- 0.1, over: outside}");
    keeps("80", "81", "81");
    keeps("80 +- 0.1", "null", "null");
    keeps("80 +- 0.1", "[70, 90]", "[70, 90]");
    keeps("[1, 2]", "[1, 2, 3]", "[1, 2, 3]");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_tolerances), cmocka_unit_test(test_exchange), cmocka_unit_test(test_names_of_before),
        cmocka_unit_test(test_alias),      cmocka_unit_test(test_value),    cmocka_unit_test(test_insert),
        cmocka_unit_test(test_refused),    cmocka_unit_test(test_one_more), cmocka_unit_test(test_many),
        cmocka_unit_test(test_drive)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

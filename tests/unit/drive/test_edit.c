/** Items taken out, put in and moved in the file's own text: the rest keeps its bytes, and the result means what was
 * asked for. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "snub/drive.h"

static snub_status edit_text(const char *text, const snub_edit *edit, snub_text *out, snub_error *error)
{
    snub_arena arena;
    snub_document document;
    snub_errors errors = {0};
    snub_arena_init(&arena, 0);
    assert_int_equal(snub_document_parse("test.yaml", text, strlen(text), &arena, &document, &errors), SNUB_OK);
    const snub_status status = snub_document_edit(&document, edit, out, error);
    snub_arena_free(&arena);
    return status;
}

static void becomes(const char *text, snub_edit edit, const char *want)
{
    snub_text out = {0};
    snub_error error = {0};
    if (edit_text(text, &edit, &out, &error) != SNUB_OK)
        fail_msg("%s: %s", edit.path, error.message);
    if (strcmp(out.data, want) != 0)
        fail_msg("%s\n--- got\n%s--- want\n%s", edit.path, out.data, want);
    snub_text_free(&out);
}

static void refuses(const char *text, snub_edit edit, const char *word)
{
    snub_text out = {0};
    snub_error error = {0};
    if (edit_text(text, &edit, &out, &error) != SNUB_BAD_INPUT)
        fail_msg("%s is taken:\n%s", edit.path, out.data);
    if (strstr(error.message, word) == NULL)
        fail_msg("%s: '%s' does not say '%s'", edit.path, error.message, word);
    assert_null(out.data);
}

static snub_edit removal(const char *path)
{
    return (snub_edit){.kind = SNUB_EDIT_REMOVE, .path = path};
}

static snub_edit move(const char *path, const char *before)
{
    return (snub_edit){.kind = SNUB_EDIT_MOVE, .path = path, .before = before};
}

static snub_edit insertion(const char *path, const char *before, const char *text)
{
    return (snub_edit){.kind = SNUB_EDIT_INSERT, .path = path, .before = before, .text = text};
}

static snub_edit keyed(const char *path, const char *before, const char *key, const char *text)
{
    return (snub_edit){.kind = SNUB_EDIT_INSERT, .path = path, .before = before, .key = key, .text = text};
}

static snub_edit setting(const char *path, const char *text)
{
    return (snub_edit){.kind = SNUB_EDIT_SET, .path = path, .text = text};
}

static snub_edit renaming(const char *path, const char *key)
{
    return (snub_edit){.kind = SNUB_EDIT_RENAME, .path = path, .key = key};
}

/** The same edit, its path word by word. */
static snub_edit by_words(snub_edit edit, const char *const *words)
{
    edit.words = words;
    return edit;
}

#define HEAD "# kit\npulleys: # in belt order\n  # first\n  - name: crank # c\n    role: crank\n"
#define PUMP "  # the pump\n  - {name: pump, at: [1, 2]} # p\n"
#define FAN "\n  - name: fan\n    at: [3, 4]\n    load:\n      - [1, 2] # low\n"
#define TAIL "# end\nbelt: {ribs: 6}\n"

static void test_block(void **state)
{
    (void)state;
    becomes(HEAD PUMP FAN TAIL, removal("pump"), HEAD FAN TAIL);
    becomes(HEAD PUMP FAN TAIL, removal("fan"), HEAD PUMP TAIL);
    becomes(HEAD PUMP FAN TAIL, move("fan", "pump"), HEAD FAN PUMP TAIL);
    becomes(HEAD PUMP FAN TAIL, move("pump", ""), HEAD FAN PUMP TAIL);
    becomes(HEAD PUMP FAN TAIL, move("pump", "fan"), HEAD PUMP FAN TAIL);
    becomes(HEAD PUMP FAN TAIL, insertion("pulleys", "fan", "{name: idler}"), HEAD PUMP "  - {name: idler}\n" FAN TAIL);
    becomes(HEAD PUMP FAN TAIL, insertion("pulleys", "", "{name: idler}"), HEAD PUMP FAN "  - {name: idler}\n" TAIL);
    becomes(
        HEAD PUMP FAN TAIL, insertion("pulleys", "crank", "{name: idler}"),
        "# kit\npulleys: # in belt order\n  # first\n  - {name: idler}\n  - name: crank # c\n    role: crank\n" PUMP FAN
            TAIL);
    becomes(HEAD PUMP FAN TAIL, move("pump", "crank"),
            "# kit\npulleys: # in belt order\n  # first\n" PUMP "  - name: crank # c\n    role: crank\n" FAN TAIL);
    becomes(HEAD PUMP FAN TAIL, move("crank", ""),
            "# kit\npulleys: # in belt order\n  # first\n" PUMP FAN "  - name: crank # c\n    role: crank\n" TAIL);
}

#define OFFER(lead, option, variant, same)                                                                             \
    "packages: # sold\n  full:\n    excludes:\n      - {" option ": 1, reason: no}\n      - variant: " variant         \
    " # why\n        reason: " same "\n      - {variant: [tall, " variant "], " lead option ": 2, reason: no}\n"       \
    "options:\n  " option ": [1, 2] # mm\nvariants: {" variant ": {belt.length: 5}, tall: {belt.length: 6}}\n"

/** Keys of maps, and the packages that name them, in one spelling then; words that are the same elsewhere stay. */
static void test_rename(void **state)
{
    (void)state;
    static const char *const option[] = {"options", "pump.width", NULL};
    becomes(OFFER("pulleys.", "pump.width", "long", "long"), renaming("variants.long", "longer"),
            OFFER("pulleys.", "pump.width", "longer", "long"));
    becomes(OFFER("pulleys.", "pump.width", "long", "long"), renaming("variants.long", "a: b"),
            OFFER("pulleys.", "pump.width", "'a: b'", "long"));
    becomes(OFFER("pulleys.", "pump.width", "long", "long"), by_words(renaming("option", "pump.at"), option),
            OFFER("", "pump.at", "long", "long"));
    becomes("packages: {full: {about: full}, bare: {about: full}}\n", renaming("packages.full", "all"),
            "packages: {all: {about: full}, bare: {about: full}}\n");
    becomes("a:\n  b: 1 # c\n", renaming("a.b", "d"), "a:\n  d: 1 # c\n");
    becomes("\"a\": {b: 1}\r\n", renaming("a", "c"), "c: {b: 1}\r\n");
    becomes("x: &x {long: 1}\nvariants: {long: *x, tall: *x}\n", renaming("variants.long", "b"),
            "x: &x {long: 1}\nvariants: {b: *x, tall: *x}\n");
    refuses("variants: &v {long: 1}\nx: *v\n", renaming("x.nothing", "b"), "is not a path");
    refuses("a: {b: 1, c: 2}\n", renaming("a.b", "c"), "is there already");
    refuses("a: {b: 1, c: 2}\n", renaming("a.b", ""), "needs a name");
    refuses("a: {b: 1, c: 2}\n", renaming("a.b", "d\ne"), "needs a name on one line");
    refuses("a: [1, 2]\n", renaming("a.0", "c"), "no key of a map");
    refuses("a: {b: 1}\n", renaming("a.b", NULL), "no key of a map");
}

/** Without an end of line at the end, and with the other one. */
static void test_line_ends(void **state)
{
    (void)state;
    becomes("a:\n- 1\n- 2", move("a.0", ""), "a:\n- 2\n- 1\n");
    becomes("a:\n- 1\n- 2", insertion("a", "", "3"), "a:\n- 1\n- 2\n- 3\n");
    becomes("a:\r\n- 1\r\n- 2\r\n", removal("a.0"), "a:\r\n- 2\r\n");
    becomes("a:\r\n- 1\r\n- 2\r\n", insertion("a", "1", "3"), "a:\r\n- 1\r\n- 3\r\n- 2\r\n");
}

static void test_flow(void **state)
{
    (void)state;
    becomes("a: [1, 2, 3] # a\n", removal("a.0"), "a: [2, 3] # a\n");
    becomes("a: [1, 2, 3]\n", removal("a.2"), "a: [1, 2]\n");
    becomes("a: [1]\n", removal("a.0"), "a: []\n");
    becomes("a: [1, 2, 3]\n", move("a.2", "0"), "a: [3, 1, 2]\n");
    becomes("a: [1, 2, 3]\n", move("a.0", ""), "a: [2, 3, 1]\n");
    becomes("a: [1, 2, 3]\n", move("a.0", "2"), "a: [2, 1, 3]\n");
    becomes("a: []\n", insertion("a", "", "1"), "a: [1]\n");
    becomes("a: [1, 2]\n", insertion("a", "1", "{b: 3}"), "a: [1, {b: 3}, 2]\n");
}

static void test_keys(void **state)
{
    (void)state;
    becomes("a: {b: 1, c: 2}\n", removal("a.b"), "a: {c: 2}\n");
    becomes("a: {b: 1, c: 2}\n", removal("a.c"), "a: {b: 1}\n");
    becomes("a:\n  b: 1\n  # of c\n  c: 2\nd: 3\n", removal("a.c"), "a:\n  b: 1\nd: 3\n");
    becomes("a: 1\nb: 2\n", removal("a"), "b: 2\n");
    becomes("l:\n  - b: 1\n    c: 2\n", removal("l.0.b"), "l:\n  - c: 2\n");
}

#define OPTIONS "options: # o\n  # sizes\n  blower.diameter: [80, 90] # two\n  belt.ribs:\n    - 6\n    - 7 # wide\n"
static void test_maps(void **state)
{
    static const char *const ribs[] = {"options", "belt.ribs", NULL},
                             *const size[] = {"options", "blower.diameter", NULL}, *const none[] = {NULL},
                             *const second[] = {"options", "belt.ribs", "1", NULL};
    (void)state;
    becomes(OPTIONS TAIL, by_words(removal("o"), size),
            "options: # o\n  # sizes\n  belt.ribs:\n    - 6\n    - 7 # wide\n" TAIL);
    becomes(OPTIONS TAIL, by_words(removal("o"), ribs),
            "options: # o\n  # sizes\n  blower.diameter: [80, 90] # two\n" TAIL);
    becomes(OPTIONS TAIL, by_words(move("o", "blower.diameter"), ribs),
            "options: # o\n  # sizes\n  belt.ribs:\n    - 6\n    - 7 # wide\n  blower.diameter: [80, 90] # two\n" TAIL);
    becomes(OPTIONS TAIL, by_words(move("o", ""), size),
            "options: # o\n  # sizes\n  belt.ribs:\n    - 6\n    - 7 # wide\n  blower.diameter: [80, 90] # two\n" TAIL);
    becomes(OPTIONS TAIL, by_words(setting("o", "[79, 88]"), size),
            "options: # o\n  # sizes\n  blower.diameter: [79, 88] # two\n  belt.ribs:\n    - 6\n    - 7 # wide\n" TAIL);
    becomes(OPTIONS TAIL, by_words(setting("o", "9"), second),
            "options: # o\n  # sizes\n  blower.diameter: [80, 90] # two\n  belt.ribs:\n    - 6\n    - 9 # wide\n" TAIL);
    becomes(OPTIONS TAIL, by_words(setting("o", "[5]"), ribs),
            "options: # o\n  # sizes\n  blower.diameter: [80, 90] # two\n  belt.ribs:\n    [5] # wide\n" TAIL);
    becomes(OPTIONS TAIL, keyed("options", "belt.ribs", "idler.at", "[[1, 2]]"),
            "options: # o\n  # sizes\n  blower.diameter: [80, 90] # two\n  'idler.at': [[1, 2]]\n  belt.ribs:\n    - "
            "6\n    - 7 # wide\n" TAIL);
    becomes(OPTIONS TAIL, keyed("options", "", "x y", "[1]"), OPTIONS "  x y: [1]\n" TAIL);
    becomes("a: 1\nb: 2\n", by_words(keyed("", "b", "c", "{d: 3}"), none), "a: 1\nc: {d: 3}\nb: 2\n");
    becomes("a: 1\nb: 2", by_words(keyed("", "", "c", "{}"), none), "a: 1\nb: 2\nc: {}\n");
    becomes("a: {}\n", keyed("a", "", "b.c", "[1]"), "a: {'b.c': [1]}\n");
    becomes("a: {b: 1, c: 2, d: 3} # a\n", keyed("a", "c", "e", "4"), "a: {b: 1, e: 4, c: 2, d: 3} # a\n");
    becomes("a: {b: 1, c: 2, d: 3} # a\n", move("a.d", "b"), "a: {d: 3, b: 1, c: 2} # a\n");
    becomes("a: {b: 1, c: 2, d: 3} # a\n", move("a.b", ""), "a: {c: 2, d: 3, b: 1} # a\n");
    becomes("a: {b: [1, 2], c: 2}\n", setting("a.b", "{x: 'y'}"), "a: {b: {x: 'y'}, c: 2}\n");
    becomes("a:\n- 1\n-\n", setting("a.1", "2"), "a:\n- 1\n- 2\n");
    becomes("a:\nb: 2\n", setting("a", "1"), "a: 1\nb: 2\n");
}

static void test_refused(void **state)
{
    (void)state;
    refuses(HEAD PUMP FAN TAIL, removal("crank"), "crank pulley");
    refuses(HEAD PUMP TAIL, removal("pump"), "last two");
    refuses(HEAD PUMP FAN TAIL, removal("nobody"), "not a path");
    refuses(HEAD PUMP FAN TAIL, move("pump", "nobody"), "no item");
    refuses(HEAD PUMP FAN TAIL, insertion("belt.ribs", "", "1"), "no item of a list");
    refuses(HEAD PUMP FAN TAIL, insertion("belt", "", "1"), "needs a key");
    refuses(HEAD PUMP FAN TAIL, keyed("pulleys", "", "x", "1"), "have no keys");
    refuses(HEAD PUMP FAN TAIL, keyed("belt", "", "ribs", "1"), "there already");
    refuses(HEAD PUMP FAN TAIL, setting("belt.nothing", "1"), "not a path");
    refuses(HEAD PUMP FAN TAIL, setting("belt.ribs", "1, x: 3"), "means more");
    refuses("a: &x {b: 1}\nc: *x\n", setting("a.b", "2"), "alias");
    refuses("a: {b: 1}\n", move("a.b", "c"), "no item");
    refuses("a:\n  b: 1\n", removal("a.b"), "on its own"); /* what is left would be no map */
    refuses(HEAD PUMP FAN TAIL, insertion("pulleys", "", "{name: x\n}"), "one line");
    refuses(HEAD PUMP FAN TAIL, insertion("pulleys", "", "}"), "not valid");
    refuses("a: [1, 2]\n", insertion("a", "", "3, 4"), "means more");
    refuses("a: &x [1, 2]\nb: *x\n", removal("a.0"), "alias");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_block),     cmocka_unit_test(test_rename),
                                       cmocka_unit_test(test_line_ends), cmocka_unit_test(test_flow),
                                       cmocka_unit_test(test_keys),      cmocka_unit_test(test_maps),
                                       cmocka_unit_test(test_refused)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

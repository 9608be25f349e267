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
    return (snub_edit){SNUB_EDIT_REMOVE, path, NULL, NULL};
}

static snub_edit move(const char *path, const char *before)
{
    return (snub_edit){SNUB_EDIT_MOVE, path, before, NULL};
}

static snub_edit insertion(const char *path, const char *before, const char *text)
{
    return (snub_edit){SNUB_EDIT_INSERT, path, before, text};
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

static void test_refused(void **state)
{
    (void)state;
    refuses(HEAD PUMP FAN TAIL, removal("crank"), "crank pulley");
    refuses(HEAD PUMP TAIL, removal("pump"), "last two");
    refuses(HEAD PUMP FAN TAIL, removal("nobody"), "not a path");
    refuses(HEAD PUMP FAN TAIL, move("pump", "nobody"), "no item");
    refuses(HEAD PUMP FAN TAIL, move("belt", ""), "no item of a list");
    refuses(HEAD PUMP FAN TAIL, insertion("belt", "", "1"), "no item of a list");
    refuses(HEAD PUMP FAN TAIL, insertion("pulleys", "", "{name: x\n}"), "one line");
    refuses(HEAD PUMP FAN TAIL, insertion("pulleys", "", "}"), "not valid");
    refuses("a: [1, 2]\n", insertion("a", "", "3, 4"), "means more");
    refuses("a: &x [1, 2]\nb: *x\n", removal("a.0"), "alias");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_block), cmocka_unit_test(test_line_ends),
                                       cmocka_unit_test(test_flow), cmocka_unit_test(test_keys),
                                       cmocka_unit_test(test_refused)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

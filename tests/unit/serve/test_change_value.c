/* A change's value as a node is what its text is parsed to. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "change_value.h"
#include "drive/tree.h"
#include "request.h"

static void same(const snub_node *a, const snub_node *b, const char *json)
{
    if (!snub_tree_same(a, b) || a->kind != b->kind || (a->kind == SNUB_SCALAR && a->quoted != b->quoted))
        fail_msg("%s", json);
    assert_string_equal(a->place.file, b->place.file);
    assert_int_equal(a->place.line, 0);
    for (int i = 0; a->kind != SNUB_SCALAR && i < a->count; i++) {
        same(a->items[i], b->items[i], json);
        if (a->kind == SNUB_MAP)
            same(a->keys[i], b->keys[i], json);
    }
}

static void the_node_is_what_the_text_means(void **context)
{
    static const char *const values[] = {"75",
                                         "-0",
                                         "0",
                                         "0.1",
                                         "-12.75",
                                         "1e300",
                                         "1e-7",
                                         "123456789012",
                                         "3.141592653589793",
                                         "true",
                                         "false",
                                         "null",
                                         "\"18 lbf ft\"",
                                         "\"null\"",
                                         "\"true\"",
                                         "\"yes\"",
                                         "\"y\"",
                                         "\"75\"",
                                         "\"1e5\"",
                                         "\"\"",
                                         "\" a\"",
                                         "\"a \"",
                                         "\"a: b\"",
                                         "\"a#b\"",
                                         "\"# b\"",
                                         "\"[1\"",
                                         "\"{\"",
                                         "\"*x\"",
                                         "\"&x\"",
                                         "\"!t\"",
                                         "\"- a\"",
                                         "\"-\"",
                                         "\"?\"",
                                         "\"a, b\"",
                                         "\"quote \\\" and \\\\ slash\"",
                                         "\"~\"",
                                         "\"Öl\"",
                                         "\"A1\"",
                                         "\"a_b/c-d.e\"",
                                         "\"0x1f\"",
                                         "\"1_000\"",
                                         "\"12:30\"",
                                         "\".5\"",
                                         "\"+3\"",
                                         "\"nan\"",
                                         "\".inf\"",
                                         "\"'\"",
                                         "\"%x\"",
                                         "\"@\"",
                                         "\"`\"",
                                         "[]",
                                         "[1, \"2\", [3, null]]",
                                         "{}",
                                         "{\"from\": [0, 1], \"to\": [2, 3]}",
                                         "{\"a b\": {\"value\": 80, \"over\": \"outside\"}, \"yes\": false, \"7\": 1}"};
    (void)context;
    for (size_t i = 0; i < sizeof values / sizeof *values; i++) {
        snub_arena arena;
        snub_text text = {0};
        snub_error error = {0};
        snub_node *parsed = NULL, *made = NULL;
        json_error_t mistake;
        json_t *value = json_loads(values[i], JSON_DECODE_ANY, &mistake);
        snub_arena_init(&arena, 0);
        assert_non_null(value);
        assert_int_equal(serve_value_text(value, "p", &text, &error), SNUB_OK);
        assert_int_equal(snub_node_from_text(text.data, serve_change_place, &arena, &parsed, &error), SNUB_OK);
        assert_int_equal(serve_value_node(value, "p", &arena, &made, &error), SNUB_OK);
        same(parsed, made, values[i]);
        json_decref(value);
        snub_text_free(&text);
        snub_arena_free(&arena);
    }
}

static void what_does_not_show_is_refused(void **context)
{
    static const char *const values[] = {"\"a\\u200bb\"", "[\"\\u202e\"]", "{\"k\\ufeff\": 1}", "\"a\\u0085\""};
    (void)context;
    for (size_t i = 0; i < sizeof values / sizeof *values; i++) {
        snub_arena arena;
        snub_error error = {0};
        snub_node *made = NULL, *parsed = NULL;
        snub_text text = {0};
        json_error_t mistake;
        json_t *value = json_loads(values[i], JSON_DECODE_ANY, &mistake);
        snub_arena_init(&arena, 0);
        assert_non_null(value);
        if (serve_value_node(value, "p", &arena, &made, &error) != SNUB_BAD_INPUT)
            fail_msg("%s", values[i]);
        assert_string_equal(error.key, "p");
        assert_int_equal(serve_value_text(value, "p", &text, &error), SNUB_OK);
        if (strstr(text.data, "\xC2\x85") == NULL) /* YAML folds that one into a blank */
            assert_int_equal(snub_node_from_text(text.data, "t", &arena, &parsed, &error), SNUB_BAD_INPUT);
        json_decref(value);
        snub_text_free(&text);
        snub_arena_free(&arena);
    }
}

/* YAML looks no further than 1024 bytes for the colon after a key. */
static void a_key_that_yaml_would_not_find_is_refused(void **context)
{
    static const int lengths[] = {SERVE_PATH_MOST, SERVE_PATH_MOST + 1, 1100};
    (void)context;
    for (size_t i = 0; i < sizeof lengths / sizeof *lengths; i++) {
        char key[1101] = "";
        snub_arena arena;
        snub_error error = {0};
        snub_text text = {0};
        snub_node *parsed = NULL;
        memset(key, 'a', (size_t)lengths[i]);
        json_t *value = json_object();
        assert_int_equal(json_object_set_new(value, key, json_integer(1)), 0);
        snub_arena_init(&arena, 0);
        if (lengths[i] > SERVE_PATH_MOST) {
            assert_int_equal(serve_value_text(value, "p", &text, &error), SNUB_BAD_INPUT);
            assert_string_equal(error.key, "p");
        } else {
            assert_int_equal(serve_value_text(value, "p", &text, &error), SNUB_OK);
            assert_int_equal(snub_node_from_text(text.data, "t", &arena, &parsed, &error), SNUB_OK);
            assert_string_equal(parsed->keys[0]->text, key);
        }
        json_decref(value);
        snub_text_free(&text);
        snub_arena_free(&arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_node_is_what_the_text_means),
        cmocka_unit_test(what_does_not_show_is_refused),
        cmocka_unit_test(a_key_that_yaml_would_not_find_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Trees of JSON: with every refused allocation, in every place, the text is the same or there is none. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "report/json_words.h"

static long left = -1; /* allocations until one is refused; < 0: none is */
static bool all_after;

static void *refusing(size_t size)
{
    if (left == 0) {
        left = all_after ? 0 : -1;
        return NULL;
    }
    left -= left > 0;
    return malloc(size);
}

static json_t *tree(void)
{
    json_t *root = json_object(), *list = json_array();
    for (int i = 0; i < 12; i++) {
        json_t *one = json_object();
        snub_json_put(one, "name", snub_json_words("crank pulley"));
        snub_json_put(one, "centre_mm", snub_json_pair(i, 2.5));
        snub_json_put(one, "none", snub_json_number((double)NAN));
        snub_json_append(list, one);
    }
    snub_json_put(root, "pulleys", list);
    snub_json_put(root, "packed", json_pack("{s:s, s:o}", "a", "b", "c", snub_json_number(7.25)));
    snub_text grown = {0};
    snub_text_puts(&grown, "words that grew");
    snub_json_put(root, "grown", snub_json_grown(&grown));
    return root;
}

static snub_status text_of(snub_text *out, snub_json_form form)
{
    json_t *root = tree();
    const snub_status status = snub_json_text(root, form, out, NULL);
    json_decref(root);
    return status;
}

static void refuses_or_is_the_same(void **state)
{
    (void)state;
    snub_text want = {0};
    assert_int_equal(text_of(&want, SNUB_JSON_COMPACT), SNUB_OK);
    for (int mode = 0; mode < 2; mode++) {
        long refused = 0, n = 0;
        for (bool reached = true; reached; n++) {
            snub_text got = {0};
            all_after = mode == 1;
            left = n;
            const snub_status status = text_of(&got, SNUB_JSON_COMPACT);
            reached = left < 0 || (all_after && left == 0);
            left = -1;
            if (status == SNUB_OK && (got.length != want.length || strcmp(got.data, want.data) != 0))
                fail_msg("refused allocation %ld: got %s, want %s", n, got.data, want.data);
            if (status != SNUB_OK && status != SNUB_NO_MEMORY)
                fail_msg("refused allocation %ld: got status %d", n, status);
            refused += status != SNUB_OK;
            snub_text_free(&got);
        }
        /* 12 pulleys of at least object, key, text, pair and two numbers each */
        if (refused < 100)
            fail_msg("mode %d: only %ld of %ld refused allocations were noticed", mode, refused, n);
    }
    snub_text again = {0};
    assert_int_equal(text_of(&again, SNUB_JSON_COMPACT), SNUB_OK); /* nothing of it stays behind */
    assert_string_equal(again.data, want.data);
    snub_text_free(&again);
    snub_text_free(&want);
}

static void refuses_what_lacks_a_part(void **state)
{
    (void)state;
    snub_text out = {0};
    snub_error error;
    json_t *root = json_object();
    snub_json_put(root, "part", NULL);
    assert_int_equal(snub_json_text(root, SNUB_JSON_LINES, &out, &error), SNUB_NO_MEMORY);
    assert_string_equal(error.message, "out of memory");
    snub_text_free(&out);
    assert_int_equal(snub_json_text(root, SNUB_JSON_LINES, &out, &error), SNUB_OK);
    assert_string_equal(out.data, "{}\n");
    snub_json_append(root, json_true()); /* no list */
    assert_null(snub_json_whole(json_incref(root)));
    assert_ptr_equal(snub_json_whole(root), root);
    snub_json_lose();
    assert_null(snub_json_whole(json_incref(root)));
    snub_json_lose();
    snub_json_begin();
    assert_ptr_equal(snub_json_whole(root), root);
    snub_text failed = {.failed = true};
    assert_null(snub_json_grown(&failed));
    assert_int_equal(snub_json_text(root, SNUB_JSON_LINES, &out, &error), SNUB_NO_MEMORY);
    assert_int_equal(snub_json_text(NULL, SNUB_JSON_LINES, &out, &error), SNUB_NO_MEMORY);
    assert_null(snub_json_whole(NULL));
    json_decref(root);
    snub_text_free(&out);
}

static void keeps_text_that_is_no_utf8(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        size_t length;
        const char *want;
    } cases[] = {
        {"caf\xE9", 4, "\"caf\xEF\xBF\xBD\""},     {"\xFF\xFE", 2, "\"\xEF\xBF\xBD\xEF\xBF\xBD\""},
        {"\xC3\xA9", 2, "\"\xC3\xA9\""},           {"a\xC3", 2, "\"a\xEF\xBF\xBD\""},
        {"\xEF\xBF\xBDx", 4, "\"\xEF\xBF\xBDx\""}, {"", 0, "\"\""},
        {"\x01\"\\", 3, "\"\\u0001\\\"\\\\\""},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        snub_text out = {0};
        json_t *json = snub_json_words_n(cases[i].text, cases[i].length);
        assert_int_equal(snub_json_text(json, SNUB_JSON_COMPACT, &out, NULL), SNUB_OK);
        if (strcmp(out.data, cases[i].want) != 0)
            fail_msg("case %zu: got %s, want %s", i, out.data, cases[i].want);
        json_decref(json);
        snub_text_free(&out);
    }
    assert_true(json_is_null(snub_json_words(NULL)));
    assert_true(json_is_null(snub_json_number(HUGE_VAL)));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(refuses_or_is_the_same),
        cmocka_unit_test(refuses_what_lacks_a_part),
        cmocka_unit_test(keeps_text_that_is_no_utf8),
    };
    json_set_alloc_funcs(refusing, free);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

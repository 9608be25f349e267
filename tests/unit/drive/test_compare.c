/* What differs between two texts, as it is shown before one is written over the other. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "snub/drive.h"

#define HEAD "snub: 1\n# the belt\nbelt: {section: PK, ribs: 6}\n"
#define CRANK "  - {name: crank, diameter: 150, at: [0, 0]}\n"
#define BLOWER "  - {name: blower, diameter: 3.15 in}  # tape\n"
#define IDLER "  - {name: idler, diameter: 70}\n"

/* "path|before|after" of each, "-" where there is none, ";" between them. */
static void expect(const char *before, const char *after, const char *want)
{
    const snub_version old = {before, strlen(before)}, new = {after, strlen(after)};
    const snub_text_difference *list = NULL;
    snub_arena arena = {0};
    snub_error error = {0};
    snub_text got = {0};
    int count = 0;
    assert_int_equal(snub_document_compare("kit.yaml", &old, &new, &arena, &list, &count, &error), SNUB_OK);
    for (int i = 0; i < count; i++)
        snub_text_printf(&got, "%s%s|%s|%s", i ? ";" : "", list[i].path, list[i].before ? list[i].before : "-",
                         list[i].after ? list[i].after : "-");
    assert_string_equal(got.data ? got.data : "", want);
    snub_text_free(&got);
    snub_arena_free(&arena);
}

static void values(void **state)
{
    (void)state;
    expect(HEAD, HEAD, "");
    expect(HEAD, "snub: 1\n# the belt\nbelt: {section: PK, ribs: 7}\n", "belt.ribs|6|7");
    expect(HEAD, "snub: 1\n# the belt\nbelt: {ribs: 6.0, section: PK}\n", "belt.ribs|6|6.0"); /* to the spelling */
    expect(HEAD, HEAD "title: \"A kit\"\n", "title|-|A kit");
    expect(HEAD "title: A\n", HEAD, "title|A|-");
    expect(HEAD, "snub: 1\n# the belt\nbelt: [1, 2]\n", "belt|{section: PK, ribs: 6}|[1, 2]");
    expect("snub: 1\na: [1, 2]\n", "snub: 1\na: [1, 3]\n", "a|[1, 2]|[1, 3]");
    expect("snub: 1\na: 1\n", "snub: 1\na: \"1\"\n", "a|1|\"1\""); /* a text is no number */
}

/* Keys k0, k1, ... of a map, with the last two in the other order where `turned`. */
static void add_map(snub_text *out, int count, bool turned)
{
    snub_text_puts(out, "a:\n");
    for (int i = 0; i < count; i++)
        snub_text_printf(out, "  k%d: 1\n", turned && i >= count - 2 ? 2 * count - 3 - i : i);
}

/* Keys of a large map are not looked for one by one: in another order it is another value. */
static void large_maps(void **state)
{
    (void)state;
    for (int more = 0; more < 2; more++) {
        snub_text before = {0}, after = {0};
        add_map(&before, 1000 + more, false);
        add_map(&after, 1000 + more, true);
        const snub_version old = {before.data, before.length}, new = {after.data, after.length};
        const snub_text_difference *list = NULL;
        snub_arena arena = {0};
        snub_error error = {0};
        int count = 0;
        assert_int_equal(snub_document_compare("kit.yaml", &old, &new, &arena, &list, &count, &error), SNUB_OK);
        assert_int_equal(count, 1);
        assert_string_equal(list[0].path, more ? "a" : "");
        snub_text_free(&before);
        snub_text_free(&after);
        snub_arena_free(&arena);
    }
}

static void lists(void **state)
{
    (void)state;
    static const char base[] = HEAD "pulleys:\n" CRANK BLOWER IDLER;
    expect(base, HEAD "pulleys:\n" CRANK "  - {name: blower, diameter: 80 mm}  # tape\n" IDLER,
           "pulleys.blower.diameter|3.15 in|80 mm");
    expect(base, HEAD "pulleys:\n" CRANK BLOWER, "pulleys.idler|{name: idler, diameter: 70}|-");
    expect(HEAD "pulleys:\n" CRANK IDLER, base, "pulleys.blower|-|{name: blower, diameter: 3.15 in};|-|# tape");
    expect(base, HEAD "pulleys:\n" CRANK IDLER BLOWER, "pulleys|crank, blower, idler|crank, idler, blower");
}

static void what_is_no_value(void **state)
{
    (void)state;
    expect(HEAD, "snub: 1\n# the other belt\nbelt: {section: PK, ribs: 6}\n", "|# the belt|# the other belt");
    expect(HEAD "# a\n# b\n# c\n", HEAD "# c\n# a\n# d\n", "|# b|# d"); /* wherever they stand */
    expect(HEAD, HEAD "# no line end", "|-|# no line end");
    expect(HEAD, "snub: 1\n\n# the belt\nbelt: {section: PK, ribs: 6}\n", "|-|-");
    expect(HEAD, "snub: 1\n# the belt\nbelt: {section: PK, ribs: 6\n",
           "|belt: {section: PK, ribs: 6}\n|belt: {section: PK, ribs: 6\n");
    expect("[\nb\n", "[\nab\n", "|b\n|ab\n"); /* whole lines */
    expect("[\nb\nc\n", "[\nc\n", "|b\n|-");
    expect("", "[", "|-|[");
    expect("[a\n", "[a\n[a\n", "|-|[a\n");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(values), cmocka_unit_test(large_maps), cmocka_unit_test(lists),
                                       cmocka_unit_test(what_is_no_value)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

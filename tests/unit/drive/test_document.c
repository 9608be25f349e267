/** YAML to nodes: places, what is refused, paths, fragments. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "drive/tree.h"
#include "snub/drive.h"

typedef struct parsed {
    snub_arena arena;
    snub_document document;
    snub_errors errors;
    snub_status status;
} parsed;

/* Node at a path as overlays and options write it. */
static const snub_node *node_at(const snub_document *document, const char *path)
{
    const snub_node *node = document->root;
    const char *word = NULL;
    size_t length = 0;
    if (node == NULL)
        return NULL;
    if (snub_path_starts_at_pulley(node, path))
        node = snub_node_get(node, "pulleys");
    while (node != NULL && snub_path_word(&path, &word, &length))
        node = snub_node_step(node, word, length, NULL);
    return node;
}

static void parse_bytes(parsed *p, const char *text, size_t length)
{
    memset(p, 0, sizeof(*p));
    snub_arena_init(&p->arena, 0);
    p->status = snub_document_parse("test.yaml", text, length, &p->arena, &p->document, &p->errors);
    assert_true((p->status == SNUB_OK) == (p->errors.count == 0));
    assert_true((p->status == SNUB_OK) == (p->document.root != NULL));
}

static void parse(parsed *p, const char *text)
{
    parse_bytes(p, text, strlen(text));
}

static void done(parsed *p)
{
    snub_errors_free(&p->errors);
    snub_arena_free(&p->arena);
}

/** The bytes of a value are the text that stands there. */
static void check_place(const char *text, const char *path, const char *want, int line, int column)
{
    parsed p;
    parse(&p, text);
    assert_int_equal(p.status, SNUB_OK);
    const snub_node *node = node_at(&p.document, path);
    if (node == NULL)
        fail_msg("%s is not found", path);
    size_t length = node->place.end - node->place.start;
    if (length != strlen(want) || memcmp(text + node->place.start, want, length) != 0 || node->place.line != line ||
        node->place.column != column)
        fail_msg("%s: got '%.*s' at %d:%d, want '%s' at %d:%d", path, (int)length, text + node->place.start,
                 node->place.line, node->place.column, want, line, column);
    done(&p);
}

static void test_places(void **state)
{
    (void)state;
    static const char text[] = "a: 12 # twelve\n"
                               "b: {x: \"q, r\", y: [1, 2 mm]   , z: {}}\n"
                               "c:\n"
                               "  - one two\n"
                               "  - k: 'it''s'\n"
                               "    l:   \n"
                               "d: !!str 5\n"
                               "e: &name [7, 8]\n"
                               "f: *name\n"
                               "g: &n 3\n"
                               "h: !!map {m: 1}\n";
    check_place(text, "a", "12", 1, 4);
    check_place(text, "b", "{x: \"q, r\", y: [1, 2 mm]   , z: {}}", 2, 4);
    check_place(text, "b.x", "\"q, r\"", 2, 8);
    check_place(text, "b.y", "[1, 2 mm]", 2, 19);
    check_place(text, "b.y.1", "2 mm", 2, 23);
    check_place(text, "b.z", "{}", 2, 36);
    check_place(text, "c.0", "one two", 4, 5);
    check_place(text, "c.1.k", "'it''s'", 5, 8);
    check_place(text, "c.1.l", "", 6, 7);
    check_place(text, "d", "5", 7, 10);
    check_place(text, "e", "[7, 8]", 8, 10);
    check_place(text, "f", "*name", 9, 4);
    check_place(text, "f.1", "8", 8, 14);
    check_place(text, "g", "3", 10, 7);
    check_place(text, "h", "{m: 1}", 11, 10);
}

/** Columns count characters, offsets bytes; a byte order mark is no character, and CR LF ends a line once. */
static void test_places_of_other_letters(void **state)
{
    (void)state;
    check_place("ü: {größe: 5, b: 6}\n", "ü.b", "6", 1, 18);
    check_place("\xEF\xBB\xBF"
                "a: 5\nb: 6\n",
                "b", "6", 2, 4);
    check_place("\xEF\xBB\xBF"
                "a: 5\nb: 6\n",
                "a", "5", 1, 4);
    check_place("a: 5\r\nb: 6\r\nc: 7\r\n", "c", "7", 3, 4);
    check_place("a: \xF0\x9F\x98\x80\xF0\x9F\x98\x80 # \xF0\x9F\x98\x80\nb: 6\n", "b", "6", 2, 4);
}

/** Offsets stay exact far into a file of many two-byte letters. */
static void test_places_far_on(void **state)
{
    (void)state;
    snub_text text = {0};
    for (int i = 0; i < 500; i++)
        snub_text_printf(&text, "k%d: üäö %d\n", i, i);
    for (int i = 0; i < 500; i += 37) {
        char key[16], want[32];
        snprintf(key, sizeof(key), "k%d", i);
        snprintf(want, sizeof(want), "üäö %d", i);
        check_place(text.data, key, want, i + 1, (int)strlen(key) + 3);
    }
    snub_text_free(&text);
}

static void test_quotes(void **state)
{
    (void)state;
    parsed p;
    parse(&p, "a: 12\nb: '12'\nc: !!str 12\nd: ~\ne: ! 5\nf: \"\\u00e9\"\n");
    assert_int_equal(p.status, SNUB_OK);
    assert_false(node_at(&p.document, "a")->quoted);
    assert_true(node_at(&p.document, "b")->quoted);
    assert_true(node_at(&p.document, "c")->quoted);
    assert_false(node_at(&p.document, "d")->quoted);
    assert_true(node_at(&p.document, "e")->quoted);
    assert_string_equal(node_at(&p.document, "f")->text, "\xC3\xA9");
    done(&p);
}

static void test_paths(void **state)
{
    (void)state;
    parsed p;
    parse(&p, "snub: 1\npulleys:\n  - {name: deep pump, load: 5}\n  - {name: snub, at: [1, 2]}\nbelt: {ribs: 6}\n");
    assert_int_equal(p.status, SNUB_OK);
    assert_string_equal(node_at(&p.document, "deep pump.load")->text, "5");
    assert_string_equal(node_at(&p.document, "pulleys.deep pump.load")->text, "5");
    assert_string_equal(node_at(&p.document, "pulleys.1.at.1")->text, "2");
    assert_string_equal(node_at(&p.document, "snub")->text, "1");
    assert_string_equal(node_at(&p.document, "snub.at.0")->text, "1");
    assert_int_equal(node_at(&p.document, "belt")->count, 1);
    static const char *const none[] = {"",           ".",          "belt.",
                                       "belt..ribs", "belt.rib",   "belt.ribs.0",
                                       "pulleys.2",  "pulleys.-1", "pulleys.00000001",
                                       "deep.load",  "snub.at.2",  "pulleys.1.at.x"};
    for (size_t i = 0; i < sizeof(none) / sizeof(none[0]); i++) {
        if (node_at(&p.document, none[i]) != NULL)
            fail_msg("'%s' leads somewhere", none[i]);
    }
    assert_null(snub_node_get(NULL, "a"));
    assert_null(snub_node_get(node_at(&p.document, "snub"), "a"));
    done(&p);
}

static void refused(const char *text, size_t length, snub_status status, const char *message, int line, int column)
{
    parsed p;
    parse_bytes(&p, text, length);
    const snub_error *error = &p.errors.items[0];
    if (p.status != status || strcmp(error->message, message) != 0 || error->place.line != line ||
        error->place.column != column)
        fail_msg("got %s: %s at %d:%d, want %s at %d:%d", snub_status_text(p.status), error->message, error->place.line,
                 error->place.column, message, line, column);
    assert_string_equal(error->place.file, "test.yaml");
    done(&p);
}
#define REFUSED(text, status, message, line, column) refused(text, sizeof(text) - 1, status, message, line, column)

static void test_no_text(void **state)
{
    (void)state;
    static const char no_utf8[] = "has bytes that are not UTF-8";
    REFUSED("", SNUB_BAD_INPUT, "is empty", 0, 0);
    REFUSED(" \n\n", SNUB_BAD_INPUT, "is empty", 0, 0);
    REFUSED("---\n", SNUB_BAD_INPUT, "is empty", 0, 0);
    REFUSED("\xEF\xBB\xBF", SNUB_BAD_INPUT, "is empty", 0, 0);
    REFUSED("a: 1\nb: \0\n", SNUB_BAD_INPUT, "has a NUL byte", 2, 4);
    REFUSED("a: \xFF\n", SNUB_BAD_INPUT, no_utf8, 1, 4);
    REFUSED("a: \xC0\xAF\n", SNUB_BAD_INPUT, no_utf8, 1, 4);
    REFUSED("a: \xE0\x80\xAF\n", SNUB_BAD_INPUT, no_utf8, 1, 4);
    REFUSED("a: \xED\xA0\x80\n", SNUB_BAD_INPUT, no_utf8, 1, 4);
    REFUSED("a: \xF4\x90\x80\x80\n", SNUB_BAD_INPUT, no_utf8, 1, 4);
    REFUSED("a: \xC3", SNUB_BAD_INPUT, no_utf8, 1, 4);
    REFUSED("ü: \xFF\n", SNUB_BAD_INPUT, no_utf8, 1, 4);
    REFUSED("\xFF\xFE"
            "a\0",
            SNUB_BAD_INPUT, "is UTF-16 text", 0, 0);
    REFUSED("\x7F"
            "ELF\x02\x01\x01\0\0",
            SNUB_BAD_INPUT, "is not a text file", 0, 0);
    REFUSED("a: \"x\\0y\"\n", SNUB_BAD_INPUT, "has a NUL character", 1, 4);
    REFUSED("a: \x01\n", SNUB_BAD_INPUT, "is not YAML: control characters are not allowed", 1, 4);
}

static void test_structure(void **state)
{
    (void)state;
    REFUSED("a: 1\n---\nb: 2\n", SNUB_BAD_INPUT, "a second document starts here", 2, 1);
    REFUSED("{[1]: 2}\n", SNUB_BAD_INPUT, "is a list or a map where a key is needed", 1, 2);
    REFUSED("a: *b\n", SNUB_BAD_INPUT, "the alias 'b' has no anchor before it", 1, 4);
    REFUSED("&a [1, *a]\n", SNUB_BAD_INPUT, "the alias 'a' is inside its own anchor", 1, 8);
    REFUSED("a: 1\nb: 2\na: 3\n", SNUB_BAD_INPUT, "the key 'a' is repeated; it is also in line 1", 3, 1);
    REFUSED("a: [1\nb: 2\n", SNUB_BAD_INPUT,
            "is not YAML: while parsing a flow sequence, did not find expected ',' or ']'", 2, 2);
}

/** Many keys are looked through by sorting: a key that comes twice is found, and found in reasonable time. */
static void test_many_keys(void **state)
{
    (void)state;
    snub_text text = {0};
    parsed p;
    for (int i = 0; i < 40000; i++)
        snub_text_printf(&text, "k%d: 1\n", i);
    parse(&p, text.data);
    assert_int_equal(p.status, SNUB_OK);
    assert_int_equal(p.document.root->count, 40000);
    done(&p);
    snub_text_puts(&text, "k77: 1\n");
    parse(&p, text.data);
    assert_int_equal(p.errors.count, 1);
    assert_string_equal(p.errors.items[0].message, "the key 'k77' is repeated; it is also in line 78");
    assert_int_equal(p.errors.items[0].place.line, 40001);
    done(&p);
    snub_text_free(&text);
}

static void test_too_large(void **state)
{
    (void)state;
    snub_text text = {0};
    parsed p;
    snub_text_puts(&text, "a: [");
    for (int i = 0; i < SNUB_NODES_MOST + 10; i++)
        snub_text_puts(&text, "1,");
    snub_text_puts(&text, "]\n");
    parse(&p, text.data);
    assert_int_equal(p.status, SNUB_TOO_LARGE);
    assert_string_equal(p.errors.items[0].message, "has too many values");
    done(&p);
    text.length = 0;
    for (int i = 0; i < 1001; i++)
        snub_text_printf(&text, "- &a%d 1\n", i);
    parse(&p, text.data);
    assert_int_equal(p.status, SNUB_TOO_LARGE);
    assert_string_equal(p.errors.items[0].message, "has too many anchors");
    done(&p);
    char *big = calloc(1, SNUB_FILE_BYTES_MOST + 1);
    assert_non_null(big);
    memset(big, '#', SNUB_FILE_BYTES_MOST + 1);
    parse_bytes(&p, big, SNUB_FILE_BYTES_MOST + 1);
    assert_int_equal(p.status, SNUB_TOO_LARGE);
    done(&p);
    free(big);
    snub_text_free(&text);
}

/** Depth counts what an alias brings along: 32 levels are taken, 33 are not. */
static void test_depth(void **state)
{
    (void)state;
    for (int more = 0; more < 2; more++) {
        parsed p;
        snub_text text = {0};
        snub_text_puts(&text, "a: &a [[[[[[[[[[1]]]]]]]]]]\nb: ");
        for (int i = 0; i < 20 + more; i++)
            snub_text_puts(&text, "[");
        snub_text_puts(&text, "*a");
        for (int i = 0; i < 20 + more; i++)
            snub_text_puts(&text, "]");
        snub_text_puts(&text, "\n");
        parse(&p, text.data);
        assert_int_equal(p.status, more == 0 ? SNUB_OK : SNUB_TOO_LARGE);
        done(&p);
        snub_text_free(&text);
    }
}

static void test_alias_shares(void **state)
{
    (void)state;
    parsed p;
    parse(&p, "a: &a {x: [1, 2]}\nb: *a\nc: &a 5\nd: *a\n");
    assert_int_equal(p.status, SNUB_OK);
    assert_ptr_equal(node_at(&p.document, "a.x"), node_at(&p.document, "b.x"));
    assert_string_equal(node_at(&p.document, "d")->text, "5");
    done(&p);
}

static void test_fragments(void **state)
{
    (void)state;
    snub_arena arena;
    snub_node *node = NULL;
    snub_error error = {0};
    snub_arena_init(&arena, 0);
    assert_int_equal(snub_node_from_text("75", "--set", &arena, &node, &error), SNUB_OK);
    assert_string_equal(node->text, "75");
    assert_string_equal(node->place.file, "--set");
    assert_int_equal(node->place.line, 0);
    assert_int_equal(snub_node_from_text("[1, {a: 2}]", "--set", &arena, &node, &error), SNUB_OK);
    assert_int_equal(node->count, 2);
    assert_int_equal(node->items[1]->place.line, 0);
    assert_int_equal(snub_node_from_text("[1, ", "--set", &arena, &node, &error), SNUB_BAD_INPUT);
    assert_string_equal(error.place.file, "--set");
    assert_int_equal(snub_node_from_text("", "--set", &arena, &node, &error), SNUB_BAD_INPUT);
    assert_string_equal(error.message, "is empty");
    assert_int_equal(snub_node_from_text("*a", "--set", &arena, &node, NULL), SNUB_BAD_INPUT);
    arena.refuse_after = 2;
    assert_int_equal(snub_node_from_text("75", "--set", &arena, &node, &error), SNUB_NO_MEMORY);
    snub_arena_free(&arena);
}

static void test_no_file(void **state)
{
    (void)state;
    parsed p = {.status = SNUB_OK};
    snub_arena_init(&p.arena, 0);
    assert_int_equal(snub_document_read("/nonexistent/drive.yaml", &p.arena, &p.document, &p.errors), SNUB_IO);
    assert_int_equal(p.errors.count, 1);
    assert_null(p.document.root);
    assert_int_equal(snub_document_read(SNUB_SOURCE_DIR, &p.arena, &p.document, &p.errors), SNUB_IO);
    done(&p);
}

/** A map that an alias shares is renamed where its keys are names of before, and nowhere else. */
static void test_names_of_before(void **state)
{
    (void)state;
    parsed p;
    static const char text[] = "pulleys:\n"
                               "  - {name: p, max: 9000, slot: &s {from: [0, 0], to: [1, 0], at: 0.5}}\n"
                               "  - {name: q, max: 8000, slot: *s, diameter: {value: 80, over: tips}}\n"
                               "obstacles: [{name: max, slot: *s, gap: 3}]\n"
                               "title: tips\n"
                               "belt: {max: 1}\n";
    parse(&p, text);
    assert_int_equal(p.status, SNUB_OK);
    assert_string_equal(node_at(&p.document, "p.slot.setting")->text, "0.5");
    assert_string_equal(node_at(&p.document, "q.slot.setting")->text, "0.5");
    assert_null(node_at(&p.document, "q.slot.at"));
    assert_string_equal(node_at(&p.document, "obstacles.0.slot.at")->text, "0.5");
    assert_null(node_at(&p.document, "obstacles.0.slot.setting"));
    assert_string_equal(node_at(&p.document, "obstacles.0.clearance")->text, "3");
    assert_string_equal(node_at(&p.document, "obstacles.0.name")->text, "max");
    assert_string_equal(node_at(&p.document, "q.diameter.over")->text, "outside");
    assert_string_equal(node_at(&p.document, "title")->text, "tips");
    assert_string_equal(node_at(&p.document, "belt.max")->text, "1");
    /* the words in the file's order, each at its first place */
    static const char *const old[] = {"max", "at", "tips", "gap"};
    static const int lines[] = {2, 2, 3, 4};
    const snub_hint *hint = p.document.hints;
    for (int i = 0; i < 4; i++, hint = hint->next) {
        assert_non_null(hint);
        assert_string_equal(hint->old, old[i]);
        assert_int_equal(hint->place.line, lines[i]);
        assert_memory_equal(text + hint->place.start, old[i], strlen(old[i]));
    }
    assert_null(hint);
    done(&p);
}

/** @param[in] line,column  of the first; 0: not looked at */
static void check_placeholders(const char *text, int count, int line, int column)
{
    const snub_placeholders found = snub_placeholders_find("test.yaml", text, strlen(text));
    if (found.count != count || found.place.line != line || found.place.column != column)
        fail_msg("%s\ngot %d, line %d, column %d; want %d, %d, %d", text, found.count, found.place.line,
                 found.place.column, count, line, column);
}

/** A value with the mark behind it, and nothing that only looks like one. */
static void test_placeholders(void **state)
{
    (void)state;
    check_placeholders("", 0, 0, 0);
    check_placeholders("a: 1 # MEASURE: b", 1, 1, 6);
    check_placeholders("x: 1\na: 1\t#MEASURE: b\r\nc: 2  #   MEASURE:\n", 2, 2, 6);
    check_placeholders("a: \xC3\x84 # MEASURE:\n", 1, 1, 6);
    check_placeholders("a: \"1 # MEASURE: b\"\nc: '2 # MEASURE:'\n", 0, 0, 0);
    check_placeholders("a: \"1 \\\" # MEASURE: b\" # MEASURE: c\n", 1, 1, 24);
    check_placeholders("a: it's # MEASURE: b\nc: 6\" # MEASURE:\n", 2, 1, 9);
    check_placeholders("[\"a # MEASURE: b\", c] # MEASURE: d\n", 1, 1, 23);
    check_placeholders("# MEASURE: a\n  # MEASURE: b\na: 1# MEASURE: c\nd: 1 # then # MEASURE: e\n", 0, 0, 0);
    check_placeholders("a: 1 # MEASURE\nb: 1 # measure: c\nd: 1 # MEASURED: e\nf: 1 #", 0, 0, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_places),        cmocka_unit_test(test_places_of_other_letters),
        cmocka_unit_test(test_places_far_on), cmocka_unit_test(test_quotes),
        cmocka_unit_test(test_paths),         cmocka_unit_test(test_no_text),
        cmocka_unit_test(test_structure),     cmocka_unit_test(test_many_keys),
        cmocka_unit_test(test_too_large),     cmocka_unit_test(test_depth),
        cmocka_unit_test(test_alias_shares),  cmocka_unit_test(test_fragments),
        cmocka_unit_test(test_no_file),       cmocka_unit_test(test_names_of_before),
        cmocka_unit_test(test_placeholders)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

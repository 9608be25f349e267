/* A snapshot brings over all that a reading asked for, and takes nothing that is not one. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "drive/tree.h"
#include "snub/snapshot.h"

/* A rare unit, a name of before, an alias, text with a hidden meaning for JSON, a part and a map. */
static const char TEXT[] = "snub: 1\n"
                           "title: \"Ä \\\"kit\\\"\"\n"
                           "belt: {section: PK, ribs: 6, stock: catalogue}\n"
                           "engine: &e {displacement: 2.0 L, cylinders: 4, idle: 800, redline: 6500}\n"
                           "pulleys:\n"
                           "  - {name: crank, role: crank, at: [0, 0], diameter: 150}\n"
                           "  - {name: idler, side: back, at: [0.001 furlong, 140], part: INV-76}\n"
                           "  - {name: blower, at: [-20, 320], diameter: 60, blower: {kind: centrifugal, map: m.csv, "
                           "map_temperature: 25}}\n";

typedef struct answers {
    snub_units *units;
    int parts, belts, maps; /* how often they were asked */
} answers;

static snub_status find(void *context, const char *kind, const char *key, snub_arena *arena, snub_node **map,
                        snub_part_sale *sale, snub_error *error)
{
    ((answers *)context)->parts++;
    if (strcmp(key, "INV-76") != 0)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "no %s %s", kind, key);
    *sale = (snub_part_sale){"A-1", "an invented supplier", true, "INV-80", "17/4"};
    return snub_node_from_text("{diameter: 76, inertia: 0.0004 kg m2}", "catalogue", arena, map, error);
}

static snub_status belts(void *context, const char *section, int ribs, snub_arena *arena, snub_stock_belt **list,
                         int *count, snub_error *error)
{
    static const snub_part_sale sale = {"B-1", "", false, "", "9"};
    ((answers *)context)->belts++;
    assert_string_equal(section, "PK");
    *list = SNUB_NEW(arena, snub_stock_belt, 2);
    (void)error;
    (*list)[0] = (snub_stock_belt){1.2, "INV-1200", NAN, 1.1e-3, NAN, 5e4, NAN, 2e-3, &sale, 1};
    (*list)[1] = (snub_stock_belt){1.25 + ribs, NULL, 1e-3, NAN, 0.02, NAN, 100, NAN, NULL, 0};
    *count = 2;
    return SNUB_OK;
}

static snub_status map(void *context, const snub_document *document, const char *path, snub_units *units,
                       snub_arena *arena, snub_blower *blower, snub_errors *errors)
{
    ((answers *)context)->maps++;
    (void)document, (void)path, (void)units, (void)errors;
    blower->map_lines = 1;
    blower->map = SNUB_NEW(arena, snub_map_line, 1);
    double *values = SNUB_NEW(arena, double, 6);
    for (int i = 0; i < 6; i++)
        values[i] = 0.1 * (i + 1);
    blower->map[0] = (snub_map_line){1000.5, 2, values, values + 2, values + 4, 0.15};
    strcpy(blower->map_digest, "0123456789abcdef");
    return SNUB_OK;
}

typedef struct world {
    snub_arena arena;
    answers asked;
    snub_part_source parts;
    snub_map_source maps;
    snub_document document;
    snub_snapshot made, got;
    snub_text bytes;
} world;

/* What a reader asks, of the sources of a snapshot. */
static void ask_all(world *w, snub_snapshot *snapshot, snub_node **part, snub_part_sale *sale, snub_stock_belt **list,
                    int *count, snub_blower *blower)
{
    snub_error error = {0};
    snub_errors errors = {0};
    const snub_part_source *source = snub_snapshot_parts(snapshot);
    assert_non_null(source);
    assert_int_equal(source->find(source->context, "pulley", "INV-76", &w->arena, part, sale, &error), SNUB_OK);
    assert_int_equal(source->belts(source->context, "PK", 6, &w->arena, list, count, &error), SNUB_OK);
    *blower = (snub_blower){.kind = SNUB_CENTRIFUGAL, .map_temperature = 298.15};
    assert_int_equal(snapshot->map_source.read(snapshot->map_source.context, &snapshot->document, "m.csv", NULL,
                                               &w->arena, blower, &errors),
                     SNUB_OK);
    snub_errors_free(&errors);
}

static void make(world *w)
{
    snub_errors errors = {0};
    snub_node *part;
    snub_part_sale sale;
    snub_stock_belt *list;
    int count;
    snub_blower blower;
    *w = (world){.parts = {.find = find, .belts = belts, .context = &w->asked},
                 .maps = {.read = map, .context = &w->asked}};
    snub_arena_init(&w->arena, 0);
    assert_int_equal(snub_units_open(&w->asked.units, NULL), SNUB_OK);
    assert_int_equal(snub_document_parse("kit.yaml", TEXT, sizeof TEXT - 1, &w->arena, &w->document, &errors), SNUB_OK);
    snub_snapshot_begin(&w->made, &w->document, &w->parts, &w->maps, &w->arena);
    for (int i = 0; i < 2; i++) /* the second time they are known */
        ask_all(w, &w->made, &part, &sale, &list, &count, &blower);
    assert_int_equal(w->asked.parts + w->asked.belts + w->asked.maps, 3);
    assert_int_equal(snub_snapshot_note_units(&w->made, w->asked.units), SNUB_OK);
    assert_int_equal(snub_snapshot_write(&w->made, &w->bytes, NULL), SNUB_OK);
    snub_errors_free(&errors);
}

/* Made, written and read back. */
static void bring_over(world *w)
{
    make(w);
    assert_int_equal(snub_snapshot_read(w->bytes.data, w->bytes.length, &w->arena, &w->got, NULL), SNUB_OK);
}

static void let_go(world *w)
{
    snub_units_free(w->asked.units);
    snub_text_free(&w->bytes);
    snub_arena_free(&w->arena);
}

static void same_places(const snub_node *a, const snub_node *b)
{
    assert_int_equal(a->kind, b->kind);
    assert_int_equal(a->quoted, b->quoted);
    assert_int_equal(a->place.line, b->place.line);
    assert_int_equal(a->place.column, b->place.column);
    assert_int_equal(a->place.start, b->place.start);
    assert_int_equal(a->place.end, b->place.end);
    if (a->place.file != NULL)
        assert_string_equal(a->place.file, b->place.file);
    for (int i = 0; a->kind != SNUB_SCALAR && i < a->count; i++) {
        same_places(a->items[i], b->items[i]);
        if (a->kind == SNUB_MAP)
            same_places(a->keys[i], b->keys[i]);
    }
}

static void all_comes_over(void **context)
{
    (void)context;
    world w;
    snub_node *part;
    snub_part_sale sale;
    snub_stock_belt *list;
    int count;
    snub_blower blower;
    bring_over(&w);
    assert_string_equal(w.got.document.name, "kit.yaml");
    assert_int_equal(w.got.document.source_length, sizeof TEXT - 1);
    assert_memory_equal(w.got.document.source, TEXT, sizeof TEXT - 1);
    assert_true(snub_tree_same(w.document.root, w.got.document.root));
    same_places(w.document.root, w.got.document.root);
    ask_all(&w, &w.got, &part, &sale, &list, &count, &blower);
    assert_int_equal(w.asked.parts + w.asked.belts + w.asked.maps, 3);
    assert_false(w.got.lacks);
    assert_string_equal(snub_node_get(part, "inertia")->text, "0.0004 kg m2");
    assert_string_equal(part->place.file, "catalogue");
    assert_string_equal(sale.own_number, "A-1");
    assert_string_equal(sale.replaced_by, "INV-80");
    assert_true(sale.discontinued);
    assert_int_equal(count, 2);
    assert_true(list[0].length == 1.2 && isnan(list[0].be) && list[0].back == 1.1e-3 && list[0].tolerance == 2e-3);
    assert_string_equal(list[0].sale->supplier_number, "9");
    assert_true(list[1].part == NULL && list[1].sale == NULL && list[1].length == 7.25 && list[0].buying == 1);
    assert_int_equal(blower.map_lines, 1);
    assert_true(blower.map[0].speed == 1000.5 && blower.map[0].efficiency[1] == 0.1 * 6 && blower.map[0].surge == 0.15);
    assert_string_equal(blower.map_digest, "0123456789abcdef");
    let_go(&w);
}

static void a_rare_unit_comes_over(void **context)
{
    (void)context;
    world w;
    bring_over(&w);
    assert_non_null(w.got.units);
    assert_int_equal(w.got.units->quantity, SNUB_Q_LENGTH);
    assert_string_equal(w.got.units->unit.name, "furlong");
    /* 660 US survey feet of 1200/3937 m (NIST Handbook 44, appendix C) */
    assert_true(fabs(w.got.units->unit.scale - 660.0 * 1200.0 / 3937.0) < 1e-9);
    assert_true(w.got.units->unit.zero == 0.0);
    assert_null(w.got.units->next);
    let_go(&w);
}

static void what_it_lacks_is_noted(void **context)
{
    (void)context;
    world w;
    snub_node *part;
    snub_part_sale sale;
    snub_stock_belt *list;
    int count;
    snub_error error = {0};
    snub_errors errors = {0};
    bring_over(&w);
    const snub_part_source *source = snub_snapshot_parts(&w.got);
    assert_int_equal(source->find(source->context, "pulley", "INV-80", &w.arena, &part, &sale, &error), SNUB_BAD_INPUT);
    assert_true(w.got.lacks);
    w.got.lacks = false;
    assert_int_equal(source->find(source->context, "belt", "INV-76", &w.arena, &part, &sale, &error), SNUB_BAD_INPUT);
    assert_true(w.got.lacks);
    w.got.lacks = false;
    assert_int_equal(source->belts(source->context, "PK", 7, &w.arena, &list, &count, &error), SNUB_BAD_INPUT);
    assert_true(w.got.lacks);
    w.got.lacks = false;
    snub_blower warmer = {.kind = SNUB_CENTRIFUGAL, .map_temperature = 303.15};
    assert_int_equal(
        w.got.map_source.read(w.got.map_source.context, &w.got.document, "m.csv", NULL, &w.arena, &warmer, &errors),
        SNUB_BAD_INPUT);
    assert_true(w.got.lacks);
    snub_errors_free(&errors);
    let_go(&w);
}

static void without_a_catalogue_there_is_none(void **context)
{
    (void)context;
    world w;
    snub_text bytes = {0};
    make(&w);
    snub_snapshot_begin(&w.made, &w.document, NULL, &w.maps, &w.arena);
    assert_null(snub_snapshot_parts(&w.made));
    assert_int_equal(snub_snapshot_write(&w.made, &bytes, NULL), SNUB_OK);
    assert_int_equal(snub_snapshot_read(bytes.data, bytes.length, &w.arena, &w.got, NULL), SNUB_OK);
    assert_null(snub_snapshot_parts(&w.got));
    snub_text_free(&bytes);
    let_go(&w);
}

/* Cut off anywhere, with more behind, or of another version: refused. With any byte spoilt: refused, or a snapshot. */
static void nothing_else_is_taken(void **context)
{
    (void)context;
    world w;
    make(&w);
    for (size_t length = 0; length < w.bytes.length; length++) {
        unsigned char *cut = malloc(length + 1); /* of its own, so that a sanitizer sees a read behind it */
        assert_non_null(cut);
        memcpy(cut, w.bytes.data, length);
        assert_int_equal(snub_snapshot_read(cut, length, &w.arena, &w.got, NULL), SNUB_BAD_INPUT);
        free(cut);
    }
    unsigned char *spoilt = malloc(w.bytes.length + 1);
    assert_non_null(spoilt);
    memcpy(spoilt, w.bytes.data, w.bytes.length);
    spoilt[w.bytes.length] = 0;
    assert_int_equal(snub_snapshot_read(spoilt, w.bytes.length + 1, &w.arena, &w.got, NULL), SNUB_BAD_INPUT);
    for (size_t i = 0; i < w.bytes.length; i++) {
        for (int bit = 0; bit < 8; bit += 7) {
            snub_arena arena;
            snub_arena_init(&arena, 16 << 20);
            spoilt[i] ^= (unsigned char)(1 << bit);
            const snub_status status = snub_snapshot_read(spoilt, w.bytes.length, &arena, &w.got, NULL);
            assert_true(status == SNUB_OK || status == SNUB_BAD_INPUT || status == SNUB_NO_MEMORY);
            if (i < sizeof "snub snapshot")
                assert_int_equal(status, SNUB_BAD_INPUT);
            spoilt[i] ^= (unsigned char)(1 << bit);
            snub_arena_free(&arena);
        }
    }
    free(spoilt);
    let_go(&w);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(all_comes_over),         cmocka_unit_test(a_rare_unit_comes_over),
        cmocka_unit_test(what_it_lacks_is_noted), cmocka_unit_test(without_a_catalogue_there_is_none),
        cmocka_unit_test(nothing_else_is_taken),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

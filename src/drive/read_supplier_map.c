/** The map of a supplier's file. */
#include "snub/supplier_map.h"

#include <string.h>

#include "read.h"

static const snub_key map_keys[] = {{"snub", NULL, NULL},      {"supplier", NULL, NULL}, {"kind", NULL, NULL},
                                    {"separator", NULL, NULL}, {"encoding", NULL, NULL}, {"decimal", NULL, NULL},
                                    {"thousands", NULL, NULL}, {"columns", NULL, NULL},  {"constants", NULL, NULL},
                                    {"leave_out", NULL, NULL}, {NULL, NULL, NULL}};
static const snub_key column_keys[] = {
    {"title", NULL, NULL}, {"unit", NULL, NULL}, {"values", NULL, NULL}, {NULL, NULL, NULL}};
static const snub_key leave_out_keys[] = {
    {"title", NULL, NULL}, {"is", NULL, NULL}, {"begins", NULL, NULL}, {NULL, NULL, NULL}};

enum { TITLE_BYTES = 200, FIELDS_MOST = SNUB_CSV_ROW_FIELDS, RULES_MOST = 100, TEXTS_MOST = 1000 };

const char *const snub_separator_words[] = {"comma", "semicolon", "tab", NULL};
const char *const snub_thousands_words[] = {"point", "comma", "space", "apostrophe", NULL};
const char *const snub_decimal_words[] = {"point", "comma", NULL};

char snub_separator_mark(int i)
{
    return ",;\t"[i];
}

char snub_thousands_mark(int i)
{
    return "., '"[i];
}

char snub_decimal_mark(int i)
{
    return ".,"[i];
}

/* A text that may be empty. */
static const char *text_of(snub_reader *reader, const snub_node *node)
{
    if (node->kind == SNUB_SCALAR)
        return node->text;
    snub_read_wrong(reader, node, "text", "is not text");
    return NULL;
}

static void *make(snub_reader *reader, size_t count, size_t size)
{
    void *made = snub_alloc(reader->arena, count, size);
    if (made == NULL)
        snub_read_no_memory(reader);
    return made;
}

/* ---- columns ----------------------------------------------------------------------------------------------------- */

static void read_values(snub_reader *reader, const snub_node *map, snub_map_column *column)
{
    const snub_node *node = snub_read_find(map, "values");
    if (node == NULL)
        return;
    snub_enter(reader, "values");
    if (node->kind != SNUB_MAP || node->count > TEXTS_MOST) {
        snub_read_wrong(reader, node, "the supplier's values with those of the catalogue, such as {ja: yes}",
                        node->kind == SNUB_MAP ? "has too many values" : "is not a map");
    } else if ((column->values = make(reader, (size_t)node->count + 1, sizeof *column->values)) != NULL) {
        for (int i = 0; i < node->count; i++) {
            snub_enter(reader, node->keys[i]->text);
            const char *ours = text_of(reader, node->items[i]);
            if (ours != NULL)
                column->values[column->value_count++] = (snub_map_value){node->keys[i]->text, ours};
            snub_leave(reader);
        }
    }
    snub_leave(reader);
}

/* A title by itself, or with its unit and the values that are translated. */
static void read_column(snub_reader *reader, const snub_node *columns, int i, snub_map_column *column)
{
    const snub_node *node = columns->items[i];
    *column = (snub_map_column){.field = columns->keys[i]->text,
                                .field_place = columns->keys[i]->place,
                                .place = node->place,
                                .unit = "",
                                .unit_place = node->place};
    if (node->kind == SNUB_SCALAR) {
        snub_read_text(reader, columns, column->field, TITLE_BYTES, &column->title);
        if (column->title == NULL && snub_read_find(columns, column->field) == NULL)
            snub_read_wrong(reader, node, "the title of the supplier's column", "is missing");
        return;
    }
    snub_enter(reader, column->field);
    if (snub_read_keys(reader, node, column_keys, NULL)) {
        if (snub_read_need(reader, node, "title") && snub_read_text(reader, node, "title", TITLE_BYTES, &column->title))
            column->place = snub_read_find(node, "title")->place;
        if (snub_read_text(reader, node, "unit", 40, &column->unit))
            column->unit_place = snub_read_find(node, "unit")->place;
        read_values(reader, node, column);
    }
    snub_leave(reader);
}

static const snub_node *read_fields(snub_reader *reader, const snub_node *root, const char *key)
{
    const snub_node *node = snub_read_find(root, key);
    if (node == NULL || (node->kind == SNUB_MAP && node->count <= FIELDS_MOST))
        return node;
    snub_read_wrong_key(reader, root, key, NULL, node->kind == SNUB_MAP ? "has too many fields" : "is not a map");
    return NULL;
}

static void read_columns(snub_reader *reader, const snub_node *root, snub_supplier_map *map)
{
    const snub_node *node = snub_read_need(reader, root, "columns") ? read_fields(reader, root, "columns") : NULL;
    if (node == NULL || (map->columns = make(reader, (size_t)node->count + 1, sizeof *map->columns)) == NULL)
        return;
    map->columns_place = node->place;
    snub_enter(reader, "columns");
    for (int i = 0; i < node->count; i++)
        read_column(reader, node, i, &map->columns[map->column_count++]);
    snub_leave(reader);
}

static void read_constants(snub_reader *reader, const snub_node *root, snub_supplier_map *map)
{
    const snub_node *node = read_fields(reader, root, "constants");
    if (node == NULL || (map->constants = make(reader, (size_t)node->count + 1, sizeof *map->constants)) == NULL)
        return;
    snub_enter(reader, "constants");
    for (int i = 0; i < node->count; i++) {
        const char *text = NULL, *field = node->keys[i]->text;
        if (snub_read_find(node, field) == NULL)
            snub_read_wrong(reader, node->items[i], "the value of every row", "is missing");
        else if (snub_read_text(reader, node, field, TITLE_BYTES, &text))
            map->constants[map->constant_count++] = (snub_map_constant){field, text, node->items[i]->place};
    }
    snub_leave(reader);
}

/* ---- rows that are left out -------------------------------------------------------------------------------------- */

static void read_texts(snub_reader *reader, const snub_node *map, const char *key, snub_map_rule *rule)
{
    const snub_node *node = snub_node_get(map, key);
    const int count = node->kind == SNUB_LIST ? node->count : 1;
    if (count > TEXTS_MOST || (rule->texts = make(reader, (size_t)count + 1, sizeof *rule->texts)) == NULL) {
        snub_read_wrong_key(reader, map, key, NULL, "has too many texts");
        return;
    }
    snub_enter(reader, key);
    for (int i = 0; i < count; i++) {
        const char *text = text_of(reader, node->kind == SNUB_LIST ? node->items[i] : node);
        if (text != NULL && rule->begins && text[0] == '\0')
            snub_read_wrong(reader, node->kind == SNUB_LIST ? node->items[i] : node, "a text, or `is` with \"\"",
                            "every text begins with nothing");
        else if (text != NULL)
            rule->texts[rule->count++] = text;
    }
    snub_leave(reader);
}

static void read_rule(snub_reader *reader, const snub_node *node, snub_map_rule *rule)
{
    if (!snub_read_keys(reader, node, leave_out_keys, NULL))
        return;
    if (snub_read_need(reader, node, "title") && snub_read_text(reader, node, "title", TITLE_BYTES, &rule->title))
        rule->place = snub_read_find(node, "title")->place;
    const bool is = snub_node_get(node, "is") != NULL, begins = snub_node_get(node, "begins") != NULL;
    if (is == begins) {
        snub_read_wrong(reader, node, "`is` or `begins`", is ? "has both `is` and `begins`" : "says no text");
        return;
    }
    rule->begins = begins;
    read_texts(reader, node, begins ? "begins" : "is", rule);
}

static void read_rules(snub_reader *reader, const snub_node *root, snub_supplier_map *map)
{
    const snub_node *list = snub_read_list(reader, root, "leave_out", 1, RULES_MOST);
    if (list == NULL || (map->rules = make(reader, (size_t)list->count, sizeof *map->rules)) == NULL)
        return;
    snub_enter(reader, "leave_out");
    for (int i = 0; i < list->count; i++) {
        snub_enter_item(reader, i);
        read_rule(reader, list->items[i], &map->rules[map->rule_count++]);
        snub_leave(reader);
    }
    snub_leave(reader);
}

/* ---- the file ---------------------------------------------------------------------------------------------------- */

static void read_dialect(snub_reader *reader, const snub_node *root, snub_supplier_map *map)
{
    int i = 0;
    if (snub_read_choice(reader, root, "separator", snub_separator_words, &i))
        map->separator = snub_separator_mark(i);
    if (snub_read_choice(reader, root, "encoding", snub_encoding_words, &i))
        map->encoding = snub_encoding_named(snub_encoding_words[i]);
    if (snub_read_choice(reader, root, "decimal", snub_decimal_words, &i))
        map->decimal = snub_decimal_mark(i);
    if (!snub_read_choice(reader, root, "thousands", snub_thousands_words, &i))
        return;
    map->thousands = snub_thousands_mark(i);
    if (snub_read_find(root, "decimal") == NULL)
        snub_read_wrong_key(reader, root, "thousands", "`decimal` as well", "the decimal mark is not given");
    else if (map->thousands == map->decimal)
        snub_read_wrong_key(reader, root, "thousands", "another mark", "is the decimal mark, too");
}

static void read_all(snub_reader *reader, const snub_node *root, snub_supplier_map *map)
{
    if (!snub_read_keys(reader, root, map_keys, NULL))
        return;
    snub_read_format(reader, root);
    if (snub_read_need(reader, root, "supplier"))
        snub_read_text(reader, root, "supplier", 80, &map->supplier);
    if (snub_read_text(reader, root, "kind", 40, &map->kind))
        map->kind_place = snub_read_find(root, "kind")->place;
    read_dialect(reader, root, map);
    read_columns(reader, root, map);
    read_constants(reader, root, map);
    read_rules(reader, root, map);
}

snub_status snub_supplier_map_read(const char *name, const char *text, size_t length, snub_units *units,
                                   snub_arena *arena, snub_supplier_map *map, snub_errors *errors)
{
    *map = (snub_supplier_map){0};
    const snub_status status = snub_document_parse(name, text, length, arena, &map->document, errors);
    if (status != SNUB_OK)
        return status;
    const snub_reading reading = {.units = units, .arena = arena};
    snub_reader reader = {
        .document = &map->document, .reading = &reading, .units = units, .arena = arena, .errors = errors};
    const int first = errors->count;
    read_all(&reader, map->document.root, map);
    return snub_read_end(&reader, first);
}

/* The header of a supplier's file, by its map. What is wrong with the map is told at its line. */
#include "import.h"

#include <stdlib.h>
#include <string.h>

enum { TITLES_SAID = 12 }; /* of the file's, in a message */

static const char BLANKS[] = " \t\r\n";

static bool same_text(const char *a, const char *b)
{
    a += strspn(a, BLANKS);
    b += strspn(b, BLANKS);
    size_t n = strlen(a), m = strlen(b);
    while (n && strchr(BLANKS, a[n - 1]))
        n--;
    while (m && strchr(BLANKS, b[m - 1]))
        m--;
    return n == m && memcmp(a, b, n) == 0;
}

/* ---- titles ------------------------------------------------------------------------------------------------------ */

static void put_titles(const snub_csv_row *row, char *to, size_t room)
{
    snub_text text = {0};
    for (int i = 0, said = 0; i < row->count && said < TITLES_SAID; i++)
        if (row->fields[i][strspn(row->fields[i], BLANKS)])
            snub_text_printf(&text, "%s%s", said++ ? ", " : "one of: ", row->fields[i]);
    snub_put_text(to, room, text.data ? text.data : "");
    snub_text_free(&text);
}

static void no_such_title(snub_import *import, const snub_csv_row *row, const snub_place *place, const char *where,
                          const char *title)
{
    char all[sizeof((snub_error){0}).need];
    const char *near = snub_nearest(title, row->fields, row->count);
    put_titles(row, all, sizeof all);
    snub_text message = {0};
    snub_text_printf(&message, "%.150s has no such column", import->name);
    snub_import_wrong_at(import, place, where, title, near ? near : all,
                         message.data ? message.data : "no such column");
    snub_text_free(&message);
}

enum { NO_CELL = -1, LACKING = -2 };

/* An update changes what its file gives: a list may be shorter than the one that the map was written for. */
static void note_lacking(snub_import *import, const char *title)
{
    snub_import_report *report = &import->report;
    const size_t used = strlen(report->lacking_say);
    if (report->columns_lacking++ >= TITLES_SAID)
        return;
    snub_text text = {0};
    snub_text_printf(&text, "%s%s", used ? ", " : "", title);
    snub_put_text(report->lacking_say + used, sizeof report->lacking_say - used, text.data ? text.data : "");
    snub_text_free(&text);
}

/* The file's column of a title. NO_CELL: none, or two, which is told. LACKING: none, in an update. */
static int cell_of(snub_import *import, const snub_csv_row *row, const snub_place *place, const char *where,
                   const char *title)
{
    int at = NO_CELL;
    for (int i = 0; i < row->count; i++) {
        if (!same_text(row->fields[i], title))
            continue;
        if (at >= 0) {
            snub_import_wrong_at(import, place, where, title, NULL, "the file has two columns of this title");
            return NO_CELL;
        }
        at = i;
    }
    if (at >= 0)
        return at;
    if (import->options.update) {
        note_lacking(import, title);
        return LACKING;
    }
    no_such_title(import, row, place, where, title);
    return NO_CELL;
}

/* ---- columns ----------------------------------------------------------------------------------------------------- */

static void put_where(char *to, size_t room, const char *section, const char *field)
{
    snub_text text = {0};
    snub_text_printf(&text, "%s.%s", section, field);
    snub_put_text(to, room, text.data ? text.data : section);
    snub_text_free(&text);
}

static bool map_column(snub_import *import, const snub_csv_row *row, const snub_map_column *mapped)
{
    char where[96];
    snub_import_column made = {.place = mapped->field_place, .mapped = mapped};
    put_where(where, sizeof where, "columns", mapped->field);
    const int at = cell_of(import, row, &mapped->place, where, mapped->title);
    snub_put_text(made.title, sizeof made.title, mapped->title);
    if (strlen(mapped->unit) >= sizeof made.unit) {
        snub_import_wrong_at(import, &mapped->unit_place, where, mapped->unit, NULL, "is too long for a unit");
        return false;
    }
    strcpy(made.unit, mapped->unit);
    made.unit_at = &mapped->unit_place;
    if (!snub_import_understand(import, &made, mapped->field, where) || at == NO_CELL)
        return false;
    if (at == LACKING)
        return true;
    if (import->columns[at].mapped) {
        snub_import_wrong_at(import, &mapped->place, where, mapped->title, NULL,
                             "this column has another field already");
        return false;
    }
    if (snub_import_repeats(import, import->column_count, &made)) {
        snub_import_wrong_at(import, &mapped->field_place, where, NULL, NULL, "another column has this field");
        return false;
    }
    import->columns[at] = made;
    return true;
}

static bool add_constant(snub_import *import, const char *field, const char *text, const snub_place *place)
{
    char where[96];
    snub_import_column made = {.place = *place, .constant = text};
    put_where(where, sizeof where, "constants", field);
    snub_put_text(made.title, sizeof made.title, where);
    if (!snub_import_understand(import, &made, field, where))
        return false;
    if (snub_import_repeats(import, import->column_count, &made)) {
        snub_import_wrong_at(import, place, where, text, NULL, "a column has this field already");
        return false;
    }
    import->columns[import->column_count++] = made;
    return true;
}

/* --source wins over the map's: it says which list of prices this is. */
static bool add_constants(snub_import *import, const snub_supplier_map *map)
{
    bool good = true;
    for (int i = 0; i < map->constant_count; i++)
        if (strcmp(map->constants[i].field, "source") != 0 || !import->options.source)
            good =
                add_constant(import, map->constants[i].field, map->constants[i].text, &map->constants[i].place) && good;
    if (good && !snub_import_has(import, SNUB_COLUMN_SUPPLIER))
        good = add_constant(import, "supplier", map->supplier, &map->columns_place);
    return good;
}

static bool settle_kind(snub_import *import, const snub_supplier_map *map)
{
    snub_part_kind kind;
    if (!map->kind)
        return true;
    if (!snub_part_kind_named(map->kind, &kind)) {
        snub_import_wrong_at(import, &map->kind_place, "kind", map->kind,
                             "belt, pulley, idler, tensioner, bearing, fastener, shim or blower",
                             "no such kind of part");
        return false;
    }
    if (import->options.kind != SNUB_PART_ANY && import->options.kind != kind) {
        snub_import_wrong_at(import, &map->kind_place, "kind", map->kind, snub_part_kind_name(import->options.kind),
                             "is not the kind given by --kind");
        return false;
    }
    import->options.kind = kind;
    return true;
}

static bool find_rules(snub_import *import, const snub_csv_row *row, const snub_supplier_map *map)
{
    bool good = true;
    if (map->rule_count && !(import->rule_cells = calloc((size_t)map->rule_count, sizeof *import->rule_cells))) {
        import->failed = snub_fail(&import->failure, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
        return false;
    }
    for (int i = 0; i < map->rule_count; i++) {
        import->rule_cells[i] = cell_of(import, row, &map->rules[i].place, "leave_out.title", map->rules[i].title);
        good = import->rule_cells[i] != NO_CELL && good;
    }
    return good;
}

/* Where no column says which part a row is about: the titles by which one would. */
static void tell_identities(snub_import *import, const snub_csv_row *row, const snub_supplier_map *map)
{
    static const char *const fields[] = {"key", "own_number", "supplier_number"};
    for (int i = 0; i < map->column_count; i++)
        for (size_t k = 0; k < sizeof fields / sizeof fields[0]; k++)
            if (strcmp(map->columns[i].field, fields[k]) == 0)
                no_such_title(import, row, &map->columns[i].place, fields[k], map->columns[i].title);
}

/* A column that nobody asks for is told, so that one that was forgotten is seen. */
static void count_left_out(snub_import *import, const snub_csv_row *row)
{
    snub_text text = {0};
    for (int i = 0; i < row->count; i++) {
        bool asked = import->columns[i].mapped != NULL || !row->fields[i][strspn(row->fields[i], BLANKS)];
        for (int k = 0; k < import->options.map->rule_count && !asked; k++)
            asked = import->rule_cells[k] == i;
        if (!asked && import->report.columns_left_out++ < TITLES_SAID)
            snub_text_printf(&text, "%s%s", text.length ? ", " : "", row->fields[i]);
    }
    snub_put_text(import->report.left_out_say, sizeof import->report.left_out_say, text.data ? text.data : "");
    snub_text_free(&text);
}

bool snub_import_map_header(snub_import *import, const snub_csv_row *row)
{
    const snub_supplier_map *map = import->options.map;
    bool good = settle_kind(import, map);
    const snub_place header = {import->name, row->line, 0, 0, 0};
    import->cell_count = import->column_count = row->count;
    for (int i = 0; i < row->count; i++) {
        import->columns[i] = (snub_import_column){.role = SNUB_COLUMN_LEFT_OUT, .place = header};
        snub_put_text(import->columns[i].title, sizeof import->columns[i].title, row->fields[i]);
    }
    for (int i = 0; i < map->column_count; i++)
        good = map_column(import, row, &map->columns[i]) && good;
    good = add_constants(import, map) && good;
    good = find_rules(import, row, map) && good;
    if (good && !snub_import_enough(import, &map->columns_place)) {
        good = false;
        if (import->options.update)
            tell_identities(import, row, map);
    }
    if (good)
        count_left_out(import, row);
    return good;
}

/* ---- rows -------------------------------------------------------------------------------------------------------- */

bool snub_import_map_leaves(const snub_import *import, const snub_csv_row *row)
{
    const snub_supplier_map *map = import->options.map;
    for (int i = 0; map && i < map->rule_count; i++) {
        const snub_map_rule *rule = &map->rules[i];
        if (import->rule_cells[i] < 0 || import->rule_cells[i] >= row->count)
            continue;
        const char *cell = row->fields[import->rule_cells[i]];
        for (int k = 0; k < rule->count; k++)
            if (rule->begins ? strncmp(cell + strspn(cell, BLANKS), rule->texts[k], strlen(rule->texts[k])) == 0
                             : same_text(cell, rule->texts[k]))
                return true;
    }
    return false;
}

const char *snub_import_map_value(const snub_import_column *column, const char *text)
{
    for (int i = 0; column->mapped && i < column->mapped->value_count; i++)
        if (same_text(column->mapped->values[i].theirs, text))
            return column->mapped->values[i].ours;
    return text;
}

/* The first row of an import: names of columns, and the units in them. */
#include "import.h"

#include <string.h>

static const struct {
    const char *name;
    snub_column_role role;
} PLAIN[] = {{"key", SNUB_COLUMN_KEY},
             {"kind", SNUB_COLUMN_KIND},
             {"name", SNUB_COLUMN_NAME},
             {"source", SNUB_COLUMN_SOURCE},
             {"note", SNUB_COLUMN_NOTE},
             {"price", SNUB_COLUMN_PRICE},
             {"currency", SNUB_COLUMN_CURRENCY},
             {"stock", SNUB_COLUMN_STOCK},
             {"own_number", SNUB_COLUMN_OWN_NUMBER},
             {"supplier", SNUB_COLUMN_SUPPLIER},
             {"supplier_number", SNUB_COLUMN_SUPPLIER_NUMBER},
             {"minimum_order", SNUB_COLUMN_MINIMUM_ORDER},
             {"discontinued", SNUB_COLUMN_DISCONTINUED},
             {"replaced_by", SNUB_COLUMN_REPLACED_BY}};
enum { PLAIN_COUNT = (int)(sizeof PLAIN / sizeof PLAIN[0]) };

static const char TOLERANCE[] = "_tolerance";

void snub_import_wrong(snub_import *import, int line, const char *column, const char *got, const char *need,
                       const char *message)
{
    const snub_place place = {import->name, line, 0, 0, 0};
    snub_import_wrong_at(import, &place, column, got, need, message);
}

void snub_import_wrong_at(snub_import *import, const snub_place *place, const char *column, const char *got,
                          const char *need, const char *message)
{
    snub_error wrong;
    snub_fail(&wrong, SNUB_BAD_INPUT, place, column, "%s", message);
    wrong.got[0] = wrong.need[0] = '\0';
    if (got)
        snub_put_text(wrong.got, sizeof wrong.got, got);
    if (need)
        snub_put_text(wrong.need, sizeof wrong.need, need);
    snub_errors_add(import->errors, &wrong);
}

void snub_import_hint(snub_import *import, const snub_place *place, const char *old, const char *now)
{
    const snub_hint hint = {.place = *place, .old = old, .now = now};
    snub_errors *told = import->options.hints;
    snub_error error;
    if (!told)
        return;
    snub_hint_error(&hint, &error);
    for (int i = 0; i < told->count; i++)
        if (strcmp(told->items[i].key, error.key) == 0 && strcmp(told->items[i].message, error.message) == 0 &&
            strcmp(told->items[i].place.file, place->file) == 0)
            return;
    snub_errors_add(told, &error);
}

/* "Arm Length [mm] " -> name "arm_length", unit "mm". False where a bracket is left open or text follows it. */
static bool split_title(const char *title, char *name, size_t room, snub_import_column *column)
{
    size_t used = 0, length = strcspn(title, "[");
    const char *bracket = title[length] ? title + length : NULL;
    while (length && (title[length - 1] == ' ' || title[length - 1] == '\t'))
        length--;
    for (size_t i = 0; i < length && used + 1 < room; i++) {
        char c = title[i];
        name[used++] = c == ' ' || c == '-' ? '_' : c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
    }
    name[used] = '\0';
    if (!bracket)
        return true;
    const char *close = strchr(bracket, ']');
    if (!close || close[1 + strspn(close + 1, " \t")])
        return false;
    const char *start = bracket + 1 + strspn(bracket + 1, " \t");
    while (close > start && (close[-1] == ' ' || close[-1] == '\t'))
        close--;
    size_t unit = close > start ? (size_t)(close - start) : 0;
    if (unit >= sizeof column->unit)
        return false;
    memcpy(column->unit, start, unit);
    column->unit[unit] = '\0';
    return true;
}

static bool find_role(const char *name, snub_import_column *column)
{
    for (int i = 0; i < PLAIN_COUNT; i++) {
        if (strcmp(PLAIN[i].name, name) == 0) {
            column->role = PLAIN[i].role;
            column->role_name = PLAIN[i].name;
            return true;
        }
    }
    char field[96];
    size_t length = strlen(name), tail = strlen(TOLERANCE);
    bool tolerance = length > tail && length < sizeof field && strcmp(name + length - tail, TOLERANCE) == 0;
    snub_put_text(field, sizeof field, name);
    if (tolerance)
        field[length - tail] = '\0';
    snub_put_text(column->name, sizeof column->name, field);
    column->role = tolerance ? SNUB_COLUMN_TOLERANCE : SNUB_COLUMN_FIELD;
    bool any = false;
    for (int kind = 0; kind < SNUB_PART_KINDS; kind++) {
        int count, index = snub_part_field_index((snub_part_kind)kind, field);
        const char *now = index < 0 ? snub_part_renamed((snub_part_kind)kind, field, NULL) : NULL;
        column->renamed[kind] = now != NULL;
        if (now)
            index = snub_part_field_index((snub_part_kind)kind, now);
        const snub_part_field *fields = snub_part_fields((snub_part_kind)kind, &count);
        if (index >= 0 && tolerance && !fields[index].tolerance)
            index = -1;
        column->index[kind] = index;
        if (index >= 0)
            column->field = &fields[index];
        any = any || index >= 0;
    }
    return any;
}

static void unknown_column(snub_import *import, const snub_place *place, const char *name, const char *where)
{
    const char *names[PLAIN_COUNT + SNUB_PART_KINDS * SNUB_PART_FIELDS_MOST];
    int count = 0;
    for (int i = 0; i < PLAIN_COUNT; i++)
        names[count++] = PLAIN[i].name;
    for (int kind = 0; kind < SNUB_PART_KINDS; kind++) {
        int fields;
        const snub_part_field *list = snub_part_fields((snub_part_kind)kind, &fields);
        for (int i = 0; i < fields; i++)
            names[count++] = list[i].name;
    }
    snub_import_wrong_at(import, place, where, NULL, snub_nearest(name, names, count),
                         import->options.map ? "the catalogue has no such field" : "no such column");
}

static const snub_place *unit_at(const snub_import_column *column)
{
    return column->unit_at ? column->unit_at : &column->place;
}

/* What 1 and 0 of the unit are in SI, so that a million cells need no parsing of units. */
static bool understand_unit(snub_import *import, snub_import_column *column, const char *where)
{
    bool number = (column->role == SNUB_COLUMN_FIELD && column->field->type == SNUB_FIELD_NUMBER) ||
                  column->role == SNUB_COLUMN_TOLERANCE;
    column->scale = 1;
    column->offset = 0;
    if (!column->unit[0] || column->role == SNUB_COLUMN_PRICE)
        return true;
    if (!number) {
        snub_import_wrong_at(import, unit_at(column), where, column->unit, NULL, "this column takes no unit");
        return false;
    }
    snub_quantity quantity = column->field->quantity;
    column->bare = strcmp(column->unit, snub_quantity_unit(quantity)) == 0;
    char text[64];
    double one = 0, zero = 0;
    snub_error error = {0};
    strcat(strcpy(text, "1 "), column->unit);
    snub_status status = snub_units_parse(import->units, quantity, text, &one, &error);
    text[0] = '0';
    if (status == SNUB_OK)
        status = snub_units_parse(import->units, quantity, text, &zero, &error);
    if (status != SNUB_OK) {
        snub_import_wrong_at(import, unit_at(column), where, column->unit, error.need, error.message);
        return false;
    }
    column->scale = one - zero;
    column->offset = zero;
    return true;
}

static bool check_currency(snub_import *import, snub_import_column *column, const char *where)
{
    if (column->role != SNUB_COLUMN_PRICE || !column->unit[0] ||
        (strlen(column->unit) == 3 && strspn(column->unit, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == 3))
        return true;
    snub_import_wrong_at(import, unit_at(column), where, column->unit, "a three-letter code, such as EUR",
                         "is not a currency code");
    return false;
}

/* Two titles of one thing, of one kind at least: `max` and `max_speed` are one for a pulley. */
static bool same_column(const snub_import_column *a, const snub_import_column *b)
{
    bool same = a->role == b->role && !a->field && !b->field;
    for (int kind = 0; kind < SNUB_PART_KINDS && a->role == b->role && a->field && b->field; kind++)
        same = same || (a->index[kind] >= 0 && a->index[kind] == b->index[kind]);
    return same;
}

bool snub_import_repeats(const snub_import *import, int count, const snub_import_column *column)
{
    for (int i = 0; i < count; i++)
        if (same_column(&import->columns[i], column))
            return true;
    return false;
}

bool snub_import_understand(snub_import *import, snub_import_column *column, const char *name, const char *where)
{
    if (!find_role(name, column)) {
        column->role = SNUB_COLUMN_NONE;
        unknown_column(import, &column->place, name, where);
        return false;
    }
    return understand_unit(import, column, where) && check_currency(import, column, where);
}

static bool read_title(snub_import *import, const snub_csv_row *row, int at)
{
    char name[96];
    snub_import_column *column = &import->columns[at];
    const char *title = row->fields[at];
    *column = (snub_import_column){.role = SNUB_COLUMN_NONE, .place = {import->name, row->line, 0, 0, 0}};
    snub_put_text(column->title, sizeof column->title, title);
    if (title[strspn(title, " \t")] == '\0')
        return true;
    if (strlen(title) >= sizeof column->title || !split_title(title, name, sizeof name, column)) {
        snub_import_wrong(import, row->line, column->title, NULL, "name [unit]", "column title cannot be read");
        return false;
    }
    if (!snub_import_understand(import, column, name, column->title))
        return false;
    if (!snub_import_repeats(import, at, column))
        return true;
    snub_import_wrong(import, row->line, column->title, NULL, NULL, "this column is repeated");
    return false;
}

bool snub_import_has(const snub_import *import, snub_column_role role)
{
    for (int i = 0; i < import->column_count; i++)
        if (import->columns[i].role == role)
            return true;
    return false;
}

/* An update finds its parts by other numbers as well, and knows their kinds. */
static bool enough_to_update(snub_import *import, const snub_place *place)
{
    if (snub_import_has(import, SNUB_COLUMN_KEY) || snub_import_has(import, SNUB_COLUMN_OWN_NUMBER) ||
        (snub_import_has(import, SNUB_COLUMN_SUPPLIER) && snub_import_has(import, SNUB_COLUMN_SUPPLIER_NUMBER)))
        return true;
    snub_import_wrong_at(import, place, "key", NULL, "`key`, `own number`, or `supplier` and `supplier number`",
                         "no column says which part a row is about");
    return false;
}

bool snub_import_enough(snub_import *import, const snub_place *place)
{
    bool good = true;
    if (import->options.update)
        return enough_to_update(import, place);
    if (!snub_import_has(import, SNUB_COLUMN_KEY)) {
        snub_import_wrong_at(import, place, "key", NULL, NULL,
                             import->options.map ? "the map has no column for `key`" : "the file has no column `key`");
        good = false;
    }
    if (import->options.kind == SNUB_PART_ANY && !snub_import_has(import, SNUB_COLUMN_KIND)) {
        snub_import_wrong_at(import, place, "kind", NULL,
                             import->options.map ? "`kind` in the map, or --kind" : "a column `kind`, or --kind",
                             "the kind of part is not given");
        good = false;
    }
    return good;
}

bool snub_import_header(snub_import *import, const snub_csv_row *row)
{
    const snub_place place = {import->name, row->line, 0, 0, 0};
    bool good = true;
    import->cell_count = import->column_count = row->count;
    for (int i = 0; i < row->count; i++)
        good = read_title(import, row, i) && good;
    return snub_import_enough(import, &place) && good;
}

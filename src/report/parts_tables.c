/* Parts of the catalogue as tables. */

#include "snub/parts.h"
#include "table.h"

#include <math.h>
#include <string.h>

enum { PLAIN_COLUMNS = 13, DESCRIBED_FIELDS = 3 };

typedef struct maker {
    const snub_part_list *list;
    const snub_locale *locale;
    snub_arena *arena;
    snub_part_kind kind;
    bool given[SNUB_PART_FIELDS_MOST], tolerance[SNUB_PART_FIELDS_MOST];
    snub_column *columns;
    int column_count, rows;
    bool failed;
} maker;

static snub_cell text_or_none(const char *text)
{
    return snub_cell_text(text && text[0] ? text : NULL);
}

static snub_cell price_cell(const snub_part *part)
{
    return part->price_milli >= 0 ? snub_cell_number((double)part->price_milli / 1000, SNUB_MARK_NONE) : (snub_cell){0};
}

static snub_cell stock_cell(const snub_part *part)
{
    return part->stock >= 0 ? snub_cell_count((double)part->stock) : (snub_cell){0};
}

/* ---- one sheet for each kind ------------------------------------------------------------------------------------ */

static void look_at_parts(maker *m)
{
    for (int p = 0; p < m->list->count; p++) {
        const snub_part *part = &m->list->items[p];
        if (part->kind != m->kind)
            continue;
        m->rows++;
        for (int i = 0; i < SNUB_PART_FIELDS_MOST; i++) {
            m->given[i] = m->given[i] || part->values[i].given;
            m->tolerance[i] = m->tolerance[i] || (part->values[i].given && !isnan(part->values[i].plus));
        }
    }
}

static void add_column(maker *m, const char *title, const char *unit, snub_cell_type type, int decimals)
{
    m->failed = m->failed || !title;
    m->columns[m->column_count++] = (snub_column){title ? title : "", unit, type, decimals};
}

static void add_field_columns(maker *m, const snub_part_field *field, bool tolerance)
{
    bool number = field->type == SNUB_FIELD_NUMBER;
    snub_cell_type type = number                            ? SNUB_CELL_NUMBER
                          : field->type == SNUB_FIELD_COUNT ? SNUB_CELL_COUNT
                                                            : SNUB_CELL_TEXT;
    const char *unit = snub_quantity_unit(field->quantity);
    add_column(m, field->name, unit, type, -1);
    if (tolerance) {
        add_column(m, snub_format(m->arena, "%s, lower deviation", field->name), unit, SNUB_CELL_NUMBER, -1);
        add_column(m, snub_format(m->arena, "%s, upper deviation", field->name), unit, SNUB_CELL_NUMBER, -1);
    }
}

static bool make_columns(maker *m)
{
    int count;
    const snub_part_field *fields = snub_part_fields(m->kind, &count);
    m->columns = SNUB_NEW(m->arena, snub_column, PLAIN_COLUMNS + 3 * count);
    if (!m->columns)
        return false;
    add_column(m, "key", "", SNUB_CELL_TEXT, 0);
    add_column(m, "name", "", SNUB_CELL_TEXT, 0);
    for (int i = 0; i < count; i++)
        if (m->given[i])
            add_field_columns(m, &fields[i], m->tolerance[i]);
    add_column(m, "price", "", SNUB_CELL_NUMBER, 2);
    add_column(m, "currency", "", SNUB_CELL_TEXT, 0);
    add_column(m, "stock", "", SNUB_CELL_COUNT, 0);
    add_column(m, "own number", "", SNUB_CELL_TEXT, 0);
    add_column(m, "supplier", "", SNUB_CELL_TEXT, 0);
    add_column(m, "supplier number", "", SNUB_CELL_TEXT, 0);
    add_column(m, "minimum order", "", SNUB_CELL_COUNT, 0);
    add_column(m, "discontinued", "", SNUB_CELL_TEXT, 0);
    add_column(m, "replaced by", "", SNUB_CELL_TEXT, 0);
    add_column(m, "note", "", SNUB_CELL_TEXT, 0);
    add_column(m, "source", "", SNUB_CELL_TEXT, 0);
    return !m->failed;
}

static snub_cell value_cell(const snub_part_field *field, const snub_part_value *value)
{
    if (!value->given)
        return (snub_cell){0};
    if (field->type == SNUB_FIELD_NUMBER)
        return snub_cell_number(snub_quantity_to_bare(field->quantity, value->number), SNUB_MARK_NONE);
    return field->type == SNUB_FIELD_COUNT ? snub_cell_count(value->number) : snub_cell_text(value->text);
}

static snub_cell deviation_cell(const snub_part_field *field, double deviation)
{
    return snub_cell_number(isnan(deviation) ? NAN : snub_quantity_to_bare(field->quantity, deviation), SNUB_MARK_NONE);
}

static snub_cell *fill_row(const maker *m, const snub_part *part, snub_cell *cell)
{
    int count;
    const snub_part_field *fields = snub_part_fields(m->kind, &count);
    *cell++ = snub_cell_text(part->key);
    *cell++ = text_or_none(part->name);
    for (int i = 0; i < count; i++) {
        if (!m->given[i])
            continue;
        *cell++ = value_cell(&fields[i], &part->values[i]);
        if (m->tolerance[i]) {
            *cell++ = deviation_cell(&fields[i], part->values[i].minus);
            *cell++ = deviation_cell(&fields[i], part->values[i].plus);
        }
    }
    *cell++ = price_cell(part);
    *cell++ = text_or_none(part->currency);
    *cell++ = stock_cell(part);
    *cell++ = text_or_none(part->own_number);
    *cell++ = text_or_none(part->supplier);
    *cell++ = text_or_none(part->supplier_number);
    *cell++ = part->minimum_order >= 0 ? snub_cell_count((double)part->minimum_order) : (snub_cell){0};
    *cell++ = text_or_none(part->discontinued ? "yes" : "");
    *cell++ = text_or_none(part->replaced_by);
    *cell++ = text_or_none(part->note);
    *cell++ = snub_cell_text(part->source);
    return cell;
}

static bool kind_sheet(maker *m, snub_data_table *table)
{
    if (!make_columns(m))
        return false;
    snub_cell *cells = SNUB_NEW(m->arena, snub_cell, (size_t)m->rows * (size_t)m->column_count), *cell = cells;
    if (!cells)
        return false;
    for (int p = 0; p < m->list->count; p++)
        if (m->list->items[p].kind == m->kind)
            cell = fill_row(m, &m->list->items[p], cell);
    const char *name = snub_part_kind_name(m->kind);
    *table = (snub_data_table){.name = snub_format(m->arena, "%ss", name),
                               .title = snub_format(m->arena, "Parts: %ss", name),
                               .column_count = m->column_count,
                               .columns = m->columns,
                               .row_count = m->rows,
                               .cells = cells,
                               .keys = 1}; /* the part number */
    return table->name && table->title;
}

snub_status snub_parts_workbook(const snub_part_list *list, const snub_locale *locale, snub_arena *arena,
                                snub_data_table **tables, int *count, snub_error *error)
{
    snub_data_table *sheets = SNUB_NEW(arena, snub_data_table, SNUB_PART_KINDS), metric;
    bool good = sheets != NULL;
    int made = 0;
    for (int kind = 0; kind < SNUB_PART_KINDS && good; kind++) {
        maker m = {.list = list, .arena = arena, .kind = (snub_part_kind)kind};
        look_at_parts(&m);
        if (m.rows || (kind + 1 == SNUB_PART_KINDS && made == 0)) /* an empty list gives one empty sheet */
            good = kind_sheet(&m, &metric) &&
                   snub_table_in_units(&metric, locale, arena, &sheets[made++], error) == SNUB_OK;
    }
    if (!good)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    *tables = sheets;
    *count = made;
    return SNUB_OK;
}

/* ---- one table for people --------------------------------------------------------------------------------------- */

/* "PK, 7 ribs, 1925 mm": the first fields that are given, bare counts with their name. */
static const char *describe(maker *m, const snub_part *part)
{
    int count, said = 0;
    const snub_part_field *fields = snub_part_fields(part->kind, &count);
    snub_text text = {0};
    for (int i = 0; i < count && said < DESCRIBED_FIELDS; i++) {
        if (!part->values[i].given)
            continue;
        snub_text_puts(&text, said++ ? ", " : "");
        bool plain = fields[i].type == SNUB_FIELD_NUMBER && !snub_quantity_unit(fields[i].quantity)[0];
        if (plain)
            snub_text_printf(&text, "%s ", fields[i].name);
        snub_part_value_text(&fields[i], &part->values[i], m->locale, &text);
        if (fields[i].type == SNUB_FIELD_COUNT)
            snub_text_printf(&text, " %s", fields[i].name);
    }
    const char *copy = text.failed ? NULL : snub_copy_text(m->arena, text.data ? text.data : "");
    m->failed = m->failed || !copy;
    snub_text_free(&text);
    return copy;
}

static const char *price(maker *m, const snub_part *part)
{
    snub_text text = {0};
    snub_part_price_text(part, &text);
    const char *copy = text.failed ? NULL : snub_copy_text(m->arena, text.data ? text.data : "");
    m->failed = m->failed || !copy;
    snub_text_free(&text);
    return copy;
}

/* Columns of the table, in order; the last two but one are there where a part has something for them. */
enum { COMPACT_OWN = 6, COMPACT_SUPPLIER, COMPACT_SOURCE, COMPACT_COLUMNS };

static snub_cell compact_cell(maker *m, const snub_part *part, int column)
{
    switch (column) {
    case 0: return snub_cell_text(part->key);
    case 1: return snub_cell_text(snub_part_kind_name(part->kind));
    case 2: return snub_cell_text(describe(m, part));
    case 3: return text_or_none(part->name);
    case 4: return text_or_none(price(m, part));
    case 5: return stock_cell(part);
    case COMPACT_OWN: return text_or_none(part->own_number);
    case COMPACT_SUPPLIER: return text_or_none(part->supplier);
    default: return snub_cell_text(part->source);
    }
}

static bool compact_has(const snub_part_list *list, int column)
{
    bool any = column != COMPACT_OWN && column != COMPACT_SUPPLIER;
    for (int p = 0; p < list->count && !any; p++)
        any = (column == COMPACT_OWN ? list->items[p].own_number : list->items[p].supplier)[0] != '\0';
    return any;
}

snub_status snub_parts_table(const snub_part_list *list, const snub_locale *locale, snub_arena *arena,
                             snub_data_table *table, snub_error *error)
{
    static const snub_column all[COMPACT_COLUMNS] = {
        {"key", "", SNUB_CELL_TEXT, 0},        {"kind", "", SNUB_CELL_TEXT, 0},     {"sizes", "", SNUB_CELL_TEXT, 0},
        {"name", "", SNUB_CELL_TEXT, 0},       {"price", "", SNUB_CELL_TEXT, 0},    {"stock", "", SNUB_CELL_COUNT, 0},
        {"own number", "", SNUB_CELL_TEXT, 0}, {"supplier", "", SNUB_CELL_TEXT, 0}, {"source", "", SNUB_CELL_TEXT, 0}};
    maker m = {.list = list, .locale = locale, .arena = arena};
    snub_cell *cells = SNUB_NEW(arena, snub_cell, (size_t)list->count * COMPACT_COLUMNS + 1), *cell = cells;
    snub_column *columns = SNUB_NEW(arena, snub_column, COMPACT_COLUMNS);
    int shown[COMPACT_COLUMNS], count = 0;
    if (!cells || !columns)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (int i = 0; i < COMPACT_COLUMNS; i++) {
        if (!compact_has(list, i))
            continue;
        columns[count] = all[i];
        shown[count++] = i;
    }
    for (int p = 0; p < list->count; p++)
        for (int i = 0; i < count; i++)
            *cell++ = compact_cell(&m, &list->items[p], shown[i]);
    if (m.failed)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    *table = (snub_data_table){
        .name = "parts", .column_count = count, .columns = columns, .row_count = list->count, .cells = cells};
    return SNUB_OK;
}

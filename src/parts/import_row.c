/* One row of an import: cells into a part. */
#include "catalogue.h"
#include "import.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const long long PIECES_MOST = 1000000000000LL; /* no shop has more: a number in the wrong column */
static const char BLANKS[] = " \t\r\n";

enum { NUMBER_BYTES = 200 };

typedef struct row_reader {
    snub_import *import;
    int line, wrong;
    snub_import_column *column;
    snub_part *part;
} row_reader;

/* A value that every row has from the map is told once, where it stands. */
static void wrong(row_reader *r, const char *got, const char *need, const char *message)
{
    if (!r->column->constant)
        snub_import_wrong(r->import, r->line, r->column->title, got, need, message);
    else if (!r->column->constant_told)
        snub_import_wrong_at(r->import, &r->column->place, r->column->title, got, need, message);
    r->column->constant_told = r->column->constant != NULL;
    r->wrong++;
}

static bool is_blank(const char *text)
{
    return text[strspn(text, BLANKS)] == '\0';
}

/* The column's field in the kind of the row, which has it. */
static const snub_part_field *field_of_row(const row_reader *r)
{
    int count;
    return &snub_part_fields(r->part->kind, &count)[r->column->index[r->part->kind]];
}

static void need_unit(row_reader *r, const char *text)
{
    snub_text need = {0};
    const char *unit = snub_quantity_unit(r->column->field->quantity);
    if (r->column->mapped)
        snub_text_printf(&need, "`unit: %s` in the map, or \"%.30s %s\"", unit, text, unit);
    else if (r->column->constant)
        snub_text_printf(&need, "\"%.30s %s\"", text, unit);
    else
        snub_text_printf(&need, "`%s [%s]` as the column's title, or \"%.30s %s\"", field_of_row(r)->name, unit, text,
                         unit);
    wrong(r, text, need.data, "number without a unit");
    snub_text_free(&need);
}

/* A number in SI: with its own unit, or in the column's. */
static bool read_number(row_reader *r, const char *text, double *si)
{
    const snub_part_field *field = r->column->field;
    const char *end = NULL;
    double value = 0;
    bool plain = snub_parse_number(text, &end, &value) == SNUB_OK && is_blank(end);
    if (!plain) {
        snub_error error = {0};
        if (snub_units_parse(r->import->units, field->quantity, text, si, &error) == SNUB_OK)
            return true;
        wrong(r, error.got[0] ? error.got : text, error.need, error.message);
        return false;
    }
    bool unitless = snub_quantity_unit(field->quantity)[0] == '\0';
    if (!r->column->unit[0] && !unitless) {
        need_unit(r, text);
        return false;
    }
    *si = r->column->bare || unitless ? snub_quantity_from_bare(field->quantity, value)
                                      : value * r->column->scale + r->column->offset;
    return true;
}

static void read_count(row_reader *r, const char *text, long long most, long long *count)
{
    double value = 0;
    if (snub_parse_number(text, NULL, &value) != SNUB_OK || value != floor(value) || value < 0 || value > (double)most)
        wrong(r, text, "a whole number", "is not a whole number of 0 or more");
    else
        *count = (long long)value;
}

/* ---- tolerances -------------------------------------------------------------------------------------------------- */

/* `+0.1/-0.2 mm`: a unit at the end holds for both halves. The first half is completed with it where it has none. */
static bool split_tolerance(const char *text, char first[96], char second[96])
{
    const char *slash = strchr(text, '/');
    size_t length = slash ? (size_t)(slash - text) : 0, room = 96;
    const char *end = NULL;
    double ignored;
    if (!slash || length + strlen(slash + 1) + 2 > room)
        return false;
    memcpy(first, text, length);
    first[length] = '\0';
    strcpy(second, slash + 1 + strspn(slash + 1, BLANKS));
    if (snub_parse_number(first, NULL, &ignored) == SNUB_OK && snub_parse_number(second, &end, &ignored) == SNUB_OK &&
        !is_blank(end)) {
        strcat(first, " ");
        strcat(first, end + strspn(end, BLANKS));
    }
    return true;
}

static void read_tolerance(row_reader *r, const char *text, snub_part_value *value)
{
    double plus = 0, minus = 0;
    char first[96], second[96];
    if (strncmp(text, "+-", 2) == 0 || strncmp(text, "\xC2\xB1", 2) == 0)
        text += 2;
    bool pair = strlen(text) < sizeof first && split_tolerance(text, first, second);
    if (!(pair ? read_number(r, first, &plus) && read_number(r, second, &minus) : read_number(r, text, &plus)))
        return;
    if (!pair && plus < 0) {
        wrong(r, text, "0.3 for both limits, or +0.1/-0.2", "a tolerance for both limits is negative");
        return;
    }
    value->plus = pair ? fmax(plus, minus) : plus;
    value->minus = pair ? fmin(plus, minus) : -plus;
}

/* ---- cells ------------------------------------------------------------------------------------------------------- */

static void read_kind(row_reader *r, const char *text, snub_part_kind *kind)
{
    if (!snub_part_kind_named(text, kind))
        wrong(r, text, "belt, pulley, idler, tensioner, bearing, fastener, shim or blower", "no such kind of part");
    else if (r->import->options.kind != SNUB_PART_ANY && *kind != r->import->options.kind)
        wrong(r, text, snub_part_kind_name(r->import->options.kind), "is not the kind given by --kind");
}

/* The one sign that is of one currency only. */
static const char EURO[] = "\xE2\x82\xAC";

static void read_price(row_reader *r, const char *text)
{
    const char *end = NULL;
    double value = 0;
    char currency[4] = "";
    snub_put_text(currency, sizeof currency, r->column->unit);
    if (snub_parse_number(text, &end, &value) != SNUB_OK || value < 0 || value > 1e12) {
        wrong(r, text, "12.50, or 12.50 EUR", "is not a price");
        return;
    }
    end += strspn(end, BLANKS);
    if (strncmp(end, EURO, strlen(EURO)) == 0 && is_blank(end + strlen(EURO))) {
        strcpy(currency, "EUR");
    } else if (*end) {
        size_t length = strcspn(end, BLANKS);
        if (length != 3 || strspn(end, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") != 3 || !is_blank(end + length)) {
            wrong(r, text, "12.50, or 12.50 EUR", "is not a price");
            return;
        }
        memcpy(currency, end, 3);
        currency[3] = '\0';
    }
    double milli = round(value * 1000);
    if (fabs(milli - value * 1000) > 1e-4) {
        wrong(r, text, "at most three decimals", "price has too many decimals");
        return;
    }
    r->part->price_milli = (long long)milli;
    if (currency[0])
        snub_put_text(r->part->currency, sizeof r->part->currency, currency);
}

static void read_currency(row_reader *r, const char *text)
{
    if (strlen(text) != 3)
        wrong(r, text, "a three-letter code, such as EUR", "is not a currency code");
    else if (r->part->currency[0] && strcmp(r->part->currency, text) != 0)
        wrong(r, text, r->part->currency, "is not the currency of the price");
    else
        snub_put_text(r->part->currency, sizeof r->part->currency, text);
}

static void read_yes(row_reader *r, const char *text, bool *yes)
{
    if (strcmp(text, "yes") != 0 && strcmp(text, "no") != 0)
        wrong(r, text, "yes or no", "is neither yes nor no");
    else
        *yes = text[0] == 'y';
}

static void read_field(row_reader *r, const char *text)
{
    int at = r->column->index[r->part->kind];
    if (at < 0) {
        snub_text message = {0};
        snub_text_printf(&message, "a %s has no %s%s", snub_part_kind_name(r->part->kind), r->column->field->name,
                         r->column->role == SNUB_COLUMN_TOLERANCE ? " with a tolerance" : "");
        wrong(r, text, NULL, message.data ? message.data : "");
        snub_text_free(&message);
        return;
    }
    snub_part_value *value = &r->part->values[at];
    const snub_part_field *field = field_of_row(r);
    const snub_place row = {r->import->name, r->line, 0, 0, 0};
    long long count = 0;
    if (r->column->renamed[r->part->kind])
        snub_import_hint(r->import, &r->column->place, r->column->name, field->name);
    if (r->column->role == SNUB_COLUMN_TOLERANCE) {
        read_tolerance(r, text, value);
    } else if (r->column->field->type == SNUB_FIELD_NUMBER) {
        value->given = read_number(r, text, &value->number);
    } else if (r->column->field->type == SNUB_FIELD_COUNT) {
        int before = r->wrong;
        read_count(r, text, 1000000, &count);
        value->given = r->wrong == before;
        value->number = (double)count;
    } else {
        const char *word = snub_csv_unmarked(text), *now = snub_part_renamed(r->part->kind, field->name, word);
        if (now)
            snub_import_hint(r->import, r->column->constant ? &r->column->place : &row, word, now);
        value->given = true;
        value->text = now ? now : word;
    }
}

static void read_text_cell(row_reader *r, const char *text)
{
    switch (r->column->role) {
    case SNUB_COLUMN_LEFT_OUT: break;
    case SNUB_COLUMN_NONE: wrong(r, text, NULL, "value in a column without a title"); break;
    case SNUB_COLUMN_KEY: r->part->key = snub_csv_unmarked(text); break;
    case SNUB_COLUMN_NAME: r->part->name = snub_csv_unmarked(text); break;
    case SNUB_COLUMN_SOURCE: r->part->source = snub_csv_unmarked(text); break;
    case SNUB_COLUMN_NOTE: r->part->note = snub_csv_unmarked(text); break;
    case SNUB_COLUMN_PRICE: read_price(r, text); break;
    case SNUB_COLUMN_CURRENCY: read_currency(r, text); break;
    case SNUB_COLUMN_STOCK: read_count(r, text, PIECES_MOST, &r->part->stock); break;
    case SNUB_COLUMN_OWN_NUMBER: r->part->own_number = snub_csv_unmarked(text); break;
    case SNUB_COLUMN_SUPPLIER: r->part->supplier = snub_csv_unmarked(text); break;
    case SNUB_COLUMN_SUPPLIER_NUMBER: r->part->supplier_number = snub_csv_unmarked(text); break;
    case SNUB_COLUMN_MINIMUM_ORDER: read_count(r, text, PIECES_MOST, &r->part->minimum_order); break;
    case SNUB_COLUMN_DISCONTINUED: read_yes(r, text, &r->part->discontinued); break;
    case SNUB_COLUMN_REPLACED_BY: r->part->replaced_by = snub_csv_unmarked(text); break;
    case SNUB_COLUMN_FIELD:
    case SNUB_COLUMN_TOLERANCE: read_field(r, text); break;
    case SNUB_COLUMN_KIND: break;
    }
}

static bool is_number(const snub_import_column *column)
{
    switch (column->role) {
    case SNUB_COLUMN_PRICE:
    case SNUB_COLUMN_STOCK:
    case SNUB_COLUMN_MINIMUM_ORDER:
    case SNUB_COLUMN_TOLERANCE: return true;
    case SNUB_COLUMN_FIELD: return column->field->type == SNUB_FIELD_NUMBER || column->field->type == SNUB_FIELD_COUNT;
    default: return false;
    }
}

static void tell_fault(row_reader *r, snub_number_fault fault, const char *text)
{
    const bool map = r->import->options.map != NULL;
    switch (fault) {
    case SNUB_NUMBER_UNSAID:
        wrong(r, text,
              map ? "`decimal: comma` in the map, or `decimal: point` and `thousands: comma`"
                  : "--decimal comma, or --decimal point --thousands comma, or a decimal point in the file",
              "a comma in a number may be its decimal mark or part its thousands");
        break;
    case SNUB_NUMBER_OTHER_MARK:
        wrong(r, text, map ? "`thousands` in the map, if that is what it is" : "--thousands, if that is what it is",
              "a mark in a number that is not its decimal mark");
        break;
    case SNUB_NUMBER_GROUPS:
        wrong(r, text, "three figures behind each mark", "thousands are not parted in threes");
        break;
    default: wrong(r, NULL, NULL, "is too long for a number"); break;
    }
}

/* The map's own values are written as in a drive file. */
static void read_cell(row_reader *r, const char *text)
{
    static const snub_import_dialect plain = {0};
    char number[NUMBER_BYTES];
    if (!is_number(r->column)) {
        read_text_cell(r, text);
        return;
    }
    const snub_import_dialect *dialect = r->column->constant ? &plain : &r->import->dialect;
    const snub_number_fault fault = snub_import_plain_number(dialect, text, number, sizeof number);
    if (fault == SNUB_NUMBER_FINE)
        read_text_cell(r, number);
    else
        tell_fault(r, fault, text);
}

static void check_width(row_reader *r, const snub_csv_row *row)
{
    snub_import_column whole_row = {.title = ""};
    int count = row->count;
    while (count > r->import->cell_count && row->fields[count - 1][0] == '\0')
        count--;
    if (count == r->import->cell_count)
        return;
    char got[32], need[32];
    snub_text text = {0};
    snub_text_printf(&text, "%d fields", count);
    snub_put_text(got, sizeof got, text.data ? text.data : "");
    text.length = 0;
    snub_text_printf(&text, "%d", r->import->cell_count);
    snub_put_text(need, sizeof need, text.data ? text.data : "");
    snub_text_free(&text);
    r->column = &whole_row;
    wrong(r, got, need, "row has more or fewer fields than the header");
}

/* A tolerance without its size says nothing. */
static void check_tolerances(row_reader *r)
{
    for (int i = 0; i < r->import->column_count; i++) {
        r->column = &r->import->columns[i];
        if (r->column->role != SNUB_COLUMN_TOLERANCE || r->column->index[r->part->kind] < 0)
            continue;
        const snub_part_value *value = &r->part->values[r->column->index[r->part->kind]];
        if (!value->given && !isnan(value->plus))
            wrong(r, NULL, NULL, "tolerance of a size that is not given");
    }
}

static snub_part_kind kind_of_row(row_reader *r, const snub_csv_row *row)
{
    snub_part_kind kind = r->import->options.kind;
    for (int i = 0; i < r->import->column_count; i++) {
        r->column = &r->import->columns[i];
        const char *text = snub_import_cell(r->import, row, i);
        if (r->column->role == SNUB_COLUMN_KIND && !is_blank(text))
            read_kind(r, snub_import_map_value(r->column, text), &kind);
    }
    return kind;
}

/* Of these a blank is a text, too. */
static bool is_text(snub_column_role role)
{
    return role == SNUB_COLUMN_KEY || role == SNUB_COLUMN_NAME || role == SNUB_COLUMN_NOTE ||
           role == SNUB_COLUMN_OWN_NUMBER || role == SNUB_COLUMN_SUPPLIER || role == SNUB_COLUMN_SUPPLIER_NUMBER ||
           role == SNUB_COLUMN_REPLACED_BY;
}

const char *snub_import_cell(const snub_import *import, const snub_csv_row *row, int column)
{
    const char *constant = import->columns[column].constant;
    return constant ? constant : column < row->count ? row->fields[column] : "";
}

/* A mistake of the part as such: under the title that its field has in this file. */
static void tell_part(row_reader *r, const snub_error *error)
{
    for (int i = 0; r->import->options.map && i < r->import->column_count; i++) {
        snub_import_column *c = &r->import->columns[i];
        const char *name = c->role == SNUB_COLUMN_FIELD ? c->name : c->role_name;
        if (name && strcmp(name, error->key) == 0) {
            r->column = c;
            wrong(r, error->got[0] ? error->got : NULL, error->need[0] ? error->need : NULL, error->message);
            return;
        }
    }
    snub_import_wrong(r->import, r->line, error->key, error->got, error->need, error->message);
    r->wrong++;
}

static void read_cells(row_reader *r, const snub_csv_row *row, bool old)
{
    for (int i = 0; i < r->import->column_count; i++) {
        r->column = &r->import->columns[i];
        if (old && r->column->constant) /* the file does not say it */
            continue;
        const char *text = snub_import_map_value(r->column, snub_import_cell(r->import, row, i));
        if (is_text(r->column->role) ? text[0] != '\0' : !is_blank(text))
            read_cell(r, text);
    }
}

int snub_import_part(snub_import *import, const snub_csv_row *row, bool old, snub_part *part)
{
    row_reader r = {.import = import, .line = row->line, .part = part};
    char currency[sizeof part->currency];
    check_width(&r, row);
    if (r.wrong)
        return r.wrong;
    snub_part_kind kind = kind_of_row(&r, row);
    if (r.wrong)
        return r.wrong;
    if (old && kind != SNUB_PART_ANY && kind != part->kind) {
        snub_import_wrong(import, row->line, "kind", snub_part_kind_name(kind), snub_part_kind_name(part->kind),
                          "is not the part's kind");
        return 1;
    }
    if (!old && kind == SNUB_PART_ANY) {
        snub_import_wrong(import, row->line, "kind", NULL, NULL, "is missing");
        return 1;
    }
    if (!old) {
        snub_part_init(part, kind);
        part->source = import->options.source ? import->options.source : "";
    }
    /* the row's own currency, if it gives one, is compared with its own price */
    strcpy(currency, part->currency);
    part->currency[0] = '\0';
    read_cells(&r, row, old);
    if (!part->currency[0] && part->price_milli >= 0)
        strcpy(part->currency, currency);
    check_tolerances(&r);
    snub_error error = {0};
    if (r.wrong == 0 && snub_part_check(part, &error) != SNUB_OK)
        tell_part(&r, &error);
    return r.wrong;
}

/* A bill of materials in columns. */
#include "bill_table.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "contents_words.h"
#include "words.h"

const snub_bill_field snub_bill_fields[SNUB_BILL_FIELDS] = {
    [SNUB_BILL_SUPPLY] = {"supply", SNUB_MESSAGE("comes as"), 9, false, false},
    [SNUB_BILL_PART] = {"part", SNUB_MESSAGE("part"), 20, false, false},
    [SNUB_BILL_NUMBER] = {"number", SNUB_MESSAGE("number"), 14, false, false},
    [SNUB_BILL_SIZE] = {"size", SNUB_MESSAGE("size"), 30, false, false},
    [SNUB_BILL_CLASS] = {"class", SNUB_MESSAGE("class, metal"), 10, false, false},
    [SNUB_BILL_FINISH] = {"finish", SNUB_MESSAGE("finish"), 8, false, false},
    [SNUB_BILL_SUPPLIER] = {"supplier", SNUB_MESSAGE("supplier"), 12, false, true},
    [SNUB_BILL_SUPPLIER_NUMBER] = {"supplier_number", SNUB_MESSAGE("supplier's number"), 10, false, true},
    [SNUB_BILL_SUPPLIER_PART] = {"catalogue", SNUB_MESSAGE("catalogue key"), 12, false, true},
    [SNUB_BILL_COST] = {"unit_cost", SNUB_MESSAGE("unit cost"), 8, true, true},
    [SNUB_BILL_CURRENCY] = {"currency", SNUB_MESSAGE("currency"), 6, true, true},
    [SNUB_BILL_MINIMUM] = {"minimum_order", SNUB_MESSAGE("minimum order"), 6, true, true},
    [SNUB_BILL_STOCK] = {"stock", SNUB_MESSAGE("in stock"), 6, true, true},
    [SNUB_BILL_NOTE] = {"note", SNUB_MESSAGE("note"), 12, true, false}};

snub_status snub_bill_price(const snub_bill *bill, snub_catalogue *catalogue, const snub_locale *locale,
                            snub_arena *arena, snub_priced_bill *out, snub_error *error)
{
    *out = (snub_priced_bill){.bill = bill, .locale = locale, .arena = arena};
    out->parts = SNUB_NEW(arena, snub_part, bill->row_count + 1);
    if (out->parts == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (int i = 0; i < bill->row_count; i++) {
        const char *key = bill->parts[i].item.part;
        snub_part *part = &out->parts[i];
        snub_part_init(part, SNUB_PART_BELT);
        if (key == NULL || catalogue == NULL)
            continue;
        const snub_status status = snub_catalogue_get(catalogue, key, arena, part, error);
        if (status != SNUB_OK)
            return status;
        out->any_supplier = true;
        out->any_supplier_number = out->any_supplier_number || part->supplier_number[0] != '\0';
        out->any_price = out->any_price || part->price_milli >= 0;
        out->any_minimum = out->any_minimum || part->minimum_order >= 0;
        out->any_stock = out->any_stock || part->stock >= 0;
    }
    return SNUB_OK;
}

bool snub_bill_has(const snub_priced_bill *bill, int field)
{
    if (!snub_bill_fields[field].priced)
        return true;
    switch (field) {
    case SNUB_BILL_COST:
    case SNUB_BILL_CURRENCY: return bill->any_price;
    case SNUB_BILL_SUPPLIER_NUMBER: return bill->any_supplier_number;
    case SNUB_BILL_MINIMUM: return bill->any_minimum;
    case SNUB_BILL_STOCK: return bill->any_stock;
    default: return bill->any_supplier;
    }
}

long long snub_bill_pieces(const snub_priced_bill *bill, int row, int field)
{
    const snub_part *part = &bill->parts[row];
    return field == SNUB_BILL_STOCK ? part->stock : part->minimum_order;
}

double snub_bill_cost(const snub_priced_bill *bill, int row)
{
    const long long milli = bill->parts[row].price_milli;
    return milli < 0 ? (double)NAN : (double)milli / 1000.0;
}

static const char *keep(snub_priced_bill *bill, snub_text *text)
{
    const char *kept = snub_words_copy(text, bill->arena);
    bill->failed = bill->failed || kept == NULL;
    return kept != NULL ? kept : "";
}

/* Cents, and thousandths where there are any. */
static int money_decimals(long long milli)
{
    return milli % 10 != 0 ? 3 : 2;
}

static const char *money(const snub_locale *locale, long long milli, char text[32])
{
    return snub_number_text(locale, (double)milli / 1000.0, money_decimals(milli), text);
}

/* The same part may have another note, or a place of its own, in another build: of those only its own note counts. */
static const char *note_of(const snub_item *item)
{
    return item->note != NULL ? item->note : item->rework.given ? item->rework.task : "";
}

const char *snub_bill_text(snub_priced_bill *bill, int row, int field)
{
    const snub_item *item = &bill->bill->parts[row].item;
    const snub_part *part = &bill->parts[row];
    snub_text text = {0};
    switch (field) {
    case SNUB_BILL_SUPPLY: return snub_supply_text(item->how);
    case SNUB_BILL_PART: snub_item_words(item, bill->locale, &text); break;
    case SNUB_BILL_NUMBER:
        return item->part != NULL && part->own_number != NULL && part->own_number[0] != '\0' ? part->own_number
               : item->number != NULL                                                        ? item->number
                                                                                             : "";
    case SNUB_BILL_SIZE: snub_item_size_words(item, bill->locale, &text); break;
    case SNUB_BILL_CLASS: return snub_say(bill->locale, snub_item_class(item));
    case SNUB_BILL_FINISH: return snub_say(bill->locale, item->finish);
    case SNUB_BILL_SUPPLIER: return part->supplier != NULL ? part->supplier : "";
    case SNUB_BILL_SUPPLIER_NUMBER: return part->supplier_number != NULL ? part->supplier_number : "";
    case SNUB_BILL_SUPPLIER_PART: return item->part != NULL ? item->part : "";
    case SNUB_BILL_COST:
        if (part->price_milli < 0)
            return "";
        snub_text_puts(&text, money(bill->locale, part->price_milli, (char[32]){0}));
        break;
    case SNUB_BILL_CURRENCY: return part->currency;
    case SNUB_BILL_MINIMUM:
    case SNUB_BILL_STOCK:
        if (snub_bill_pieces(bill, row, field) < 0)
            return "";
        snub_text_printf(&text, "%lld", snub_bill_pieces(bill, row, field));
        break;
    default: return note_of(item);
    }
    return keep(bill, &text);
}

const char *snub_bill_column_name(snub_priced_bill *bill, int column)
{
    const snub_row *row = bill->bill->columns[column].row;
    const bool front = row->variant != NULL && row->variant[0] != '\0';
    const bool package = row->package != NULL && row->package[0] != '\0';
    snub_text text = {0};
    snub_text_printf(&text, "%d: ", column + 1);
    if (package)
        snub_text_puts(&text, row->package);
    if (front)
        snub_text_printf(&text, "%s%s", package ? ", " : "", row->variant);
    if (!front && !package)
        snub_text_puts(&text, snub_say(bill->locale, SNUB_MESSAGE("as in the file")));
    return keep(bill, &text);
}

/* ---- under the table --------------------------------------------------------------------------------------------- */

static const char *build_line(snub_priced_bill *bill, int column)
{
    const snub_bill_column *c = &bill->bill->columns[column];
    char number[16];
    snub_text row = {0}, text = {0};
    snprintf(number, sizeof number, "%d", c->number);
    snub_row_words(c->row, false, bill->locale, &row);
    const snub_named named[] = {snub_named_text("column", snub_bill_column_name(bill, column)),
                                snub_named_text("number", number),
                                snub_named_words("belt", c->settled ? c->designation : SNUB_MESSAGE("no belt")),
                                snub_named_text("row", row.data != NULL ? row.data : ""),
                                snub_named_words("verdict", c->verdict == SNUB_FAIL ? SNUB_MESSAGE("DO NOT FIT")
                                                                                    : snub_level_text(c->verdict))};
    snub_words_fill(row.length > 0
                        ? SNUB_MESSAGE("{column}: build {number} of the chart; {belt}; {row}; verdict: {verdict}")
                        : SNUB_MESSAGE("{column}: build {number} of the chart; {belt}; verdict: {verdict}"),
                    named, 5, bill->locale, &text);
    text.failed = text.failed || row.failed;
    snub_text_free(&row);
    return keep(bill, &text);
}

/* "1: street: 118.40 EUR for 9 of 14 new parts". */
static const char *cost_line(snub_priced_bill *bill, int column, const char *currency)
{
    long long sum = 0, priced = 0, all = 0;
    char counts[2][24];
    for (int i = 0; i < bill->bill->row_count; i++) {
        const snub_bill_row *row = &bill->bill->parts[i];
        if (row->item.how != SNUB_SUPPLY_NEW)
            continue;
        all += row->count[column];
        if (bill->parts[i].price_milli < 0 || strcmp(bill->parts[i].currency, currency) != 0)
            continue;
        sum += bill->parts[i].price_milli * row->count[column];
        priced += row->count[column];
    }
    snub_text text = {0};
    snprintf(counts[0], sizeof counts[0], "%lld", priced);
    snprintf(counts[1], sizeof counts[1], "%lld", all);
    const snub_named named[] = {snub_named_text("column", snub_bill_column_name(bill, column)),
                                snub_named_text("sum", money(bill->locale, sum, (char[32]){0})),
                                snub_named_text("currency", currency), snub_named_text("priced", counts[0]),
                                snub_named_text("all", counts[1])};
    snub_words_fill(SNUB_MESSAGE("{column}: {sum} {currency} for {priced} of {all} new pieces"), named, 5, bill->locale,
                    &text);
    return keep(bill, &text);
}

/* The n-th different currency, in the order of the rows; NULL past the last. */
static const char *currency_at(const snub_priced_bill *bill, int n)
{
    for (int i = 0; i < bill->bill->row_count; i++) {
        bool before = bill->parts[i].price_milli < 0;
        for (int k = 0; k < i && !before; k++)
            before = bill->parts[k].price_milli >= 0 && strcmp(bill->parts[k].currency, bill->parts[i].currency) == 0;
        if (!before && n-- == 0)
            return bill->parts[i].currency;
    }
    return NULL;
}

/* ---- what to look for before a kit is packed --------------------------------------------------------------------- */

/* The column that takes most of a new part. @return its pieces; 0: it is not bought new */
static int most_needed(const snub_priced_bill *bill, int row, int *column)
{
    const snub_bill_row *part = &bill->bill->parts[row];
    int most = 0;
    for (int c = 0; c < bill->bill->column_count && part->item.how == SNUB_SUPPLY_NEW; c++) {
        if (part->count[c] > most) {
            most = part->count[c];
            *column = c;
        }
    }
    return most;
}

/* @param[in] words  with {part}, {number}, {pieces}, {need} and, of the stock, {column} */
static const char *pieces_line(snub_priced_bill *bill, int row, int field, int need, int column, const char *words)
{
    char counts[2][24];
    snub_text part = {0}, text = {0};
    snub_item_words(&bill->bill->parts[row].item, bill->locale, &part);
    snprintf(counts[0], sizeof counts[0], "%lld", snub_bill_pieces(bill, row, field));
    snprintf(counts[1], sizeof counts[1], "%d", need);
    const snub_named named[] = {snub_named_text("part", part.data != NULL ? part.data : ""),
                                snub_named_text("number", snub_bill_text(bill, row, SNUB_BILL_NUMBER)),
                                snub_named_text("pieces", counts[0]), snub_named_text("need", counts[1]),
                                snub_named_text("column", snub_bill_column_name(bill, column))};
    snub_words_fill(words, named, 5, bill->locale, &text);
    text.failed = text.failed || part.failed;
    snub_text_free(&part);
    return keep(bill, &text);
}

/* @return lines put into the list: two for a part at most */
static int put_pieces(snub_priced_bill *bill, int row, const char **list)
{
    const long long stock = snub_bill_pieces(bill, row, SNUB_BILL_STOCK);
    const long long least = snub_bill_pieces(bill, row, SNUB_BILL_MINIMUM);
    int column = 0, n = 0;
    const int need = most_needed(bill, row, &column);
    if (need > 0 && stock >= 0 && stock < need)
        list[n++] =
            pieces_line(bill, row, SNUB_BILL_STOCK, need, column,
                        SNUB_MESSAGE("{part} ({number}): {pieces} in stock; a kit takes {need} (column {column})"));
    if (need > 0 && least > need)
        list[n++] = pieces_line(bill, row, SNUB_BILL_MINIMUM, need, column,
                                SNUB_MESSAGE("{part} ({number}): sold from {pieces} pieces up; a kit takes {need}"));
    return n;
}

void snub_bill_notes(snub_priced_bill *bill, const char *const **lines, int *count)
{
    int currencies = 0, n = 0;
    while (currency_at(bill, currencies) != NULL)
        currencies++;
    const char **list = SNUB_NEW(bill->arena, const char *,
                                 (1 + currencies) * bill->bill->column_count + 2 * bill->bill->row_count + 1);
    *count = 0;
    *lines = list;
    if (list == NULL) {
        bill->failed = true;
        return;
    }
    for (int c = 0; c < bill->bill->column_count; c++)
        list[n++] = build_line(bill, c);
    for (int k = 0; k < currencies; k++) {
        for (int c = 0; c < bill->bill->column_count; c++)
            list[n++] = cost_line(bill, c, currency_at(bill, k));
    }
    for (int row = 0; row < bill->bill->row_count; row++)
        n += put_pieces(bill, row, list + n);
    *count = n;
}

/* ---- the table --------------------------------------------------------------------------------------------------- */

/* Of all prices, as one column has them. */
static int decimals_of(const snub_priced_bill *bill)
{
    int decimals = 2;
    for (int i = 0; i < bill->bill->row_count; i++)
        decimals =
            bill->parts[i].price_milli >= 0 && money_decimals(bill->parts[i].price_milli) > decimals ? 3 : decimals;
    return decimals;
}

static void put_fields(snub_priced_bill *bill, bool after, int row, snub_column *columns, snub_cell *cells, int *n)
{
    for (int f = 0; f < SNUB_BILL_FIELDS; f++) {
        if (snub_bill_fields[f].after != after || !snub_bill_has(bill, f))
            continue;
        const bool cost = f == SNUB_BILL_COST, pieces = f == SNUB_BILL_MINIMUM || f == SNUB_BILL_STOCK;
        if (columns != NULL)
            columns[*n] = (snub_column){snub_say(bill->locale, snub_bill_fields[f].title), "",
                                        cost     ? SNUB_CELL_NUMBER
                                        : pieces ? SNUB_CELL_COUNT
                                                 : SNUB_CELL_TEXT,
                                        cost ? decimals_of(bill) : 0};
        else if (cost)
            cells[*n] = snub_cell_number(snub_bill_cost(bill, row), SNUB_MARK_NONE);
        else if (pieces)
            cells[*n] = snub_bill_pieces(bill, row, f) < 0 ? (snub_cell){0}
                                                           : snub_cell_count((double)snub_bill_pieces(bill, row, f));
        else {
            const char *text = snub_bill_text(bill, row, f);
            cells[*n] = text[0] != '\0' ? snub_cell_text(text) : (snub_cell){0};
        }
        ++*n;
    }
}

static void put_row(snub_priced_bill *bill, int row, snub_column *columns, snub_cell *cells, int *n)
{
    put_fields(bill, false, row, columns, cells, n);
    for (int c = 0; c < bill->bill->column_count; c++) {
        if (columns != NULL)
            columns[*n] = (snub_column){snub_bill_column_name(bill, c), "", SNUB_CELL_COUNT, 0};
        else
            cells[*n] =
                bill->bill->parts[row].count[c] > 0 ? snub_cell_count(bill->bill->parts[row].count[c]) : (snub_cell){0};
        ++*n;
    }
    put_fields(bill, true, row, columns, cells, n);
}

snub_status snub_bill_table(const snub_bill *bill, snub_catalogue *catalogue, const snub_locale *locale,
                            snub_arena *arena, snub_data_table *table, snub_error *error)
{
    snub_priced_bill priced;
    snub_status status = snub_bill_price(bill, catalogue, locale, arena, &priced, error);
    if (status != SNUB_OK)
        return status;
    const int most = SNUB_BILL_FIELDS + bill->column_count;
    snub_column *columns = SNUB_NEW(arena, snub_column, most);
    snub_cell *cells = SNUB_NEW(arena, snub_cell, most * (bill->row_count + 1));
    int width = 0, n = 0;
    if (columns == NULL || cells == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    put_row(&priced, 0, columns, NULL, &width);
    for (int row = 0; row < bill->row_count; row++)
        put_row(&priced, row, NULL, cells, &n);
    *table = (snub_data_table){.name = "bill of materials",
                               .title = bill->rows.title,
                               .column_count = width,
                               .columns = columns,
                               .row_count = bill->row_count,
                               .cells = cells,
                               .keys = 2, /* how it comes, and what it is */
                               .letter = locale != NULL && locale->inches};
    snub_bill_notes(&priced, &table->notes, &table->note_count);
    return priced.failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory") : SNUB_OK;
}

/* Cells of a table, and the check that every form makes before it writes. */
#include "table.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char *snub_mark_text(snub_mark mark)
{
    switch (mark) {
    case SNUB_MARK_PASS: return "pass";
    case SNUB_MARK_NOTE: return "note";
    case SNUB_MARK_MARGINAL: return "marginal";
    case SNUB_MARK_FAIL: return "fail";
    case SNUB_MARK_NONE: break;
    }
    return "";
}

snub_mark snub_mark_of(snub_level level)
{
    static const snub_mark marks[] = {SNUB_MARK_PASS, SNUB_MARK_NOTE, SNUB_MARK_MARGINAL, SNUB_MARK_FAIL};
    return marks[level];
}

snub_cell snub_cell_number(double number, snub_mark mark)
{
    return (snub_cell){isfinite(number) ? SNUB_CELL_NUMBER : SNUB_CELL_EMPTY, mark, number, NULL};
}

snub_cell snub_cell_plain(double number)
{
    return snub_cell_number(number, SNUB_MARK_NONE);
}

snub_cell snub_cell_count(double number)
{
    return (snub_cell){isfinite(number) ? SNUB_CELL_COUNT : SNUB_CELL_EMPTY, SNUB_MARK_NONE, number, NULL};
}

snub_cell snub_cell_text(const char *text)
{
    return (snub_cell){text ? SNUB_CELL_TEXT : SNUB_CELL_EMPTY, SNUB_MARK_NONE, 0, text};
}

snub_cell snub_cell_truth(bool yes)
{
    return (snub_cell){SNUB_CELL_TRUTH, SNUB_MARK_NONE, yes ? 1 : 0, NULL};
}

snub_cell snub_cell_level(snub_mark mark)
{
    return (snub_cell){mark == SNUB_MARK_NONE ? SNUB_CELL_EMPTY : SNUB_CELL_LEVEL, mark, 0, NULL};
}

bool snub_cell_is_empty(const snub_cell *cell)
{
    switch (cell->type) {
    case SNUB_CELL_NUMBER:
    case SNUB_CELL_COUNT:
    case SNUB_CELL_TRUTH: return !isfinite(cell->number);
    case SNUB_CELL_TEXT: return !cell->text;
    case SNUB_CELL_LEVEL: return cell->mark == SNUB_MARK_NONE;
    case SNUB_CELL_EMPTY: break;
    }
    return true;
}

static snub_status check_row(const snub_data_table *table, int row, const snub_cell *cells, snub_error *error)
{
    for (int column = 0; column < table->column_count; column++) {
        if (cells[column].type != SNUB_CELL_EMPTY && cells[column].type != table->columns[column].type)
            return snub_fail(error, SNUB_BAD_INPUT, NULL, table->name,
                             "row %d, column \"%.60s\": the cell is not of the column's type", row + 1,
                             table->columns[column].title);
    }
    return SNUB_OK;
}

snub_status snub_table_check(const snub_data_table *table, snub_error *error)
{
    if (table->column_count < 1 || table->row_count < 0 || !table->columns ||
        (table->row_count && !table->cells && !table->row))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, table->name, "table has no columns or no cells");
    snub_status status = SNUB_OK;
    for (int row = 0; table->cells && row < table->row_count && status == SNUB_OK; row++)
        status = check_row(table, row, &table->cells[(size_t)row * (size_t)table->column_count], error);
    return status;
}

snub_cell *snub_table_row_room(const snub_data_table *table)
{
    return calloc((size_t)table->column_count, sizeof(snub_cell));
}

snub_status snub_table_row_at(const snub_data_table *table, int row, snub_cell *room, const snub_cell **cells,
                              snub_error *error)
{
    *cells = room;
    if (table->cells) {
        *cells = &table->cells[(size_t)row * (size_t)table->column_count];
        return SNUB_OK;
    }
    if (!table->row(table->context, row, room))
        return snub_fail(error, SNUB_NO_MEMORY, NULL, table->name, "out of memory");
    return check_row(table, row, room, error);
}

void snub_number_exact(double number, snub_text *out)
{
    for (int digits = 15; digits <= 17; digits++) {
        snub_text trial = {0};
        double back = 0;
        snub_text_printf(&trial, "%.*g", digits, number);
        if (trial.failed) {
            out->failed = true;
            snub_text_free(&trial);
            return;
        }
        if (digits == 17 || (snub_parse_number(trial.data, NULL, &back) == SNUB_OK && back == number)) {
            snub_text_add(out, trial.data, trial.length);
            digits = 17;
        }
        snub_text_free(&trial);
    }
}

/* A column of numbers whose unit has an inch form. @return false: it stays */
static bool column_shown(const snub_column *column, const snub_locale *locale, snub_column *out)
{
    const snub_shown shown = snub_number_shown(locale, 0, column->unit, column->decimals);
    *out = *column;
    if (column->type != SNUB_CELL_NUMBER || column->unit == NULL || strcmp(shown.unit, column->unit) == 0)
        return false;
    out->unit = shown.unit;
    out->decimals = shown.decimals;
    return true;
}

/* A table whose rows come one by one, and what they are shown in. */
typedef struct shown_rows {
    snub_data_table table; /* as it is */
    const snub_locale *locale;
} shown_rows;

static void show_row(const snub_data_table *table, const snub_locale *locale, snub_cell *cells)
{
    snub_column shown;
    for (int c = 0; c < table->column_count; c++) {
        if (column_shown(&table->columns[c], locale, &shown))
            cells[c].number = snub_number_shown(locale, cells[c].number, table->columns[c].unit, 0).value;
    }
}

static bool give_shown(void *context, int row, snub_cell *cells)
{
    const shown_rows *rows = context;
    if (!rows->table.row(rows->table.context, row, cells))
        return false;
    show_row(&rows->table, rows->locale, cells);
    return true;
}

static bool rows_in_units(const snub_data_table *table, const snub_locale *locale, snub_arena *arena,
                          snub_data_table *out)
{
    const size_t n = (size_t)table->column_count, all = n * (size_t)table->row_count;
    if (table->cells == NULL) {
        shown_rows *rows = SNUB_NEW(arena, shown_rows, 1);
        if (rows == NULL)
            return false;
        *rows = (shown_rows){*table, locale};
        out->row = give_shown;
        out->context = rows;
        return true;
    }
    snub_cell *cells = SNUB_NEW(arena, snub_cell, all);
    if (cells == NULL)
        return false;
    memcpy(cells, table->cells, all * sizeof *cells);
    for (size_t i = 0; i < all; i += n)
        show_row(table, locale, &cells[i]);
    out->cells = cells;
    return true;
}

snub_status snub_table_in_units(const snub_data_table *table, const snub_locale *locale, snub_arena *arena,
                                snub_data_table *out, snub_error *error)
{
    *out = *table;
    if (locale == NULL || !locale->inches)
        return SNUB_OK;
    snub_column *columns = SNUB_NEW(arena, snub_column, table->column_count);
    if (columns == NULL || !rows_in_units(table, locale, arena, out))
        return snub_fail(error, SNUB_NO_MEMORY, NULL, table->name, "out of memory");
    for (int c = 0; c < table->column_count; c++)
        (void)column_shown(&table->columns[c], locale, &columns[c]);
    out->columns = columns;
    out->letter = true;
    return SNUB_OK;
}

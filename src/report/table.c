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

snub_cell snub_cell_number(double number, snub_mark mark)
{
    return (snub_cell){isfinite(number) ? SNUB_CELL_NUMBER : SNUB_CELL_EMPTY, mark, number, NULL};
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

snub_status snub_table_check(const snub_data_table *table, snub_error *error)
{
    if (table->column_count < 1 || table->row_count < 0 || !table->columns || (table->row_count && !table->cells))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, table->name, "table has no columns or no cells");
    for (int row = 0; row < table->row_count; row++) {
        for (int column = 0; column < table->column_count; column++) {
            const snub_cell *cell = &table->cells[(size_t)row * (size_t)table->column_count + (size_t)column];
            if (cell->type != SNUB_CELL_EMPTY && cell->type != table->columns[column].type)
                return snub_fail(error, SNUB_BAD_INPUT, NULL, table->name,
                                 "row %d, column \"%.60s\": the cell is not of the column's type", row + 1,
                                 table->columns[column].title);
        }
    }
    return SNUB_OK;
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

snub_status snub_table_in_units(const snub_data_table *table, const snub_locale *locale, snub_arena *arena,
                                snub_data_table *out, snub_error *error)
{
    const size_t n = (size_t)table->column_count, all = n * (size_t)table->row_count;
    *out = *table;
    if (locale == NULL || !locale->inches)
        return SNUB_OK;
    snub_column *columns = SNUB_NEW(arena, snub_column, n + 1);
    snub_cell *cells = SNUB_NEW(arena, snub_cell, all + 1);
    if (columns == NULL || cells == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, table->name, "out of memory");
    if (all > 0)
        memcpy(cells, table->cells, all * sizeof *cells);
    for (size_t c = 0; c < n; c++) {
        if (!column_shown(&table->columns[c], locale, &columns[c]))
            continue;
        for (size_t i = c; i < all; i += n)
            cells[i].number = snub_number_shown(locale, cells[i].number, table->columns[c].unit, 0).value;
    }
    out->columns = columns;
    out->cells = cells;
    return SNUB_OK;
}

/* A table as CSV. Numbers carry two digits more than they are shown with elsewhere, enough to calculate on. */
#include "table.h"

#include "snub/csv.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static void add_title(const snub_column *column, bool first, snub_text *scratch, snub_text *out)
{
    scratch->length = 0;
    snub_text_puts(scratch, column->title ? column->title : "");
    if (column->unit && column->unit[0])
        snub_text_printf(scratch, " [%s]", column->unit);
    snub_csv_text(out, scratch->data ? scratch->data : "", scratch->length, first, false);
}

/* To the digits that mean anything; a column of shortest numbers is as exact as it is. */
static double rounded(const snub_column *column, double number)
{
    enum { MORE_DIGITS = 2 };
    const double step = pow(10, column->decimals + MORE_DIGITS), shown = round(number * step) / step;
    return column->type != SNUB_CELL_NUMBER || column->decimals < 0 || !isfinite(shown) ? number : shown + 0.0;
}

static void add_cell(const snub_column *column, const snub_cell *cell, bool first, bool alone, snub_text *scratch,
                     snub_text *out)
{
    scratch->length = 0;
    if (snub_cell_is_empty(cell)) {
        snub_csv_field(out, "", 0, first, alone);
        return;
    }
    const char *text = "";
    switch (cell->type) {
    case SNUB_CELL_TEXT: /* one that is there but empty is quoted, so that it can be told from no text */
        snub_csv_text(out, cell->text, strlen(cell->text), first, true);
        return;
    case SNUB_CELL_LEVEL: text = snub_mark_text(cell->mark); break;
    case SNUB_CELL_TRUTH: text = cell->number != 0 ? "yes" : "no"; break;
    default:
        snub_number_exact(rounded(column, cell->number), scratch);
        text = scratch->data ? scratch->data : "";
        break;
    }
    snub_csv_field(out, text, strlen(text), first, false);
}

snub_status snub_table_csv(const snub_data_table *table, snub_text *out, snub_error *error)
{
    snub_status status = snub_table_check(table, error);
    if (status != SNUB_OK)
        return status;
    snub_text scratch = {0};
    snub_cell *room = snub_table_row_room(table);
    if (room == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, table->name, "out of memory");
    for (int column = 0; column < table->column_count; column++)
        add_title(&table->columns[column], column == 0, &scratch, out);
    snub_csv_end_row(out);
    for (int row = 0; row < table->row_count && status == SNUB_OK; row++) {
        const snub_cell *cells;
        status = snub_table_row_at(table, row, room, &cells, error);
        for (int column = 0; status == SNUB_OK && column < table->column_count; column++)
            add_cell(&table->columns[column], &cells[column], column == 0, table->column_count == 1, &scratch, out);
        snub_csv_end_row(out);
        snub_text_settle(out);
    }
    bool failed = scratch.failed || out->failed;
    snub_text_free(&scratch);
    free(room);
    if (status != SNUB_OK)
        return status;
    return failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, table->name, "out of memory") : SNUB_OK;
}

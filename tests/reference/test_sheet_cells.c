/* A workbook with every kind of cell, and the same cells as text lines, for an independent reader to compare
 * (sheets.py). With --write DIRECTORY: sheets.xlsx, sheets.csv, cells.txt. Without: says what it is for. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "report/table.h"
#include "snub/report.h"

enum { ROWS = 400, COLUMNS = 6, TEXTS = 14 };

static const snub_column columns[COLUMNS] = {{"name", "", SNUB_CELL_TEXT, 0},
                                             {"wrap", "deg", SNUB_CELL_NUMBER, 1},
                                             {"tension, entry", "N", SNUB_CELL_NUMBER, -1},
                                             {"ribs", NULL, SNUB_CELL_COUNT, 0},
                                             {"in stock", "", SNUB_CELL_TRUTH, 0},
                                             {"verdict", "", SNUB_CELL_LEVEL, 0}};

static const char *const texts[TEXTS] = {"8PK1575",
                                         "=1+1",
                                         "quote \" and ''",
                                         "a, b; c",
                                         "line\nbreak",
                                         "\xD7\xA9\xD7\x9C\xD7\x95\xD7\x9D",
                                         "\xC3\xA9\xE2\x82\xAC\xF0\x9F\x94\xA7",
                                         " blanks ",
                                         "<b>&amp;</b>",
                                         "0012",
                                         "1e5",
                                         "TRUE",
                                         "@here",
                                         "2024-01-01"};

static void fill(snub_cell cells[ROWS * COLUMNS])
{
    uint64_t seed = 0x9E3779B97F4A7C15ULL;
    for (int row = 0; row < ROWS; row++) {
        snub_cell *cell = &cells[row * COLUMNS];
        double numbers[2];
        for (int i = 0; i < 2; i++) {
            seed ^= seed << 13, seed ^= seed >> 7, seed ^= seed << 17;
            numbers[i] = ((double)(seed >> 11) / 9007199254740992.0 - 0.5) * pow(10, (int)(seed % 25) - 12);
        }
        cell[0] = snub_cell_text(texts[row % TEXTS]);
        cell[1] = snub_cell_number(row % 17 == 3 ? NAN : numbers[0], (snub_mark)(row % 5));
        cell[2] = snub_cell_number(numbers[1], SNUB_MARK_NONE);
        cell[3] = row % 11 == 5 ? (snub_cell){0} : snub_cell_count(row * 37 % 1000);
        cell[4] = snub_cell_truth(row % 3 == 0);
        cell[5] = snub_cell_level((snub_mark)(row % 5));
    }
}

/* sheet<TAB>row<TAB>column<TAB>kind<TAB>value, newlines in texts as \n. */
static void describe(const snub_data_table *table, const char *name, snub_text *out)
{
    for (int i = 0; i < table->row_count * table->column_count; i++) {
        const snub_cell *cell = &table->cells[i];
        snub_text_printf(out, "%s\t%d\t%d\t", name, i / table->column_count, i % table->column_count);
        if (cell->type == SNUB_CELL_NUMBER || cell->type == SNUB_CELL_COUNT)
            snub_text_printf(out, "number\t%.17g\n", cell->number);
        else if (cell->type == SNUB_CELL_TRUTH)
            snub_text_printf(out, "truth\t%d\n", cell->number != 0);
        else if (cell->type == SNUB_CELL_LEVEL)
            snub_text_printf(out, "text\t%s\n", snub_mark_text(cell->mark));
        else if (cell->type == SNUB_CELL_TEXT)
            for (const char *c = cell->text;; c++) {
                snub_text_puts(out, c == cell->text ? "text\t" : "");
                if (!*c)
                    break;
                snub_text_add(out, *c == '\n' ? "\\n" : c, *c == '\n' ? 2 : 1);
            }
        if (cell->type == SNUB_CELL_TEXT)
            snub_text_puts(out, "\n");
        if (cell->type == SNUB_CELL_EMPTY)
            snub_text_puts(out, "empty\t\n");
    }
}

static bool put(const char *directory, const char *name, const snub_text *text)
{
    char path[512];
    snub_error error;
    snprintf(path, sizeof path, "%s/%s", directory, name);
    return !text->failed && snub_file_write(path, text->data, text->length, &error) == SNUB_OK;
}

static int write_all(const char *directory)
{
    static snub_cell cells[ROWS * COLUMNS];
    static const char *const notes[] = {"Source: invented", "second note"};
    fill(cells);
    snub_data_table tables[4];
    for (int i = 0; i < 4; i++)
        tables[i] = (snub_data_table){.name = "cells",
                                      .title = "Every kind of cell",
                                      .column_count = COLUMNS,
                                      .columns = columns,
                                      .row_count = ROWS,
                                      .cells = cells,
                                      .notes = notes,
                                      .note_count = 2};
    tables[1].name = "Cells"; /* the same but for case: not allowed beside the first */
    tables[2].name = "a name: [with] what/may*not? be in it, and too long";
    tables[3].name = "no title, no rows";
    tables[3].title = NULL;
    tables[3].row_count = tables[3].note_count = 0;
    snub_text xlsx = {0}, csv = {0}, text = {0};
    bool good =
        snub_tables_xlsx(tables, 4, &xlsx, NULL) == SNUB_OK && snub_table_csv(&tables[0], &csv, NULL) == SNUB_OK;
    describe(&tables[0], "cells", &text);
    describe(&tables[1], "Cells 2", &text);
    good = good && put(directory, "sheets.xlsx", &xlsx) && put(directory, "sheets.csv", &csv) &&
           put(directory, "cells.txt", &text);
    snub_text_free(&xlsx);
    snub_text_free(&csv);
    snub_text_free(&text);
    return good ? 0 : 1;
}

static void files_are_written(void **state)
{
    (void)state;
    const char *base = getenv("TMPDIR");
    char directory[512], command[600];
    snprintf(directory, sizeof directory, "%s/snub-sheets-XXXXXX", base && base[0] ? base : "/tmp");
    assert_non_null(mkdtemp(directory));
    assert_int_equal(write_all(directory), 0);
    snprintf(command, sizeof command, "rm -r '%s'", directory);
    assert_int_equal(system(command), 0);
    assert_int_equal(write_all("/no/such/directory"), 1);
}

int main(int count, char **arguments)
{
    if (count == 3 && strcmp(arguments[1], "--write") == 0)
        return write_all(arguments[2]);
    const struct CMUnitTest tests[] = {cmocka_unit_test(files_are_written)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

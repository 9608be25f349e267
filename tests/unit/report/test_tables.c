/* Tables as text, CSV and XLSX. The XLSX's cells are compared by an independent reader in tests/reference. */
#include <locale.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include <cmocka.h>

#include "report/table.h"
#include "snub/csv.h"
#include "snub/report.h"

static const snub_look PLAIN = {0};
static const snub_column COLUMNS[] = {
    {"belt", "", SNUB_CELL_TEXT, 0},        {"wrap", "deg", SNUB_CELL_NUMBER, 1},  {"ribs", NULL, SNUB_CELL_COUNT, 0},
    {"in stock", NULL, SNUB_CELL_TRUTH, 0}, {"verdict", NULL, SNUB_CELL_LEVEL, 0},
};
enum { COLUMN_COUNT = 5, ROW_COUNT = 3 };

static snub_data_table make_table(snub_cell cells[ROW_COUNT * COLUMN_COUNT])
{
    static const char *const notes[] = {"Source: invented"};
    snub_cell rows[] = {
        snub_cell_text("8PK1575"),
        snub_cell_number(158.24, SNUB_MARK_NONE),
        snub_cell_count(8),
        snub_cell_truth(true),
        snub_cell_level(SNUB_MARK_PASS),
        snub_cell_text("a, \"b\"\nc"),
        snub_cell_number(0.1 + 0.2, SNUB_MARK_MARGINAL),
        snub_cell_count(10),
        snub_cell_truth(false),
        snub_cell_level(SNUB_MARK_FAIL),
        snub_cell_text(""),
        snub_cell_number(NAN, SNUB_MARK_NONE),
        {0},
        {0},
        snub_cell_level(SNUB_MARK_NONE),
    };
    memcpy(cells, rows, sizeof rows);
    return (snub_data_table){.name = "belts",
                             .title = "Belts",
                             .column_count = COLUMN_COUNT,
                             .columns = COLUMNS,
                             .row_count = ROW_COUNT,
                             .cells = cells,
                             .notes = notes,
                             .note_count = 1};
}

static void text_lines_up(void **state)
{
    (void)state;
    snub_cell cells[ROW_COUNT * COLUMN_COUNT];
    snub_data_table table = make_table(cells);
    snub_text out = {0};
    assert_int_equal(snub_table_show(&table, &PLAIN, &out, NULL), SNUB_OK);
    assert_string_equal(out.data, "Belts\n\n"
                                  "belt       wrap  ribs  in stock  verdict\n"
                                  "            deg\n"
                                  "8PK1575   158.2     8  yes       pass\n"
                                  "a, \"b\" c    0.3    10  no        fail\n"
                                  "\n"
                                  "\nSource: invented\n");
    snub_text_free(&out);
}

/* A title of numbers that makes the table too wide stands on two lines; one that fits does not. */
static void text_stacks_titles(void **state)
{
    (void)state;
    snub_column columns[] = {{"part name", NULL, SNUB_CELL_TEXT, 0},
                             {"hub load at worst", "N", SNUB_CELL_NUMBER, 0},
                             {"life", "h", SNUB_CELL_COUNT, 0},
                             {"why", NULL, SNUB_CELL_TEXT, 0}};
    snub_cell cells[] = {snub_cell_text("a"), snub_cell_number(1234, SNUB_MARK_NONE), snub_cell_count(5),
                         snub_cell_text("b c")};
    snub_data_table table = {.name = "t", .column_count = 4, .columns = columns, .row_count = 1, .cells = cells};
    const struct {
        int width;
        const char *want;
    } looks[] = {/* 9 + 2 + 17 + 2 + 4 + 2 and 12 for the words */
                 {48, "part name  hub load at worst  life  why\n"
                      "                           N     h\n"
                      "a                       1234     5  b c\n"},
                 {47, "           hub load at\n"
                      "part name        worst  life  why\n"
                      "                     N     h\n"
                      "a                 1234     5  b c\n"}};
    for (int i = 0; i < 2; i++) {
        snub_text out = {0};
        const snub_look look = {.width = looks[i].width};
        assert_int_equal(snub_table_show(&table, &look, &out, NULL), SNUB_OK);
        assert_string_equal(out.data, looks[i].want);
        snub_text_free(&out);
    }
}

static void text_counts_characters(void **state)
{
    (void)state;
    snub_column columns[] = {{"name", NULL, SNUB_CELL_TEXT, 0}, {"x", NULL, SNUB_CELL_COUNT, 0}};
    snub_cell cells[] = {snub_cell_text("\xC3\xA9"
                                        "e\xCC\x81"),
                         snub_cell_count(1), /* e acute, twice; one combined */
                         snub_cell_text("\xE7\x9A\xAE\xE5\xB8\xB6"),
                         snub_cell_count(2), /* two wide characters */
                         snub_cell_text("esc\x1B[31m"),
                         snub_cell_count(3)};
    snub_data_table table = {.name = "t", .column_count = 2, .columns = columns, .row_count = 3, .cells = cells};
    snub_text out = {0};
    assert_int_equal(snub_table_show(&table, &PLAIN, &out, NULL), SNUB_OK);
    assert_string_equal(out.data, "name         x\n\xC3\xA9"
                                  "e\xCC\x81           1\n"
                                  "\xE7\x9A\xAE\xE5\xB8\xB6         2\nesc\\x1B[31m  3\n");
    snub_text_free(&out);
}

/* ---- CSV comes back ---------------------------------------------------------------------------------------------- */

typedef struct back {
    const snub_data_table *table;
    int row;
} back;

static snub_status compare_row(void *context, const snub_csv_row *row, snub_error *error)
{
    back *b = context;
    (void)error;
    assert_int_equal(row->count, b->table->column_count);
    if (b->row++ == 0) {
        assert_string_equal(row->fields[1], "wrap [deg]");
        return SNUB_OK;
    }
    const snub_cell *cell = &b->table->cells[(b->row - 2) * b->table->column_count];
    for (int c = 0; c < row->count; c++, cell++) {
        double number;
        if (cell->type == SNUB_CELL_TEXT)
            assert_string_equal(row->fields[c], cell->text);
        else if (cell->type == SNUB_CELL_NUMBER || cell->type == SNUB_CELL_COUNT) {
            assert_int_equal(snub_parse_number(row->fields[c], NULL, &number), SNUB_OK);
            const snub_column *column = &b->table->columns[c];
            /* two digits more than are shown elsewhere; the shortest form is exact */
            const bool exact = column->decimals < 0 || cell->type == SNUB_CELL_COUNT;
            const double tolerance = exact ? 0 : 0.5 * pow(10, -column->decimals - 2);
            if (!(fabs(number - cell->number) <= tolerance * (1 + 1e-9) + 1e-15 * !exact * fabs(cell->number)))
                fail_msg("row %d column %d: got %.17g, want %.17g within %g", b->row, c, number, cell->number,
                         tolerance);
            if (!exact && strcspn(row->fields[c], ".") + 3 + (size_t)column->decimals < strlen(row->fields[c]))
                fail_msg("row %d column %d: %s has more digits than mean anything", b->row, c, row->fields[c]);
        } else if (cell->type == SNUB_CELL_LEVEL)
            assert_string_equal(row->fields[c], snub_mark_text(cell->mark));
        else if (cell->type == SNUB_CELL_TRUTH)
            assert_string_equal(row->fields[c], cell->number != 0 ? "yes" : "no");
        else
            assert_string_equal(row->fields[c], "");
    }
    return SNUB_OK;
}

static void csv_comes_back(void **state)
{
    (void)state;
    snub_cell cells[ROW_COUNT * COLUMN_COUNT];
    snub_data_table table = make_table(cells);
    snub_text out = {0};
    assert_int_equal(snub_table_csv(&table, &out, NULL), SNUB_OK);
    back b = {&table, 0};
    assert_int_equal(snub_csv_read("t.csv", out.data, out.length, NULL, compare_row, &b, NULL), SNUB_OK);
    assert_int_equal(b.row, ROW_COUNT + 1);
    snub_text_free(&out);
}

static void csv_numbers_come_back_exactly(void **state)
{
    (void)state;
    enum { N = 2000 };
    snub_column columns[] = {{"k", NULL, SNUB_CELL_TEXT, 0}, {"wrap", "deg", SNUB_CELL_NUMBER, -1}};
    snub_cell *cells = calloc(2 * N, sizeof *cells);
    assert_non_null(cells);
    uint64_t seed = 88172645463325252ULL;
    for (int i = 0; i < N; i++) {
        double number;
        do {
            seed ^= seed << 13, seed ^= seed >> 7, seed ^= seed << 17; /* xorshift: every bit pattern, fixed sequence */
            memcpy(&number, &seed, sizeof number);
        } while (!isfinite(number));
        cells[2 * i] = snub_cell_text("k");
        cells[2 * i + 1] = snub_cell_number(number, SNUB_MARK_NONE);
    }
    snub_data_table table = {.name = "t", .column_count = 2, .columns = columns, .row_count = N, .cells = cells};
    snub_text out = {0};
    assert_int_equal(snub_table_csv(&table, &out, NULL), SNUB_OK);
    back b = {&table, 0};
    assert_int_equal(snub_csv_read("t.csv", out.data, out.length, NULL, compare_row, &b, NULL), SNUB_OK);
    assert_int_equal(b.row, N + 1);
    snub_text_free(&out);
    free(cells);
}

/* ---- XLSX -------------------------------------------------------------------------------------------------------- */

static void xlsx_bytes_are_fixed(void **state)
{
    (void)state;
    snub_cell cells[ROW_COUNT * COLUMN_COUNT];
    snub_data_table tables[2] = {make_table(cells), make_table(cells)};
    snub_text first = {0}, second = {0};
    assert_int_equal(snub_tables_xlsx(tables, 2, &first, NULL), SNUB_OK);
    struct timespec pause = {2, 100000000}; /* zip keeps times to two seconds */
    nanosleep(&pause, NULL);
    assert_int_equal(snub_tables_xlsx(tables, 2, &second, NULL), SNUB_OK);
    assert_int_equal(first.length, second.length);
    assert_memory_equal(first.data, second.data, first.length);
    assert_memory_equal(first.data, "PK\x03\x04", 4);
    snub_text_free(&first);
    snub_text_free(&second);
}

static void limits_are_told(void **state)
{
    (void)state;
    snub_error error = {0};
    snub_text out = {0};
    char *text = calloc(SNUB_WORKSHEET_TEXT_MOST + 2, 1);
    assert_non_null(text);
    memset(text, 'x', SNUB_WORKSHEET_TEXT_MOST + 1);
    snub_column columns[] = {{"note", NULL, SNUB_CELL_TEXT, 0}};
    snub_cell cell = snub_cell_text(text);
    snub_data_table table = {.name = "t", .column_count = 1, .columns = columns, .row_count = 1, .cells = &cell};
    assert_int_equal(snub_tables_xlsx(&table, 1, &out, &error), SNUB_TOO_LARGE);
    assert_non_null(strstr(error.message, "row 1, column \"note\""));
    text[SNUB_WORKSHEET_TEXT_MOST] = '\0';
    assert_int_equal(snub_tables_xlsx(&table, 1, &out, &error), SNUB_OK);
    table.row_count = SNUB_WORKSHEET_ROWS_MOST;
    table.cells = calloc(SNUB_WORKSHEET_ROWS_MOST, sizeof(snub_cell));
    assert_int_equal(snub_tables_xlsx(&table, 1, &out, &error), SNUB_TOO_LARGE);
    free((void *)table.cells);
    snub_cell wrong = snub_cell_count(1);
    table.row_count = 1;
    table.cells = &wrong;
    assert_int_equal(snub_tables_xlsx(&table, 1, &out, &error), SNUB_BAD_INPUT);
    assert_int_equal(snub_table_csv(&table, &out, &error), SNUB_BAD_INPUT);
    assert_int_equal(snub_table_show(&table, &PLAIN, &out, &error), SNUB_BAD_INPUT);
    assert_int_equal(snub_tables_xlsx(&table, 0, &out, &error), SNUB_BAD_INPUT);
    snub_text_free(&out);
    free(text);
}

static void no_temporary_directory_is_told(void **state)
{
    (void)state;
    snub_cell cells[ROW_COUNT * COLUMN_COUNT];
    snub_data_table table = make_table(cells);
    snub_text out = {0};
    snub_error error = {0};
    const char *old = getenv("TMPDIR");
    char *keep = old ? strdup(old) : NULL;
    setenv("TMPDIR", "/nonexistent-directory", 1);
    assert_int_equal(snub_tables_xlsx(&table, 1, &out, &error), SNUB_IO);
    assert_non_null(strstr(error.message, "temporary file"));
    if (keep)
        setenv("TMPDIR", keep, 1);
    else
        unsetenv("TMPDIR");
    free(keep);
    snub_text_free(&out);
}

/* ---- failures must be possible: a table in a locale with a decimal comma ----------------------------------------- */

static void locale_does_not_matter(void **state)
{
    (void)state;
    snub_cell cells[ROW_COUNT * COLUMN_COUNT];
    snub_data_table table = make_table(cells);
    snub_text plain[3] = {{0}}, comma[3] = {{0}};
    snub_table_show(&table, &PLAIN, &plain[0], NULL);
    snub_table_csv(&table, &plain[1], NULL);
    snub_tables_xlsx(&table, 1, &plain[2], NULL);
    if (!setlocale(LC_ALL, "de_DE.UTF-8") && !setlocale(LC_ALL, "fr_FR.UTF-8")) {
        print_message("no locale with a decimal comma is installed: skipped\n");
        for (int i = 0; i < 3; i++)
            snub_text_free(&plain[i]);
        skip();
    }
    snub_table_show(&table, &PLAIN, &comma[0], NULL);
    snub_table_csv(&table, &comma[1], NULL);
    snub_tables_xlsx(&table, 1, &comma[2], NULL);
    setlocale(LC_ALL, "C");
    for (int i = 0; i < 3; i++) {
        assert_int_equal(plain[i].length, comma[i].length);
        assert_memory_equal(plain[i].data, comma[i].data, plain[i].length);
        snub_text_free(&plain[i]);
        snub_text_free(&comma[i]);
    }
}

static void a_table_in_inch_units(void **state)
{
    (void)state;
    static const snub_column columns[] = {{"belt", "mm", SNUB_CELL_TEXT, 0},
                                          {"length", "mm", SNUB_CELL_NUMBER, 1},
                                          {"ribs", "N", SNUB_CELL_COUNT, 0},
                                          {"wrap", "deg", SNUB_CELL_NUMBER, 1},
                                          {"out", "degC", SNUB_CELL_NUMBER, 0}};
    const snub_cell cells[] = {snub_cell_text("7PK1926"),
                               snub_cell_number(254, SNUB_MARK_FAIL),
                               snub_cell_count(7),
                               snub_cell_number(180, SNUB_MARK_NONE),
                               snub_cell_number(100, SNUB_MARK_NONE),
                               snub_cell_text("none"),
                               snub_cell_number(NAN, SNUB_MARK_NONE),
                               {0},
                               {0},
                               snub_cell_number(-40, SNUB_MARK_NONE)};
    const snub_data_table metric = {.name = "t", .column_count = 5, .columns = columns, .row_count = 2, .cells = cells};
    const snub_locale inch = {.inches = true};
    const snub_look look = {.locale = &inch};
    snub_data_table table;
    snub_arena arena = {0};
    snub_text out = {0};
    assert_int_equal(snub_table_in_units(&metric, &inch, &arena, &table, NULL), SNUB_OK);
    assert_string_equal(table.columns[1].unit, "in");
    assert_int_equal(table.columns[1].decimals, 3);
    assert_true(fabs(table.cells[1].number - 10) < 1e-12 && table.cells[1].mark == SNUB_MARK_FAIL);
    assert_int_equal(table.cells[6].type, SNUB_CELL_EMPTY);
    assert_string_equal(table.columns[0].unit, "mm"); /* words and counts are no quantities */
    assert_true(table.cells[2].number == 7 && table.cells[3].number == 180);
    assert_true(fabs(table.cells[4].number - 212) < 1e-9 && fabs(table.cells[9].number + 40) < 1e-9);
    assert_true(metric.cells[1].number == 254);
    assert_int_equal(snub_table_show(&metric, &look, &out, NULL), SNUB_OK);
    assert_non_null(strstr(out.data, "10.000"));
    assert_int_equal(snub_table_in_units(&metric, NULL, &arena, &table, NULL), SNUB_OK);
    assert_ptr_equal(table.cells, cells);
    snub_text_free(&out);
    snub_arena_free(&arena);
    snub_arena_init(&arena, 16); /* no room */
    assert_int_equal(snub_table_in_units(&metric, &inch, &arena, &table, NULL), SNUB_NO_MEMORY);
    snub_arena_free(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(text_lines_up),
        cmocka_unit_test(text_stacks_titles),
        cmocka_unit_test(text_counts_characters),
        cmocka_unit_test(csv_comes_back),
        cmocka_unit_test(csv_numbers_come_back_exactly),
        cmocka_unit_test(xlsx_bytes_are_fixed),
        cmocka_unit_test(limits_are_told),
        cmocka_unit_test(no_temporary_directory_is_told),
        cmocka_unit_test(locale_does_not_matter),
        cmocka_unit_test(a_table_in_inch_units),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

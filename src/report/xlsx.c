/* Tables as one XLSX workbook, by libxlsxwriter. It can only write to a named file, so the file is made in the
 * directory for temporary files, read back and removed; the caller decides where the bytes go. */
#include "table.h"
#include "workbook_page.h"

#include <errno.h>
#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <time.h>
#include <unistd.h>
#include <xlsxwriter.h>

/* Date of creation in the file, 2000-01-01 00:00 UTC: the same tables must give the same bytes. */
static const time_t FIXED_CREATION_S = 946684800;

enum {
    COLUMN_WIDTH_LEAST = 7,
    FILTER_ROOM = 3 /* for the arrow of a filter */,
    COLUMN_WIDTH_MOST = 60,
    NAME_BYTES = 4 * SNUB_WORKSHEET_NAME_MOST + 1,
    FORMATS = 5
};

typedef struct book {
    lxw_workbook *workbook;
    lxw_format *title, *note;
    lxw_format *head[2], *unit[2]; /* over words, over numbers: those stand on the right */
    lxw_format *mark[FORMATS];     /* by snub_mark, for conditional formats */
    char (*names)[NAME_BYTES];
    int names_count;
    const snub_data_table *table; /* being written, for messages */
    snub_error *error;
} book;

static const lxw_color_t MARK_FILL[FORMATS] = {0, 0xDDEFD9, 0xDCE8F5, 0xFFE9A8, 0xF6C3BD};
static const lxw_color_t MARK_INK[FORMATS] = {0, 0x1E4D12, 0x17406B, 0x6B4A00, 0x7A130A};

/* ---- names of worksheets ---------------------------------------------------------------------------------------- */

static size_t step_of(unsigned char lead)
{
    return lead < 0xC0 ? 1 : lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : 4;
}

/* Copy at most `most` characters of a name, without those that a worksheet's name may not hold. */
static void legal_name(const char *wanted, int most, char name[NAME_BYTES])
{
    size_t used = 0;
    for (const char *c = wanted ? wanted : ""; *c && most > 0; most--) {
        size_t step = step_of((unsigned char)*c);
        if (strchr("[]:*?/\\", *c) || (unsigned char)*c < 0x20 || (*c == '\'' && used == 0))
            name[used++] = '-';
        else
            for (size_t i = 0; i < step && c[i]; i++)
                name[used++] = c[i];
        for (size_t i = 0; i < step && *c; i++)
            c++;
    }
    if (used && name[used - 1] == '\'')
        name[used - 1] = '-';
    name[used] = '\0';
    if (used == 0 || strcasecmp(name, "history") == 0) /* the second is reserved */
        strcpy(name, "table");
}

static bool name_taken(const book *b, const char *name)
{
    for (int i = 0; i < b->names_count; i++)
        if (strcasecmp(b->names[i], name) == 0)
            return true;
    return false;
}

static const char *unique_name(book *b, const char *wanted)
{
    char *name = b->names[b->names_count];
    legal_name(wanted, SNUB_WORKSHEET_NAME_MOST, name);
    for (int n = 2; name_taken(b, name); n++) {
        char tail[16];
        int length = snprintf(tail, sizeof tail, " %d", n);
        legal_name(wanted, SNUB_WORKSHEET_NAME_MOST - length, name);
        strcat(name, tail);
    }
    b->names_count++;
    return name;
}

/* ---- formats ---------------------------------------------------------------------------------------------------- */

static lxw_format *plain_format(lxw_workbook *workbook)
{
    lxw_format *format = workbook_add_format(workbook);
    if (format)
        format_set_align(format, LXW_ALIGN_VERTICAL_TOP);
    return format;
}

static bool make_formats(book *b)
{
    b->title = plain_format(b->workbook);
    b->note = plain_format(b->workbook);
    if (!b->title || !b->note)
        return false;
    format_set_bold(b->title);
    format_set_font_size(b->title, 13);
    format_set_font_color(b->note, 0x444444);
    format_set_text_wrap(b->note);
    for (int numbers = 0; numbers < 2; numbers++) {
        lxw_format *head = b->head[numbers] = plain_format(b->workbook),
                   *unit = b->unit[numbers] = plain_format(b->workbook);
        if (!head || !unit)
            return false;
        format_set_bold(head);
        format_set_bg_color(head, 0xECEEF0);
        format_set_text_wrap(head);
        format_set_italic(unit);
        format_set_bg_color(unit, 0xECEEF0);
        format_set_bottom(unit, LXW_BORDER_THIN);
        format_set_align(head, numbers ? LXW_ALIGN_RIGHT : LXW_ALIGN_LEFT);
        format_set_align(unit, numbers ? LXW_ALIGN_RIGHT : LXW_ALIGN_LEFT);
        format_set_indent(head, numbers ? 0 : 1);
    }
    for (int mark = SNUB_MARK_PASS; mark < FORMATS; mark++) {
        b->mark[mark] = workbook_add_format(b->workbook);
        if (!b->mark[mark])
            return false;
        format_set_bg_color(b->mark[mark], MARK_FILL[mark]);
        format_set_font_color(b->mark[mark], MARK_INK[mark]);
    }
    return true;
}

/* A column while its cells are written. */
typedef struct column_form {
    lxw_format *formats[FORMATS]; /* by snub_mark; NULL: not needed yet */
    int width;                    /* characters */
    bool wraps;                   /* a text has lines, or more characters than a column may have */
} column_form;

/* Format of a column's cells under one mark: its decimals, and the mark's colours. */
static lxw_format *cell_format(book *b, const snub_column *column, const column_form *form, int mark)
{
    lxw_format *format = plain_format(b->workbook);
    if (!format)
        return NULL;
    if (column->type == SNUB_CELL_NUMBER && column->decimals >= 0) {
        char picture[24] = "0";
        if (column->decimals > 0)
            snprintf(picture, sizeof picture, "0.%.*s", column->decimals > 15 ? 15 : column->decimals,
                     "000000000000000");
        format_set_num_format(format, picture);
    } else if (column->type == SNUB_CELL_COUNT) {
        format_set_num_format(format, "0");
    }
    if (form->wraps)
        format_set_text_wrap(format);
    if (column->type == SNUB_CELL_TEXT || column->type == SNUB_CELL_LEVEL)
        format_set_indent(format, 1); /* a number may stand close on its left */
    if (mark != SNUB_MARK_NONE) {
        format_set_bg_color(format, MARK_FILL[mark]);
        format_set_font_color(format, MARK_INK[mark]);
    }
    return format;
}

/* ---- one worksheet ---------------------------------------------------------------------------------------------- */

static snub_status book_failed(book *b, lxw_error code, int row, const char *column)
{
    if (code == LXW_NO_ERROR)
        return SNUB_OK;
    snub_status status = code == LXW_ERROR_MEMORY_MALLOC_FAILED         ? SNUB_NO_MEMORY
                         : code == LXW_ERROR_MAX_STRING_LENGTH_EXCEEDED ? SNUB_TOO_LARGE
                                                                        : SNUB_IO;
    if (row > 0)
        return snub_fail(b->error, status, NULL, b->table ? b->table->name : NULL, "row %d, column \"%.60s\": %s", row,
                         column ? column : "", lxw_strerror(code));
    return snub_fail(b->error, status, NULL, b->table ? b->table->name : NULL, "%s", lxw_strerror(code));
}

/* What rounding leaves behind the twelfth digit makes 5599.999999999999 of 5600, which nobody's filter finds. */
static double twelve_digits(double number)
{
    char text[32];
    snprintf(text, sizeof text, "%.12g", number);
    return strtod(text, NULL); /* both in the plain locale that is set around the writing */
}

static lxw_error write_cell(lxw_worksheet *worksheet, lxw_row_t row, lxw_col_t column, const snub_cell *cell,
                            lxw_format *format)
{
    if (snub_cell_is_empty(cell))
        return cell->mark == SNUB_MARK_NONE ? LXW_NO_ERROR : worksheet_write_blank(worksheet, row, column, format);
    switch (cell->type) {
    case SNUB_CELL_TEXT: return worksheet_write_string(worksheet, row, column, cell->text, format);
    case SNUB_CELL_LEVEL: return worksheet_write_string(worksheet, row, column, snub_mark_text(cell->mark), format);
    case SNUB_CELL_TRUTH: return worksheet_write_boolean(worksheet, row, column, cell->number != 0, format);
    default: return worksheet_write_number(worksheet, row, column, twelve_digits(cell->number), format);
    }
}

/* A LEVEL column is coloured by rule, so that a person who changes the word changes the colour. */
static lxw_error add_level_rules(book *b, lxw_worksheet *worksheet, lxw_row_t first, lxw_row_t last, lxw_col_t column)
{
    lxw_error code = LXW_NO_ERROR;
    for (int mark = SNUB_MARK_PASS; mark < FORMATS && code == LXW_NO_ERROR; mark++) {
        char word[16];
        snprintf(word, sizeof word, "\"%s\"", snub_mark_text((snub_mark)mark));
        lxw_conditional_format rule = {.type = LXW_CONDITIONAL_TYPE_CELL,
                                       .criteria = LXW_CONDITIONAL_CRITERIA_EQUAL_TO,
                                       .value_string = word,
                                       .format = b->mark[mark]};
        code = worksheet_conditional_format_range(worksheet, first, column, last, column, &rule);
    }
    return code;
}

static int least_width(const snub_column *column)
{
    enum { TITLE_LINES = 3 };
    int width = snub_longest_part(column->title, " ") + 2; /* bold letters are wider */
    while (snub_lines_in(column->title, width) > TITLE_LINES)
        width++;
    const int unit = (column->unit ? (int)strlen(column->unit) : 0) + FILTER_ROOM;
    width = unit > width ? unit : width;
    return width > COLUMN_WIDTH_LEAST ? width : COLUMN_WIDTH_LEAST;
}

/* Characters of a cell; a number's as its column shows it. */
static int cell_length(const snub_column *column, const snub_cell *cell)
{
    if (snub_cell_is_empty(cell))
        return 0;
    switch (cell->type) {
    case SNUB_CELL_TEXT:
        return (snub_longest_part(cell->text, "\n") * 6 + 4) / 5 + 1; /* capitals are wider than digits */
    case SNUB_CELL_LEVEL: return snub_longest_part(snub_mark_text(cell->mark), "\n");
    case SNUB_CELL_NUMBER: return snprintf(NULL, 0, "%.*f", column->decimals < 0 ? 3 : column->decimals, cell->number);
    case SNUB_CELL_COUNT: return snprintf(NULL, 0, "%.0f", cell->number);
    default: return 0;
    }
}

static snub_status find_widths(book *b, column_form *forms, snub_cell *room)
{
    const snub_data_table *table = b->table;
    snub_status status = SNUB_OK;
    for (int c = 0; c < table->column_count; c++)
        forms[c].width = least_width(&table->columns[c]);
    for (int row = 0; row < table->row_count && status == SNUB_OK; row++) {
        const snub_cell *cells;
        status = snub_table_row_at(table, row, room, &cells, b->error);
        for (int c = 0; c < table->column_count && status == SNUB_OK; c++) {
            const int length = cell_length(&table->columns[c], &cells[c]) + 1;
            forms[c].wraps = forms[c].wraps || length > COLUMN_WIDTH_MOST ||
                             (cells[c].type == SNUB_CELL_TEXT && cells[c].text && strchr(cells[c].text, '\n'));
            forms[c].width = length > COLUMN_WIDTH_MOST ? COLUMN_WIDTH_MOST
                             : length > forms[c].width  ? length
                                                        : forms[c].width;
        }
    }
    return status;
}

/* A row as high as so many lines of a cell need: not every program finds that by itself. */
static lxw_error set_lines(lxw_worksheet *worksheet, lxw_row_t row, int lines)
{
    enum { LINES_MOST = 27 }; /* 409 points is the highest row that there is */
    const int shown = lines > LINES_MOST ? LINES_MOST : lines;
    return lines > 1 ? worksheet_set_row(worksheet, row, LXW_DEF_ROW_HEIGHT * shown, NULL) : LXW_NO_ERROR;
}

static bool is_number(const snub_column *column)
{
    return column->type == SNUB_CELL_NUMBER || column->type == SNUB_CELL_COUNT;
}

/* Titles, and units under them: rows go before those below them, where the book holds one row only. */
static lxw_error write_head(book *b, lxw_worksheet *worksheet, const column_form *forms, lxw_row_t head)
{
    const snub_data_table *table = b->table;
    int lines = 1;
    for (int c = 0; c < table->column_count; c++) {
        const int of_title = snub_lines_in(table->columns[c].title, forms[c].width);
        lines = of_title > lines ? of_title : lines;
    }
    lxw_error code = set_lines(worksheet, head, lines);
    for (int c = 0; c < table->column_count && code == LXW_NO_ERROR; c++) {
        code = worksheet_write_string(worksheet, head, (lxw_col_t)c, table->columns[c].title,
                                      b->head[is_number(&table->columns[c])]);
        if (code == LXW_NO_ERROR)
            code = worksheet_set_column(worksheet, (lxw_col_t)c, (lxw_col_t)c, forms[c].width, NULL);
    }
    for (int c = 0; c < table->column_count && code == LXW_NO_ERROR; c++) {
        const char *unit = table->columns[c].unit;
        code = unit && unit[0]
                   ? worksheet_write_string(worksheet, head + 1, (lxw_col_t)c, unit,
                                            b->unit[is_number(&table->columns[c])])
                   : worksheet_write_blank(worksheet, head + 1, (lxw_col_t)c, b->unit[is_number(&table->columns[c])]);
    }
    return code;
}

static snub_status write_row(book *b, lxw_worksheet *worksheet, column_form *forms, const snub_cell *cells, int row,
                             lxw_row_t at)
{
    const snub_data_table *table = b->table;
    int lines = 1;
    for (int c = 0; c < table->column_count; c++) {
        const bool wraps = forms[c].wraps && !snub_cell_is_empty(&cells[c]) && cells[c].type == SNUB_CELL_TEXT;
        const int of_cell = wraps ? snub_lines_in(cells[c].text, forms[c].width) : 1;
        lines = of_cell > lines ? of_cell : lines;
    }
    if (set_lines(worksheet, at, lines) != LXW_NO_ERROR)
        return snub_fail(b->error, SNUB_NO_MEMORY, NULL, table->name, "out of memory");
    for (int c = 0; c < table->column_count; c++) {
        const snub_column *about = &table->columns[c];
        const int mark = about->type == SNUB_CELL_LEVEL ? SNUB_MARK_NONE : (int)cells[c].mark; /* LEVEL: by rule */
        lxw_format **format = &forms[c].formats[mark];
        if (!*format && !(*format = cell_format(b, about, &forms[c], mark)))
            return snub_fail(b->error, SNUB_NO_MEMORY, NULL, table->name, "out of memory");
        const lxw_error code = write_cell(worksheet, at, (lxw_col_t)c, &cells[c], *format);
        if (code != LXW_NO_ERROR)
            return book_failed(b, code, row + 1, about->title);
    }
    return SNUB_OK;
}

static snub_status write_rows(book *b, lxw_worksheet *worksheet, column_form *forms, lxw_row_t head, snub_cell *room)
{
    const snub_data_table *table = b->table;
    snub_status status = SNUB_OK;
    for (int row = 0; row < table->row_count && status == SNUB_OK; row++) {
        const snub_cell *cells;
        status = snub_table_row_at(table, row, room, &cells, b->error);
        if (status == SNUB_OK)
            status = write_row(b, worksheet, forms, cells, row, head + 2 + (lxw_row_t)row);
    }
    lxw_error code = LXW_NO_ERROR;
    for (int c = 0; c < table->column_count && table->row_count && code == LXW_NO_ERROR; c++) {
        if (table->columns[c].type == SNUB_CELL_LEVEL)
            code = add_level_rules(b, worksheet, head + 2, head + 1 + (lxw_row_t)table->row_count, (lxw_col_t)c);
    }
    return status == SNUB_OK ? book_failed(b, code, 0, NULL) : status;
}

/* Notes stand under the first page's columns but those that every page repeats, each in one cell that is high enough.
 */
static lxw_error write_notes(book *b, lxw_worksheet *worksheet, const column_form *forms, int end, lxw_row_t row)
{
    const snub_data_table *table = b->table;
    const int first = table->keys < end ? table->keys : 0;
    int width = 0;
    for (int c = first; c < end; c++)
        width += forms[c].width;
    lxw_error code = LXW_NO_ERROR;
    for (int i = 0; i < table->note_count && code == LXW_NO_ERROR; i++, row++) {
        code = set_lines(worksheet, row, snub_lines_in(table->notes[i], width));
        if (code == LXW_NO_ERROR && end - first > 1)
            code = worksheet_merge_range(worksheet, row, (lxw_col_t)first, row, (lxw_col_t)(end - 1), table->notes[i],
                                         b->note);
        else if (code == LXW_NO_ERROR)
            code = worksheet_write_string(worksheet, row, (lxw_col_t)first, table->notes[i], b->note);
    }
    return code;
}

/* The title over each page: '&' begins an order there, and 255 characters are all that the format takes. */
static lxw_error print_title(lxw_worksheet *worksheet, const char *title)
{
    char text[240] = "&L&B";
    size_t used = strlen(text);
    for (const char *c = title; *c && used + 6 < sizeof text; c++) {
        const size_t step = step_of((unsigned char)*c);
        if (*c == '&')
            text[used++] = '&';
        for (size_t i = 0; i < step && c[i]; i++)
            text[used++] = c[i];
        for (size_t i = 1; i < step && *c; i++)
            c++;
    }
    text[used] = '\0';
    return worksheet_set_header(worksheet, text);
}

/* Everything that is about paper, and what a person does first on the screen: heads that stay, filters. */
static snub_status print_as(book *b, lxw_worksheet *worksheet, const column_form *forms, lxw_row_t head)
{
    const snub_data_table *table = b->table;
    const lxw_row_t last = head + 1 + (lxw_row_t)table->row_count, notes = last + 2;
    const lxw_col_t right = (lxw_col_t)(table->column_count - 1);
    snub_workbook_page page;
    lxw_col_t breaks[SNUB_PAGE_BREAKS_MOST + 1] = {0};
    double *widths = calloc((size_t)table->column_count, sizeof *widths);
    if (!widths)
        return book_failed(b, LXW_ERROR_MEMORY_MALLOC_FAILED, 0, NULL);
    for (int c = 0; c < table->column_count; c++)
        widths[c] = forms[c].width;
    snub_workbook_lay(table, widths, &page);
    free(widths);
    for (int i = 0; i < page.break_count; i++)
        breaks[i] = (lxw_col_t)page.breaks[i];
    worksheet_set_paper(worksheet, table->letter ? 1 : 9); /* ECMA-376: 1 is Letter, 9 A4 */
    worksheet_set_margins(worksheet, 0.5, 0.5, 0.75, 0.6);
    if (page.landscape)
        worksheet_set_landscape(worksheet);
    worksheet_set_print_scale(worksheet, (uint16_t)page.scale);
    worksheet_print_across(worksheet);
    lxw_error code = LXW_NO_ERROR;
    if (page.break_count > 0)
        code = worksheet_set_v_pagebreaks(worksheet, breaks);
    if (code == LXW_NO_ERROR && table->keys > 0 && page.break_count > 0)
        code = worksheet_repeat_columns(worksheet, 0, (lxw_col_t)(table->keys - 1));
    if (code == LXW_NO_ERROR)
        code = worksheet_repeat_rows(worksheet, head, head + 1);
    if (code == LXW_NO_ERROR && table->title)
        code = print_title(worksheet, table->title);
    if (code == LXW_NO_ERROR)
        code = worksheet_set_footer(worksheet, "&L&A&R&P / &N");
    if (code == LXW_NO_ERROR && table->row_count > 0)
        code = worksheet_autofilter(worksheet, head + 1, 0, last, right);
    worksheet_freeze_panes(worksheet, head + 2, (lxw_col_t)table->keys);
    if (code == LXW_NO_ERROR)
        code = write_notes(b, worksheet, forms, page.break_count > 0 ? page.breaks[0] : table->column_count, notes);
    if (code == LXW_NO_ERROR)
        code = worksheet_print_area(worksheet, head, 0,
                                    table->note_count > 0 ? notes + (lxw_row_t)table->note_count : last, right);
    return book_failed(b, code, 0, NULL);
}

static snub_status write_columns(book *b, lxw_worksheet *worksheet, lxw_row_t head)
{
    column_form *forms = calloc((size_t)b->table->column_count, sizeof *forms);
    snub_cell *room = snub_table_row_room(b->table);
    snub_status status = forms && room ? find_widths(b, forms, room)
                                       : snub_fail(b->error, SNUB_NO_MEMORY, NULL, b->table->name, "out of memory");
    if (status == SNUB_OK)
        status = book_failed(b, write_head(b, worksheet, forms, head), 0, NULL);
    if (status == SNUB_OK)
        status = write_rows(b, worksheet, forms, head, room);
    if (status == SNUB_OK)
        status = print_as(b, worksheet, forms, head);
    free(forms);
    free(room);
    return status;
}

static snub_status write_worksheet(book *b, const snub_data_table *table)
{
    b->table = table;
    if (table->column_count > SNUB_WORKSHEET_COLUMNS_MOST ||
        table->row_count > SNUB_WORKSHEET_ROWS_MOST - 8 - (table->note_count > 0 ? table->note_count : 0))
        return snub_fail(b->error, SNUB_TOO_LARGE, NULL, table->name,
                         "%d rows and %d columns are more than a worksheet holds", table->row_count,
                         table->column_count);
    lxw_worksheet *worksheet = workbook_add_worksheet(b->workbook, unique_name(b, table->name));
    if (!worksheet)
        return snub_fail(b->error, SNUB_NO_MEMORY, NULL, table->name, "worksheet cannot be made");
    lxw_row_t head = 0;
    lxw_error code = LXW_NO_ERROR;
    if (table->title) {
        code = worksheet_write_string(worksheet, 0, 0, table->title, b->title);
        head = 2;
    }
    if (code != LXW_NO_ERROR)
        return book_failed(b, code, 0, NULL);
    return write_columns(b, worksheet, head);
}

/* ---- the file --------------------------------------------------------------------------------------------------- */

static snub_status fill_book(book *b, const snub_data_table *tables, int count)
{
    if (!make_formats(b))
        return snub_fail(b->error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    lxw_doc_properties about = {.title = (char *)(tables[0].title ? tables[0].title : tables[0].name),
                                .author = "snub",
                                .created = FIXED_CREATION_S};
    /* more than 255 characters are refused by the format: such a title stays on the sheet only */
    if (about.title && strlen(about.title) > 255)
        about.title = NULL;
    workbook_set_properties(b->workbook, &about);
    for (int i = 0; i < count; i++) {
        snub_status status = write_worksheet(b, &tables[i]);
        if (status != SNUB_OK)
            return status;
    }
    return SNUB_OK;
}

static snub_status read_back(int file, snub_text *out, snub_error *error)
{
    char block[65536];
    ssize_t got;
    if (lseek(file, 0, SEEK_SET) < 0)
        return snub_fail(error, SNUB_IO, NULL, NULL, "temporary file: %s", strerror(errno));
    while ((got = read(file, block, sizeof block)) > 0)
        snub_text_add(out, block, (size_t)got);
    if (got < 0)
        return snub_fail(error, SNUB_IO, NULL, NULL, "temporary file: %s", strerror(errno));
    return out->failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory") : SNUB_OK;
}

/* workbook_close() both writes and frees. After a failure it is called all the same, to free. */
static snub_status write_book(const char *path, char (*names)[NAME_BYTES], const snub_data_table *tables, int count,
                              snub_error *error)
{
    lxw_workbook_options options = {0};
    char *directory = getenv("TMPDIR");
    options.tmpdir = directory && directory[0] ? directory : NULL;
    for (int i = 0; i < count; i++) /* rows that are not held here are not held there either */
        options.constant_memory = options.constant_memory || !tables[i].cells;
    book b = {.names = names, .error = error};
    b.workbook = workbook_new_opt(path, &options);
    if (!b.workbook)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    snub_status status = fill_book(&b, tables, count);
    b.table = NULL;
    lxw_error code = workbook_close(b.workbook);
    return status != SNUB_OK ? status : book_failed(&b, code, 0, NULL);
}

static char *temporary_path(void)
{
    const char *directory = getenv("TMPDIR");
    directory = directory && directory[0] ? directory : "/tmp";
    const char *tail = "/snub-XXXXXX";
    char *path = malloc(strlen(directory) + strlen(tail) + 1);
    if (path)
        strcat(strcpy(path, directory), tail);
    return path;
}

snub_status snub_tables_xlsx(const snub_data_table *tables, int count, snub_text *out, snub_error *error)
{
    if (count < 1)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "a workbook needs a table");
    for (int i = 0; i < count; i++) {
        snub_status status = snub_table_check(&tables[i], error);
        if (status != SNUB_OK)
            return status;
    }
    char *path = temporary_path();
    char(*names)[NAME_BYTES] = calloc((size_t)count, sizeof *names);
    locale_t plain = newlocale(LC_ALL_MASK, "C", (locale_t)0);
    int file = path ? mkstemp(path) : -1;
    snub_status status = SNUB_OK;
    if (!path || !names || !plain)
        status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    else if (file < 0)
        status = snub_fail(error, SNUB_IO, NULL, NULL, "temporary file %.200s: %s", path, strerror(errno));
    if (status == SNUB_OK) {
        locale_t before = uselocale(plain); /* libxlsxwriter prints numbers in the thread's locale */
        status = write_book(path, names, tables, count, error);
        uselocale(before);
    }
    if (status == SNUB_OK)
        status = read_back(file, out, error); /* the same inode: libxlsxwriter opens and truncates, never renames */
    if (file >= 0) {
        close(file);
        unlink(path);
    }
    if (plain)
        freelocale(plain);
    free(names);
    free(path);
    return status;
}

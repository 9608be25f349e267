/* A table for people: columns lined up by what a terminal shows, not by bytes. */
#include "table.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

enum { COLUMN_GAP = 2 };

/* Next code point of valid UTF-8; a stray byte counts as itself. */
static uint32_t next_point(const unsigned char **at)
{
    const unsigned char *s = *at;
    int more = s[0] < 0xC0 ? 0 : s[0] < 0xE0 ? 1 : s[0] < 0xF0 ? 2 : 3;
    uint32_t point = more == 0 ? s[0] : s[0] & (0x3FU >> more);
    s++;
    for (; more > 0 && (*s & 0xC0) == 0x80; more--)
        point = (point << 6) | (*s++ & 0x3FU);
    *at = s;
    return point;
}

/* Cells that a point takes on a terminal: the common ranges of East Asian Width and of combining marks (Unicode). */
static int point_width(uint32_t p)
{
    if (p == 0x200B || (p >= 0x200C && p <= 0x200F) || (p >= 0x202A && p <= 0x202E) || (p >= 0x2066 && p <= 0x2069))
        return 0; /* joiners and direction marks */
    if ((p >= 0x0300 && p <= 0x036F) || (p >= 0x0591 && p <= 0x05BD) || (p >= 0x064B && p <= 0x065F) ||
        (p >= 0x20D0 && p <= 0x20FF) || (p >= 0xFE00 && p <= 0xFE0F))
        return 0;
    if ((p >= 0x1100 && p <= 0x115F) || (p >= 0x2E80 && p <= 0xA4CF) || (p >= 0xAC00 && p <= 0xD7A3) ||
        (p >= 0xF900 && p <= 0xFAFF) || (p >= 0xFE30 && p <= 0xFE6F) || (p >= 0xFF00 && p <= 0xFF60) ||
        (p >= 0x1F300 && p <= 0x1FAFF) || (p >= 0x20000 && p <= 0x3FFFD))
        return 2;
    return 1;
}

static size_t shown_width(const char *text)
{
    size_t width = 0;
    const unsigned char *at = (const unsigned char *)text;
    while (*at)
        width += (size_t)point_width(next_point(&at));
    return width;
}

/* A line break or tab within a cell would break the row: they are shown as a blank. Control characters could drive
 * the terminal: they are shown as '?'. */
static void add_shown(const char *text, snub_text *out)
{
    for (const char *c = text; *c; c++) {
        unsigned char byte = (unsigned char)*c;
        char shown = byte == '\n' || byte == '\r' || byte == '\t' ? ' ' : byte < 0x20 || byte == 0x7F ? '?' : *c;
        snub_text_add(out, &shown, 1);
    }
}

static void cell_text(const snub_column *column, const snub_cell *cell, snub_text *out)
{
    out->length = 0;
    snub_text_puts(out, "");
    if (snub_cell_is_empty(cell))
        return;
    switch (cell->type) {
    case SNUB_CELL_TEXT: add_shown(cell->text, out); break;
    case SNUB_CELL_LEVEL: snub_text_puts(out, snub_mark_text(cell->mark)); break;
    case SNUB_CELL_TRUTH: snub_text_puts(out, cell->number != 0 ? "yes" : "no"); break;
    case SNUB_CELL_COUNT: snub_text_printf(out, "%.0f", cell->number); break;
    default:
        if (column->decimals < 0)
            snub_text_printf(out, "%.6g", cell->number);
        else
            snub_text_printf(out, "%.*f", column->decimals, cell->number);
    }
}

static bool goes_right(const snub_column *column)
{
    return column->type == SNUB_CELL_NUMBER || column->type == SNUB_CELL_COUNT;
}

static void add_padded(const char *text, size_t width, bool right, bool last, snub_text *out)
{
    size_t shown = shown_width(text), blanks = width > shown ? width - shown : 0;
    for (size_t i = 0; right && i < blanks; i++)
        snub_text_add(out, " ", 1);
    snub_text_puts(out, text);
    for (size_t i = 0; !right && !last && i < blanks; i++)
        snub_text_add(out, " ", 1);
    for (int i = 0; !last && i < COLUMN_GAP; i++)
        snub_text_add(out, " ", 1);
}

static size_t column_width(const snub_sheet_table *table, int column, snub_text *scratch)
{
    const snub_column *head = &table->columns[column];
    size_t width = shown_width(head->title), unit = head->unit ? shown_width(head->unit) : 0;
    width = unit > width ? unit : width;
    for (int row = 0; row < table->row_count; row++) {
        cell_text(head, &table->cells[(size_t)row * (size_t)table->column_count + (size_t)column], scratch);
        size_t cell = scratch->data ? shown_width(scratch->data) : 0;
        width = cell > width ? cell : width;
    }
    return width;
}

static void trim_line(snub_text *out)
{
    while (out->length && out->data[out->length - 1] == ' ')
        out->data[--out->length] = '\0';
    snub_text_puts(out, "\n");
}

static void add_rows(const snub_sheet_table *table, const size_t *widths, snub_text *scratch, snub_text *out)
{
    int last = table->column_count - 1;
    bool units = false;
    for (int c = 0; c <= last; c++) {
        add_padded(table->columns[c].title, widths[c], goes_right(&table->columns[c]), c == last, out);
        units = units || (table->columns[c].unit && table->columns[c].unit[0]);
    }
    trim_line(out);
    for (int c = 0; units && c <= last; c++)
        add_padded(table->columns[c].unit ? table->columns[c].unit : "", widths[c], goes_right(&table->columns[c]),
                   c == last, out);
    if (units)
        trim_line(out);
    const snub_cell *cell = table->cells;
    for (int row = 0; row < table->row_count; row++) {
        for (int c = 0; c <= last; c++, cell++) {
            cell_text(&table->columns[c], cell, scratch);
            add_padded(scratch->data ? scratch->data : "", widths[c], goes_right(&table->columns[c]), c == last, out);
        }
        trim_line(out);
    }
}

snub_status snub_table_text(const snub_sheet_table *table, snub_text *out, snub_error *error)
{
    snub_status status = snub_table_check(table, error);
    if (status != SNUB_OK)
        return status;
    snub_arena arena;
    snub_arena_init(&arena, 0);
    snub_text scratch = {0};
    size_t *widths = SNUB_NEW(&arena, size_t, table->column_count);
    if (widths) {
        for (int c = 0; c < table->column_count; c++)
            widths[c] = column_width(table, c, &scratch);
        if (table->title)
            snub_text_printf(out, "%s\n\n", table->title);
        add_rows(table, widths, &scratch, out);
        for (int i = 0; i < table->note_count; i++)
            snub_text_printf(out, "%s%s\n", i ? "" : "\n", table->notes[i]);
    }
    bool failed = !widths || scratch.failed || out->failed;
    snub_text_free(&scratch);
    snub_arena_free(&arena);
    return failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, table->name, "out of memory") : SNUB_OK;
}

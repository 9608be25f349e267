/* A table for people: columns lined up by what a terminal shows, not by bytes. */
#include "table.h"

#include <math.h>
#include <string.h>

#include "snub/locale.h"

enum {
    COLUMN_GAP = 2,
    WRAPPED_LEAST = 12 /* columns; narrower than this a wrapped column cannot be read */
};

/* A line break or tab within a cell would break the row: they are shown as a blank. What could drive the terminal is
 * shown escaped. */
static void add_shown(const char *text, snub_text *out)
{
    for (const char *end = text + strlen(text); text < end;) {
        const char *start = text;
        const uint32_t point = snub_utf8_next(&text, end);
        if (point == '\n' || point == '\r' || point == '\t')
            snub_text_add(out, " ", 1);
        else
            snub_safe_add(out, point, start, (size_t)(text - start));
    }
}

/* "-0.00" is a zero that was rounded. */
static void drop_minus_of_zero(snub_text *number)
{
    if (number->data && number->data[0] == '-' && !strpbrk(number->data, "123456789"))
        memmove(number->data, number->data + 1, number->length--);
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
        drop_minus_of_zero(out);
    }
}

static bool goes_right(const snub_column *column)
{
    return column->type == SNUB_CELL_NUMBER || column->type == SNUB_CELL_COUNT;
}

/* Colour never says more than the word does: it is there for the eye that scans. */
static const char *colour_of(const snub_cell *cell, const snub_look *look)
{
    if (!look->colour || cell->type != SNUB_CELL_LEVEL)
        return NULL;
    switch (cell->mark) {
    case SNUB_MARK_FAIL: return "\x1b[1;31m";
    case SNUB_MARK_MARGINAL: return "\x1b[33m";
    case SNUB_MARK_PASS: return "\x1b[32m";
    default: return NULL;
    }
}

static void add_padded(const char *text, size_t width, bool right, bool last, const char *colour, snub_text *out)
{
    size_t shown = (size_t)snub_text_width(text), blanks = width > shown ? width - shown : 0;
    for (size_t i = 0; right && i < blanks; i++)
        snub_text_add(out, " ", 1);
    if (colour)
        snub_text_puts(out, colour);
    snub_text_puts(out, text);
    if (colour)
        snub_text_puts(out, "\x1b[0m");
    for (size_t i = 0; !right && !last && i < blanks; i++)
        snub_text_add(out, " ", 1);
    for (int i = 0; !last && i < COLUMN_GAP; i++)
        snub_text_add(out, " ", 1);
}

/* How the columns stand: widths as a terminal shows them, and the bytes of a title that stand on a line above its rest.
 */
typedef struct layout {
    size_t *widths, *above;
    bool stacked; /* any is above */
} layout;

static size_t wider(size_t width, const char *text)
{
    const size_t other = text ? (size_t)snub_text_width(text) : 0;
    return other > width ? other : width;
}

/* Of what stands below a title's first line. */
static size_t column_width(const snub_data_table *table, int column, size_t above, snub_text *scratch)
{
    const snub_column *head = &table->columns[column];
    size_t width = wider(wider(0, head->title + above), head->unit);
    for (int row = 0; row < table->row_count; row++) {
        cell_text(head, &table->cells[(size_t)row * (size_t)table->column_count + (size_t)column], scratch);
        width = wider(width, scratch->data);
    }
    return width;
}

static void trim_line(snub_text *out)
{
    while (out->length && out->data[out->length - 1] == ' ')
        out->data[--out->length] = '\0';
    snub_text_puts(out, "\n");
}

static int used_before_last(const snub_data_table *table, const size_t *widths)
{
    int used = 0;
    for (int c = 0; c < table->column_count - 1; c++)
        used += (int)widths[c] + COLUMN_GAP;
    return used;
}

/* What is left for the last column; 0: as wide as it gets. */
static int wrapped_at(const snub_data_table *table, const size_t *widths, const snub_look *look, int *column)
{
    const int last = table->column_count - 1, used = used_before_last(table, widths);
    *column = used;
    if (look->width <= 0 || table->columns[last].type != SNUB_CELL_TEXT)
        return 0;
    return look->width - used < WRAPPED_LEAST ? used + WRAPPED_LEAST : look->width;
}

/* Titles of numbers are often wider than the numbers: where the table would stick out, what is before a title's last
 * blank goes above it. */
static void stack_titles(const snub_data_table *table, const snub_look *look, layout *l, snub_text *scratch)
{
    const int last = table->column_count - 1;
    const bool words_last = table->columns[last].type == SNUB_CELL_TEXT;
    const int least = words_last ? WRAPPED_LEAST : (int)l->widths[last];
    if (look->width <= 0 || used_before_last(table, l->widths) + least <= look->width)
        return;
    for (int c = 0; c <= last; c++) {
        const char *blank = goes_right(&table->columns[c]) ? strrchr(table->columns[c].title, ' ') : NULL;
        if (blank == NULL)
            continue;
        l->above[c] = (size_t)(blank - table->columns[c].title) + 1;
        l->widths[c] = column_width(table, c, l->above[c], scratch);
        scratch->length = 0;
        snub_text_add(scratch, table->columns[c].title, l->above[c] - 1);
        l->widths[c] = wider(l->widths[c], scratch->data);
        l->stacked = true;
    }
}

static void add_heads(const snub_data_table *table, const layout *l, snub_text *scratch, snub_text *out)
{
    const size_t *widths = l->widths;
    int last = table->column_count - 1;
    bool units = false;
    for (int c = 0; l->stacked && c <= last; c++) {
        scratch->length = 0;
        snub_text_add(scratch, table->columns[c].title, l->above[c] ? l->above[c] - 1 : 0);
        add_padded(scratch->data ? scratch->data : "", widths[c], true, c == last, NULL, out);
    }
    if (l->stacked)
        trim_line(out);
    for (int c = 0; c <= last; c++) {
        add_padded(table->columns[c].title + l->above[c], widths[c], goes_right(&table->columns[c]), c == last, NULL,
                   out);
        units = units || (table->columns[c].unit && table->columns[c].unit[0]);
    }
    trim_line(out);
    for (int c = 0; units && c <= last; c++)
        add_padded(table->columns[c].unit ? table->columns[c].unit : "", widths[c], goes_right(&table->columns[c]),
                   c == last, NULL, out);
    if (units)
        trim_line(out);
}

static void add_rows(const snub_data_table *table, const layout *l, const snub_look *look, snub_text *scratch,
                     snub_text *out)
{
    const size_t *widths = l->widths;
    int last = table->column_count - 1, indent;
    int width = wrapped_at(table, widths, look, &indent);
    const snub_cell *cell = table->cells;
    add_heads(table, l, scratch, out);
    for (int row = 0; row < table->row_count; row++) {
        for (int c = 0; c <= last; c++, cell++) {
            cell_text(&table->columns[c], cell, scratch);
            const char *text = scratch->data ? scratch->data : "";
            if (c == last && width && text[0])
                snub_wrap(text, indent, indent, width, out);
            else
                add_padded(text, widths[c], goes_right(&table->columns[c]), c == last, colour_of(cell, look), out);
        }
        if (out->length && out->data[out->length - 1] != '\n')
            trim_line(out);
    }
}

snub_status snub_table_show(const snub_data_table *given, const snub_look *look, snub_text *out, snub_error *error)
{
    snub_arena arena;
    snub_data_table in_units;
    const snub_data_table *table = &in_units;
    snub_status status = snub_table_check(given, error);
    if (status != SNUB_OK)
        return status;
    snub_arena_init(&arena, 0);
    status = snub_table_in_units(given, look->locale, &arena, &in_units, error);
    if (status != SNUB_OK) {
        snub_arena_free(&arena);
        return status;
    }
    snub_text scratch = {0};
    layout l = {SNUB_NEW(&arena, size_t, table->column_count), SNUB_NEW(&arena, size_t, table->column_count), false};
    const bool room = l.widths != NULL && l.above != NULL;
    if (room) {
        for (int c = 0; c < table->column_count; c++)
            l.widths[c] = column_width(table, c, 0, &scratch);
        stack_titles(table, look, &l, &scratch);
        if (table->title)
            snub_text_printf(out, "%s\n\n", table->title);
        add_rows(table, &l, look, &scratch, out);
        for (int i = 0; i < table->note_count; i++)
            snub_text_printf(out, "%s%s\n", i ? "" : "\n", table->notes[i]);
    }
    bool failed = !room || scratch.failed || out->failed;
    snub_text_free(&scratch);
    snub_arena_free(&arena);
    return failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, table->name, "out of memory") : SNUB_OK;
}

snub_status snub_table_titled(const char *title, const snub_data_table *table, const snub_look *look, snub_arena *arena,
                              snub_text *out, snub_error *error)
{
    snub_data_table shown;
    const snub_status status = snub_table_in_units(table, look->locale, arena, &shown, error);
    if (status != SNUB_OK)
        return status;
    snub_text_printf(out, "\n%s\n\n", snub_say(look->locale, title));
    return snub_table_show(&shown, look, out, error);
}

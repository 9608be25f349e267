/* How a worksheet is cut into printed pages. A spreadsheet program would shrink a wide table until it fits, or cut it
 * wherever the paper ends. */
#include "workbook_page.h"

#include <string.h>

#include "snub/units.h"

enum {
    LEAST_SCALE = 60,    /* per cent of 11 points: below it a table is not read at arm's length; common practice */
    PORTRAIT_SCALE = 80, /* from it a table stays upright */
    MARGINS = 26,        /* both sides, mm: 0.5 inch each, as the workbook sets them */
    STEP = 5             /* per cent */
};

/* Width of paper, mm: ISO 216 A4, ANSI A */
static double paper(const snub_data_table *table, bool landscape)
{
    const double a4[] = {210, 297}, letter[] = {215.9, 279.4};
    return (table->letter ? letter : a4)[landscape] - MARGINS;
}

static int is_character(char byte)
{
    return ((unsigned char)byte & 0xC0) != 0x80;
}

int snub_longest_part(const char *text, const char *ends)
{
    int longest = 0, length = 0;
    for (const char *c = text; *c != '\0'; c++) {
        length = strchr(ends, *c) != NULL ? 0 : length + is_character(*c);
        longest = length > longest ? length : longest;
    }
    return longest;
}

int snub_lines_in(const char *text, int width)
{
    int lines = 1, used = 0;
    while (*text != '\0') {
        const size_t bytes = strcspn(text, " \n");
        int word = 0;
        for (size_t i = 0; i < bytes; i++)
            word += is_character(text[i]);
        if (used > 0 && used + 1 + word > width) {
            lines++;
            used = 0;
        }
        used += word + (used > 0);
        lines += (used - 1) / width * (used > 0);
        used = used > width ? (used - 1) % width + 1 : used;
        text += bytes;
        lines += *text == '\n';
        used = *text == '\n' ? 0 : used;
        text += *text != '\0';
    }
    return lines;
}

/* Of columns [first, end) at full size, mm. */
static double width_of(const double *widths, int first, int end)
{
    double pixels = 0; /* of 1/96 inch: a digit of the plain font at 11 points has 7.43, or 7 where it is rounded */
    for (int c = first; c < end; c++)
        pixels += 7.43 * widths[c] + 5;
    return pixels / 96 * SNUB_INCH / SNUB_MM;
}

static void cut(const snub_data_table *table, const double *widths, double room, snub_workbook_page *page)
{
    const double keys = width_of(widths, 0, table->keys);
    double used = keys;
    page->break_count = 0;
    for (int c = table->keys; c < table->column_count; c++) {
        const double width = width_of(widths, c, c + 1);
        const bool over = used > keys && used + width > room;
        if ((over || (c == table->second_group && c > table->keys)) && page->break_count < SNUB_PAGE_BREAKS_MOST) {
            page->breaks[page->break_count++] = c;
            used = keys;
        }
        used += width;
    }
}

void snub_workbook_lay(const snub_data_table *table, const double *widths, snub_workbook_page *page)
{
    const double whole = width_of(widths, 0, table->column_count);
    *page = (snub_workbook_page){.scale = 100};
    if (table->second_group == 0 && whole * PORTRAIT_SCALE / 100 <= paper(table, false)) {
        while (whole * page->scale / 100 > paper(table, false))
            page->scale -= STEP;
        return;
    }
    page->landscape = true;
    cut(table, widths, paper(table, true) * 100 / LEAST_SCALE, page);
    const int fewest = page->break_count;
    for (page->scale = 100; page->scale > LEAST_SCALE; page->scale -= STEP) {
        cut(table, widths, paper(table, true) * 100 / page->scale, page);
        if (page->break_count == fewest)
            return;
    }
    cut(table, widths, paper(table, true) * 100 / LEAST_SCALE, page);
}

/** Bill of materials: the parts of a kit by its packages and engine fronts, on paper. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "bill_table.h"
#include "contents_words.h"
#include "pages.h"

enum {
    BUILDS_ABREAST = 8, /**< in one table; more make another */
    COLUMNS_MOST = SNUB_BILL_FIELDS + BUILDS_ABREAST
};
#define BUILD_SHARE 9.0

/** What it is printed from. */
struct job {
    const snub_bill *bill;
    snub_catalogue *catalogue; /**< may be NULL */
};

typedef struct bill_sheet {
    snub_pages *pages;
    snub_priced_bill priced;
    const char **cells;
    bool used[SNUB_BILL_FIELDS]; /* of the table in hand: a row has something there */
} bill_sheet;

static bool printed(const bill_sheet *s, int field, bool after)
{
    return s->used[field] && snub_bill_fields[field].after == after;
}

static bool right(int field)
{
    return field == SNUB_BILL_COST || field == SNUB_BILL_MINIMUM || field == SNUB_BILL_STOCK;
}

static void add_fields(bill_sheet *s, int row, bool after, snub_pages_column *columns, const char **cells, int *n)
{
    for (int f = 0; f < SNUB_BILL_FIELDS; f++) {
        if (!printed(s, f, after))
            continue;
        if (columns != NULL)
            columns[*n] = (snub_pages_column){snub_say(s->pages->locale, snub_bill_fields[f].title), "",
                                              snub_bill_fields[f].share, right(f) ? 1 : -1};
        else
            cells[*n] = snub_bill_text(&s->priced, row, f);
        ++*n;
    }
}

static const char *count_text(snub_pages *pages, int count)
{
    char text[16];
    snprintf(text, sizeof text, "%d", count);
    return count > 0 ? snub_pages_fill(pages, "{n}", "n", text, NULL) : "";
}

/* Builds from `first` up to `end` in one table. @return its columns */
static int add_row(bill_sheet *s, int row, int first, int end, snub_pages_column *columns, const char **cells)
{
    const snub_bill *bill = s->priced.bill;
    int n = 0;
    add_fields(s, row, false, columns, cells, &n);
    for (int c = first; c < end; c++, n++) {
        if (columns != NULL)
            columns[n] = (snub_pages_column){snub_bill_column_name(&s->priced, c), "", BUILD_SHARE, 1};
        else
            cells[n] = count_text(s->pages, bill->parts[row].count[c]);
    }
    add_fields(s, row, true, columns, cells, &n);
    return n;
}

static bool in_group(const snub_bill_row *row, int first, int end)
{
    for (int c = first; c < end; c++) {
        if (row->count[c] > 0)
            return true;
    }
    return false;
}

/* Which columns a table needs. @return its rows */
static int look_over(bill_sheet *s, snub_supply_how how, int first, int end)
{
    const snub_bill *bill = s->priced.bill;
    int rows = 0;
    memset(s->used, 0, sizeof s->used);
    for (int i = 0; i < bill->row_count; i++) {
        if (bill->parts[i].item.how != how || !in_group(&bill->parts[i], first, end))
            continue;
        rows++;
        for (int f = 0; f < SNUB_BILL_FIELDS; f++)
            s->used[f] = s->used[f] || (f != SNUB_BILL_SUPPLY && snub_bill_has(&s->priced, f) &&
                                        snub_bill_text(&s->priced, i, f)[0] != '\0');
    }
    return rows;
}

static void list_parts(bill_sheet *s, snub_supply_how how, int first, int end)
{
    const snub_bill *bill = s->priced.bill;
    snub_pages_column columns[COLUMNS_MOST];
    if (look_over(s, how, first, end) == 0)
        return;
    const int width = add_row(s, 0, first, end, columns, NULL);
    int rows = 0;
    for (int i = 0; i < bill->row_count; i++) {
        if (bill->parts[i].item.how == how && in_group(&bill->parts[i], first, end))
            add_row(s, i, first, end, NULL, s->cells + width * rows++);
    }
    snub_pages_heading(s->pages, snub_say(s->pages->locale, snub_supply_heading(how)));
    snub_pages_table(s->pages, columns, width, s->cells, rows);
}

static snub_status print(snub_pages *pages, const void *context, snub_error *error)
{
    const struct job *job = context;
    bill_sheet s = {.pages = pages};
    const char *const *notes;
    int note_count;
    snub_status status = snub_bill_price(job->bill, job->catalogue, pages->locale, pages->arena, &s.priced, error);
    if (status != SNUB_OK)
        return status;
    s.cells = SNUB_NEW(pages->arena, const char *, COLUMNS_MOST *(job->bill->row_count + 1));
    if (s.cells == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while laying out the sheet");
    for (int first = 0; first < job->bill->column_count; first += BUILDS_ABREAST) {
        const int end =
            first + BUILDS_ABREAST < job->bill->column_count ? first + BUILDS_ABREAST : job->bill->column_count;
        for (int how = 0; how < SNUB_SUPPLIES_; how++)
            list_parts(&s, (snub_supply_how)how, first, end);
    }
    snub_pages_heading(pages, SAY("Builds"));
    snub_bill_notes(&s.priced, &notes, &note_count);
    for (int i = 0; i < note_count; i++)
        snub_pages_paragraph(pages, notes[i]);
    snub_pages_quiet(pages,
                     SAY("A build for each package on each engine front, with the option values of the drive file. "
                         "The parts list of each has the places, reworks and tools."));
    snub_pages_more_cautions(pages);
    pages->failed = pages->failed || s.priced.failed;
    return SNUB_OK;
}

snub_status snub_sheet_bill(const snub_sheet *sheet, const snub_bill *bill, snub_catalogue *catalogue, snub_text *out,
                            snub_error *error)
{
    const struct job context = {bill, catalogue};
    const snub_pages_job job = {.kind = SNUB_MESSAGE("Bill of materials"),
                                .bill = bill,
                                .landscape = true,
                                .print = print,
                                .context = &context};
    return snub_pages_print(sheet, &job, out, error);
}

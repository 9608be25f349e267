/** A sheet as a whole: its numbers, its end, and how its pages are set. */
#include <cairo-pdf.h>
#include <math.h>
#include <string.h>

#include "letterhead.h"
#include "lettering.h"
#include "snub/bill.h"
#include "words.h"

#define FOOT_HEIGHT 9.0
#define SUBJECT_LINE 3.9 /**< height of one line of it, what HEAD_HEIGHT has room for */
#define LAST_LEAST 0.35  /**< share of a last page below which the text is set smaller, if that saves the page */

/* By which numbers the company knows it. */
static void add_numbers(snub_pages *pages, const char *kit, const char *code, snub_text *words)
{
    if (kit[0] != '\0')
        snub_text_puts(words, snub_pages_fill(pages, SAY("kit {kit}"), "kit", kit, NULL));
    if (code[0] != '\0')
        snub_text_printf(words, "%s%s", words->length > 0 ? "; " : "",
                         snub_pages_fill(pages, SAY("code {code}"), "code", code, NULL));
}

static const char *kit_of(const snub_pages_job *job)
{
    const char *kit = job->build != NULL  ? job->build->build->drive->kit_number
                      : job->bill != NULL ? job->bill->rows.kit_number
                                          : job->chart->rows.kit_number;
    return kit != NULL ? kit : "";
}

static const char *code_of(const snub_pages_job *job)
{
    return job->build != NULL ? job->build->build->row.code : "";
}

static const char *subject_of(snub_pages *pages, const snub_pages_job *job)
{
    snub_text words = {0}, numbers = {0};
    add_numbers(pages, kit_of(job), code_of(job), &numbers);
    if (job->build != NULL) {
        const snub_sweep *sweep = job->build->sweep;
        snub_build_words(job->build->build, !job->no_settings, sweep != NULL && sweep->friction < 1, pages->locale,
                         &words);
    } else if (job->bill != NULL) {
        snub_set_words(job->bill->columns[0].row, pages->locale, &words);
    } else {
        snub_chart_words(job->chart, pages->locale, &words);
    }
    const char *between = numbers.length > 0 && words.length > 0 ? "; " : "";
    const char *before = snub_pages_keep(pages, &numbers), *after = snub_pages_keep(pages, &words);
    return snub_pages_fill(pages, "{before}{between}{after}", "before", before, "between", between, "after", after,
                           NULL);
}

void snub_pages_wording(snub_pages *pages)
{
    const snub_house *house = pages->sheet->house;
    if (house == NULL || house->disclaimers.count == 0)
        return;
    snub_pages_heading(pages, snub_pages_fill(pages, SAY("From {company}"), "company", house->company, NULL));
    for (int i = 0; i < house->disclaimers.count; i++)
        snub_pages_paragraph(pages, house->disclaimers.line[i]);
}

static void revisions(snub_pages *pages)
{
    enum { COLUMNS = 5 };
    const snub_house *house = pages->sheet->house;
    const int count = house != NULL ? house->revision_count : 0;
    const char **cells = SNUB_NEW(pages->arena, const char *, COLUMNS *(size_t)(count + 1));
    if (cells == NULL) {
        pages->failed = true;
        return;
    }
    if (count == 0)
        return;
    for (int i = 0; i < count; i++) {
        const snub_revision *r = &house->revisions[i];
        const char *const row[COLUMNS] = {r->revision, r->date, r->reason, r->by, r->approved};
        for (int k = 0; k < COLUMNS; k++)
            cells[i * COLUMNS + k] = row[k];
    }
    const snub_pages_column columns[COLUMNS] = {{SAY("revision"), "", 10, -1},
                                                {SAY("date"), "", 12, -1},
                                                {SAY("reason"), "", 44, -1},
                                                {SAY("by"), "", 17, -1},
                                                {SAY("approved"), "", 17, -1}};
    snub_pages_heading(pages, SAY("Revisions"));
    snub_pages_table(pages, columns, COLUMNS, cells, count);
}

/* What the company says, and by what the build is known: below all else. */
static void end_of_sheet(snub_pages *pages)
{
    const double width = pages->right - pages->left;
    if (pages->floating != NULL)
        snub_pages_next(pages);
    snub_pages_wording(pages);
    revisions(pages);
    const double height = pages->coded ? 0 : snub_letterhead_code(pages, pages->head, 0, 0, width, false);
    if (height <= 0)
        return;
    snub_pages_gap(pages, 2);
    snub_pages_room(pages, height);
    pages->y += snub_letterhead_code(pages, pages->head, pages->left, pages->y, width, true);
}

/* Numbers and type area of all pages, then the pages. */
static snub_status lay_out(snub_pages *pages, const snub_pages_job *job, snub_error *error)
{
    const char letter[2] = {job->kind[0], '\0'}; /* of its English name: one for each kind */
    snub_letterhead head;
    snub_status status = snub_letterhead_open(pages, kit_of(job), code_of(job), letter, &head, error);
    if (status != SNUB_OK)
        return status;
    const snub_type line = {SNUB_TYPE_SUBJECT, false, SNUB_INK_TEXT, -1};
    const double subject = snub_type_block(pages, &line, 0, 0, pages->right - pages->left, pages->subject, false);
    pages->head = &head;
    pages->top = SNUB_PAGE_EDGE + SNUB_PAGE_HEAD + head.height + fmax(0, subject - SUBJECT_LINE);
    snub_pages_next(pages);
    status = job->print(pages, job->context, error);
    if (status == SNUB_OK && !job->plain)
        end_of_sheet(pages);
    status = status == SNUB_OK ? pages->floated : status;
    cairo_show_page(pages->cr);
    snub_letterhead_close(&head);
    pages->head = NULL;
    return status;
}

static void set_up(snub_pages *pages, const snub_pages_job *job)
{
    const bool letter = pages->sheet->paper == SNUB_PAPER_LETTER;
    const double size[2] = {letter ? 215.9 : 210, letter ? 279.4 : 297};
    pages->width = size[job->landscape ? 1 : 0];
    pages->height = size[job->landscape ? 0 : 1];
    pages->kind = snub_say(pages->locale, job->kind);
    pages->left = SNUB_PAGE_MARGIN;
    pages->right = pages->width - SNUB_PAGE_MARGIN;
    pages->bottom = pages->height - SNUB_PAGE_MARGIN - FOOT_HEIGHT + 4;
    pages->subject = subject_of(pages, job);
}

/* One way of setting the pages, and what came of it. */
typedef struct setting {
    double tight;
    int pages;
    double last; /* share of the last page that is used */
} setting;

static snub_status print_once(const snub_sheet *sheet, const snub_pages_job *job, setting *set, snub_text *out,
                              snub_error *error)
{
    snub_arena arena = {0};
    snub_locale locale = sheet->locale != NULL ? *sheet->locale : (snub_locale){0};
    char fingerprint[65];
    locale.both = true;
    if (job->build != NULL)
        snub_drive_digest(job->build->build->drive, fingerprint);
    else if (job->bill != NULL)
        memcpy(fingerprint, job->bill->fingerprint, sizeof fingerprint);
    else
        snub_chart_digest(job->chart, fingerprint);
    snub_pages pages = {.sheet = sheet,
                        .build = job->build,
                        .locale = &locale,
                        .arena = &arena,
                        .fingerprint = fingerprint,
                        .plain = job->plain,
                        .error = error,
                        .tight = set->tight,
                        .count = set->pages};
    set_up(&pages, job);
    const snub_document *document = job->build != NULL  ? job->build->build->document
                                    : job->bill != NULL ? job->bill->document
                                                        : job->chart->document;
    if (document != NULL)
        pages.placeholders = document->placeholders;
    const char *title = snub_format(&arena, "%s: %s", sheet->title != NULL ? sheet->title : "snub", pages.kind);
    const char *created = sheet->date != NULL ? snub_format(&arena, "%sT00:00:00Z", sheet->date) : NULL;
    snub_imprint imprint = {.title = title, .subject = pages.subject, .creator = sheet->version, .created = created};
    cairo_surface_t *surface = snub_cairo_pdf(out, pages.width, pages.height, &imprint);
    pages.cr = cairo_create(surface);
    cairo_scale(pages.cr, SNUB_POINTS_PER_MM, SNUB_POINTS_PER_MM);
    pages.context = snub_cairo_text_context(pages.cr);
    const snub_status status = lay_out(&pages, job, error);
    cairo_status_t drawn = cairo_status(pages.cr);
    g_object_unref(pages.context);
    cairo_destroy(pages.cr);
    cairo_surface_finish(surface);
    if (drawn == CAIRO_STATUS_SUCCESS)
        drawn = cairo_surface_status(surface);
    cairo_surface_destroy(surface);
    set->pages = pages.page;
    set->last = (pages.y - pages.top) / (pages.bottom - pages.top);
    snub_arena_free(&arena);
    if (status != SNUB_OK)
        return status;
    if (pages.failed || out->failed || title == NULL || drawn == CAIRO_STATUS_NO_MEMORY)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while laying out the sheet");
    return drawn == CAIRO_STATUS_SUCCESS
               ? SNUB_OK
               : snub_fail(error, SNUB_IO, NULL, NULL, "cairo: %s", cairo_status_to_string(drawn));
}

snub_status snub_pages_print(const snub_sheet *sheet, const snub_pages_job *job, snub_text *out, snub_error *error)
{
    static const double tights[] = {1, 0.96, 0.92, 0.88}; /* the smallest: body of 7 pt */
    setting best = {.tight = 1};
    for (size_t i = 0; i < sizeof tights / sizeof tights[0]; i++) {
        setting tried = {.tight = tights[i]};
        snub_text counted = {0};
        const snub_status status = print_once(sheet, job, &tried, &counted, error);
        snub_text_free(&counted);
        if (status != SNUB_OK)
            return status;
        if (i > 0 && tried.pages >= best.pages)
            continue;
        best = tried;
        if (job->plain || tried.pages == 1 || tried.last > LAST_LEAST || i > 0)
            break;
    }
    return print_once(sheet, job, &best, out, error);
}

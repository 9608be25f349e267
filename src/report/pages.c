/** Pages: what is set where, and where a page ends. */
#include "pages.h"

#include <cairo-pdf.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "words.h"

#define TYPE_SCALE 16.0 /**< text is laid out in sixteenths of a mm, where Pango's rounding cannot be seen */
#define BODY 2.0        /**< capitals, mm: about 8 pt type */
#define SMALL 1.55
#define CAUTION 2.3
#define STEP_AFTER 8.0 /**< mm to keep below cautions, so that the step that they are for stands on their page */
#define SUBJECT 2.2    /**< line under the title */
#define HEAD_HEIGHT 13.0
#define FOOT_HEIGHT 9.0
#define MARGIN 14.0
#define SUBJECT_LINE 3.9 /**< height of one line of it, what HEAD_HEIGHT has room for */
#define HEADING 5.6      /**< a heading and what is free under it */
#define TABLE_START 18.0 /**< what a table is begun with: its head and a few rows */

static void set_ink(cairo_t *cr, snub_ink ink)
{
    uint32_t rgb = snub_ink_colour(ink, SNUB_THEME_LIGHT);
    cairo_set_source_rgb(cr, (rgb >> 16) / 255.0, (rgb >> 8 & 255) / 255.0, (rgb & 255) / 255.0);
}

typedef struct type {
    double height;
    bool bold;
    snub_ink ink;
    int across;
} type;

static PangoLayout *lay(snub_pages *pages, const type *t, double width, const char *text)
{
    PangoLayout *layout = pango_layout_new(pages->context);
    PangoFontDescription *face = snub_cairo_face(t->height * TYPE_SCALE, t->bold);
    pango_layout_set_font_description(layout, face);
    pango_font_description_free(face);
    if (width > 0) {
        pango_layout_set_width(layout, (int)(width * TYPE_SCALE * PANGO_SCALE));
        pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
        pango_layout_set_alignment(layout, t->across < 0   ? PANGO_ALIGN_LEFT
                                           : t->across > 0 ? PANGO_ALIGN_RIGHT
                                                           : PANGO_ALIGN_CENTER);
    }
    /* a hyphen that Pango puts into "bearing_speed" or a file's name would be read as part of it */
    PangoAttrList *attributes = pango_attr_list_new();
    pango_attr_list_insert(attributes, pango_attr_insert_hyphens_new(FALSE));
    pango_layout_set_attributes(layout, attributes);
    pango_attr_list_unref(attributes);
    pango_layout_set_text(layout, text, -1);
    snub_cairo_only_glyphs(layout);
    return layout;
}

static double height_of(PangoLayout *layout)
{
    int width, height;
    pango_layout_get_size(layout, &width, &height);
    return (double)height / PANGO_SCALE / TYPE_SCALE;
}

/* Draws the layout with its upper left corner at (x, y) and gives it back. */
static void show(snub_pages *pages, PangoLayout *layout, snub_ink ink, double x, double y)
{
    cairo_save(pages->cr);
    cairo_move_to(pages->cr, x, y);
    cairo_scale(pages->cr, 1 / TYPE_SCALE, 1 / TYPE_SCALE);
    set_ink(pages->cr, ink);
    pango_cairo_update_layout(pages->cr, layout);
    pango_cairo_show_layout(pages->cr, layout);
    cairo_restore(pages->cr);
    cairo_new_path(pages->cr);
}

static double block(snub_pages *pages, const type *t, double x, double y, double width, const char *text, bool draw)
{
    PangoLayout *layout = lay(pages, t, width, text);
    double height = height_of(layout);
    if (draw)
        show(pages, layout, t->ink, x, y);
    g_object_unref(layout);
    return height;
}

double snub_pages_words(snub_pages *pages, double x, double y, double height, bool bold, snub_ink ink, int across,
                        const char *text)
{
    type t = {height, bold, ink, -1};
    PangoLayout *layout = lay(pages, &t, 0, text);
    int width, unused;
    pango_layout_get_size(layout, &width, &unused);
    double length = (double)width / PANGO_SCALE / TYPE_SCALE;
    double base = (double)pango_layout_get_baseline(layout) / PANGO_SCALE / TYPE_SCALE;
    show(pages, layout, ink, across < 0 ? x : across == 0 ? x - length / 2 : x - length, y - base);
    g_object_unref(layout);
    return length;
}

static void rule(snub_pages *pages, double x0, double y0, double x1, double y1, double width, snub_ink ink)
{
    set_ink(pages->cr, ink);
    cairo_set_dash(pages->cr, NULL, 0, 0);
    cairo_set_line_width(pages->cr, width);
    cairo_move_to(pages->cr, x0, y0);
    cairo_line_to(pages->cr, x1, y1);
    cairo_stroke(pages->cr);
}

/* ---- what stands on every page ----------------------------------------------------------------------------------- */

static const char *subject_of(snub_pages *pages, const snub_pages_job *job)
{
    snub_text words = {0};
    if (job->build != NULL) {
        const snub_sweep *sweep = job->build->sweep;
        snub_build_words(job->build->build, sweep != NULL && sweep->friction < 1, pages->locale, &words);
    } else {
        snub_chart_words(job->chart, pages->locale, &words);
    }
    return snub_pages_keep(pages, &words);
}

bool snub_pages_fails(const snub_pages *pages)
{
    return pages->build != NULL && pages->build->build->verdict == SNUB_FAIL;
}

enum { REASONS_LATER = 3 }; /* reasons that stand on the pages after the first */

/* Sentences of the findings of a level, a paragraph each. */
static const char *sentences(snub_pages *pages, snub_level level, int most)
{
    const snub_findings *all = &pages->build->build->findings;
    const int count = snub_findings_count(all, level, SNUB_AREAS_);
    snub_text words = {0};
    char more[16];
    for (int i = 0, said = 0; i < all->count && said < most; i++) {
        if (all->items[i].level != level)
            continue;
        snub_text_puts(&words, said++ > 0 ? "\n" : "");
        snub_text_puts(&words, "\xe2\x80\xa2 ");
        snub_finding_sentence(&all->items[i], pages->locale, &words);
    }
    if (count > most) {
        snprintf(more, sizeof more, "%d", count - most);
        snub_text_printf(&words, "\n%s", snub_pages_fill(pages, SAY("and {count} more: page 1"), "count", more, NULL));
    }
    return snub_pages_keep(pages, &words);
}

/* A frame with a word in large letters and what it is about. */
static void notice(snub_pages *pages, const char *word, snub_ink ink, const char *text)
{
    const type large = {4.2, true, ink, -1}, small = {BODY, false, SNUB_INK_TEXT, -1};
    const double width = pages->right - pages->left - 6;
    const double head = block(pages, &large, 0, 0, width, word, false);
    const double deep = head + block(pages, &small, 0, 0, width, text, false) + 4;
    const double y = pages->y;
    block(pages, &large, pages->left + 3, y + 1.5, width, word, true);
    block(pages, &small, pages->left + 3, y + 2 + head, width, text, true);
    set_ink(pages->cr, ink);
    cairo_set_dash(pages->cr, NULL, 0, 0);
    cairo_set_line_width(pages->cr, 1.0);
    cairo_rectangle(pages->cr, pages->left + 0.5, y + 0.5, pages->right - pages->left - 1, deep);
    cairo_stroke(pages->cr);
    pages->y = y + deep + 2.5;
}

/* A build that fails says so on every page, a marginal verdict on the first. */
void snub_pages_warn(snub_pages *pages)
{
    const snub_findings *all = &pages->build->build->findings;
    if (snub_pages_fails(pages))
        notice(pages, SAY("DO NOT FIT"), SNUB_INK_FAIL,
               sentences(pages, SNUB_FAIL, pages->page == 1 ? all->count : REASONS_LATER));
    if (pages->page == 1 && snub_findings_count(all, SNUB_MARGINAL, SNUB_AREAS_) > 0)
        notice(pages, SAY("Marginal"), SNUB_INK_MARGINAL, sentences(pages, SNUB_MARGINAL, all->count));
}

/* ---- pages ------------------------------------------------------------------------------------------------------- */

const char *snub_pages_origin(const snub_pages *pages, char text[SNUB_ORIGIN_MOST])
{
    const snub_sheet *s = pages->sheet;
    snprintf(text, SNUB_ORIGIN_MOST, "%.80s   SHA-256 %.16s   %.40s%s%.12s", s->file != NULL ? s->file : "",
             pages->fingerprint, s->version != NULL ? s->version : "", s->date != NULL ? "   " : "",
             s->date != NULL ? s->date : "");
    return text;
}

static void head_and_foot(snub_pages *pages)
{
    const snub_sheet *s = pages->sheet;
    char text[SNUB_ORIGIN_MOST], a[16], b[16];
    double y = pages->top - HEAD_HEIGHT + 3.4;
    double kind = snub_text_measure(pages->kind, 3.2, true), room = pages->right - pages->left - kind - 6;
    double need = snub_text_measure(s->title != NULL ? s->title : "", 3.2, true);
    snub_pages_words(pages, pages->left, y, need > room ? 3.2 * room / need : 3.2, true, SNUB_INK_TEXT, -1,
                     s->title != NULL ? s->title : "");
    snub_pages_words(pages, pages->right, y, 3.2, true, SNUB_INK_TEXT, 1, pages->kind);
    const type line = {SUBJECT, false, SNUB_INK_TEXT, -1};
    block(pages, &line, pages->left, y + 2, pages->right - pages->left, pages->subject, true);
    rule(pages, pages->left, pages->top - 2.6, pages->right, pages->top - 2.6, 0.5, SNUB_INK_OUTLINE);
    double foot = pages->height - MARGIN + 1;
    rule(pages, pages->left, foot - 4, pages->right, foot - 4, 0.18, SNUB_INK_OUTLINE);
    snub_pages_words(pages, pages->left, foot, SMALL, false, SNUB_INK_QUIET, -1, snub_pages_origin(pages, text));
    snprintf(a, sizeof a, "%d", pages->page);
    snprintf(b, sizeof b, "%d", pages->count);
    snub_pages_words(pages, pages->right, foot, SMALL, false, SNUB_INK_QUIET, 1,
                     snub_pages_fill(pages, SAY("page {page} of {pages}"), "page", a, "pages", b, NULL));
}

void snub_pages_next(snub_pages *pages)
{
    if (pages->page > 0)
        cairo_show_page(pages->cr);
    pages->page++;
    pages->y = pages->begin = pages->top;
    if (pages->plain)
        return;
    head_and_foot(pages);
    if (pages->build == NULL)
        return;
    snub_pages_warn(pages);
    pages->begin = pages->y;
}

void snub_pages_room(snub_pages *pages, double mm)
{
    if (pages->y + mm > pages->bottom && pages->y > pages->begin + 0.1)
        snub_pages_next(pages);
}

void snub_pages_gap(snub_pages *pages, double mm)
{
    if (pages->y > pages->begin + 0.1)
        pages->y += mm;
}

static snub_status print_once(const snub_sheet *sheet, const snub_pages_job *job, int count, int *used, snub_text *out,
                              snub_error *error)
{
    snub_arena arena = {0};
    double size[2] = {sheet->paper == SNUB_PAPER_LETTER ? 215.9 : 210, sheet->paper == SNUB_PAPER_LETTER ? 279.4 : 297};
    snub_locale locale = sheet->locale != NULL ? *sheet->locale : (snub_locale){0};
    char fingerprint[65];
    locale.both = true;
    if (job->build != NULL)
        snub_drive_digest(job->build->build->drive, fingerprint);
    else
        snub_chart_digest(job->chart, fingerprint);
    snub_pages pages = {.sheet = sheet,
                        .build = job->build,
                        .locale = &locale,
                        .arena = &arena,
                        .fingerprint = fingerprint,
                        .plain = job->plain,
                        .count = count,
                        .width = size[job->landscape ? 1 : 0],
                        .height = size[job->landscape ? 0 : 1]};
    pages.kind = snub_say(pages.locale, job->kind);
    pages.left = MARGIN;
    pages.right = pages.width - MARGIN;
    pages.top = 10 + HEAD_HEIGHT;
    pages.bottom = pages.height - MARGIN - FOOT_HEIGHT + 4;
    pages.subject = subject_of(&pages, job);
    const char *title = snub_format(&arena, "%s: %s", sheet->title != NULL ? sheet->title : "snub", pages.kind);
    const char *created = sheet->date != NULL ? snub_format(&arena, "%sT00:00:00Z", sheet->date) : NULL;
    snub_imprint imprint = {.title = title, .subject = pages.subject, .creator = sheet->version, .created = created};
    cairo_surface_t *surface = snub_cairo_pdf(out, pages.width, pages.height, &imprint);
    pages.cr = cairo_create(surface);
    cairo_scale(pages.cr, SNUB_POINTS_PER_MM, SNUB_POINTS_PER_MM);
    pages.context = snub_cairo_text_context(pages.cr);
    const type line = {SUBJECT, false, SNUB_INK_TEXT, -1};
    pages.top += fmax(0, block(&pages, &line, 0, 0, pages.right - pages.left, pages.subject, false) - SUBJECT_LINE);
    snub_pages_next(&pages);
    snub_status status = job->print(&pages, job->context, error);
    cairo_show_page(pages.cr);
    cairo_status_t drawn = cairo_status(pages.cr);
    g_object_unref(pages.context);
    cairo_destroy(pages.cr);
    cairo_surface_finish(surface);
    if (drawn == CAIRO_STATUS_SUCCESS)
        drawn = cairo_surface_status(surface);
    cairo_surface_destroy(surface);
    *used = pages.page;
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
    int count = 0;
    snub_text counted = {0};
    snub_status status = print_once(sheet, job, 0, &count, &counted, error);
    snub_text_free(&counted);
    return status == SNUB_OK ? print_once(sheet, job, count, &count, out, error) : status;
}

/* ---- blocks ------------------------------------------------------------------------------------------------------ */

void snub_pages_heading(snub_pages *pages, const char *text)
{
    snub_pages_gap(pages, 3.5);
    snub_pages_room(pages, HEADING + TABLE_START); /* never alone at the foot of a page */
    snub_pages_words(pages, pages->left, pages->y + 3, 2.8, true, SNUB_INK_TEXT, -1, text);
    pages->y += HEADING;
}

static void paragraph(snub_pages *pages, const type *t, double indent, const char *text)
{
    double width = pages->right - pages->left - indent, height = block(pages, t, 0, 0, width, text, false);
    snub_pages_room(pages, height);
    block(pages, t, pages->left + indent, pages->y, width, text, true);
    pages->y += height + 1.2;
}

void snub_pages_paragraph(snub_pages *pages, const char *text)
{
    paragraph(pages, &(type){BODY, false, SNUB_INK_TEXT, -1}, 0, text);
}

void snub_pages_quiet(snub_pages *pages, const char *text)
{
    paragraph(pages, &(type){SMALL, false, SNUB_INK_QUIET, -1}, 0, text);
}

#define STEP_INDENT 13.0
static const type step_type = {2.5, false, SNUB_INK_TEXT, -1};

double snub_pages_step_height(snub_pages *pages, const char *text)
{
    return fmax(block(pages, &step_type, 0, 0, pages->right - pages->left - STEP_INDENT, text, false), 4.5) + 2.0;
}

void snub_pages_step(snub_pages *pages, int number, const char *text)
{
    const double height = snub_pages_step_height(pages, text);
    snub_pages_room(pages, height);
    if (number > 0) {
        char digits[16];
        snprintf(digits, sizeof digits, "%d", number);
        snub_pages_words(pages, pages->left + 5, pages->y + 3.3, 2.8, true, SNUB_INK_TEXT, 1, digits);
        set_ink(pages->cr, SNUB_INK_OUTLINE);
        cairo_set_line_width(pages->cr, 0.25);
        cairo_rectangle(pages->cr, pages->left + 6.8, pages->y + 0.3, 3.4, 3.4);
        cairo_stroke(pages->cr);
    }
    block(pages, &step_type, pages->left + STEP_INDENT, pages->y, pages->right - pages->left - STEP_INDENT, text, true);
    pages->y += height;
}

void snub_pages_drawing(snub_pages *pages, const snub_drawing *drawing, double x, double y, double scale)
{
    if (drawing->failed)
        pages->failed = true;
    else
        snub_cairo_drawing(pages->cr, drawing, SNUB_THEME_LIGHT, x, y, scale);
}

snub_status snub_pages_front(snub_pages *pages, double height, const char *heading, snub_error *error)
{
    snub_view view;
    snub_drawing drawing;
    snub_status status =
        snub_build_view(pages->build->build, pages->build->rest, pages->locale, pages->arena, &view, error);
    if (status != SNUB_OK)
        return status;
    view.bare = true;
    view.warning = NULL; /* it is on the page already */
    view.paper[0] = pages->right - pages->left;
    view.paper[1] = height;
    status = snub_draw_front(&view, pages->locale, pages->arena, &drawing, NULL, error);
    if (status != SNUB_OK)
        return status;
    snub_pages_room(pages, height + 10);
    if (heading != NULL)
        snub_pages_heading(pages, heading);
    snub_pages_drawing(pages, &drawing, pages->left, pages->y, 1);
    pages->y += height + 1.5;
    return SNUB_OK;
}

/* ---- cautions ---------------------------------------------------------------------------------------------------- */

/* Triangle with its exclamation mark, beside the words of every panel but NOTICE. */
static void alert(cairo_t *cr, double x, double y, double size)
{
    cairo_set_source_rgb(cr, 0, 0, 0);
    cairo_set_line_width(cr, size * 0.09);
    cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
    cairo_move_to(cr, x + size / 2, y);
    cairo_line_to(cr, x + size, y + size * 0.9);
    cairo_line_to(cr, x, y + size * 0.9);
    cairo_close_path(cr);
    cairo_stroke_preserve(cr);
    cairo_set_source_rgb(cr, 1, 1, 1);
    cairo_fill(cr);
    cairo_set_source_rgb(cr, 0, 0, 0);
    cairo_rectangle(cr, x + size * 0.455, y + size * 0.32, size * 0.09, size * 0.30);
    cairo_rectangle(cr, x + size * 0.455, y + size * 0.68, size * 0.09, size * 0.09);
    cairo_fill(cr);
}

#define PANEL 33.0    /**< width of the signal word's field, mm */
#define PANEL_GAP 2.0 /**< below a panel */
static const type caution_type = {CAUTION, false, SNUB_INK_TEXT, -1};

static double panel_width(const snub_pages *pages)
{
    return pages->right - pages->left - PANEL - 5;
}

static double panel_height(snub_pages *pages, const char *text)
{
    return fmax(block(pages, &caution_type, 0, 0, panel_width(pages), text, false) + 3, 8.5);
}

static void panel_of(snub_pages *pages, snub_signal signal, const char *text)
{
    static const struct {
        double red, green, blue;
        bool white;
    } panels[SNUB_SIGNALS_] = {
        {0.78, 0.06, 0.11, true}, {1.0, 0.51, 0.0, false}, {1.0, 0.84, 0.0, false}, {0.0, 0.32, 0.61, true}};
    const double panel = PANEL, height = panel_height(pages, text);
    snub_pages_room(pages, height + PANEL_GAP + STEP_AFTER);
    cairo_t *cr = pages->cr;
    double x = pages->left, y = pages->y;
    cairo_set_source_rgb(cr, panels[signal].red, panels[signal].green, panels[signal].blue);
    cairo_rectangle(cr, x, y, panel, height);
    cairo_fill(cr);
    set_ink(cr, SNUB_INK_OUTLINE);
    cairo_set_line_width(cr, 0.3);
    cairo_rectangle(cr, x, y, pages->right - pages->left, height);
    cairo_stroke(cr);
    if (signal != SNUB_SIGNAL_NOTICE)
        alert(cr, x + 2, y + height / 2 - 2.6, 5.4);
    const char *word = SAY(snub_signal_text(signal));
    double room = panel - (signal == SNUB_SIGNAL_NOTICE ? 4 : 10.4), need = snub_text_measure(word, 3, true);
    double left = x + (signal == SNUB_SIGNAL_NOTICE ? 2 : 8.6);
    snub_pages_words(pages, left + room / 2, y + height / 2 + 1.4, need > room ? 3 * room / need : 3, true,
                     panels[signal].white ? SNUB_INK_PAPER : SNUB_INK_TEXT, 0, word);
    const double words = block(pages, &caution_type, 0, 0, panel_width(pages), text, false);
    block(pages, &caution_type, x + panel + 2.5, y + (height - words) / 2, panel_width(pages), text, true);
    pages->y += height + PANEL_GAP;
}

/* Of a signal word; NULL where there is none. */
static const char *cautions_text(snub_pages *pages, snub_caution_set set, snub_signal signal)
{
    snub_text words = {0};
    int count = 0;
    for (int i = 0; i < SNUB_CAUTIONS_; i++) {
        const snub_caution_info *info = snub_caution_describe((snub_caution)i);
        if (!(set & SNUB_CAUTION_BIT(i)) || info->signal != signal)
            continue;
        snub_text_printf(&words, "%s\xe2\x80\xa2 %s", count++ > 0 ? "\n" : "", SAY(info->words));
    }
    if (count == 0)
        return NULL;
    const char *text = snub_pages_keep(pages, &words);
    return count > 1 ? text : text + strlen("\xe2\x80\xa2 "); /* a bullet alone says nothing */
}

void snub_pages_cautions(snub_pages *pages, snub_caution_set set)
{
    for (int signal = 0; signal < SNUB_SIGNALS_; signal++) {
        const char *text = cautions_text(pages, set, (snub_signal)signal);
        if (text != NULL)
            panel_of(pages, (snub_signal)signal, text);
    }
}

double snub_pages_cautions_height(snub_pages *pages, snub_caution_set set)
{
    double height = 0;
    for (int signal = 0; signal < SNUB_SIGNALS_; signal++) {
        const char *text = cautions_text(pages, set, (snub_signal)signal);
        height += text != NULL ? panel_height(pages, text) + PANEL_GAP : 0;
    }
    return height;
}

void snub_pages_more_cautions(snub_pages *pages)
{
    snub_pages_quiet(pages, SAY("The other cautions are on the fitting sheet; the report has all of them."));
}

/* ---- tables ------------------------------------------------------------------------------------------------------ */

#define CELL_PAD 1.2

static double cell(snub_pages *pages, const snub_pages_column *c, double x, double y, double width, double height,
                   bool bold, snub_ink ink, const char *text, bool draw)
{
    type t = {height, bold, ink, c->across};
    return text == NULL || text[0] == '\0' ? 0 : block(pages, &t, x + CELL_PAD, y, width - 2 * CELL_PAD, text, draw);
}

static void table_head(snub_pages *pages, const snub_pages_column *columns, int count, double all)
{
    double deep[2] = {0, 0}, x = pages->left, width = pages->right - pages->left;
    for (int pass = 0; pass < 2; pass++) {
        x = pages->left;
        for (int i = 0; i < count; i++) {
            double part = width * columns[i].share / all;
            deep[0] = fmax(deep[0], cell(pages, &columns[i], x, pages->y, part, SMALL, true, SNUB_INK_TEXT,
                                         columns[i].title, pass == 1));
            x += part;
        }
        x = pages->left;
        for (int i = 0; i < count; i++) {
            double part = width * columns[i].share / all;
            deep[1] = fmax(deep[1], cell(pages, &columns[i], x, pages->y + deep[0], part, SMALL, false, SNUB_INK_QUIET,
                                         columns[i].unit, pass == 1));
            x += part;
        }
    }
    pages->y += deep[0] + deep[1] + 0.8;
    rule(pages, pages->left, pages->y, pages->right, pages->y, 0.35, SNUB_INK_OUTLINE);
    pages->y += 0.7;
}

void snub_pages_table(snub_pages *pages, const snub_pages_column *columns, int count, const char *const *cells,
                      int rows)
{
    double all = 0, width = pages->right - pages->left;
    for (int i = 0; i < count; i++)
        all += columns[i].share;
    snub_pages_room(pages, TABLE_START);
    table_head(pages, columns, count, all);
    for (int r = 0; r < rows; r++) {
        double deep = 0;
        for (int pass = 0; pass < 2; pass++) {
            if (pass == 1 && pages->y + deep > pages->bottom) {
                snub_pages_next(pages);
                table_head(pages, columns, count, all);
            }
            double x = pages->left;
            for (int i = 0; i < count; i++) {
                const char *text = cells[(size_t)r * (size_t)count + (size_t)i];
                double part = width * columns[i].share / all;
                bool fail = text != NULL && strcmp(text, SAY(snub_level_text(SNUB_FAIL))) == 0;
                bool marginal = text != NULL && strcmp(text, SAY(snub_level_text(SNUB_MARGINAL))) == 0;
                deep = fmax(deep, cell(pages, &columns[i], x, pages->y, part, pages->cell > 0 ? pages->cell : 1.85,
                                       fail || marginal,
                                       fail       ? SNUB_INK_FAIL
                                       : marginal ? SNUB_INK_MARGINAL
                                                  : SNUB_INK_TEXT,
                                       text, pass == 1));
                x += part;
            }
        }
        pages->y += deep + 0.5;
        rule(pages, pages->left, pages->y, pages->right, pages->y, 0.1, SNUB_INK_FAINT);
        pages->y += 0.5;
    }
    pages->y += 1;
}

/* ---- words ------------------------------------------------------------------------------------------------------- */

static const char *value_of(const char *name, size_t length, va_list pairs)
{
    const char *key;
    while ((key = va_arg(pairs, const char *)) != NULL) {
        const char *value = va_arg(pairs, const char *);
        if (strlen(key) == length && memcmp(key, name, length) == 0)
            return value;
    }
    return NULL;
}

const char *snub_pages_fill(snub_pages *pages, const char *text, ...)
{
    snub_text out = {0};
    for (const char *c = text; *c != '\0';) {
        const char *end = *c == '{' ? strchr(c, '}') : NULL;
        const char *value = NULL;
        if (end != NULL) {
            va_list pairs;
            va_start(pairs, text);
            value = value_of(c + 1, (size_t)(end - c - 1), pairs);
            va_end(pairs);
        }
        if (value != NULL) {
            snub_text_puts(&out, value);
            c = end + 1;
        } else {
            snub_text_add(&out, c++, 1);
        }
    }
    const char *copy = out.failed || out.data == NULL ? NULL : snub_copy_text(pages->arena, out.data);
    snub_text_free(&out);
    if (copy == NULL)
        pages->failed = pages->failed || text[0] != '\0';
    return copy != NULL ? copy : "";
}

const char *snub_pages_number(snub_pages *pages, double value, int decimals, const char *unit)
{
    const snub_shown shown = snub_number_shown(pages->locale, value, unit, decimals);
    char number[32];
    snub_number_text(pages->locale, shown.value, shown.decimals, number);
    unit = shown.unit;
    if (unit == NULL || unit[0] == '\0' || !isfinite(value))
        return snub_pages_fill(pages, "{n}", "n", number, NULL);
    return snub_pages_fill(pages, "{n}\xc2\xa0{unit}", "n", number, "unit", unit, NULL);
}

const char *snub_pages_keep(snub_pages *pages, snub_text *text)
{
    const char *copy = snub_words_copy(text, pages->arena);
    pages->failed = pages->failed || copy == NULL;
    return copy != NULL ? copy : "";
}

const char *snub_pages_value(snub_pages *pages, double si, snub_unit unit, int decimals)
{
    snub_text text = {0};
    snub_value_text(pages->locale, si, unit, decimals, &text);
    return snub_pages_keep(pages, &text);
}

const char *snub_pages_length(snub_pages *pages, double metres, int decimals)
{
    return snub_pages_value(pages, metres, SNUB_UNIT_MM, decimals);
}

const char *snub_pages_torque(snub_pages *pages, double newton_metres)
{
    return snub_pages_value(pages, newton_metres, SNUB_UNIT_N_M, newton_metres < 10 ? 1 : 0);
}

/** Pages: what is set where, and where a page ends. */
#include "lettering.h"

#include <cairo-pdf.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "letterhead.h"
#include "words.h"

#define CODE_GAP 4.0        /**< above the code of the build */
#define HEADING 5.6         /**< a heading and what is free under it */
#define AFTER_PARAGRAPH 1.2 /**< free under it */
#define TABLE_START 18.0    /**< what a table is begun with: its head and a few rows */

/* ---- what stands on every page ----------------------------------------------------------------------------------- */

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
    const snub_type large = {4.2, true, ink, -1}, small = {SNUB_TYPE_BODY, false, SNUB_INK_TEXT, -1};
    const double width = pages->right - pages->left - 6;
    const double head = snub_type_block(pages, &large, 0, 0, width, word, false);
    const double deep = head + snub_type_block(pages, &small, 0, 0, width, text, false) + 4;
    const double y = pages->y;
    snub_type_block(pages, &large, pages->left + 3, y + 1.5, width, word, true);
    snub_type_block(pages, &small, pages->left + 3, y + 2 + head, width, text, true);
    snub_type_ink(pages->cr, ink);
    cairo_set_dash(pages->cr, NULL, 0, 0);
    cairo_set_line_width(pages->cr, 1.0);
    cairo_rectangle(pages->cr, pages->left + 0.5, y + 0.5, pages->right - pages->left - 1, deep);
    cairo_stroke(pages->cr);
    pages->y = y + deep + 2.5;
}

/* Values that nobody measured, on every page of every sheet. */
static void unmeasured(snub_pages *pages)
{
    snub_text words = {0};
    if (pages->placeholders.count == 0)
        return;
    snub_placeholder_words(&pages->placeholders, pages->locale, &words);
    notice(pages, SAY("Placeholders"), SNUB_INK_FAIL, snub_pages_keep(pages, &words));
}

/* A build that fails says so on every page, a marginal verdict on the first. */
void snub_pages_warn(snub_pages *pages)
{
    unmeasured(pages);
    if (pages->build == NULL)
        return;
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

const char *snub_pages_sheet_number(snub_pages *pages)
{
    const snub_letterhead *head = pages->head;
    return head->revision[0] != '\0' ? snub_pages_fill(pages, "{number}   {revision}", "number", head->number,
                                                       "revision", head->revision, NULL)
                                     : head->number;
}

/* At the left what the page was made from, as small as the rest leaves room for; at the right its numbers. */
static void foot_line(snub_pages *pages)
{
    char text[SNUB_ORIGIN_MOST], a[16], b[16];
    const double foot = pages->height - SNUB_PAGE_MARGIN + 1;
    snprintf(a, sizeof a, "%d", pages->page);
    snprintf(b, sizeof b, "%d", pages->count);
    const char *page = snub_pages_fill(pages, SAY("page {page} of {pages}"), "page", a, "pages", b, NULL);
    if (pages->head->house == NULL)
        page = snub_pages_fill(pages, "{number}   {page}", "number", pages->head->number, "page", page, NULL);
    snub_type_rule(pages, pages->left, foot - 4, pages->right, foot - 4, 0.18, SNUB_INK_OUTLINE);
    const double taken = snub_pages_words(pages, pages->right, foot, SNUB_TYPE_SMALL, false, SNUB_INK_QUIET, 1, page);
    const char *origin = snub_pages_origin(pages, text);
    const double room = pages->right - pages->left - taken - 4,
                 need = snub_text_measure(origin, SNUB_TYPE_SMALL, false);
    snub_pages_words(pages, pages->left, foot, SNUB_TYPE_SMALL * fmin(1, room / need), false, SNUB_INK_QUIET, -1,
                     origin);
}

static void head_and_foot(snub_pages *pages)
{
    const snub_sheet *s = pages->sheet;
    const char *title = s->title != NULL ? s->title : "";
    const double y = pages->top - SNUB_PAGE_HEAD + 3.4;
    const double kind = snub_text_measure(pages->kind, 3.2, true), room = pages->right - pages->left - kind - 6;
    const double need = snub_text_measure(title, 3.2, true);
    snub_letterhead_draw(pages, pages->head, SNUB_PAGE_EDGE);
    snub_type_heading(pages, pages->left, y, need > room ? 3.2 * room / need : 3.2, -1, title);
    snub_type_heading(pages, pages->right, y, 3.2, 1, pages->kind);
    const snub_type line = {SNUB_TYPE_SUBJECT, false, SNUB_INK_TEXT, -1};
    snub_type_block(pages, &line, pages->left, y + 2, pages->right - pages->left, pages->subject, true);
    snub_type_rule(pages, pages->left, pages->top - 2.6, pages->right, pages->top - 2.6, 0.5, SNUB_INK_OUTLINE);
    foot_line(pages);
}

static void head_line(snub_pages *pages, const char *text)
{
    snub_type_heading(pages, pages->left, pages->y + 3, 2.8, -1, text);
    pages->y += HEADING;
}

void snub_pages_drawing(snub_pages *pages, const snub_drawing *drawing, double x, double y, double scale)
{
    if (drawing->failed)
        pages->failed = true;
    else if (pages->count > 0)
        snub_cairo_drawing(pages->cr, drawing, SNUB_THEME_LIGHT, x, y, scale);
}

static snub_status place_front(snub_pages *pages, double height, snub_error *error)
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
    if (status == SNUB_OK)
        snub_pages_drawing(pages, &drawing, pages->left, pages->y, 1);
    return status;
}

static snub_status draw_front(snub_pages *pages, double height, const char *heading, snub_error *error)
{
    if (heading != NULL)
        head_line(pages, heading);
    const snub_status status = pages->count > 0 ? place_front(pages, height, error) : SNUB_OK;
    pages->y += height + 1.5;
    return status;
}

/* The picture that waited for this page. */
static void land(snub_pages *pages)
{
    const char *heading = pages->floating;
    if (heading == NULL)
        return;
    pages->floating = NULL;
    if (pages->floated == SNUB_OK)
        pages->floated = draw_front(pages, pages->floating_height, heading, pages->error);
    pages->begin = pages->y;
}

/* The build's code, on the first page that is left with room for it: at the end it would often have a page for itself.
 */
static void code_at_foot(snub_pages *pages)
{
    const double width = pages->right - pages->left;
    const double height = pages->coded ? 0 : snub_letterhead_code(pages, pages->head, 0, 0, width, false);
    if (height <= 0 || pages->y + CODE_GAP + height > pages->bottom)
        return;
    snub_letterhead_code(pages, pages->head, pages->left, pages->bottom - height, width, true);
    pages->coded = true;
}

void snub_pages_next(snub_pages *pages)
{
    if (pages->page > 0 && !pages->plain)
        code_at_foot(pages);
    if (pages->page > 0)
        cairo_show_page(pages->cr);
    pages->page++;
    pages->y = pages->begin = pages->top;
    if (pages->plain)
        return;
    head_and_foot(pages);
    snub_pages_warn(pages);
    pages->begin = pages->y;
    land(pages);
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

/* ---- blocks ------------------------------------------------------------------------------------------------------ */

void snub_pages_heading(snub_pages *pages, const char *text)
{
    snub_pages_gap(pages, 3.5);
    snub_pages_room(pages, HEADING + TABLE_START); /* never alone at the foot of a page */
    head_line(pages, text);
}

static void paragraph(snub_pages *pages, const snub_type *t, double indent, const char *text)
{
    double width = pages->right - pages->left - indent, height = snub_type_block(pages, t, 0, 0, width, text, false);
    snub_pages_room(pages, height);
    snub_type_block(pages, t, pages->left + indent, pages->y, width, text, true);
    pages->y += height + AFTER_PARAGRAPH;
}

void snub_pages_paragraph(snub_pages *pages, const char *text)
{
    paragraph(pages, &(snub_type){SNUB_TYPE_BODY, false, SNUB_INK_TEXT, -1}, 0, text);
}

static const snub_type quiet_type = {SNUB_TYPE_SMALL, false, SNUB_INK_QUIET, -1};

void snub_pages_quiet(snub_pages *pages, const char *text)
{
    paragraph(pages, &quiet_type, 0, text);
}

double snub_pages_quiet_height(snub_pages *pages, const char *text)
{
    return snub_type_block(pages, &quiet_type, 0, 0, pages->right - pages->left, text, false) + AFTER_PARAGRAPH;
}

#define STEP_INDENT 13.0
static const snub_type step_type = {2.5, false, SNUB_INK_TEXT, -1};

static double step_width(const snub_pages *pages)
{
    return pages->right - pages->narrow - pages->left - STEP_INDENT;
}

double snub_pages_step_height(snub_pages *pages, const char *text)
{
    return fmax(snub_type_block(pages, &step_type, 0, 0, step_width(pages), text, false), 4.5) + 2.0;
}

void snub_pages_step(snub_pages *pages, int number, const char *text)
{
    const double height = snub_pages_step_height(pages, text);
    snub_pages_room(pages, height);
    if (number > 0) {
        char digits[16];
        snprintf(digits, sizeof digits, "%d", number);
        snub_pages_words(pages, pages->left + 5, pages->y + 3.3, 2.8, true, SNUB_INK_TEXT, 1, digits);
        snub_type_ink(pages->cr, SNUB_INK_OUTLINE);
        cairo_set_line_width(pages->cr, 0.25);
        cairo_rectangle(pages->cr, pages->left + 6.8, pages->y + 0.3, 3.4, 3.4);
        cairo_stroke(pages->cr);
    }
    snub_type_block(pages, &step_type, pages->left + STEP_INDENT, pages->y, step_width(pages), text, true);
    pages->y += height;
}

snub_status snub_pages_front(snub_pages *pages, double height, const char *heading, snub_error *error)
{
    const double need = height + (heading != NULL ? 3.5 + HEADING : 0);
    if (pages->y + need > pages->bottom && pages->y > pages->begin + 0.1) {
        if (heading != NULL) {
            pages->floating = heading;
            pages->floating_height = height;
            return SNUB_OK;
        }
        snub_pages_next(pages);
    }
    if (heading != NULL)
        snub_pages_gap(pages, 3.5);
    return draw_front(pages, height, heading, error);
}

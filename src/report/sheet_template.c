/** The full-size template cut to pages. */
#include <math.h>
#include <stdio.h>

#include "ruler.h"
#include "template_pages.h"

#define OVERLAP SNUB_TEMPLATE_OVERLAP

/* Crosses where pages join: in the middle of the overlap, 60 mm apart, so that two sheets lie true on each other. */
static void crosses(snub_pages *pages, const snub_tiling *t, int column, int row)
{
    double step = 60, half = 3;
    for (int side = 0; side < 2; side++) {
        bool joined = snub_template_page_is(t, column + (side == 0 ? -1 : 1), row);
        double x = side == 0 ? EDGE + OVERLAP / 2 : EDGE + t->width - OVERLAP / 2;
        for (double y = EDGE + 20; joined && y < EDGE + t->height; y += step) {
            snub_stroke(pages->cr, x - half, y, x + half, y, 0.2);
            snub_stroke(pages->cr, x, y - half, x, y + half, 0.2);
        }
        joined = snub_template_page_is(t, column, row + (side == 0 ? -1 : 1));
        double y = side == 0 ? EDGE + OVERLAP / 2 : EDGE + t->height - OVERLAP / 2;
        for (double at = EDGE + 20; joined && at < EDGE + t->width; at += step) {
            snub_stroke(pages->cr, at - half, y, at + half, y, 0.2);
            snub_stroke(pages->cr, at, y - half, at, y + half, 0.2);
        }
    }
}

static void one_page(snub_pages *pages, const snub_drawing *drawing, const snub_tiling *t, int column, int row)
{
    cairo_t *cr = pages->cr;
    double left = column * (t->width - OVERLAP) - t->shift[0], top = row * (t->height - OVERLAP) - t->shift[1];
    cairo_save(cr);
    cairo_rectangle(cr, EDGE, EDGE, t->width, t->height);
    cairo_clip(cr);
    snub_pages_drawing(pages, drawing, EDGE - left, EDGE - top, 1);
    cairo_restore(cr);
    cairo_set_line_width(cr, 0.2);
    cairo_set_source_rgb(cr, 0, 0, 0);
    cairo_rectangle(cr, EDGE, EDGE, t->width, t->height);
    cairo_stroke(cr);
    crosses(pages, t, column, row);
    snub_ruler(pages);
    const char *name = snub_template_page_name(pages, column, row);
    double x = pages->width - EDGE, y = pages->height - EDGE;
    char at[16], all[16];
    snprintf(at, sizeof at, "%d", pages->page);
    snprintf(all, sizeof all, "%d", pages->count);
    snub_pages_words(pages, x, y - 5.5, 4, true, SNUB_INK_TEXT, 1, name);
    snub_pages_words(pages, x, y - 11.5, 1.6, false, SNUB_INK_QUIET, 1,
                     snub_pages_fill(pages, SAY("page {page} of {pages}"), "page", at, "pages", all, NULL));
    snub_pages_words(pages, x, y - 2.9, 1.5, false, SNUB_INK_QUIET, 1, pages->subject);
    snub_ruler_origin(pages);
    snub_pages_words(pages, EDGE + SNUB_RULER_MILLIMETRES + 14, y - 3.2 - SNUB_RULER_PITCH, 1.6, true, SNUB_INK_TEXT,
                     -1, SAY("print at 100 %"));
    if (snub_pages_fails(pages)) /* below the frame: inside of it stand the drawing's own labels */
        snub_pages_words(pages, x - 14, y - 6.4, 4.2, true, SNUB_INK_FAIL, 1, SAY("DO NOT FIT"));
}

/* The first page: how to print, how the pages lie, what to measure. */
static void cover(snub_pages *pages, const snub_drawing *drawing, const snub_tiling *t)
{
    char number[16];
    snprintf(number, sizeof number, "%d", t->printed);
    pages->y = EDGE + 4;
    pages->left = EDGE + 2;
    pages->right = pages->width - EDGE - 2;
    pages->bottom = pages->height - EDGE - FOOT;
    snub_pages_words(pages, pages->left, pages->y, 4, true, SNUB_INK_TEXT, -1,
                     pages->sheet->title != NULL ? pages->sheet->title : "");
    pages->y += 4;
    snub_pages_heading(pages, SAY("Template, full size"));
    snub_pages_paragraph(pages, pages->subject);
    snub_pages_warn(pages);
    snub_pages_step(pages, 1, snub_ruler_words(pages));
    snub_pages_step(pages, 2,
                    snub_pages_fill(pages,
                                    SAY("Join the {pages} pages: neighbours show {overlap} twice. Lay "
                                        "cross on cross against a window, then glue."),
                                    "pages", number, "overlap", snub_pages_length(pages, OVERLAP / 1000, 0), NULL));
    snub_pages_step(pages, 3,
                    SAY("Check two distances on the joined template against the engine before anything is cut or "
                        "drilled. Paper moves with the weather: bores are marked from the drawing's numbers."));
    snub_pages_cautions(pages, SNUB_CAUTION_BIT(SNUB_CAUTION_STOPPED) |
                                   snub_cautions_advised(pages->build->build, SNUB_ALL_AREAS));
    snub_pages_more_cautions(pages);
    snub_pages_wording(pages);
    snub_pages_gap(pages, 3);
    double room[2] = {pages->right - pages->left, pages->bottom - pages->y - 4};
    double scale = fmin(room[0] / t->whole[0], room[1] / t->whole[1]);
    double x = pages->left + (room[0] - t->whole[0] * scale) / 2, y = pages->y;
    snub_pages_drawing(pages, drawing, x, y, scale);
    cairo_save(pages->cr);
    for (int row = 0; row < t->down; row++)
        for (int column = 0; column < t->across; column++) {
            if (!snub_template_page_is(t, column, row))
                continue;
            const double low[2] = {fmax(0, column * (t->width - OVERLAP) - t->shift[0]),
                                   fmax(0, row * (t->height - OVERLAP) - t->shift[1])};
            const double high[2] = {fmin(t->whole[0], column * (t->width - OVERLAP) - t->shift[0] + t->width),
                                    fmin(t->whole[1], row * (t->height - OVERLAP) - t->shift[1] + t->height)};
            const double left = low[0] * scale, top = low[1] * scale;
            cairo_set_source_rgb(pages->cr, 0, 0.34, 0.42);
            cairo_set_line_width(pages->cr, 0.3);
            cairo_rectangle(pages->cr, x + left, y + top, (high[0] - low[0]) * scale, (high[1] - low[1]) * scale);
            cairo_stroke(pages->cr);
            snub_pages_words(pages, x + left + 3, y + top + 5, 3, true, SNUB_INK_SLOT, -1,
                             snub_template_page_name(pages, column, row));
        }
    cairo_restore(pages->cr);
    snub_ruler(pages);
    snub_ruler_origin(pages);
}

static snub_status print(snub_pages *pages, const void *context, snub_error *error)
{
    snub_drawing drawing;
    (void)context;
    const snub_status status = snub_template_draw(pages, &drawing, error);
    if (status != SNUB_OK)
        return status;
    snub_tiling t;
    snub_template_tile(pages, &drawing, &t);
    if (t.across * t.down > SNUB_TEMPLATE_PAGES_MOST)
        return snub_fail(error, SNUB_TOO_LARGE, NULL, NULL, "the template would take %d pages", t.across * t.down);
    cover(pages, &drawing, &t);
    for (int row = 0; row < t.down; row++)
        for (int column = 0; column < t.across; column++) {
            if (!snub_template_page_is(&t, column, row))
                continue;
            snub_pages_next(pages);
            one_page(pages, &drawing, &t, column, row);
        }
    return SNUB_OK;
}

snub_status snub_sheet_template(const snub_sheet *sheet, const snub_sheet_build *build, snub_text *out,
                                snub_error *error)
{
    snub_pages_job job = {.kind = SNUB_MESSAGE("Template"), .build = build, .plain = true, .print = print};
    return snub_pages_print(sheet, &job, out, error);
}

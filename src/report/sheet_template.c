/** The full-size template cut to pages. */
#include <math.h>
#include <stdio.h>

#include "press.h"
#include "snub/draw_drive.h"

#define EDGE 10.0   /**< mm that printers leave white, and room for the marks */
#define FOOT 14.0   /**< mm at the foot for the ruler and the page's name */
#define OVERLAP 8.0 /**< mm that neighbours show twice, to glue on */
#define RULER 100.0 /**< mm */

typedef struct tiling {
    double width, height; /* of the picture on a page */
    double whole[2];      /* of the drawing */
    int across, down;
} tiling;

static tiling tile(const snub_press *press, const snub_drawing *drawing)
{
    tiling t = {.width = press->width - 2 * EDGE, .height = press->height - EDGE - EDGE - FOOT};
    for (int i = 0; i < 2; i++)
        t.whole[i] = (drawing->high[i] - drawing->low[i]) / drawing->unit;
    t.across = (int)fmax(1, ceil((t.whole[0] - OVERLAP) / (t.width - OVERLAP)));
    t.down = (int)fmax(1, ceil((t.whole[1] - OVERLAP) / (t.height - OVERLAP)));
    return t;
}

static void stroke(cairo_t *cr, double x0, double y0, double x1, double y1, double width)
{
    cairo_set_source_rgb(cr, 0, 0, 0);
    cairo_set_line_width(cr, width);
    cairo_set_line_cap(cr, CAIRO_LINE_CAP_BUTT);
    cairo_move_to(cr, x0, y0);
    cairo_line_to(cr, x1, y1);
    cairo_stroke(cr);
}

/* Long strokes at every 20 mm, so that a printed page can be measured with any rule; ends at exactly 100 mm. */
static void ruler(snub_press *press)
{
    double x = EDGE + 4, y = press->height - EDGE - 3;
    stroke(press->cr, x, y, x + RULER, y, 0.2);
    for (int i = 0; i <= 100; i++) {
        double length = i % 10 == 0 ? 5 : i % 5 == 0 ? 3.2 : 1.8;
        stroke(press->cr, x + i, y, x + i, y - length, 0.1);
        if (i % 20 == 0)
            snub_press_words(press, x + i, y - 6, 1.6, false, SNUB_INK_TEXT, i == 100 ? -1 : 0,
                             snub_press_number(press, i, 0, i == 100 ? "mm" : ""));
    }
}

/* Crosses where pages join: in the middle of the overlap, 60 mm apart, so that two sheets lie true on each other. */
static void crosses(snub_press *press, const tiling *t, int column, int row)
{
    double step = 60, half = 3;
    for (int side = 0; side < 2; side++) {
        bool joined = side == 0 ? column > 0 : column + 1 < t->across;
        double x = side == 0 ? EDGE + OVERLAP / 2 : EDGE + t->width - OVERLAP / 2;
        for (double y = EDGE + 20; joined && y < EDGE + t->height; y += step) {
            stroke(press->cr, x - half, y, x + half, y, 0.2);
            stroke(press->cr, x, y - half, x, y + half, 0.2);
        }
        joined = side == 0 ? row > 0 : row + 1 < t->down;
        double y = side == 0 ? EDGE + OVERLAP / 2 : EDGE + t->height - OVERLAP / 2;
        for (double at = EDGE + 20; joined && at < EDGE + t->width; at += step) {
            stroke(press->cr, at - half, y, at + half, y, 0.2);
            stroke(press->cr, at, y - half, at, y + half, 0.2);
        }
    }
}

/* "B2": column letter from the left, row number from the top. */
static const char *page_name(snub_press *press, int column, int row)
{
    char text[32];
    if (column < 26)
        snprintf(text, sizeof text, "%c%d", 'A' + column, row + 1);
    else
        snprintf(text, sizeof text, "%c%c%d", 'A' + column / 26 - 1, 'A' + column % 26, row + 1);
    return snub_press_fill(press, "{t}", "t", text, NULL);
}

static void one_page(snub_press *press, const snub_drawing *drawing, const tiling *t, int column, int row)
{
    cairo_t *cr = press->cr;
    double left = column * (t->width - OVERLAP), top = row * (t->height - OVERLAP);
    cairo_save(cr);
    cairo_rectangle(cr, EDGE, EDGE, t->width, t->height);
    cairo_clip(cr);
    snub_press_drawing(press, drawing, EDGE - left, EDGE - top, 1);
    cairo_restore(cr);
    cairo_set_line_width(cr, 0.2);
    cairo_set_source_rgb(cr, 0, 0, 0);
    cairo_rectangle(cr, EDGE, EDGE, t->width, t->height);
    cairo_stroke(cr);
    crosses(press, t, column, row);
    ruler(press);
    const char *name = page_name(press, column, row);
    double x = press->width - EDGE, y = press->height - EDGE;
    snub_press_words(press, x, y - 5.5, 4, true, SNUB_INK_TEXT, 1, name);
    snub_press_words(press, x, y - 0.8, 1.5, false, SNUB_INK_QUIET, 1,
                     snub_press_fill(press, "{title}, {hash}", "title",
                                     press->sheet->build != NULL ? press->sheet->build : "", "hash",
                                     press->sheet->hash != NULL
                                         ? snub_press_fill(press, "{h}", "h",
                                                           snub_copy_text_n(press->arena, press->sheet->hash, 12), NULL)
                                         : "",
                                     NULL));
    snub_press_words(press, EDGE + RULER + 14, y - 3.2, 1.6, true, SNUB_INK_TEXT, -1, SAY("print at 100 %"));
}

/* The first page: how to print, how the pages lie, what to measure. */
static void cover(snub_press *press, const snub_drawing *drawing, const tiling *t)
{
    char number[16];
    snprintf(number, sizeof number, "%d", t->across * t->down);
    press->y = EDGE + 4;
    press->left = EDGE + 2;
    press->right = press->width - EDGE - 2;
    press->bottom = press->height - EDGE - FOOT;
    snub_press_words(press, press->left, press->y, 4, true, SNUB_INK_TEXT, -1,
                     press->sheet->title != NULL ? press->sheet->title : "");
    press->y += 4;
    snub_press_heading(press, SAY("Template, full size"));
    if (press->sheet->build != NULL)
        snub_press_paragraph(press, press->sheet->build);
    snub_press_step(press, 1,
                    SAY("Print at 100 %, without fitting or shrinking. Measure the ruler at the foot of every page: "
                        "it must be 100.0 mm (3.937 in). If it is not, do not use the pages."));
    snub_press_step(press, 2,
                    snub_press_fill(press,
                                    SAY("Join the {pages} pages: neighbours show {overlap} twice. Lay "
                                        "cross on cross against a window, then glue."),
                                    "pages", number, "overlap", snub_press_length(press, OVERLAP / 1000, 0), NULL));
    snub_press_step(press, 3,
                    SAY("Check two distances on the joined template against the engine before anything is cut or "
                        "drilled. Paper moves with the weather: bores are marked from the drawing's numbers."));
    snub_press_caution(
        press, SNUB_SIGNAL_WARNING,
        SAY("Engine off and cold, battery off, before a template is held against the front of an engine."));
    snub_press_gap(press, 3);
    double room[2] = {press->right - press->left, press->bottom - press->y - 4};
    double scale = fmin(room[0] / t->whole[0], room[1] / t->whole[1]);
    double x = press->left + (room[0] - t->whole[0] * scale) / 2, y = press->y;
    snub_press_drawing(press, drawing, x, y, scale);
    cairo_save(press->cr);
    for (int row = 0; row < t->down; row++)
        for (int column = 0; column < t->across; column++) {
            double left = column * (t->width - OVERLAP) * scale, top = row * (t->height - OVERLAP) * scale;
            cairo_set_source_rgb(press->cr, 0, 0.34, 0.42);
            cairo_set_line_width(press->cr, 0.3);
            cairo_rectangle(press->cr, x + left, y + top, fmin(t->width, t->whole[0] - left / scale) * scale,
                            fmin(t->height, t->whole[1] - top / scale) * scale);
            cairo_stroke(press->cr);
            snub_press_words(press, x + left + 3, y + top + 5, 3, true, SNUB_INK_SLOT, -1,
                             page_name(press, column, row));
        }
    cairo_restore(press->cr);
    ruler(press);
}

static snub_status print(snub_press *press, const void *context, snub_error *error)
{
    const snub_sheet_build *build = context;
    snub_view view;
    snub_drawing drawing;
    snub_status status = snub_view_of_check(build->rest, press->arena, &view, error);
    if (status != SNUB_OK)
        return status;
    view.bare = true;
    status = snub_draw_template(&view, press->speech, press->arena, &drawing, error);
    if (status != SNUB_OK)
        return status;
    tiling t = tile(press, &drawing);
    if (t.across * t.down > 400)
        return snub_fail(error, SNUB_TOO_LARGE, NULL, NULL, "the template would take %d pages", t.across * t.down);
    cover(press, &drawing, &t);
    for (int row = 0; row < t.down; row++)
        for (int column = 0; column < t.across; column++) {
            snub_press_page(press);
            one_page(press, &drawing, &t, column, row);
        }
    return SNUB_OK;
}

snub_status snub_sheet_template(const snub_sheet *sheet, const snub_sheet_build *build, snub_text *out,
                                snub_error *error)
{
    snub_press_job job = {.kind = MESSAGE("Template"), .plain = true, .print = print, .context = build};
    return snub_press_run(sheet, &job, out, error);
}

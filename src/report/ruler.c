/** Full-size pages: the ruler at their foot, by which a printer is checked. */
#include "ruler.h"

#include <math.h>

const char *snub_ruler_words(snub_pages *pages)
{
    return snub_pages_fill(
        pages,
        SAY("Print at 100 %, without fitting or shrinking. Measure a ruler at the foot of every page: "
            "{mm} mm or {inches} in. If it is not, do not use the pages."),
        "mm", snub_pages_number(pages, SNUB_RULER_MILLIMETRES, 1, ""), "inches",
        snub_pages_number(pages, SNUB_RULER_INCHES, 3, ""), NULL);
}

void snub_stroke(cairo_t *cr, double x0, double y0, double x1, double y1, double width)
{
    cairo_set_source_rgb(cr, 0, 0, 0);
    cairo_set_line_width(cr, width);
    cairo_set_line_cap(cr, CAIRO_LINE_CAP_BUTT);
    cairo_move_to(cr, x0, y0);
    cairo_line_to(cr, x1, y1);
    cairo_stroke(cr);
}

/* In the ruler's own unit, whatever the reader's is. @param[in] unit  NULL: none */
static const char *label(snub_pages *pages, int value, const char *unit)
{
    const char *number = snub_pages_number(pages, value, 0, "");
    return unit != NULL
               ? snub_pages_fill(pages, "{n}\xc2\xa0{unit}", "n", number, "unit", snub_say(pages->locale, unit), NULL)
               : number;
}

/* Numbers at every 20 mm, or at every inch with strokes at its sixteenths, so that a printed page can be measured with
 * any rule; ends at exactly 100 mm, or at four inches. */
static void one(snub_pages *pages, bool inches, double y)
{
    const double all = inches ? SNUB_RULER_INCHES * SNUB_INCH / SNUB_MM : SNUB_RULER_MILLIMETRES;
    const double step = inches ? SNUB_INCH / SNUB_MM / 16 : 1, x = EDGE + 4;
    const int strokes = (int)round(all / step), whole = inches ? 16 : 10, named = inches ? 16 : 20;
    snub_stroke(pages->cr, x, y, x + all, y, 0.2);
    for (int i = 0; i <= strokes; i++) {
        const double at = x + i * step, length = i % whole == 0 ? 5 : i % (whole / 2) == 0 ? 3.2 : 1.8;
        snub_stroke(pages->cr, at, y, at, y - length, 0.1);
        if (i % named == 0)
            snub_pages_words(pages, at, y - 6, 1.6, false, SNUB_INK_TEXT, i == strokes ? -1 : 0,
                             label(pages, inches ? i / whole : i,
                                   i < strokes ? NULL
                                   : inches    ? "in"
                                               : "mm"));
    }
}

void snub_ruler(snub_pages *pages)
{
    const double y = pages->height - EDGE - 3;
    one(pages, pages->locale->inches, y);
    one(pages, !pages->locale->inches, y - SNUB_RULER_PITCH);
}

void snub_ruler_origin(snub_pages *pages)
{
    char text[SNUB_ORIGIN_MOST];
    const snub_house *house = pages->sheet->house;
    const char *words =
        snub_pages_fill(pages, "{company}{number}   {origin}", "company",
                        house != NULL ? snub_pages_fill(pages, "{c}   ", "c", house->company, NULL) : "", "number",
                        snub_pages_sheet_number(pages), "origin", snub_pages_origin(pages, text), NULL);
    snub_pages_words(pages, pages->width - EDGE, pages->height - EDGE - 0.8, 1.5, false, SNUB_INK_QUIET, 1, words);
}

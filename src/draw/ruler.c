/** Rulers by which a printed drawing is checked. */
#include "ruler.h"

#include <math.h>
#include <stdio.h>

#include "compose.h"
#include "view.h"

double snub_draw_ruler_length(bool inches)
{
    return inches ? 4 * SNUB_INCH / SNUB_MM : 100;
}

void snub_draw_ruler(snub_drawing *drawing, const snub_locale *locale, bool inches, double x, double y, bool upright)
{
    const double all = snub_draw_ruler_length(inches), step = inches ? SNUB_INCH / SNUB_MM / 16 : 1;
    const int strokes = (int)round(all / step), whole = inches ? 16 : 10, named = inches ? 16 : 20;
    const snub_pen pen = snub_pen_make(SNUB_INK_TEXT, SNUB_DASH_SOLID, 0.18);
    snub_draw_line(drawing, SNUB_LAYER_FRAME, pen, x, y, x + (upright ? 0 : all), y + (upright ? all : 0));
    for (int i = 0; i <= strokes; i++) {
        double length = i % whole == 0 ? 5 : i % (whole / 2) == 0 ? 3.4 : 2;
        double ax = upright ? x : x + i * step, ay = upright ? y + i * step : y;
        snub_draw_line(drawing, SNUB_LAYER_FRAME, pen, ax, ay, ax + (upright ? length : 0),
                       ay + (upright ? 0 : length));
        if (i % named != 0)
            continue;
        char number[32], text[48];
        snub_number_text(locale, inches ? i / whole : i, 0, number);
        snprintf(text, sizeof text, i == strokes ? "%s %s" : "%s", number, inches ? "in" : "mm");
        snub_lettering lettering = {
            .height = 2.2, .across = upright ? -1 : 0, .up = upright ? 0 : -1, .ink = SNUB_INK_TEXT};
        snub_draw_text(drawing, SNUB_LAYER_FRAME, &lettering, ax + (upright ? 6 : 0), ay + (upright ? 0 : 6), text);
    }
}

void snub_draw_rulers(snub_drawing *drawing, const snub_locale *locale, double x, double y)
{
    const bool inches = snub_draw_inches(locale);
    const snub_lettering note = {.height = 2.5, .across = -1, .up = 1, .ink = SNUB_INK_TEXT, .bold = true};
    snub_draw_ruler(drawing, locale, inches, x, y, false);
    snub_draw_ruler(drawing, locale, !inches, x, y - SNUB_RULERS_PITCH, false);
    snub_draw_text(
        drawing, SNUB_LAYER_FRAME, &note, x, y - SNUB_RULERS_PITCH - 2,
        snub_say(locale,
                 SNUB_MESSAGE("Print at 100 %. Measure the rulers: 100.0 mm and 4.00 in, or do not use this sheet.")));
}

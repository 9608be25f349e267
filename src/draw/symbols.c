/** Arrows, dimensions, centre marks, scale bars: made of plain entities. */
#include <math.h>
#include <stdio.h>

#include "compose.h"
#include "snub/draw.h"

void snub_draw_arrow(snub_drawing *drawing, snub_layer layer, snub_ink ink, double x, double y, double direction,
                     double size)
{
    double length = size * drawing->unit, half = length * 0.30; /* slim enough to point, wide enough for a copier */
    double c = cos(direction), s = sin(direction);
    const snub_vertex corner[3] = {{x, y, 0},
                                   {x - c * length - s * half, y - s * length + c * half, 0},
                                   {x - c * length + s * half, y - s * length - c * half, 0}};
    snub_draw_path(drawing, layer, snub_pen_make(ink, SNUB_DASH_SOLID, 0.1), ink, corner, 3, true);
}

void snub_draw_centre(snub_drawing *drawing, double x, double y, double reach)
{
    snub_pen pen = snub_pen_make(SNUB_INK_QUIET, SNUB_DASH_CENTRE, 0.18);
    snub_draw_line(drawing, SNUB_LAYER_CENTRES, pen, x - reach, y, x + reach, y);
    snub_draw_line(drawing, SNUB_LAYER_CENTRES, pen, x, y - reach, x, y + reach);
}

/* Text reads from below or from the right, as ISO 129 has it. */
static double upright(double angle)
{
    double a = remainder(angle, 2 * SNUB_PI);
    return a > SNUB_PI / 2 + 1e-9 || a <= -SNUB_PI / 2 + 1e-9 ? a + SNUB_PI : a;
}

void snub_draw_dimension(snub_drawing *drawing, const double a[2], const double b[2], double offset, const char *text)
{
    const double head = 2.5, past = 1.5, gap = 1.0, height = 2.5; /* sheet mm */
    double unit = drawing->unit, length = hypot(b[0] - a[0], b[1] - a[1]);
    if (!(length > 0))
        return;
    double ux = (b[0] - a[0]) / length, uy = (b[1] - a[1]) / length, nx = -uy, ny = ux;
    double side = offset < 0 ? -1 : 1, reach = offset + side * past * unit, start = side * gap * unit;
    snub_pen pen = snub_pen_make(SNUB_INK_DIMENSION, SNUB_DASH_SOLID, 0.18);
    const double *ends[2] = {a, b};
    for (int i = 0; i < 2; i++)
        snub_draw_line(drawing, SNUB_LAYER_DIMENSION, pen, ends[i][0] + nx * start, ends[i][1] + ny * start,
                       ends[i][0] + nx * reach, ends[i][1] + ny * reach);
    double p[2] = {a[0] + nx * offset, a[1] + ny * offset}, q[2] = {b[0] + nx * offset, b[1] + ny * offset};
    double direction = atan2(uy, ux), turned = upright(direction);
    bool tight = length < 3 * head * unit; /* then the heads point in from outside */
    double tail = tight ? 2 * head * unit : 0;
    snub_draw_line(drawing, SNUB_LAYER_DIMENSION, pen, p[0] - ux * tail, p[1] - uy * tail, q[0] + ux * tail,
                   q[1] + uy * tail);
    snub_draw_arrow(drawing, SNUB_LAYER_DIMENSION, SNUB_INK_DIMENSION, p[0], p[1],
                    tight ? direction : direction + SNUB_PI, head);
    snub_draw_arrow(drawing, SNUB_LAYER_DIMENSION, SNUB_INK_DIMENSION, q[0], q[1],
                    tight ? direction + SNUB_PI : direction, head);
    snub_lettering lettering = {.height = height, .angle = turned, .up = -1, .ink = SNUB_INK_DIMENSION, .halo = true};
    double lift = 0.9 * unit;
    snub_draw_text(drawing, SNUB_LAYER_DIMENSION, &lettering, (p[0] + q[0]) / 2 - sin(turned) * lift,
                   (p[1] + q[1]) / 2 + cos(turned) * lift, text);
}

/* The largest of 1, 2, 5 times a power of ten that is not over `about`. */
static double round_under(double about)
{
    double power = pow(10, floor(log10(about)));
    return about >= 5 * power ? 5 * power : about >= 2 * power ? 2 * power : power;
}

void snub_draw_scale_bar(snub_drawing *drawing, const snub_locale *locale, double x, double y, double about)
{
    if (!(about > 0) || !isfinite(about))
        return;
    const bool inches = locale != NULL && locale->inches;
    const double size = inches ? SNUB_INCH / SNUB_MM : 1; /* model mm */
    double length = round_under(about / size) * size, height = 1.6 * drawing->unit;
    snub_pen pen = snub_pen_make(SNUB_INK_TEXT, SNUB_DASH_SOLID, 0.18);
    for (int i = 0; i < 4; i++)
        snub_draw_rectangle(drawing, SNUB_LAYER_FRAME, pen, i % 2 == 0 ? SNUB_INK_TEXT : SNUB_INK_PAPER,
                            x + i * length / 4, y, x + (i + 1) * length / 4, y + height);
    snub_lettering lettering = {.height = 2.2, .ink = SNUB_INK_TEXT, .up = -1};
    for (int i = 0; i <= 4; i += 2) {
        char number[32], text[48];
        const double at = i * length / 4, value = round(at / size * 1e9) / 1e9, half = length / size / 2 * 10;
        snub_number_text(locale, value, value == floor(value) ? 0 : fabs(half - floor(half)) < 1e-9 ? 1 : 2, number);
        snprintf(text, sizeof text, i == 4 ? "%s %s" : "%s", number, inches ? "in" : "mm");
        lettering.across = i == 4 ? -1 : 0;
        double shift = i == 4 ? -snub_text_measure(number, lettering.height, false) / 2 * drawing->unit : 0;
        snub_draw_text(drawing, SNUB_LAYER_FRAME, &lettering, x + at + shift, y + height + drawing->unit, text);
    }
}

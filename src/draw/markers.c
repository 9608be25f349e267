/** Markers: seven shapes that a copier keeps apart. */
#include "markers.h"
#include "compose.h"

#include <math.h>

static void polygon(snub_drawing *drawing, snub_layer layer, snub_ink ink, double x, double y, double radius, int n,
                    double start)
{
    snub_vertex corner[4];
    for (int i = 0; i < n; i++) {
        double angle = start + 2 * SNUB_PI * i / n;
        corner[i] = (snub_vertex){x + radius * cos(angle), y + radius * sin(angle), 0};
    }
    snub_draw_path(drawing, layer, snub_pen_make(ink, SNUB_DASH_SOLID, 0.2), ink, corner, n, true);
}

static void strokes(snub_drawing *drawing, snub_layer layer, snub_ink ink, double x, double y, double radius, int n,
                    double start)
{
    for (int i = 0; i < n; i++) {
        double c = radius * cos(start + SNUB_PI * i / n), s = radius * sin(start + SNUB_PI * i / n);
        snub_draw_line(drawing, layer, snub_pen_make(ink, SNUB_DASH_SOLID, 0.35), x - c, y - s, x + c, y + s);
    }
}

void snub_draw_marker(snub_drawing *drawing, snub_layer layer, snub_marker marker, snub_ink ink, double x, double y,
                      double size)
{
    double r = size * drawing->unit / 2;
    snub_pen edge = snub_pen_make(ink, SNUB_DASH_SOLID, 0.3);
    switch (marker) {
    case SNUB_MARKER_DISC: snub_draw_circle(drawing, layer, edge, ink, x, y, r * 0.8); break;
    case SNUB_MARKER_SQUARE: polygon(drawing, layer, ink, x, y, r * 1.1, 4, SNUB_PI / 4); break;
    case SNUB_MARKER_TRIANGLE: polygon(drawing, layer, ink, x, y, r * 1.15, 3, SNUB_PI / 2); break;
    case SNUB_MARKER_DIAMOND: polygon(drawing, layer, ink, x, y, r * 1.2, 4, 0); break;
    case SNUB_MARKER_CROSS: strokes(drawing, layer, ink, x, y, r, 2, SNUB_PI / 4); break;
    case SNUB_MARKER_RING: snub_draw_circle(drawing, layer, edge, SNUB_INK_PAPER, x, y, r * 0.85); break;
    case SNUB_MARKER_STAR: strokes(drawing, layer, ink, x, y, r, 3, SNUB_PI / 2); break;
    case SNUB_MARKER_NONE:
    case SNUB_MARKER_COUNT_: break;
    }
}

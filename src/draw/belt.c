/** The belt as it lies: true lines and arcs. */
#include <math.h>

#include "compose.h"
#include "view.h"

/* Touch point moved along its radius to another radius. */
static void moved(const snub_view_pulley *p, const double touch[2], double radius, snub_vertex *out)
{
    double part = radius / p->pitch_radius;
    out->x = p->centre[0] + (touch[0] - p->centre[0]) * part;
    out->y = p->centre[1] + (touch[1] - p->centre[1]) * part;
}

/* A surface of the belt lies `towards_back` of the pitch line (negative: towards the ribs). The ribs face a ribbed
 * pulley, the back faces the other kind, so the same surface is farther from the one's centre and nearer to the
 * other's. */
static snub_loop surface(const snub_view_build *build, double towards_back, snub_vertex *vertex)
{
    for (int i = 0; i < build->count; i++) {
        const snub_view_pulley *p = &build->pulley[i];
        double radius = p->pitch_radius + (p->back ? -towards_back : towards_back);
        moved(p, p->enter, radius, &vertex[2 * i]);
        moved(p, p->leave, radius, &vertex[2 * i + 1]);
        vertex[2 * i].bulge = tan(-p->sense * p->wrap / 4);
        vertex[2 * i + 1].bulge = 0;
    }
    return (snub_loop){.count = 2 * build->count, .closed = true, .vertex = vertex};
}

void snub_draw_belt(snub_drawing *drawing, const snub_view_build *build)
{
    snub_vertex *vertex = SNUB_NEW(drawing->arena, snub_vertex, 4 * build->count);
    if (vertex == NULL) {
        drawing->failed = true;
        return;
    }
    snub_loop loop[2] = {surface(build, build->back, vertex),
                         surface(build, build->back - build->thickness, vertex + 2 * build->count)};
    snub_draw_loops(drawing, SNUB_LAYER_BELT, snub_pen_make(SNUB_INK_BELT, SNUB_DASH_SOLID, 0.25), SNUB_INK_BELT_FILL,
                    loop, 2);
}

void snub_draw_pitch_line(snub_drawing *drawing, snub_layer layer, snub_pen pen, const snub_view_build *build)
{
    for (int i = 0; i < build->count; i++) {
        const snub_view_pulley *p = &build->pulley[i], *next = &build->pulley[(i + 1) % build->count];
        double start = atan2(p->enter[1] - p->centre[1], p->enter[0] - p->centre[0]);
        snub_draw_arc(drawing, layer, pen, p->centre[0], p->centre[1], p->pitch_radius, start, -p->sense * p->wrap);
        snub_draw_line(drawing, layer, pen, p->leave[0], p->leave[1], next->enter[0], next->enter[1]);
    }
}

/* Heads on the belt, in the middle of every span that is long enough. */
void snub_draw_travel(snub_drawing *drawing, const snub_view_build *build)
{
    double size = 3.0;
    for (int i = 0; i < build->count; i++) {
        const snub_view_pulley *p = &build->pulley[i], *next = &build->pulley[(i + 1) % build->count];
        double dx = next->enter[0] - p->leave[0], dy = next->enter[1] - p->leave[1], d = hypot(dx, dy);
        if (d < 2.5 * size * drawing->unit)
            continue;
        double tip = 0.5 + size * drawing->unit / 2 / d;
        snub_draw_arrow(drawing, SNUB_LAYER_PITCH, SNUB_INK_BELT, p->leave[0] + dx * tip, p->leave[1] + dy * tip,
                        atan2(dy, dx), size);
    }
}

/** The list of entities: adding to it, and how far it reaches. */
#include <math.h>
#include <string.h>

#include "compose.h"
#include "shape.h"
#include "snub/draw.h"

void snub_drawing_init(snub_drawing *drawing, snub_arena *arena, double unit)
{
    memset(drawing, 0, sizeof *drawing);
    drawing->arena = arena;
    drawing->unit = unit;
    drawing->failed = !(unit > 0) || !isfinite(unit);
}

void snub_drawing_frame(snub_drawing *drawing, double low_x, double low_y, double high_x, double high_y)
{
    drawing->low[0] = low_x;
    drawing->low[1] = low_y;
    drawing->high[0] = high_x;
    drawing->high[1] = high_y;
}

snub_status snub_drawing_ready(const snub_drawing *drawing, snub_error *error)
{
    if (drawing->failed)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL,
                         "the drawing is incomplete: out of memory, or a coordinate is not a number");
    double width = (drawing->high[0] - drawing->low[0]) / drawing->unit;
    double height = (drawing->high[1] - drawing->low[1]) / drawing->unit;
    if (!(width > 0) || !(height > 0))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the drawing has no sheet");
    if (!(width <= SNUB_SHEET_MOST) || !(height <= SNUB_SHEET_MOST))
        return snub_fail(error, SNUB_TOO_LARGE, NULL, NULL, "the sheet would be larger than %.0f mm", SNUB_SHEET_MOST);
    return SNUB_OK;
}

/* The next entity, zeroed; NULL once the drawing has failed. Room doubles; the old list stays in the arena. */
static snub_entity *add(snub_drawing *drawing, snub_entity_kind kind, snub_layer layer, snub_pen pen)
{
    if (drawing->failed)
        return NULL;
    if (drawing->count == drawing->room) {
        int room = drawing->room == 0 ? 128 : 2 * drawing->room;
        snub_entity *grown = room > SNUB_ENTITIES_MOST ? NULL : SNUB_NEW(drawing->arena, snub_entity, room);
        if (grown == NULL) {
            drawing->failed = true;
            return NULL;
        }
        if (drawing->count > 0)
            memcpy(grown, drawing->entity, (size_t)drawing->count * sizeof *grown);
        drawing->entity = grown;
        drawing->room = room;
    }
    snub_entity *entity = &drawing->entity[drawing->count++];
    entity->kind = kind;
    entity->layer = layer;
    entity->pen = pen;
    return entity;
}

/* A coordinate that is no number, or that no form could write exactly, spoils the drawing rather than a file. */
static bool all_finite(snub_drawing *drawing, const double *values, int count)
{
    for (int i = 0; i < count; i++)
        if (!(fabs(values[i]) <= SNUB_COORDINATE_MOST))
            drawing->failed = true;
    return !drawing->failed;
}

void snub_draw_line(snub_drawing *drawing, snub_layer layer, snub_pen pen, double ax, double ay, double bx, double by)
{
    if (!all_finite(drawing, (double[]){ax, ay, bx, by}, 4))
        return;
    snub_entity *entity = add(drawing, SNUB_ENTITY_LINE, layer, pen);
    if (entity == NULL)
        return;
    entity->as.line.a[0] = ax;
    entity->as.line.a[1] = ay;
    entity->as.line.b[0] = bx;
    entity->as.line.b[1] = by;
}

void snub_draw_arc(snub_drawing *drawing, snub_layer layer, snub_pen pen, double x, double y, double radius,
                   double start, double sweep)
{
    if (!all_finite(drawing, (double[]){x, y, radius, start, sweep}, 5))
        return;
    if (fabs(sweep) >= 2 * SNUB_PI - SNUB_FULL_TURN_SLACK) {
        snub_draw_circle(drawing, layer, pen, SNUB_INK_NONE, x, y, radius);
        return;
    }
    snub_entity *entity = add(drawing, SNUB_ENTITY_ARC, layer, pen);
    if (entity == NULL)
        return;
    entity->as.arc.centre[0] = x;
    entity->as.arc.centre[1] = y;
    entity->as.arc.radius = radius;
    entity->as.arc.start = start;
    entity->as.arc.sweep = sweep;
}

void snub_draw_circle(snub_drawing *drawing, snub_layer layer, snub_pen pen, snub_ink fill, double x, double y,
                      double radius)
{
    if (!all_finite(drawing, (double[]){x, y, radius}, 3))
        return;
    snub_entity *entity = add(drawing, SNUB_ENTITY_CIRCLE, layer, pen);
    if (entity == NULL)
        return;
    entity->fill = fill;
    entity->as.circle.centre[0] = x;
    entity->as.circle.centre[1] = y;
    entity->as.circle.radius = radius;
}

/* Corners, bulges, and the radii that the bulges stand for. */
static bool loop_good(snub_drawing *drawing, const snub_loop *loop)
{
    for (int k = 0; k < loop->count; k++) {
        const snub_vertex *a = &loop->vertex[k], *b = &loop->vertex[(k + 1) % loop->count];
        double centre[2], radius, start, sweep;
        if (!all_finite(drawing, (double[]){a->x, a->y, a->bulge}, 3))
            return false;
        if (snub_bulge_arc(a, b, centre, &radius, &start, &sweep) &&
            !all_finite(drawing, (double[]){centre[0], centre[1], radius}, 3))
            return false;
    }
    return true;
}

void snub_draw_loops(snub_drawing *drawing, snub_layer layer, snub_pen pen, snub_ink fill, const snub_loop *loop,
                     int count)
{
    if (drawing->failed || count < 1)
        return;
    snub_loop *copy = SNUB_NEW(drawing->arena, snub_loop, count);
    for (int i = 0; copy != NULL && i < count; i++) {
        snub_vertex *vertex = SNUB_NEW(drawing->arena, snub_vertex, loop[i].count > 0 ? loop[i].count : 1);
        if (vertex == NULL) {
            copy = NULL;
            break;
        }
        memcpy(vertex, loop[i].vertex, (size_t)loop[i].count * sizeof *vertex);
        copy[i] = (snub_loop){.count = loop[i].count, .closed = loop[i].closed, .vertex = vertex};
        if (!loop_good(drawing, &copy[i]))
            return;
    }
    if (copy == NULL) {
        drawing->failed = true;
        return;
    }
    snub_entity *entity = add(drawing, SNUB_ENTITY_PATH, layer, pen);
    if (entity == NULL)
        return;
    entity->fill = fill;
    entity->as.path.count = count;
    entity->as.path.loop = copy;
}

void snub_draw_path(snub_drawing *drawing, snub_layer layer, snub_pen pen, snub_ink fill, const snub_vertex *vertex,
                    int count, bool closed)
{
    snub_draw_loops(drawing, layer, pen, fill, &(snub_loop){.count = count, .closed = closed, .vertex = vertex}, 1);
}

void snub_draw_rectangle(snub_drawing *drawing, snub_layer layer, snub_pen pen, snub_ink fill, double low_x,
                         double low_y, double high_x, double high_y)
{
    const snub_vertex corner[4] = {{low_x, low_y, 0}, {high_x, low_y, 0}, {high_x, high_y, 0}, {low_x, high_y, 0}};
    snub_draw_path(drawing, layer, pen, fill, corner, 4, true);
}

/* One line, and nothing that XML 1.0 or a DXF line cannot carry, or that does not show: controls become spaces, the
 * others and bytes that begin no character question marks. */
static void make_plain(char *text)
{
    const char *end = text + strlen(text);
    for (const char *at = text; at < end;) {
        char *here = text + (at - text);
        uint32_t point = snub_utf8_next(&at, end);
        bool control = point < 0x20 || point == 0x7f;
        if (snub_utf8_is_hidden(point) || (point == 0xfffd && at - here == 1))
            memset(here, control ? ' ' : '?', (size_t)(at - here));
    }
}

void snub_draw_text(snub_drawing *drawing, snub_layer layer, const snub_lettering *lettering, double x, double y,
                    const char *text)
{
    if (text == NULL || text[0] == '\0' || !all_finite(drawing, (double[]){x, y, lettering->angle}, 3))
        return;
    char *copy = snub_copy_text(drawing->arena, text);
    if (copy == NULL) {
        drawing->failed = true;
        return;
    }
    make_plain(copy);
    snub_entity *entity = add(drawing, SNUB_ENTITY_TEXT, layer, snub_pen_make(lettering->ink, SNUB_DASH_SOLID, 0));
    if (entity == NULL)
        return;
    entity->as.text.at[0] = x;
    entity->as.text.at[1] = y;
    entity->as.text.height = lettering->height;
    entity->as.text.angle = lettering->angle;
    entity->as.text.across = lettering->across;
    entity->as.text.up = lettering->up;
    entity->as.text.bold = lettering->bold;
    entity->as.text.halo = lettering->halo;
    entity->as.text.text = copy;
}

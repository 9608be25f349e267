/** Single parts seen from the front: pulley, arm, slot, obstacle, hole. */
#include <math.h>

#include "compose.h"
#include "view.h"

static snub_pen solid(snub_ink ink, double width)
{
    return snub_pen_make(ink, SNUB_DASH_SOLID, width);
}

void snub_draw_turn(snub_drawing *drawing, snub_layer layer, snub_pen pen, const double centre[2], double radius,
                    double from, double sweep, double size)
{
    double end = from + sweep, sense = sweep < 0 ? 1 : -1;
    snub_draw_arc(drawing, layer, pen, centre[0], centre[1], radius, from,
                  sweep * (1 - size * drawing->unit * 0.8 / (fabs(sweep) * radius)));
    snub_draw_arrow(drawing, layer, pen.ink, centre[0] + radius * cos(end), centre[1] + radius * sin(end),
                    end - sense * SNUB_PI / 2 + sense * 0.12, size);
}

/* A curved arrow inside the rim: the way the pulley turns. */
static void turn_arrow(snub_drawing *drawing, const snub_view_pulley *p, double radius)
{
    double from = p->sense > 0 ? 125 * SNUB_PI / 180 : 55 * SNUB_PI / 180, sweep = -p->sense * 70 * SNUB_PI / 180;
    snub_draw_turn(drawing, SNUB_LAYER_PULLEY, solid(SNUB_INK_OUTLINE, 0.35), p->centre, radius, from, sweep,
                   fmin(2.6, 0.45 * radius / drawing->unit));
}

/* Ribbed: three fine circles for the grooves. Plain: a clean face and a bearing's ring. Both told again in words. */
void snub_draw_disc(snub_drawing *drawing, const snub_view_pulley *p)
{
    double x = p->centre[0], y = p->centre[1], outer = p->outer_radius, unit = drawing->unit;
    snub_draw_circle(drawing, SNUB_LAYER_PULLEY, solid(SNUB_INK_OUTLINE, 0.35),
                     p->back ? SNUB_INK_BACK_FILL : SNUB_INK_RIB_FILL, x, y, p->rim_radius);
    if (fabs(p->rim_radius - outer) > 0.1 * unit) /* flanges, or a groove that lies inside the rim */
        snub_draw_circle(drawing, SNUB_LAYER_PULLEY, solid(SNUB_INK_OUTLINE, 0.18), SNUB_INK_NONE, x, y, outer);
    double step = 0.75 * unit;
    for (int i = 1; !p->back && i <= 3 && outer - i * step > 0.5 * outer; i++)
        snub_draw_circle(drawing, SNUB_LAYER_PULLEY, solid(SNUB_INK_OUTLINE, 0.13), SNUB_INK_NONE, x, y,
                         outer - i * step);
    double ring = fmin(outer * 0.28, 8 * unit);
    if (p->back)
        snub_draw_circle(drawing, SNUB_LAYER_PULLEY, snub_pen_make(SNUB_INK_OUTLINE, SNUB_DASH_DASHED, 0.18),
                         SNUB_INK_NONE, x, y, ring);
}

void snub_draw_pulley(snub_drawing *drawing, const snub_view_pulley *p)
{
    const double outer = p->outer_radius, unit = drawing->unit;
    snub_draw_disc(drawing, p);
    turn_arrow(drawing, p, fmax(outer - 5.2 * unit, 0.55 * outer));
    snub_draw_centre(drawing, p->centre[0], p->centre[1], fmin(outer * 0.25, 2.4 * unit));
}

/* Two half circles joined by the tangents of equal circles. */
static void bar(snub_drawing *drawing, snub_layer layer, snub_pen pen, snub_ink fill, const double a[2],
                const double b[2], double half)
{
    double dx = b[0] - a[0], dy = b[1] - a[1], d = hypot(dx, dy);
    if (!(d > 0))
        return;
    double nx = -dy / d * half, ny = dx / d * half;
    const snub_vertex v[4] = {
        {a[0] + nx, a[1] + ny, 1}, {a[0] - nx, a[1] - ny, 0}, {b[0] - nx, b[1] - ny, 1}, {b[0] + nx, b[1] + ny, 0}};
    snub_draw_path(drawing, layer, pen, fill, v, 4, true);
}

void snub_draw_arm_bar(snub_drawing *drawing, const snub_view *view)
{
    const snub_view_arm *arm = &view->arm;
    const snub_view_pulley *p = &view->build[0].pulley[arm->pulley];
    const double half = fmin(2.2 * drawing->unit, 0.2 * arm->length);
    bar(drawing, SNUB_LAYER_ARM, solid(SNUB_INK_ARM, 0.35), SNUB_INK_ARM_FILL, arm->pivot, p->centre, half);
    snub_draw_circle(drawing, SNUB_LAYER_ARM, solid(SNUB_INK_ARM, 0.35), SNUB_INK_PAPER, arm->pivot[0], arm->pivot[1],
                     half * 0.6);
    snub_draw_circle(drawing, SNUB_LAYER_ARM, solid(SNUB_INK_ARM, 0.35), SNUB_INK_PAPER, p->centre[0], p->centre[1],
                     half * 0.6);
}

static void ghost(snub_drawing *drawing, const snub_view_arm *arm, double wind, double radius)
{
    double at[2];
    snub_pen pen = snub_pen_make(SNUB_INK_QUIET, SNUB_DASH_PHANTOM, 0.18);
    snub_view_arm_point(arm, wind, at);
    snub_draw_circle(drawing, SNUB_LAYER_GHOST, pen, SNUB_INK_NONE, at[0], at[1], radius);
    snub_draw_line(drawing, SNUB_LAYER_GHOST, pen, arm->pivot[0], arm->pivot[1], at[0], at[1]);
}

/* A short stroke across the path of the pulley's centre. */
static void stroke_across(snub_drawing *drawing, const snub_view_arm *arm, double wind, double half, snub_pen pen)
{
    double angle = arm->rest + arm->winds * wind, c = cos(angle), s = sin(angle);
    snub_draw_line(drawing, SNUB_LAYER_ARM, pen, arm->pivot[0] + (arm->length - half) * c,
                   arm->pivot[1] + (arm->length - half) * s, arm->pivot[0] + (arm->length + half) * c,
                   arm->pivot[1] + (arm->length + half) * s);
}

void snub_draw_arm(snub_drawing *drawing, const snub_view *view)
{
    const snub_view_arm *arm = &view->arm;
    if (arm->pulley < 0)
        return;
    const snub_view_pulley *p = &view->build[0].pulley[arm->pulley];
    const double unit = drawing->unit;
    ghost(drawing, arm, 0, p->outer_radius);
    ghost(drawing, arm, arm->travel, p->outer_radius);
    snub_draw_arc(drawing, SNUB_LAYER_ARM, solid(SNUB_INK_ARM, 0.25), arm->pivot[0], arm->pivot[1], arm->length,
                  arm->rest, arm->winds * arm->travel);
    if (arm->work[1] > arm->work[0])
        snub_draw_arc(drawing, SNUB_LAYER_ARM, solid(SNUB_INK_ARM, 0.7), arm->pivot[0], arm->pivot[1], arm->length,
                      arm->rest + arm->winds * arm->work[0], arm->winds * (arm->work[1] - arm->work[0]));
    stroke_across(drawing, arm, 0, 1.6 * unit, solid(SNUB_INK_ARM, 0.5));
    stroke_across(drawing, arm, arm->travel, 1.6 * unit, solid(SNUB_INK_ARM, 0.5));
    snub_draw_arm_bar(drawing, view);
}

/* Every how many mm a slot's scale has a stroke, as fine as the sheet can show apart; and every how many strokes a long
 * one: 10 mm, or half an inch. */
static double slot_step(double unit, bool inches, int *longer)
{
    const double mm = unit <= 1.25 ? 1 : unit <= 2.5 ? 2 : unit <= 6 ? 5 : unit <= 12 ? 10 : 50;
    const double inch = unit <= 1.25 ? 0.05 : unit <= 2.5 ? 0.1 : unit <= 6 ? 0.25 : unit <= 12 ? 0.5 : 2;
    *longer = (int)round(fmax(1, inches ? 0.5 / inch : 10 / mm));
    return inches ? inch * SNUB_INCH / SNUB_MM : mm;
}

void snub_draw_slot_line(snub_drawing *drawing, const snub_view_slot *slot)
{
    const snub_pen line = solid(SNUB_INK_SLOT, 0.5);
    if (slot->curved)
        snub_draw_arc(drawing, SNUB_LAYER_SLOT, line, slot->centre[0], slot->centre[1], slot->radius, slot->start,
                      slot->sweep);
    else
        snub_draw_line(drawing, SNUB_LAYER_SLOT, line, slot->from[0], slot->from[1], slot->to[0], slot->to[1]);
}

void snub_draw_slot(snub_drawing *drawing, const snub_view_slot *slot)
{
    int longer;
    double unit = drawing->unit, step = slot_step(unit, drawing->inches, &longer), point[2], u[2];
    snub_pen line = solid(SNUB_INK_SLOT, 0.5);
    snub_draw_slot_line(drawing, slot);
    for (int i = 0; i * step <= slot->length + 1e-9 && i < 2000; i++) {
        bool tenth = i % longer == 0;
        double half = (tenth ? 1.5 : 0.8) * unit;
        snub_view_slot_point(slot, i * step, point, u);
        snub_draw_line(drawing, SNUB_LAYER_SLOT, solid(SNUB_INK_SLOT, tenth ? 0.25 : 0.18), point[0] - u[1] * half,
                       point[1] + u[0] * half, point[0] + u[1] * half, point[1] - u[0] * half);
    }
    snub_view_slot_point(slot, slot->length, point, u);
    snub_draw_line(drawing, SNUB_LAYER_SLOT, line, point[0] - u[1] * 1.5 * unit, point[1] + u[0] * 1.5 * unit,
                   point[0] + u[1] * 1.5 * unit, point[1] - u[0] * 1.5 * unit);
    snub_draw_slot_mark(drawing, slot);
}

void snub_draw_slot_mark(snub_drawing *drawing, const snub_view_slot *slot)
{
    double point[2], u[2];
    if (!isfinite(slot->setting))
        return;
    snub_view_slot_point(slot, slot->setting, point, u);
    double direction = atan2(u[1], u[0]);
    for (int side = -1; side <= 1; side += 2) /* two heads that meet on the mark */
        snub_draw_arrow(drawing, SNUB_LAYER_SLOT, SNUB_INK_SLOT, point[0], point[1], direction + side * SNUB_PI / 2,
                        2.6);
}

/* An outline as a loop; a circle is two half ones. @return false where it is none, or memory is out */
static bool loop_of(snub_drawing *drawing, const snub_view_obstacle *o, snub_loop *loop)
{
    const int count = o->round ? 2 : o->count;
    snub_vertex *vertex = SNUB_NEW(drawing->arena, snub_vertex, count > 0 ? count : 1);
    if (vertex == NULL) {
        drawing->failed = true;
        return false;
    }
    for (int i = 0; i < count; i++)
        vertex[i] = o->round ? (snub_vertex){o->centre[0] + (i == 0 ? -o->radius : o->radius), o->centre[1], 1}
                             : (snub_vertex){o->corner[i][0], o->corner[i][1], 0};
    *loop = (snub_loop){.count = count, .closed = true, .vertex = vertex};
    return count >= 2;
}

void snub_draw_obstacle_edge(snub_drawing *drawing, const snub_view_obstacle *o, snub_pen edge)
{
    snub_loop loop;
    if (o->round)
        snub_draw_circle(drawing, SNUB_LAYER_OBSTACLE, edge, SNUB_INK_NONE, o->centre[0], o->centre[1], o->radius);
    else if (loop_of(drawing, o, &loop))
        snub_draw_path(drawing, SNUB_LAYER_OBSTACLE, edge, SNUB_INK_NONE, loop.vertex, loop.count, true);
}

void snub_draw_obstacle(snub_drawing *drawing, const snub_view_obstacle *o)
{
    snub_loop loop;
    if (!o->tool && loop_of(drawing, o, &loop))
        snub_draw_hatch(drawing, SNUB_LAYER_OBSTACLE, solid(SNUB_INK_OBSTACLE, 0.13), &loop, 1, SNUB_PI / 4,
                        2.4 * drawing->unit);
    snub_draw_obstacle_edge(drawing, o, snub_pen_make(SNUB_INK_OBSTACLE, SNUB_DASH_LONG, 0.35));
    for (int i = 0; i < o->cut_count; i++)
        snub_draw_line(drawing, SNUB_LAYER_OBSTACLE, solid(SNUB_INK_OBSTACLE, 0.5), o->cut[i][0][0], o->cut[i][0][1],
                       o->cut[i][1][0], o->cut[i][1][1]);
}

void snub_draw_hole(snub_drawing *drawing, const snub_view_hole *hole)
{
    snub_draw_circle(drawing, SNUB_LAYER_HOLES, solid(SNUB_INK_OUTLINE, 0.35), SNUB_INK_PAPER, hole->at[0], hole->at[1],
                     hole->diameter / 2);
    snub_draw_centre(drawing, hole->at[0], hole->at[1], hole->diameter / 2 + 1.5 * drawing->unit);
}

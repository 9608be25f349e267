/** Geometry of a view: its extent, its checks, points on arm and slot, round scales. */
#include "view.h"

#include <math.h>

void snub_extent_none(snub_extent *extent)
{
    extent->low[0] = extent->low[1] = INFINITY;
    extent->high[0] = extent->high[1] = -INFINITY;
}

void snub_extent_add(snub_extent *extent, double x, double y, double round)
{
    extent->low[0] = fmin(extent->low[0], x - round);
    extent->low[1] = fmin(extent->low[1], y - round);
    extent->high[0] = fmax(extent->high[0], x + round);
    extent->high[1] = fmax(extent->high[1], y + round);
}

bool snub_view_laid(const snub_view_build *build)
{
    for (int i = 0; i < build->count; i++) {
        const snub_view_pulley *p = &build->pulley[i];
        if (!isfinite(p->enter[0]) || !isfinite(p->enter[1]) || !isfinite(p->leave[0]) || !isfinite(p->leave[1]) ||
            !isfinite(p->wrap))
            return false;
    }
    return build->count >= 2;
}

void snub_view_arm_point(const snub_view_arm *arm, double wind, double point[2])
{
    double angle = arm->rest + arm->winds * wind;
    point[0] = arm->pivot[0] + arm->length * cos(angle);
    point[1] = arm->pivot[1] + arm->length * sin(angle);
}

void snub_view_slot_point(const snub_view_slot *slot, double s, double point[2], double direction[2])
{
    double part = slot->length > 0 ? s / slot->length : 0;
    if (slot->curved) {
        double angle = slot->start + slot->sweep * part, sense = slot->sweep < 0 ? -1 : 1;
        point[0] = slot->centre[0] + slot->radius * cos(angle);
        point[1] = slot->centre[1] + slot->radius * sin(angle);
        direction[0] = -sense * sin(angle);
        direction[1] = sense * cos(angle);
        return;
    }
    double dx = slot->to[0] - slot->from[0], dy = slot->to[1] - slot->from[1], d = hypot(dx, dy);
    point[0] = slot->from[0] + dx * part;
    point[1] = slot->from[1] + dy * part;
    direction[0] = d > 0 ? dx / d : 1;
    direction[1] = d > 0 ? dy / d : 0;
}

void snub_extent_slot(snub_extent *extent, const snub_view_slot *slot, double room)
{
    for (int k = 0; k <= 2; k++) {
        double point[2], direction[2];
        snub_view_slot_point(slot, slot->length * k / 2, point, direction);
        snub_extent_add(extent, point[0], point[1], room);
    }
}

void snub_extent_obstacle(snub_extent *extent, const snub_view_obstacle *o)
{
    if (o->round)
        snub_extent_add(extent, o->centre[0], o->centre[1], o->radius);
    for (int k = 0; !o->round && k < o->count; k++)
        snub_extent_add(extent, o->corner[k][0], o->corner[k][1], 0);
}

void snub_extent_arm(snub_extent *extent, const snub_view *view, double room)
{
    const snub_view_arm *arm = &view->arm;
    const double rim = view->build[0].pulley[arm->pulley].rim_radius;
    snub_extent_add(extent, arm->pivot[0], arm->pivot[1], room);
    for (int i = 0; i < 2; i++) {
        double point[2];
        snub_view_arm_point(arm, i * arm->travel, point);
        snub_extent_add(extent, point[0], point[1], rim);
    }
}

void snub_view_extent(const snub_view *view, snub_extent *extent)
{
    snub_extent_none(extent);
    for (int b = 0; b < view->build_count; b++)
        for (int i = 0; i < view->build[b].count; i++) {
            const snub_view_pulley *p = &view->build[b].pulley[i];
            snub_extent_add(extent, p->centre[0], p->centre[1],
                            fmax(p->rim_radius, p->pitch_radius + view->build[b].thickness));
        }
    if (view->arm.pulley >= 0)
        snub_extent_arm(extent, view, 12);
    for (int i = 0; i < view->slot_count; i++)
        snub_extent_slot(extent, &view->slot[i], 5);
    for (int i = 0; i < view->obstacle_count; i++)
        snub_extent_obstacle(extent, &view->obstacle[i]);
    for (int i = 0; i < view->hole_count; i++)
        snub_extent_add(extent, view->hole[i].at[0], view->hole[i].at[1], view->hole[i].diameter / 2);
}

snub_status snub_view_checked(const snub_view *view, snub_error *error)
{
    if (view->build_count < 1 || view->build[0].count < 1)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "there is no pulley to draw");
    for (int b = 0; b < view->build_count; b++)
        for (int i = 0; i < view->build[b].count; i++) {
            const snub_view_pulley *p = &view->build[b].pulley[i];
            if (!isfinite(p->centre[0]) || !isfinite(p->centre[1]) || !(p->outer_radius > 0) ||
                !(p->pitch_radius > 0) || !(p->rim_radius > 0) || !isfinite(p->rim_radius + p->pitch_radius))
                return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "pulley %s has no place or no radius to draw",
                                 p->name != NULL ? p->name : "?");
        }
    if (view->arm.pulley >= view->build[0].count)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the arm carries no pulley of the drawing");
    snub_extent extent;
    snub_view_extent(view, &extent);
    double spread = fmax(extent.high[0] - extent.low[0], extent.high[1] - extent.low[1]);
    if (!(spread < 1e5)) /* 100 m: a unit was mistaken, and no sheet would hold it */
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the drive is %.3g m across; nothing can be drawn of it",
                         spread / 1000);
    return SNUB_OK;
}

double snub_round_scale(double width, double height, double room_width, double room_height)
{
    static const double round[9] = {1, 1.5, 2, 2.5, 3, 4, 5, 6, 8};
    double least = fmax(width / room_width, height / room_height);
    if (!(least > 0) || !isfinite(least))
        return 1;
    least = fmax(least, SNUB_SCALE_LEAST);
    double power = pow(10, floor(log10(least)));
    for (int i = 0; i < 9; i++)
        if (round[i] * power >= least * (1 - 1e-9))
            return round[i] * power;
    return 10 * power;
}

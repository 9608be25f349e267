/** Full-size template, 1:1. */
#include <math.h>
#include <stdio.h>

#include "compose.h"
#include "labels.h"
#include "ruler.h"
#include "view.h"

#define EDGE 24.0     /**< mm round the geometry */
#define BARE_EDGE 6.0 /**< where pages are to be saved and rulers stand elsewhere */

static void cross(snub_drawing *drawing, double x, double y, double reach, snub_ink ink)
{
    snub_pen pen = snub_pen_make(ink, SNUB_DASH_SOLID, 0.18);
    snub_draw_line(drawing, SNUB_LAYER_CENTRES, pen, x - reach, y, x + reach, y);
    snub_draw_line(drawing, SNUB_LAYER_CENTRES, pen, x, y - reach, x, y + reach);
    snub_draw_circle(drawing, SNUB_LAYER_CENTRES, pen, SNUB_INK_NONE, x, y, 2);
}

static const char *made(snub_drawing *drawing, const char *text)
{
    if (text == NULL)
        drawing->failed = true;
    return text == NULL ? "" : text;
}

static void point_label(snub_label *label, snub_drawing *drawing, const snub_locale *locale, const char *name, double x,
                        double y, double clear)
{
    char a[32], b[32];
    snub_draw_number(locale, x, "mm", 2, a);
    snub_draw_number(locale, y, "mm", 2, b);
    *label = (snub_label){.at = {x, y},
                          .clear = clear,
                          .along = {0.7, 0.7},
                          .lines = 2,
                          .bold_first = true,
                          .ink = SNUB_INK_TEXT,
                          .height = 3.0};
    label->line[0] = name;
    label->line[1] = made(drawing, snub_format(drawing->arena, "x %s  y %s %s", a, b, snub_draw_unit(locale, "mm")));
}

static int labels(snub_drawing *drawing, const snub_view *view, const snub_locale *locale, snub_label *label)
{
    int n = 0;
    const snub_view_build *build = &view->build[0];
    for (int i = 0; i < build->count; i++)
        point_label(&label[n++], drawing, locale, build->pulley[i].name, build->pulley[i].centre[0],
                    build->pulley[i].centre[1], 2);
    if (view->arm.pulley >= 0)
        point_label(&label[n++], drawing, locale, snub_say(locale, "arm pivot"), view->arm.pivot[0], view->arm.pivot[1],
                    5);
    for (int i = 0; i < view->hole_count; i++) {
        const snub_view_hole *hole = &view->hole[i];
        char size[48];
        point_label(&label[n], drawing, locale, hole->name != NULL ? hole->name : "", hole->at[0], hole->at[1],
                    hole->diameter / 2 + 2);
        if (hole->diameter > 0) {
            snub_draw_mm(locale, hole->diameter, 1, size);
            label[n].line[label[n].lines++] =
                made(drawing, snub_format(drawing->arena, "%s %s", snub_say(locale, SNUB_MESSAGE("hole")), size));
        }
        n++;
    }
    for (int i = 0; i < view->slot_count; i++) {
        const snub_view_slot *slot = &view->slot[i];
        double at[2], u[2];
        char size[48];
        if (!isfinite(slot->setting))
            continue;
        snub_view_slot_point(slot, slot->setting, at, u);
        snub_draw_mm(locale, slot->setting, 1, size);
        label[n] = (snub_label){.at = {at[0], at[1]},
                                .clear = 6,
                                .along = {-u[1], u[0]},
                                .lines = 2,
                                .bold_first = true,
                                .ink = SNUB_INK_SLOT,
                                .height = 2.8};
        label[n].line[0] = made(drawing, snub_format(drawing->arena, "%s %s", snub_say(locale, "setting"), size));
        label[n++].line[1] = snub_say(locale, "along the slot, from its 0 end");
        snub_view_slot_point(slot, 0, at, u);
        label[n] = (snub_label){
            .at = {at[0], at[1]}, .clear = 3, .along = {-u[0], -u[1]}, .lines = 1, .ink = SNUB_INK_SLOT, .height = 2.5};
        label[n++].line[0] = snub_draw_inches(locale) ? "0 in" : "0 mm";
        snub_view_slot_point(slot, slot->length, at, u);
        snub_draw_mm(locale, slot->length, 1, size);
        label[n] = (snub_label){
            .at = {at[0], at[1]}, .clear = 3, .along = {u[0], u[1]}, .lines = 1, .ink = SNUB_INK_SLOT, .height = 2.5};
        label[n++].line[0] = made(drawing, snub_format(drawing->arena, "%s", size));
    }
    return n;
}

static void geometry(snub_drawing *drawing, const snub_view *view)
{
    const snub_view_build *build = &view->build[0];
    snub_pen rim = snub_pen_make(SNUB_INK_OUTLINE, SNUB_DASH_SOLID, 0.25);
    for (int i = 0; i < view->obstacle_count; i++)
        snub_draw_obstacle(drawing, &view->obstacle[i]);
    for (int i = 0; i < build->count; i++) {
        const snub_view_pulley *p = &build->pulley[i];
        snub_draw_circle(drawing, SNUB_LAYER_PULLEY, rim, SNUB_INK_NONE, p->centre[0], p->centre[1], p->rim_radius);
        cross(drawing, p->centre[0], p->centre[1], fmin(12, 0.6 * p->rim_radius), SNUB_INK_TEXT);
    }
    if (snub_view_laid(build))
        snub_draw_pitch_line(drawing, SNUB_LAYER_PITCH, snub_pen_make(SNUB_INK_SERIES_1, SNUB_DASH_DASHED, 0.25),
                             build);
    if (view->arm.pulley >= 0) {
        const snub_view_arm *arm = &view->arm;
        cross(drawing, arm->pivot[0], arm->pivot[1], 12, SNUB_INK_ARM);
        snub_draw_arc(drawing, SNUB_LAYER_ARM, snub_pen_make(SNUB_INK_ARM, SNUB_DASH_CENTRE, 0.25), arm->pivot[0],
                      arm->pivot[1], arm->length, arm->rest, arm->winds * arm->travel);
    }
    for (int i = 0; i < view->slot_count; i++)
        snub_draw_slot(drawing, &view->slot[i]);
    for (int i = 0; i < view->hole_count; i++)
        snub_draw_hole(drawing, &view->hole[i]);
}

static void fill_map(snub_label_map *map, const snub_view *view)
{
    const snub_view_build *build = &view->build[0];
    for (int i = 0; i < build->count; i++) {
        const snub_view_pulley *p = &build->pulley[i];
        snub_label_map_ring(map, p->centre, p->rim_radius, 1, 0.3);
        double reach = fmin(12, 0.6 * p->rim_radius);
        for (int a = 0; a < 2; a++) {
            double from[2] = {p->centre[0] - (a == 0 ? reach : 0), p->centre[1] - (a == 1 ? reach : 0)};
            double to[2] = {p->centre[0] + (a == 0 ? reach : 0), p->centre[1] + (a == 1 ? reach : 0)};
            snub_label_map_line(map, from, to, 0.5, 0.5);
        }
        if (snub_view_laid(build))
            snub_label_map_line(map, p->leave, build->pulley[(i + 1) % build->count].enter, 1, 0.3);
    }
    for (int i = 0; i < view->slot_count; i++) {
        double a[2], b[2], u[2];
        snub_view_slot_point(&view->slot[i], 0, a, u);
        snub_view_slot_point(&view->slot[i], view->slot[i].length, b, u);
        snub_label_map_line(map, a, b, 3, 0.8);
    }
    for (int i = 0; i < view->hole_count; i++)
        snub_label_map_ring(map, view->hole[i].at, 0, view->hole[i].diameter / 2 + 1, 0.6);
}

static void rulers(snub_drawing *drawing, const snub_locale *locale, snub_label_map *g, double foot)
{
    const double x = drawing->low[0] + 14, y = drawing->low[1] + foot - 14;
    const bool inches = snub_draw_inches(locale);
    snub_draw_rulers(drawing, locale, x, y);
    snub_draw_ruler(drawing, locale, inches, x, y + 14, true);
    snub_label_map_box(g, drawing->low, (double[]){drawing->high[0], drawing->low[1] + foot}, 2);
    snub_label_map_box(g, (double[]){x - 2, y}, (double[]){x + 22, y + 16 + snub_draw_ruler_length(inches)}, 2);
}

snub_status snub_draw_template(const snub_view *view, const snub_locale *locale, snub_arena *arena,
                               snub_drawing *drawing, snub_error *error)
{
    snub_status status = snub_view_checked(view, error);
    if (status != SNUB_OK)
        return status;
    snub_extent e;
    snub_view_extent(view, &e);
    snub_drawing_init(drawing, arena, 1);
    drawing->inches = snub_draw_inches(locale);
    drawing->title = view->title;
    double foot = view->bare ? 0 : SNUB_TITLE_HEIGHT + SNUB_SHEET_MARGIN + SNUB_RULERS_HEIGHT,
           edge = view->bare ? BARE_EDGE : EDGE;
    double least = view->bare ? 0 : snub_draw_ruler_length(true) + 60,
           wide = fmax(0, least - (e.high[0] - e.low[0]) - 2 * edge) / 2;
    snub_drawing_frame(drawing, floor(e.low[0] - edge - wide), floor(e.low[1] - edge - foot),
                       ceil(e.high[0] + edge + wide), ceil(e.high[1] + edge));
    geometry(drawing, view);
    snub_label_map *g = snub_label_map_new(drawing, arena);
    snub_label *label = SNUB_NEW(arena, snub_label, view->build[0].count + 1 + view->hole_count + 3 * view->slot_count);
    if (g == NULL || label == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while drawing");
    fill_map(g, view);
    if (!view->bare)
        rulers(drawing, locale, g, foot);
    const double edge_of_warning = snub_draw_warning(drawing, view->warning);
    if (isfinite(edge_of_warning))
        snub_label_map_box(g, (double[]){drawing->low[0], edge_of_warning}, drawing->high, 3);
    int count = labels(drawing, view, locale, label);
    snub_place_labels(drawing, g, label, count);
    if (!view->bare) {
        snub_title_block block = {
            .view_name = snub_say(locale, "template, full size"), .build = view->build[0].name, .scale = 1};
        snub_draw_title_block(drawing, view, locale, &block);
    }
    return drawing->failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while drawing") : SNUB_OK;
}

/** The drive seen from the front. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "compose.h"
#include "front_labels.h"
#include "view.h"

/** Room for labels round the geometry [sheet mm]. */
#define ROOM_FOR_LABELS 15.0

/** Radius of the ring around a gap that is too small, sheet mm. */
#define NEAR_RING 2.2

/* ---- sheet ------------------------------------------------------------------------------------------------------ */

/* The legend of builds that are drawn over each other, sheet mm. */
typedef struct legend_plan {
    int columns, rows;
    double height; /* of capitals */
} legend_plan;

#define LEGEND_ROW 3.6
#define LEGEND_LINE 22.0 /* the piece of line before a name */

static double widest_name(const snub_view *view, double height)
{
    double widest = 0;
    for (int b = 0; b < view->build_count; b++) {
        if (view->build[b].name != NULL)
            widest = fmax(widest, snub_text_measure(view->build[b].name, height, b == 0));
    }
    return widest;
}

/* As many columns as hold the names at a size that is read, and then as large as they hold them. */
static legend_plan plan_legend(const snub_view *view, double width)
{
    const double least = 1.6, usual = 2.0, wide = widest_name(view, usual);
    legend_plan plan = {.columns = 1, .height = usual};
    if (view->build_count < 2)
        return (legend_plan){0};
    while (width / (plan.columns + 1) - LEGEND_LINE - 3 >= wide * least / usual && plan.columns < 4)
        plan.columns++;
    plan.columns = plan.columns > view->build_count ? view->build_count : plan.columns;
    plan.rows = (view->build_count + plan.columns - 1) / plan.columns + (view->legend != NULL);
    plan.height = fmin(usual, usual * (width / plan.columns - LEGEND_LINE - 3) / fmax(wide, 1e-9));
    return plan;
}

static double legend_height(const snub_view *view, double width)
{
    const legend_plan plan = plan_legend(view, width);
    return plan.rows > 0 ? LEGEND_ROW * plan.rows + 3 : 0;
}

/* Sheet mm taken by margins, title, table and legend: the rest is for the geometry. */
static void room_of(const snub_view *view, const double sheet[2], double room[2])
{
    double edge = view->bare ? 0 : SNUB_SHEET_MARGIN;
    double foot = view->bare
                      ? 0
                      : SNUB_TITLE_HEIGHT + snub_view_table_height(view) + legend_height(view, sheet[0] - 2 * edge) + 9;
    room[0] = sheet[0] - 2 * edge - 2 * ROOM_FOR_LABELS;
    room[1] = sheet[1] - 2 * edge - foot - 2 * ROOM_FOR_LABELS;
}

static snub_status choose_sheet(const snub_view *view, const snub_extent *extent, double sheet[2], double *scale,
                                snub_error *error)
{
    double width = extent->high[0] - extent->low[0], height = extent->high[1] - extent->low[1], room[2];
    bool free_sheet = !(view->paper[0] > 0) || !(view->paper[1] > 0);
    bool many =
        view->build[0].count > 24 || view->build_count > SNUB_VIEW_BUILDS_SMALL; /* table or legend would fill an A4 */
    sheet[0] = free_sheet ? (many ? 297 : 210) : view->paper[0];
    sheet[1] = free_sheet ? (many ? 420 : 297) : view->paper[1];
    if (view->scale > 0 && free_sheet) { /* the sheet grows about the drive */
        double grow[2] = {width / view->scale, height / view->scale};
        room_of(view, sheet, room);
        sheet[0] = fmax(sheet[0], ceil(sheet[0] - room[0] + grow[0]));
        sheet[1] = ceil(sheet[1] - room[1] + grow[1]);
        *scale = view->scale;
        return SNUB_OK;
    }
    room_of(view, sheet, room);
    double other[2] = {sheet[1], sheet[0]}, other_room[2];
    room_of(view, other, other_room);
    bool turned = free_sheet && other_room[1] > 60 &&
                  (!(room[1] > 60) || snub_round_scale(width, height, other_room[0], other_room[1]) <
                                          snub_round_scale(width, height, room[0], room[1]));
    if (turned) {
        memcpy(sheet, other, sizeof other);
        memcpy(room, other_room, sizeof other_room);
    }
    if (!(room[0] > 20) || !(room[1] > 20))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "a sheet of %.0f x %.0f mm is too small for this drive",
                         sheet[0], sheet[1]);
    *scale = snub_round_scale(width, height, room[0], room[1]);
    if (view->scale > 0 && view->scale < *scale * (1 - 1e-9) && view->scale < fmax(width / room[0], height / room[1]))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL,
                         "at 1:%g the drive does not fit on a sheet of %.0f x %.0f mm", view->scale, sheet[0],
                         sheet[1]);
    if (view->scale > 0)
        *scale = view->scale;
    return SNUB_OK;
}

/* The geometry in the middle of its room; table and title below. */
static void lay_sheet(const snub_view *view, const snub_extent *extent, const double sheet[2], double scale,
                      snub_drawing *drawing)
{
    double room[2], edge = view->bare ? 0 : SNUB_SHEET_MARGIN;
    room_of(view, sheet, room);
    double foot = sheet[1] - room[1] - 2 * ROOM_FOR_LABELS - 2 * edge;
    double middle_x = (extent->low[0] + extent->high[0]) / 2, middle_y = (extent->low[1] + extent->high[1]) / 2;
    double low_x = middle_x - sheet[0] / 2 * scale;
    double low_y = middle_y - (edge + foot + ROOM_FOR_LABELS + room[1] / 2) * scale;
    snub_drawing_frame(drawing, low_x, low_y, low_x + sheet[0] * scale, low_y + sheet[1] * scale);
}

/* Sheet areas that are taken: title, table, legend. */
static void map_of_sheet(const snub_front_scene *s)
{
    const snub_drawing *d = s->drawing;
    double u = d->unit, m = (SNUB_SHEET_MARGIN + 1.5) * u;
    if (s->view->bare)
        return;
    const double width = (d->high[0] - d->low[0]) / u - 2 * SNUB_SHEET_MARGIN;
    double foot = (SNUB_TITLE_HEIGHT + snub_view_table_height(s->view) + legend_height(s->view, width) + 8) * u + m;
    snub_label_map_box(s->map, d->low, (double[]){d->high[0], d->low[1] + foot}, 2);
    snub_label_map_box(s->map, d->low, (double[]){d->low[0] + m, d->high[1]}, 2);
    snub_label_map_box(s->map, (double[]){d->high[0] - m, d->low[1]}, d->high, 2);
    snub_label_map_box(s->map, (double[]){d->low[0], d->high[1] - m}, d->high, 2);
}

/* ---- labels ----------------------------------------------------------------------------------------------------- */

static void label_pulley(snub_front_scene *s, const snub_view_pulley *p)
{
    char number[32], size[48];
    snub_label *label = snub_front_label(s);
    *label = (snub_label){
        .at = {p->centre[0], p->centre[1]}, .inside = true, .bold_first = true, .ink = SNUB_INK_TEXT, .height = 2.5};
    double reach = p->pitch_radius + s->view->build[0].thickness;
    label->clear = reach;
    snub_front_outwards(s, p->centre, label->along);
    label->line[label->lines++] = p->name != NULL && p->name[0] != '\0' ? p->name : "?";
    snub_draw_mm(s->locale, 2 * p->outer_radius, 1, size);
    label->line[label->lines++] = snub_front_text(s, "\xc3\x98 %s, %s", size,
                                                  p->back ? snub_say(s->locale, "back") : snub_say(s->locale, "ribs"));
    if (isfinite(p->wrap)) {
        snub_number_text(s->locale, p->wrap / SNUB_DEG, 1, number);
        label->line[label->lines++] = snub_front_text(s, "%s %s\xc2\xb0", snub_say(s->locale, "wrap"), number);
    }
    if (isfinite(p->rpm)) {
        snub_number_text(s->locale, fabs(p->rpm), 0, number);
        label->line[label->lines++] = snub_front_text(
            s, "%s rpm %s", number, p->sense > 0 ? snub_say(s->locale, "cw") : snub_say(s->locale, "ccw"));
    }
}

static void label_span(snub_front_scene *s, int i)
{
    const snub_view_build *build = &s->view->build[0];
    const snub_view_pulley *p = &build->pulley[i], *next = &build->pulley[(i + 1) % build->count];
    double crank = 1;
    for (int k = 0; k < build->count; k++)
        if (build->pulley[k].crank)
            crank = build->pulley[k].sense;
    char number[32], size[48];
    double dx = next->enter[0] - p->leave[0], dy = next->enter[1] - p->leave[1], d = hypot(dx, dy);
    if (!(d > 0) || !isfinite(p->span))
        return;
    snub_label *label = snub_front_label(s);
    *label = (snub_label){.at = {(p->leave[0] + next->enter[0]) / 2, (p->leave[1] + next->enter[1]) / 2},
                          .clear = build->thickness + 0.4 * s->drawing->unit,
                          .ink = SNUB_INK_TEXT,
                          .height = 2.1,
                          .along = {-dy / d * crank, dx / d * crank}};
    snub_draw_mm(s->locale, p->span, 1, size);
    label->line[label->lines++] = snub_front_text(s, "%s%s", size, "");
    if (isfinite(p->frequency_Hz) && p->frequency_Hz > 0) {
        snub_number_text(s->locale, p->frequency_Hz, 1, number);
        label->line[label->lines++] = snub_front_text(s, "%s Hz%s", number, "");
    }
}

static void label_rest(snub_front_scene *s)
{
    for (int i = 0; i < s->view->obstacle_count; i++) {
        const snub_view_obstacle *o = &s->view->obstacle[i];
        snub_label *label = snub_front_label(s);
        *label =
            (snub_label){.ink = SNUB_INK_OBSTACLE,
                         .height = 2.1,
                         .lines = 1,
                         .inside = true,
                         .line = {o->name != NULL && o->name[0] != '\0' ? o->name : snub_say(s->locale, "obstacle")}};
        snub_extent e;
        snub_extent_none(&e);
        snub_extent_obstacle(&e, o);
        for (int a = 0; a < 2; a++)
            label->at[a] = (e.low[a] + e.high[a]) / 2;
        label->clear = fmin(e.high[0] - e.low[0], e.high[1] - e.low[1]) / 2;
        snub_front_outwards(s, label->at, label->along);
    }
    for (int i = 0; i < s->view->hole_count; i++) {
        const snub_view_hole *hole = &s->view->hole[i];
        if (hole->name == NULL || hole->name[0] == '\0')
            continue;
        snub_label *label = snub_front_label(s);
        *label = (snub_label){.at = {hole->at[0], hole->at[1]},
                              .clear = hole->diameter / 2 + s->drawing->unit,
                              .ink = SNUB_INK_TEXT,
                              .height = 1.8,
                              .lines = 1,
                              .line = {hole->name}};
        snub_front_outwards(s, hole->at, label->along);
    }
}

static snub_ink ink_of(const snub_view_near *near)
{
    return near->fails ? SNUB_INK_FAIL : SNUB_INK_MARGINAL;
}

/* The gap at its worst place, with what is needed, and with the arm's place where it is not the one that is drawn. */
static void label_near(snub_front_scene *s)
{
    for (int i = 0; i < s->view->near_count; i++) {
        const snub_view_near *near = &s->view->near[i];
        char gap[32], needed[32], wind[32];
        snub_label *label = snub_front_label(s);
        *label = (snub_label){.at = {0.5 * (near->from[0] + near->to[0]), 0.5 * (near->from[1] + near->to[1])},
                              .clear = NEAR_RING * s->drawing->unit,
                              .ink = ink_of(near),
                              .height = 2.1,
                              .lines = isnan(near->wind) ? 1 : 2,
                              .bold_first = true};
        snub_number_text(s->locale, near->gap, 1, gap);
        snub_number_text(s->locale, near->needed, 1, needed);
        label->line[0] = snub_front_text(s, "%s mm < %s", gap, needed);
        if (!isnan(near->wind))
            label->line[1] = snub_front_text(s, "%s %s\xc2\xb0", snub_say(s->locale, "arm at"),
                                             snub_number_text(s->locale, near->wind / SNUB_DEG, 1, wind));
        snub_front_outwards(s, label->at, label->along);
    }
}

static int labels_needed(const snub_view *view)
{
    return 2 * view->build[0].count + 3 * view->slot_count + 3 + view->obstacle_count + view->hole_count +
           view->near_count;
}

/* ---- the drawing ------------------------------------------------------------------------------------------------ */

static bool same_circle(const snub_view_pulley *a, const snub_view_pulley *b)
{
    return hypot(a->centre[0] - b->centre[0], a->centre[1] - b->centre[1]) < 0.05 &&
           fabs(a->outer_radius - b->outer_radius) < 0.05;
}

static snub_pen build_pen(int number, double width)
{
    snub_style style = snub_style_of(number);
    return snub_pen_make(style.ink, style.dash, width);
}

/* Every further build: its pitch line, and the pulleys that differ from the first. */
static void other_builds(snub_drawing *drawing, const snub_view *view)
{
    for (int b = 1; b < view->build_count; b++) {
        const snub_view_build *build = &view->build[b];
        snub_pen pen = build_pen(b, 0.3);
        if (snub_view_laid(build))
            snub_draw_pitch_line(drawing, SNUB_LAYER_BUILDS, pen, build);
        for (int i = 0; i < build->count; i++) {
            bool same = false;
            for (int k = 0; k < view->build[0].count; k++)
                same = same || same_circle(&build->pulley[i], &view->build[0].pulley[k]);
            if (!same)
                snub_draw_circle(drawing, SNUB_LAYER_BUILDS, build_pen(b, 0.25), SNUB_INK_NONE,
                                 build->pulley[i].centre[0], build->pulley[i].centre[1], build->pulley[i].outer_radius);
        }
    }
}

static void legend(snub_drawing *drawing, const snub_view *view, double x, double y, double width)
{
    const double u = drawing->unit;
    const legend_plan plan = plan_legend(view, width / u);
    double top = y + legend_height(view, width / u) * u - LEGEND_ROW * u;
    if (view->legend != NULL) {
        const snub_lettering head = {.height = fmin(plan.height, 1.8), .across = -1, .up = -1, .ink = SNUB_INK_QUIET};
        snub_draw_text(drawing, SNUB_LAYER_FRAME, &head, x + 2 * u, top, view->legend);
        top -= LEGEND_ROW * u;
    }
    for (int b = 0; b < view->build_count; b++) { /* down the columns: numbers follow one another */
        const int rows = plan.rows - (view->legend != NULL);
        const double left = x + (b / rows) * width / plan.columns, line = top - (b % rows) * LEGEND_ROW * u;
        snub_pen pen = b == 0 ? snub_pen_make(SNUB_INK_BELT_FILL, SNUB_DASH_SOLID, 1.1) : build_pen(b, 0.5);
        snub_draw_line(drawing, SNUB_LAYER_FRAME, pen, left + 2 * u, line + 0.9 * u, left + (LEGEND_LINE - 2) * u,
                       line + 0.9 * u);
        const snub_lettering lettering = {
            .height = plan.height, .across = -1, .up = -1, .ink = SNUB_INK_TEXT, .bold = b == 0};
        snub_draw_text(drawing, SNUB_LAYER_FRAME, &lettering, left + LEGEND_LINE * u, line,
                       view->build[b].name != NULL ? view->build[b].name : "");
    }
}

static void furniture(snub_front_scene *s, double scale)
{
    snub_drawing *d = s->drawing;
    const snub_view *view = s->view;
    double u = d->unit, m = SNUB_SHEET_MARGIN * u, x = d->low[0] + m, width = d->high[0] - d->low[0] - 2 * m;
    double y = d->low[1] + m + SNUB_TITLE_HEIGHT * u;
    snub_title_block block = {.view_name = snub_say(s->locale, "seen from the front"),
                              .build = view->build[0].name,
                              .state = view->state,
                              .scale = scale};
    snub_draw_title_block(d, view, s->locale, &block);
    snub_draw_view_table(d, view, s->locale, x, y, width);
    y += snub_view_table_height(view) * u;
    if (view->build_count > 1)
        legend(d, view, x, y, width);
    y += legend_height(view, width / u) * u;
    snub_draw_scale_bar(d, s->locale, x + 4 * u, y + 2 * u, 45 * u);
    snub_lettering note = {.height = 2.0, .across = 1, .up = -1, .ink = SNUB_INK_QUIET};
    const char *text = snub_say(s->locale, "x to the right, y up; origin of the drive file; arrows: the belt's travel");
    snub_draw_text(d, SNUB_LAYER_FRAME, &note, x + width - 2 * u, y + 2 * u, text);
}

/* What is too near to an obstacle: its outline, the gap, and a ring around it that is found on a whole sheet. */
static void draw_near(snub_drawing *drawing, const snub_view *view)
{
    for (int i = 0; i < view->near_count; i++) {
        const snub_view_near *near = &view->near[i];
        const snub_pen pen = snub_pen_make(ink_of(near), SNUB_DASH_SOLID, 0.5);
        snub_draw_obstacle_edge(drawing, &view->obstacle[near->obstacle], pen);
        snub_draw_line(drawing, SNUB_LAYER_DIMENSION, pen, near->from[0], near->from[1], near->to[0], near->to[1]);
        snub_draw_circle(drawing, SNUB_LAYER_DIMENSION, snub_pen_make(ink_of(near), SNUB_DASH_SOLID, 0.25),
                         SNUB_INK_NONE, 0.5 * (near->from[0] + near->to[0]), 0.5 * (near->from[1] + near->to[1]),
                         NEAR_RING * drawing->unit +
                             0.5 * hypot(near->to[0] - near->from[0], near->to[1] - near->from[1]));
    }
}

static void geometry(snub_drawing *drawing, const snub_view *view, const snub_locale *locale)
{
    const snub_view_build *build = &view->build[0];
    for (int i = 0; i < view->obstacle_count; i++)
        snub_draw_obstacle(drawing, &view->obstacle[i]);
    for (int i = 0; i < build->count; i++)
        snub_draw_pulley(drawing, &build->pulley[i]);
    snub_draw_arm(drawing, view);
    for (int i = 0; i < view->slot_count; i++)
        snub_draw_slot(drawing, &view->slot[i]);
    for (int i = 0; i < view->hole_count; i++)
        snub_draw_hole(drawing, &view->hole[i]);
    if (snub_view_laid(build)) {
        snub_draw_belt(drawing, build);
        snub_draw_pitch_line(drawing, SNUB_LAYER_PITCH, snub_pen_make(SNUB_INK_PAPER, SNUB_DASH_SOLID, 0.13), build);
        snub_draw_travel(drawing, build);
    } else {
        snub_draw_attempt(drawing, build);
    }
    snub_draw_overlaps(drawing, build, locale);
    draw_near(drawing, view);
    other_builds(drawing, view);
}

/* What is wrong, in the build's words; a view without any says at least that there is no belt. */
static void warning(snub_front_scene *s)
{
    const char *text = s->view->warning;
    if ((text == NULL || text[0] == '\0') && !snub_view_laid(&s->view->build[0]))
        text = snub_say(s->locale, "the belt cannot be laid over these pulleys");
    const double edge = snub_draw_warning(s->drawing, text);
    if (isfinite(edge))
        snub_label_map_box(s->map, (double[]){s->drawing->low[0], edge}, s->drawing->high, 3);
}

snub_status snub_draw_front(const snub_view *view, const snub_locale *locale, snub_arena *arena, snub_drawing *drawing,
                            int *collisions, snub_error *error)
{
    snub_extent extent;
    double sheet[2], scale = 1;
    snub_status status = snub_view_checked(view, error);
    if (status != SNUB_OK)
        return status;
    snub_view_extent(view, &extent);
    status = choose_sheet(view, &extent, sheet, &scale, error);
    if (status != SNUB_OK)
        return status;
    snub_drawing_init(drawing, arena, scale);
    drawing->inches = snub_draw_inches(locale);
    drawing->title = view->title;
    lay_sheet(view, &extent, sheet, scale, drawing);
    geometry(drawing, view, locale);
    snub_front_scene s = {view, locale, drawing, snub_label_map_new(drawing, arena), NULL, 0};
    s.label = SNUB_NEW(arena, snub_label, labels_needed(view));
    if (s.map == NULL || s.label == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while drawing");
    if (!view->bare)
        furniture(&s, scale);
    warning(&s);
    map_of_sheet(&s);
    snub_front_map_belt(&s);
    snub_front_map_parts(&s);
    for (int i = 0; i < view->slot_count; i++)
        snub_front_label_slot(&s, &view->slot[i]);
    for (int i = 0; i < view->build[0].count; i++)
        label_pulley(&s, &view->build[0].pulley[i]);
    snub_front_label_arm(&s, 3);
    for (int i = 0; snub_view_laid(&view->build[0]) && i < view->build[0].count; i++)
        label_span(&s, i);
    label_rest(&s);
    label_near(&s);
    int touching = snub_place_labels(drawing, s.map, s.label, s.labels);
    if (collisions != NULL)
        *collisions = touching;
    return drawing->failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while drawing") : SNUB_OK;
}

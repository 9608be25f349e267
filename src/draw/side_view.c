/** The drive seen from the side: planes and widths along the crank's axis. True shape, one scale both ways; the angles
 *  between planes are far too small to see and stand in a table. */
#include <math.h>
#include <stdio.h>

#include "compose.h"
#include "view.h"

#define ROW 4.4           /**< sheet mm */
#define LABEL_COLUMN 46.0 /**< sheet mm to the right of the drive, for names */

static double table_height(const snub_view_build *build)
{
    return (build->count + 2) * ROW + 2;
}

static void extent_of(const snub_view_build *build, snub_extent *extent)
{
    snub_extent_none(extent);
    for (int i = 0; i < build->count; i++) {
        const snub_view_pulley *p = &build->pulley[i];
        double half = fmax(p->width, build->width) / 2;
        snub_extent_add(extent, p->plane - half, p->centre[1] - p->rim_radius, 0);
        snub_extent_add(extent, p->plane + half, p->centre[1] + p->rim_radius, 0);
    }
}

static void pulley(snub_drawing *drawing, const snub_view_pulley *p, double width)
{
    snub_pen edge = snub_pen_make(SNUB_INK_OUTLINE, SNUB_DASH_SOLID, 0.35);
    snub_pen groove = snub_pen_make(SNUB_INK_OUTLINE, SNUB_DASH_SOLID, 0.13);
    double half = width / 2, x = p->plane, y = p->centre[1], r = p->rim_radius;
    snub_draw_rectangle(drawing, SNUB_LAYER_PULLEY, edge, p->back ? SNUB_INK_BACK_FILL : SNUB_INK_RIB_FILL, x - half,
                        y - r, x + half, y + r);
    int lines = (int)fmin(12, width / fmax(drawing->unit * 0.8, 3.56));
    for (int i = 1; !p->back && i < lines; i++) /* grooves: how many is said by the belt, not by this shading */
        snub_draw_line(drawing, SNUB_LAYER_PULLEY, groove, x - half + width * i / lines, y - r,
                       x - half + width * i / lines, y + r);
    snub_draw_line(drawing, SNUB_LAYER_CENTRES, snub_pen_make(SNUB_INK_QUIET, SNUB_DASH_CENTRE, 0.18),
                   x - half - 4 * drawing->unit, y, x + half + 4 * drawing->unit, y);
}

static void spans(snub_drawing *drawing, const snub_view_build *build)
{
    snub_pen pen = snub_pen_make(SNUB_INK_SERIES_1, SNUB_DASH_DASHED, 0.35);
    for (int i = 0; i < build->count && snub_view_laid(build); i++) {
        const snub_view_pulley *p = &build->pulley[i], *next = &build->pulley[(i + 1) % build->count];
        snub_draw_line(drawing, SNUB_LAYER_PITCH, pen, p->plane, p->leave[1], next->plane, next->enter[1]);
    }
}

typedef struct cursor {
    snub_drawing *drawing;
    const snub_locale *locale;
    double x, y;
} cursor;

static void put(const cursor *c, double at, int across, bool bold, snub_ink ink, const char *text)
{
    snub_lettering lettering = {.height = 2.2, .across = across, .up = -1, .ink = ink, .bold = bold};
    snub_draw_text(c->drawing, SNUB_LAYER_FRAME, &lettering, c->x + at * c->drawing->unit, c->y, text);
}

static void head_row(cursor *c)
{
    const bool inches = snub_draw_inches(c->locale);
    put(c, 1, -1, true, SNUB_INK_QUIET, snub_say(c->locale, "span"));
    put(c, 84, 1, true, SNUB_INK_QUIET,
        snub_say(c->locale, inches ? SNUB_MESSAGE("plane, in") : SNUB_MESSAGE("plane, mm")));
    put(c, 108, 1, true, SNUB_INK_QUIET,
        snub_say(c->locale, inches ? SNUB_MESSAGE("offset, in") : SNUB_MESSAGE("offset, mm")));
    put(c, 132, 1, true, SNUB_INK_QUIET,
        snub_say(c->locale, inches ? SNUB_MESSAGE("length, in") : SNUB_MESSAGE("length, mm")));
    put(c, 156, 1, true, SNUB_INK_QUIET, snub_say(c->locale, "angle, deg"));
    c->y -= ROW * c->drawing->unit;
}

static void span_row(cursor *c, const snub_view_build *build, int i)
{
    const snub_view_pulley *p = &build->pulley[i], *next = &build->pulley[(i + 1) % build->count];
    char text[160], number[32];
    double offset = next->plane - p->plane, angle = isfinite(p->span) ? atan2(offset, p->span) : NAN;
    snprintf(text, sizeof text, "%.40s \xe2\x86\x92 %.40s", p->name, next->name);
    put(c, 1, -1, false, SNUB_INK_TEXT, text);
    put(c, 84, 1, false, SNUB_INK_TEXT, snub_draw_number(c->locale, p->plane, "mm", 2, number));
    put(c, 108, 1, false, SNUB_INK_TEXT, snub_draw_number(c->locale, offset, "mm", 2, number));
    put(c, 132, 1, false, SNUB_INK_TEXT, snub_draw_number(c->locale, p->span, "mm", 1, number));
    bool over = build->misalignment > 0 && fabs(angle) > build->misalignment;
    put(c, 156, 1, over, over ? SNUB_INK_MARGINAL : SNUB_INK_TEXT,
        snub_number_text(c->locale, angle / SNUB_DEG, 3, number));
    if (over) {
        char limit[32];
        snub_number_text(c->locale, build->misalignment / SNUB_DEG, 2, limit);
        snprintf(text, sizeof text, "%s %s", snub_say(c->locale, "over"), limit);
        put(c, 158, -1, true, SNUB_INK_MARGINAL, text);
    }
    c->y -= ROW * c->drawing->unit;
}

static void table(snub_drawing *drawing, const snub_view_build *build, const snub_locale *locale)
{
    double u = drawing->unit, m = SNUB_SHEET_MARGIN * u;
    cursor c = {drawing, locale, drawing->low[0] + m + u,
                drawing->low[1] + m + (SNUB_TITLE_HEIGHT + table_height(build) - ROW) * u};
    snub_draw_line(drawing, SNUB_LAYER_FRAME, snub_pen_make(SNUB_INK_OUTLINE, SNUB_DASH_SOLID, 0.35),
                   drawing->low[0] + m, c.y + ROW * u, drawing->high[0] - m, c.y + ROW * u);
    head_row(&c);
    for (int i = 0; i < build->count; i++)
        span_row(&c, build, i);
}

/* Names in a column to the right, in order of height, pushed apart where pulleys are level, each with its leader. */
static void names(snub_drawing *drawing, const snub_view_build *build, const snub_locale *locale, double right)
{
    int order[SNUB_VIEW_BUILDS_MOST * 4], n = build->count < 256 ? build->count : 256;
    for (int i = 0; i < n; i++) {
        int k = i;
        for (; k > 0 && build->pulley[order[k - 1]].centre[1] < build->pulley[i].centre[1]; k--)
            order[k] = order[k - 1];
        order[k] = i;
    }
    double u = drawing->unit, pitch = 8.4 * u, y = drawing->high[1] - (SNUB_SHEET_MARGIN + 6) * u;
    double floor_y = drawing->low[1] + (SNUB_SHEET_MARGIN + SNUB_TITLE_HEIGHT + table_height(build) + 12) * u;
    for (int k = 0; k < n; k++) {
        const snub_view_pulley *p = &build->pulley[order[k]];
        double lowest = floor_y + (n - 1 - k) * pitch;
        y = fmax(lowest, fmin(y, p->centre[1]));
        char size[48], text[96];
        snub_draw_mm(locale, p->plane, 2, size);
        snprintf(text, sizeof text, "%s %s, %s", snub_say(locale, "plane"), size,
                 p->back ? snub_say(locale, "back") : snub_say(locale, "ribs"));
        snub_lettering name = {.height = 2.8, .across = -1, .up = -1, .ink = SNUB_INK_TEXT, .bold = true};
        snub_lettering more = {.height = 2.1, .across = -1, .up = -1, .ink = SNUB_INK_TEXT};
        double edge = p->plane + fmax(p->width, build->width) / 2;
        snub_draw_line(drawing, SNUB_LAYER_LEADER, snub_pen_make(SNUB_INK_QUIET, SNUB_DASH_SOLID, 0.18), edge,
                       p->centre[1], right + 8 * u, y);
        snub_draw_circle(drawing, SNUB_LAYER_LEADER, snub_pen_make(SNUB_INK_QUIET, SNUB_DASH_SOLID, 0.18),
                         SNUB_INK_QUIET, edge, p->centre[1], 0.35 * u);
        snub_draw_text(drawing, SNUB_LAYER_LABEL, &name, right + 9 * u, y, p->name);
        snub_draw_text(drawing, SNUB_LAYER_LABEL, &more, right + 9 * u, y - 3.6 * u, text);
        y -= pitch;
    }
}

snub_status snub_draw_side(const snub_view *view, const snub_locale *locale, snub_arena *arena, snub_drawing *drawing,
                           snub_error *error)
{
    snub_status status = snub_view_checked(view, error);
    if (status != SNUB_OK)
        return status;
    const snub_view_build *build = &view->build[0];
    snub_extent e;
    extent_of(build, &e);
    snub_side_section_extent(view, &e);
    double width = e.high[0] - e.low[0], height = e.high[1] - e.low[1];
    bool given = view->paper[0] > 0 && view->paper[1] > 0, many = build->count > 24;
    double sheet[2] = {given ? view->paper[0] : many ? 297 : 210, given ? view->paper[1] : many ? 420 : 297};
    double foot = SNUB_SHEET_MARGIN + SNUB_TITLE_HEIGHT + table_height(build) + 14;
    double room[2] = {sheet[0] - 2 * SNUB_SHEET_MARGIN - LABEL_COLUMN - 24, sheet[1] - SNUB_SHEET_MARGIN - foot - 14};
    if (!(width > 0) || !(height > 0) || !isfinite(width))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the pulleys have no width to be seen from the side");
    if (!(room[0] > 10) || !(room[1] > 20))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "a sheet of %.0f x %.0f mm is too small for this drive",
                         sheet[0], sheet[1]);
    double scale = view->scale > 0 ? view->scale : snub_round_scale(width, height, room[0], room[1]);
    if (view->scale > 0) {
        sheet[0] = fmax(sheet[0], sheet[0] - room[0] + width / scale);
        sheet[1] = fmax(sheet[1], sheet[1] - room[1] + height / scale);
    }
    snub_drawing_init(drawing, arena, scale);
    drawing->inches = snub_draw_inches(locale);
    drawing->title = view->title;
    double left = (e.low[0] + e.high[0]) / 2 - (sheet[0] - LABEL_COLUMN) / 2 * scale;
    double top =
        (e.low[1] + e.high[1]) / 2 + (sheet[1] - foot - SNUB_SHEET_MARGIN) / 2 * scale + SNUB_SHEET_MARGIN * scale;
    snub_drawing_frame(drawing, left, top - sheet[1] * scale, left + sheet[0] * scale, top);
    snub_draw_side_section(drawing, view, locale);
    for (int i = 0; i < build->count; i++)
        pulley(drawing, &build->pulley[i], build->pulley[i].width > 0 ? build->pulley[i].width : build->width);
    snub_draw_side_fasteners(drawing, view);
    spans(drawing, build);
    snub_draw_side_dimensions(drawing, view, locale);
    names(drawing, build, locale, e.high[0]);
    table(drawing, build, locale);
    double u = drawing->unit, y = drawing->low[1] + (foot - 11) * u;
    snub_draw_scale_bar(drawing, locale, drawing->low[0] + (SNUB_SHEET_MARGIN + 4) * u, y, 40 * u);
    snub_lettering note = {.height = 2.0, .across = 1, .up = -1, .ink = SNUB_INK_QUIET};
    snub_draw_text(drawing, SNUB_LAYER_FRAME, &note, drawing->high[0] - (SNUB_SHEET_MARGIN + 2) * u, y,
                   snub_say(locale, "away from the engine to the right; dashed: the belt's middle"));
    snub_title_block block = {.view_name = snub_say(locale, "seen from the side"),
                              .build = build->name,
                              .state = view->state,
                              .scale = scale};
    snub_draw_title_block(drawing, view, locale, &block);
    snub_draw_warning(drawing, view->warning);
    return drawing->failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while drawing") : SNUB_OK;
}

/** A piece of the front view about a few parts of it: those dark, the rest light. */
#include <math.h>
#include <stdio.h>

#include "compose.h"
#include "front_labels.h"
#include "plate_outline.h"
#include "view.h"

#define ROUND_FOCUS 11.0 /**< sheet mm round what is dark, for its words */
#define ROUND_WHOLE 4.0  /**< round the whole front */
#define ZOOM_MOST 1.8    /**< over the scale of the whole front: nearer, nobody knows where he looks */
#define HOLE 2.2         /**< radius of a dark hole, with a number in it [sheet mm] */
#define ARROW_PEN 0.9
#define ARROW_HEAD 4.0
#define MEASURE_HEAD 2.6
#define OTHER 2.0 /**< capitals [sheet mm]; a quarter more of what is dark */

typedef struct picture {
    const snub_view *view;
    const snub_view_focus *focus;
    const snub_view_build *build;
    snub_drawing *drawing;
    snub_arena *arena;
} picture;

/* ---- what is seen ------------------------------------------------------------------------------------------------ */

/* What must be on the picture. */
static void focus_extent(const picture *p, snub_extent *extent)
{
    const snub_view *view = p->view;
    const snub_view_focus *f = p->focus;
    const int n = p->build->count;
    snub_extent_none(extent);
    for (int i = 0; i < n; i++) {
        const snub_view_pulley *one = &p->build->pulley[i], *next = &p->build->pulley[(i + 1) % n];
        if (f->pulley[i] || f->belt)
            snub_extent_add(extent, one->centre[0], one->centre[1], one->rim_radius);
        if (f->span[i]) {
            snub_extent_add(extent, one->centre[0], one->centre[1], one->rim_radius);
            snub_extent_add(extent, next->centre[0], next->centre[1], next->rim_radius);
        }
    }
    for (int i = 0; i < view->slot_count; i++)
        if (f->slot[i])
            snub_extent_slot(extent, &view->slot[i], 0);
    for (int i = 0; i < view->hole_count; i++)
        if (f->hole[i])
            snub_extent_add(extent, view->hole[i].at[0], view->hole[i].at[1], view->hole[i].diameter / 2);
    for (int i = 0; i < view->obstacle_count; i++)
        if (f->obstacle[i])
            snub_extent_obstacle(extent, &view->obstacle[i]);
    if (f->removed != NULL)
        snub_extent_obstacle(extent, f->removed);
    if (f->arm)
        snub_extent_arm(extent, view, 0);
    for (int i = 0; i < f->measure_count; i++) {
        snub_extent_add(extent, f->measure[i].from[0], f->measure[i].from[1], 0);
        snub_extent_add(extent, f->measure[i].to[0], f->measure[i].to[1], 0);
    }
}

static double clamped(double value, double low, double high)
{
    return low > high ? (low + high) / 2 : fmin(fmax(value, low), high);
}

/* As near to the crank as what is dark allows, and no paper beyond the front. */
static void place_window(const picture *p, const snub_extent *focus, const snub_extent *whole)
{
    const double u = p->drawing->unit;
    double low[2], high[2];
    for (int a = 0; a < 2; a++) {
        const double size = p->view->paper[a] * u, grow = ROUND_FOCUS * u;
        double crank = 0.5 * (whole->low[a] + whole->high[a]);
        for (int i = 0; i < p->build->count; i++)
            if (p->build->pulley[i].crank)
                crank = p->build->pulley[i].centre[a];
        const double edge = ROUND_WHOLE * u;
        const double inside = clamped(crank, whole->low[a] - edge + size / 2, whole->high[a] + edge - size / 2);
        const double middle = clamped(inside, focus->high[a] + grow - size / 2, focus->low[a] - grow + size / 2);
        low[a] = middle - size / 2;
        high[a] = middle + size / 2;
    }
    snub_drawing_frame(p->drawing, low[0], low[1], high[0], high[1]);
}

/* No round one: nobody measures on these. */
static double scale_of(const snub_view *view, const snub_extent *extent, double round)
{
    const double across = (extent->high[0] - extent->low[0]) / fmax(view->paper[0] - 2 * round, 1);
    const double up = (extent->high[1] - extent->low[1]) / fmax(view->paper[1] - 2 * round, 1);
    return fmax(fmax(across, up), SNUB_SCALE_LEAST);
}

/* ---- parts ------------------------------------------------------------------------------------------------------- */

/* The words of the step have its name: it is measured to, or a span is that ends there. */
static bool is_spoken(const picture *p, int i)
{
    const int n = p->build->count;
    bool spoken = p->focus->span[i] || p->focus->span[(i + n - 1) % n];
    for (int k = 0; k < p->focus->measure_count; k++)
        spoken = spoken || p->focus->measure[k].other == i;
    return spoken;
}

static void pulley(const picture *p, int i)
{
    const snub_view_pulley *one = &p->build->pulley[i];
    const int from = p->drawing->count;
    const bool dark = p->focus->pulley[i];
    if (dark)
        snub_draw_disc(p->drawing, one);
    else
        snub_draw_circle(p->drawing, SNUB_LAYER_PULLEY, snub_pen_make(SNUB_INK_OUTLINE, SNUB_DASH_SOLID, 0.35),
                         SNUB_INK_RIB_FILL, one->centre[0], one->centre[1], one->rim_radius);
    if (dark || is_spoken(p, i)) /* elsewhere the name has the room */
        snub_draw_centre(p->drawing, one->centre[0], one->centre[1],
                         fmin(one->outer_radius * 0.25, 2 * p->drawing->unit));
    snub_draw_tone(p->drawing, from, dark ? SNUB_TONE_DARK : SNUB_TONE_LIGHT);
}

static void obstacle(const picture *p, const snub_view_obstacle *o, bool dark)
{
    const int from = p->drawing->count;
    if (dark)
        snub_draw_obstacle(p->drawing, o);
    else if (!o->tool)
        snub_draw_obstacle_edge(p->drawing, o, snub_pen_make(SNUB_INK_OBSTACLE, SNUB_DASH_LONG, 0.35));
    snub_draw_tone(p->drawing, from, dark ? SNUB_TONE_DARK : SNUB_TONE_LIGHT);
}

static void slot(const picture *p, int i)
{
    const int from = p->drawing->count;
    const bool dark = p->focus->slot[i];
    snub_draw_slot_line(p->drawing, &p->view->slot[i]);
    if (dark && p->focus->sets)
        snub_draw_slot_mark(p->drawing, &p->view->slot[i]);
    snub_draw_tone(p->drawing, from, dark ? SNUB_TONE_DARK : SNUB_TONE_LIGHT);
}

/* A bolt that is tightened has its number on it: names may stand beside other bolts. */
static void number_hole(const picture *p, int i)
{
    const snub_lettering digits = {.height = OTHER, .ink = SNUB_INK_PAPER, .bold = true};
    char number[16];
    snprintf(number, sizeof number, "%d", p->focus->order[i]);
    snub_draw_text(p->drawing, SNUB_LAYER_LABEL, &digits, p->view->hole[i].at[0], p->view->hole[i].at[1], number);
}

static void hole(const picture *p, int i)
{
    const snub_view_hole *h = &p->view->hole[i];
    const int from = p->drawing->count;
    const bool dark = p->focus->hole[i];
    const double radius = dark ? fmax(h->diameter / 2, HOLE * p->drawing->unit) : h->diameter / 2;
    snub_draw_circle(p->drawing, SNUB_LAYER_HOLES, snub_pen_make(SNUB_INK_OUTLINE, SNUB_DASH_SOLID, 0.25),
                     dark ? SNUB_INK_OUTLINE : SNUB_INK_PAPER, h->at[0], h->at[1], radius);
    snub_draw_tone(p->drawing, from, dark ? SNUB_TONE_DARK : SNUB_TONE_LIGHT);
    if (dark)
        number_hole(p, i);
}

static void arm(const picture *p)
{
    const int from = p->drawing->count;
    if (p->view->arm.pulley < 0)
        return;
    if (p->focus->arm)
        snub_draw_arm(p->drawing, p->view);
    else
        snub_draw_arm_bar(p->drawing, p->view);
    snub_draw_tone(p->drawing, from, p->focus->arm ? SNUB_TONE_DARK : SNUB_TONE_LIGHT);
}

static void belt(const picture *p)
{
    const int from = p->drawing->count, n = p->build->count;
    if (!p->focus->laid || !snub_view_laid(p->build))
        return;
    snub_draw_belt(p->drawing, p->build);
    if (p->focus->belt)
        snub_draw_travel(p->drawing, p->build);
    snub_draw_tone(p->drawing, from, p->focus->belt ? SNUB_TONE_DARK : SNUB_TONE_LIGHT);
    for (int i = 0; i < n; i++) {
        const double *a = p->build->pulley[i].leave, *b = p->build->pulley[(i + 1) % n].enter;
        if (p->focus->span[i])
            snub_draw_line(p->drawing, SNUB_LAYER_BELT, snub_pen_make(SNUB_INK_TEXT, SNUB_DASH_SOLID, 1.4), a[0], a[1],
                           b[0], b[1]);
    }
}

/* Where the bracket lies: as the file has its outline, else a line about its bolts and what it carries. */
static void bracket(const picture *p)
{
    const snub_plate *plate = p->focus->plate;
    if (plate == NULL)
        return;
    const int discs = plate->hole_count + 2 * plate->slot_count;
    snub_disc_at *disc = SNUB_NEW(p->arena, snub_disc_at, discs + 1);
    snub_vertex *vertex = SNUB_NEW(p->arena, snub_vertex, SNUB_HULL_VERTICES(discs) + plate->corners);
    if (disc == NULL || vertex == NULL) {
        p->drawing->failed = true;
        return;
    }
    const double edge = plate->edge > 0 ? plate->edge : 2 * p->drawing->unit;
    int n = plate->corners;
    for (int i = 0; i < n; i++)
        vertex[i] = (snub_vertex){plate->corner[i][0], plate->corner[i][1], 0};
    for (int i = 0; i < plate->hole_count; i++)
        disc[i] = (snub_disc_at){{plate->hole[i].at[0], plate->hole[i].at[1]}, plate->hole[i].diameter / 2 + edge};
    for (int i = 0; i < 2 * plate->slot_count; i++) {
        const snub_plate_slot *s = &plate->slot[i / 2];
        double way[2];
        snub_view_slot_point(&s->slot, i % 2 * s->slot.length, disc[plate->hole_count + i].at, way);
        disc[plate->hole_count + i].radius = s->width / 2 + edge;
    }
    if (n == 0)
        n = snub_hull_of_discs(disc, discs, vertex);
    snub_draw_path(p->drawing, SNUB_LAYER_HOLES,
                   snub_pen_make(SNUB_INK_TEXT, plate->corners > 0 ? SNUB_DASH_SOLID : SNUB_DASH_DASHED, 0.35),
                   SNUB_INK_NONE, vertex, n, true);
}

/* What is light first: what is dark lies over it. */
static void parts(const picture *p)
{
    for (int dark = 0; dark < 2; dark++) {
        for (int i = 0; i < p->view->obstacle_count; i++)
            if (p->focus->obstacle[i] == (dark == 1))
                obstacle(p, &p->view->obstacle[i], dark == 1);
        for (int i = 0; i < p->build->count; i++)
            if (p->focus->pulley[i] == (dark == 1))
                pulley(p, i);
        for (int i = 0; i < p->view->slot_count; i++)
            if (p->focus->slot[i] == (dark == 1))
                slot(p, i);
        for (int i = 0; i < p->view->hole_count; i++)
            if (p->focus->hole[i] == (dark == 1))
                hole(p, i);
    }
    if (p->focus->removed != NULL)
        obstacle(p, p->focus->removed, true);
    arm(p);
    belt(p);
    bracket(p);
}

/* ---- what moves, and what is measured ---------------------------------------------------------------------------- */

static snub_pen arrow_pen(void)
{
    return snub_pen_make(SNUB_INK_TEXT, SNUB_DASH_SOLID, ARROW_PEN);
}

static void straight_arrow(const picture *p, const double from[2], double direction, double length)
{
    const double u = p->drawing->unit, c = cos(direction), s = sin(direction);
    const double shaft = (length - 0.8 * ARROW_HEAD) * u;
    snub_draw_line(p->drawing, SNUB_LAYER_DIMENSION, arrow_pen(), from[0], from[1], from[0] + shaft * c,
                   from[1] + shaft * s);
    snub_draw_arrow(p->drawing, SNUB_LAYER_DIMENSION, SNUB_INK_TEXT, from[0] + length * u * c, from[1] + length * u * s,
                    direction, ARROW_HEAD);
}

/* Beyond the arm's pulley, about its pivot. */
static void arm_arrow(const picture *p)
{
    const snub_view_arm *a = &p->view->arm;
    if (p->focus->winds == 0 || a->pulley < 0)
        return;
    const double reach = a->length + p->build->pulley[a->pulley].rim_radius + 3 * p->drawing->unit;
    const double way = a->winds * p->focus->winds, sweep = fmin(1.2, 16 * p->drawing->unit / reach);
    snub_draw_turn(p->drawing, SNUB_LAYER_DIMENSION, arrow_pen(), a->pivot, reach,
                   a->rest + a->winds * a->wind - way * sweep / 2, way * sweep, ARROW_HEAD);
}

static void crank_arrow(const picture *p)
{
    if (p->focus->turns < 0)
        return;
    const snub_view_pulley *one = &p->build->pulley[p->focus->turns];
    const double sense = one->sense > 0 ? -1 : 1;
    snub_draw_turn(p->drawing, SNUB_LAYER_DIMENSION, arrow_pen(), one->centre, one->rim_radius + 4 * p->drawing->unit,
                   SNUB_PI / 2 - sense * 0.9, sense * 1.8, ARROW_HEAD);
}

static void slider_arrow(const picture *p)
{
    for (int i = 0; i < p->view->slot_count && p->focus->slides != 0; i++) {
        const snub_view_slot *s = &p->view->slot[i];
        double at[2], way[2];
        if (!p->focus->slot[i])
            continue;
        const snub_view_pulley *one = &p->build->pulley[s->pulley];
        snub_view_slot_point(s, isfinite(s->setting) ? s->setting : s->length / 2, at, way);
        const double reach = one->rim_radius + 2 * p->drawing->unit, sign = p->focus->slides;
        const double from[2] = {one->centre[0] + sign * way[0] * reach, one->centre[1] + sign * way[1] * reach};
        straight_arrow(p, from, atan2(sign * way[1], sign * way[0]), 10);
    }
}

/* A finger's pull, to both sides of the middle of a span. */
static void pluck_arrows(const picture *p)
{
    const int n = p->build->count;
    for (int i = 0; i < n && p->focus->plucked; i++) {
        const double *a = p->build->pulley[i].leave, *b = p->build->pulley[(i + 1) % n].enter;
        if (!p->focus->span[i])
            continue;
        const double middle[2] = {(a[0] + b[0]) / 2, (a[1] + b[1]) / 2};
        const double across = atan2(b[1] - a[1], b[0] - a[0]) + SNUB_PI / 2;
        straight_arrow(p, middle, across, 8);
        straight_arrow(p, middle, across + SNUB_PI, 8);
    }
}

/* Between rims with two heads; from a slider's middle, where several begin, with one. */
static void measure(const picture *p, const snub_view_measure *m)
{
    const double way = atan2(m->to[1] - m->from[1], m->to[0] - m->from[0]);
    snub_draw_line(p->drawing, SNUB_LAYER_DIMENSION, snub_pen_make(SNUB_INK_TEXT, SNUB_DASH_SOLID, 0.18), m->from[0],
                   m->from[1], m->to[0], m->to[1]);
    snub_draw_arrow(p->drawing, SNUB_LAYER_DIMENSION, SNUB_INK_TEXT, m->to[0], m->to[1], way, MEASURE_HEAD);
    if (m->rims)
        snub_draw_arrow(p->drawing, SNUB_LAYER_DIMENSION, SNUB_INK_TEXT, m->from[0], m->from[1], way + SNUB_PI,
                        MEASURE_HEAD);
}

static void arrows(const picture *p)
{
    const int from = p->drawing->count;
    arm_arrow(p);
    crank_arrow(p);
    slider_arrow(p);
    pluck_arrows(p);
    for (int i = 0; i < p->focus->measure_count; i++)
        measure(p, &p->focus->measure[i]);
    snub_draw_tone(p->drawing, from, SNUB_TONE_DARK);
}

/* ---- words ------------------------------------------------------------------------------------------------------- */

static bool in_window(const snub_drawing *d, const double at[2])
{
    return at[0] > d->low[0] && at[0] < d->high[0] && at[1] > d->low[1] && at[1] < d->high[1];
}

typedef enum rank { LIGHT, SPOKEN, DARK } rank;

static void name(snub_front_scene *s, const double at[2], double clear, const char *text, rank as, bool inside)
{
    if (text == NULL || text[0] == '\0' || !in_window(s->drawing, at))
        return;
    snub_label *label = snub_front_label(s);
    *label = (snub_label){.at = {at[0], at[1]},
                          .clear = clear,
                          .inside = inside,
                          .bold_first = as == DARK,
                          .optional = as == LIGHT,
                          .ink = as == LIGHT ? SNUB_INK_QUIET : SNUB_INK_TEXT,
                          .height = OTHER,
                          .lines = 1,
                          .line = {text}};
    snub_front_outwards(s, at, label->along);
}

static void name_obstacle(snub_front_scene *s, const snub_view_obstacle *o, rank as)
{
    snub_extent e;
    snub_extent_none(&e);
    snub_extent_obstacle(&e, o);
    const double at[2] = {(e.low[0] + e.high[0]) / 2, (e.low[1] + e.high[1]) / 2};
    name(s, at, fmin(e.high[0] - e.low[0], e.high[1] - e.low[1]) / 2, o->name, as, true);
}

/* In the middle of its holes: inside its outline. */
static void name_bracket(const picture *p, snub_front_scene *s)
{
    const snub_plate *plate = p->focus->plate;
    double middle[2] = {0, 0};
    for (int i = 0; plate != NULL && i < plate->hole_count; i++)
        for (int a = 0; a < 2; a++)
            middle[a] += plate->hole[i].at[a] / plate->hole_count;
    if (plate != NULL && plate->hole_count > 0)
        name(s, middle, 0, plate->name, SPOKEN, false);
}

/* What is dark first: it has the best places. */
static void names(const picture *p, snub_front_scene *s)
{
    const snub_view_focus *f = p->focus;
    for (int i = 0; i < p->view->hole_count; i++)
        if (f->hole[i])
            name(s, p->view->hole[i].at, HOLE * p->drawing->unit, f->hole_name[i], DARK, false);
    if (f->removed != NULL)
        name_obstacle(s, f->removed, DARK);
    for (rank as = DARK;; as--) {
        for (int i = 0; i < p->build->count; i++) {
            const snub_view_pulley *one = &p->build->pulley[i];
            if (as == (f->pulley[i] ? DARK : is_spoken(p, i) ? SPOKEN : LIGHT))
                name(s, one->centre, one->rim_radius, one->name, as, true);
        }
        for (int i = 0; i < p->view->obstacle_count; i++)
            if (as == (f->obstacle[i] ? DARK : LIGHT) && (f->obstacle[i] || !p->view->obstacle[i].tool))
                name_obstacle(s, &p->view->obstacle[i], as);
        if (as == LIGHT)
            break;
        if (as == SPOKEN)
            name_bracket(p, s);
    }
}

static void name_measure(snub_front_scene *s, const snub_view_measure *m)
{
    char size[48];
    const double middle[2] = {(m->from[0] + m->to[0]) / 2, (m->from[1] + m->to[1]) / 2};
    snub_draw_mm(s->locale, m->length, 1, size);
    name(s, middle, 0, snub_front_text(s, "%s%s", size, ""), DARK, false);
}

static void words(const picture *p, snub_front_scene *s)
{
    const snub_view_focus *f = p->focus;
    for (int i = 0; i < f->measure_count; i++)
        name_measure(s, &f->measure[i]);
    for (int i = 0; i < p->view->slot_count; i++)
        if (f->slot[i] && f->sets)
            snub_front_label_slot(s, &p->view->slot[i]);
    if (f->arm && (f->reads || f->winds != 0))
        snub_front_label_arm(s, f->reads ? 3 : 2);
    for (int i = 0; i < s->labels; i++) {
        s->label[i].ink = SNUB_INK_TEXT;
        s->label[i].height = OTHER;
    }
    names(p, s);
}

/* Ground that only such a picture has. */
static void map_of_focus(const picture *p, snub_label_map *map)
{
    const double u = p->drawing->unit;
    for (int i = 0; i < p->focus->measure_count; i++)
        snub_label_map_line(map, p->focus->measure[i].from, p->focus->measure[i].to, 0.5 * u, 0.5);
    for (int i = 0; i < p->view->hole_count; i++)
        if (p->focus->hole[i])
            snub_label_map_ring(map, p->view->hole[i].at, 0, HOLE * u, 3);
}

/* ---- the picture ------------------------------------------------------------------------------------------------- */

static int labels_most(const snub_view *view, const snub_view_focus *focus)
{
    return view->build[0].count + 3 * view->slot_count + 3 + view->obstacle_count + view->hole_count +
           focus->measure_count + 2;
}

snub_status snub_draw_focus(const snub_view *view, const snub_view_focus *focus, const snub_locale *locale,
                            snub_arena *arena, snub_drawing *drawing, snub_error *error)
{
    snub_extent near, whole;
    snub_status status = snub_view_checked(view, error);
    if (status != SNUB_OK)
        return status;
    picture p = {view, focus, &view->build[0], drawing, arena};
    snub_view_extent(view, &whole);
    focus_extent(&p, &near);
    const double all = scale_of(view, &whole, ROUND_WHOLE);
    snub_drawing_init(drawing, arena, fmax(scale_of(view, &near, ROUND_FOCUS), all / ZOOM_MOST));
    drawing->inches = snub_draw_inches(locale);
    drawing->title = view->title;
    place_window(&p, &near, &whole);
    parts(&p);
    arrows(&p);
    snub_front_scene s = {view, locale, drawing, snub_label_map_new(drawing, arena), NULL, 0};
    s.label = SNUB_NEW(arena, snub_label, labels_most(view, focus));
    if (s.map == NULL || s.label == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while drawing");
    if (focus->laid)
        snub_front_map_belt(&s);
    snub_front_map_parts(&s);
    map_of_focus(&p, s.map);
    words(&p, &s);
    snub_place_labels(drawing, s.map, s.label, s.labels);
    return drawing->failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while drawing") : SNUB_OK;
}

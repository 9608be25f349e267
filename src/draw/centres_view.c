/** Measured centres with their ellipses. */
#include "snub/draw_centres.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "compose.h"
#include "labels.h"
#include "measured_sheet.h"
#include "snub/units.h"
#include "view.h"

#define LARGEST 12.0 /* sheet mm that the longest ellipse reaches at most */
#define NO_RIM 6.0   /* radius of a centre without a rim, model mm */
enum { CORNERS = 48 };

typedef struct job {
    const snub_centres *c;
    const snub_locale *locale;
    snub_drawing *drawing;
    snub_extent extent;
    double scale, magnified;
} job;

static void place(const job *j, int i, double at[2])
{
    at[0] = j->c->centre[i].at[0] / SNUB_MM;
    at[1] = j->c->centre[i].at[1] / SNUB_MM;
}

static double rim(const job *j, int i)
{
    const double diameter = j->c->centre[i].diameter;
    return diameter > 0.0 ? 0.5 * diameter / SNUB_MM : NO_RIM;
}

static void measure_out(job *j)
{
    snub_extent_none(&j->extent);
    for (int i = 0; i < j->c->measured->pulley_count; i++) {
        double at[2];
        place(j, i, at);
        snub_extent_add(&j->extent, at[0], at[1], rim(j, i));
    }
}

static void set_sheet(job *j, snub_arena *arena)
{
    double longest = 0.0;
    j->scale = snub_measured_sheet(j->drawing, &j->extent, j->locale, arena);
    for (int i = 0; i < j->c->measured->pulley_count; i++)
        longest = fmax(longest, j->c->centre[i].axis[0] / SNUB_MM);
    j->magnified = snub_measured_factor(longest, LARGEST * j->scale);
}

/* ---- what was measured ------------------------------------------------------------------------------------------- */

static void draw_rims(const job *j)
{
    const snub_pen pen = snub_pen_make(SNUB_INK_OUTLINE, SNUB_DASH_SOLID, 0.25);
    for (int i = 0; i < j->c->measured->pulley_count; i++) {
        double at[2];
        place(j, i, at);
        if (j->c->centre[i].diameter > 0.0)
            snub_draw_circle(j->drawing, SNUB_LAYER_PULLEY, pen, SNUB_INK_RIB_FILL, at[0], at[1], rim(j, i));
        snub_draw_centre(j->drawing, at[0], at[1], 1.2 * fmin(rim(j, i), NO_RIM));
    }
}

/* The point of an edge that a centre is read to. */
static void foot_on_edge(const job *j, int edge, const double at[2], double foot[2])
{
    const double normal = j->c->edge[edge].normal, u[2] = {cos(normal), sin(normal)};
    const double off = u[0] * at[0] + u[1] * at[1] - j->c->edge[edge].distance / SNUB_MM;
    foot[0] = at[0] - off * u[0];
    foot[1] = at[1] - off * u[1];
}

static void draw_readings(const job *j)
{
    const snub_pen quiet = snub_pen_make(SNUB_INK_DIMENSION, SNUB_DASH_SOLID, 0.18);
    const snub_pen loud = snub_pen_make(SNUB_INK_FAIL, SNUB_DASH_DASHED, 0.7);
    for (int k = 0; k < j->c->check_count; k++) {
        const snub_read_check *r = &j->c->check[k];
        double a[2], b[2];
        if (r->distance < 0)
            continue;
        const snub_distance *d = &j->c->measured->distances[r->distance];
        place(j, d->a, a);
        if (d->kind == SNUB_TO_EDGE)
            foot_on_edge(j, d->b, a, b);
        else
            place(j, d->b, b);
        snub_draw_line(j->drawing, SNUB_LAYER_DIMENSION, r->suspect ? loud : quiet, a[0], a[1], b[0], b[1]);
    }
}

/* As far as the readings to it reach. */
static void draw_edges(const job *j)
{
    const snub_pen pen = snub_pen_make(SNUB_INK_OBSTACLE, SNUB_DASH_LONG, 0.5);
    for (int e = 0; e < j->c->measured->edge_count; e++) {
        const double normal = j->c->edge[e].normal, way[2] = {-sin(normal), cos(normal)};
        double low = INFINITY, high = -INFINITY, foot[2] = {0.0, 0.0}, at[2];
        for (int k = 0; k < j->c->measured->distance_count; k++) {
            const snub_distance *d = &j->c->measured->distances[k];
            if (d->kind != SNUB_TO_EDGE || d->b != e)
                continue;
            place(j, d->a, at);
            foot_on_edge(j, e, at, foot);
            low = fmin(low, foot[0] * way[0] + foot[1] * way[1]);
            high = fmax(high, foot[0] * way[0] + foot[1] * way[1]);
        }
        const double on = foot[0] * way[0] + foot[1] * way[1], more = 6.0 * j->scale;
        if (low <= high)
            snub_draw_line(j->drawing, SNUB_LAYER_OBSTACLE, pen, foot[0] + (low - more - on) * way[0],
                           foot[1] + (low - more - on) * way[1], foot[0] + (high + more - on) * way[0],
                           foot[1] + (high + more - on) * way[1]);
    }
}

static void draw_next(const job *j)
{
    double a[2], b[2];
    if (j->c->next_count == 0)
        return;
    place(j, j->c->next[0].a, a);
    place(j, j->c->next[0].b, b);
    snub_draw_line(j->drawing, SNUB_LAYER_DIMENSION, snub_pen_make(SNUB_INK_PASS, SNUB_DASH_DOTTED, 0.7), a[0], a[1],
                   b[0], b[1]);
}

static void draw_ellipses(const job *j)
{
    const snub_pen pen = snub_pen_make(SNUB_INK_SERIES_1, SNUB_DASH_SOLID, 0.5);
    for (int i = 0; i < j->c->measured->pulley_count; i++) {
        const snub_centre *p = &j->c->centre[i];
        const double long_axis = j->magnified * p->axis[0] / SNUB_MM, short_axis = j->magnified * p->axis[1] / SNUB_MM;
        snub_vertex corner[CORNERS];
        double at[2];
        place(j, i, at);
        for (int k = 0; k < CORNERS; k++) {
            const double angle = 2.0 * SNUB_PI * k / CORNERS, x = long_axis * cos(angle), y = short_axis * sin(angle);
            corner[k] = (snub_vertex){at[0] + x * cos(p->turn) - y * sin(p->turn),
                                      at[1] + x * sin(p->turn) + y * cos(p->turn), 0.0};
        }
        if (long_axis > 0.0)
            snub_draw_path(j->drawing, SNUB_LAYER_PLOT, pen, SNUB_INK_NONE, corner, CORNERS, true);
    }
}

/* ---- words ------------------------------------------------------------------------------------------------------- */

static bool draw_names(const job *j, snub_arena *arena)
{
    const int count = j->c->measured->pulley_count;
    snub_label_map *map = snub_label_map_new(j->drawing, arena);
    snub_label *label = SNUB_NEW(arena, snub_label, count);
    if (map == NULL || label == NULL)
        return false;
    for (int i = 0; i < count; i++) {
        char x[32], y[32];
        double at[2];
        place(j, i, at);
        snub_draw_number(j->locale, at[0], "mm", 1, x);
        snub_draw_number(j->locale, at[1], "mm", 1, y);
        label[i] = (snub_label){.at = {at[0], at[1]},
                                .clear = rim(j, i) + 1.5 * j->scale,
                                .lines = 2,
                                .line = {j->c->measured->pulleys[i].name,
                                         snub_format(arena, "%s, %s %s", x, y, snub_draw_unit(j->locale, "mm"))},
                                .bold_first = true,
                                .ink = SNUB_INK_TEXT,
                                .height = MEASURED_LETTERS};
        if (label[i].line[1] == NULL)
            return false;
        snub_label_map_ring(map, at, rim(j, i), 0.5 * j->scale, 1.0);
    }
    for (int k = 0; k < j->c->measured->distance_count; k++) {
        const snub_distance *d = &j->c->measured->distances[k];
        double a[2], b[2];
        place(j, d->a, a);
        if (d->kind == SNUB_TO_EDGE)
            continue;
        place(j, d->b, b);
        snub_label_map_line(map, a, b, 0.3 * j->scale, 0.3);
    }
    snub_place_labels(j->drawing, map, label, count);
    return true;
}

static void draw_words(const job *j)
{
    char factor[32], line[200];
    const char *title = j->c->measured->title[0] != '\0' ? j->c->measured->title
                                                         : snub_say(j->locale, SNUB_MESSAGE("Measured centres"));
    const snub_measured_key keys[] = {
        {j->c->next_count > 0, SNUB_MESSAGE("Dotted: the reading that would help most.")},
        {j->c->suspects > 0, SNUB_MESSAGE("Heavy and dashed: suspect, measure again.")},
        {j->c->choice == SNUB_LAYOUT_UNDECIDED, SNUB_MESSAGE("Another layout fits as well: this one may be mirrored.")},
    };
    const double row = snub_measured_frame(j->drawing, j->locale, title, keys, (int)(sizeof keys / sizeof keys[0]));
    snub_number_text(j->locale, j->magnified, 0, factor);
    snprintf(line, sizeof line, "%s: %s", snub_say(j->locale, SNUB_MESSAGE("Ellipses of 95 %, larger than true by")),
             factor);
    snub_measured_line(j->drawing, row, MEASURED_LETTERS, false, line);
}

snub_status snub_draw_centres(const snub_centres *centres, const snub_locale *locale, snub_arena *arena,
                              snub_drawing *drawing, snub_error *error)
{
    job j = {.c = centres, .locale = locale, .drawing = drawing};
    measure_out(&j);
    set_sheet(&j, arena);
    drawing->title = centres->measured->title;
    draw_edges(&j);
    draw_rims(&j);
    draw_readings(&j);
    draw_next(&j);
    draw_ellipses(&j);
    if (!draw_names(&j, arena))
        drawing->failed = true;
    draw_words(&j);
    return drawing->failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while drawing") : SNUB_OK;
}

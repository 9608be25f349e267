/** Circles of a sketch or a scan. */
#include "snub/draw_circles.h"

#include <math.h>
#include <stdio.h>

#include "compose.h"
#include "labels.h"
#include "measured_sheet.h"
#include "snub/units.h"
#include "view.h"

#define LARGEST 10.0 /* sheet mm that the largest residual reaches, and one that is left out at most */
#define DOT 0.35     /* radius of a point */
#define CROSS 1.2    /* half of one that is left out */
#define APART 0.8    /* between points along the rim, so that they can be told apart */
enum { LABELS_MOST = 80 };

typedef struct job {
    const snub_circles *c;
    const snub_locale *locale;
    snub_drawing *drawing;
    double scale, magnified;
    bool any_out, any_drive;
} job;

static void place(const snub_round *r, double at[2])
{
    at[0] = r->at[0] / SNUB_MM;
    at[1] = r->at[1] / SNUB_MM;
}

static double rim(const snub_round *r)
{
    return 0.5 * r->diameter / SNUB_MM;
}

/* A circle that the points do not hold may be of any size: its points alone say where it is. */
static bool is_held(const snub_round *r)
{
    return r->fit == NULL || !r->fit->straight;
}

static void measure_out(const job *j, snub_extent *extent)
{
    snub_extent_none(extent);
    for (int i = 0; i < j->c->round_count; i++) {
        const snub_round *r = &j->c->round[i];
        double at[2];
        place(r, at);
        if (is_held(r))
            snub_extent_add(extent, at[0], at[1], rim(r));
        for (int k = 0; r->points != NULL && k < r->points->count; k++)
            if (!r->fit->point[k].out)
                snub_extent_add(extent, r->points->at[k][0] / SNUB_MM, r->points->at[k][1] / SNUB_MM, 0.0);
    }
}

static void set_sheet(job *j, snub_arena *arena)
{
    snub_extent extent;
    double largest = 0.0;
    measure_out(j, &extent);
    j->scale = snub_measured_sheet(j->drawing, &extent, j->locale, arena);
    for (int i = 0; i < j->c->round_count; i++) {
        const snub_circle_fit *f = j->c->round[i].fit;
        for (int k = 0; f != NULL && k < f->count; k++)
            largest = f->point[k].out ? largest : fmax(largest, fabs(f->point[k].residual) / SNUB_MM);
    }
    j->magnified = snub_measured_factor(largest, LARGEST * j->scale);
}

/* ---- what is there ------------------------------------------------------------------------------------------------
 */

static void draw_drive(job *j)
{
    const snub_pen pen = snub_pen_make(SNUB_INK_QUIET, SNUB_DASH_DASHED, 0.25);
    for (int i = 0; j->c->drive != NULL && i < j->c->drive->pulley_count; i++) {
        const snub_pulley *p = &j->c->drive->pulleys[i];
        if (p->sits != SNUB_FIXED || p->at[0] / SNUB_MM < j->drawing->low[0] ||
            p->at[0] / SNUB_MM > j->drawing->high[0] || p->at[1] / SNUB_MM < j->drawing->low[1] ||
            p->at[1] / SNUB_MM > j->drawing->high[1])
            continue;
        snub_draw_circle(j->drawing, SNUB_LAYER_BUILDS, pen, SNUB_INK_NONE, p->at[0] / SNUB_MM, p->at[1] / SNUB_MM,
                         p->rim_radius / SNUB_MM);
        j->any_drive = true;
    }
}

static void draw_rims(const job *j)
{
    const snub_pen found = snub_pen_make(SNUB_INK_OUTLINE, SNUB_DASH_SOLID, 0.5);
    const snub_pen other = snub_pen_make(SNUB_INK_OUTLINE, SNUB_DASH_SOLID, 0.25);
    for (int i = 0; i < j->c->round_count; i++) {
        const snub_round *r = &j->c->round[i];
        const bool known = j->c->group[r->group].pulley >= 0;
        double at[2];
        place(r, at);
        if (!is_held(r))
            continue;
        snub_draw_circle(j->drawing, SNUB_LAYER_PULLEY, known ? found : other,
                         known ? SNUB_INK_RIB_FILL : SNUB_INK_NONE, at[0], at[1], rim(r));
        if (j->c->group[r->group].first == i)
            snub_draw_centre(j->drawing, at[0], at[1], fmin(1.2 * rim(r), 3.0 * j->scale));
    }
}

static void draw_cross(const job *j, const double at[2])
{
    const snub_pen pen = snub_pen_make(SNUB_INK_FAIL, SNUB_DASH_SOLID, 0.5);
    const double half = CROSS * j->scale;
    snub_draw_line(j->drawing, SNUB_LAYER_PLOT, pen, at[0] - half, at[1] - half, at[0] + half, at[1] + half);
    snub_draw_line(j->drawing, SNUB_LAYER_PLOT, pen, at[0] - half, at[1] + half, at[0] + half, at[1] - half);
}

/* From the rim to where the point would be if its residual were so much larger. */
static void draw_point(job *j, const snub_round *r, int i)
{
    const snub_circle_point *p = &r->fit->point[i];
    const snub_pen pen = snub_pen_make(SNUB_INK_SERIES_1, SNUB_DASH_SOLID, 0.18);
    const double most = LARGEST * j->scale, x = r->points->at[i][0] / SNUB_MM, y = r->points->at[i][1] / SNUB_MM;
    double at[2], foot[2], end[2];
    place(r, at);
    const double d = hypot(x - at[0], y - at[1]), u = d > 0.0 ? (x - at[0]) / d : 1.0,
                 v = d > 0.0 ? (y - at[1]) / d : 0.0;
    const double off = fmin(fmax(j->magnified * p->residual / SNUB_MM, -most), most), to = rim(r) + off;
    foot[0] = is_held(r) ? at[0] + rim(r) * u : x;
    foot[1] = is_held(r) ? at[1] + rim(r) * v : y;
    end[0] = is_held(r) ? at[0] + to * u : x;
    end[1] = is_held(r) ? at[1] + to * v : y;
    snub_draw_line(j->drawing, SNUB_LAYER_PLOT, pen, foot[0], foot[1], end[0], end[1]);
    j->any_out = j->any_out || p->out;
    if (p->out)
        draw_cross(j, end);
    else
        snub_draw_circle(j->drawing, SNUB_LAYER_PLOT, pen, SNUB_INK_SERIES_1, end[0], end[1], DOT * j->scale);
}

static void draw_points(job *j)
{
    for (int i = 0; i < j->c->round_count; i++) {
        const snub_round *r = &j->c->round[i];
        if (r->fit == NULL)
            continue;
        const double room = fmax(1.0, rim(r) * r->arc / (APART * j->scale));
        const int step = is_held(r) && r->fit->count > room ? (int)ceil(r->fit->count / room) : 1;
        for (int k = 0; k < r->fit->count; k++)
            if (k % step == 0 || r->fit->point[k].out)
                draw_point(j, r, k);
    }
}

/* ---- words --------------------------------------------------------------------------------------------------------
 */

static const char *name_of(const job *j, const snub_round_group *g, snub_arena *arena)
{
    const snub_round *r = &j->c->round[g->first];
    if (g->pulley >= 0)
        return j->c->drive->pulleys[g->pulley].name;
    return r->name != NULL ? r->name
                           : snub_format(arena, "%s %d", snub_say(j->locale, SNUB_MESSAGE("circle")), g->first + 1);
}

static bool make_label(const job *j, const snub_round_group *g, snub_arena *arena, snub_label *label)
{
    const snub_round *r = &j->c->round[g->first];
    char x[32], y[32], d[48];
    double at[2];
    place(r, at);
    snub_draw_number(j->locale, at[0], "mm", 2, x);
    snub_draw_number(j->locale, at[1], "mm", 2, y);
    *label = (snub_label){
        .at = {at[0], at[1]},
        .clear = rim(r) + 1.5 * j->scale,
        .lines = 3,
        .line = {name_of(j, g, arena), snub_format(arena, "%s, %s %s", x, y, snub_draw_unit(j->locale, "mm")),
                 snub_format(arena, "\u00d8 %s", snub_draw_mm(j->locale, r->diameter / SNUB_MM, 2, d))},
        .bold_first = true,
        .ink = SNUB_INK_TEXT,
        .height = MEASURED_LETTERS};
    return label->line[0] != NULL && label->line[1] != NULL && label->line[2] != NULL;
}

/* Of a crowd the largest: where more would stand nobody could read them. */
static bool draw_names(const job *j, snub_arena *arena)
{
    snub_label_map *map = snub_label_map_new(j->drawing, arena);
    snub_label *label = SNUB_NEW(arena, snub_label, LABELS_MOST);
    int count = 0;
    if (map == NULL || label == NULL)
        return false;
    for (int i = 0; i < j->c->round_count && i < LABELS_MOST; i++) {
        double at[2];
        place(&j->c->round[i], at);
        if (is_held(&j->c->round[i]))
            snub_label_map_ring(map, at, rim(&j->c->round[i]), LARGEST * (j->c->scan != NULL ? 0.5 : 0.05) * j->scale,
                                1.0);
    }
    for (int g = 0; g < j->c->group_count && count < LABELS_MOST; g++)
        if (is_held(&j->c->round[j->c->group[g].first]) && !make_label(j, &j->c->group[g], arena, &label[count++]))
            return false;
    snub_place_labels(j->drawing, map, label, count);
    return true;
}

static void draw_words(const job *j, const char *title)
{
    char factor[32], line[200];
    const snub_measured_key keys[] = {
        {j->any_out, SNUB_MESSAGE("Cross: left out, it stands out from the others.")},
        {j->any_drive, SNUB_MESSAGE("Dashed: pulleys as the drive file has them.")},
    };
    const double row = snub_measured_frame(j->drawing, j->locale, title, keys, (int)(sizeof keys / sizeof keys[0]));
    if (j->c->scan == NULL)
        return;
    snub_number_text(j->locale, j->magnified, 0, factor);
    snprintf(line, sizeof line, "%s: %s",
             snub_say(j->locale, SNUB_MESSAGE("Distances of the points from their circle, larger than true by")),
             factor);
    snub_measured_line(j->drawing, row, MEASURED_LETTERS, false, line);
}

snub_status snub_draw_circles(const snub_circles *circles, const char *title, const snub_locale *locale,
                              snub_arena *arena, snub_drawing *drawing, snub_error *error)
{
    job j = {.c = circles, .locale = locale, .drawing = drawing};
    set_sheet(&j, arena);
    drawing->title = title;
    draw_rims(&j);
    draw_drive(&j);
    draw_points(&j);
    if (!draw_names(&j, arena))
        drawing->failed = true;
    draw_words(&j, title);
    return drawing->failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while drawing") : SNUB_OK;
}

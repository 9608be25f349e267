/* What flat cuts leave of an obstacle. docs/theory/clearance.md, "Metal taken off". */
#include "cut.h"

#include <string.h>

/* A round figure becomes a polygon around it where a cut flattens it: no more than this outside of the round, m. */
static const double ROUND_ERROR = 5e-6;
enum { ROUND_LEAST = 24, ROUND_MOST = SNUB_CORNERS_MOST - 2 * SNUB_CUTS_MOST - 2 };
/* Corners nearer to the line of a cut than this lie on it, m. */
static const double ON_LINE = 1e-9;

/* An outline in the making. */
typedef struct outline {
    int count;
    double corner[SNUB_CORNERS_MOST][2];
} outline;

/* Where a cut lies: all of the figure is on the side of `line` that -n points to before, and is left of it after. */
typedef struct plane {
    double at[2], n[2];
} plane;

static double beyond(const plane *cut, const double p[2])
{
    return (p[0] - cut->at[0]) * cut->n[0] + (p[1] - cut->at[1]) * cut->n[1];
}

/* ---- figures ----------------------------------------------------------------------------------------------------- */

/* Corners of a regular polygon around a circle: its sides touch. */
static int round_steps(double radius)
{
    const double steps = ceil(SNUB_PI * sqrt(radius / (2.0 * ROUND_ERROR)));
    return (int)fmin(fmax(steps, ROUND_LEAST), ROUND_MOST) / 2 * 2;
}

static void outline_of(const snub_obstacle *o, outline *figure)
{
    if (o->shape == SNUB_POLYGON) {
        figure->count = o->corners;
        memcpy(figure->corner, o->corner, sizeof figure->corner[0] * (size_t)o->corners);
        return;
    }
    const bool round = o->shape == SNUB_CIRCLE;
    const int steps = round_steps(o->radius);
    const double outer = o->radius / cos(SNUB_PI / steps);
    const double along = round ? 0.0 : atan2(o->to[1] - o->from[1], o->to[0] - o->from[0]);
    figure->count = 0;
    for (int i = 0; i < steps; i++) {
        /* half of them about each end of a stadium, from a half step past its side on */
        const double *end = round || i >= steps / 2 ? o->from : o->to;
        const double angle = along - SNUB_PI / 2 + 2.0 * SNUB_PI * (i + 0.5) / steps;
        figure->corner[figure->count][0] = end[0] + outer * cos(angle);
        figure->corner[figure->count++][1] = end[1] + outer * sin(angle);
    }
}

/* The part of an outline that a cut leaves: Sutherland and Hodgman's clipping by one half plane. */
static void clip(outline *figure, const plane *cut, outline *left)
{
    left->count = 0;
    for (int i = 0; i < figure->count; i++) {
        const double *a = figure->corner[i], *b = figure->corner[(i + 1) % figure->count];
        const double from = beyond(cut, a), to = beyond(cut, b);
        if (from <= 0.0 && left->count < SNUB_CORNERS_MOST)
            memcpy(left->corner[left->count++], a, sizeof left->corner[0]);
        if ((from < 0.0 && to > 0.0) || (from > 0.0 && to < 0.0)) {
            if (left->count == SNUB_CORNERS_MOST)
                continue;
            double *p = left->corner[left->count++];
            for (int k = 0; k < 2; k++)
                p[k] = a[k] + (b[k] - a[k]) * from / (from - to);
        }
    }
}

/* ---- where a cut lies -------------------------------------------------------------------------------------------- */

static void nearest_on(const double a[2], const double b[2], const double p[2], double near[2])
{
    const double d[2] = {b[0] - a[0], b[1] - a[1]}, length = d[0] * d[0] + d[1] * d[1];
    const double s = length > 0.0 ? ((p[0] - a[0]) * d[0] + (p[1] - a[1]) * d[1]) / length : 0.0;
    for (int k = 0; k < 2; k++)
        near[k] = a[k] + fmin(fmax(s, 0.0), 1.0) * d[k];
}

static bool holds(const outline *figure, const double p[2])
{
    bool in = false;
    for (int i = 0; i < figure->count; i++) {
        const double *a = figure->corner[i], *b = figure->corner[(i + 1) % figure->count];
        if ((a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0] + (b[0] - a[0]) * (p[1] - a[1]) / (b[1] - a[1]))
            in = !in;
    }
    return in;
}

/* Square to the shortest way from the figure to the point, `depth` under the place where that way begins. */
static snub_cut_outcome place(const snub_obstacle *o, const outline *figure, const snub_cut *cut, plane *at)
{
    double near[2] = {0, 0}, least = INFINITY;
    const bool polygon = o->shape == SNUB_POLYGON;
    for (int i = 0; i < (polygon ? o->corners : 1); i++) {
        double p[2];
        nearest_on(polygon ? o->corner[i] : o->from,
                   polygon                    ? o->corner[(i + 1) % o->corners]
                   : o->shape == SNUB_STADIUM ? o->to
                                              : o->from,
                   cut->point, p);
        const double far = hypot(p[0] - cut->point[0], p[1] - cut->point[1]);
        if (far < least) {
            least = far;
            memcpy(near, p, sizeof near);
        }
    }
    const double reach = polygon ? 0.0 : o->radius;
    if (least <= reach + ON_LINE || (polygon && holds(figure, cut->point)))
        return SNUB_CUT_INSIDE;
    for (int k = 0; k < 2; k++) {
        at->n[k] = (cut->point[k] - near[k]) / least;
        at->at[k] = near[k] + reach * at->n[k];
    }
    for (int i = 0; polygon && i < o->corners; i++) {
        if (beyond(at, o->corner[i]) > ON_LINE)
            return SNUB_CUT_HOLLOW;
    }
    for (int k = 0; k < 2; k++)
        at->at[k] -= cut->depth * at->n[k];
    return SNUB_CUT_GOOD;
}

/* The edge of a cut: where its line enters and leaves the figure. */
static void edge_of(const outline *figure, const plane *at, snub_cut *cut)
{
    double least = INFINITY, most = -INFINITY;
    for (int i = 0; i < figure->count; i++) {
        const double *a = figure->corner[i], *b = figure->corner[(i + 1) % figure->count];
        const double from = beyond(at, a), to = beyond(at, b);
        if ((from <= 0.0) == (to <= 0.0))
            continue;
        const double p[2] = {a[0] + (b[0] - a[0]) * from / (from - to), a[1] + (b[1] - a[1]) * from / (from - to)};
        const double along = (p[1] - at->at[1]) * at->n[0] - (p[0] - at->at[0]) * at->n[1];
        if (along < least)
            memcpy(cut->line[0], p, sizeof p);
        if (along > most)
            memcpy(cut->line[1], p, sizeof p);
        least = fmin(least, along);
        most = fmax(most, along);
    }
}

/* ---- slices ------------------------------------------------------------------------------------------------------ */

static void add_height(double heights[], int *count, double z, double low, double high)
{
    int at = *count;
    if (z <= low || z >= high)
        return;
    while (at > 0 && heights[at - 1] >= z)
        at--;
    if (at < *count && heights[at] == z)
        return;
    memmove(&heights[at + 1], &heights[at], sizeof heights[0] * (size_t)(*count - at));
    heights[at] = z;
    ++*count;
}

/* One slice: the figure with every side cut that reaches over it. */
static snub_cut_outcome slice(const snub_obstacle *o, const outline *figure, const plane planes[], double low,
                              double high, snub_arena *arena, snub_obstacle *out)
{
    *out = *o;
    out->low = low;
    out->high = high;
    out->cut_count = out->slice_count = 0;
    out->cuts = NULL;
    out->slices = NULL;
    outline work[2];
    int in = 0;
    bool any = false;
    work[0] = *figure;
    for (int i = 0; i < o->cut_count; i++) {
        const snub_cut *cut = &o->cuts[i];
        if (cut->from != SNUB_CUT_SIDE || !(cut->low < high && cut->high > low))
            continue;
        any = true;
        clip(&work[in], &planes[i], &work[1 - in]);
        in = 1 - in;
    }
    if (!any)
        return SNUB_CUT_GOOD;
    if (work[in].count < 3)
        return SNUB_CUT_THROUGH;
    out->shape = SNUB_POLYGON;
    out->corners = work[in].count;
    out->corner = snub_alloc(arena, (size_t)out->corners, sizeof *out->corner);
    if (out->corner == NULL)
        return SNUB_CUT_NO_MEMORY;
    memcpy(out->corner, work[in].corner, sizeof *out->corner * (size_t)out->corners);
    return SNUB_CUT_GOOD;
}

static snub_cut_outcome slices_of(snub_obstacle *o, const outline *figure, const plane planes[], snub_arena *arena)
{
    double low = o->low, high = o->high, heights[SNUB_SLICES_MOST + 1];
    int count = 0;
    for (int i = 0; i < o->cut_count; i++) {
        if (o->cuts[i].from == SNUB_CUT_FRONT)
            high = fmin(high, o->cuts[i].low);
        if (o->cuts[i].from == SNUB_CUT_REAR)
            low = fmax(low, o->cuts[i].high);
    }
    if (!(low < high))
        return SNUB_CUT_THROUGH;
    for (int i = 0; i < o->cut_count; i++) {
        if (o->cuts[i].from != SNUB_CUT_SIDE)
            continue;
        add_height(heights, &count, o->cuts[i].low, low, high);
        add_height(heights, &count, o->cuts[i].high, low, high);
    }
    o->slices = SNUB_NEW(arena, snub_obstacle, count + 1);
    if (o->slices == NULL)
        return SNUB_CUT_NO_MEMORY;
    for (int k = 0; k <= count; k++) {
        const snub_cut_outcome outcome = slice(o, figure, planes, k == 0 ? low : heights[k - 1],
                                               k == count ? high : heights[k], arena, &o->slices[o->slice_count]);
        if (outcome == SNUB_CUT_NO_MEMORY)
            return outcome;
        o->slice_count += outcome == SNUB_CUT_GOOD;
    }
    return o->slice_count > 0 ? SNUB_CUT_GOOD : SNUB_CUT_THROUGH;
}

snub_cut_outcome snub_cut_obstacle(snub_obstacle *obstacle, snub_arena *arena, int *wrong)
{
    plane planes[SNUB_CUTS_MOST];
    outline figure;
    *wrong = 0;
    outline_of(obstacle, &figure);
    for (int i = 0; i < obstacle->cut_count; i++) {
        if (obstacle->cuts[i].from != SNUB_CUT_SIDE)
            continue;
        const snub_cut_outcome outcome = place(obstacle, &figure, &obstacle->cuts[i], &planes[i]);
        *wrong = i;
        if (outcome != SNUB_CUT_GOOD)
            return outcome;
        edge_of(&figure, &planes[i], &obstacle->cuts[i]);
    }
    return slices_of(obstacle, &figure, planes, arena);
}

double snub_taken_off(const snub_obstacle *obstacle, bool ends)
{
    double most = 0.0;
    for (int i = 0; i < obstacle->cut_count; i++) {
        if ((obstacle->cuts[i].from != SNUB_CUT_SIDE) == ends)
            most = fmax(most, obstacle->cuts[i].depth);
    }
    return most;
}

void snub_left_of(const snub_obstacle *obstacle, double range[2])
{
    const int last = obstacle->slice_count - 1;
    range[0] = last < 0 ? obstacle->low : obstacle->slices[0].low;
    range[1] = last < 0 ? obstacle->high : obstacle->slices[last].high;
}

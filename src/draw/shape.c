/** Arcs from bulges, boxes of text, bounds, loops made of straight pieces. */
#include "shape.h"

#include <math.h>

/* bulge b = tan(sweep/4). With the chord d from a to b: radius = |d| (1 + b^2)/(4 |b|), and the centre lies beside the
 * chord's middle, to its left by |d| (1 - b^2)/(4 b). */
bool snub_bulge_arc(const snub_vertex *a, const snub_vertex *b, double centre[2], double *radius, double *start,
                    double *sweep)
{
    double dx = b->x - a->x, dy = b->y - a->y, chord = hypot(dx, dy), bulge = a->bulge;
    if (bulge == 0 || chord == 0)
        return false;
    double aside = (1 - bulge * bulge) / (4 * bulge);
    centre[0] = (a->x + b->x) / 2 - aside * dy;
    centre[1] = (a->y + b->y) / 2 + aside * dx;
    *radius = chord * (1 + bulge * bulge) / (4 * fabs(bulge));
    *start = atan2(a->y - centre[1], a->x - centre[0]);
    *sweep = 4 * atan(bulge);
    return true;
}

void snub_text_box(const snub_entity *text, double unit, double corner[4][2], double base[2])
{
    const double descent = 0.30; /* of the capitals: g, p, y in the faces used reach 0.21 em below the line */
    double height = text->as.text.height * unit;
    double width = snub_text_measure(text->as.text.text, text->as.text.height, text->as.text.bold) * unit;
    double left = text->as.text.across < 0 ? 0 : text->as.text.across == 0 ? -width / 2 : -width;
    double foot = text->as.text.up < 0 ? 0 : text->as.text.up == 0 ? -height / 2 : -height;
    double c = cos(text->as.text.angle), s = sin(text->as.text.angle);
    const double local[5][2] = {{left, foot - descent * height},
                                {left + width, foot - descent * height},
                                {left + width, foot + height},
                                {left, foot + height},
                                {left, foot}};
    for (int i = 0; i < 5; i++) {
        double *to = i < 4 ? corner[i] : base;
        to[0] = text->as.text.at[0] + c * local[i][0] - s * local[i][1];
        to[1] = text->as.text.at[1] + s * local[i][0] + c * local[i][1];
    }
}

static void take_in(double low[2], double high[2], double x, double y)
{
    low[0] = fmin(low[0], x);
    low[1] = fmin(low[1], y);
    high[0] = fmax(high[0], x);
    high[1] = fmax(high[1], y);
}

/* An arc reaches furthest at its ends and where it crosses the axes through its centre. */
static void take_in_arc(double low[2], double high[2], const double centre[2], double radius, double start,
                        double sweep)
{
    double from = sweep < 0 ? start + sweep : start, to = from + fabs(sweep);
    take_in(low, high, centre[0] + radius * cos(from), centre[1] + radius * sin(from));
    take_in(low, high, centre[0] + radius * cos(to), centre[1] + radius * sin(to));
    for (double quarter = ceil(from / (SNUB_PI / 2)) * (SNUB_PI / 2); quarter <= to; quarter += SNUB_PI / 2)
        take_in(low, high, centre[0] + radius * cos(quarter), centre[1] + radius * sin(quarter));
}

static void take_in_loop(double low[2], double high[2], const snub_loop *loop)
{
    for (int i = 0; i < loop->count; i++) {
        const snub_vertex *a = &loop->vertex[i];
        take_in(low, high, a->x, a->y);
        if (i + 1 == loop->count && !loop->closed)
            break;
        double centre[2], radius, start, sweep;
        if (snub_bulge_arc(a, &loop->vertex[(i + 1) % loop->count], centre, &radius, &start, &sweep))
            take_in_arc(low, high, centre, radius, start, sweep);
    }
}

static void take_in_entity(double low[2], double high[2], const snub_entity *entity, double unit)
{
    double corner[4][2], base[2];
    switch (entity->kind) {
    case SNUB_ENTITY_LINE:
        take_in(low, high, entity->as.line.a[0], entity->as.line.a[1]);
        take_in(low, high, entity->as.line.b[0], entity->as.line.b[1]);
        return;
    case SNUB_ENTITY_ARC:
        take_in_arc(low, high, entity->as.arc.centre, entity->as.arc.radius, entity->as.arc.start,
                    entity->as.arc.sweep);
        return;
    case SNUB_ENTITY_CIRCLE:
        take_in_arc(low, high, entity->as.circle.centre, entity->as.circle.radius, 0, 2 * SNUB_PI);
        return;
    case SNUB_ENTITY_PATH:
        for (int i = 0; i < entity->as.path.count; i++)
            take_in_loop(low, high, &entity->as.path.loop[i]);
        return;
    case SNUB_ENTITY_TEXT:
        snub_text_box(entity, unit, corner, base);
        for (int i = 0; i < 4; i++)
            take_in(low, high, corner[i][0], corner[i][1]);
        return;
    }
}

bool snub_drawing_bounds(const snub_drawing *drawing, double low[2], double high[2])
{
    low[0] = low[1] = INFINITY;
    high[0] = high[1] = -INFINITY;
    for (int i = 0; i < drawing->count; i++)
        take_in_entity(low, high, &drawing->entity[i], drawing->unit);
    return low[0] <= high[0] && low[1] <= high[1];
}

/* Sagitta of a piece that turns by t: r (1 - cos(t/2)) <= stray. */
static int pieces_of(double radius, double sweep, double stray)
{
    if (radius <= stray)
        return 4;
    double turn = 2 * acos(1 - stray / radius);
    return (int)fmin(fmax(ceil(fabs(sweep) / turn), 1), 4096);
}

static int flatten_into(const snub_loop *loop, double stray, double (*point)[2])
{
    int n = 0, pieces = loop->closed ? loop->count : loop->count - 1;
    for (int i = 0; i < loop->count; i++) {
        const snub_vertex *a = &loop->vertex[i];
        if (point != NULL) {
            point[n][0] = a->x;
            point[n][1] = a->y;
        }
        n++;
        double centre[2], radius, start, sweep;
        if (i >= pieces || !snub_bulge_arc(a, &loop->vertex[(i + 1) % loop->count], centre, &radius, &start, &sweep))
            continue;
        int parts = pieces_of(radius, sweep, stray);
        for (int k = 1; k < parts; k++, n++) {
            if (point == NULL)
                continue;
            double at = start + sweep * k / parts;
            point[n][0] = centre[0] + radius * cos(at);
            point[n][1] = centre[1] + radius * sin(at);
        }
    }
    return n;
}

int snub_loop_flatten(const snub_loop *loop, double stray, snub_arena *arena, double (**point)[2])
{
    int n = flatten_into(loop, stray, NULL);
    *point = snub_alloc(arena, (size_t)(n > 0 ? n : 1), sizeof **point);
    if (*point == NULL)
        return -1;
    return flatten_into(loop, stray, *point);
}

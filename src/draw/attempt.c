/** A drive round which no belt runs: the path that was tried, in dashes, and what overlaps. */
#include <math.h>

#include "compose.h"
#include "snub/layout.h"
#include "view.h"

/** A span from a pulley to the next, where there is room for one. */
typedef struct span {
    bool there;
    double from[2], to[2];
} span;

static span span_of(const snub_view_pulley *p, const snub_view_pulley *next)
{
    const double r1 = p->sense * p->pitch_radius, r2 = next->sense * next->pitch_radius;
    double u[2], length;
    span s = {.there = snub_tangent(p->centre, r1, next->centre, r2, u, &length)};
    for (int a = 0; s.there && a < 2; a++) {
        const double normal = a == 0 ? -u[1] : u[0];
        s.from[a] = p->centre[a] + r1 * normal;
        s.to[a] = next->centre[a] + r2 * normal;
    }
    return s;
}

static double direction(const snub_view_pulley *p, const double point[2])
{
    return atan2(point[1] - p->centre[1], point[0] - p->centre[0]);
}

/** From where the belt comes to where it goes, the way the pulley would turn. */
static double sweep_of(const snub_view_pulley *p, const span *in, const span *out)
{
    double turn = p->sense * (direction(p, in->to) - direction(p, out->from));
    turn -= 2 * SNUB_PI * floor(turn / (2 * SNUB_PI));
    return -p->sense * turn;
}

void snub_draw_attempt(snub_drawing *drawing, const snub_view_build *build)
{
    const snub_pen pen = snub_pen_make(SNUB_INK_BELT, SNUB_DASH_DASHED, 0.5);
    for (int i = 0; i < build->count; i++) {
        const snub_view_pulley *before = &build->pulley[(i + build->count - 1) % build->count];
        const snub_view_pulley *p = &build->pulley[i], *next = &build->pulley[(i + 1) % build->count];
        const span in = span_of(before, p), out = span_of(p, next);
        if (out.there)
            snub_draw_line(drawing, SNUB_LAYER_GHOST, pen, out.from[0], out.from[1], out.to[0], out.to[1]);
        if (in.there && out.there)
            snub_draw_arc(drawing, SNUB_LAYER_GHOST, pen, p->centre[0], p->centre[1], p->pitch_radius,
                          direction(p, in.to), sweep_of(p, &in, &out));
    }
}

/** The place that two rims share: a lens, or the smaller one where it lies inside of the other. */
static void draw_shared(snub_drawing *drawing, const snub_view_pulley *p, const snub_view_pulley *q, double middle[2])
{
    const snub_pen pen = snub_pen_make(SNUB_INK_FAIL, SNUB_DASH_SOLID, 0.6);
    const double dx = q->centre[0] - p->centre[0], dy = q->centre[1] - p->centre[1], d = hypot(dx, dy);
    const double a = p->rim_radius, b = q->rim_radius;
    if (d <= fabs(a - b)) {
        const snub_view_pulley *inner = a < b ? p : q;
        snub_draw_circle(drawing, SNUB_LAYER_LABEL, pen, SNUB_INK_NONE, inner->centre[0], inner->centre[1],
                         inner->rim_radius);
        middle[0] = inner->centre[0];
        middle[1] = inner->centre[1];
        return;
    }
    const double towards = atan2(dy, dx), along = (a - b + d) / 2;
    const double alpha = acos((d * d + a * a - b * b) / (2 * d * a)),
                 beta = acos((d * d + b * b - a * a) / (2 * d * b));
    snub_draw_arc(drawing, SNUB_LAYER_LABEL, pen, p->centre[0], p->centre[1], a, towards - alpha, 2 * alpha);
    snub_draw_arc(drawing, SNUB_LAYER_LABEL, pen, q->centre[0], q->centre[1], b, towards + SNUB_PI - beta, 2 * beta);
    middle[0] = p->centre[0] + along * cos(towards);
    middle[1] = p->centre[1] + along * sin(towards);
}

void snub_draw_overlaps(snub_drawing *drawing, const snub_view_build *build, const snub_locale *locale)
{
    const snub_lettering lettering = {.height = 2.5, .ink = SNUB_INK_FAIL, .bold = true, .halo = true};
    for (int i = 0; i < build->count; i++) {
        for (int k = 0; k < i; k++) {
            const snub_view_pulley *p = &build->pulley[i], *q = &build->pulley[k];
            double middle[2];
            if (hypot(p->centre[0] - q->centre[0], p->centre[1] - q->centre[1]) >= p->rim_radius + q->rim_radius ||
                fabs(p->plane - q->plane) >= (p->width + q->width) / 2)
                continue;
            draw_shared(drawing, p, q, middle);
            snub_draw_text(drawing, SNUB_LAYER_LABEL, &lettering, middle[0], middle[1], snub_say(locale, "overlap"));
        }
    }
}

/* The worst place of a span beside an obstacle. docs/theory/clearance.md, "Along a span". */
#include "pass.h"

#include "snub/num.h"

/* Of a place, m. What is left between belt and obstacle changes by less than 1 + pi flap fraction of that, so that it
 * is known to some 1e-9 m. */
static const double PASS_TOLERANCE = 1e-9;

double snub_in_space(double plane, double axial)
{
    if (plane > 0.0 || axial > 0.0)
        return hypot(fmax(plane, 0.0), fmax(axial, 0.0));
    return fmax(plane, axial);
}

double snub_obstacle_disc(const snub_obstacle *o, const double centre[2], double radius, double near[2])
{
    double at[2];
    if (near == NULL)
        near = at;
    switch (o->shape) {
    case SNUB_POLYGON: return snub_circle_polygon(centre, radius, o->corners, (const double(*)[2])o->corner, near);
    case SNUB_STADIUM: return snub_point_segment(centre, o->from, o->to, near) - o->radius - radius;
    case SNUB_CIRCLE: break;
    }
    near[0] = o->from[0];
    near[1] = o->from[1];
    return hypot(centre[0] - o->from[0], centre[1] - o->from[1]) - o->radius - radius;
}

double snub_obstacle_strip(const snub_obstacle *o, const snub_strip *strip, double near[2])
{
    switch (o->shape) {
    case SNUB_POLYGON: return snub_strip_polygon(strip, o->corners, (const double(*)[2])o->corner, near);
    case SNUB_STADIUM: return snub_strip_stadium(strip, o->from, o->to, o->radius, near);
    case SNUB_CIRCLE: break;
    }
    return snub_strip_circle(strip, o->from, o->radius, near);
}

/* One convex part of an obstacle, a segment with a radius, against the sections of a span. */
typedef struct part {
    const snub_span_strip *span;
    double a[2], b[2], radius;
    double low, high; /* along z */
} part;

static double flap_at(const snub_span_strip *span, double along)
{
    return span->flap * sin(SNUB_PI * fmin(fmax(along / span->strip.length, 0.0), 1.0));
}

static double between(const double ends[2], double share)
{
    return ends[0] + share * (ends[1] - ends[0]);
}

static double axial_at(const snub_span_strip *span, double low, double high, double along)
{
    const double share = along / span->strip.length;
    return fmax(low - between(span->high, share), between(span->low, share) - high);
}

/* Ends of the belt's section at a place along the span. */
static void section_at(const snub_strip *strip, double along, double left[2], double right[2])
{
    for (int k = 0; k < 2; k++) {
        const double cord = strip->from[k] + along * strip->u[k], n = k == 0 ? -strip->u[1] : strip->u[0];
        left[k] = cord + strip->left * n;
        right[k] = cord - strip->right * n;
    }
}

static double left_over(const part *p, double along)
{
    double left[2], right[2];
    section_at(&p->span->strip, along, left, right);
    const double plane = snub_segment_segment(left, right, p->a, p->b, NULL, NULL) - p->radius;
    return snub_in_space(plane - flap_at(p->span, along), axial_at(p->span, p->low, p->high, along));
}

static bool minus_left_over(double along, double *value, void *context)
{
    *value = -left_over(context, along);
    return true;
}

typedef struct worst {
    double along, left; /* place, and what is left there */
} worst;

/* What is left beside one part is convex along the span, so that golden section finds its least. A part that cannot
 * come nearer than what was found is passed over: the whole strip is nearer to it than any of its sections. */
static void look_at(part *p, worst *found)
{
    const snub_strip *strip = &p->span->strip;
    double near[2], value;
    const double axial =
        fmax(p->low - fmax(p->span->high[0], p->span->high[1]), fmin(p->span->low[0], p->span->low[1]) - p->high);
    const double least = snub_strip_segment(strip, p->a, p->b, near) - p->radius - p->span->flap;
    if (!(snub_in_space(least, axial) < found->left))
        return;
    const double along = snub_maximise(minus_left_over, p, 0.0, strip->length, 2, PASS_TOLERANCE, &value);
    if (-value < found->left)
        *found = (worst){along, -value};
}

/* What is left where the polygon holds the section. */
static bool minus_left_inside(double along, double *value, void *context)
{
    const part *p = context;
    *value = -snub_in_space(-flap_at(p->span, along), axial_at(p->span, p->low, p->high, along));
    return true;
}

/* Sections that lie in the polygon meet no side of it. What is left of them is convex along the span: its least is in
 * the polygon, or else it is least where the sections enter or leave it, which is at a side. */
static void look_inside(part *p, const snub_obstacle *o, worst *found)
{
    const snub_strip *strip = &p->span->strip;
    double value, cord[2];
    const double along = snub_maximise(minus_left_inside, p, 0.0, strip->length, 2, PASS_TOLERANCE, &value);
    if (!(-value < found->left))
        return;
    for (int k = 0; k < 2; k++)
        cord[k] = strip->from[k] + along * strip->u[k];
    if (snub_point_polygon(cord, o->corners, (const double(*)[2])o->corner, NULL) <= 0.0)
        *found = (worst){along, -value};
}

static void look_at_polygon(part *p, const snub_obstacle *o, worst *found)
{
    for (int i = 0; i < o->corners; i++) {
        for (int k = 0; k < 2; k++) {
            p->a[k] = o->corner[i][k];
            p->b[k] = o->corner[(i + 1) % o->corners][k];
        }
        look_at(p, found);
    }
    look_inside(p, o, found);
}

static void fill(const snub_span_strip *span, const snub_obstacle *o, double along, double whole, const double near[2],
                 snub_pass *pass)
{
    const double share = along / span->strip.length;
    snub_strip section = span->strip;
    pass->along = along;
    pass->flap = flap_at(span, along);
    pass->low = between(span->low, share);
    pass->high = between(span->high, share);
    for (int k = 0; k < 2; k++)
        section.from[k] += along * section.u[k];
    section.length = 0.0;
    double left[2], right[2], of[2];
    section_at(&span->strip, along, left, right);
    pass->plane_gap = snub_obstacle_strip(o, &section, of);
    snub_point_segment(of, left, right, pass->at); /* of a slot it is a point of the slot's middle */
    if (pass->plane_gap > 0.0)
        return;
    pass->plane_gap = whole; /* depth is measured over the whole span */
    for (int k = 0; k < 2; k++)
        pass->at[k] = whole < 0.0 ? section.from[k] : near[k];
}

bool snub_span_pass(const snub_span_strip *span, const snub_obstacle *o, double within, snub_pass *pass)
{
    double near[2];
    const double whole = snub_obstacle_strip(o, &span->strip, near);
    const double axial = fmax(o->low - fmax(span->high[0], span->high[1]), fmin(span->low[0], span->low[1]) - o->high);
    if (!(snub_in_space(whole - span->flap, axial) < within))
        return false;
    part p = {.span = span, .radius = o->radius, .low = o->low, .high = o->high};
    worst found = {0.0, INFINITY};
    if (o->shape == SNUB_POLYGON) {
        p.radius = 0.0;
        look_at_polygon(&p, o, &found);
    } else {
        for (int k = 0; k < 2; k++) {
            p.a[k] = o->from[k];
            p.b[k] = o->shape == SNUB_STADIUM ? o->to[k] : o->from[k];
        }
        look_at(&p, &found);
    }
    fill(span, o, found.along, whole, near, pass);
    return true;
}

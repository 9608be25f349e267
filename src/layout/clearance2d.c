/* Distances of plain figures. docs/theory/clearance.md. */
#include "clearance2d.h"
#include "snub/clearance.h"

static void set(double to[2], const double from[2])
{
    if (to != NULL) {
        to[0] = from[0];
        to[1] = from[1];
    }
}

double snub_point_segment(const double p[2], const double a[2], const double b[2], double near[2])
{
    const double ux = b[0] - a[0], uy = b[1] - a[1], square = ux * ux + uy * uy;
    const double along = square > 0.0 ? ((p[0] - a[0]) * ux + (p[1] - a[1]) * uy) / square : 0.0;
    const double part = fmin(fmax(along, 0.0), 1.0);
    const double at[2] = {a[0] + part * ux, a[1] + part * uy};
    set(near, at);
    return hypot(p[0] - at[0], p[1] - at[1]);
}

static double cross(const double a[2], const double b[2], const double c[2])
{
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
}

/* Segments that cross in their insides. Those that touch at an end are found by the distances of the ends. */
static bool crossing(const double a[2], const double b[2], const double c[2], const double d[2], double at[2])
{
    const double ac = cross(a, b, c), ad = cross(a, b, d), ca = cross(c, d, a), cb = cross(c, d, b);
    if (!((ac > 0.0) != (ad > 0.0) && (ca > 0.0) != (cb > 0.0)) || ac == ad || ca == cb)
        return false;
    const double part = ca / (ca - cb);
    at[0] = a[0] + part * (b[0] - a[0]);
    at[1] = a[1] + part * (b[1] - a[1]);
    return true;
}

double snub_segment_segment(const double a[2], const double b[2], const double c[2], const double d[2], double on_ab[2],
                            double on_cd[2])
{
    double near[2];
    if (crossing(a, b, c, d, near)) {
        set(on_ab, near);
        set(on_cd, near);
        return 0.0;
    }
    const double *const ends[4] = {a, b, c, d};
    double best = INFINITY;
    for (int k = 0; k < 4; k++) {
        const bool of_ab = k < 2;
        const double distance =
            of_ab ? snub_point_segment(ends[k], c, d, near) : snub_point_segment(ends[k], a, b, near);
        if (distance < best) {
            best = distance;
            set(of_ab ? on_ab : on_cd, ends[k]);
            set(of_ab ? on_cd : on_ab, near);
        }
    }
    return best;
}

/* Whether a point lies inside, by crossings (even-odd); on the outline counts as either. */
static bool point_in_polygon(const double p[2], int corners, const double (*corner)[2])
{
    bool inside = false;
    for (int i = 0, j = corners - 1; i < corners; j = i++) {
        const double *a = corner[i], *b = corner[j];
        if ((a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0] + (b[0] - a[0]) * (p[1] - a[1]) / (b[1] - a[1]))
            inside = !inside;
    }
    return inside;
}

double snub_point_polygon(const double p[2], int corners, const double (*corner)[2], double near[2])
{
    double best = INFINITY, at[2];
    for (int i = 0; i < corners; i++) {
        const double distance = snub_point_segment(p, corner[i], corner[(i + 1) % corners], at);
        if (distance < best) {
            best = distance;
            set(near, at);
        }
    }
    return point_in_polygon(p, corners, corner) ? -best : best;
}

double snub_circle_polygon(const double centre[2], double radius, int corners, const double (*corner)[2],
                           double near[2])
{
    return snub_point_polygon(centre, corners, corner, near) - radius;
}

/* The same with the nearest point of the segment. */
static double segment_polygon_at(const double a[2], const double b[2], int corners, const double (*corner)[2],
                                 double near[2])
{
    double best = INFINITY, at[2];
    for (int i = 0; i < corners; i++) {
        const double distance = snub_segment_segment(a, b, corner[i], corner[(i + 1) % corners], at, NULL);
        if (distance < best) {
            best = distance;
            set(near, at);
        }
    }
    if (best > 0.0 && point_in_polygon(a, corners, corner)) {
        set(near, a);
        return 0.0;
    }
    return best;
}

double snub_segment_polygon(const double a[2], const double b[2], int corners, const double (*corner)[2])
{
    return segment_polygon_at(a, b, corners, corner, NULL);
}

/* ---- strips ----------------------------------------------------------------------------------------------------- */

/* (s, n) of a point: along the strip, and to the left of it. */
static void to_strip(const snub_strip *strip, const double p[2], double local[2])
{
    const double dx = p[0] - strip->from[0], dy = p[1] - strip->from[1];
    local[0] = dx * strip->u[0] + dy * strip->u[1];
    local[1] = -dx * strip->u[1] + dy * strip->u[0];
}

static void from_strip(const snub_strip *strip, double s, double n, double p[2])
{
    if (p == NULL)
        return;
    p[0] = strip->from[0] + s * strip->u[0] - n * strip->u[1];
    p[1] = strip->from[1] + s * strip->u[1] + n * strip->u[0];
}

static void strip_corners(const snub_strip *strip, double corner[4][2])
{
    from_strip(strip, 0.0, -strip->right, corner[0]);
    from_strip(strip, strip->length, -strip->right, corner[1]);
    from_strip(strip, strip->length, strip->left, corner[2]);
    from_strip(strip, 0.0, strip->left, corner[3]);
}

/* A figure that spans [low, high] across the strip: minus the way out on the nearer side. */
static double depth(const snub_strip *strip, double low, double high)
{
    return -fmin(strip->left - low, high + strip->right);
}

double snub_strip_circle(const snub_strip *strip, const double centre[2], double radius, double near[2])
{
    double at[2];
    to_strip(strip, centre, at);
    const double s = fmin(fmax(at[0], 0.0), strip->length), n = fmin(fmax(at[1], -strip->right), strip->left);
    from_strip(strip, s, n, near);
    const double apart = hypot(at[0] - s, at[1] - n) - radius;
    if (apart >= 0.0)
        return apart;
    const double half = sqrt(fmax(radius * radius - (at[0] - s) * (at[0] - s), 0.0)); /* of the chord at the end */
    return depth(strip, at[1] - half, at[1] + half);
}

/* Part of the segment a-b (strip coordinates) with low <= s <= high. @return false where there is none */
static bool clip(const double a[2], const double b[2], double low, double high, double *n_least, double *n_most)
{
    const double run = b[0] - a[0];
    double t0 = 0.0, t1 = 1.0;
    if (run == 0.0) {
        if (a[0] < low || a[0] > high)
            return false;
    } else {
        const double first = (low - a[0]) / run, second = (high - a[0]) / run;
        t0 = fmax(t0, fmin(first, second));
        t1 = fmin(t1, fmax(first, second));
        if (t0 > t1)
            return false;
    }
    const double n0 = a[1] + t0 * (b[1] - a[1]), n1 = a[1] + t1 * (b[1] - a[1]);
    *n_least = fmin(*n_least, fmin(n0, n1));
    *n_most = fmax(*n_most, fmax(n0, n1));
    return true;
}

double snub_strip_segment(const snub_strip *strip, const double from[2], const double to[2], double near[2])
{
    double corner[4][2];
    strip_corners(strip, corner);
    return segment_polygon_at(from, to, 4, (const double(*)[2])corner, near);
}

double snub_strip_stadium(const snub_strip *strip, const double from[2], const double to[2], double radius,
                          double near[2])
{
    double corner[4][2], a[2], b[2], at[2] = {0.0, 0.0}, low = INFINITY, high = -INFINITY;
    strip_corners(strip, corner);
    double apart = segment_polygon_at(from, to, 4, (const double(*)[2])corner, at);
    set(near, at);
    if (apart >= radius)
        return apart - radius;
    to_strip(strip, from, a);
    to_strip(strip, to, b);
    clip(a, b, -radius, strip->length + radius, &low, &high);
    return fmin(depth(strip, low - radius, high + radius), 0.0);
}

double snub_strip_polygon(const snub_strip *strip, int corners, const double (*corner)[2], double near[2])
{
    double box[4][2], at[2] = {0.0, 0.0}, best = INFINITY, low = INFINITY, high = -INFINITY;
    strip_corners(strip, box);
    for (int k = 0; k < 4; k++) {
        const double distance = segment_polygon_at(box[k], box[(k + 1) % 4], corners, corner, at);
        if (distance < best) {
            best = distance;
            set(near, at);
        }
    }
    if (best > 0.0 && !point_in_polygon(corner[0], 4, (const double(*)[2])box))
        return best;
    for (int i = 0; i < corners; i++) {
        double a[2], b[2];
        to_strip(strip, corner[i], a);
        to_strip(strip, corner[(i + 1) % corners], b);
        clip(a, b, 0.0, strip->length, &low, &high);
    }
    return low <= high ? fmin(depth(strip, low, high), 0.0) : 0.0;
}

/* Distances and depths of plain figures against GEOS on random scenes. */
#include <stdio.h>
#include <string.h>

#include "drive/polygon.h"
#include "layout/clearance2d.h"
#include "snub/clearance.h"
#include "support/geos.h"
#include "support/near.h"

enum { SCENES = 2000, CORNERS = 9 };
#define TOLERANCE 1e-9 /* m, on scenes of a few tenths of a metre */

static void point(double p[2])
{
    p[0] = between(-0.3, 0.3);
    p[1] = between(-0.3, 0.3);
}

/* Star-shaped about its middle, so that no side crosses another; deeply hollow at times. */
static int polygon(double (*corner)[2])
{
    double middle[2];
    const int n = 3 + (int)between(0, CORNERS - 3 + 0.999);
    point(middle);
    for (int i = 0; i < n; i++) {
        const double angle = 2 * SNUB_PI * (i + between(0.05, 0.95)) / n, reach = between(0.01, 0.2);
        corner[i][0] = middle[0] + reach * cos(angle);
        corner[i][1] = middle[1] + reach * sin(angle);
    }
    return n;
}

static GEOSCoordSequence *sequence(GEOSContextHandle_t g, const double (*p)[2], int n, bool closed)
{
    GEOSCoordSequence *s = GEOSCoordSeq_create_r(g, (unsigned)(n + closed), 2);
    for (int i = 0; i < n + closed; i++)
        GEOSCoordSeq_setXY_r(g, s, (unsigned)i, p[i % n][0], p[i % n][1]);
    return s;
}

static GEOSGeometry *solid(GEOSContextHandle_t g, const double (*p)[2], int n)
{
    return GEOSGeom_createPolygon_r(g, GEOSGeom_createLinearRing_r(g, sequence(g, p, n, true)), NULL, 0);
}

static GEOSGeometry *line(GEOSContextHandle_t g, const double a[2], const double b[2])
{
    const double ends[2][2] = {{a[0], a[1]}, {b[0], b[1]}};
    return GEOSGeom_createLineString_r(g, sequence(g, ends, 2, false));
}

static GEOSGeometry *spot(GEOSContextHandle_t g, const double p[2])
{
    return GEOSGeom_createPointFromXY_r(g, p[0], p[1]);
}

static double distance(GEOSContextHandle_t g, const GEOSGeometry *a, const GEOSGeometry *b)
{
    double d = NAN;
    assert_int_equal(GEOSDistance_r(g, a, b, &d), 1);
    return d;
}

static void segments(void **state)
{
    GEOSContextHandle_t g = *state;
    int met = 0;
    for (int k = 0; k < SCENES; k++) {
        double a[2], b[2], c[2], d[2], p[2], q[2];
        point(a), point(b), point(c), point(d);
        GEOSGeometry *ab = line(g, a, b), *cd = line(g, c, d), *at = spot(g, c);
        const double got = snub_segment_segment(a, b, c, d, p, q);
        assert_near("segments", got, distance(g, ab, cd), TOLERANCE, "m");
        assert_near("their points", hypot(p[0] - q[0], p[1] - q[1]), got, TOLERANCE, "m");
        assert_near("first on its segment", snub_point_segment(p, a, b, NULL), 0, TOLERANCE, "m");
        assert_near("second on its segment", snub_point_segment(q, c, d, NULL), 0, TOLERANCE, "m");
        met += got == 0;
        GEOSGeom_destroy_r(g, ab), GEOSGeom_destroy_r(g, cd), GEOSGeom_destroy_r(g, at);
    }
    assert_in_range(met, SCENES / 10, SCENES - SCENES / 10);
}

static void polygons(void **state)
{
    GEOSContextHandle_t g = *state;
    int inside = 0;
    for (int k = 0; k < SCENES; k++) {
        double corner[CORNERS][2], p[2], a[2], b[2];
        const int n = polygon(corner);
        point(p), point(a), point(b);
        GEOSGeometry *s = solid(g, (const double(*)[2])corner, n), *at = spot(g, p), *ab = line(g, a, b);
        assert_int_equal(GEOSisValid_r(g, s), 1);
        assert_int_equal(snub_polygon_crossing(n, (const double(*)[2])corner, NULL), -1);
        const GEOSGeometry *outline = GEOSGetExteriorRing_r(g, s);
        const bool in = GEOSContains_r(g, s, at) == 1;
        const double want = (in ? -1 : 1) * distance(g, outline, at);
        assert_near("point", snub_point_polygon(p, n, (const double(*)[2])corner, NULL), want, TOLERANCE, "m");
        assert_near("disc", snub_circle_polygon(p, 0.03, n, (const double(*)[2])corner, NULL), want - 0.03, TOLERANCE,
                    "m");
        assert_near("segment", snub_segment_polygon(a, b, n, (const double(*)[2])corner), distance(g, s, ab), TOLERANCE,
                    "m");
        inside += in;
        GEOSGeom_destroy_r(g, s), GEOSGeom_destroy_r(g, at), GEOSGeom_destroy_r(g, ab);
    }
    assert_true(inside > SCENES / 50);
}

/* Shuffled corners: we and GEOS agree on which outlines cross themselves. */
static void crossings(void **state)
{
    GEOSContextHandle_t g = *state;
    int crossed = 0;
    for (int k = 0; k < SCENES; k++) {
        double corner[6][2];
        for (int i = 0; i < 6; i++)
            point(corner[i]);
        GEOSGeometry *s = solid(g, (const double(*)[2])corner, 6);
        const bool ours = snub_polygon_crossing(6, (const double(*)[2])corner, NULL) >= 0;
        assert_int_equal(ours, GEOSisValid_r(g, s) != 1);
        crossed += ours;
        GEOSGeom_destroy_r(g, s);
    }
    assert_in_range(crossed, SCENES / 10, SCENES - SCENES / 100);
}

static void random_strip(snub_strip *strip, double box[4][2])
{
    double to[2];
    point(strip->from), point(to);
    strip->length = hypot(to[0] - strip->from[0], to[1] - strip->from[1]);
    for (int i = 0; i < 2; i++)
        strip->u[i] = (to[i] - strip->from[i]) / strip->length;
    strip->left = between(0.001, 0.004);
    strip->right = between(0.001, 0.004);
    const double side[2] = {-strip->right, strip->left};
    for (int i = 0; i < 4; i++) {
        const double s = i == 1 || i == 2 ? strip->length : 0, n = side[i / 2];
        box[i][0] = strip->from[0] + s * strip->u[0] - n * strip->u[1];
        box[i][1] = strip->from[1] + s * strip->u[1] + n * strip->u[0];
    }
}

/* Area that a polygon, moved square to the strip, shares with it. */
static double shared(GEOSContextHandle_t g, const snub_strip *strip, const GEOSGeometry *band,
                     const double (*corner)[2], int n, double move)
{
    double moved[CORNERS][2], area = 0;
    for (int i = 0; i < n; i++) {
        moved[i][0] = corner[i][0] - move * strip->u[1];
        moved[i][1] = corner[i][1] + move * strip->u[0];
    }
    GEOSGeometry *s = solid(g, (const double(*)[2])moved, n), *both = GEOSIntersection_r(g, s, band);
    GEOSArea_r(g, both, &area);
    GEOSGeom_destroy_r(g, s), GEOSGeom_destroy_r(g, both);
    return area;
}

static void strips(void **state)
{
    GEOSContextHandle_t g = *state;
    int deep = 0, apart = 0;
    for (int k = 0; k < SCENES; k++) {
        double corner[CORNERS][2], box[4][2], c[2], to[2];
        snub_strip strip;
        random_strip(&strip, box);
        const int n = polygon(corner);
        point(c), point(to);
        GEOSGeometry *s = solid(g, (const double(*)[2])corner, n), *band = solid(g, (const double(*)[2])box, 4);
        GEOSGeometry *at = spot(g, c), *axis = line(g, c, to);
        const double got = snub_strip_polygon(&strip, n, (const double(*)[2])corner, NULL);
        if (distance(g, s, band) > 0) {
            assert_near("apart", got, distance(g, s, band), TOLERANCE, "m");
            apart++;
        } else {
            /* moved by the depth one way or the other nothing is shared; by a little less something is, both ways */
            assert_true(got < 0);
            const double free_left = shared(g, &strip, band, (const double(*)[2])corner, n, -got * (1 + 1e-9));
            const double free_right = shared(g, &strip, band, (const double(*)[2])corner, n, got * (1 + 1e-9));
            assert_near("freed", fmin(free_left, free_right), 0, 1e-10, "m2");
            deep++;
        }
        const double disc = snub_strip_circle(&strip, c, 0.02, NULL), want = distance(g, band, at) - 0.02;
        assert_int_equal(disc < 0, want < 0);
        if (want >= 0)
            assert_near("disc apart", disc, want, TOLERANCE, "m");
        else
            assert_true(disc <= want + TOLERANCE); /* square to the belt is never shorter than the shortest way */
        const double slot = snub_strip_stadium(&strip, c, to, 0.02, NULL), slot_want = distance(g, band, axis) - 0.02;
        assert_int_equal(slot < 0, slot_want < 0);
        if (slot_want >= 0)
            assert_near("slot apart", slot, slot_want, TOLERANCE, "m");
        GEOSGeom_destroy_r(g, s), GEOSGeom_destroy_r(g, band), GEOSGeom_destroy_r(g, at), GEOSGeom_destroy_r(g, axis);
    }
    assert_true(deep > SCENES / 10 && apart > SCENES / 10);
}

/* A circle, a polygon or a slot, and its core as GEOS has it. */
static GEOSGeometry *random_body(GEOSContextHandle_t g, snub_obstacle *o, double (*corner)[2])
{
    *o = (snub_obstacle){.shape = (snub_obstacle_shape)(int)between(0, 2.999)};
    point(o->from), point(o->to);
    o->radius = between(0.002, 0.03);
    if (o->shape == SNUB_CIRCLE)
        return spot(g, o->from);
    if (o->shape == SNUB_STADIUM)
        return line(g, o->from, o->to);
    o->corners = polygon(corner);
    o->corner = corner;
    return solid(g, (const double(*)[2])corner, o->corners);
}

/* Apart: GEOS's distance of the cores less the radii. Crossing: no more than the way out, which is no longer than to
 * the far side. */
static void bodies(void **state)
{
    GEOSContextHandle_t g = *state;
    int apart = 0, kinds[3][3] = {{0}};
    for (int k = 0; k < SCENES; k++) {
        snub_obstacle a, b;
        double of_a[CORNERS][2], of_b[CORNERS][2], near[2], far[2];
        GEOSGeometry *core_a = random_body(g, &a, of_a), *core_b = random_body(g, &b, of_b);
        const double round = (a.shape == SNUB_POLYGON ? 0 : a.radius) + (b.shape == SNUB_POLYGON ? 0 : b.radius);
        const double got = snub_body_gap(&a, &b, near, far), cores = distance(g, core_a, core_b);
        assert_near("the same the other way", snub_body_gap(&b, &a, far, near), got, TOLERANCE, "m");
        if (cores > 0) {
            assert_near("bodies", got, cores - round, TOLERANCE, "m");
            assert_near("between the nearest places", hypot(near[0] - far[0], near[1] - far[1]), cores, TOLERANCE, "m");
            apart++;
        } else {
            assert_true(got <= TOLERANCE - round);
            assert_true(got >= -0.6 - round);
        }
        kinds[a.shape][b.shape]++;
        GEOSGeom_destroy_r(g, core_a), GEOSGeom_destroy_r(g, core_b);
    }
    assert_in_range(apart, SCENES / 4, SCENES - SCENES / 20);
    for (int i = 0; i < 9; i++)
        assert_true(kinds[i / 3][i % 3] > SCENES / 30);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(segments), cmocka_unit_test(polygons),
                                       cmocka_unit_test(crossings), cmocka_unit_test(strips), cmocka_unit_test(bodies)};
    return cmocka_run_group_tests(tests, open_geos, close_geos);
}

/* What flat cuts leave of an obstacle, against GEOS: the figure less half planes, at random heights. */
#include <string.h>

#include "drive/cut.h"
#include "snub/base.h"
#include "support/geos.h"
#include "support/near.h"

enum { SCENES = 300, HEIGHTS = 6, CORNERS = 8, ROUND_QUADRANT = 200 };
#define FAR 10.0        /* m: a half plane is a square of that size */
#define ROUND_BAND 6e-6 /* m: how far outside of a round figure its polygon may reach */
#define FLAT_BAND 1e-9  /* m */

static GEOSGeometry *solid(GEOSContextHandle_t g, const double (*p)[2], int n)
{
    GEOSCoordSequence *s = GEOSCoordSeq_create_r(g, (unsigned)n + 1, 2);
    for (int i = 0; i <= n; i++)
        GEOSCoordSeq_setXY_r(g, s, (unsigned)i, p[i % n][0], p[i % n][1]);
    return GEOSGeom_createPolygon_r(g, GEOSGeom_createLinearRing_r(g, s), NULL, 0);
}

/* Of a round figure its middle, point or line. */
static GEOSGeometry *core_of(GEOSContextHandle_t g, const snub_obstacle *o)
{
    if (o->shape == SNUB_POLYGON)
        return solid(g, (const double(*)[2])o->corner, o->corners);
    if (o->shape == SNUB_CIRCLE)
        return GEOSGeom_createPointFromXY_r(g, o->from[0], o->from[1]);
    GEOSCoordSequence *s = GEOSCoordSeq_create_r(g, 2, 2);
    GEOSCoordSeq_setXY_r(g, s, 0, o->from[0], o->from[1]);
    GEOSCoordSeq_setXY_r(g, s, 1, o->to[0], o->to[1]);
    return GEOSGeom_createLineString_r(g, s);
}

static GEOSGeometry *figure_of(GEOSContextHandle_t g, const snub_obstacle *o)
{
    GEOSGeometry *core = core_of(g, o);
    if (o->shape == SNUB_POLYGON)
        return core;
    GEOSGeometry *out = GEOSBuffer_r(g, core, o->radius, ROUND_QUADRANT);
    GEOSGeom_destroy_r(g, core);
    return out;
}

/* A convex outline: corners on an ellipse. */
static void random_figure(snub_obstacle *o, double (*corner)[2])
{
    *o = (snub_obstacle){.shape = (snub_obstacle_shape)(int)between(0, 2.999), .low = between(-0.06, -0.01)};
    o->high = o->low + between(0.01, 0.06);
    o->radius = between(0.004, 0.03);
    for (int k = 0; k < 2; k++) {
        o->from[k] = between(-0.1, 0.1);
        o->to[k] = between(-0.1, 0.1);
    }
    if (o->shape != SNUB_POLYGON)
        return;
    o->corners = 3 + (int)between(0, CORNERS - 3 + 0.999);
    o->corner = corner;
    const double a = between(0.01, 0.08), b = between(0.01, 0.08);
    for (int i = 0; i < o->corners; i++) {
        const double angle = 2 * SNUB_PI * (i + between(0.05, 0.95)) / o->corners;
        corner[i][0] = o->from[0] + a * cos(angle);
        corner[i][1] = o->from[1] + b * sin(angle);
    }
}

static void random_cuts(snub_obstacle *o, snub_cut *cuts)
{
    o->cuts = cuts;
    o->cut_count = 1 + (int)between(0, SNUB_CUTS_MOST - 0.001);
    for (int i = 0; i < o->cut_count; i++) {
        const double thick = o->high - o->low;
        cuts[i] = (snub_cut){.from = (snub_cut_from)(int)between(0, 2.999),
                             .depth = between(0.0005, between(0, 1) < 0.2 ? 0.06 : 0.012)};
        cuts[i].point[0] = between(-0.15, 0.15);
        cuts[i].point[1] = between(-0.15, 0.15);
        if (cuts[i].from == SNUB_CUT_SIDE) {
            cuts[i].low = between(o->low - 0.01, o->high - 0.001);
            cuts[i].high = between(fmax(cuts[i].low, o->low) + 0.0005, o->high + 0.02);
            continue;
        }
        cuts[i].depth = between(0.02, 0.45) * thick;
        cuts[i].low = cuts[i].from == SNUB_CUT_FRONT ? o->high - cuts[i].depth : o->low;
        cuts[i].high = cuts[i].from == SNUB_CUT_FRONT ? o->high : o->low + cuts[i].depth;
    }
}

/* All that is farther out than the cut, found by GEOS's nearest points. NULL: the point is in the figure. */
static GEOSGeometry *half_plane(GEOSContextHandle_t g, const snub_obstacle *o, const snub_cut *cut)
{
    GEOSGeometry *core = core_of(g, o);
    const double around = o->shape == SNUB_POLYGON ? 0.0 : o->radius;
    GEOSGeometry *spot = GEOSGeom_createPointFromXY_r(g, cut->point[0], cut->point[1]);
    GEOSCoordSequence *near = GEOSNearestPoints_r(g, core, spot);
    double p[2], far = 0;
    GEOSCoordSeq_getXY_r(g, near, 0, &p[0], &p[1]);
    GEOSDistance_r(g, core, spot, &far);
    GEOSGeom_destroy_r(g, core);
    GEOSCoordSeq_destroy_r(g, near);
    GEOSGeom_destroy_r(g, spot);
    if (far <= around)
        return NULL;
    const double n[2] = {(cut->point[0] - p[0]) / far, (cut->point[1] - p[1]) / far};
    double corner[4][2];
    for (int k = 0; k < 2; k++) {
        const double t = k == 0 ? -n[1] : n[0], at = p[k] + (around - cut->depth) * n[k];
        corner[0][k] = at - FAR * t;
        corner[1][k] = at + FAR * t;
        corner[2][k] = at + FAR * t + FAR * n[k];
        corner[3][k] = at - FAR * t + FAR * n[k];
    }
    return solid(g, (const double(*)[2])corner, 4);
}

static bool cuts_at(const snub_cut *cut, double z)
{
    return cut->low < z && z < cut->high;
}

/* What GEOS leaves at a height; NULL: nothing. */
static GEOSGeometry *left_at(GEOSContextHandle_t g, const GEOSGeometry *figure, const snub_obstacle *o, double z)
{
    GEOSGeometry *left = GEOSGeom_clone_r(g, figure);
    for (int i = 0; i < o->cut_count; i++) {
        if (!cuts_at(&o->cuts[i], z))
            continue;
        if (o->cuts[i].from != SNUB_CUT_SIDE) {
            GEOSGeom_destroy_r(g, left);
            return NULL;
        }
        GEOSGeometry *half = half_plane(g, o, &o->cuts[i]), *less = GEOSDifference_r(g, left, half);
        GEOSGeom_destroy_r(g, half), GEOSGeom_destroy_r(g, left);
        left = less;
    }
    return left;
}

static const snub_obstacle *slice_at(const snub_obstacle *o, double z)
{
    const snub_obstacle *found = NULL;
    for (int i = 0; i < o->slice_count; i++) {
        if (o->slices[i].low < z && z < o->slices[i].high) {
            assert_null(found);
            found = &o->slices[i];
        }
    }
    return found;
}

static double area(GEOSContextHandle_t g, const GEOSGeometry *of)
{
    double value = 0;
    GEOSArea_r(g, of, &value);
    return value;
}

/* All that GEOS leaves is in the slice, and the slice reaches no farther than its band beyond. */
static void same_figure(GEOSContextHandle_t g, const GEOSGeometry *want, const snub_obstacle *got)
{
    GEOSGeometry *slice = figure_of(g, got);
    const double band = got->shape == SNUB_POLYGON ? ROUND_BAND : FLAT_BAND;
    double length = 0;
    GEOSLength_r(g, want, &length);
    GEOSGeometry *missing = GEOSDifference_r(g, want, slice), *more = GEOSDifference_r(g, slice, want);
    assert_near("missing", area(g, missing), 0, 2e-8 * length, "m2");
    assert_near("too much", area(g, more), 0, 2 * band * length, "m2");
    GEOSGeom_destroy_r(g, missing), GEOSGeom_destroy_r(g, more), GEOSGeom_destroy_r(g, slice);
}

/* The edge that is drawn lies on the border of what is cut, its ends on the figure's border. */
static void edge_on_border(GEOSContextHandle_t g, const GEOSGeometry *figure, const snub_cut *cut)
{
    GEOSGeometry *border = GEOSBoundary_r(g, figure);
    for (int i = 0; i < 2; i++) {
        GEOSGeometry *end = GEOSGeom_createPointFromXY_r(g, cut->line[i][0], cut->line[i][1]);
        double far = 1;
        GEOSDistance_r(g, border, end, &far);
        assert_near("end of the edge", far, 0, ROUND_BAND, "m");
        GEOSGeom_destroy_r(g, end);
    }
    GEOSGeom_destroy_r(g, border);
}

static void cuts(void **state)
{
    GEOSContextHandle_t g = *state;
    int looked = 0, flattened = 0, gone = 0, inside = 0, through = 0;
    for (int k = 0; k < SCENES; k++) {
        snub_obstacle o;
        snub_cut cut[SNUB_CUTS_MOST];
        double corner[CORNERS][2];
        snub_arena arena;
        int wrong;
        snub_arena_init(&arena, 0);
        random_figure(&o, corner);
        random_cuts(&o, cut);
        GEOSGeometry *figure = figure_of(g, &o);
        const snub_cut_outcome outcome = snub_cut_obstacle(&o, &arena, &wrong);
        if (outcome == SNUB_CUT_INSIDE) {
            assert_null(half_plane(g, &o, &o.cuts[wrong]));
            inside++;
        }
        through += outcome == SNUB_CUT_THROUGH;
        for (int h = 0; h < HEIGHTS && outcome != SNUB_CUT_INSIDE; h++) {
            const double z = between(o.low, o.high);
            GEOSGeometry *want = left_at(g, figure, &o, z);
            const snub_obstacle *got = outcome == SNUB_CUT_GOOD ? slice_at(&o, z) : NULL;
            if (want == NULL || GEOSisEmpty_r(g, want)) {
                assert_null(got);
                gone++;
            } else {
                assert_non_null(got);
                same_figure(g, want, got);
                looked++;
                flattened += got->shape == SNUB_POLYGON && o.shape != SNUB_POLYGON;
            }
            if (want != NULL)
                GEOSGeom_destroy_r(g, want);
        }
        for (int i = 0; i < o.cut_count && outcome == SNUB_CUT_GOOD; i++)
            if (cut[i].from == SNUB_CUT_SIDE && cut[i].depth < 0.003)
                edge_on_border(g, figure, &cut[i]);
        GEOSGeom_destroy_r(g, figure);
        snub_arena_free(&arena);
    }
    print_message("%d slices, %d flattened, %d gone, %d points inside, %d cut through\n", looked, flattened, gone,
                  inside, through);
    assert_true(looked > 500 && flattened > 100 && gone > 100 && inside > 3 && through > 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(cuts)};
    return cmocka_run_group_tests(tests, open_geos, close_geos);
}

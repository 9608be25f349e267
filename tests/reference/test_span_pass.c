/* The worst place of a flapping span beside an obstacle, against GEOS at ten thousand places along it, and again at ten
 * thousand around the worst of these. */
#include <stdio.h>
#include <string.h>

#include "layout/pass.h"
#include "support/geos.h"
#include "support/near.h"

enum { SCENES = 150, PLACES = 10000, CORNERS = 11 };
#define TOLERANCE                                                                                                      \
    1e-9 /* m: between places of the second row there are some 1e-8 m of a 0.5 m span, slopes are about 1 */

/* A span of 0.05 to 0.5 m along x, in a turned frame, which climbs along z. */
static void random_span(snub_span_strip *span, double turn)
{
    *span = (snub_span_strip){.strip = {.from = {between(-0.2, 0.2), between(-0.2, 0.2)},
                                        .u = {cos(turn), sin(turn)},
                                        .length = between(0.05, 0.5),
                                        .left = between(0.001, 0.004),
                                        .right = between(0.001, 0.004)}};
    span->flap = between(0.0, 0.03) * span->strip.length;
    for (int k = 0; k < 2; k++) {
        span->low[k] = between(-0.015, -0.01);
        span->high[k] = span->low[k] + 0.025;
    }
}

static void at_span(const snub_span_strip *span, double along, double off, double p[2])
{
    const double *u = span->strip.u;
    p[0] = span->strip.from[0] + along * u[0] - off * u[1];
    p[1] = span->strip.from[1] + along * u[1] + off * u[0];
}

/* Teeth beside the span, of one height or of many, some of them through it; or a circle, or a slot. */
static void random_obstacle(const snub_span_strip *span, snub_obstacle *o, double (*corner)[2])
{
    const bool swallows = between(0, 1) < 0.2;
    const double length = span->strip.length, near = swallows ? -0.06 : between(-0.004, 0.02);
    *o = (snub_obstacle){.shape = (snub_obstacle_shape)(int)between(0, 2.999), .clearance = NAN, .relief = NAN};
    o->low = between(-0.03, 0.03);
    o->high = o->low + between(0.01, 0.03);
    o->radius = between(0.003, 0.02);
    at_span(span, between(-0.1, 1.1) * length, near + o->radius, o->from);
    at_span(span, between(-0.1, 1.1) * length, near + o->radius + between(0, 0.01), o->to);
    o->corner = corner;
    o->corners = CORNERS;
    for (int i = 0; i < CORNERS - 2; i++)
        at_span(span, (i + between(0.1, 0.9)) / (CORNERS - 2) * length, near + (i % 2 ? 0.0 : between(0, 0.03)),
                corner[i]);
    at_span(span, 1.1 * length, 0.07, corner[CORNERS - 2]);
    at_span(span, -0.1 * length, 0.07, corner[CORNERS - 1]);
}

static GEOSGeometry *shape_of(GEOSContextHandle_t g, const snub_obstacle *o)
{
    const bool ring = o->shape == SNUB_POLYGON;
    const int n = ring ? o->corners + 1 : o->shape == SNUB_STADIUM ? 2 : 1;
    GEOSCoordSequence *s = GEOSCoordSeq_create_r(g, (unsigned)n, 2);
    for (int i = 0; i < n; i++) {
        const double *p = ring ? o->corner[i % o->corners] : i == 0 ? o->from : o->to;
        GEOSCoordSeq_setXY_r(g, s, (unsigned)i, p[0], p[1]);
    }
    if (ring)
        return GEOSGeom_createPolygon_r(g, GEOSGeom_createLinearRing_r(g, s), NULL, 0);
    return n == 2 ? GEOSGeom_createLineString_r(g, s) : GEOSGeom_createPoint_r(g, s);
}

/* What is left at a place, all worked out here: the belt's section against the solid. */
static double left_at(GEOSContextHandle_t g, const GEOSGeometry *solid, const snub_span_strip *span,
                      const snub_obstacle *o, double along)
{
    double end[2][2], plane = NAN;
    at_span(span, along, span->strip.left, end[0]);
    at_span(span, along, -span->strip.right, end[1]);
    GEOSCoordSequence *s = GEOSCoordSeq_create_r(g, 2, 2);
    for (unsigned i = 0; i < 2; i++)
        GEOSCoordSeq_setXY_r(g, s, i, end[i][0], end[i][1]);
    GEOSGeometry *section = GEOSGeom_createLineString_r(g, s);
    GEOSDistance_r(g, solid, section, &plane);
    GEOSGeom_destroy_r(g, section);
    const double share = along / span->strip.length, flap = span->flap * sin(SNUB_PI * share);
    const double low = (1 - share) * span->low[0] + share * span->low[1];
    const double high = (1 - share) * span->high[0] + share * span->high[1];
    const double axial = fmax(o->low - high, low - o->high);
    plane -= flap + (o->shape == SNUB_POLYGON ? 0.0 : o->radius);
    return plane > 0 || axial > 0 ? hypot(fmax(plane, 0), fmax(axial, 0)) : fmax(plane, axial);
}

static double least_between(GEOSContextHandle_t g, const GEOSGeometry *solid, const snub_span_strip *span,
                            const snub_obstacle *o, double from, double to, double *place)
{
    double least = INFINITY;
    for (int i = 0; i <= PLACES; i++) {
        const double along = from + (to - from) * i / PLACES, left = left_at(g, solid, span, o, along);
        if (left < least) {
            least = left;
            *place = along;
        }
    }
    return least;
}

static void against_many_places(void **state)
{
    GEOSContextHandle_t g = *state;
    int far = 0, inner = 0, kinds[3] = {0};
    for (int k = 0; k < SCENES; k++) {
        snub_span_strip span;
        snub_obstacle o;
        snub_pass pass;
        double corner[CORNERS][2], place = 0, again = 0;
        random_span(&span, between(-3, 3));
        random_obstacle(&span, &o, corner);
        GEOSGeometry *solid = shape_of(g, &o);
        const double length = span.strip.length, cell = length / PLACES;
        double want = least_between(g, solid, &span, &o, 0, length, &place);
        want =
            fmin(want, least_between(g, solid, &span, &o, fmax(0, place - cell), fmin(length, place + cell), &again));
        assert_true(snub_span_pass(&span, &o, INFINITY, &pass));
        const double got = left_at(g, solid, &span, &o, pass.along);
        assert_near("least", got, want, TOLERANCE, "m");
        /* what is told of the place is what is there */
        const double axial = fmax(o.low - pass.high, pass.low - o.high);
        if (pass.plane_gap > 0)
            assert_near("told", snub_in_space(pass.plane_gap - pass.flap, axial), want, TOLERANCE, "m");
        /* and it is looked at where it is within, passed over where it is not */
        assert_true(snub_span_pass(&span, &o, want + 1e-6, &pass));
        far += !snub_span_pass(&span, &o, want - 0.02, &pass);
        inner += pass.along > 0.05 * length && pass.along < 0.95 * length;
        kinds[o.shape]++;
        GEOSGeom_destroy_r(g, solid);
    }
    assert_true(far > SCENES / 4 && inner > SCENES / 3);
    for (int i = 0; i < 3; i++)
        assert_true(kinds[i] > SCENES / 10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(against_many_places)};
    return cmocka_run_group_tests(tests, open_geos, close_geos);
}

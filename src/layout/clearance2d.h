/** Distances between plane figures. Private to src/layout.
 *
 *  They are signed: positive apart, negative the depth to which two figures overlap. Any unit of length; all of one
 * call the same. */
#ifndef SNUB_LAYOUT_CLEARANCE2D_H
#define SNUB_LAYOUT_CLEARANCE2D_H

#include "snub/clearance.h"

/** A straight piece of belt: from a point along u, `left` thick to its left, `right` to its right. */
typedef struct snub_strip {
    double from[2], u[2];
    double length, left, right;
} snub_strip;

/** Gap of a disc and a polygon: the centre's signed distance less the radius. Where the centre lies inside of a hollow
 *  (concave) polygon this is an upper bound of the depth's size. @param[out] near  may be NULL */
double snub_circle_polygon(const double centre[2], double radius, int corners, const double (*corner)[2],
                           double near[2]);
/** Distance of a point from the segment a-b. @param[out] near  nearest point of the segment; may be NULL */
double snub_point_segment(const double p[2], const double a[2], const double b[2], double near[2]);
/** Distance of a segment from a polygon taken as solid: 0 where they share a point. */
double snub_segment_polygon(const double a[2], const double b[2], int corners, const double (*corner)[2]);
/** Distance of two segments, 0 where they share a point.
 *  @param[out] on_ab,on_cd  nearest points, one and the same where they meet; may be NULL */
double snub_segment_segment(const double a[2], const double b[2], const double c[2], const double d[2], double on_ab[2],
                            double on_cd[2]);
/** Distance of a segment from a strip taken as solid: 0 where they share a point. @param[out] near  of the segment */
double snub_strip_segment(const snub_strip *strip, const double from[2], const double to[2], double near[2]);
/** Gap of a strip and a figure. Apart: the distance. Overlapping: minus how far the figure reaches into the strip from
 *  the side where that is least, measured square to the belt and between the strip's ends only (past them the belt
 * bends away round its pulleys). A stadium's depth near an end may be overstated by its own rounding.
 *  @param[out] near  a point of the strip there; may be NULL */
double snub_strip_circle(const snub_strip *strip, const double centre[2], double radius, double near[2]);
double snub_strip_polygon(const snub_strip *strip, int corners, const double (*corner)[2], double near[2]);
double snub_strip_stadium(const snub_strip *strip, const double from[2], const double to[2], double radius,
                          double near[2]);

#endif

/** snub/clearance.h - distances of plain figures, and what stands in the belt's way (2.5-D).
 *
 *  Distances are signed: positive apart, negative the depth to which two figures overlap. docs/theory/clearance.md.
 *  Any unit of length; all of one call the same.
 */
#ifndef SNUB_CLEARANCE_H
#define SNUB_CLEARANCE_H

#include "snub/layout.h"

/* ---- kernels ------------------------------------------------------------------------------------------------- */

/** Distance of a point from the segment a-b. @param[out] near  nearest point of the segment; may be NULL */
double snub_point_segment(const double p[2], const double a[2], const double b[2], double near[2]);
/** Distance of two segments, 0 where they share a point.
 *  @param[out] on_ab,on_cd  nearest points, one and the same where they meet; may be NULL */
double snub_segment_segment(const double a[2], const double b[2], const double c[2], const double d[2], double on_ab[2],
                            double on_cd[2]);
/** Distance of a segment's nearest point from a circle's rim: negative as far as it dips in. */
double snub_segment_circle(const double a[2], const double b[2], const double centre[2], double radius);

/** Whether a point lies inside, by crossings (even-odd); on the outline counts as either. */
bool snub_point_in_polygon(const double p[2], int corners, const double (*corner)[2]);
/** Distance of a point from a polygon's outline, negative inside. @param[in] corners >= 3, no side crosses another
 *  @param[out] near  nearest point of the outline; may be NULL */
double snub_point_polygon(const double p[2], int corners, const double (*corner)[2], double near[2]);
/** Gap of a disc and a polygon: the centre's signed distance less the radius. Where the centre lies inside of a hollow
 *  (concave) polygon this is an upper bound of the depth's size. @param[out] near  may be NULL */
double snub_circle_polygon(const double centre[2], double radius, int corners, const double (*corner)[2],
                           double near[2]);
/** Distance of a segment from a polygon taken as solid: 0 where they share a point. */
double snub_segment_polygon(const double a[2], const double b[2], int corners, const double (*corner)[2]);

/** A straight piece of belt: from a point along u, `left` thick to its left, `right` to its right. */
typedef struct snub_strip {
    double from[2], u[2];
    double length, left, right;
} snub_strip;

/** Gap of a strip and a figure. Apart: the distance. Overlapping: minus how far the figure reaches into the strip from
 *  the side where that is least, measured square to the belt and between the strip's ends only (past them the belt
 * bends away round its pulleys). A stadium's depth near an end may be overstated by its own rounding.
 *  @param[out] near  a point of the strip there; may be NULL */
double snub_strip_circle(const snub_strip *strip, const double centre[2], double radius, double near[2]);
double snub_strip_stadium(const snub_strip *strip, const double from[2], const double to[2], double radius,
                          double near[2]);
double snub_strip_polygon(const snub_strip *strip, int corners, const double (*corner)[2], double near[2]);

/* ---- obstacles ------------------------------------------------------------------------------------------------- */

/** Gap of a disc or a strip and an obstacle, seen from the front. */
double snub_obstacle_disc(const snub_obstacle *obstacle, const double centre[2], double radius, double near[2]);
double snub_obstacle_strip(const snub_obstacle *obstacle, const snub_strip *strip, double near[2]);

/** What of the drive comes near. */
typedef enum snub_piece {
    SNUB_PIECE_RIM,
    SNUB_PIECE_FRONT_LIP,
    SNUB_PIECE_REAR_LIP,
    SNUB_PIECE_DISC, /**< hub or the like */
    SNUB_PIECE_WRAP, /**< belt on its pulley */
    SNUB_PIECE_SPAN  /**< belt between pulleys */
} snub_piece;

/** One piece too near to one obstacle, and what would free it. Lengths in m; NAN: would not help. */
typedef struct snub_conflict {
    const snub_obstacle *obstacle;
    snub_piece piece;
    int index;        /**< pulley; for a span the pulley before it */
    const char *disc; /**< name, for a disc */
    double gap;       /**< between the bodies in space; negative: the depth */
    double needed;    /**< gap asked for, flap counted in */
    double flap;
    double plane_gap; /**< seen from the front */
    double axial_gap; /**< along z */
    double at[2];
    double low, high;              /**< the piece along z */
    double relief;                 /**< to take off the obstacle in the plane ... */
    double relief_from, relief_to; /**< ... between these z */
    double face_off;               /**< to take off the obstacle's end along z; its front end where `from_front` */
    bool from_front;
    double trim;     /**< to take off the lip's or disc's radius */
    double narrower; /**< to take off the piece's width on the side of the obstacle */
} snub_conflict;

/** Pieces nearer to an obstacle than asked, worst first.
 *  Bodies are prisms along z, so that the distance in space is that of (plane gap, axial gap).
 *  @param[in] gap   to keep [m] where the obstacle does not say; flap of spans comes on top
 *  @param[in] flap_fraction  as snub_gaps
 *  @param[out] conflicts  room for `most`; *count is what was written
 *  @return SNUB_OK; SNUB_TOO_LARGE when there are more (the worst are kept) */
snub_status snub_obstacle_conflicts(const snub_drive *drive, const snub_path *path, double gap, double flap_fraction,
                                    snub_conflict *conflicts, int most, int *count);

#endif

/** snub/clearance.h - what stands in the belt's way (2.5-D). docs/theory/clearance.md.
 *
 *  Distances are signed: positive apart, negative the depth to which two bodies overlap.
 */
#ifndef SNUB_CLEARANCE_H
#define SNUB_CLEARANCE_H

#include "snub/layout.h"

/** What of the drive comes near. */
typedef enum snub_piece {
    SNUB_PIECE_RIM,
    SNUB_PIECE_FRONT_FLANGE,
    SNUB_PIECE_REAR_FLANGE,
    SNUB_PIECE_DISC, /**< hub or the like */
    SNUB_PIECE_WRAP, /**< belt on its pulley */
    SNUB_PIECE_SPAN, /**< belt between pulleys */
    SNUB_PIECE_BODY  /**< another obstacle: what moves with the arm, or what is in a tool's way */
} snub_piece;

/** What is looked at. */
typedef enum snub_occasion {
    SNUB_RUNS,    /**< belt and pulleys against all but tools' room */
    SNUB_SWINGS,  /**< the same, and tools that move with the arm: it is turned by hand */
    SNUB_BELT_OFF /**< the same, and all tools' room: the arm is held at its stop, or there is none */
} snub_occasion;

/** One piece too near to one obstacle, and what would free it. Lengths in m; NAN: would not help. */
typedef struct snub_conflict {
    const snub_obstacle *obstacle;
    snub_piece piece;
    int index;        /**< pulley; for a span the pulley before it; for a body the arm's pulley, -1 without */
    const char *disc; /**< name, for a disc or a body */
    double gap;       /**< between the bodies in space; negative: the depth */
    double needed;    /**< gap asked for, flap counted in */
    double flap;
    double plane_gap; /**< seen from the front */
    double axial_gap; /**< along z */
    double at[2];
    double on_piece[2],
        on_obstacle[2];            /**< where the two are nearest, seen from the front; over each other: one place */
    double wind;                   /**< of the arm there, rad; 0 without */
    double way[2];                 /**< in the plane from the piece to the obstacle, any length; 0, 0: not known */
    double body_clearance;         /**< that a body asks for, m; NAN: none */
    double low, high;              /**< the piece along z, as far as tolerances and lean may bring it */
    double shift;                  /**< of that, what tolerances and lean add on the side of the obstacle */
    double relief;                 /**< missing in the plane, to take off the obstacle where it is so thick ... */
    double relief_from, relief_to; /**< ... between these z */
    double thick;                  /**< the obstacle along that way, INFINITY where it is not known */
    double face_off;               /**< to take off the obstacle's end along z; its front end where `from_front` */
    bool from_front;
    double trim;     /**< to take off the flange's or disc's radius */
    double narrower; /**< to take off the piece's width on the side of the obstacle */
} snub_conflict;

/** Pieces nearer to an obstacle than asked, worst first.
 *  Bodies are prisms along z, so that the distance in space is that of (plane gap, axial gap).
 *  What moves with the arm stands as the path has the arm, and is not held against the arm's own pulley.
 *  @param[in] lie  where all stands along z; NULL: all in the planes that the drive gives
 *  @param[in] gap   to keep [m] where the obstacle does not say; flap of spans comes on top
 *  @param[in] flap_fraction  as snub_gaps
 *  @param[out] conflicts  room for `most`; *count is what was written, *found how many there are
 *  @return SNUB_OK; SNUB_TOO_LARGE when there are more (the worst are kept) */
snub_status snub_obstacle_conflicts(const snub_drive *drive, const snub_path *path, const snub_lie *lie,
                                    snub_occasion occasion, double gap, double flap_fraction, snub_conflict *conflicts,
                                    int most, int *count, int *found);

/** The same for one piece against one obstacle alone, however far apart: of the parts of a pulley, and of the slices of
 *  the obstacle, the pair that has least in hand.
 *  @param[in] obstacle  of the drive's list
 *  @param[in] span  of the belt from that pulley on, else the pulley itself
 *  @return false: they are not held against each other then */
bool snub_obstacle_again(const snub_drive *drive, const snub_path *path, const snub_lie *lie, snub_occasion occasion,
                         double gap, double flap_fraction, const snub_obstacle *obstacle, int pulley, bool span,
                         snub_conflict *conflict);

/** An obstacle is its core, points joined by sides, and a radius around it. @return how many points, >= 1 */
int snub_obstacle_points(const snub_obstacle *obstacle);
/** @param[in] i  any, counted around @return m */
const double *snub_obstacle_point(const snub_obstacle *obstacle, int i);
/** @return the radius around the core, m; 0: a polygon */
double snub_obstacle_round(const snub_obstacle *obstacle);

/** An obstacle as it stands with the arm at a wind [rad]; one that does not move with it, and any without an arm, as it
 *  is. @param[out] corner  room for obstacle->corners; lives as long as the result is used */
snub_obstacle snub_obstacle_at(const snub_drive *drive, const snub_obstacle *obstacle, double wind,
                               double (*corner)[2]);
/** The edge of one of its side cuts, seen from the front, as it stands with the arm at a wind [rad].
 *  @param[out] line  its two ends, m */
void snub_cut_at(const snub_drive *drive, const snub_obstacle *obstacle, int cut, double wind, double line[2][2]);

/** Gap of two obstacles seen from the front; negative where they overlap: how far the deepest corner, end or middle of
 *  one lies in the other, which is at most the depth. @param[out] near,far  of `a` and `b`, where they are nearest: of
 *  their corners, ends and middle lines, a circle's middle; one place where these overlap */
double snub_body_gap(const snub_obstacle *a, const snub_obstacle *b, double near[2], double far[2]);

/** Distance of a point from a polygon's outline, negative inside. @param[in] corners >= 3, no side crosses another
 *  @param[out] near  nearest point of the outline; may be NULL */
double snub_point_polygon(const double p[2], int corners, const double (*corner)[2], double near[2]);

#endif

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
    double low, high;              /**< the piece along z, as far as tolerances and lean may bring it */
    double shift;                  /**< of that, what tolerances and lean add on the side of the obstacle */
    double relief;                 /**< to take off the obstacle in the plane ... */
    double relief_from, relief_to; /**< ... between these z */
    double face_off;               /**< to take off the obstacle's end along z; its front end where `from_front` */
    bool from_front;
    double trim;     /**< to take off the flange's or disc's radius */
    double narrower; /**< to take off the piece's width on the side of the obstacle */
} snub_conflict;

/** Pieces nearer to an obstacle than asked, worst first.
 *  Bodies are prisms along z, so that the distance in space is that of (plane gap, axial gap).
 *  @param[in] lie  where all stands along z; NULL: all in the planes that the drive gives
 *  @param[in] gap   to keep [m] where the obstacle does not say; flap of spans comes on top
 *  @param[in] flap_fraction  as snub_gaps
 *  @param[out] conflicts  room for `most`; *count is what was written
 *  @return SNUB_OK; SNUB_TOO_LARGE when there are more (the worst are kept) */
snub_status snub_obstacle_conflicts(const snub_drive *drive, const snub_path *path, const snub_lie *lie, double gap,
                                    double flap_fraction, snub_conflict *conflicts, int most, int *count);

#endif

/** snub/layout.h - tangents, path, wrap, length, gaps: pure geometry of a laid drive.
 *
 *  Signs (docs/theory/layout.md): x right, y up, seen from the front. A pulley's signed radius is positive where it
 *  turns clockwise. A span runs in the direction u; n is u turned by +90 deg; the touch points are centre + radius n,
 *  one formula for open and crossed spans. Wrap is the turn of u in the pulley's own sense, in (0, 2 pi). The signed
 *  wraps of a good loop add to exactly one turn, in the crank's sense.
 */
#ifndef SNUB_LAYOUT_H
#define SNUB_LAYOUT_H

#include "snub/drive.h"

/** Straight tangent from signed circle 1 to signed circle 2.
 *  @param[in] c1,c2  centres [m]
 *  @param[in] r1,r2  signed radii [m]
 *  @param[out] u     unit direction of travel
 *  @param[out] length  of the span [m], > 0
 *  @return false where the circles overlap so far that there is none, or where a number is not finite
 *          or its square overflows (outputs untouched) */
bool snub_tangent(const double c1[2], double r1, const double c2[2], double r2, double u[2], double *length);

/** A laid belt. Span i runs from pulley i to pulley i + 1 (the last one back to pulley 0). */
typedef struct snub_path {
    int n;
    double centre[SNUB_PULLEYS_MOST][2]; /**< m */
    double radius[SNUB_PULLEYS_MOST];    /**< signed pitch radius, m; > 0 clockwise */
    double u[SNUB_PULLEYS_MOST][2];      /**< direction of span i */
    double span[SNUB_PULLEYS_MOST];      /**< length of span i, m */
    double wrap[SNUB_PULLEYS_MOST];      /**< rad, (0, 2 pi) */
    double length;                       /**< pitch length, m */
    int turns;                           /**< sum of the signed wraps in turns, in the crank's sense; good is 1 */
} snub_path;

/** Where the belt meets pulley i (enters) and leaves it. */
void snub_path_enter(const snub_path *path, int pulley, double point[2]);
void snub_path_leave(const snub_path *path, int pulley, double point[2]);

/** Signed pitch radii of a drive's pulleys, the crank's sense counted in.
 *  @param[out] radius  pulley_count values [m] */
void snub_signed_radii(const snub_drive *drive, double *radius);

/** Centres of all pulleys.
 *  @param[in] wind      of the arm [rad]; ignored without an arm
 *  @param[in] settings  along each pulley's slot [m], pulley_count values; NULL or NAN: the drive's own setting
 *                       (where that is free too: the slot's low end)
 *  @param[out] centre   pulley_count points [m] */
void snub_place_pulleys(const snub_drive *drive, double wind, const double *settings, double (*centre)[2]);

/** Lay the belt over given circles.
 *  @param[in] n       2 <= n <= SNUB_PULLEYS_MOST
 *  @param[in] sense   +1 if the crank turns clockwise, -1 otherwise; only for `turns`
 *  @param[out] path   complete on SNUB_OK and on SNUB_LOST_BELT, else undefined
 *  @param[out] culprit  may be NULL: pulley that lost the belt, or the first of two that overlap
 *  @return SNUB_OK; SNUB_NO_TANGENT; SNUB_LOST_BELT (turns != 1) */
snub_status snub_path_lay(int n, const double (*centre)[2], const double *radius, double sense, snub_path *path,
                          int *culprit);

/** Lay a drive at a wind and settings (as snub_place_pulleys).
 *  @return as snub_path_lay, with the pulley's name and place in the error */
snub_status snub_drive_lay(const snub_drive *drive, double wind, const double *settings, snub_path *path,
                           snub_error *error);

/** Effective length of a pitch length: less 2 pi be, one turn in all [m]. */
double snub_effective_length(const snub_belt *belt, double pitch_length);

/** Least and greatest along the crank's axis, m. */
typedef struct snub_z_range {
    double low, high;
} snub_z_range;

/** The ways in which a pulley may lean: small rotations about x and y, rad. A point p of it, from its centre, stands at
 *  z + tilt_x p_y - tilt_y p_x. */
enum { SNUB_TILTS_MOST = 8 };
typedef struct snub_tilts {
    int count; /**< 0: it does not */
    double tilt[SNUB_TILTS_MOST][2];
} snub_tilts;

/** Where pulleys and belt stand along the crank's axis, tolerances and lean counted in. */
typedef struct snub_lie {
    snub_z_range plane[SNUB_PULLEYS_MOST]; /**< of a pulley, at its centre */
    snub_z_range on[SNUB_PULLEYS_MOST];    /**< of the belt's middle on it, at its centre; its lean comes on top */
    snub_z_range enter[SNUB_PULLEYS_MOST], leave[SNUB_PULLEYS_MOST]; /**< of the belt's middle where it meets and
                                                                          leaves the pulley */
    const snub_tilts *tilts;                                         /**< of each pulley */
} snub_lie;

/** What may come too near to what. Pulley - pulley, pulley - span, span - span (b = -1 - pulley never occurs). */
typedef enum snub_gap_kind { SNUB_GAP_PULLEYS, SNUB_GAP_PULLEY_SPAN, SNUB_GAP_SPANS } snub_gap_kind;

typedef struct snub_gap {
    snub_gap_kind kind;
    int a, b;      /**< pulley or span index, by kind: pulleys (a, b); pulley a, span b; spans (a, b), a < b */
    double gap;    /**< m between solid surfaces; negative: they overlap; spans that cross: minus the depth */
    double flap;   /**< belt flap to allow for there, m */
    double at[2];  /**< m, where */
    bool crossing; /**< two spans that cross */
} snub_gap;
/** What is left of a gap when the belt flaps, m. */
static inline double snub_gap_clear(const snub_gap *gap)
{
    return gap->gap - gap->flap;
}

/** Gaps between every pulley and every pulley, span that does not touch it, and every pair of spans that share no
 *  pulley, where their ranges along the crank's axis overlap (2.5-D) as far as tolerances and lean let them; spans of
 * one pulley only where they cross. Of every pair, the place where gap - flap is least. Pulleys are stacks: rim,
 * flanges and discs. Belt surfaces lie `back` outside of the pitch line and `thickness - back` inside of it (towards
 * the ribs).
 *  @param[in] lie  where all stands along the axis; NULL: all in the planes that the drive gives
 *  @param[in] flap_fraction  half-amplitude at mid-span over span length; it falls as sin(pi x/L) to the ends
 *  @param[out] gaps    room for `most`
 *  @param[out] count   found; only those with gap - flap < `within` [m] are listed, tightest first
 *  @return SNUB_OK; SNUB_TOO_LARGE when there are more than `most` (the tightest are kept) */
snub_status snub_gaps(const snub_drive *drive, const snub_path *path, const snub_lie *lie, double flap_fraction,
                      double within, snub_gap *gaps, int most, int *count);
/** The same for one pair alone, named by kind, a and b of `gap`, which is filled.
 *  @return false: they share nothing along the axis, or are spans of one pulley that do not cross */
bool snub_gap_again(const snub_drive *drive, const snub_path *path, const snub_lie *lie, double flap_fraction,
                    snub_gap *gap);

#endif

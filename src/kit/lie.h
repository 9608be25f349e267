/** Where belt and pulleys stand along the crank's axis, as far as clearance asks. Private to the room.
 *  docs/theory/planes.md, clearance.md. */
#ifndef SNUB_KIT_LIE_H
#define SNUB_KIT_LIE_H

#include "snub/kit.h"
#include "snub/mount.h"

/** What does not depend on the path. */
typedef struct snub_lie_basis {
    bool flat; /**< nothing stands off the crank's plane, leans or has a tolerance */
    int n;
    snub_plane plane[SNUB_PULLEYS_MOST];
    double plane_tolerance[SNUB_PULLEYS_MOST]; /**< rss of a pulley's stack and its mount's, m */
    double belt_tolerance[SNUB_PULLEYS_MOST];  /**< of the belt on it: of the last pulley that guides, m */
    snub_tilts tilts[SNUB_PULLEYS_MOST];
    snub_z_range enter[SNUB_PULLEYS_MOST], leave[SNUB_PULLEYS_MOST]; /**< by which load moves the belt, m */
    snub_z_range drift[SNUB_PULLEYS_MOST];                           /**< the same of its way off the pulley's plane */
} snub_lie_basis;

/** The pulley that holds the belt where it runs on another: that one, or the last before it that guides. */
int snub_lie_guide(const snub_drive *drive, int pulley);

/** As drawn, with the tolerances of the stacks. */
void snub_lie_drawn(const snub_drive *drive, snub_lie_basis *basis);

/** How far the seats lean under load joins what is drawn. Each is taken at its worst, as if all were at once.
 *  @param[in] path  as it runs
 *  @param[in] leans  of each pulley, on top of the drawn tilt; count 0: it stands still */
void snub_lie_lean(snub_lie_basis *basis, const snub_path *path, const snub_tilts *leans);
/** Keeps the lean that reaches farthest each way. Begins as all zero. */
void snub_lie_take(snub_tilts *tilts, const double lean[2]);

/** On a path. @return lie, or NULL where all is flat */
const snub_lie *snub_lie_on(const snub_lie_basis *basis, const snub_path *path, snub_lie *lie);

#endif

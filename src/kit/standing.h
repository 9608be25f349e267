/* Does a belt go round a drive with the engine stopped: quickly, with no loads. Private to the room.
 * docs/theory/layout.md, "Repairs". */
#ifndef SNUB_KIT_STANDING_H
#define SNUB_KIT_STANDING_H

#include "snub/kit.h"

typedef struct snub_standing {
    bool laid;     /**< the belt lies on every pulley somewhere over arm travel and slot settings */
    bool fits;     /**< there a belt on offer is tensioned: arm within its travel, slot at its tension, or taut */
    bool in_work;  /**< and the arm is within its work range */
    double gap;    /**< of that place: least distance of things that must not touch, at most the limit `clearance`, m;
                        negative: they cross or overlap; -INFINITY where the belt lies nowhere */
    double miss;   /**< by which the nearest belt on offer misses, m; 0 where it fits; INFINITY where it lies nowhere */
    bool too_long; /**< it is; else too short */
    double nearest; /**< effective length of that belt, m; NAN: none is on offer */
} snub_standing;

/** @param[in] afresh  as in snub_build_request: belts of the stock, settings free */
void snub_standing_find(const snub_drive *drive, bool afresh, snub_standing *standing);
/** True where a belt on offer fits and touches nothing that it should not. */
bool snub_standing_good(const snub_standing *standing);

#endif

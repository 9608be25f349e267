/** How unevenly the crank of a drive turns: by order, at a speed and a throttle. Private to src/kit.
 * docs/theory/motion.md
 */
#ifndef SNUB_KIT_SHAKE_H
#define SNUB_KIT_SHAKE_H

#include "snub/demand.h"
#include "snub/findings.h"
#include "snub/motion.h"

/** What of it is the same at every speed. */
typedef struct snub_shake {
    snub_inertias inertias;
    bool known;       /**< else `why` says what is missing */
    bool measured;    /**< from engine.irregularity */
    unsigned assumed; /**< bits of snub_cylinder_assumed */
    snub_error why;
    snub_harmonics harmonics; /**< not where it was measured */
} snub_shake;

/** @return in arena memory; NULL where there is none left */
snub_shake *snub_shake_of(const snub_drive *drive, snub_arena *arena);

/** What the throttle does and what the crank has to carry. */
typedef struct snub_shake_case {
    double speed;           /**< rad/s > 0 */
    snub_throttle throttle; /**< open: full load; else the engine carries its friction and `drive_torque` alone */
    const snub_match_result *match; /**< of the first blower there, throttle open; NULL: no blower */
    double drive_torque;            /**< that the belt takes from the crank, N m; not read at full load */
} snub_shake_case;

/** Room for the orders of a drive. */
int snub_shake_room(const snub_drive *drive);
/** @param[out] orders  rising; those that amount to something
 *  @param[out] cylinder  may be NULL; not written where it was measured
 *  @return how many; 0: not known, or nothing */
int snub_shake_at(const snub_drive *drive, const snub_shake *shake, const snub_shake_case *wanted, snub_order *orders,
                  snub_cylinder *cylinder);

#endif

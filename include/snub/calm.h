/** snub/calm.h - which change calms a build: how the worst swings of tension and arm go with each input, how far each
 *  goes, and what that costs elsewhere. Room: kit.
 *
 *  Swings are those of snub/vibration.h, each order by itself, over the rev range. Every number comes from the build
 *  settled anew with the value laid over its row; the belt and the slots' settings stand. docs/theory/motion.md, what
 *  calms a drive.
 */
#ifndef SNUB_CALM_H
#define SNUB_CALM_H

#include "snub/vibration.h"

/** What is changed. */
typedef enum snub_calm_kind {
    SNUB_CALM_INERTIA, /**< of a pulley with what turns with it; of the crank, the engine's */
    SNUB_CALM_ARM_INERTIA,
    SNUB_CALM_RATE,     /**< of the arm's spring */
    SNUB_CALM_FRICTION, /**< of the arm, key `damping` */
    SNUB_CALM_ARM_LENGTH,
    SNUB_CALM_BELT,    /**< stiffness of the belt */
    SNUB_CALM_PLACE_X, /**< of an idler: spans get longer or shorter */
    SNUB_CALM_PLACE_Y,
    SNUB_CALM_OVERRUNS /**< an overrunning clutch: the pulley's rim alone swings */
} snub_calm_kind;

/** How rough a build runs. */
typedef struct snub_roughness {
    double share;        /**< worst swing of a span's tension (amplitude) over its mean */
    int span;            /**< there */
    double speed, order; /**< rad/s; times per turn */
    double arm;          /**< worst swing of the arm, rad; 0 without one that moves */
} snub_roughness;

/** A finding that a change brings or takes away. */
typedef struct snub_verdict_change {
    bool comes;
    snub_level level;
    const char *rule; /**< id */
    char about[64];   /**< what it is about, as snub_finding.pulley; "": nothing by name */
} snub_verdict_change;

enum { SNUB_VERDICT_CHANGES_MOST = 8 };

typedef struct snub_calm {
    snub_calm_kind kind;
    int pulley;    /**< -1: the belt */
    char path[96]; /**< of the key in the file, as --set takes it */
    double now;    /**< SI; the belt's stiffness per rib; NAN for an overrunning clutch */
    double each;   /**< that `share_by` and `arm_by` are for: a tenth of `now`, 1 mm, 0.05 of friction; NAN likewise */
    double share_by, arm_by; /**< change of the worst swings, as a part of them, by `each` more; NAN: not known */
    bool helps;              /**< there is a value within its bounds with a lower worst swing of tension */
    double to;               /**< the best one, SI; NAN: none helps, or a clutch */
    char set[64];            /**< the same as --set takes it behind the path and "=" */
    snub_roughness there;
    snub_level verdict; /**< there */
    int change_count;   /**< all of them; the list may hold fewer */
    snub_verdict_change change[SNUB_VERDICT_CHANGES_MOST];
} snub_calm;

typedef struct snub_calming {
    bool known; /**< false: no order is known, or nothing swings; the list is empty */
    snub_roughness now;
    int count;
    snub_calm *calm; /**< what helps most first, then by how much the worst swing goes with it; arena memory */
} snub_calming;

/** @param[in] build  judged
 *  @param[in] reading  that it was made with; its arena holds the result
 *  @param[in] progress  may be NULL; false ends it with SNUB_INTERRUPTED
 *  @return SNUB_OK; SNUB_NO_MEMORY; as snub_vibration_run */
snub_status snub_calming_find(const snub_build *build, const snub_reading *reading, snub_progress progress,
                              void *context, snub_calming *calming, snub_error *error);

#endif

/** snub/unjudged.h - what a verdict does not cover because the file does not say it: a shaft without a highest speed is
 *  never too fast. docs/decisions, 095.
 */
#ifndef SNUB_UNJUDGED_H
#define SNUB_UNJUDGED_H

#include <stdbool.h>
#include <stdint.h>

#include "snub/drive.h"

typedef enum snub_unjudged {
    SNUB_UNJUDGED_SHAFT_SPEED, /**< of what is driven */
    SNUB_UNJUDGED_ROTOR_SPEED, /**< of a blower, where neither its rotor nor its shaft has a highest speed */
    SNUB_UNJUDGED_HUB,         /**< the belt's pull at the crank and at what is driven */
    SNUB_UNJUDGED_NOSE,        /**< torque through the crank nose */
    SNUB_UNJUDGED_BEARING,     /**< of what idles */
    SNUB_UNJUDGED_BOLTS,       /**< of idlers and blowers that the kit brings */
    SNUB_UNJUDGED_STRIP,       /**< bending and strength of the bracket that a pulley stands on: it is taken as rigid */
    SNUB_UNJUDGED_PLANE,       /**< of all but the crank's: where the belt runs on it along the crank's axis */
    SNUB_UNJUDGED_OBSTACLES,   /**< of the whole drive */
    SNUB_UNJUDGED_ENGINE,      /**< of the whole drive: swing by the uneven crank, for want of cylinders */
    SNUB_UNJUDGED_AIR,         /**< of the whole drive: the same for want of the engine's air */
    SNUB_UNJUDGED_
} snub_unjudged;

/** Bit i of a row: of pulley i of the drive; the crank's stands for the whole drive. */
typedef struct snub_unjudged_set {
    uint64_t of[SNUB_UNJUDGED_];
    const struct snub_unjudged_set *next; /**< of a chart's: another that its builds have */
} snub_unjudged_set;

typedef struct snub_unjudged_info {
    const char *id;    /**< "shaft_speed" */
    const char *key;   /**< of the drive file, that has it judged: "max_speed"; several with ", " between them */
    const char *words; /**< English, with {key} and, where it is of several, {pulleys} */
    bool whole;        /**< of the whole drive: its row has the crank's bit alone */
} snub_unjudged_info;

const snub_unjudged_info *snub_unjudged_describe(snub_unjudged what);

struct snub_build;
/** What the verdict on a build leaves out for want of data; empty where it was not judged, or its belt does not lie. */
snub_unjudged_set snub_unjudged_of(const struct snub_build *build);

#endif

/** snub/spread.h - wrap by paper strips, grooves by measuring balls, worn belts. Room: measure. docs/theory/measure.md.
 */
#ifndef SNUB_SPREAD_H
#define SNUB_SPREAD_H

#include "snub/measure.h"

/** What was checked. */
typedef enum snub_spread_kind {
    SNUB_SPREAD_WRAP,     /**< rad, against the layout's */
    SNUB_SPREAD_DIAMETER, /**< effective, m, against the drive file's */
    SNUB_SPREAD_GROOVES,  /**< largest less smallest over balls, m */
    SNUB_SPREAD_ANGLE,    /**< of the groove, from balls of two sizes, rad */
    SNUB_SPREAD_GROWTH,   /**< of the belt, part of its length */
    SNUB_SPREAD_PIN       /**< by which a pin stands out of the ribs, m */
} snub_spread_kind;
/** "wrap", "diameter", ... */
const char *snub_spread_text(snub_spread_kind kind);

typedef struct snub_spread_check {
    snub_spread_kind kind;
    const char *pulley; /**< NULL: the belt */
    int line;           /**< of the file; 0: of several */
    snub_sure value;    /**< with its standard error */
    double expected;    /**< NAN: nothing is */
    double limit;       /**< of |value - expected|, or of the value */
    const char *basis;  /**< of the limit */
    snub_level level;
} snub_spread_check;

typedef struct snub_spread {
    const snub_measured_spread *measured;
    double within; /**< errors to either side that hold with 95 % */
    int count;
    snub_spread_check *check;
} snub_spread;

/** @param[in] state  engine stopped
 *  @param[in,out] errors  pulleys that the drive does not have; grooves of which nothing is known
 *  @return SNUB_OK; SNUB_BAD_INPUT (errors filled); SNUB_NO_MEMORY */
snub_status snub_spread_find(const snub_measured_spread *measured, const snub_build *build, const snub_state *state,
                             snub_arena *arena, snub_spread *spread, snub_errors *errors);
/** The worst. */
snub_level snub_spread_level(const snub_spread *spread);

#endif

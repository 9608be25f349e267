/** snub/fitted.h - belts that were fitted, and where the arm or the mark came to stand, into what the drive file has
 *  wrong. Room: measure. docs/theory/measure.md.
 */
#ifndef SNUB_FITTED_H
#define SNUB_FITTED_H

#include "snub/measure.h"

/** What one correction would have to be. */
typedef enum snub_cause {
    SNUB_CAUSE_LENGTH, /**< all belts are longer than marked */
    SNUB_CAUSE_CORD,   /**< `belt.be`: the cord lies higher over the ribs */
    SNUB_CAUSE_CENTRE  /**< of a pulley, along the line that halves its wrap: the belt feels no other way */
} snub_cause;
/** "length", "cord", "centre" */
const char *snub_cause_text(snub_cause cause);

typedef struct snub_explanation {
    snub_cause cause;
    int pulley;         /**< of the drive; -1 */
    double direction;   /**< in which a centre is moved by its size, rad ccw from +x; NAN */
    snub_sure size;     /**< m */
    double usual;       /**< standard deviation that such a value has anyway, m */
    double strange;     /**< size over it and its own error together */
    double sum, chance; /**< of the readings with it: chi-square over n - 1 */
    bool fits;          /**< the readings agree with it, and it is no stranger than once in twenty */
} snub_explanation;

/** A belt against the drive file. */
typedef struct snub_fitted_check {
    double expected; /**< wind [rad] or mark [m] */
    double error;    /**< of the reading, the belt's own length counted in */
} snub_fitted_check;

typedef struct snub_fitted {
    const snub_measured_belt *measured;
    const snub_build *build;
    double length_error, usual_length; /**< as taken, m */
    snub_fitted_check *check;          /**< of each reading, with the drive file as it is */
    double sum, chance;                /**< the same: chi-square over n */
    bool agrees;                       /**< it needs no correction */
    int count;
    snub_explanation *explanation; /**< the least strange first, those that fit before the others */
    int fitting;                   /**< how many fit */
    bool joint;                    /**< length and cord height were adjusted together */
    snub_sure length, cord;        /**< then, m; NAN: they move all readings alike */
    bool apart;                    /**< both are surer than what is usual */
} snub_fitted;

/** @param[in] row  of the build that the belts were fitted to
 *  @param[in,out] errors  a reading that the drive cannot have; a slot that it does not have; a belt that does not lie
 *  @return SNUB_OK; SNUB_BAD_INPUT (errors filled); SNUB_NO_MEMORY */
snub_status snub_fitted_find(const snub_measured_belt *measured, const snub_document *document,
                             const snub_reading *reading, const snub_row *row, const snub_build *build,
                             snub_fitted *fitted, snub_errors *errors);
/** Pass: the drive file agrees. Marginal: one ordinary correction explains the readings. Fail: none does. */
snub_level snub_fitted_level(const snub_fitted *fitted);

#endif

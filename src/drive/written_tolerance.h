/** src/drive/written_tolerance.h - a number with its tolerance in one text: "80 mm +- 0.1 mm" (inside src/drive only).
 */
#ifndef SNUB_DRIVE_WRITTEN_TOLERANCE_H
#define SNUB_DRIVE_WRITTEN_TOLERANCE_H

#include "snub/base.h"

/** Where the parts of a text stand. */
typedef struct snub_written {
    size_t nominal;           /**< bytes of the number with its unit, from the text's begin */
    const char *plus, *minus; /**< deviations without their signs; one text where it is "+-"; NULL: none on that side */
    size_t plus_length, minus_length;
} snub_written;

/** @return false: the text has no tolerance */
bool snub_written_split(const char *text, snub_written *written);

/** The unit behind the number of a text; "": none. */
const char *snub_written_unit(const char *text);

/** A deviation: "0.1", "0.004 in", "10 %".
 *  @param[in] nominal_text  the value's text without its tolerance; @param[in] nominal  the same in SI
 *  @param[in] beside  the deviation stands behind the value: bare, it has the value's unit. Else a bare one beside a
 *                     value with another unit than the bare one is refused
 *  @param[out] deviation  SI, > 0 but for "0"
 *  @return SNUB_OK; SNUB_BAD_INPUT (error without place); SNUB_NO_MEMORY */
snub_status snub_written_deviation(snub_units *units, snub_quantity quantity, const char *nominal_text, double nominal,
                                   const char *text, bool beside, snub_arena *arena, double *deviation,
                                   snub_error *error);

#endif

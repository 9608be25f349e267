/** A drive that is settled again with values laid over it, engine stopped. Private to src/measure. */
#ifndef SNUB_MEASURE_STANDING_H
#define SNUB_MEASURE_STANDING_H

#include "snub/kit.h"

/** A length laid over a row, last. @return false: memory is out */
bool snub_row_with_length(snub_row *row, const char *path, double value, snub_arena *arena);
/** A point laid over a row, last. @return false: memory is out */
bool snub_row_with_point(snub_row *row, const char *path, const double at[2], snub_arena *arena);

/** @param[in] arena  of all that is made
 *  @param[out] solved  false: the belt does not lie, or has no balance
 *  @return SNUB_OK; SNUB_BAD_INPUT (errors filled); SNUB_NO_MEMORY */
snub_status snub_stand(const snub_document *document, const snub_reading *reading, const snub_row *row,
                       snub_arena *arena, snub_build *build, snub_state *state, bool *solved, snub_errors *errors);

#endif

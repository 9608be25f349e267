/** Values that the file gives as ranges: the settled build at one end of one of them. Private to the room. */
#ifndef SNUB_KIT_RANGE_ENDS_H
#define SNUB_KIT_RANGE_ENDS_H

#include "snub/kit.h"

/** The row of a build with a value at one end of its range, its belt and settings written as they were chosen.
 *  @param[out] row  lives in the arena
 *  @return false where memory is out */
bool snub_range_row(const snub_build *build, const snub_range *range, int end, snub_arena *arena, snub_row *row);

/** Findings of the build at that end that are worse than the build's own join them, with the end named. Notes do not:
 * they change no verdict.
 *  @param[in] there  judged; its memory lives as long as the build's
 *  @return false where memory is out */
bool snub_range_merge(snub_build *build, const snub_build *there, const snub_range *range, int end, snub_arena *arena);

#endif

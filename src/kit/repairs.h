/* A drive round which no belt runs: which pulleys overlap, and which one change of the file lets a belt run. Private to
 * the room. docs/theory/layout.md, "Repairs". */
#ifndef SNUB_KIT_REPAIRS_H
#define SNUB_KIT_REPAIRS_H

#include "snub/kit.h"

/** Adds to the findings of a build that fails: pulleys that overlap, then the repairs, each a note at its place in the
 *  file. Where there are any, findings that only follow from the mistake give way to them. Nothing where a belt on
 * offer runs, or the nearest one misses by little: that is a matter of its length.
 *  @param[in] drive  as read, before a belt was chosen
 *  @return false: memory is out */
bool snub_repairs_tell(snub_build *build, const snub_drive *drive, bool afresh, snub_arena *arena);

#endif

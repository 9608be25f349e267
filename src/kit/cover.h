/* The fewest belts that serve all builds. Private to the room. */
#ifndef SNUB_COVER_H
#define SNUB_COVER_H

#include "snub/kit.h"

/** Fill fewest, fewest_count, fewest_exact, belts and belt_count of a chart whose builds are done.
 *  A belt serves a build where it is one of its choices and no class worse than the best one (grip within design,
 * within limit, slack, gap). Rib counts never mix. Exact by branch and bound; greedy where that grows too large.
 *  A belt of which it is not known whether it serves counts as serving: whoever asks finds out of those of the answer,
 * and asks again until there is none (no fewer do then, since all that serve were counted).
 *  @param[in] fewest  false: of those only belts and belt_count
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_cover(snub_chart *chart, bool fewest, snub_arena *arena);

#endif

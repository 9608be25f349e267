/** What a chart keeps of a build once it is judged. Private to the room. */
#ifndef SNUB_KIT_CHARTED_H
#define SNUB_KIT_CHARTED_H

#include "snub/kit.h"

/** Texts and ranges that many builds have, each kept once. */
typedef struct snub_shared_texts {
    snub_arena *arena;
    const char **slots; /**< malloc'd: by hash, the next free one where two meet */
    size_t room, count;
    const snub_range *ranges;            /**< copies, the last first */
    const snub_charted_slot *of_pulleys; /**< the same */
    const snub_unjudged_set *unjudged;   /**< the same */
} snub_shared_texts;

/** @param[in] arena  holds the texts, and what is kept of builds */
void snub_shared_texts_open(snub_shared_texts *texts, snub_arena *arena);
void snub_shared_texts_close(snub_shared_texts *texts);

/** Copy of a build what a chart keeps; nothing of it points into the build any more.
 *  @param[in] row  of the chart's rows: it outlives the build
 *  @return false: memory is out */
bool snub_charted_keep(const snub_build *build, const snub_row *row, snub_shared_texts *texts, snub_charted *kept);
/** The same for the bare numbers of a drive. */
bool snub_charted_bare(const snub_drive *drive, snub_shared_texts *texts, snub_bare *kept);

#endif

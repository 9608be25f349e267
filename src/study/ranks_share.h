/** src/study/ranks_share.h - what ranks tell each other (inside src/study only). With one rank nothing is said. */
#ifndef SNUB_STUDY_RANKS_SHARE_H
#define SNUB_STUDY_RANKS_SHARE_H

#include <stddef.h>
#include <stdint.h>

#include "snub/ranks.h"

/** >= 1 */
int snub_rank_count(void);
/** Whose block it is: they are dealt in turn. */
int snub_rank_of(uint64_t block);
/** Every rank gives the records of its own blocks among `count` from `first` on, and has all of them afterwards.
 *  @param[in,out] records  count x record bytes, by block; a record is at most INT_MAX bytes */
void snub_ranks_gather(uint64_t first, int count, size_t record, void *records);
/** The gravest status of all ranks: the greatest of their values. */
snub_status snub_ranks_gravest(snub_status own);
/** What rank 0 says. */
bool snub_ranks_heed(bool said);

#endif

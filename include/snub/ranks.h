/** snub/ranks.h - one study by several processes, on one machine or many. Room: study.
 *
 *  Built with -DSNUB_MPI=ON and started by `mpirun -n N`, N processes work as one: each does its share of the blocks of
 *  a study, all come to the same numbers, and only the first, rank 0, speaks. Otherwise there is one process, rank 0
 * of 1.
 */
#ifndef SNUB_RANKS_H
#define SNUB_RANKS_H

#include "snub/base.h"

/** Join the others. Once in a process, before anything else of this header.
 *  @return SNUB_OK; SNUB_IO where the processes cannot reach each other */
snub_status snub_ranks_open(snub_error *error);
/** Leave them, when all of them do. Nothing where there are none. */
void snub_ranks_close(void);
int snub_own_rank(void);

#endif

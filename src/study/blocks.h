/** src/study/blocks.h - work in blocks, shared between threads and ranks, whose results are taken in order (inside
 *  src/study only).
 *
 *  What is taken, and in which order, does not depend on how many threads or ranks there are, nor on which was quick:
 *  so sums come out the same to the last bit, and a study that stops when it knows enough stops at the same block.
 */
#ifndef SNUB_STUDY_BLOCKS_H
#define SNUB_STUDY_BLOCKS_H

#include <stddef.h>
#include <stdint.h>

#include "snub/ranks.h"

typedef struct snub_blocks {
    uint64_t count; /**< blocks at most */
    int round;      /**< blocks that are worked on before they are taken; more is quicker, and stops later. >= 1 */
    size_t record;  /**< bytes of what a block comes to; plain data without pointers */
    bool alone;     /**< every rank works on all blocks: what they leave behind is no plain data */
    int threads;    /**< of each rank; 0: as OpenMP decides */
    /** Work on a block. Called from several threads at once.
     *  @param[in] thread  from 0: which workspace is free
     *  @param[out] record  zeroed before
     *  @return SNUB_OK; anything else ends the run */
    snub_status (*work)(uint64_t block, int thread, void *record, void *context);
    /** Take what a block came to: each once, in order, one at a time, by every rank.
     *  @return false: it is enough */
    bool (*take)(uint64_t block, const void *record, void *context);
    /** After every round, by rank 0 alone. May be NULL. @return false: stop here */
    bool (*go_on)(uint64_t done, void *context);
    void *context;
} snub_blocks;

/** Threads that work side by side: workspaces that `work` needs. */
int snub_blocks_threads(const snub_blocks *blocks);
/** Work on and take the blocks from `first` on until there are no more, it is enough, or it is to stop.
 *  @param[out] done  blocks taken, those before `first` counted in; also on error
 *  @return SNUB_OK (all, or enough); SNUB_STOPPED; what `work` gave, the gravest of all ranks'; SNUB_NO_MEMORY */
snub_status snub_blocks_run(const snub_blocks *blocks, uint64_t first, uint64_t *done);

#endif

/* Blocks of work over threads and ranks, taken in order. */
#include "blocks.h"

#include <stdlib.h>
#include <string.h>

#ifdef _OPENMP
#include <omp.h>
#endif

#include "ranks_share.h"

int snub_blocks_threads(const snub_blocks *blocks)
{
#ifdef _OPENMP
    const int threads = blocks->threads > 0 ? blocks->threads : omp_get_max_threads();
#else
    const int threads = 1;
#endif
    return threads < blocks->round ? threads : blocks->round;
}

static int own_thread(void)
{
#ifdef _OPENMP
    return omp_get_thread_num();
#else
    return 0;
#endif
}

/* @return the gravest of this rank's blocks */
static snub_status work_on_round(const snub_blocks *blocks, uint64_t first, int count, char *records)
{
    const int threads = snub_blocks_threads(blocks), me = snub_own_rank();
    snub_status worst = SNUB_OK;
    memset(records, 0, blocks->record * (size_t)count);
    (void)threads;
#pragma omp parallel for num_threads(threads) schedule(dynamic, 1)
    for (int k = 0; k < count; k++) {
        const uint64_t block = first + (uint64_t)k;
        if (!blocks->alone && snub_rank_of(block) != me)
            continue;
        const snub_status status =
            blocks->work(block, own_thread(), records + blocks->record * (size_t)k, blocks->context);
#pragma omp critical(snub_blocks_status)
        worst = status > worst ? status : worst;
    }
    return worst;
}

/* @return false: it is enough */
static bool take_round(const snub_blocks *blocks, int count, const char *records, uint64_t *done)
{
    for (int k = 0; k < count; k++) {
        const bool more = blocks->take(*done, records + blocks->record * (size_t)k, blocks->context);
        (*done)++;
        if (!more)
            return false;
    }
    return true;
}

snub_status snub_blocks_run(const snub_blocks *blocks, uint64_t first, uint64_t *done)
{
    const size_t room = blocks->record * (size_t)blocks->round;
    char *records = malloc(room > 0 ? room : 1);
    snub_status status = snub_ranks_gravest(records != NULL ? SNUB_OK : SNUB_NO_MEMORY);
    *done = first;
    while (status == SNUB_OK && *done < blocks->count) {
        const uint64_t left = blocks->count - *done;
        const int count = left < (uint64_t)blocks->round ? (int)left : blocks->round;
        status = snub_ranks_gravest(work_on_round(blocks, *done, count, records));
        if (status != SNUB_OK)
            break;
        if (!blocks->alone)
            snub_ranks_gather(*done, count, blocks->record, records);
        if (!take_round(blocks, count, records, done))
            break;
        const bool on = snub_own_rank() != 0 || blocks->go_on == NULL || blocks->go_on(*done, blocks->context);
        if (!snub_ranks_heed(on))
            status = SNUB_STOPPED;
    }
    free(records);
    return status;
}

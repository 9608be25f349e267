/* Processes that share a study. Each has all records of a round before any is taken, so that every rank decides alike
 * and none has to be asked. Rejected: sums by MPI_Reduce, whose order of adding is the library's. */
#include "ranks_share.h"

#include <string.h>

#ifdef SNUB_MPI
#include <limits.h>
#include <mpi.h>

snub_status snub_ranks_open(snub_error *error)
{
    int given;
    if (MPI_Init_thread(NULL, NULL, MPI_THREAD_FUNNELED, &given) != MPI_SUCCESS)
        return snub_fail(error, SNUB_IO, NULL, NULL, "the processes of mpirun cannot reach each other");
    return SNUB_OK;
}

void snub_ranks_close(void)
{
    int open = 0, closed = 0;
    MPI_Initialized(&open);
    MPI_Finalized(&closed);
    if (open && !closed)
        MPI_Finalize();
}

static int of_world(int (*ask)(MPI_Comm, int *), int alone)
{
    int open = 0, value = alone;
    MPI_Initialized(&open);
    if (open)
        ask(MPI_COMM_WORLD, &value);
    return value;
}

int snub_own_rank(void)
{
    return of_world(MPI_Comm_rank, 0);
}

int snub_rank_count(void)
{
    return of_world(MPI_Comm_size, 1);
}

/* Blocks among `count` from `first` on that are a rank's. */
static int share_of(int rank, uint64_t first, int count)
{
    int mine = 0;
    for (int k = 0; k < count; k++)
        mine += snub_rank_of(first + (uint64_t)k) == rank;
    return mine;
}

/* Own records to the front of `scratch`, all ranks' into `records` by rank, and from there by block. */
snub_status snub_ranks_gather(uint64_t first, int count, size_t record, void *records, void *scratch)
{
    const int ranks = snub_rank_count(), me = snub_own_rank();
    char *all = records, *sorted = scratch;
    if (ranks == 1)
        return SNUB_OK;
    if (record * (size_t)count > INT_MAX)
        return SNUB_TOO_LARGE;
    size_t at = 0;
    for (int k = 0; k < count; k++) {
        if (snub_rank_of(first + (uint64_t)k) != me)
            continue;
        memcpy(sorted + at, all + record * (size_t)k, record);
        at += record;
    }
    MPI_Datatype row;
    MPI_Type_contiguous((int)record, MPI_BYTE, &row);
    MPI_Type_commit(&row);
    for (int rank = 0, from = 0; rank < ranks; rank++) { /* a round has few blocks: one after the other will do */
        const int share = share_of(rank, first, count);
        if (rank == me)
            memcpy(all + record * (size_t)from, sorted, record * (size_t)share);
        MPI_Bcast(all + record * (size_t)from, share, row, rank, MPI_COMM_WORLD);
        from += share;
    }
    MPI_Type_free(&row);
    at = 0;
    for (int rank = 0; rank < ranks; rank++) {
        for (int k = 0; k < count; k++) {
            if (snub_rank_of(first + (uint64_t)k) != rank)
                continue;
            memcpy(sorted + record * (size_t)k, all + at, record);
            at += record;
        }
    }
    memcpy(all, sorted, record * (size_t)count);
    return SNUB_OK;
}

snub_status snub_ranks_gravest(snub_status own)
{
    int mine = (int)own, worst = mine;
    if (snub_rank_count() > 1)
        MPI_Allreduce(&mine, &worst, 1, MPI_INT, MPI_MAX, MPI_COMM_WORLD);
    return (snub_status)worst;
}

bool snub_ranks_heed(bool said)
{
    int word = said;
    if (snub_rank_count() > 1)
        MPI_Bcast(&word, 1, MPI_INT, 0, MPI_COMM_WORLD);
    return word != 0;
}

#else

snub_status snub_ranks_open(snub_error *error)
{
    (void)error;
    return SNUB_OK;
}

void snub_ranks_close(void)
{
}

int snub_own_rank(void)
{
    return 0;
}

int snub_rank_count(void)
{
    return 1;
}

snub_status snub_ranks_gather(uint64_t first, int count, size_t record, void *records, void *scratch)
{
    (void)first, (void)count, (void)record, (void)records, (void)scratch;
    return SNUB_OK;
}

snub_status snub_ranks_gravest(snub_status own)
{
    return own;
}

bool snub_ranks_heed(bool said)
{
    return said;
}

#endif

int snub_rank_of(uint64_t block)
{
    return (int)(block % (uint64_t)snub_rank_count());
}

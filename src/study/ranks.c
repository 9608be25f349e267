/* Processes that share a study. Each has all records of a round before any is taken, so that every rank decides alike
 * and none has to be asked. Rejected: sums by MPI_Reduce, whose order of adding is the library's. */
#include "ranks_share.h"

#ifdef SNUB_MPI
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

/* Block by block from its rank: a round has few. */
void snub_ranks_gather(uint64_t first, int count, size_t record, void *records)
{
    MPI_Datatype row;
    if (snub_rank_count() == 1)
        return;
    MPI_Type_contiguous((int)record, MPI_BYTE, &row);
    MPI_Type_commit(&row);
    for (int k = 0; k < count; k++)
        MPI_Bcast((char *)records + record * (size_t)k, 1, row, snub_rank_of(first + (uint64_t)k), MPI_COMM_WORLD);
    MPI_Type_free(&row);
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

void snub_ranks_gather(uint64_t first, int count, size_t record, void *records)
{
    (void)first, (void)count, (void)record, (void)records;
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

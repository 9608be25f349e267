/* A study that is nothing but blocks, for tests/reference/run_ranks.sh: what rank 0 says must not depend on how many
 * ranks and threads there are. Usage: ranks_probe BLOCKS ROUND THREADS ENOUGH STOP KILL
 * Says each block that it takes and the sum so far; at KILL rank 1 is gone without a word. */
#include <math.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include "study/blocks.h"

typedef struct probe {
    double sum;
    unsigned long long enough, stop, kill;
} probe;

static snub_status work(uint64_t block, int thread, void *out, void *context)
{
    const probe *p = context;
    (void)thread;
    if (block >= p->kill && snub_own_rank() == 1)
        raise(SIGKILL);
    *(double *)out = sin((double)block * 0.7) / 3.0;
    return SNUB_OK;
}

static bool take(uint64_t block, const void *record, void *context)
{
    probe *p = context;
    p->sum += *(const double *)record;
    if (snub_own_rank() == 0)
        printf("%llu %.17g\n", (unsigned long long)block, p->sum);
    return block + 1 < p->enough;
}

static bool go_on(uint64_t done, void *context)
{
    return done < ((const probe *)context)->stop;
}

int main(int count, char **words)
{
    snub_error error;
    if (count != 7 || snub_ranks_open(&error) != SNUB_OK)
        return 2;
    probe p = {.enough = strtoull(words[4], NULL, 10),
               .stop = strtoull(words[5], NULL, 10),
               .kill = strtoull(words[6], NULL, 10)};
    const snub_blocks blocks = {.count = strtoull(words[1], NULL, 10),
                                .round = atoi(words[2]),
                                .threads = atoi(words[3]),
                                .record = sizeof(double),
                                .work = work,
                                .take = take,
                                .go_on = go_on,
                                .context = &p};
    uint64_t done;
    const snub_status status = snub_blocks_run(&blocks, 0, &done);
    if (snub_own_rank() == 0)
        printf("%s after %llu\n", snub_status_text(status), (unsigned long long)done);
    snub_ranks_close();
    return 0;
}

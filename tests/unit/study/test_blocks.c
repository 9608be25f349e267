/* Work in blocks: what is taken, in which order, and when it ends, whatever the number of threads. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <string.h>

#include <cmocka.h>

#include "study/blocks.h"
#include "study/ranks_share.h"

enum { MOST = 200 };

typedef struct told {
    uint64_t taken[MOST];
    int count, enough_at;
    uint64_t fails_at, stops_at;
    int asked;
    double sum;
} told;

typedef struct record {
    uint64_t block;
    double share;
} record;

static snub_status work(uint64_t block, int thread, void *out, void *context)
{
    const told *t = context;
    record *r = out;
    assert_true(thread >= 0 && r->block == 0 && r->share == 0.0);
    for (volatile int k = 0; k < (int)(block * 7919 % 5) * 2000; k++) /* some take longer */
        ;
    *r = (record){block, 1.0 / (double)(block + 3)};
    return block == t->fails_at ? SNUB_NO_CONVERGENCE : block + 1 == t->fails_at ? SNUB_NO_MEMORY : SNUB_OK;
}

static bool take(uint64_t block, const void *in, void *context)
{
    told *t = context;
    const record *r = in;
    assert_true(r->block == block && t->count < MOST);
    t->taken[t->count++] = block;
    t->sum += r->share;
    return t->count != t->enough_at;
}

static bool go_on(uint64_t done, void *context)
{
    told *t = context;
    t->asked++;
    return done < t->stops_at;
}

static snub_status run(told *t, uint64_t first, int count, int round, int threads, uint64_t *done)
{
    const snub_blocks blocks = {.count = (uint64_t)count,
                                .round = round,
                                .record = sizeof(record),
                                .threads = threads,
                                .work = work,
                                .take = take,
                                .go_on = go_on,
                                .context = t};
    return snub_blocks_run(&blocks, first, done);
}

static told fresh(void)
{
    return (told){.fails_at = UINT64_MAX, .stops_at = UINT64_MAX};
}

static void test_all_in_order(void **state)
{
    (void)state;
    double sum = 0.0;
    for (int threads = 1; threads <= 4; threads++) {
        for (int round = 1; round <= 16; round *= 4) {
            told t = fresh();
            uint64_t done;
            assert_int_equal(run(&t, 0, 61, round, threads, &done), SNUB_OK);
            assert_int_equal(done, 61);
            assert_int_equal(t.count, 61);
            for (int k = 0; k < 61; k++)
                assert_int_equal(t.taken[k], k);
            if (sum == 0.0)
                sum = t.sum;
            assert_memory_equal(&sum, &t.sum, sizeof sum); /* to the bit */
            assert_int_equal(t.asked, (61 + round - 1) / round);
        }
    }
}

static void test_from_the_middle(void **state)
{
    (void)state;
    told t = fresh();
    uint64_t done;
    assert_int_equal(run(&t, 40, 61, 8, 2, &done), SNUB_OK);
    assert_int_equal(done, 61);
    assert_int_equal(t.count, 21);
    assert_int_equal(t.taken[0], 40);
    assert_int_equal(run(&t, 61, 61, 8, 2, &done), SNUB_OK); /* nothing left */
    assert_int_equal(done, 61);
    assert_int_equal(t.count, 21);
}

static void test_enough(void **state)
{
    (void)state;
    told t = fresh();
    uint64_t done;
    t.enough_at = 19; /* in the middle of a round */
    assert_int_equal(run(&t, 0, 61, 8, 2, &done), SNUB_OK);
    assert_int_equal(done, 19);
    assert_int_equal(t.count, 19);
}

static void test_stop(void **state)
{
    (void)state;
    told t = fresh();
    uint64_t done;
    t.stops_at = 10; /* asked after 8 and after 16 */
    assert_int_equal(run(&t, 0, 61, 8, 2, &done), SNUB_STOPPED);
    assert_int_equal(done, 16);
    assert_int_equal(t.count, 16);
}

/* Two blocks of a round fail in two ways: the gravest is told, and none of that round is taken. */
static void test_failure(void **state)
{
    (void)state;
    told t = fresh();
    uint64_t done;
    t.fails_at = 13;
    assert_int_equal(run(&t, 0, 61, 8, 2, &done), SNUB_NO_CONVERGENCE);
    assert_int_equal(done, 8);
    assert_int_equal(t.count, 8);
}

static void test_alone(void **state)
{
    (void)state;
    assert_int_equal(snub_own_rank(), 0);
    assert_int_equal(snub_rank_count(), 1);
    const snub_blocks few = {.round = 2, .threads = 5}, own = {.round = 8, .threads = 3};
    assert_int_equal(snub_blocks_threads(&few), 2);
    assert_int_equal(snub_blocks_threads(&own), 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_all_in_order), cmocka_unit_test(test_from_the_middle),
                                       cmocka_unit_test(test_enough),       cmocka_unit_test(test_stop),
                                       cmocka_unit_test(test_failure),      cmocka_unit_test(test_alone)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

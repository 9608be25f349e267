/* A log of any length in few bins: nothing short is lost, and counts add up. */
#include "trace/bins.h"

#include <string.h>

#include "support/near.h"

static trace_sample sample_at(double time, double engine)
{
    return (trace_sample){.time = time, .elapsed = time, .engine = engine, .blower = 2.0 * engine};
}

static long count_all(const trace_bins *b)
{
    long sum = 0;
    for (int i = 0; i < b->count; i++)
        sum += b->bin[i].count;
    return sum;
}

/* Bins begin at 10 ms: two samples in one, the next in the bin after, none between. */
static void short_log(void **state)
{
    static trace_bins b;
    const double times[] = {0.0, 0.009, 0.011, 0.035};
    (void)state;
    memset(&b, 0, sizeof b);
    for (int i = 0; i < 4; i++) {
        const trace_sample s = sample_at(times[i], 100.0 + i);
        trace_bins_add(&b, &s, 210.0 - i, i == 2 ? (double)NAN : 0.01 * i, 5e4 + i);
    }
    assert_int_equal(b.count, 4);
    trace_bins_close(&b);
    assert_int_equal(b.count, 3);
    assert_int_equal(b.bin[0].count, 2);
    assert_near("time", b.bin[2].time, 0.035, 0.0, "s");
    assert_near("low", b.bin[0].engine[0], 100.0, 0.0, "rad/s");
    assert_near("high", b.bin[0].engine[1], 101.0, 0.0, "rad/s");
    assert_near("blower", b.bin[0].blower[1], 202.0, 0.0, "rad/s");
    assert_near("expected", b.bin[0].expected[0], 209.0, 0.0, "rad/s");
    assert_near("slip", b.bin[0].slip[1], 0.01, 0.0, "");
    assert_near("boost of the build, low", b.bin[0].model_boost[0], 5e4, 0.0, "Pa");
    assert_near("boost of the build, high", b.bin[0].model_boost[1], 50001.0, 0.0, "Pa");
    assert_true(b.bin[1].slip[0] > b.bin[1].slip[1]); /* none was known */
}

/* 1024 bins of 10 ms are full at 10.24 s. 100 s need 9.77 times that: four halvings, bins of 160 ms. */
static void long_log(void **state)
{
    static trace_bins b;
    (void)state;
    memset(&b, 0, sizeof b);
    for (int i = 0; i < 10000; i++) {
        const trace_sample s = sample_at(0.01 * i, i == 4321 ? 999.0 : 100.0 + 0.001 * i);
        trace_bins_add(&b, &s, 200.0, i == 4321 ? 0.5 : 0.0, (double)NAN);
    }
    assert_near("per second", b.per_second, 6.25, 1e-12, "1/s");
    assert_int_equal(count_all(&b), 10000);
    trace_bins_close(&b);
    assert_int_equal(b.count, 625);
    assert_int_equal(count_all(&b), 10000);
    /* 43.21 s lies in the bin from 43.2 s: 270. */
    assert_near("what was short is seen", b.bin[270].engine[1], 999.0, 0.0, "rad/s");
    assert_near("and when", b.bin[270].time, 43.20, 1e-9, "s");
    assert_near("its slip", b.bin[270].slip[1], 0.5, 0.0, "");
    assert_near("not in the next", b.bin[271].slip[1], 0.0, 0.0, "");
    for (int i = 0; i + 1 < b.count; i++)
        assert_true(b.bin[i].time < b.bin[i + 1].time);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(short_log), cmocka_unit_test(long_log)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

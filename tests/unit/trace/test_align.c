/* Blower speeds with the engine's speed at the same moment: linear between its fresh values, later by the lag, in
 * parts. */
#include "trace/align.h"

#include <string.h>

#include "support/near.h"

enum { MOST = 400 };
typedef struct kept {
    int count;
    trace_sample sample[MOST];
} kept;

static void keep(void *context, const trace_sample *sample)
{
    kept *k = context;
    assert_true(k->count < MOST);
    k->sample[k->count++] = *sample;
}

static snub_log_row row(double time, double engine, double blower)
{
    return (snub_log_row){.line = 1, .part = 1, .value = {time, engine, blower, NAN, NAN}};
}

static void add(trace_align *a, double time, double engine, double blower)
{
    const snub_log_row r = row(time, engine, blower);
    trace_align_row(a, &r);
}

static double engine_at(double time)
{
    return 100.0 + 50.0 * time;
}

/* An engine that gains 50 rad/s each second, read 20 times a second; the blower between, 7 ms later each time. */
static void ramp(double lag, kept *k, long *unpaired)
{
    trace_align *a = trace_align_open(SNUB_LOG_BLOWER, lag, keep, k);
    assert_non_null(a);
    for (int i = 0; i < 100; i++) {
        add(a, 0.05 * i, engine_at(0.05 * i), NAN);
        add(a, 0.05 * i + 0.007, NAN, 500.0 + i);
    }
    trace_align_end(a);
    *unpaired = trace_align_unpaired(a);
    trace_align_close(a);
}

static void linear(void **state)
{
    const double lags[] = {0.0, 0.033, -0.021};
    (void)state;
    for (int i = 0; i < 3; i++) {
        kept k = {0};
        long unpaired;
        ramp(lags[i], &k, &unpaired);
        /* Behind the last engine speed nothing is known, nor before the first: one sample, or one at each end. */
        assert_int_equal(k.count + unpaired, 100);
        assert_true(unpaired >= 1 && unpaired <= 2);
        for (int n = 0; n < k.count; n++) {
            const trace_sample *s = &k.sample[n];
            assert_near("engine", s->engine, engine_at(s->time - lags[i]), 1e-9, "rad/s");
            assert_near("rate", s->rate, 50.0 / engine_at(s->time - lags[i]), 1e-9, "1/s");
        }
    }
}

/* A logger that repeats the blower's last value tells nothing new, until it has stood for half a second. */
static void held(void **state)
{
    kept k = {0};
    (void)state;
    trace_align *a = trace_align_open(SNUB_LOG_BLOWER, 0.0, keep, &k);
    for (int i = 0; i <= 200; i++)
        add(a, 0.01 * i, engine_at(0.01 * i), i < 20 ? 400.0 : i < 40 ? 410.0 : 420.0);
    trace_align_end(a);
    trace_align_close(a);
    /* 0 s, 0.20 s, 0.40 s, then every 0.5 s: 0.90, 1.40 s and 1.90 s. */
    const double times[] = {0.0, 0.2, 0.4, 0.9, 1.4, 1.9};
    assert_int_equal(k.count, 6);
    for (int i = 0; i < 6; i++)
        assert_near("fresh", k.sample[i].time, times[i], 0.011, "s");
}

/* Engine speeds over 1 s apart say nothing of what lies between them. */
static void gap(void **state)
{
    kept k = {0};
    (void)state;
    trace_align *a = trace_align_open(SNUB_LOG_BLOWER, 0.0, keep, &k);
    add(a, 0.0, 100.0, NAN);
    add(a, 0.1, NAN, 201.0);
    add(a, 0.9, 110.0, NAN);
    add(a, 1.2, NAN, 202.0);
    add(a, 2.0, 120.0, NAN);
    add(a, 2.5, NAN, 203.0);
    add(a, 2.9, 130.0, NAN);
    trace_align_end(a);
    assert_int_equal(k.count, 2);
    assert_int_equal(trace_align_unpaired(a), 1);
    trace_align_close(a);
    assert_near("first", k.sample[0].engine, 100.0 + 10.0 / 9.0, 1e-9, "rad/s");
    assert_near("last", k.sample[1].engine, 120.0 + 10.0 * 5.0 / 9.0, 1e-9, "rad/s");
}

/* A time that goes back begins anew: no speed of before is used, and elapsed time goes on. */
static void parts(void **state)
{
    kept k = {0};
    (void)state;
    trace_align *a = trace_align_open(SNUB_LOG_BLOWER, 0.0, keep, &k);
    for (int part = 1; part <= 2; part++)
        for (int i = 0; i <= 20; i++) {
            snub_log_row r = row(0.05 * i, part * 100.0 + i, 300.0 + i);
            r.part = part;
            trace_align_row(a, &r);
        }
    trace_align_end(a);
    trace_align_close(a);
    assert_int_equal(k.count, 42);
    for (int i = 0; i < 42; i++) {
        const int part = i / 21, at = i % 21;
        assert_int_equal(k.sample[i].part, part + 1);
        assert_near("engine", k.sample[i].engine, 100.0 * (part + 1) + at, 1e-9, "rad/s");
        assert_near("elapsed", k.sample[i].elapsed, part + 0.05 * at, 1e-9, "s");
    }
}

/* A blower that is read, and an engine that is not: the ring is let run over, and every one is counted. */
static void no_engine(void **state)
{
    kept k = {0};
    (void)state;
    trace_align *a = trace_align_open(SNUB_LOG_BLOWER, 0.0, keep, &k);
    for (int i = 0; i < 10000; i++)
        add(a, 0.001 * i, NAN, 300.0 + i % 7);
    trace_align_end(a);
    assert_int_equal(k.count, 0);
    assert_int_equal(trace_align_unpaired(a), 10000);
    trace_align_close(a);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(linear), cmocka_unit_test(held), cmocka_unit_test(gap),
                                       cmocka_unit_test(parts), cmocka_unit_test(no_engine)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

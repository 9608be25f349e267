/* Pulls and gear changes in speeds whose turning points are known. */
#include "trace/pulls.h"

#include "support/near.h"

#include "support/log_model.h"

enum { MOST = 8 };
#define STEP 0.02 /* s */

typedef struct kept {
    int pulls, changes;
    snub_log_pull pull[MOST], change[MOST];
    double time, step; /* 0: STEP */
    long part;
    bool shut;
    trace_pulls p;
} kept;

static void take(void *context, bool change, const snub_log_pull *pull)
{
    kept *k = context;
    assert_true(k->pulls < MOST && k->changes < MOST);
    if (change)
        k->change[k->changes++] = *pull;
    else
        k->pull[k->pulls++] = *pull;
}

/* Evenly from one speed to another, throttle open; the first row is one step after the last. */
static void run(kept *k, double from, double to, double seconds)
{
    const double step = k->step > 0.0 ? k->step : STEP;
    const int rows = (int)(seconds / step + 0.5);
    for (int i = 1; i <= rows; i++) {
        const trace_sample s = {
            .time = k->time += step, .engine = from + (to - from) * i / rows, .throttle = 1.0, .part = k->part};
        trace_pulls_sample(&k->p, &s, !k->shut);
    }
}

static void start(kept *k)
{
    static plain_log_model model;
    *k = (kept){0};
    trace_pulls_init(&k->p, plain_log_model_make(&model), take, k);
}

/* Model: 80 to 700 rad/s, a pull gains 155 at least. */
static void a_pull_from_foot_to_top(void **state)
{
    kept k;
    (void)state;
    start(&k);
    run(&k, 200.0, 200.0, 1.0);
    run(&k, 200.0, 600.0, 4.0);
    run(&k, 600.0, 100.0, 2.0);
    trace_pulls_end(&k.p);
    assert_int_equal(k.pulls, 1);
    assert_int_equal(k.changes, 0);
    assert_near("foot", k.pull[0].start, 1.0, 0.05, "s"); /* 1.5 % of its foot are 0.03 s */
    assert_near("top", k.pull[0].end, 5.0, 0.08, "s");
    assert_near("from", k.pull[0].engine[0], 200.0, 1e-9, "rad/s");
    assert_near("to", k.pull[0].engine[1], 600.0, 1e-9, "rad/s");
}

/* Runs that were saved one behind the other: the next begins far under the foot of the one before. */
static void a_fall_below_the_foot_in_one_row(void **state)
{
    kept k;
    (void)state;
    start(&k);
    run(&k, 300.0, 600.0, 3.0);
    run(&k, 100.0, 500.0, 4.0);
    trace_pulls_end(&k.p);
    assert_int_equal(k.pulls, 2);
    assert_near("the first begins where it began", k.pull[0].start, 0.0, 0.1, "s");
    assert_near("at its own foot", k.pull[0].engine[0], 300.0, 5.0, "rad/s");
    assert_near("it ends before the second begins", k.pull[0].end, 3.0, 0.1, "s");
    assert_near("from", k.pull[1].engine[0], 102.0, 1.0, "rad/s");
    assert_near("start", k.pull[1].start, 3.02, 0.1, "s");
}

/* The last row from which it is within 0.75 % of the bottom, 3.15 of 180 rad/s, comes 2 % of the fall before its end.
 */
static void a_fall_takes_as_long_however_often_it_is_logged(void **state)
{
    static const double steps[] = {0.001, 0.02};
    (void)state;
    for (size_t i = 0; i < sizeof steps / sizeof steps[0]; i++) {
        kept k;
        start(&k);
        k.step = steps[i];
        run(&k, 300.0, 600.0, 3.0);
        run(&k, 600.0, 420.0, 0.6);
        run(&k, 420.0, 640.0, 2.5);
        trace_pulls_end(&k.p);
        assert_int_equal(k.changes, 1);
        assert_near("takes", k.change[0].end - k.change[0].start, 0.6, 0.05, "s");
        assert_near("the next begins", k.pull[1].start, 3.6, 0.1, "s");
        start(&k);
        k.step = steps[i];
        run(&k, 300.0, 600.0, 3.0);
        run(&k, 600.0, 420.0, 1.8);
        run(&k, 420.0, 640.0, 2.5);
        trace_pulls_end(&k.p);
        assert_int_equal(k.changes, 0);
    }
}

static void a_gear_change_between_two_pulls(void **state)
{
    kept k;
    (void)state;
    start(&k);
    run(&k, 300.0, 600.0, 3.0);
    run(&k, 600.0, 420.0, 0.2);
    run(&k, 420.0, 640.0, 2.5);
    trace_pulls_end(&k.p);
    assert_int_equal(k.pulls, 2);
    assert_int_equal(k.changes, 1);
    assert_near("from", k.change[0].engine[0], 600.0, 1e-9, "rad/s");
    assert_near("to", k.change[0].engine[1], 420.0, 1e-9, "rad/s");
    assert_near("takes", k.change[0].end - k.change[0].start, 0.2, 0.05, "s");
}

/* A quarter of the range from idle to redline is 155 rad/s, and 80 rpm/s are 8.4 rad/s in a second. */
static void what_is_no_pull(void **state)
{
    kept k;
    (void)state;
    start(&k);
    run(&k, 300.0, 450.0, 2.0);
    trace_pulls_end(&k.p);
    assert_int_equal(k.pulls, 0);
    run(&k, 300.0, 460.0, 2.0);
    trace_pulls_end(&k.p);
    assert_int_equal(k.pulls, 1);
    run(&k, 300.0, 460.0, 21.0);
    trace_pulls_end(&k.p);
    assert_int_equal(k.pulls, 1);
}

/* 8.4 rad/s in a second. At a low speed it goes on in every row. */
static void slower_is_driving(void **state)
{
    kept k;
    (void)state;
    start(&k);
    run(&k, 100.0, 260.0, 18.4);
    trace_pulls_end(&k.p);
    assert_int_equal(k.pulls, 1);
    run(&k, 100.0, 260.0, 19.6);
    trace_pulls_end(&k.p);
    assert_int_equal(k.pulls, 1);
}

/* 1.5 % more is not reached for longer than 0.8 s: what comes then is another rise. */
static int rises_about_a_halt(double seconds)
{
    kept k;
    start(&k);
    run(&k, 200.0, 400.0, 2.0);
    run(&k, 400.0, 400.0, seconds);
    run(&k, 400.0, 600.0, 2.0);
    trace_pulls_end(&k.p);
    return k.pulls;
}

static void a_halt_parts_pulls(void **state)
{
    (void)state;
    assert_int_equal(rises_about_a_halt(0.66), 1);
    assert_int_equal(rises_about_a_halt(0.84), 2);
}

/* Of 300 rows. What is known of the throttle counts where the speed has left its foot. */
static int pulls_with(double open_seconds)
{
    kept k;
    start(&k);
    run(&k, 300.0, 300.0 + 100.0 * open_seconds, open_seconds);
    k.shut = true;
    run(&k, 300.0 + 100.0 * open_seconds, 600.0, 3.0 - open_seconds);
    trace_pulls_end(&k.p);
    return k.pulls;
}

static void the_throttle_is_open_for_half_of_it(void **state)
{
    (void)state;
    assert_int_equal(pulls_with(1.4), 0);
    assert_int_equal(pulls_with(1.7), 1);
}

/* A fall from 600 rad/s in 0.2 s and what it waits in between, then a rise. */
static int changes_to(double speed, double waits)
{
    kept k;
    start(&k);
    run(&k, 300.0, 600.0, 3.0);
    run(&k, 600.0, 0.5 * (600.0 + speed), 0.1);
    run(&k, 0.5 * (600.0 + speed), 0.5 * (600.0 + speed), waits);
    run(&k, 0.5 * (600.0 + speed), speed, 0.1);
    run(&k, speed, speed + 220.0, 2.5);
    trace_pulls_end(&k.p);
    return k.changes;
}

/* It takes 1.2 s at most, and leaves 50 to 93 % of the speed. */
static void what_is_no_gear_change(void **state)
{
    (void)state;
    assert_int_equal(changes_to(420.0, 0.9), 1);
    assert_int_equal(changes_to(420.0, 1.1), 0);
    assert_int_equal(changes_to(306.0, 0.0), 1);
    assert_int_equal(changes_to(294.0, 0.0), 0);
    assert_int_equal(changes_to(552.0, 0.0), 1);
    assert_int_equal(changes_to(564.0, 0.0), 0);
}

/* Nothing rose before it. */
static void a_fall_alone_is_no_gear_change(void **state)
{
    kept k;
    (void)state;
    start(&k);
    run(&k, 600.0, 600.0, 0.5);
    run(&k, 600.0, 420.0, 0.2);
    run(&k, 420.0, 640.0, 2.5);
    trace_pulls_end(&k.p);
    assert_int_equal(k.changes, 0);
    assert_int_equal(k.pulls, 1);
}

/* Two parts of a log that each gain too little are no pull together. */
static void parts_stand_apart(void **state)
{
    kept k;
    (void)state;
    start(&k);
    run(&k, 300.0, 450.0, 1.5);
    k.part = 1;
    run(&k, 450.0, 600.0, 1.5);
    trace_pulls_end(&k.p);
    assert_int_equal(k.pulls, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(a_pull_from_foot_to_top),
                                       cmocka_unit_test(a_fall_below_the_foot_in_one_row),
                                       cmocka_unit_test(a_gear_change_between_two_pulls),
                                       cmocka_unit_test(a_fall_takes_as_long_however_often_it_is_logged),
                                       cmocka_unit_test(what_is_no_pull),
                                       cmocka_unit_test(slower_is_driving),
                                       cmocka_unit_test(a_halt_parts_pulls),
                                       cmocka_unit_test(the_throttle_is_open_for_half_of_it),
                                       cmocka_unit_test(what_is_no_gear_change),
                                       cmocka_unit_test(a_fall_alone_is_no_gear_change),
                                       cmocka_unit_test(parts_stand_apart)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

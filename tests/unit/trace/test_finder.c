/* A log that is made up, found in again: its ratio, lag and slip; what cannot be found; refused rows. */
#include <stdlib.h>
#include <string.h>

#include "snub/trace.h"
#include "support/near.h"

#include "support/log_model.h"

typedef struct made {
    double ratio, lag, slip; /* over the build's; s; from 10 s to 11 s */
    double seconds;
} made;

/* The engine swings between 200 and 500 rad/s within 8 s. */
static double engine_at(double time)
{
    return 350.0 - 150.0 * cos(2.0 * SNUB_PI * time / 8.0);
}

static double blower_at(const made *m, double time, unsigned *state)
{
    const double then = time - m->lag, slip = then >= 10.0 && then < 11.0 ? m->slip : 0.0;
    double noise = 0.0; /* of twelve uniform numbers: nearly normal, standard deviation 1 */
    for (int i = 0; i < 12; i++) {
        *state = *state * 1664525U + 1013904223U;
        noise += (double)(*state >> 8) / 16777216.0 - 0.5;
    }
    return LOG_RATIO * m->ratio * engine_at(then) * (1.0 - slip) * (1.0 + 0.001 * noise);
}

static snub_log_finder *find(const snub_log_model *model, const made *m, snub_log_rows *rows, snub_log_answer *answer,
                             snub_status *status, snub_error *error)
{
    snub_log_finder *f = snub_log_finder_open(model, NULL, 0, SNUB_LOG_BY_ANY, 0.0);
    unsigned state = 1;
    assert_non_null(f);
    *rows = (snub_log_rows){.parts = 1};
    for (int i = 0; i * 0.01 < m->seconds; i++) {
        const double time = 0.01 * i;
        const snub_log_row row = {
            .line = i + 2, .part = 1, .value = {time, engine_at(time), blower_at(m, time, &state), NAN, NAN}};
        assert_int_equal(snub_log_finder_row(f, &row), SNUB_OK);
        rows->read = rows->used = i + 1;
        rows->seconds = time;
    }
    *status = snub_log_finder_end(f, rows, answer, error);
    return f;
}

static void check_slip(const made *m, bool offset)
{
    plain_log_model p;
    snub_log_rows rows;
    static snub_log_answer a;
    snub_status status;
    snub_log_finder *f = find(plain_log_model_make(&p), m, &rows, &a, &status, NULL);
    assert_int_equal(status, SNUB_OK);
    assert_near("ratio", a.calibration.ratio, LOG_RATIO * m->ratio, 2e-3 * LOG_RATIO, "");
    assert_near("lag", a.calibration.lag, m->lag, 2e-3, "s");
    assert_near("noise", a.calibration.noise, 0.001, 1e-4, "");
    assert_near("threshold", a.calibration.threshold, 0.015, 1e-9, "");
    assert_int_equal(a.slip_count, m->slip > 0.0);
    assert_int_equal(a.level, m->slip > 0.0 ? SNUB_FAIL : offset ? SNUB_MARGINAL : SNUB_PASS);
    assert_int_equal((a.doubts & SNUB_LOG_DOUBT_OFFSET) != 0, offset);
    assert_true(a.samples > 2900 && a.bin_count > 0);
    /* What is drawn as expected has the log's own ratio: where nothing slips it is the blower's. */
    for (int i = 0; m->slip == 0.0 && i < a.bin_count; i++)
        if (isfinite(a.bins[i].slip[0]))
            assert_near("expected", a.bins[i].expected[0], a.bins[i].blower[0], 0.01 * a.bins[i].blower[0], "rad/s");
    if (m->slip > 0.0) {
        /* Times are those of the blower's sensor, which comes late by the lag. */
        assert_near("begins", a.slips[0].start, 10.0 + m->lag, 0.05, "s");
        assert_near("ends", a.slips[0].end, 11.0 + m->lag, 0.05, "s");
        assert_near("mean", a.slips[0].mean, m->slip, 5e-3, "");
    }
    snub_log_finder_close(f);
}

static void slips(void **state)
{
    const made cases[] = {
        {1.0, 0.0, 0.06, 30.0}, {1.0, 0.0, 0.0, 30.0}, {1.0, 0.06, 0.08, 30.0}, {1.0, -0.03, 0.0, 30.0}};
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        check_slip(&cases[i], false);
}

/* Another pulley was on: slip counts from the log's own ratio. */
static void other_ratio(void **state)
{
    const made cases[] = {{1.07, 0.0, 0.06, 30.0}, {0.93, 0.0, 0.0, 30.0}};
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        check_slip(&cases[i], true);
}

/* Fewer than forty samples say nothing; the words count those that there are. */
static void too_few(void **state)
{
    plain_log_model p;
    snub_log_rows rows;
    static snub_log_answer a;
    snub_status status;
    snub_error error = {0};
    const made m = {1.0, 0.0, 0.0, 0.3};
    (void)state;
    snub_log_finder *f = find(plain_log_model_make(&p), &m, &rows, &a, &status, &error);
    assert_int_equal(status, SNUB_BAD_INPUT);
    assert_non_null(strstr(error.message, "only 30 blower speeds"));
    snub_log_finder_close(f);
    snub_log_finder_close(NULL);
}

/* A time in ms that was taken for s: rows 10 s apart. */
static void guessed_unit(void **state)
{
    plain_log_model p;
    static snub_log_answer a;
    snub_error error = {0};
    snub_log_rows rows = {.used = 100, .read = 100, .seconds = 1000.0};
    (void)state;
    snub_log_finder *f = snub_log_finder_open(plain_log_model_make(&p), NULL, 0, SNUB_LOG_BY_ANY, 0.0);
    rows.column[SNUB_LOG_TIME].assumed = true;
    assert_int_equal(snub_log_finder_end(f, &rows, &a, &error), SNUB_BAD_INPUT);
    assert_string_equal(error.key, "time");
    snub_log_finder_close(f);
}

/* More than one row in a hundred that could not be read is a doubt, one is none. */
static void bad_rows(void **state)
{
    const made m = {1.0, 0.0, 0.0, 30.0};
    const long bad[] = {30, 31};
    (void)state;
    for (int i = 0; i < 2; i++) {
        plain_log_model p;
        static snub_log_answer a;
        snub_log_rows rows;
        snub_log_finder *f = snub_log_finder_open(plain_log_model_make(&p), NULL, 0, SNUB_LOG_BY_ANY, 0.0);
        unsigned noise = 1;
        for (int k = 0; k < 3000; k++) {
            const snub_log_row row = {
                .line = k + 2,
                .part = 1,
                .value = {0.01 * k, engine_at(0.01 * k), blower_at(&m, 0.01 * k, &noise), NAN, NAN}};
            assert_int_equal(snub_log_finder_row(f, &row), SNUB_OK);
        }
        rows = (snub_log_rows){.parts = 1, .used = 3000, .read = 3000, .seconds = 30.0, .bad = bad[i]};
        assert_int_equal(snub_log_finder_end(f, &rows, &a, NULL), SNUB_OK);
        assert_int_equal(a.doubts, i == 0 ? 0 : SNUB_LOG_DOUBT_ROWS);
        snub_log_finder_close(f);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(slips), cmocka_unit_test(other_ratio),
                                       cmocka_unit_test(too_few), cmocka_unit_test(guessed_unit),
                                       cmocka_unit_test(bad_rows)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

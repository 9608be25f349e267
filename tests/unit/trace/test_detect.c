/* Slip in samples of which it is known where it is: when it begins and ends, how deep it is, how much heat it makes;
 * and what is none. */
#include "trace/detect.h"

#include "trace/boost.h"

#include "support/near.h"

#include "support/log_model.h"

enum { MOST = 8 };
#define STEP 0.01 /* s between samples */
#define ENGINE 400.0
#define CHARGE 330.0 /* K */

typedef struct found {
    int count;
    snub_log_slip slip[MOST];
    long samples, spikes;
    double drift[2], last; /* mean over the window, of the last sample */
} found;

static void take(void *context, const snub_log_slip *slip)
{
    found *f = context;
    assert_true(f->count < MOST);
    f->slip[f->count++] = *slip;
}

typedef double slip_at(double time);

/* Samples over `seconds`, a pause of `pause` s behind the first half. */
static found detect(const snub_log_model *model, slip_at *slip, double seconds, double pause)
{
    const snub_log_calibration calibration = {
        .noise = 0.001, .window = TRACE_WINDOW, .threshold = TRACE_THRESHOLD_LEAST, .lag_error = NAN};
    found f = {0};
    trace_detect *d = trace_detect_open(model, &calibration, 0.0, NAN, STEP, take, &f);
    assert_non_null(d);
    const int count = (int)(seconds / STEP + 0.5);
    for (int i = 0; i < count; i++) {
        const double time = STEP * i + (i >= count / 2 ? pause : 0.0);
        const double expected = LOG_RATIO * ENGINE;
        const trace_sample sample = {.time = time,
                                     .elapsed = time,
                                     .engine = ENGINE,
                                     .blower = expected * (1.0 - slip(time)),
                                     .throttle = NAN,
                                     .boost = NAN,
                                     .charge = CHARGE + (time < 2.5 ? 4.0 : 8.0),
                                     .line = i + 2,
                                     .part = 1};
        assert_true(trace_detect_sample(d, &sample, expected, &f.last));
    }
    trace_detect_end(d);
    f.samples = trace_detect_samples(d);
    f.spikes = trace_detect_spikes(d);
    trace_detect_drift(d, f.drift);
    trace_detect_close(d);
    return f;
}

static double within(double time, double from, double to, double slip)
{
    return time >= from - 1e-9 && time < to - 1e-9 ? slip : 0.0;
}

static double one_second(double time)
{
    return within(time, 2.0, 3.0, 0.05);
}

/* Force of the crank, which uses more of its grip, times 5 % of its rim's speed, over 1 s less the first sample. */
static void slips(void **state)
{
    plain_log_model p;
    (void)state;
    const found f = detect(plain_log_model_make(&p), one_second, 6.0, 0.0);
    assert_int_equal(f.count, 1);
    assert_int_equal(f.samples, 600);
    assert_int_equal(f.spikes, 0);
    const snub_log_slip *s = &f.slip[0];
    assert_false(s->runs_on);
    assert_near("begins", s->start, 2.0, 1e-9, "s");
    assert_near("ends", s->end, 2.99, 1e-9, "s");
    assert_int_equal(s->line, 202);
    assert_near("mean", s->mean, 0.05, 1e-4, "");
    assert_near("worst", s->worst, 0.05, 1e-4, "");
    assert_near("heat", s->heat, LOG_FORCE * 0.05 * ENGINE * LOG_RADIUS * 0.99, 2.0, "J");
    assert_true(s->at_crank);
    assert_int_equal(s->says, SNUB_LOG_SAYS_HOLDS);
    assert_near("at", s->worst_engine, ENGINE, 0.0, "rad/s");
    assert_true(isnan(s->boost) && isnan(s->model_boost));
    assert_near("charge", s->charge, CHARGE + 6.0, 1e-9, "K"); /* half at 4 K more, half at 8 */
    assert_near("charge of the build", s->model_charge, LOG_CHARGE, 1e-9, "K");
}

/* What the check says, and which pulley is likelier, follow the build. */
static void says(void **state)
{
    static const struct {
        double limit, design;
        snub_log_says says;
    } cases[] = {
        {1.1, 1.5, SNUB_LOG_SAYS_SLIPS}, {0.95, 0.95, SNUB_LOG_SAYS_OVER_DESIGN}, {0.8, 0.85, SNUB_LOG_SAYS_HOLDS}};
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        plain_log_model p;
        plain_log_model_make(&p);
        for (int way = 0; way < SNUB_WAYS; way++)
            for (int k = 0; k < SNUB_LOG_SPEEDS; k++) {
                p.model.point[way][k].worst_limit = cases[i].limit;
                p.model.point[way][k].worst_design = cases[i].design;
                p.model.point[way][k].blower_grip = 0.81; /* now over the crank's */
            }
        const found f = detect(&p.model, one_second, 6.0, 0.0);
        assert_int_equal(f.count, 1);
        assert_int_equal(f.slip[0].says, cases[i].says);
        assert_false(f.slip[0].at_crank);
        assert_near("heat of the blower's force", f.slip[0].heat, 300.0 * 0.05 * ENGINE * LOG_RADIUS * 0.99, 1.0, "J");
    }
}

static double runs_on_at(double time)
{
    return within(time, 2.0, 3.0, -0.04);
}

static void runs_on(void **state)
{
    plain_log_model p;
    (void)state;
    const found f = detect(plain_log_model_make(&p), runs_on_at, 6.0, 0.0);
    assert_int_equal(f.count, 1);
    assert_true(f.slip[0].runs_on);
    assert_near("mean", f.slip[0].mean, 0.04, 1e-4, "");
    assert_near("begins", f.slip[0].start, 2.0, 1e-9, "s");
}

/* The threshold is 1.5 % of the mean over 0.2 s. */
static double under(double time)
{
    return within(time, 2.0, 3.0, 0.0145);
}

static double over(double time)
{
    return within(time, 2.0, 3.0, 0.0155);
}

/* 8 % for 30 ms are 0.08 * 3/20 = 1.2 % of a window; for 50 ms 2 %. */
static double too_short(double time)
{
    return within(time, 2.0, 2.03, 0.08);
}

static double long_enough(double time)
{
    return within(time, 2.0, 2.05, 0.08);
}

static void threshold(void **state)
{
    static const struct {
        slip_at *slip;
        int count;
    } cases[] = {{under, 0}, {over, 1}, {too_short, 0}, {long_enough, 1}};
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        plain_log_model p;
        const found f = detect(plain_log_model_make(&p), cases[i].slip, 6.0, 0.0);
        assert_int_equal(f.count, cases[i].count);
        assert_int_equal(f.spikes, 0);
    }
}

/* One sample, and two beside each other, are faults of a sensor, however far off. */
static double spiky(double time)
{
    return within(time, 1.0, 1.01, 0.9) + within(time, 2.0, 2.02, -0.8);
}

static void spikes(void **state)
{
    plain_log_model p;
    (void)state;
    const found f = detect(plain_log_model_make(&p), spiky, 6.0, 0.0);
    assert_int_equal(f.count, 0);
    assert_int_equal(f.spikes, 3);
}

/* What is known ends in a pause of over 1 s: slip to either side of it is two. */
static double always(double time)
{
    return time < 1.0 ? 0.0 : 0.06;
}

static void pause(void **state)
{
    plain_log_model p;
    (void)state;
    assert_int_equal(detect(plain_log_model_make(&p), always, 6.0, 0.9).count, 1);
    const found f = detect(&p.model, always, 6.0, 1.2);
    assert_int_equal(f.count, 2);
    assert_near("the first ends before it", f.slip[0].end, 2.99, 1e-9, "s");
    assert_near("the second begins behind it", f.slip[1].start, 4.2, 1e-9, "s");
}

/* A blower that stands has slipped away, without a logarithm of nought. */
static double stands(double time)
{
    return within(time, 2.0, 3.0, 1.0);
}

static void still(void **state)
{
    plain_log_model p;
    (void)state;
    const found f = detect(plain_log_model_make(&p), stands, 6.0, 0.0);
    assert_int_equal(f.count, 1);
    assert_true(f.slip[0].worst > 0.9 && f.slip[0].worst <= 1.0 && isfinite(f.slip[0].heat));
}

/* A ratio that is off by 0.5 % is followed with a time of 60 s: 1 - 1/e of it after that, and none of it called slip.
 */
static double drifting(double time)
{
    (void)time;
    return -expm1(-0.005);
}

/* 2 % that are reached over ten minutes: the base goes 1 % of the way, the rest is slip. */
static double far_off(double time)
{
    return -expm1(-fmin(0.03, 0.03 * time / 600.0));
}

static void drift(void **state)
{
    plain_log_model p;
    (void)state;
    const found f = detect(plain_log_model_make(&p), drifting, 60.0, 0.0);
    assert_int_equal(f.count, 0);
    assert_near("followed", f.drift[1], 0.005 * (1.0 - exp(-1.0)), 2e-5, "");
    assert_near("one way", f.drift[0], 0.0, 0.0, "");
    const found far = detect(&p.model, far_off, 700.0, 0.0);
    assert_near("no further", far.drift[1], 0.01, 1e-9, "");
    assert_int_equal(far.count, 1);
}

/* Boost of which exp(0.4) times the air is that without slip, everywhere. Whether one tells a speed `after` the
 * throttle opened at 0.1 s, at a share of the greatest throttle. */
static bool boost_tells(double engine, double share, double after)
{
    static plain_log_model plain;
    static snub_log_model model;
    trace_boost b;
    model = *plain_log_model_make(&plain);
    model.air = (snub_log_air){.given = true, .ambient = 1e5, .sharpest = 0.5};
    for (int k = 0; k < SNUB_LOG_SPEEDS; k++) {
        model.air.sharpness[k] = 0.5;
        for (int i = 0; i < SNUB_LOG_FACTORS; i++)
            model.air.pressure[k][i] =
                0.4 + 0.5 * (log(SNUB_LOG_FACTOR_LEAST) +
                             i * log(SNUB_LOG_FACTOR_MOST / SNUB_LOG_FACTOR_LEAST) / (SNUB_LOG_FACTORS - 1));
    }
    trace_boost_init(&b, &model, 80.0);
    trace_sample s = {.engine = engine, .throttle = 0.0, .boost = 1e5 * (exp(0.4) - 1.0)};
    assert_false(trace_boost_infer(&b, &s));
    s.elapsed = 0.1;
    s.throttle = 80.0 * share;
    assert_false(trace_boost_infer(&b, &s));
    s.elapsed += after;
    const bool tells = trace_boost_infer(&b, &s);
    if (tells)
        assert_near("without slip", s.blower, LOG_RATIO * engine, 1e-6 * engine, "rad/s");
    else
        assert_true(isnan(s.blower));
    return tells;
}

/* 90 % of the greatest throttle, for 0.3 s; from idle, 80 rad/s, to 5 % over the redline of 700. */
static void which_boosts_tell_a_speed(void **state)
{
    (void)state;
    assert_true(boost_tells(400.0, 0.91, 0.31));
    assert_false(boost_tells(400.0, 0.89, 0.31));
    assert_false(boost_tells(400.0, 0.91, 0.29));
    assert_true(boost_tells(81.0, 1.0, 0.31));
    assert_false(boost_tells(79.0, 1.0, 0.31));
    assert_true(boost_tells(734.0, 1.0, 0.31));
    assert_false(boost_tells(736.0, 1.0, 0.31));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(slips),     cmocka_unit_test(says),   cmocka_unit_test(runs_on),
        cmocka_unit_test(threshold), cmocka_unit_test(spikes), cmocka_unit_test(pause),
        cmocka_unit_test(still),     cmocka_unit_test(drift),  cmocka_unit_test(which_boosts_tell_a_speed)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* A build step by step in time: its energy adds up, it comes to rest where the balance is, it converges, and what it
 * tells is so. */
#include "kit/scenario_thrown.h"
#include "snub/scenario.h"
#include "support/drive_text.h"

static const char *const EXAMPLE = SNUB_SOURCE_DIR "/examples/sedgemere.yaml";

typedef struct ran {
    drive_text text;
    snub_build build;
    snub_scenario_run run;
} ran;

static void build_drive(ran *r)
{
    const snub_build_request as_written = {0};
    assert_int_equal(snub_build_of_drive(&r->text.drive, &as_written, &r->text.arena, &r->build, NULL), SNUB_OK);
}

static void open_drive(ran *r)
{
    drive_text_open_file(&r->text, EXAMPLE);
    build_drive(r);
}

static void go(ran *r, const snub_scenario_request *request)
{
    snub_error error = {0};
    const snub_status status = snub_scenario_run_make(&r->build, request, &r->text.arena, &r->run, &error);
    if (status != SNUB_OK)
        print_error("%s\n", error.message);
    assert_int_equal(status, SNUB_OK);
    assert_true(r->run.started && r->run.result.whole);
}

static snub_arm *arm_of(const ran *r)
{
    return &r->build.drive->pulleys[r->build.drive->arm].arm;
}

/* Work in is heat and what is stored, whatever the run. */
static void energy_adds_up(void **state)
{
    (void)state;
    static ran r;
    open_drive(&r);
    for (int k = 0; k < SNUB_SCENARIOS_; k++) {
        const snub_scenario_request request = {
            .scenario = (snub_scenario)k, .speed = NAN, .length = 0.6, .sample = 1e-2, .tolerance = 1e-6};
        go(&r, &request);
        const snub_run_energy *e = &r.run.result.energy;
        const double sum =
            e->loads + e->creep + e->slip + e->arm + e->stops + e->clutch + e->momentum + e->stored[1] - e->stored[0];
        assert_near(snub_scenario_name(request.scenario), sum, e->work, 1e-6 * fabs(e->work), "J");
        assert_near("told so", e->left_over, e->work - sum, 1e-9 * fabs(e->work), "J");
        assert_true(e->creep > 0.0 && e->arm > 0.0 && e->slip >= 0.0);
    }
    drive_text_close(&r.text);
}

/* Without friction the arm ends where the balance of that speed holds it. The belt on an arc has the strain with which
 * it came, in the balance the mean of both sides: where the torques are others than at the start, that moves the arm.
 */
static void comes_to_rest_on_the_balance(void **state)
{
    (void)state;
    static ran r;
    open_drive(&r);
    arm_of(&r)->damping = 0.0;
    for (int k = 0; k < SNUB_SCENARIOS_; k++) {
        const snub_scenario_request request = {
            .scenario = (snub_scenario)k, .speed = NAN, .length = 0.6, .sample = 1e-2, .even = true};
        go(&r, &request);
        assert_true(r.run.end.solved);
        assert_near(snub_scenario_name(request.scenario), r.run.end.wind / SNUB_DEG, r.run.end.balance / SNUB_DEG, 0.01,
                    "deg");
    }
    drive_text_close(&r.text);
}

/* An arm with friction ends within its band. */
static void friction_holds_it_near(void **state)
{
    (void)state;
    static ran r;
    const snub_scenario_request request = {
        .scenario = SNUB_SCENARIO_LAUNCH, .speed = NAN, .sample = 1e-2, .even = true};
    open_drive(&r);
    go(&r, &request);
    assert_true(r.run.end.band[0] < r.run.end.balance && r.run.end.balance < r.run.end.band[1]);
    assert_in_range((int)(1e6 * r.run.end.wind), (int)(1e6 * r.run.end.band[0]), (int)(1e6 * r.run.end.band[1]));
    assert_true(r.run.result.wind.high > r.run.end.balance); /* it was moved */
    drive_text_close(&r.text);
}

/* Nearer to the truth with a finer tolerance, without and with friction. */
static void converges(void **state)
{
    (void)state;
    static const double damping[] = {0.0, 0.12};
    static ran r;
    open_drive(&r);
    for (int f = 0; f < 2; f++) {
        double end[4], off[3];
        arm_of(&r)->damping = damping[f];
        for (int k = 3; k >= 0; k--) {
            const snub_scenario_request request = {.scenario = SNUB_SCENARIO_HOLD,
                                                   .speed = 900.0 * SNUB_RPM,
                                                   .length = 0.3,
                                                   .sample = 1e-2,
                                                   .tolerance = pow(10.0, k == 3 ? -9.0 : -4.0 - k)};
            go(&r, &request);
            end[k] = r.run.result.samples[r.run.result.sample_count - 1].tension[0];
            if (k < 3)
                off[k] = fabs(end[k] - end[3]);
        }
        const double swings = r.run.result.tension[0].high - r.run.result.tension[0].low;
        assert_true(swings > 20.0);
        assert_true(off[0] < 0.1 * swings && off[1] < 0.01 * swings && off[2] < 0.002 * swings);
        assert_true(off[2] < 0.3 * off[0]);
    }
    drive_text_close(&r.text);
}

/* What a run says is its least and greatest of arm and tension no row of it passes, the rows between its steps
 * included. */
static void no_row_is_beyond_the_extremes(void **state)
{
    (void)state;
    static ran r;
    open_drive(&r);
    arm_of(&r)->damping = 0.0;
    for (int k = 0; k < 4; k++) {
        const snub_scenario_request request = {
            .scenario = SNUB_SCENARIO_HOLD, .speed = (640.0 + 400.0 * k) * SNUB_RPM, .length = 0.5, .sample = 1e-4};
        go(&r, &request);
        const snub_run_result *result = &r.run.result;
        bool met = false;
        assert_true(result->sample_count > 3000 - 10);
        for (int i = 0; i < result->sample_count; i++) {
            const snub_run_sample *s = &result->samples[i];
            assert_true(s->wind >= result->wind.low && s->wind <= result->wind.high);
            for (int j = 0; j < r.build.drive->pulley_count; j++) {
                assert_true(s->tension[j] >= result->tension[j].low && s->tension[j] <= result->tension[j].high);
                met = met || s->tension[j] <= result->tension[j].low || s->tension[j] >= result->tension[j].high;
            }
        }
        assert_true(met); /* and it is no wider than need be: some row is an extreme */
    }
    drive_text_close(&r.text);
}

static const snub_run_event *event_of(const ran *r, snub_run_event_kind kind, const char *at)
{
    for (int k = 0; k < r->run.result.event_count; k++) {
        const snub_run_event *e = &r->run.result.events[k];
        if (e->kind == kind && strcmp(r->build.drive->pulleys[e->at].name, at) == 0)
            return e;
    }
    return NULL;
}

/* A crank with too little grip slips for good: belt slower than its surface, tensions in the ratio of its friction but
 * for the drag, heat of force times slip. */
static void slips_and_heats(void **state)
{
    (void)state;
    static ran r;
    const snub_scenario_request request = {
        .scenario = SNUB_SCENARIO_HOLD, .speed = 4000.0 * SNUB_RPM, .length = 1.0, .sample = 1e-3, .even = true};
    open_drive(&r);
    const double friction = r.build.drive->belt.limit.rib = 0.14;
    go(&r, &request);
    const snub_run_result *result = &r.run.result;
    const snub_run_sample *s = &result->samples[result->sample_count - 1];
    const snub_belt *belt = &r.build.drive->belt;
    const double flux = belt->mass * pow(s->engine * r.build.drive->pulleys[0].pitch_radius, 2.0);
    const double in = s->tension[7] - flux, out = s->tension[0] - flux;
    const snub_run_event *e = event_of(&r, SNUB_RUN_SLIPS, "crank");
    assert_true(e != NULL && e->longest > 0.9 && e->to >= result->ended);
    assert_true(s->slip[0] < -0.1);
    const double drag = -0.1 * sqrt(belt->stiffness * belt->mass) * s->slip[0];
    assert_near("grip", in - drag, out * exp(friction * r.build.rest.path.wrap[0]), 5e-3 * in, "N");
    double heat = 0.0;
    for (int k = 1; k < result->sample_count; k++) {
        const snub_run_sample *a = &result->samples[k - 1], *b = &result->samples[k];
        heat += 0.5 * (b->time - a->time) *
                ((a->tension[0] - a->tension[7]) * a->slip[0] + (b->tension[0] - b->tension[7]) * b->slip[0]);
    }
    assert_near("heat", result->slip_heat[0], heat, 0.02 * heat, "J");
    assert_true(result->slip_power[0] > (out - in) * s->slip[0] && heat > 1000.0);
    assert_near("slip is part of the energy", result->energy.left_over, 0.0, 2e-6 * result->energy.work, "J");
    drive_text_close(&r.text);
}

/* A pulley that overruns lets go as the engine falls, and its shaft runs on; without a clutch it drives the belt. */
static void freewheels_as_the_engine_falls(void **state)
{
    (void)state;
    static ran r;
    const snub_scenario_request request = {.scenario = SNUB_SCENARIO_LIFT, .speed = NAN, .sample = 1e-2, .even = true};
    open_drive(&r);
    snub_pulley *p = &r.text.drive.pulleys[2];
    p->inertia = 0.02;
    build_drive(&r);
    go(&r, &request);
    const double without = r.run.result.tension[2].low;
    assert_null(event_of(&r, SNUB_RUN_FREEWHEELS, "alternator"));
    p->overruns = true;
    build_drive(&r);
    go(&r, &request);
    const snub_run_event *e = event_of(&r, SNUB_RUN_FREEWHEELS, "alternator");
    assert_non_null(e);
    assert_true(e->most > 1000.0 * SNUB_RPM && r.run.vibration.inertias.rim[2] > 0.0);
    assert_near("after the throttle was shut", e->from, 0.5, 0.05, "s");
    assert_true(r.run.result.tension[2].low > without + 50.0);
    drive_text_close(&r.text);
}

/* How the sag and the loose length of a span hang together: an arc of 8 s^2/3 L. */
static void sag_of_a_loose_span(void **state)
{
    (void)state;
    assert_near("sag", snub_loose_sag(0.3, 8.0 * 0.005 * 0.005 / (3.0 * 0.3)), 0.005, 1e-15, "m");
    assert_near("tight", snub_loose_sag(0.3, -1e-3), 0.0, 0.0, "m");
}

static void bad_requests(void **state)
{
    (void)state;
    static ran r;
    static const snub_scenario_request requests[] = {
        {.scenario = SNUB_SCENARIO_HOLD, .speed = -1.0, .length = 1.0, .sample = 1e-2},
        {.scenario = SNUB_SCENARIO_HOLD, .speed = 100.0, .length = 0.0, .sample = 1e-2},
        {.scenario = SNUB_SCENARIO_HOLD, .speed = 100.0, .length = 1.0, .sample = 1e-7},
    };
    static const char *const words[] = {"speed and a length", "speed and a length", "steps of at least"};
    open_drive(&r);
    for (size_t k = 0; k < sizeof requests / sizeof *requests; k++) {
        snub_error error = {0};
        assert_int_equal(snub_scenario_run_make(&r.build, &requests[k], &r.text.arena, &r.run, &error), SNUB_BAD_INPUT);
        assert_non_null(strstr(error.message, words[k]));
    }
    drive_text_close(&r.text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(energy_adds_up),
        cmocka_unit_test(comes_to_rest_on_the_balance),
        cmocka_unit_test(friction_holds_it_near),
        cmocka_unit_test(converges),
        cmocka_unit_test(slips_and_heats),
        cmocka_unit_test(no_row_is_beyond_the_extremes),
        cmocka_unit_test(freewheels_as_the_engine_falls),
        cmocka_unit_test(sag_of_a_loose_span),
        cmocka_unit_test(bad_requests),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

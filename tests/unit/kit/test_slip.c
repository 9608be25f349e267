/* Slip fed back, and the sweep made of it. */
#include <stdlib.h>
#include <string.h>

#include "kit/slip.h"
#include "snub/sweep.h"
#include "support/drive_text.h"
#include "support/near.h"

#define GRIP_TOLERANCE 1e-6   /* plain number */
#define TORQUE_TOLERANCE 1e-4 /* N m */

/* The drive of tests/unit/drive with its snub idler moved off, so that the blower has less wrap than the crank and
 * slips first; loads of the alternator left out. Indices of the pulleys that the tests speak of. */
enum { BLOWER = 4, PUMP = 6 };

typedef struct bench {
    drive_text text;
    snub_rig rig;
} bench;

static const snub_drive *drive_of(const bench *b)
{
    return &b->text.drive;
}

/* @param[in] friction  on ribs at the limit; @param[in] pump  N m at 6000 rpm; @param[in] inertia  of the pump, kg m2
 */
static bench *open_bench(double friction, double pump, double inertia)
{
    bench *b = calloc(1, sizeof *b);
    snub_error error = {0};
    snub_errors errors = {0};
    snub_overlay overlays[9];
    int count = 0;
    assert_non_null(b);
    drive_text_open_file(&b->text, SNUB_SOURCE_DIR "/tests/unit/drive/design_example.yaml");
    const struct {
        const char *path, *text;
    } changes[] = {
        {"snub.slot.from", "[-160, 300]"},
        {"snub.slot.setting", "0"},
        {"blower.diameter", "70"},
        {"alternator.load", "[[1000, 0]]"},
        {"belt.friction.limit.rib", snub_format(&b->text.arena, "%.12g", friction)},
        {"pump.load", snub_format(&b->text.arena, "[[1000, 0], [6000, %.12g]]", pump)},
        {"pump.inertia", snub_format(&b->text.arena, "%.12g", inertia)},
    };
    for (size_t i = 0; i < sizeof changes / sizeof changes[0]; i++) {
        snub_node *node;
        assert_int_equal(snub_node_from_text(changes[i].text, "test", &b->text.arena, &node, NULL), SNUB_OK);
        overlays[count++] = (snub_overlay){.path = changes[i].path, .value = node};
    }
    b->text.reading.overlays = overlays;
    b->text.reading.overlay_count = count;
    snub_status status = snub_drive_read(&b->text.document, &b->text.reading, &b->text.drive, &errors);
    b->text.reading.overlay_count = 0;
    drive_text_errors(&errors);
    assert_int_equal(status, SNUB_OK);
    assert_string_equal(drive_of(b)->pulleys[BLOWER].name, "blower");
    assert_string_equal(drive_of(b)->pulleys[PUMP].name, "pump");
    status = snub_rig_prepare(drive_of(b), NULL, &b->rig, &error);
    if (status)
        print_error("%s\n", error.message);
    assert_int_equal(status, SNUB_OK);
    return b;
}

static void close_bench(bench *b)
{
    drive_text_close(&b->text);
    free(b);
}

static snub_slip_case asked_at(const bench *b, double rpm, double rate, snub_throttle throttle)
{
    return (snub_slip_case){.engine_speed = rpm * SNUB_RPM,
                            .rate = rate * SNUB_RPM,
                            .throttle = throttle,
                            .belt_length =
                                snub_belt_pitch_length(&b->text.drive.belt, b->text.drive.belt.length, 0, true),
                            .friction = 1};
}

typedef struct answer {
    snub_case wanted;
    snub_equilibrium e;
    snub_slip slip;
    snub_balance balance;
} answer;

static void solve(const bench *b, const snub_slip_case *asked, answer *a)
{
    snub_error error = {0};
    snub_status status = snub_slip_solve(drive_of(b), &b->rig, asked, &a->wanted, &a->e, &a->slip, &error);
    if (status)
        print_error("%.0f rpm: %s\n", asked->engine_speed / SNUB_RPM, error.message);
    assert_int_equal(status, SNUB_OK);
    snub_expand(drive_of(b), &b->rig, &a->wanted, &a->e, &a->balance);
}

/* Every slipping pulley at grip 1, no other over it; torque is what the pulley asks at the speed it turns; power that
 * the crank gives is what arrives plus heat (steady). */
static void check_answer(const bench *b, const snub_slip_case *asked, const answer *a)
{
    int crank = b->rig.crank;
    double arrives = 0, heat = 0;
    for (int i = 0; i < b->text.drive.pulley_count; i++) {
        double grip = a->balance.pulley[i].grip_limit, torque;
        bool slips = a->slip.kind[i] != SNUB_SLIP_NONE;
        if (slips && !(i == crank && a->slip.kind[i] == SNUB_SLIP_STALLED)) /* then the belt stands */
            assert_near("grip of a slipping pulley", grip, 1, GRIP_TOLERANCE, "");
        else
            assert_true(grip <= 1 + GRIP_TOLERANCE);
        heat += slips ? a->slip.heat[i] : 0;
        if (i == crank)
            continue;
        double factor = a->slip.factor[i] * a->slip.factor[crank];
        if (a->slip.kind[i] == SNUB_SLIP_NONE || a->slip.kind[i] == SNUB_SLIP_SLOWER) {
            assert_int_equal(
                snub_demand_torque(drive_of(b), i, asked->engine_speed, factor, asked->throttle, &torque, NULL, NULL),
                SNUB_OK);
            torque += factor * snub_inertia_torque(drive_of(b), i, a->slip.followed * asked->rate);
            assert_near("torque", a->wanted.torque[i], torque, TORQUE_TOLERANCE, "N m");
        }
        arrives += a->wanted.torque[i] * factor * asked->engine_speed * snub_speed_ratio(drive_of(b), i);
    }
    double gives = -a->balance.pulley[crank].torque * asked->engine_speed;
    if (isfinite(heat))
        assert_near("power", gives, arrives + heat, 1e-6 * fabs(gives) + 1e-6, "W");
}

static void no_slip_with_endless_friction(void **state)
{
    (void)state;
    bench *b = open_bench(0.2, 9, 0);
    snub_slip_case asked = asked_at(b, 6000, 0, SNUB_THROTTLE_OPEN);
    asked.friction = INFINITY;
    answer *a = calloc(1, sizeof *a);
    solve(b, &asked, a);
    assert_int_equal(a->slip.slipping, 0);
    double torque;
    assert_int_equal(
        snub_demand_torque(drive_of(b), BLOWER, asked.engine_speed, 1, SNUB_THROTTLE_OPEN, &torque, NULL, NULL),
        SNUB_OK);
    assert_near("torque", a->wanted.torque[BLOWER], torque, 0, "N m");
    free(a);
    close_bench(b);
}

static void blower_slips(void **state)
{
    (void)state;
    answer *a = calloc(1, sizeof *a);
    int slipping = 0;
    double last = 2;
    for (double friction = 0.9; friction > 0.12; friction *= 0.93) {
        bench *b = open_bench(friction, 0, 0);
        snub_slip_case asked = asked_at(b, 6000, 0, SNUB_THROTTLE_OPEN);
        solve(b, &asked, a);
        check_answer(b, &asked, a);
        assert_true(a->slip.factor[BLOWER] <= last); /* less friction, more slip */
        last = a->slip.factor[BLOWER];
        slipping += a->slip.kind[BLOWER] == SNUB_SLIP_SLOWER;
        if (a->slip.kind[BLOWER] == SNUB_SLIP_SLOWER)
            assert_near("slip speed", a->slip.speed[BLOWER], a->e.belt_speed * (1 - a->slip.factor[BLOWER]), 1e-9,
                        "m/s");
        close_bench(b);
    }
    assert_true(slipping > 3);
    free(a);
}

static void rising_slips_first(void **state)
{
    (void)state;
    bench *b = open_bench(0.28, 4, 0.002);
    answer *a = calloc(1, sizeof *a);
    for (double rpm = 800; rpm < 6200; rpm += 400) {
        double heat[PUMP];
        static const double rates[] = {-9000, 0, 1500};
        for (int i = 0; i < 3; i++) {
            snub_slip_case asked = asked_at(b, rpm, rates[i], SNUB_THROTTLE_OPEN);
            solve(b, &asked, a);
            check_answer(b, &asked, a);
            heat[i] = 0;
            for (int p = 0; p < b->text.drive.pulley_count; p++)
                heat[i] += isfinite(a->slip.heat[p]) ? a->slip.heat[p] : 0;
        }
        assert_true(heat[2] >= heat[1]);
    }
    free(a);
    close_bench(b);
}

/* A pump whose torque does not fall with speed: once it slips nothing holds it. */
static void constant_torque_stalls(void **state)
{
    (void)state;
    bench *b = open_bench(0.6, 9, 0);
    b->text.drive.pulleys[PUMP].load = (snub_curve){1, (double[]){100}, (double[]){150}};
    answer *a = calloc(1, sizeof *a);
    snub_slip_case asked = asked_at(b, 2000, 0, SNUB_THROTTLE_SHUT);
    solve(b, &asked, a);
    assert_int_equal(a->slip.kind[PUMP], SNUB_SLIP_STALLED);
    assert_near("stands", a->slip.factor[PUMP], 0, 0, "");
    assert_true(a->wanted.torque[PUMP] > 0 && a->wanted.torque[PUMP] < 150);
    check_answer(b, &asked, a);
    free(a);
    close_bench(b);
}

/* A flywheel on the pump while the engine falls fast. */
static void heavy_pulley_runs_on(void **state)
{
    (void)state;
    bench *b = open_bench(0.5, 0, 0.2);
    answer *a = calloc(1, sizeof *a);
    snub_slip_case asked = asked_at(b, 4000, -9000, SNUB_THROTTLE_SHUT);
    solve(b, &asked, a);
    assert_int_equal(a->slip.kind[PUMP], SNUB_SLIP_OVERRUN);
    assert_true(isnan(a->slip.heat[PUMP]) && a->wanted.torque[PUMP] < 0);
    check_answer(b, &asked, a);
    free(a);
    close_bench(b);
}

/* The crank slows faster than its grip can slow the belt: belt and pulleys follow a share of its rate. */
static void crank_slows_faster_than_the_belt(void **state)
{
    (void)state;
    answer *a = calloc(1, sizeof *a);
    int met = 0;
    for (double inertia = 0.005; inertia < 0.04; inertia *= 1.3) {
        bench *b = open_bench(0.3, 0, inertia);
        for (double rpm = 1500; rpm < 6200; rpm += 1500) {
            snub_slip_case asked = asked_at(b, rpm, -9000, SNUB_THROTTLE_SHUT);
            solve(b, &asked, a);
            check_answer(b, &asked, a);
            bool overrun = a->slip.kind[b->rig.crank] == SNUB_SLIP_OVERRUN;
            met += overrun;
            assert_true(overrun == (a->slip.followed < 1) && a->slip.followed > 0);
        }
        close_bench(b);
    }
    assert_true(met > 3);
    free(a);
}

static snub_build *build_of(bench *b)
{
    snub_error error;
    const snub_build_request as_written = {0};
    snub_build *build = SNUB_NEW(&b->text.arena, snub_build, 1);
    if (snub_build_of_drive(drive_of(b), &as_written, &b->text.arena, build, &error) != SNUB_OK)
        fail_msg("%s", error.message);
    return build;
}

static void sweep_and_onset(void **state)
{
    (void)state;
    bench *b = open_bench(0.3, 0, 0);
    const snub_build *build = build_of(b);
    snub_sweep sweep, fine;
    snub_error error = {0};
    snub_sweep_request request = {.speeds = 40};
    assert_int_equal(snub_sweep_run(build, &request, &b->text.arena, &sweep, &error), SNUB_OK);
    const double onset = snub_sweep_slip_onset(&sweep, SNUB_STEADY, BLOWER);
    assert_true(onset > 1000 * SNUB_RPM && onset < 6200 * SNUB_RPM);
    request.speeds = 400;
    assert_int_equal(snub_sweep_run(build, &request, &b->text.arena, &fine, &error), SNUB_OK);
    assert_near("onset, ten times the speeds", onset / SNUB_RPM,
                snub_sweep_slip_onset(&fine, SNUB_STEADY, BLOWER) / SNUB_RPM, 60, "rpm");
    /* the build says so too, of the worst belt: no later than the nominal one */
    assert_int_equal(build->verdict, SNUB_FAIL);
    assert_true(build->slip_onset <= onset + 60 * SNUB_RPM);
    const snub_slip_worst worst = snub_sweep_worst_slip(&sweep, BLOWER);
    assert_true(worst.slips);
    const snub_sweep_point *end = &sweep.point[SNUB_STEADY][39];
    assert_true(end->match.boost < end->boost_without_slip);
    assert_true(end->heat > 0);
    /* unslipping speeds are as without slip, both ways of reckoning */
    assert_near("boost at idle", sweep.point[SNUB_STEADY][0].match.boost,
                sweep.point[SNUB_STEADY][0].boost_without_slip, 0, "Pa");
    assert_true(sweep.point[SNUB_SHUT][39].match.power < end->match.power);
    for (int k = 0; k < sweep.speeds; k++) {
        const snub_sweep_point *p = &sweep.point[SNUB_STEADY][k];
        assert_true(p->wind_low <= p->wind + 1e-12 && p->wind <= p->wind_high + 1e-12);
    }
    close_bench(b);
}

static void sweep_needs_an_engine(void **state)
{
    (void)state;
    bench *b = open_bench(0.9, 0, 0);
    snub_sweep sweep;
    snub_error error = {0};
    snub_build *build = build_of(b);
    build->drive->engine.given = false;
    snub_sweep_request request = {0};
    assert_int_equal(snub_sweep_run(build, &request, &b->text.arena, &sweep, &error), SNUB_BAD_INPUT);
    assert_string_equal(error.key, "engine");
    build->drive->engine.given = true;
    for (long n = 1; n < 12; n++) {
        snub_arena small;
        snub_arena_init(&small, 0);
        small.refuse_after = n;
        assert_int_equal(snub_sweep_run(build, &request, &small, &sweep, &error), SNUB_NO_MEMORY);
        snub_arena_free(&small);
    }
    close_bench(b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_slip_with_endless_friction),
        cmocka_unit_test(blower_slips),
        cmocka_unit_test(rising_slips_first),
        cmocka_unit_test(constant_torque_stalls),
        cmocka_unit_test(heavy_pulley_runs_on),
        cmocka_unit_test(crank_slows_faster_than_the_belt),
        cmocka_unit_test(sweep_and_onset),
        cmocka_unit_test(sweep_needs_an_engine),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

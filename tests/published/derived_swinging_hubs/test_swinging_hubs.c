/* Hubs that carry the swing of their spans (derived: inputs chosen for the check).
 *  - orders put together over a cycle: angle, steps, phases
 *  - an idler between two spans: in step the amplitudes add, a quarter of a swing apart the force runs round an ellipse
 *  - the cubic mean of a sine about a mean: (m^3 + 3/2 m a^2)^(1/3)
 *  - a span pulls no less than nothing
 *  - what is furthest out over many cycles: a search of all their points */
#include "kit/hub_swing.h"
#include "support/near.h"

enum { PULLEYS = 3 };

/* The belt comes to pulley 1 along (1, 0) and leaves it along `out`. */
static void lay(snub_balance *b, double carries, double flux, double out_x, double out_y)
{
    *b = (snub_balance){.equilibrium.centrifugal = flux};
    for (int i = 0; i < PULLEYS; i++) {
        b->path.u[i][0] = 1.0;
        b->span_tension[i] = carries + flux;
    }
    b->path.u[1][0] = out_x;
    b->path.u[1][1] = out_y;
    b->pulley[1].hub[0] = carries * (out_x - 1.0);
    b->pulley[1].hub[1] = carries * out_y;
}

static double size_at(const snub_hub_cycle *cycle, const snub_balance *b, int point, int pulley)
{
    double force[2];
    snub_hub_at(cycle, b, point, pulley, force);
    return hypot(force[0], force[1]);
}

static void orders_in_a_cycle(void **state)
{
    (void)state;
    const snub_order six[] = {{.order = 3}, {.order = 6}, {.order = 9}}, odd[] = {{.order = 1.5}, {.order = 4}};
    assert_int_equal(snub_cycle_points(six, 3), 32);
    assert_int_equal(snub_cycle_points(odd, 2), 64);
}

/* Phase and both parts: Re (a + i b) e^(i (o theta - phase)). */
static void tension_over_a_cycle(void **state)
{
    (void)state;
    enum { POINTS = 64 };
    const snub_order orders[] = {{.order = 1.5, .phase = 0.4}, {.order = 4, .phase = -1.1}};
    static snub_response r[2] = {{.part = {{30, -40}, {5, 6}}}, {.part = {{-7, 24}, {0, 9}}}};
    static double swing[2 * POINTS];
    snub_arena arena = {0};
    assert_true(snub_cycle_tensions(orders, r, 2, 2, POINTS, &arena, swing));
    for (int p = 0; p < POINTS; p++) {
        const double theta = 4 * SNUB_PI * p / POINTS, a = 1.5 * theta - 0.4, b = 4 * theta + 1.1;
        assert_near("span 0", swing[p], 50 * cos(a + atan2(-40, 30)) + 25 * cos(b + atan2(24, -7)), 1e-11, "N");
        assert_near("span 1", swing[POINTS + p], 5 * cos(a) - 6 * sin(a) - 9 * sin(b), 1e-11, "N");
    }
    snub_arena_free(&arena);
}

/* Wrapped half round: both spans pull one way. */
static void in_step_amplitudes_add(void **state)
{
    (void)state;
    static snub_balance b;
    static snub_response r = {.part = {{120, 0}, {80, 0}}};
    const snub_order order = {.order = 2};
    snub_arena arena = {0};
    snub_hub_cycle cycle;
    double least = INFINITY, most = 0.0, cubes = 0.0;
    lay(&b, 500, 60, -1, 0);
    assert_true(snub_hub_cycle_of(&b, &order, &r, 1, PULLEYS, &arena, &cycle));
    for (int p = 0; p < cycle.points; p++) {
        const double size = size_at(&cycle, &b, p, 1);
        least = fmin(least, size);
        most = fmax(most, size);
        cubes += size * size * size;
    }
    assert_near("greatest", most, 1200, 1e-10, "N");
    assert_near("least", least, 800, 1e-10, "N");
    assert_near("cubic mean", cbrt(cubes / cycle.points), cbrt(1e9 + 1.5 * 1000 * 200 * 200), 1e-9, "N");
    snub_arena_free(&arena);
}

/* A right angle, and the swing behind comes a quarter later: (-500 - 90 cos, 500 - 60 sin). */
static void out_of_step_it_runs_round(void **state)
{
    (void)state;
    static snub_balance b;
    static snub_response r = {.part = {{90, 0}, {0, 60}}};
    const snub_order order = {.order = 2};
    snub_arena arena = {0};
    snub_hub_cycle cycle;
    lay(&b, 500, 60, 0, 1);
    assert_true(snub_hub_cycle_of(&b, &order, &r, 1, PULLEYS, &arena, &cycle));
    for (int p = 0; p < cycle.points; p++) {
        const double turn = 2 * SNUB_PI * p / cycle.points;
        double force[2];
        snub_hub_at(&cycle, &b, p, 1, force);
        assert_near("along the first", force[0], -500 - 90 * cos(turn), 1e-10, "N");
        assert_near("along the second", force[1], 500 - 60 * sin(turn), 1e-10, "N");
    }
    snub_arena_free(&arena);
}

static void no_span_pushes(void **state)
{
    (void)state;
    static snub_balance b;
    static snub_response r = {.part = {{0, 0}, {700, 0}}};
    const snub_order order = {.order = 2};
    snub_arena arena = {0};
    snub_hub_cycle cycle;
    double least = INFINITY;
    lay(&b, 500, 60, -1, 0);
    assert_true(snub_hub_cycle_of(&b, &order, &r, 1, PULLEYS, &arena, &cycle));
    for (int p = 0; p < cycle.points; p++)
        least = fmin(least, size_at(&cycle, &b, p, 1));
    assert_near("the other span alone", least, 500, 1e-10, "N");
    snub_arena_free(&arena);
}

/* Which points are kept: the furthest along either axis, the greatest and the least, and none that is no further. */
static void ends_are_kept(void **state)
{
    (void)state;
    static snub_balance b;
    static snub_response r = {.part = {{90, 0}, {0, 60}}};
    const snub_order order = {.order = 2};
    static bool on[1][SNUB_PULLEYS_MOST] = {{false, true}};
    double value[SNUB_HUB_LOOKS], room[64][2];
    int point[SNUB_HUB_LOOKS];
    snub_arena arena = {0};
    snub_hub_cycle cycle;
    lay(&b, 500, 60, 0, 1);
    for (int k = 0; k < SNUB_HUB_LOOKS; k++)
        value[k] = -INFINITY;
    const snub_hub_ends ends = {1, on, value};
    assert_true(snub_hub_cycle_of(&b, &order, &r, 1, PULLEYS, &arena, &cycle));
    snub_hub_ends_take(&ends, &cycle, &b, room, point);
    assert_near("furthest to the right", value[0], -410, 1e-10, "N");
    assert_near("to the left", value[1], 590, 1e-10, "N");
    assert_near("up", value[8], 560, 1e-10, "N");
    assert_near("down", value[9], -440, 1e-10, "N");
    assert_int_equal(point[1], 0);
    assert_int_equal(point[0], cycle.points / 2);
    snub_hub_ends_take(&ends, &cycle, &b, room, point);
    for (int k = 0; k < SNUB_HUB_LOOKS; k++)
        assert_int_equal(point[k], -1);
    r.part[0][0] = 100; /* further to either side */
    assert_true(snub_hub_cycle_of(&b, &order, &r, 1, PULLEYS, &arena, &cycle));
    snub_hub_ends_take(&ends, &cycle, &b, room, point);
    assert_near("further to the left", value[1], 600, 1e-10, "N");
    assert_near("up as before", value[8], 560, 1e-10, "N");
    assert_int_equal(point[8], -1);
    snub_arena_free(&arena);
}

/* One of `random` in a row that is the same in every run, from 0 to 1. */
static double drawn(uint64_t *random)
{
    *random = *random * 6364136223846793005ULL + 1442695040888963407ULL;
    return (double)(*random >> 40) / (double)(1 << 24);
}

/* State of the belt in which each of the two spans at pulley 1 swings, for a body of pulley 1 and one of 0 and 1. */
static void draw_state(uint64_t *random, snub_balance *b, snub_response *r)
{
    const double carries = 50 + 500 * drawn(random), turn = 2 * SNUB_PI * drawn(random);
    lay(b, carries, 60, cos(turn), sin(turn));
    b->pulley[0].hub[1] = 400 * drawn(random) - 200;
    for (int i = 0; i < 2; i++)
        for (int k = 0; k < 2; k++)
            r->part[i][k] = 300 * drawn(random) - 150;
}

/* How far out each way of looking is, without short cuts. */
static void search(const snub_hub_cycle *cycle, const snub_balance *b, const bool *on, double most[SNUB_HUB_LOOKS])
{
    for (int p = 0; p < cycle->points; p++) {
        double sum[2] = {0, 0}, force[2];
        for (int i = 0; i < PULLEYS; i++) {
            snub_hub_at(cycle, b, p, i, force);
            for (int k = 0; k < 2 && on[i]; k++)
                sum[k] += force[k];
        }
        for (int k = 0; k < SNUB_HUB_LOOKS; k++) {
            const double turn = k / 2 * SNUB_PI / 8, square = sum[0] * sum[0] + sum[1] * sum[1],
                         far = k / 2 < 8 ? sum[0] * cos(turn) + sum[1] * sin(turn) : square;
            most[k] = fmax(most[k], k % 2 == 0 ? far : -far);
        }
    }
}

/* Cycles in which nothing is further out are passed over: none that is may be among them. */
static void ends_are_those_of_a_plain_search(void **state)
{
    (void)state;
    enum { BODIES = 2, LOOKS = BODIES * SNUB_HUB_LOOKS };
    static snub_balance b;
    static snub_response r;
    static bool on[BODIES][SNUB_PULLEYS_MOST] = {{false, true}, {true, true}};
    const snub_order order = {.order = 2};
    uint64_t random = 1;
    double value[LOOKS], most[LOOKS], room[64][2];
    int point[LOOKS];
    for (int k = 0; k < LOOKS; k++)
        value[k] = most[k] = -INFINITY;
    for (int n = 0; n < 400; n++) {
        snub_arena arena = {0};
        snub_hub_cycle cycle;
        draw_state(&random, &b, &r);
        assert_true(snub_hub_cycle_of(&b, &order, &r, 1, PULLEYS, &arena, &cycle));
        snub_hub_ends_take(&(snub_hub_ends){BODIES, on, value}, &cycle, &b, room, point);
        for (int k = 0; k < BODIES; k++)
            search(&cycle, &b, on[k], &most[k * SNUB_HUB_LOOKS]);
        for (int k = 0; k < LOOKS; k++)
            assert_near("furthest", value[k], most[k], 1e-9 * fabs(most[k]) + 1e-9, "");
        snub_arena_free(&arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(orders_in_a_cycle),
        cmocka_unit_test(tension_over_a_cycle),
        cmocka_unit_test(in_step_amplitudes_add),
        cmocka_unit_test(out_of_step_it_runs_round),
        cmocka_unit_test(no_span_pushes),
        cmocka_unit_test(ends_are_kept),
        cmocka_unit_test(ends_are_those_of_a_plain_search),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* A circle through points: the same wherever it stands, however large, mirrored and in any order; refused memory. */
#include "measure/circle.h"

#include <string.h>

#include "support/near.h"

enum { POINTS = 24, WRONG = 7 };

/* 250 deg of a circle of 40 mm about (3, -7) mm, 0.05 mm to either side in a fixed pattern; one is 2 mm off. */
static void points(double at[POINTS][2])
{
    for (int i = 0; i < POINTS; i++) {
        const double t = 0.3 + 250.0 * SNUB_DEG * i / (POINTS - 1);
        const double r = 40e-3 + 0.05e-3 * sin(5.0 * i * i) + (i == WRONG ? 2e-3 : 0.0);
        at[i][0] = 3e-3 + r * cos(t);
        at[i][1] = -7e-3 + r * sin(t);
    }
}

static void fit(double at[POINTS][2], snub_arena *arena, snub_circle_fit *f)
{
    snub_error error;
    snub_arena_init(arena, 0);
    assert_int_equal(snub_circle_through((const double(*)[2])at, POINTS, NAN, arena, f, &error), SNUB_OK);
}

/* x' = size (+-x cos - y sin) + far, and so on. */
static void moved(double size, double turn, double mirror, double far)
{
    double at[POINTS][2], other[POINTS][2];
    snub_arena arena, more;
    snub_circle_fit one, f;
    points(at);
    for (int i = 0; i < POINTS; i++) {
        const double x = mirror * at[i][0], y = at[i][1];
        other[i][0] = size * (cos(turn) * x - sin(turn) * y) + far;
        other[i][1] = size * (sin(turn) * x + cos(turn) * y) - far;
    }
    fit(at, &arena, &one);
    fit(other, &more, &f);
    const double x = mirror * one.at[0], y = one.at[1], small = 1e-9 * size + 1e-12 * far;
    assert_near("x", f.at[0], size * (cos(turn) * x - sin(turn) * y) + far, small, "m");
    assert_near("y", f.at[1], size * (sin(turn) * x + cos(turn) * y) - far, small, "m");
    assert_near("radius", f.radius, size * one.radius, small, "m");
    assert_near("its error", f.radius_error, size * one.radius_error, 1e-5 * size * one.radius_error + small, "m");
    assert_near("ellipse", f.axis[0], size * one.axis[0], 1e-5 * size * one.axis[0] + small, "m");
    assert_near("arc", f.arc, one.arc, 1e-9, "rad");
    assert_int_equal(f.used, POINTS - 1);
    assert_true(f.point[WRONG].out);
    snub_arena_free(&arena);
    snub_arena_free(&more);
}

static void anywhere(void **state)
{
    (void)state;
    moved(1.0, 0.0, 1.0, 0.0);
    moved(1.0, 1.1, -1.0, 0.0);
    moved(1e-3, 2.0, 1.0, 0.0);
    moved(1e3, -0.7, -1.0, 0.0);
    moved(1.0, 0.4, 1.0, 900.0);
}

/* Circles that are tried are drawn by the points' numbers: in another order others are, and the answer is the same. */
static void any_order(void **state)
{
    double at[POINTS][2], other[POINTS][2];
    snub_arena arena, more;
    snub_circle_fit one, f;
    (void)state;
    points(at);
    fit(at, &arena, &one);
    for (int step = 5; step < POINTS; step += 2) {
        if (POINTS % step == 0 || (step % 3) == 0)
            continue;
        for (int i = 0; i < POINTS; i++)
            memcpy(other[i], at[i * step % POINTS], sizeof other[i]);
        fit(other, &more, &f);
        assert_near("x", f.at[0], one.at[0], 1e-12, "m");
        assert_near("radius", f.radius, one.radius, 1e-12, "m");
        assert_int_equal(f.used, POINTS - 1);
        for (int i = 0; i < POINTS; i++)
            assert_int_equal(f.point[i].out, i * step % POINTS == WRONG);
        snub_arena_free(&more);
    }
    snub_arena_free(&arena);
}

/* Each request for memory refused once: no answer, or all of it. */
static void no_memory(void **state)
{
    double at[POINTS][2];
    int refused = 0;
    (void)state;
    points(at);
    for (long n = 1; n < 40; n++) {
        snub_arena arena;
        snub_circle_fit f;
        snub_error error = {0};
        snub_arena_init(&arena, 0);
        arena.refuse_after = n;
        const snub_status status = snub_circle_through((const double(*)[2])at, POINTS, NAN, &arena, &f, &error);
        assert_int_equal(status, arena.refused ? SNUB_NO_MEMORY : SNUB_OK);
        refused += arena.refused;
        snub_arena_free(&arena);
    }
    assert_true(refused >= 10 && refused < 39);
}

/* Two points, three on a line, four in one place: words, and no circle. */
static void none(void **state)
{
    static const double line[4][2] = {{0, 0}, {1, 2}, {2, 4}, {3, 6}}, place[4][2] = {{1, 1}, {1, 1}, {1, 1}, {1, 1}};
    snub_arena arena = {0};
    snub_circle_fit f;
    snub_error error = {0};
    (void)state;
    assert_int_equal(snub_circle_through(line, 2, NAN, &arena, &f, &error), SNUB_BAD_INPUT);
    assert_non_null(strstr(error.message, "three points or more, there are 2"));
    assert_int_equal(snub_circle_through(line, 4, NAN, &arena, &f, &error), SNUB_BAD_INPUT);
    assert_non_null(strstr(error.message, "straight line"));
    assert_int_equal(snub_circle_through(place, 4, NAN, &arena, &f, &error), SNUB_BAD_INPUT);
    snub_arena_free(&arena);
}

enum { EVEN = 8 };

/* Eight points evenly round a circle of 10 mm, in turn 0.01 mm out and in, so that the circle nearest to them is this
 * one; and a ninth between two of them, `off` out. */
static void beside_eight(double off, double stated, snub_arena *arena, snub_circle_fit *f)
{
    double at[EVEN + 1][2];
    snub_error error;
    for (int i = 0; i <= EVEN; i++) {
        const double t = 2.0 * SNUB_PI * (i < EVEN ? i : 0.5) / EVEN;
        const double r = 10e-3 + (i == EVEN ? off : i % 2 == 0 ? 0.01e-3 : -0.01e-3);
        at[i][0] = r * cos(t);
        at[i][1] = r * sin(t);
    }
    snub_arena_init(arena, 0);
    assert_int_equal(snub_circle_through((const double(*)[2])at, EVEN + 1, stated, arena, f, &error), SNUB_OK);
}

/* A point left out, over the error of its distance: scatter sqrt(8/5) 0.01 mm, or what is stated where that is more,
 * and the circle's own there, sqrt(3/8) of it. The limit is Student's of five, as the scatter has, for a chance of
 * 0.01/9, either way. */
static void by_how_much_one_stands_out(void **state)
{
    snub_arena arena;
    snub_circle_fit f;
    (void)state;
    beside_eight(0.3e-3, NAN, &arena, &f);
    assert_true(f.point[EVEN].out && f.used == EVEN);
    assert_near("by the scatter", f.point[EVEN].against, 30.0 / sqrt(1.6 * 1.375), 1e-6, "");
    assert_near("limit", f.limit, 6.712593103129933, 1e-6, "");
    snub_arena_free(&arena);
    beside_eight(2.0e-3, 0.04e-3, &arena, &f);
    assert_true(f.point[EVEN].out);
    assert_near("by what is stated", f.point[EVEN].against, 50.0 / sqrt(1.375), 1e-6, "");
    snub_arena_free(&arena);
    beside_eight(0.3e-3, 0.2e-3, &arena, &f);
    assert_false(f.point[EVEN].out); /* 1.5 of what is stated */
    snub_arena_free(&arena);
}

/* 12 deg of a circle, the points to either side of it: a line as soon as the error of its radius is as large as that.
 */
static void too_short_an_arc(void **state)
{
    int straight = 0, bent = 0;
    (void)state;
    for (int step = 0; step < 66; step++) {
        double at[POINTS][2];
        snub_arena arena;
        snub_circle_fit f;
        for (int i = 0; i < POINTS; i++) {
            const double t = 12.0 * SNUB_DEG * i / (POINTS - 1),
                         r = 40e-3 + 0.02e-3 * pow(1.05, step) * sin(5.0 * i * i);
            at[i][0] = r * cos(t);
            at[i][1] = r * sin(t);
        }
        fit(at, &arena, &f);
        const double share = f.within * f.radius_error / f.radius;
        assert_int_equal(f.straight, share >= 1.0);
        straight += share > 1.0 && share < 1.1;
        bent += share > 0.9 && share < 1.0;
        snub_arena_free(&arena);
    }
    assert_true(straight > 0 && bent > 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(anywhere),
                                       cmocka_unit_test(any_order),
                                       cmocka_unit_test(no_memory),
                                       cmocka_unit_test(none),
                                       cmocka_unit_test(by_how_much_one_stands_out),
                                       cmocka_unit_test(too_short_an_arc)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Fronts and known candidates against the plain loops that they take the place of. */
#include <stdlib.h>
#include <string.h>

#include "study/search_front.h"
#include "study/search_known.h"
#include "support/near.h"

enum { POINTS = 300, ROUNDS = 60 };
static const double LEAST = 1e-6;

static unsigned next(unsigned *seed)
{
    *seed = *seed * 1664525U + 1013904223U;
    return *seed >> 8;
}

static bool beats(const snub_front_point *a, const snub_front_point *b)
{
    bool better = false;
    for (int k = 0; k < 2; k++) {
        const double more = a->value[k] - b->value[k];
        if (more > LEAST)
            return false;
        better = better || more < -LEAST;
    }
    return better;
}

/* Neither beats the other, and their first values are the same. */
static bool equal(const snub_front_point *a, const snub_front_point *b)
{
    return !beats(a, b) && !beats(b, a) && fabs(a->value[0] - b->value[0]) <= LEAST;
}

static bool stays(const snub_front_point *points, int i)
{
    for (int k = 0; k < POINTS; k++)
        if (k != i &&
            (beats(&points[k], &points[i]) || (points[k].number < points[i].number && equal(&points[k], &points[i]))))
            return false;
    return true;
}

/* Few different values, steps of about the least difference, and a front that is hollow. */
static double drawn(unsigned *seed, int kind, double first)
{
    const unsigned r = next(seed);
    switch (kind % 4) {
    case 0: return r % 7;
    case 1: return 0.45e-6 * (r % 60);
    case 2: return first < 0 ? r % 1000 / 1000.0 : 1 - first * first + (r % 5) * 0.3e-6;
    default: return first < 0 ? r % 50 : 0.0; /* one aim */
    }
}

static void a_front_is_that_of_the_loop(void **state)
{
    unsigned seed = 7;
    int left = 0;
    (void)state;
    for (int round = 0; round < ROUNDS; round++) {
        snub_front_point points[POINTS];
        for (int i = 0; i < POINTS; i++) {
            const double first = drawn(&seed, round, -1);
            points[i] = (snub_front_point){{first, drawn(&seed, round, first)}, i, false};
        }
        snub_front_thin(points, POINTS, LEAST);
        for (int i = 0; i < POINTS; i++) {
            if (points[i].stays != stays(points, i))
                fail_msg("round %d: point %d (%.17g, %.17g) is %d", round, points[i].number, points[i].value[0],
                         points[i].value[1], points[i].stays);
            assert_true(i == 0 || points[i].value[0] >= points[i - 1].value[0]);
            left += points[i].stays;
        }
    }
    print_message("%d stay\n", left);
    assert_true(left > 2 * ROUNDS);
}

enum { TRIED = 3000 };

static void what_is_known_is_found(void **state)
{
    unsigned seed = 3;
    snub_known known = {0};
    snub_tried *tried = calloc(TRIED, sizeof *tried);
    (void)state;
    assert_non_null(tried);
    assert_int_equal(snub_known_find(&known, tried, tried[0].value, 3), -1);
    for (int i = 0; i < TRIED; i++) {
        for (int k = 0; k < 3; k++)
            tried[i].value[k] = 0.0001 * (next(&seed) % 13); /* 2197 different ones */
        int want = -1;
        for (int j = i - 1; j >= 0 && want < 0; j--)
            want = memcmp(tried[j].value, tried[i].value, 3 * sizeof(double)) == 0 ? j : -1;
        assert_int_equal(snub_known_find(&known, tried, tried[i].value, 3), want);
        assert_true(snub_known_note(&known, tried, i, 3));
        assert_int_equal(snub_known_find(&known, tried, tried[i].value, 3), i);
    }
    assert_true(2 * (size_t)known.count <= known.room && known.count < TRIED);
    snub_known_free(&known);
    free(tried);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_front_is_that_of_the_loop),
        cmocka_unit_test(what_is_known_is_found),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

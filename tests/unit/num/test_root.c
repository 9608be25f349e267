/* Roots, greatest values and tables of one unknown. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <float.h>
#include <math.h>
#include <string.h>

#include "snub/num.h"

typedef struct counted {
    int calls;
    double parameter;
} counted;

static bool cubic(double x, double *y, void *context)
{
    ((counted *)context)->calls++;
    *y = x * x * x - 2 * x - 5; /* Wallis's equation; root 2.0945514815423265 (OEIS A007493) */
    return true;
}

static bool cosine(double x, double *y, void *context)
{
    ((counted *)context)->calls++;
    *y = cos(x) - x; /* root 0.73908513321516064 */
    return true;
}

static bool flat(double x, double *y, void *context)
{
    ((counted *)context)->calls++;
    *y = pow(x - 1, 9); /* a root of ninth order: interpolation is of no use */
    return true;
}

static bool jump(double x, double *y, void *context)
{
    ((counted *)context)->calls++;
    *y = x < 0.3 ? -1 : 1;
    return true;
}

static bool steep(double x, double *y, void *context)
{
    ((counted *)context)->calls++;
    *y = exp(700 * x) - 1e-300;
    return true;
}

static bool hole(double x, double *y, void *context)
{
    (void)context;
    if (fabs(x) < 0.4)
        return false;
    *y = x;
    return true;
}

static bool not_a_number(double x, double *y, void *context)
{
    (void)context;
    *y = x > 0.5 ? NAN : -1;
    return true;
}

static void expect_root(snub_function f, double a, double b, double tolerance, double want, double allowed, int most)
{
    counted context = {0};
    double root = NAN;
    snub_error error = {0};
    if (snub_root(f, &context, a, b, tolerance, &root, &error) != SNUB_OK)
        fail_msg("no root: %s", error.message);
    if (!(fabs(root - want) <= allowed))
        fail_msg("got %.17g, want %.17g, tolerance %g", root, want, allowed);
    if (context.calls > most)
        fail_msg("%d calls, want at most %d", context.calls, most);
}

static void roots_are_found(void **state)
{
    (void)state;
    /* Superlinear: bisection would need 50 calls for these. */
    expect_root(cubic, 2, 3, 1e-15, 2.0945514815423265, 1e-15, 12);
    expect_root(cubic, 3, 2, 1e-15, 2.0945514815423265, 1e-15, 12);
    expect_root(cosine, 0, 1, 1e-15, 0.73908513321516064, 2.0 * DBL_EPSILON, 12);
    expect_root(jump, -1, 1, 1e-12, 0.3, 1e-12, 120);
    expect_root(flat, 0, 1.7, 1e-9, 1, 1e-9, 150);
    expect_root(steep, -2, 1, 1e-12, log(1e-300) / 700, 1e-11, 150);
    expect_root(cubic, 2.0945514815423265, 3, 1e-12, 2.0945514815423265, 1e-15, 12);
}

/* Order of convergence: halving the exponent of the tolerance must cost a few calls, not twice as many. */
static void convergence_is_faster_than_linear(void **state)
{
    (void)state;
    int calls[3];
    for (int i = 0; i < 3; i++) {
        counted context = {0};
        double root;
        assert_int_equal(snub_root(cosine, &context, 0, 1, pow(10, -3 * (1 << i)), &root, NULL), SNUB_OK);
        calls[i] = context.calls;
    }
    if (calls[1] - calls[0] > 2 || calls[2] - calls[1] > 2)
        fail_msg("calls for 1e-3, 1e-6, 1e-12: %d, %d, %d", calls[0], calls[1], calls[2]);
}

static void an_end_that_is_the_root_is_given(void **state)
{
    (void)state;
    double root = 0;
    assert_int_equal(snub_root(hole, NULL, -1, 1, 1e-9, &root, NULL), SNUB_BAD_INPUT); /* hole on the way */
    assert_true(root == 0);
    counted context = {0};
    assert_int_equal(snub_root(flat, &context, 1, 2, 1e-9, &root, NULL), SNUB_OK);
    assert_true(root == 1);
    assert_int_equal(snub_root(flat, &context, 0, 1, 1e-9, &root, NULL), SNUB_OK);
    assert_true(root == 1);
}

static void what_cannot_be_a_root_is_an_error(void **state)
{
    (void)state;
    counted context = {0};
    double root = 42;
    snub_error error;
    assert_int_equal(snub_root(cubic, &context, 3, 4, 1e-9, &root, &error), SNUB_BAD_INPUT);
    assert_non_null(strstr(error.message, "no change of sign"));
    assert_int_equal(snub_root(not_a_number, NULL, 0, 1, 1e-9, &root, &error), SNUB_BAD_INPUT);
    assert_non_null(strstr(error.message, "no value"));
    assert_int_equal(snub_root(cubic, &context, 2, 3, 0, &root, &error), SNUB_BAD_INPUT);
    assert_int_equal(snub_root(cubic, &context, 2, INFINITY, 1e-9, &root, &error), SNUB_BAD_INPUT);
    assert_true(root == 42);
}

/* Its sign at a point depends on how often it was asked, so that no bracket ever closes on a small value. */
static bool spiteful(double x, double *y, void *context)
{
    counted *c = context;
    c->calls++;
    *y = c->calls == 1 ? -1 : x < c->parameter ? -1e-300 * fabs(x) - 1e-310 : 1;
    return true;
}

static void the_widest_bracket_still_ends(void **state)
{
    (void)state;
    counted context = {.parameter = 1e-200};
    double root = 42;
    snub_error error;
    snub_status status = snub_root(spiteful, &context, -1e300, 1e300, 1e-320, &root, &error);
    /* Whatever the way, it is an answer within tolerance or an error, never the cap. */
    if (status == SNUB_OK) {
        if (!(fabs(root - context.parameter) <= 1e-215))
            fail_msg("got %.17g, want 1e-200", root);
    } else {
        assert_int_equal(status, SNUB_NO_CONVERGENCE);
        assert_true(root == 42);
    }
}

static bool parabola(double x, double *y, void *context)
{
    *y = 3 - (x - ((counted *)context)->parameter) * (x - ((counted *)context)->parameter);
    return true;
}

static bool two_humps(double x, double *y, void *context)
{
    (void)context;
    *y = exp(-100 * (x - 0.2) * (x - 0.2)) + 1.1 * exp(-100 * (x - 0.83) * (x - 0.83));
    return true;
}

static bool nowhere(double x, double *y, void *context)
{
    (void)x, (void)y, (void)context;
    return false;
}

static bool rises(double x, double *y, void *context)
{
    (void)context;
    *y = x;
    return true;
}

static bool only_right(double x, double *y, void *context)
{
    (void)context;
    *y = -x;
    return x >= 0.5;
}

/* A parabola that is nowhere but on [-7, 3]. */
static bool fenced(double x, double *y, void *context)
{
    if (x < -7 || x > 3)
        fail_msg("asked for the value at %.17g, outside of -7 to 3", x);
    return parabola(x, y, context);
}

static void greatest_value_is_found(void **state)
{
    (void)state;
    double best;
    counted context = {.parameter = 0.3712};
    /* The place of a smooth maximum is known to the square root of the rounding of its value. */
    double place = snub_maximise(parabola, &context, 0, 1, 10, 1e-9, &best);
    if (!(fabs(place - 0.3712) <= 1e-7) || !(fabs(best - 3) <= 1e-14))
        fail_msg("got %.17g at %.17g, want 3 at 0.3712", best, place);
    /* an interval that does not begin at nothing: the peak in its first, an inner and its last cell, on a grid's place
     * and off it, and past both ends */
    static const double peaks[][2] = {{-6.6, -6.6}, {-4.6288, -4.6288}, {-4, -4}, {0.25, 0.25},
                                      {2.9, 2.9},   {-9, -7},           {4, 3}};
    for (size_t i = 0; i < sizeof peaks / sizeof peaks[0]; i++) {
        context.parameter = peaks[i][0];
        place = snub_maximise(fenced, &context, -7, 3, 10, 1e-9, &best);
        const double want = 3 - (peaks[i][0] - peaks[i][1]) * (peaks[i][0] - peaks[i][1]);
        if (!(fabs(place - peaks[i][1]) <= 1e-7) || !(fabs(best - want) <= 1e-13))
            fail_msg("got %.17g at %.17g, want %.17g at %g", best, place, want, peaks[i][1]);
    }
    context.parameter = 0.3712;
    place = snub_maximise(two_humps, NULL, 0, 1, 20, 1e-8, &best);
    if (!(fabs(place - 0.83) <= 1e-6))
        fail_msg("got %.17g, want 0.83, tolerance 1e-6", place);
    place = snub_maximise(rises, NULL, -1, 2, 8, 1e-9, &best);
    assert_true(place == 2 && best == 2);
    place = snub_maximise(only_right, NULL, 0, 1, 7, 1e-9, &best);
    if (!(fabs(place - 0.5) <= 1e-8) || place < 0.5)
        fail_msg("got %.17g, want 0.5, tolerance 1e-8", place);
    place = snub_maximise(nowhere, NULL, 0, 1, 7, 1e-9, &best);
    assert_true(isnan(place) && best == -INFINITY);
    place = snub_maximise(rises, NULL, 1, 1, 0, 1e-9, &best);
    assert_true(place == 1 && best == 1);
    place = snub_maximise(parabola, &context, 0, 1, 10, 0, &best); /* a tolerance of zero must still end */
    assert_true(fabs(place - 0.3712) <= 1e-7);
}

static void tables_are_linear_and_held(void **state)
{
    (void)state;
    double x[] = {1, 2, 4, 8}, y[] = {10, 20, 0, 8};
    snub_curve table = {4, x, y}, empty = {0}, one = {1, x, y};
    static const double cases[][2] = {{0, 10}, {1, 10}, {1.5, 15}, {2, 20}, {3, 10}, {4, 0}, {6, 4}, {8, 8}, {99, 8}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        double got = snub_curve_at(&table, cases[i][0]);
        if (!(got == cases[i][1]))
            fail_msg("at %g: got %.17g, want %.17g", cases[i][0], got, cases[i][1]);
    }
    assert_true(snub_curve_at(&empty, 5) == 0);
    assert_true(snub_curve_at(&one, -5) == 10 && snub_curve_at(&one, 5) == 10);
    assert_true(isnan(snub_curve_at(&table, NAN)));
    assert_true(snub_curve_at(&table, -INFINITY) == 10 && snub_curve_at(&table, INFINITY) == 8);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(roots_are_found),
        cmocka_unit_test(convergence_is_faster_than_linear),
        cmocka_unit_test(an_end_that_is_the_root_is_given),
        cmocka_unit_test(what_cannot_be_a_root_is_an_error),
        cmocka_unit_test(the_widest_bracket_still_ends),
        cmocka_unit_test(greatest_value_is_found),
        cmocka_unit_test(tables_are_linear_and_held),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

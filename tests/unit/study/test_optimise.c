/* Least values: published test functions with known minima, constraints, and what is said where it did not converge.
 *
 * Functions and minima: SciPy's collection of global test functions (Branin, Hartmann, Shekel, camel, Goldstein and
 * Price), the constrained collection of Runarsson and Yao (g06, g08, g11, g12, g24). The minimum of g06 follows from
 * its two active constraints: x = 14.095, y = 5 - sqrt(100 - 9.095^2). That of g11 with the equation held is 0.75.
 */
#include <math.h>
#include <string.h>

#include "snub/units.h"
#include "study/optimise.h"
#include "support/near.h"

typedef double (*form)(const double *x, double *over);

static double branin(const double *x, double *over)
{
    const double pi = SNUB_PI;
    (void)over;
    const double a = x[1] - 5.1 / (4 * pi * pi) * x[0] * x[0] + 5 / pi * x[0] - 6;
    return a * a + 10 * (1 - 1 / (8 * pi)) * cos(x[0]) + 10;
}

static double hartmann(const double *x, double *over)
{
    static const double a[4][3] = {{3, 10, 30}, {0.1, 10, 35}, {3, 10, 30}, {0.1, 10, 35}};
    static const double p[4][3] = {
        {0.3689, 0.117, 0.2673}, {0.4699, 0.4387, 0.747}, {0.1091, 0.8732, 0.5547}, {0.03815, 0.5743, 0.8828}};
    static const double c[4] = {1, 1.2, 3, 3.2};
    double sum = 0;
    (void)over;
    for (int i = 0; i < 4; i++) {
        double e = 0;
        for (int j = 0; j < 3; j++)
            e += a[i][j] * (x[j] - p[i][j]) * (x[j] - p[i][j]);
        sum -= c[i] * exp(-e);
    }
    return sum;
}

static double shekel5(const double *x, double *over)
{
    static const double a[5][4] = {{4, 4, 4, 4}, {1, 1, 1, 1}, {8, 8, 8, 8}, {6, 6, 6, 6}, {3, 7, 3, 7}};
    static const double c[5] = {0.1, 0.2, 0.2, 0.4, 0.4};
    double sum = 0;
    (void)over;
    for (int i = 0; i < 5; i++) {
        double d = c[i];
        for (int j = 0; j < 4; j++)
            d += (x[j] - a[i][j]) * (x[j] - a[i][j]);
        sum -= 1 / d;
    }
    return sum;
}

static double camel(const double *x, double *over)
{
    const double u = x[0] * x[0], v = x[1] * x[1];
    (void)over;
    return (4 - 2.1 * u + u * u / 3) * u + x[0] * x[1] + (4 * v - 4) * v;
}

static double goldstein(const double *v, double *over)
{
    const double x = v[0], y = v[1], s = x + y + 1, d = 2 * x - 3 * y;
    (void)over;
    return (1 + s * s * (19 - 14 * x + 3 * x * x - 14 * y + 6 * x * y + 3 * y * y)) *
           (30 + d * d * (18 - 32 * x + 12 * x * x + 48 * y - 36 * x * y + 27 * y * y));
}

static double g06(const double *x, double *over)
{
    over[0] = 100 - pow(x[0] - 5, 2) - pow(x[1] - 5, 2);
    over[1] = pow(x[0] - 6, 2) + pow(x[1] - 5, 2) - 82.81;
    return pow(x[0] - 10, 3) + pow(x[1] - 20, 3);
}

static double g08(const double *x, double *over)
{
    over[0] = x[0] * x[0] - x[1] + 1;
    over[1] = 1 - x[0] + pow(x[1] - 4, 2);
    return -pow(sin(2 * SNUB_PI * x[0]), 3) * sin(2 * SNUB_PI * x[1]) / (pow(x[0], 3) * (x[0] + x[1]));
}

/* An equation as two inequalities. */
static double g11(const double *x, double *over)
{
    over[0] = x[1] - x[0] * x[0];
    over[1] = -over[0];
    return x[0] * x[0] + (x[1] - 1) * (x[1] - 1);
}

static double nowhere(const double *x, double *over)
{
    over[0] = 1 + x[0] * x[0];
    return x[1];
}

typedef struct asked {
    form f;
    int stop_at, count;
    double first[2];
} asked;

static bool evaluate(const double *x, double *value, double *over, void *context)
{
    asked *a = context;
    if (a->count == 0)
        memcpy(a->first, x, sizeof a->first);
    *value = a->f(x, over);
    return ++a->count != a->stop_at;
}

static snub_optimum run_of(asked *a, int count, int constraints, const double *low, const double *high, int most,
                           int rounds)
{
    snub_optimum got;
    const snub_optimise problem = {.count = count,
                                   .constraints = constraints,
                                   .low = low,
                                   .high = high,
                                   .evaluate = evaluate,
                                   .context = a,
                                   .rounds = rounds,
                                   .global = most,
                                   .local = most,
                                   .seed = 7,
                                   .wall = 1e7,
                                   .slack = 1e-9,
                                   .tolerance = 1e-9};
    assert_int_equal(snub_optimise_run(&problem, &got, NULL), SNUB_OK);
    assert_int_equal(got.evaluations, a->stop_at > 0 ? a->stop_at - 1 : a->count);
    assert_true(got.evaluations <= 2 * most * rounds);
    return got;
}

static void check(const char *what, form f, int count, int constraints, const double *low, const double *high,
                  double minimum, double tolerance)
{
    asked a = {.f = f}, b = a;
    const snub_optimum got = run_of(&a, count, constraints, low, high, 1500, 6);
    const snub_optimum again = run_of(&b, count, constraints, low, high, 1500, 6);
    assert_near(what, got.value, minimum, tolerance, "");
    assert_true(got.converged && got.over == 0.0 && !got.stopped);
    assert_memory_equal(&got, &again, sizeof got);
}

static void finds_known_minima(void **state)
{
    (void)state;
    check("branin", branin, 2, 0, (double[]){-5, 0}, (double[]){10, 15}, 0.39788735772973816, 1e-7);
    check("hartmann", hartmann, 3, 0, (double[]){0, 0, 0}, (double[]){1, 1, 1}, -3.8627821478, 1e-7);
    check("shekel", shekel5, 4, 0, (double[]){0, 0, 0, 0}, (double[]){10, 10, 10, 10}, -10.1531996791, 1e-6);
    check("camel", camel, 2, 0, (double[]){-5, -5}, (double[]){5, 5}, -1.031628453489877, 1e-7);
    check("goldstein", goldstein, 2, 0, (double[]){-2, -2}, (double[]){2, 2}, 3.0, 1e-6);
}

static void holds_constraints(void **state)
{
    (void)state;
    check("g06", g06, 2, 2, (double[]){13, 0}, (double[]){100, 100}, -6961.813875580138, 1e-3);
    check("g08", g08, 2, 2, (double[]){1e-6, 1e-6}, (double[]){10, 10}, -0.0958250414180359, 1e-7);
    check("g11", g11, 2, 2, (double[]){-1, -1}, (double[]){1, 1}, 0.75, 1e-6);
}

static void says_where_it_failed(void **state)
{
    const double low[] = {-1, -1}, high[] = {1, 1};
    (void)state;
    asked a = {.f = nowhere};
    snub_optimum got = run_of(&a, 2, 1, low, high, 400, 1);
    assert_false(got.converged);
    assert_near("least that is broken", got.over, 1.0, 1e-4, "");
    a = (asked){.f = camel};
    got = run_of(&a, 2, 0, low, high, 12, 1); /* too few to end by the tolerance */
    assert_false(got.converged);
    a = (asked){.f = camel, .stop_at = 50};
    got = run_of(&a, 2, 0, low, high, 400, 1);
    assert_true(got.stopped && !got.converged && isfinite(got.value));
}

static void begins_where_it_is_told(void **state)
{
    const double low[] = {-5, -5}, high[] = {5, 5}, start[] = {1.25, 9.0};
    asked a = {.f = camel};
    snub_optimum got;
    (void)state;
    snub_optimise problem = {.count = 2,
                             .low = low,
                             .high = high,
                             .start = start,
                             .evaluate = evaluate,
                             .context = &a,
                             .rounds = 1,
                             .global = 60,
                             .wall = 1e7,
                             .seed = 3};
    assert_int_equal(snub_optimise_run(&problem, &got, NULL), SNUB_OK);
    assert_near("first x", a.first[0], 1.25, 0.0, "");
    assert_near("first y, within the box", a.first[1], 5.0, 0.0, "");
    problem.high = low;
    assert_int_equal(snub_optimise_run(&problem, &got, NULL), SNUB_BAD_INPUT);
    problem.count = 0;
    assert_int_equal(snub_optimise_run(&problem, &got, NULL), SNUB_BAD_INPUT);
}

static void prefers_what_holds(void **state)
{
    (void)state;
    assert_true(snub_optimum_better(5.0, 0.0, 1.0, 0.1));
    assert_false(snub_optimum_better(1.0, 0.1, 5.0, 0.0));
    assert_true(snub_optimum_better(9.0, 0.1, 1.0, 0.2));
    assert_true(snub_optimum_better(1.0, 0.0, 2.0, 0.0));
    assert_false(snub_optimum_better(2.0, 0.0, 2.0, 0.0));
    assert_true(snub_optimum_better(2.0, 3.0, NAN, NAN));
    assert_false(snub_optimum_better(NAN, NAN, 2.0, 3.0));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(finds_known_minima),   cmocka_unit_test(holds_constraints),
        cmocka_unit_test(says_where_it_failed), cmocka_unit_test(begins_where_it_is_told),
        cmocka_unit_test(prefers_what_holds),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Readings drawn thousands of times about a known engine front: how often an ellipse of 95 % has the true centre in it,
 * how often good readings are called suspect, how often the chi-square test speaks; with the errors as stated, and with
 * errors three times as large as stated. Fixed seed; the bounds are four standard deviations of the counts. */
#include "snub/measure.h"

#include <string.h>

#include "snub/units.h"
#include "support/near.h"

enum { PULLEYS = 6, TRIALS = 800 };
static const double at[PULLEYS][2] = {{0, 0},         {0.046, 0.384}, {-0.204, 0.268},
                                      {0.132, 0.296}, {0.236, 0.238}, {0.276, 0.022}};
static const double diameter[PULLEYS] = {0.162, 0.088, 0.058, 0.074, 0.126, 0.118};
static const int pairs[][2] = {{0, 1}, {0, 2}, {0, 3}, {0, 4}, {0, 5}, {1, 2}, {1, 3},
                               {1, 4}, {2, 3}, {3, 4}, {4, 5}, {3, 5}, {2, 4}};
enum { READINGS = sizeof pairs / sizeof pairs[0] };

typedef struct count {
    int inside[PULLEYS], suspect, scattered;
    double chi_square;
} count;

static uint32_t state = 20261;

static double uniform(void)
{
    state = state * 1103515245U + 12345U;
    return ((double)(state >> 8) + 0.5) / (double)(1U << 24);
}

static double normal(void)
{
    return sqrt(-2.0 * log(uniform())) * cos(2.0 * SNUB_PI * uniform());
}

static void draw(snub_measured *m, snub_measured_pulley *p, snub_distance *d, double times)
{
    static const snub_measured_side left[] = {{.left = true, .pulley = 2, .from = 0, .to = 1},
                                              {.left = false, .pulley = 4, .from = 0, .to = 1}};
    *m = (snub_measured){.framed = true,
                         .origin = 0,
                         .towards = 1,
                         .direction = atan2(at[1][1], at[1][0]),
                         .pulley_count = PULLEYS,
                         .distance_count = READINGS,
                         .side_count = 2,
                         .pulleys = p,
                         .distances = d,
                         .sides = (snub_measured_side *)left};
    for (int i = 0; i < PULLEYS; i++)
        p[i] = (snub_measured_pulley){.known = i == 0,
                                      .at = {i == 0 ? 0 : (double)NAN, i == 0 ? 0 : (double)NAN},
                                      .diameter = diameter[i] + times * 1e-4 * normal(),
                                      .diameter_error = 1e-4};
    for (int k = 0; k < READINGS; k++) {
        const int a = pairs[k][0], b = pairs[k][1];
        const double error = k % 3 == 0 ? 6e-4 : 3e-4, rims = 0.5 * (diameter[a] + diameter[b]);
        const double apart = hypot(at[a][0] - at[b][0], at[a][1] - at[b][1]);
        d[k] = (snub_distance){
            .kind = SNUB_INSIDE, .a = a, .b = b, .error = error, .value = apart - rims + times * error * normal()};
    }
}

static bool inside(const snub_centre *c, const double want[2])
{
    const double x = want[0] - c->at[0], y = want[1] - c->at[1];
    const double along = x * cos(c->turn) + y * sin(c->turn), across = -x * sin(c->turn) + y * cos(c->turn);
    return along * along / (c->axis[0] * c->axis[0]) + across * across / (c->axis[1] * c->axis[1]) <= 1.0;
}

static count run(double times)
{
    count n = {0};
    for (int trial = 0; trial < TRIALS; trial++) {
        snub_arena arena;
        snub_measured m;
        snub_measured_pulley p[PULLEYS];
        snub_distance d[READINGS];
        snub_centres c;
        snub_errors errors = {0};
        snub_arena_init(&arena, 0);
        draw(&m, p, d, times);
        assert_int_equal(snub_centres_adjust(&m, &arena, &c, &errors), SNUB_OK);
        assert_int_equal(c.redundancy, 4);
        for (int i = 2; i < PULLEYS; i++)
            n.inside[i] += inside(&c.centre[i], at[i]);
        n.suspect += c.suspects > 0;
        n.scattered += c.taken > 1.0;
        n.chi_square += c.sum / TRIALS;
        snub_errors_free(&errors);
        snub_arena_free(&arena);
    }
    return n;
}

static void stated_errors_hold(void **unused)
{
    (void)unused;
    const count n = run(1.0);
    /* Where chance makes chi-square large, the ellipse grows, too: a little over 95 %. */
    for (int i = 2; i < PULLEYS; i++)
        assert_near("inside", (double)n.inside[i] / TRIALS, 0.955, 0.03, "");
    assert_near("chi-square", n.chi_square, 4.0, 4.0 * sqrt(8.0 / TRIALS), "");
    assert_near("scatter told", (double)n.scattered / TRIALS, 0.05, 4.0 * sqrt(0.05 * 0.95 / TRIALS), "");
    /* Bonferroni is on the safe side of 5 %. */
    assert_true(n.suspect <= TRIALS * 0.05);
    assert_true(n.suspect >= TRIALS * 0.01);
}

static void errors_are_three_times_as_large(void **unused)
{
    (void)unused;
    const count n = run(3.0);
    /* 9 chi-square over the limit of 9.49: chi-square over 1.054, by SciPy 0.90147. */
    assert_near("scatter told", (double)n.scattered / TRIALS, 0.90147, 4.0 * sqrt(0.09 / TRIALS), "");
    for (int i = 2; i < PULLEYS; i++)
        assert_true(n.inside[i] > TRIALS * 0.9);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(stated_errors_hold),
                                       cmocka_unit_test(errors_are_three_times_as_large)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

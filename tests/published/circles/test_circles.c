/* Circles through points, by least squares of the distances, and their errors.
 * From memory, digits confirmed by working them out anew: W. Gander, G. H. Golub, R. Strebel, Least-Squares Fitting of
 *   Circles and Ellipses, BIT 34 (1994) 558-578, example of section 3: centre, radius, sum of squares.
 * Printed: SciPy Cookbook, Least squares circle (2011): two sets of six, the second on a short arc.
 * Points printed, answer worked out with another program: OSGeoLabBp tutorials, data processing, circle: four points.
 * Made up (derived): three points of a circle of radius 5; eleven on 30 deg of one of 63.5 with errors that are listed.
 * All further digits, residuals and errors: worked out with another program; errors are s0 sqrt(diag(inv(J^T J))). */
#include "measure/circle.h"
#include "support/near.h"

typedef struct published {
    const char *id;
    int count;
    double at[12][2];
    double printed[3], digits; /* centre and radius as printed; NAN: not */
    double found[3], sum;      /* with another program, ten digits */
    double residual[12];
    double s0, error[3]; /* NAN: three points have none */
} published;

static const published sets[] = {
    {.id = "gander_golub_strebel_six",
     .count = 6,
     .at = {{1.0, 7.0}, {2.0, 6.0}, {5.0, 8.0}, {7.0, 7.0}, {9.0, 5.0}, {3.0, 7.0}},
     .printed = {4.7398, 2.9835, 4.7142},
     .digits = 5e-05,
     .found = {4.739782411, 2.983532699, 4.714226038},
     .sum = 1.227599078,
     .residual = {0.77375921, -0.63924351, 0.30898582, -0.10547424, -0.00088388161, -0.3371434},
     .s0 = 0.63968718,
     .error = {0.47759307, 1.5429129, 1.2243191}},
    {.id = "scipy_cookbook_full",
     .count = 6,
     .at = {{9.0, 34.0}, {35.0, 10.0}, {-13.0, 6.0}, {10.0, -14.0}, {23.0, 27.0}, {0.0, -10.0}},
     .printed = {10.50009, 9.65995, 23.33353},
     .digits = 5e-06,
     .found = {10.50008621, 9.659949506, 23.33352765},
     .sum = 7.711852239,
     .residual = {1.0527045, 1.1687459, 0.44985484, 0.33170628, -1.957719, -1.0452925},
     .s0 = 1.6033145,
     .error = {1.0703183, 0.91932576, 0.65553507}},
    {.id = "scipy_cookbook_arc",
     .count = 6,
     .at = {{36.0, 14.0}, {36.0, 10.0}, {19.0, 28.0}, {18.0, 31.0}, {33.0, 18.0}, {26.0, 26.0}},
     .printed = {9.8876, 3.68753, 27.3504},
     .digits = 5.1e-05,
     .found = {9.887566567, 3.68749731, 27.35044317},
     .sum = 4.042521898,
     .residual = {0.72457939, -0.48584062, -1.3863481, 1.1413869, -0.16529442, 0.17151693},
     .s0 = 1.1608218,
     .error = {7.2147425, 7.0480738, 9.2261491}},
    {.id = "olympus_four",
     .count = 4,
     .at = {{11.88, 0.08}, {10.34, 8.59}, {2.58, 9.54}, {-0.29, 1.95}},
     .printed = {NAN, NAN, NAN},
     .digits = 0,
     .found = {6.081131473, 3.629951168, 6.698731698},
     .sum = 0.0772005271,
     .residual = {0.1004616, -0.16114456, 0.17051854, -0.10983557},
     .s0 = 0.27784983,
     .error = {0.18197303, 0.22941796, 0.1471173}},
    {.id = "three_points_exact",
     .count = 3,
     .at = {{3.0, 4.0}, {-4.0, 3.0}, {0.0, -5.0}},
     .printed = {0.0, 0.0, 5.0},
     .digits = 1e-12,
     .found = {1.13375009e-16, 0.0, 5.0},
     .sum = 0.0,
     .residual = {0.0, 0.0, 0.0},
     .s0 = NAN,
     .error = {NAN, NAN, NAN}},
    {.id = "edge_arc_30deg",
     .count = 11,
     .at = {{76.003, -7.25},
            {75.900992, -3.927295},
            {75.660097, -0.611606},
            {75.223148, 2.684371},
            {74.605526, 5.950937},
            {73.845949, 9.187598},
            {72.888285, 12.371343},
            {71.773955, 15.503139},
            {70.515618, 18.580217},
            {69.080696, 21.579305},
            {67.490881, 24.499}},
     .printed = {NAN, NAN, NAN},
     .digits = 0,
     .found = {12.52973432, -7.242042247, 63.46963975},
     .sum = 0.0005304846324,
     .residual = {0.0036264257, -0.011749391, 0.0079576882, 0.0047471978, -0.0073784154, 0.0095793766, -0.0043774357,
                  -0.0092508958, 0.005960116, 0.0022542161, -0.0013688828},
     .s0 = 0.0081431308,
     .error = {0.19686827, 0.054679868, 0.20100409}},
};

static void near_list(const char *id, const double *got, const double *want, int count, double tolerance)
{
    for (int i = 0; i < count; i++)
        assert_near(id, got[i], want[i], tolerance, "of the points' unit");
}

static void circles(void **state)
{
    (void)state;
    for (size_t k = 0; k < sizeof sets / sizeof sets[0]; k++) {
        const published *p = &sets[k];
        snub_arena arena;
        snub_circle_fit fit;
        snub_error error;
        snub_arena_init(&arena, 0);
        assert_int_equal(snub_circle_through(p->at, p->count, NAN, &arena, &fit, &error), SNUB_OK);
        const double got[] = {fit.at[0], fit.at[1], fit.radius},
                     errors[] = {fit.error[0], fit.error[1], fit.radius_error};
        assert_int_equal(fit.used, p->count);
        near_list(p->id, got, p->found, 3, 2e-8 * fmax(1.0, p->found[2]));
        if (!isnan(p->printed[0]))
            near_list(p->id, got, p->printed, 3, p->digits);
        assert_near(p->id, fit.sum, p->sum, 1e-9 * fmax(1.0, p->sum), "of its square");
        for (int i = 0; i < p->count; i++)
            assert_near(p->id, fit.point[i].residual, p->residual[i], 2e-8 * fmax(1.0, p->found[2]),
                        "of the points' unit");
        if (!isnan(p->s0)) {
            assert_near(p->id, fit.scatter, p->s0, 1e-7 * p->s0, "of the points' unit");
            near_list(p->id, errors, p->error, 3, 1e-6 * p->error[2]);
        } else {
            assert_true(isnan(fit.scatter) && isnan(fit.error[0]) && isnan(fit.within));
        }
        snub_arena_free(&arena);
    }
}

/* Printed by the paper, and by the cookbook. */
static void sums(void **state)
{
    static const struct {
        double sum, digits;
    } printed[] = {{1.2276, 0.5e-4}, {7.711852, 0.5e-6}, {4.042522, 0.5e-6}};
    (void)state;
    for (size_t k = 0; k < sizeof printed / sizeof printed[0]; k++) {
        snub_arena arena;
        snub_circle_fit fit;
        snub_arena_init(&arena, 0);
        assert_int_equal(snub_circle_through(sets[k].at, sets[k].count, NAN, &arena, &fit, NULL), SNUB_OK);
        assert_near(sets[k].id, fit.sum, printed[k].sum, printed[k].digits, "of the points' unit, squared");
        snub_arena_free(&arena);
    }
}

/* Six points on 45 deg that scatter by 1.2 of 27: s_r = 9.23 and three degrees of freedom, whose 95 % is 3.182: 29.4 is
 * over the radius, so a straight line cannot be excluded. Eleven on 30 deg that scatter by 0.008 of 63 are a circle. */
static void straight(void **state)
{
    (void)state;
    const struct {
        int set;
        bool straight;
    } cases[] = {{0, false}, {1, false}, {2, true}, {5, false}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const published *p = &sets[cases[i].set];
        snub_arena arena;
        snub_circle_fit fit;
        snub_arena_init(&arena, 0);
        assert_int_equal(snub_circle_through(p->at, p->count, NAN, &arena, &fit, NULL), SNUB_OK);
        assert_int_equal(fit.straight, cases[i].straight);
        snub_arena_free(&arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(circles), cmocka_unit_test(sums), cmocka_unit_test(straight)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Scrambled Sobol points are still a net, and means over them scatter as they must. */
#include "snub/sobol.h"
#include "support/near.h"

enum { SEEDS = 64 };

/* Every elementary interval 2^-a x 2^-b of the first two dimensions, a + b = m, holds exactly one of 2^m points,
 * wherever the block of points begins: t = 0 there (dimensions 1 and 2 have polynomials of degree 0 and 1). */
static void pairs_stay_a_net(void **state)
{
    (void)state;
    enum { M = 10, N = 1 << M };
    for (int scrambled = 0; scrambled <= 1; scrambled++)
        for (uint64_t block = 0; block < 5; block += 2)
            for (int a = 0; a <= M; a++) {
                static int within[N];
                for (int i = 0; i < N; i++)
                    within[i] = 0;
                for (uint64_t i = 0; i < N; i++) {
                    double x[2];
                    snub_sobol_point(2, 11, scrambled, block * N + i, x);
                    within[((int)(x[0] * (1 << a)) << (M - a)) + (int)(x[1] * (1 << (M - a)))]++;
                }
                for (int i = 0; i < N; i++)
                    assert_int_equal(within[i], 1);
            }
}

/* Of every dimension, each of 2^m equal intervals holds one of 2^m points. */
static void each_dimension_is_a_net(void **state)
{
    (void)state;
    enum { N = 256 };
    static unsigned char within[SNUB_SOBOL_DIMENSIONS_MOST][N];
    static double x[SNUB_SOBOL_DIMENSIONS_MOST];
    for (uint64_t i = 0; i < N; i++) {
        snub_sobol_point(SNUB_SOBOL_DIMENSIONS_MOST, 5, true, 3 * N + i, x);
        for (int k = 0; k < SNUB_SOBOL_DIMENSIONS_MOST; k++) {
            assert_true(x[k] > 0 && x[k] < 1);
            assert_true(x[k] * 0x1p52 - floor(x[k] * 0x1p52) == 0.5); /* the middle of its step: never 0 or 1 */
            within[k][(int)(x[k] * N)]++;
        }
    }
    for (int k = 0; k < SNUB_SOBOL_DIMENSIONS_MOST; k++)
        for (int i = 0; i < N; i++)
            assert_int_equal(within[k][i], 1);
}

/* A tree of flips keeps what two points share: points whose first k digits agree before have k digits that agree after,
 * and not k + 1 if they had not. In dimension 1 the point i has its digits from the bits of i, the lowest first. */
static void scrambling_is_nested(void **state)
{
    (void)state;
    enum { N = 512 };
    static uint64_t plain[N], mixed[N];
    for (uint64_t i = 0; i < N; i++) {
        double x[3];
        snub_sobol_point(3, 0, false, i, x);
        plain[i] = (uint64_t)(x[2] * 0x1p53);
        snub_sobol_point(3, 77, true, i, x);
        mixed[i] = (uint64_t)(x[2] * 0x1p53);
    }
    for (int i = 0; i < N; i++)
        for (int j = 0; j < i; j++)
            for (int digit = 0; digit < 12; digit++)
                assert_int_equal(plain[i] >> (52 - digit) == plain[j] >> (52 - digit),
                                 mixed[i] >> (52 - digit) == mixed[j] >> (52 - digit));
    /* and every place of the tree is flipped by itself: half of them, and neighbours not alike */
    int flipped = 0, alike = 0;
    for (uint64_t i = 0; i < N; i++) {
        const uint64_t flip = (plain[i] ^ mixed[i]) >> 43 & 1;
        flipped += (int)flip;
        alike += flip == ((plain[i ^ 1] ^ mixed[i ^ 1]) >> 43 & 1);
    }
    assert_near("flipped", flipped, N / 2, 4 * sqrt(N) / 2, "places");
    assert_near("alike", alike, N / 2, 4 * sqrt(2 * N) / 2, "places");
}

/* Of one seed the point is uniform over seeds, and no two dimensions or seeds hang together. */
static void seeds_and_dimensions_are_independent(void **state)
{
    (void)state;
    enum { N = 20000 };
    double sum = 0, squares = 0, dimensions = 0, seeds = 0, before = 0.5;
    for (uint64_t seed = 0; seed < N; seed++) {
        double x[2];
        snub_sobol_point(2, seed, true, 0, x);
        sum += x[0] - 0.5;
        squares += (x[0] - 0.5) * (x[0] - 0.5);
        dimensions += (x[0] - 0.5) * (x[1] - 0.5);
        seeds += (x[0] - 0.5) * (before - 0.5);
        before = x[0];
    }
    assert_near("mean", sum / N, 0, 4 / sqrt(12.0 * N), "");
    assert_near("variance", squares / N, 1.0 / 12, 4 / sqrt(180.0 * N), "");
    assert_near("dimensions", dimensions / N, 0, 4 / (12 * sqrt(N)), "");
    assert_near("seeds", seeds / N, 0, 4 / (12 * sqrt(N)), "");
}

typedef double (*function)(const double *x);

static double smooth(const double *x)
{
    return x[0] * exp(-x[1]) + cos(x[0] + 2 * x[2]);
}

static double cut(const double *x)
{
    return x[0] + x[1] + x[2] > 1.7 ? 1 : 0;
}

static double variance(function f, int n)
{
    double sum = 0, squares = 0;
    for (uint64_t seed = 0; seed < SEEDS; seed++) {
        double mean = 0, x[3];
        for (int i = 0; i < n; i++) {
            snub_sobol_point(3, 1000 + seed, true, (uint64_t)i, x);
            mean += f(x) / n;
        }
        sum += mean;
        squares += mean * mean;
    }
    return (squares - sum * sum / SEEDS) / (SEEDS - 1);
}

/* Owen 1997: n^-3 (log n)^2 for a smooth function of three; independent points have n^-1. A share is not smooth: better
 * than n^-1 all the same. */
static void means_scatter_as_they_must(void **state)
{
    (void)state;
    const double few = variance(smooth, 32), many = variance(smooth, 1024);
    const double slope = log(many / few) / log(32.0);
    assert_near("slope", slope, -3 + 2 * log(log(1024) / log(32)) / log(32.0), 0.35, "");
    const double share = log(variance(cut, 1024) / variance(cut, 32)) / log(32.0);
    assert_true(share < -1.15);
}

/* Nothing but the arguments counts: points are asked for in any order. */
static void any_point_by_its_index(void **state)
{
    (void)state;
    double forth[64][9], back[9];
    for (uint64_t i = 0; i < 64; i++)
        snub_sobol_point(9, 42, true, (i << 33) + i, forth[i]);
    for (uint64_t i = 64; i-- > 0;) {
        snub_sobol_point(9, 42, true, (i << 33) + i, back);
        assert_memory_equal(back, forth[i], sizeof back);
    }
    snub_sobol_point(3, 42, true, (UINT64_C(7) << 33) + 7, back); /* nor how many dimensions follow */
    assert_memory_equal(back, forth[7], 3 * sizeof back[0]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pairs_stay_a_net),           cmocka_unit_test(each_dimension_is_a_net),
        cmocka_unit_test(scrambling_is_nested),       cmocka_unit_test(seeds_and_dimensions_are_independent),
        cmocka_unit_test(means_scatter_as_they_must), cmocka_unit_test(any_point_by_its_index),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

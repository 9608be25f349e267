/* What holds of every scatter: value and share are each other's inverse, moments are integrals of the value over the
 * chance, mirror images, and a sample's own figures. */
#include "snub/scatter.h"
#include "support/near.h"

static const double readings[] = {1.0, 1.5, 1.5, 2.0, 4.0};
static const snub_scatter every[] = {
    {.kind = SNUB_NORMAL, .centre = 0.08, .sigma = 3e-5, .low = -INFINITY, .high = INFINITY},
    {.kind = SNUB_NORMAL, .centre = 0.08, .sigma = 3e-5, .low = 0.0799, .high = INFINITY},
    {.kind = SNUB_NORMAL, .centre = 0.0, .sigma = 1.0, .low = 4.0, .high = 6.0},
    {.kind = SNUB_NORMAL, .centre = 0.0, .sigma = 1.0, .low = -6.0, .high = -4.0},
    {.kind = SNUB_UNIFORM, .low = -2.0, .high = 5.0},
    {.kind = SNUB_TRIANGULAR, .centre = 2.0, .low = 2.0, .high = 5.0},
    {.kind = SNUB_TRIANGULAR, .centre = 5.0, .low = 2.0, .high = 5.0},
    {.kind = SNUB_SKEWED, .centre = 3.0, .sigma = 0.5, .alpha = 4.0, .low = -INFINITY, .high = INFINITY},
    {.kind = SNUB_SKEWED, .centre = 3.0, .sigma = 0.5, .alpha = -40.0, .low = 2.0, .high = 3.01},
    {.kind = SNUB_SKEWED, .centre = 3.0, .sigma = 0.5, .alpha = 0.0, .low = -INFINITY, .high = 3.5},
    {.kind = SNUB_SAMPLED, .count = 5, .sample = readings},
};
enum { EVERY = (int)(sizeof every / sizeof every[0]) };

static void there_and_back(void **state)
{
    (void)state;
    static const double chances[] = {1e-9, 1e-6, 0.001, 0.2, 0.5, 0.7, 0.999};
    for (int i = 0; i < EVERY - 1; i++) { /* a sample's ends are met with a chance */
        for (size_t j = 0; j < sizeof chances / sizeof chances[0]; j++) {
            /* what a value is rounded to is worth more than the chance's digits where it is near an end */
            const double value = snub_scatter_value(&every[i], chances[j]), round = 1e-15 * fabs(value);
            const double under = snub_scatter_chance(&every[i], value - round),
                         over = snub_scatter_chance(&every[i], value + round);
            assert_near("share", fmin(fmax(chances[j], under), over), chances[j], 1e-10 * chances[j], "");
            assert_true(over - under <= 1e-4 * chances[j]);
        }
    }
}

/* Sums over equal chances, against which the integrals are good to what the last of the tail holds. */
static void moments(void **state)
{
    (void)state;
    enum { CHANCES = 20000 };
    for (int i = 0; i < EVERY; i++) {
        double mean, variance, sum = 0.0, square = 0.0;
        snub_scatter_moments(&every[i], &mean, &variance);
        for (int k = 0; k < CHANCES; k++) {
            const double x = snub_scatter_value(&every[i], (k + 0.5) / CHANCES) - mean;
            sum += x;
            square += x * x;
        }
        const double sigma = sqrt(variance);
        assert_near("mean, in sigma", sum / CHANCES / sigma, 0.0, 2e-5, "");
        assert_near("variance, of it", square / CHANCES / variance, 1.0, 5e-4, "");
    }
}

static void mirrored(void **state)
{
    (void)state;
    const snub_scatter s = {.kind = SNUB_SKEWED, .centre = 1.0, .sigma = 2.0, .alpha = 3.0, .low = 0.5, .high = 6.0},
                       m = {
                           .kind = SNUB_SKEWED, .centre = -1.0, .sigma = 2.0, .alpha = -3.0, .low = -6.0, .high = -0.5};
    static const double chances[] = {0.001, 0.25, 0.5, 0.875};
    for (int i = 0; i < 4; i++)
        assert_near("mirror image", snub_scatter_value(&s, chances[i]), -snub_scatter_value(&m, 1.0 - chances[i]),
                    1e-12, "");
    /* without skew it is the normal one */
    const snub_scatter plain = {.kind = SNUB_SKEWED, .sigma = 1.0, .low = -INFINITY, .high = INFINITY},
                       normal = {.kind = SNUB_NORMAL, .sigma = 1.0, .low = -INFINITY, .high = INFINITY};
    assert_near("no skew", snub_scatter_value(&plain, 1e-9), snub_scatter_value(&normal, 1e-9), 1e-12, "");
    assert_near("no skew", snub_scatter_chance(&plain, -8.0) / snub_scatter_chance(&normal, -8.0), 1.0, 1e-12, "");
}

static void ends(void **state)
{
    (void)state;
    for (int i = 0; i < EVERY - 1; i++) {
        if (isfinite(every[i].low))
            assert_true(snub_scatter_chance(&every[i], every[i].low) == 0.0);
        if (isfinite(every[i].high))
            assert_true(snub_scatter_chance(&every[i], every[i].high) == 1.0);
        assert_true(snub_scatter_value(&every[i], 1e-16) >= every[i].low);
        assert_true(snub_scatter_value(&every[i], 1.0 - 1e-16) <= every[i].high);
    }
}

static void sample(void **state)
{
    (void)state;
    const snub_scatter s = {.kind = SNUB_SAMPLED, .count = 5, .sample = readings};
    double mean, variance;
    assert_near("under the first position", snub_scatter_value(&s, 0.05), 1.0, 0.0, "");
    assert_near("at a position", snub_scatter_value(&s, 0.7), 2.0, 1e-12, "");
    assert_near("between", snub_scatter_value(&s, 0.8), 3.0, 1e-12, "");
    assert_near("over the last", snub_scatter_value(&s, 0.95), 4.0, 0.0, "");
    assert_near("share of a value met twice", snub_scatter_chance(&s, 1.5), 0.5, 1e-12, "");
    assert_near("share between", snub_scatter_chance(&s, 3.0), 0.8, 1e-12, "");
    assert_near("share under all", snub_scatter_chance(&s, 0.9), 0.0, 0.0, "");
    snub_scatter_moments(&s, &mean, &variance);
    assert_near("mean of the readings", mean, 2.0, 1e-12, "");
    const snub_scatter one = {.kind = SNUB_SAMPLED, .count = 1, .sample = readings};
    assert_near("one reading", snub_scatter_value(&one, 0.3), 1.0, 0.0, "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(there_and_back), cmocka_unit_test(moments),
                                       cmocka_unit_test(mirrored), cmocka_unit_test(ends), cmocka_unit_test(sample)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Quantiles, classes and limits of numbers that are known. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "snub/kit_histogram.h"
#include "support/near.h"

enum { MOST = 27000 };

typedef struct study {
    snub_pulley arm;
    snub_drive drive;
    snub_build build;
    snub_tolerated tolerated;
} study;

static snub_kit kits[MOST];

/* Kits whose grip is 1, 2, ... count, in another order than by size; none has a gap. `step` has no divisor in common
 * with `count`. */
static void make(study *s, int count, int step)
{
    *s = (study){.arm = {.arm = {.work = {0.2, 0.5}}}};
    s->drive = (snub_drive){.pulley_count = 1, .pulleys = &s->arm, .arm = 0};
    s->drive.limits[SNUB_LIMIT_GRIP_DESIGN] = 20.0;
    s->drive.limits[SNUB_LIMIT_CLEARANCE] = 0.006;
    s->build.drive = &s->drive;
    s->tolerated = (snub_tolerated){.build = &s->build, .kit_count = count, .kits = kits};
    for (int i = 0; i < count; i++) {
        kits[i] = (snub_kit){0};
        kits[i].of[SNUB_FOLLOWED_GRIP] = 1 + (int)((int64_t)i * step % count);
        kits[i].of[SNUB_FOLLOWED_WIND_STOPPED] = 0.1 * i;
        kits[i].of[SNUB_FOLLOWED_GAP] = NAN;
        kits[i].of[SNUB_FOLLOWED_BOOST] = 50e3;
    }
}

static snub_kit_histogram of(const study *s, snub_followed followed)
{
    snub_kit_histogram h;
    assert_int_equal(snub_kit_histogram_of(&s->tolerated, followed, &h), SNUB_OK);
    int all = 0;
    for (int k = 0; k < h.class_count; k++)
        all += h.kits[k];
    assert_true(all == h.count - h.endless);
    return h;
}

/* Kit i of n stands at (i - 1/2) / n: the quantile of p is n p + 1/2. */
static void quantiles(void **state)
{
    study s;
    (void)state;
    make(&s, 1000, 7);
    const snub_kit_histogram all = of(&s, SNUB_FOLLOWED_GRIP);
    for (int q = 0; q < SNUB_QUANTILES; q++)
        assert_near("of 1000", all.quantile[q], 1000 * snub_quantile_chance[q] + 0.5, 1e-9, "");
    make(&s, 999, 7);
    const snub_kit_histogram few = of(&s, SNUB_FOLLOWED_GRIP);
    assert_true(isnan(few.quantile[0]) && isnan(few.quantile[8]));
    assert_near("1 % of 999", few.quantile[1], 10.49, 1e-9, "");
    make(&s, 20, 7);
    const snub_kit_histogram fewest = of(&s, SNUB_FOLLOWED_GRIP);
    assert_true(isnan(fewest.quantile[1]) && isnan(fewest.quantile[7]));
    assert_near("5 % of 20", fewest.quantile[2], 1.5, 1e-9, "");
    assert_near("95 % of 20", fewest.quantile[6], 19.5, 1e-9, "");
}

static void classes(void **state)
{
    static const int cases[][2] = {{1, 1}, {2, 3}, {8, 4}, {27, 6}, {28, 7}, {1000, 20}, {8000, 40}, {27000, 40}};
    study s;
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        make(&s, cases[i][0], 1);
        const snub_kit_histogram h = of(&s, SNUB_FOLLOWED_GRIP);
        assert_int_equal(h.class_count, cases[i][1]);
        assert_near("first edge", h.from, 1.0, 1e-12, "");
        assert_near("last edge", h.from + h.class_count * h.width, cases[i][0], 1e-9, "");
    }
    make(&s, 8, 3); /* 1 to 8 in four classes of 1.75: 1 2, 3 4, 5 6, 7 8 */
    const snub_kit_histogram h = of(&s, SNUB_FOLLOWED_GRIP);
    for (int k = 0; k < 4; k++)
        assert_int_equal(h.kits[k], 2);
    const snub_kit_histogram same = of(&s, SNUB_FOLLOWED_BOOST);
    assert_int_equal(same.class_count, 1);
    assert_int_equal(same.kits[0], 8);
    assert_near("no width", same.width, 0.0, 0.0, "");
    const snub_kit_histogram none = of(&s, SNUB_FOLLOWED_GAP);
    assert_int_equal(none.count, 0);
    assert_int_equal(none.class_count, 0);
    assert_true(isnan(none.quantile[4]));
}

/* Slack kits: beyond the limit, behind every other, in no class. */
static void endless(void **state)
{
    study s;
    (void)state;
    for (int slack = 1; slack <= 20; slack += 19) {
        make(&s, 20, 7);
        for (int i = 0; i < slack; i++)
            kits[i].of[SNUB_FOLLOWED_GRIP] = INFINITY;
        const snub_kit_histogram h = of(&s, SNUB_FOLLOWED_GRIP);
        assert_int_equal(h.count, 20);
        assert_true(h.endless == slack);
        assert_true(h.above == slack);
        assert_true((h.class_count > 0) == (slack < 20));
    }
    make(&s, 20, 7);
    kits[0].of[SNUB_FOLLOWED_GRIP] = INFINITY; /* it was 1: 2 to 20 are left */
    const snub_kit_histogram h = of(&s, SNUB_FOLLOWED_GRIP);
    assert_int_equal(h.class_count, 6);
    assert_near("first edge", h.from, 2.0, 1e-12, "");
    assert_near("last edge", h.from + h.class_count * h.width, 20.0, 1e-9, "");
    assert_near("5 % of 20", h.quantile[2], 2.5, 1e-9, "");
    assert_true(!isfinite(h.quantile[6]));
}

static void limits(void **state)
{
    study s;
    (void)state;
    make(&s, 27, 2);
    const snub_kit_histogram grip = of(&s, SNUB_FOLLOWED_GRIP), arm = of(&s, SNUB_FOLLOWED_WIND_STOPPED);
    assert_true(isnan(grip.low_limit) && grip.high_limit == 20.0);
    assert_int_equal(grip.below, 0);
    assert_int_equal(grip.above, 7); /* 20 itself is within */
    assert_true(arm.low_limit == 0.2 && arm.high_limit == 0.5);
    assert_int_equal(arm.below, 2); /* 0, 0.1 */
    assert_int_equal(arm.above, 21);
    for (int i = 0; i < 27; i++)
        kits[i].of[SNUB_FOLLOWED_GAP] = 0.001 * i;
    const snub_kit_histogram gap = of(&s, SNUB_FOLLOWED_GAP), boost = of(&s, SNUB_FOLLOWED_BOOST);
    assert_true(gap.low_limit == 0.006 && isnan(gap.high_limit));
    assert_int_equal(gap.below, 6);
    assert_true(isnan(boost.low_limit) && isnan(boost.high_limit));
    s.drive.arm = -1;
    const snub_kit_histogram armless = of(&s, SNUB_FOLLOWED_WIND_REDLINE);
    assert_true(isnan(armless.low_limit) && isnan(armless.high_limit));
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(quantiles), cmocka_unit_test(endless),
                                       cmocka_unit_test(classes), cmocka_unit_test(limits)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

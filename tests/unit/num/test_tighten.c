/* Kits weighed again for another width, against a stack of two parts whose share is known, and against kits drawn anew.
 */
#include <stdlib.h>

#include "snub/shares.h"
#include "snub/sobol.h"
#include "snub/tighten.h"
#include "support/near.h"

enum { KITS = 1 << 15, VALUES_MOST = 3 };

typedef struct drawn {
    snub_counted_kits kits;
    double *value;
    bool *fails;
    double slope[VALUES_MOST], low, high; /* a kit fails where the sum of slope x value is outside */
} drawn;

static const double forever = INFINITY;

static snub_held normal(double mean, double sigma, double cost)
{
    return (snub_held){{SNUB_NORMAL, mean, sigma, 0, -forever, forever, 0, NULL}, mean, cost, true};
}

/* Kits with value `wide` times `factor` as wide about its middle. */
static double draw(drawn *d, int wide, double factor, uint64_t seed)
{
    int64_t failing = 0;
    for (int64_t i = 0; i < d->kits.count; i++) {
        double u[VALUES_MOST], sum = 0;
        snub_sobol_point(d->kits.values, seed, true, (uint64_t)i, u);
        for (int k = 0; k < d->kits.values; k++) {
            const snub_held *h = &d->kits.held[k];
            double x = snub_scatter_value(&h->scatter, u[k]);
            if (k == wide)
                x = h->middle + factor * (x - h->middle);
            d->value[i * d->kits.values + k] = x;
            sum += d->slope[k] * x;
        }
        d->fails[i] = sum < d->low || sum > d->high;
        failing += d->fails[i];
    }
    return (double)failing / (double)d->kits.count;
}

static void begin(drawn *d, int values, const snub_held *held)
{
    d->value = malloc(sizeof *d->value * KITS * (size_t)values);
    d->fails = malloc(sizeof *d->fails * KITS);
    assert_non_null(d->value);
    assert_non_null(d->fails);
    d->kits = (snub_counted_kits){values, held, KITS, d->value, d->fails};
}

static void end(drawn *d)
{
    free(d->value);
    free(d->fails);
}

static double out_of(double mean, double sd, double low, double high)
{
    const snub_capability c = snub_capability_of(mean, sd, low, high, NAN);
    return c.below + c.above;
}

/* w = a - 2 b, a of 10 +- 0.1, b of 4 +- 0.08 (three standard deviations); w from 1.91 to 2.14. */
static const double sa = 0.1 / 3, sb = 0.08 / 3;

static double known(double ka, double kb)
{
    return out_of(2, hypot(ka * sa, 2 * kb * sb), 1.91, 2.14);
}

static void a_stack_of_two_parts(void **state)
{
    (void)state;
    const snub_held held[] = {normal(10, sa, 3), normal(4, sb, 5)};
    drawn d = {.slope = {1, -2}, .low = 1.91, .high = 2.14};
    begin(&d, 2, held);
    draw(&d, -1, 1, 1);
    snub_width w[2];
    const snub_width_plan plan = snub_width_plan_of(&d.kits, w);
    /* points of a net: a quarter of the scatter of independent kits, of which an error is one standard deviation */
    assert_near("now", plan.share, known(1, 1), 0.0004, "");
    assert_near("a halved", w[0].half.share, known(0.5, 1), 0.5 * w[0].half.error, "");
    assert_near("b halved", w[1].half.share, known(1, 0.5), 0.5 * w[1].half.error, "");
    assert_near("a wider", w[0].wider.share, known(w[0].wider.factor, 1), w[0].wider.error, "");
    assert_near("b wider", w[1].wider.share, known(1, w[1].wider.factor), w[1].wider.error, "");
    /* d share / d log ka = d share / d sd x sa^2/sd, by the closed form's own difference */
    const double h = 1e-5;
    const double slope[] = {(known(1 + h, 1) - known(1 - h, 1)) / (2 * h),
                            (known(1, 1 + h) - known(1, 1 - h)) / (2 * h)};
    for (int i = 0; i < 2; i++) {
        const double cost = held[i].cost;
        assert_near("change", w[i].half.change, w[i].half.share - plan.share, 1e-15, "");
        /* the difference over a tenth of the width leaves the curve by about a tenth */
        assert_near("slope", w[i].slope, slope[i], 0.12 * slope[i] + w[i].slope_error, "");
        assert_near("per cost", w[i].per_cost, w[i].slope / cost, 1e-15, "");
        assert_near("cost of half", w[i].half.cost, cost, 1e-15, "");
        assert_near("cost of twice", w[i].twice.cost, -cost / 2, 1e-15, "");
        assert_true(w[i].half.trusted && w[i].half.effective > 1000 && w[i].half.effective < KITS);
        assert_true(w[i].wider.trusted && w[i].wider.factor > 1.2 && w[i].wider.factor < 2);
        assert_true(!snub_width_changed(&d.kits, i, w[i].wider.factor + 0.05).trusted);
    }
    /* b's half is worth more than a's for its money; a's widening costs less */
    assert_true((known(1, 1) - known(1, 0.5)) / 5 > (known(1, 1) - known(0.5, 1)) / 3);
    assert_int_equal(plan.tighten, 1);
    assert_int_equal(plan.loosen, 0);
    end(&d);
}

/* What is cheaper changes the plan, and what has no cost is no part of it. */
static void money_decides(void **state)
{
    (void)state;
    static const struct {
        double a, b;
        int tighten, loosen;
    } row[] = {{3, 5, 1, 0}, {0.5, 5, 0, 1}, {3, NAN, 0, 0}, {NAN, 5, 1, 1}, {NAN, NAN, -1, -1}};
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        const snub_held held[] = {normal(10, sa, row[i].a), normal(4, sb, row[i].b)};
        drawn d = {.slope = {1, -2}, .low = 1.91, .high = 2.14};
        begin(&d, 2, held);
        draw(&d, -1, 1, 1);
        snub_width w[2];
        const snub_width_plan plan = snub_width_plan_of(&d.kits, w);
        assert_int_equal(plan.tighten, row[i].tighten);
        assert_int_equal(plan.loosen, row[i].loosen);
        assert_true(isnan(w[0].per_cost) == isnan(row[i].a) && isnan(w[1].half.cost) == isnan(row[i].b));
        assert_true(w[0].half.trusted && w[1].half.trusted); /* the shares hang on no money */
        end(&d);
    }
}

/* Every kind, narrower and wider, with a middle that is not the centre: as kits drawn anew have it. */
static void as_kits_drawn_anew(void **state)
{
    (void)state;
    enum { FEWER = KITS / 8 };
    static const snub_scatter kinds[] = {
        {SNUB_NORMAL, 0.1, 1, 0, -2, 2.5, 0, NULL},
        {SNUB_UNIFORM, 0, 0, 0, -1.5, 1.8, 0, NULL},
        {SNUB_TRIANGULAR, -1.2, 0, 0, -2, 1.6, 0, NULL},
        {SNUB_TRIANGULAR, 1.6, 0, 0, -2, 1.6, 0, NULL},
        {SNUB_SKEWED, -0.5, 1.2, 3, -forever, forever, 0, NULL},
        {SNUB_SKEWED, 0.5, 1.2, -2, -1.9, 1.4, 0, NULL},
    };
    static const double factors[] = {0.4, 0.5, 0.8, 1.0, 1.05};
    for (size_t k = 0; k < sizeof kinds / sizeof kinds[0]; k++) {
        const snub_held held[] = {{kinds[k], 0.2, NAN, true}, normal(0, 0.5, NAN), normal(0, 0.3, NAN)};
        drawn old = {.slope = {1, 1, -1}, .low = -1.4, .high = 1.5}, new = old;
        begin(&old, 3, held);
        begin(&new, 3, held);
        old.kits.count = new.kits.count = FEWER; /* quantiles of a skewed scatter take long */
        draw(&old, -1, 1, 8);
        for (size_t f = 0; f < sizeof factors / sizeof factors[0]; f++) {
            const double anew = draw(&new, 0, factors[f], 9);
            const snub_width_change c = snub_width_changed(&old.kits, 0, factors[f]);
            /* two shares of nets, and up to what is missing */
            const double off = c.error + sqrt(anew * (1 - anew) / FEWER) + c.missing;
            assert_near("share", c.share, anew, 0.8 * off, "");
            if (factors[f] == 1)
                assert_near("as it is", c.change, 0, 1e-14, "");
        }
        end(&old);
        end(&new);
    }
}

/* The error is the scatter of predictions from independent kits. */
static void the_error_is_the_scatter(void **state)
{
    (void)state;
    enum { RUNS = 200, FEW = 1024 };
    const snub_held held[] = {normal(10, sa, 3), normal(4, sb, 5)};
    drawn d = {.low = 1.91, .high = 2.14};
    begin(&d, 2, held);
    static double change[RUNS];
    double error = 0;
    uint64_t next = 0;
    d.kits.count = FEW;
    for (int run = 0; run < RUNS; run++) {
        for (int i = 0; i < FEW; i++) { /* independent: each kit a seed of its own */
            double u[2];
            snub_sobol_point(2, next++, true, 0, u);
            const double a = snub_scatter_value(&held[0].scatter, u[0]), b = snub_scatter_value(&held[1].scatter, u[1]);
            d.value[2 * i] = a;
            d.value[2 * i + 1] = b;
            d.fails[i] = a - 2 * b < d.low || a - 2 * b > d.high;
        }
        const snub_width_change c = snub_width_changed(&d.kits, 1, 0.5);
        change[run] = c.change;
        error += c.error / RUNS;
    }
    const snub_estimate e = snub_estimate_of_runs(RUNS, change, 0.95);
    assert_near("error", error, e.error * sqrt(RUNS), 0.15 * e.error * sqrt(RUNS), "");
    assert_near("change", e.value, known(1, 0.5) - known(1, 1), 4 * e.error, "");
    end(&d);
}

static void what_is_beyond_the_kits_is_not_trusted(void **state)
{
    (void)state;
    /* a uniform width doubled: half of the new kits lie where no kit was */
    const snub_held held[] = {{{SNUB_UNIFORM, 0, 0, 0, -1, 1, 0, NULL}, 0, 1, true}, normal(0, 0.1, 1)};
    drawn d = {.slope = {1, 1}, .low = -0.9, .high = 0.9};
    begin(&d, 2, held);
    draw(&d, -1, 1, 4);
    snub_width_change c = snub_width_changed(&d.kits, 0, 2);
    assert_near("missing", c.missing, 0.5, 1e-4, "");
    assert_near("a quarter of it fails already", c.share, 0.1, 0.01, "");
    assert_true(!c.trusted);
    /* a normal one: what 2 x lies beyond of the farthest kits; the weights are few */
    c = snub_width_changed(&d.kits, 1, 2);
    double farthest = 0;
    for (int i = 0; i < KITS; i++)
        farthest = fmax(farthest, fabs(d.value[2 * i + 1]));
    assert_near("missing", c.missing, erfc(farthest / 0.2 / sqrt(2)), 0.01, "");
    assert_true(c.missing > 0.01 && !c.trusted);
    /* many kits of uneven weights: a few of them decide, though little is missing */
    const snub_held stack[] = {normal(10, sa, 3), normal(4, sb, 5)};
    drawn uneven = {.slope = {1, -2}, .low = 1.91, .high = 2.14};
    begin(&uneven, 2, stack);
    draw(&uneven, -1, 1, 1);
    const snub_width_change far = snub_width_changed(&uneven.kits, 0, 1.8);
    assert_true(far.missing <= far.error && far.effective > 1000 && far.effective < 0.1 * KITS && !far.trusted);
    end(&uneven);
    /* few kits are not trusted, however even */
    d.kits.count = 150;
    assert_true(snub_width_changed(&d.kits, 1, 1).trusted);
    d.kits.count = 99;
    c = snub_width_changed(&d.kits, 1, 1);
    assert_near("effective", c.effective, 99, 1e-9, "");
    assert_true(!c.trusted);
    end(&d);
}

static void nothing_is_predicted_without_a_density(void **state)
{
    (void)state;
    static const double sample[] = {-1, 0, 0.5, 1};
    const snub_held held[] = {{{SNUB_SAMPLED, 0, 0, 0, 0, 0, 4, sample}, 0, 1, true}, normal(0, 0.1, 1)};
    snub_held shared[2] = {normal(0, 0.3, 1), normal(0, 0.1, 1)};
    shared[0].alone = false;
    drawn d = {.slope = {1, 1}, .low = -0.4, .high = 0.4};
    begin(&d, 2, held);
    draw(&d, -1, 1, 4);
    for (int i = 0; i < 2; i++) {
        snub_width w[2];
        d.kits.held = i == 0 ? held : shared;
        const snub_width_plan plan = snub_width_plan_of(&d.kits, w);
        const snub_width_change none[] = {w[0].half, w[0].twice, w[0].wider};
        for (int k = 0; k < 3; k++)
            assert_true(isnan(none[k].share) && isnan(none[k].change) && isnan(none[k].error) && !none[k].trusted);
        assert_true(isnan(w[0].slope) && isnan(w[0].per_cost) && isnan(w[0].wider.factor));
        assert_true(plan.tighten != 0 && plan.loosen != 0);
        assert_true(w[1].half.trusted);
    }
    end(&d);
}

/* Nothing fails: nothing is worth its money, and the cheapest risk is the one that saves most. */
static void no_kit_fails(void **state)
{
    (void)state;
    const snub_held held[] = {normal(10, sa, 3), normal(4, sb, 5)};
    drawn d = {.slope = {1, -2}, .low = 0, .high = 4};
    begin(&d, 2, held);
    draw(&d, -1, 1, 1);
    snub_width w[2];
    const snub_width_plan plan = snub_width_plan_of(&d.kits, w);
    assert_true(plan.share == 0 && w[0].half.change == 0 && w[0].half.error > 0);
    assert_int_equal(plan.tighten, -1);
    /* one kit in so many may hide beyond: where that is more, none is trusted */
    assert_true(w[0].wider.trusted || w[1].wider.trusted);
    assert_int_equal(plan.loosen, w[1].wider.trusted ? 1 : 0);
    end(&d);
}

/* What has no part in it is not tightened for a change that is chance, however cheap. */
static void chance_buys_nothing(void **state)
{
    (void)state;
    const snub_held held[] = {normal(10, sa, 3), normal(4, sb, 5), normal(0, 1, 1e-9)};
    drawn d = {.slope = {1, -2, 0}, .low = 1.91, .high = 2.14};
    begin(&d, 3, held);
    int lucky = 0;
    for (uint64_t seed = 1; seed <= 6; seed++) {
        snub_width w[3];
        draw(&d, -1, 1, seed);
        assert_int_equal(snub_width_plan_of(&d.kits, w).tighten, 1);
        lucky += w[2].half.change < 0;
    }
    assert_true(lucky > 0);
    /* 120 kits are 80 even ones of the half width: not enough, though the change is sure */
    snub_width w[3];
    d.kits.count = 120;
    d.low = 1.96;
    d.high = 2.04;
    draw(&d, -1, 1, 1);
    assert_int_equal(snub_width_plan_of(&d.kits, w).tighten, -1);
    assert_true(-w[1].half.change > 2 * w[1].half.error);
    end(&d);
}

/* What seems to bring least, but is known least for its money, is not the one to loosen. */
static void doubt_is_counted_against_loosening(void **state)
{
    (void)state;
    const snub_held held[] = {normal(0, 1, 1), normal(0, 0.1, 10), normal(0, 1, NAN)};
    drawn d = {.slope = {0, 1, 1}, .low = -1.7, .high = 1.7};
    begin(&d, 3, held);
    int lucky = 0;
    d.kits.count = 4096;
    for (uint64_t seed = 1; seed <= 10; seed++) {
        snub_width w[3];
        draw(&d, -1, 1, seed);
        const int loosen = snub_width_plan_of(&d.kits, w).loosen;
        if (w[0].per_cost < w[1].per_cost && w[0].wider.trusted && w[1].wider.trusted) {
            assert_int_equal(loosen, 1);
            lucky++;
        }
    }
    assert_true(lucky > 0);
    end(&d);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_stack_of_two_parts),
        cmocka_unit_test(money_decides),
        cmocka_unit_test(as_kits_drawn_anew),
        cmocka_unit_test(the_error_is_the_scatter),
        cmocka_unit_test(what_is_beyond_the_kits_is_not_trusted),
        cmocka_unit_test(nothing_is_predicted_without_a_density),
        cmocka_unit_test(no_kit_fails),
        cmocka_unit_test(chance_buys_nothing),
        cmocka_unit_test(doubt_is_counted_against_loosening),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

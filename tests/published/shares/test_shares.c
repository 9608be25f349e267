/* Intervals of a counted share, capability, sums of tolerances.
 * Clopper and Pearson, Wilson: digits of R's binom.confint as in the tests of statsmodels (published); R. G. Newcombe,
 * Statistics in Medicine 17 (1998) 857, table I (from memory, recomputed); the rest derived. Wilks: the classical 59
 * and 93 for 95/95. Capability: the classical table; shifts as on public tables of six sigma (3.4 ppm). Stack:
 * Shigley's Mechanical Engineering Design, 9th ed., Example 1-3. Sums of uniform values: the Irwin-Hall distribution,
 * exact. Beta: scipy.special.betainc 1.10. */
#include "snub/shares.h"
#include "snub/sobol.h"
#include "support/near.h"

#define EACH(row) (size_t i = 0; i < sizeof(row) / sizeof(row)[0]; i++)

static void beta(void **state)
{
    (void)state;
    static const struct {
        double x, a, b, under;
    } row[] = {{1e-06, 0.5, 0.5, 0.0006366198784709247},
               {0.001, 0.5, 0.5, 0.020135041633377496},
               {0.0121, 0.5, 0.5, 0.07017017299285981},
               {0.3, 0.5, 0.5, 0.3690101195655454},
               {0.5, 0.5, 0.5, 0.5000000000000001},
               {0.77, 0.5, 0.5, 0.6815757713680997},
               {0.999, 0.5, 0.5, 0.9798649583666225},
               {1e-06, 1.0, 1.0, 1e-06},
               {0.001, 1.0, 1.0, 0.001},
               {0.0121, 1.0, 1.0, 0.0121},
               {0.3, 1.0, 1.0, 0.3},
               {0.5, 1.0, 1.0, 0.5},
               {0.77, 1.0, 1.0, 0.77},
               {0.999, 1.0, 1.0, 0.999},
               {1e-06, 2.0, 3.0, 5.999992000003e-12},
               {0.001, 2.0, 3.0, 5.992003e-06},
               {0.0121, 2.0, 3.0, 0.0008643518196642999},
               {0.3, 2.0, 3.0, 0.3483},
               {0.5, 2.0, 3.0, 0.6875},
               {0.77, 2.0, 3.0, 0.95972723},
               {0.999, 2.0, 3.0, 0.999999996003},
               {1e-06, 0.5, 20.0, 0.00501479574438048},
               {0.001, 0.5, 20.0, 0.15758381398363847},
               {0.0121, 0.5, 20.0, 0.5119895060319244},
               {0.3, 0.5, 20.0, 0.9998262021603302},
               {0.5, 0.5, 20.0, 0.9999998346901906},
               {0.77, 0.5, 20.0, 0.9999999999999757},
               {0.999, 0.5, 20.0, 0.9999999999999999},
               {1e-06, 30.0, 4.0, 5.45598416001534e-177},
               {0.001, 30.0, 4.0, 5.440175340040005e-87},
               {0.0121, 30.0, 4.0, 1.603575048076023e-54},
               {0.3, 30.0, 4.0, 4.017203645638322e-13},
               {0.5, 30.0, 4.0, 7.005874067544939e-07},
               {0.77, 30.0, 4.0, 0.036516470061476826},
               {0.999, 30.0, 4.0, 0.9999999600183532},
               {1e-06, 1.0, 1000.0, 0.0009995006661265855},
               {0.001, 1.0, 1000.0, 0.632304575229665},
               {0.0121, 1.0, 1000.0, 0.9999948360095365},
               {0.3, 1.0, 1000.0, 0.9999999999999999},
               {0.5, 1.0, 1000.0, 0.9999999999999999},
               {0.77, 1.0, 1000.0, 0.9999999999999999},
               {0.999, 1.0, 1000.0, 0.9999999999999999},
               {1e-06, 300.0, 700.0, 0.0},
               {0.001, 300.0, 700.0, 0.0},
               {0.0121, 300.0, 700.0, 5.39853565e-316},
               {0.3, 300.0, 700.0, 0.503671182860812},
               {0.5, 300.0, 700.0, 0.9999999999999999},
               {0.77, 300.0, 700.0, 0.9999999999999999},
               {0.999, 300.0, 700.0, 0.9999999999999999},
               {1e-06, 5000.0, 5000.0, 0.0},
               {0.001, 5000.0, 5000.0, 0.0},
               {0.0121, 5000.0, 5000.0, 0.0},
               {0.3, 5000.0, 5000.0, 0.0},
               {0.5, 5000.0, 5000.0, 0.49999999999688577},
               {0.77, 5000.0, 5000.0, 0.9999999999999999},
               {0.999, 5000.0, 5000.0, 0.9999999999999999},
               {1e-06, 12.0, 99989.0, 1.902407342067375e-21},
               {0.001, 12.0, 99989.0, 0.9999999999999999},
               {0.0121, 12.0, 99989.0, 0.9999999999999999},
               {0.3, 12.0, 99989.0, 0.9999999999999999},
               {0.5, 12.0, 99989.0, 0.9999999999999999},
               {0.77, 12.0, 99989.0, 0.9999999999999999},
               {0.999, 12.0, 99989.0, 0.9999999999999999},
               {1e-06, 0.01, 3.0, 0.8840715744785558},
               {0.001, 0.01, 3.0, 0.9472810243254739},
               {0.0121, 0.01, 3.0, 0.9709827947155121},
               {0.3, 0.01, 3.0, 0.9973935730233128},
               {0.5, 0.01, 3.0, 0.9993117371897103},
               {0.77, 0.01, 3.0, 0.999950209110064},
               {0.999, 0.01, 3.0, 0.9999999999966139}};
    for
        EACH(row)
        {
            const double under = snub_beta_under(row[i].x, row[i].a, row[i].b);
            assert_near("beta", under, row[i].under, 1e-11 * fmin(row[i].under, 1 - row[i].under) + 1e-15, "");
            /* and back, where the slope lets it */
            if (row[i].under > 1e-200 && row[i].under < 0.999) {
                const double x = snub_beta_value(row[i].under, row[i].a, row[i].b);
                assert_near("value", x, row[i].x, 1e-9 * row[i].x, "");
            }
        }
    assert_true(snub_beta_under(0, 2, 3) == 0 && snub_beta_under(1, 2, 3) == 1);
    assert_true(snub_beta_value(0, 2, 3) == 0 && snub_beta_value(1, 2, 3) == 1);
}

static void exact_intervals(void **state)
{
    (void)state;
    static const struct {
        int counted, of;
        double confidence, low, high, tolerance;
    } row[] = {{18, 20, 0.95, 0.6830172859809176, 0.9876514728297052, 1e-12},
               {4, 20, 0.95, 0.05733399705003284, 0.436614002996668, 1e-12},
               {4, 200, 0.95, 0.005475565879556443, 0.05041360908989634, 1e-12},
               {190, 200, 0.95, 0.9099724622986486, 0.975765834527891, 1e-12},
               {1, 30, 0.95, 0.0008435709, 0.17216946, 1e-7},
               {29, 30, 0.95, 0.8278305, 0.9991564, 1e-7},
               {0, 30, 0.95, 0.0, 0.11570331, 1e-7},
               {30, 30, 0.95, 0.8842967, 1.0, 1e-7},
               {81, 263, 0.95, 0.2527367456, 0.3676219226, 1e-9},
               {15, 148, 0.95, 0.05784401008, 0.1616504903, 1e-9},
               {0, 20, 0.95, 0.0, 0.168433471, 1e-9},
               {1, 29, 0.95, 0.0008726468836, 0.1776442955, 1e-9},
               {0, 10, 0.95, 0.0, 0.308497107819, 2e-12},
               {1, 10, 0.95, 0.00252857854446, 0.445016117028, 2e-12},
               {5, 10, 0.95, 0.187086028447, 0.812913971553, 2e-12},
               {2, 1000, 0.95, 0.000242301116877, 0.00720583891146, 2e-12},
               {37, 20000, 0.95, 0.00130289490623, 0.00254908865238, 2e-12},
               {621, 100000, 0.99, 0.0055886125286, 0.00687886703221, 2e-12},
               {0, 100000, 0.95, 0.0, 3.68881141579e-05, 2e-12},
               {3, 4096, 0.9, 0.000199660521043, 0.00189188434216, 2e-12},
               {10, 10, 0.99, 0.588704018652, 1.0, 2e-12}};
    for
        EACH(row)
        {
            const snub_interval s = snub_share_exact(row[i].counted, row[i].of, row[i].confidence);
            assert_near("low", s.low, row[i].low, row[i].tolerance, "");
            assert_near("high", s.high, row[i].high, row[i].tolerance, "");
        }
}

static void one_sided(void **state)
{
    (void)state;
    static const struct {
        int counted, of;
        double confidence, high;
    } row[] = {{0, 59, 0.95, 0.0495076098882},
               {0, 22, 0.9, 0.0993719797887},
               {0, 299, 0.95, 0.0099691467929},
               {2, 50, 0.9, 0.102959208537},
               {1, 100, 0.95, 0.0465598114535}};
    for
        EACH(row)
        {
            assert_near("high", snub_share_one_sided(row[i].counted, row[i].of, row[i].confidence).high, row[i].high,
                        1e-12, "");
            const snub_interval rest = snub_share_one_sided(row[i].of - row[i].counted, row[i].of, row[i].confidence);
            assert_near("low of the others", rest.low, 1 - row[i].high, 1e-12, "");
        }
}

static void wilson(void **state)
{
    (void)state;
    static const struct {
        int counted, of;
        double low, high;
    } row[] = {{18, 20, 0.6989663547715128, 0.972133518786232},
               {4, 200, 0.00780442641634947, 0.05028708690582643},
               {190, 200, 0.910421851861224, 0.972617354399236}};
    for
        EACH(row)
        {
            const snub_interval s = snub_share_wilson(row[i].counted, row[i].of, 0.95);
            assert_near("low", s.low, row[i].low, 1e-12, "");
            assert_near("high", s.high, row[i].high, 1e-12, "");
        }
    assert_true(snub_share_wilson(0, 40, 0.95).low == 0 && snub_share_wilson(40, 40, 0.95).high == 1);
}

static void wilks(void **state)
{
    (void)state;
    static const struct {
        double share, confidence;
        int one, both;
    } row[] = {{0.9, 0.9, 22, 38}, {0.95, 0.95, 59, 93}, {0.99, 0.95, 299, 473}, {0.99, 0.99, 459, 662}};
    for
        EACH(row)
        {
            assert_int_equal(snub_kits_needed(row[i].share, row[i].confidence, 0), row[i].one);
            assert_int_equal(snub_kits_needed(row[i].share, row[i].confidence, 1), row[i].both);
        }
    assert_int_equal(snub_kits_needed(0.999999, 0.95, 0), 2995731); /* log 0.05 / log 0.999999 = 2995730.8 */
    assert_int_equal(snub_kits_needed(0.5, 0.5, 0), 1);
    assert_int_equal(snub_kits_needed(1 - 1e-12, 0.95, 1), -1);
}

static void runs(void **state)
{
    (void)state;
    /* 2, 4, 4, 6: mean 4, standard deviation sqrt(8/3), error half of it; t(3) at 2.5 % is 3.1824463 */
    const double value[] = {2, 4, 4, 6};
    const snub_estimate e = snub_estimate_of_runs(4, value, 0.95), one = snub_estimate_of_runs(1, value, 0.95);
    assert_near("mean", e.value, 4, 1e-15, "");
    assert_near("error", e.error, sqrt(8.0 / 3) / 2, 1e-15, "");
    assert_near("low", e.low, 4 - 3.1824463052842629 * sqrt(2.0 / 3), 1e-11, "");
    assert_near("high", e.high, 4 + 3.1824463052842629 * sqrt(2.0 / 3), 1e-11, "");
    assert_true(one.value == 2 && isnan(one.error) && isnan(one.low) && isnan(one.high));
}

static void capability_of_a_width(void **state)
{
    (void)state;
    static const struct {
        double cp, one_ppm, both_ppm;
    } row[] = {
        {0.25, 226627.35, 453254.7},   {0.5, 66807.201, 133614.4},          {0.6, 35930.319, 71860.638},
        {0.7, 17864.421, 35728.841},   {0.8, 8197.5359, 16395.072},         {0.9, 3466.9738, 6933.9476},
        {1.0, 1349.898, 2699.7961},    {1.1, 483.42414, 966.84828},         {1.2, 159.10859, 318.21718},
        {1.3, 48.096344, 96.192688},   {1.333333333, 31.671242, 63.342484}, {1.4, 13.345749, 26.691498},
        {1.5, 3.3976731, 6.7953462},   {1.6, 0.79332815, 1.5866563},        {1.666666667, 0.28665157, 0.57330314},
        {1.7, 0.16982674, 0.33965348}, {1.8, 0.033320448, 0.066640897},     {2.0, 0.00098658765, 0.0019731753}};
    for
        EACH(row)
        {
            const double limit = 3 * row[i].cp;
            const snub_capability both = snub_capability_of(0, 1, -limit, limit, 0);
            const snub_capability one = snub_capability_of(0, 1, -INFINITY, limit, NAN);
            assert_near("Cp", both.cp, row[i].cp, 1e-12, "");
            assert_near("out", 1e6 * (both.below + both.above), row[i].both_ppm, 1e-6 * row[i].both_ppm, "ppm");
            assert_near("out of one", 1e6 * (one.below + one.above), row[i].one_ppm, 1e-6 * row[i].one_ppm, "ppm");
            assert_near("Cpk of one", one.cpk, row[i].cp, 1e-12, "");
            assert_true(isnan(one.cp) && isnan(one.cpm));
        }
    static const double shifted[][2] = {{2, 308537.54}, {3, 66807.201}, {4, 6209.6653}, {5, 232.62908}, {6, 3.3976731}};
    for
        EACH(shifted)
        {
            const snub_capability c = snub_capability_of(1.5, 1, -INFINITY, shifted[i][0], NAN);
            assert_near("shifted", 1e6 * c.above, shifted[i][1], 1e-6 * shifted[i][1], "ppm");
        }
}

static void capability_examples(void **state)
{
    (void)state;
    static const struct {
        double low, high, mean, sd, target, cp, cpk, cpm, below, above;
    } row[] = {{8, 20, 16, 2, 14, 1.0, 0.6666666667, 0.7071067812, 31.671242, 22750.132},
               {35, 65, 53, 3, 50, 1.666666667, 1.333333333, 1.178511302, 0.00098658765, 31.671242},
               {15.8, 16.2, 15.9, 0.1, 16.0, 0.6666666667, 0.3333333333, 0.4714045208, 158655.25, 1349.898},
               {100, 150, 130, 8, 125, 1.041666667, 0.8333333333, 0.8833315667, 88.417285, 6209.6653},
               {24.99, 25.02, 25.008, 0.004, 25.005, 1.25, 1.0, 1.0, 3.3976731, 1349.898}};
    for
        EACH(row)
        {
            const snub_capability c =
                snub_capability_of(row[i].mean, row[i].sd, row[i].low, row[i].high, row[i].target);
            assert_near("Cp", c.cp, row[i].cp, 1e-9, "");
            assert_near("Cpk", c.cpk, row[i].cpk, 1e-9, "");
            assert_near("Cpm", c.cpm, row[i].cpm, 1e-9, "");
            assert_near("below", 1e6 * c.below, row[i].below, 1e-6 * row[i].below + 1e-9, "ppm");
            assert_near("above", 1e6 * c.above, row[i].above, 1e-6 * row[i].above + 1e-9, "ppm");
        }
    /* a published fill: 15.8 to 16.2, mean 15.9, deviation 0.1 has a Cpk of 0.33 */
    assert_near("fill", snub_capability_of(15.9, 0.1, 15.8, 16.2, NAN).cpk, 0.33, 0.005, "");
}

static void stacks(void **state)
{
    (void)state;
    const double slope[] = {1, -1, -1, -1}, tolerance[] = {0.003, 0.001, 0.005, 0.001};
    const snub_stack_sums screw = snub_stack_of(4, slope, tolerance);
    assert_near("worst", screw.worst, 0.010, 1e-15, "in");
    assert_near("rss", screw.rss, 0.006, 1e-15, "in");
    const snub_capability c = snub_capability_of(0.005, screw.rss / 3, 0, INFINITY, NAN);
    assert_near("P(w < 0)", c.below, 0.00621, 5e-6, "");
    assert_near("P(w < 0.003)", snub_capability_of(0.005, screw.rss / 3, 0.003, INFINITY, NAN).below, 0.158655, 5e-7,
                "");
    const double ten[] = {2, 2, 2, 2, 2, 2, 2, 2, 2, 2}, half[] = {.05, .05, .05, .05, .05, .05, .05, .05, .05, .05};
    const snub_stack_sums equal = snub_stack_of(10, ten, half);
    assert_near("worst of ten", equal.worst, 1.0, 1e-15, "");
    assert_near("rss of ten", equal.rss, 0.316228, 5e-7, "");
}

/* Shares counted at scrambled points: as many kits of a sum of uniform values out of limits as there are. */
static double counted(int parts, double over, bool both)
{
    enum { KITS = 1 << 16 };
    int out = 0;
    for (int k = 0; k < KITS; k++) {
        double u[12], sum = 0;
        snub_sobol_point(parts, 3, true, (uint64_t)k, u);
        for (int p = 0; p < parts; p++)
            sum += both ? 2 * u[p] - 1 : u[p];
        out += both ? fabs(sum) > over : sum > over;
    }
    return out / (double)KITS;
}

static void sums_of_uniforms(void **state)
{
    (void)state;
    static const struct {
        int parts;
        double over, share;
    } one[] = {{2, 1.5, 0.125},           {3, 2.5, 0.0208333333333}, {4, 3, 0.0416666666667},
               {6, 4.5, 0.0156901041667}, {10, 7, 0.0134628527337},  {12, 9, 0.00100700081169}},
      both[] = {
          {4, 1.5999999999999999, 0.1722666667},   {4, 2.4, 0.03413333333},  {6, 2.4, 0.09010933333},
          {6, 3.5999999999999996, 0.008293333333}, {10, 4.0, 0.02692570547}, {10, 5.999999999999999, 0.0005588624339}};
    /* half of the scatter of as many independent kits */
    for
        EACH(one)
        {
            const double error = sqrt(one[i].share * (1 - one[i].share) / 65536);
            assert_near("over", counted(one[i].parts, one[i].over, false), one[i].share, 1.5 * error, "");
        }
    for
        EACH(both)
        {
            const double error = sqrt(both[i].share * (1 - both[i].share) / 65536);
            assert_near("out", counted(both[i].parts, both[i].over, true), both[i].share, 1.5 * error, "");
        }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(beta),
                                       cmocka_unit_test(exact_intervals),
                                       cmocka_unit_test(one_sided),
                                       cmocka_unit_test(wilson),
                                       cmocka_unit_test(wilks),
                                       cmocka_unit_test(runs),
                                       cmocka_unit_test(capability_of_a_width),
                                       cmocka_unit_test(capability_examples),
                                       cmocka_unit_test(stacks),
                                       cmocka_unit_test(sums_of_uniforms)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

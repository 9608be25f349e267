/* First and total indices of two functions that have them in closed form.
 * Ishigami: formulas and first digits published (OpenTURNS use case; SALib, after Saltelli and others 2008), rest
 * derived. G function: the first row published (UQpy, after Glen and Isaacs 2012, Environmental Modelling and Software
 * 37:157), the others by the closed form. Pick and freeze: derived, the same points and formulas in another program. */
#include "snub/sensitivity.h"
#include "snub/shares.h"
#include "snub/sobol.h"
#include "snub/units.h"
#include "support/near.h"

#include <string.h>

enum { MOST = 8 };

typedef struct model {
    double (*f)(const struct model *m, const double *u);
    int d;
    double a[MOST], b;
} model;

static double ishigami(const model *m, const double *u)
{
    double x[3];
    for (int i = 0; i < 3; i++)
        x[i] = SNUB_PI * (2 * u[i] - 1);
    return sin(x[0]) + m->a[0] * pow(sin(x[1]), 2) + m->b * pow(x[2], 4) * sin(x[0]);
}

static double g_function(const model *m, const double *u)
{
    double product = 1;
    for (int i = 0; i < m->d; i++)
        product *= (fabs(4 * u[i] - 2) + m->a[i]) / (1 + m->a[i]);
    return product;
}

static void take(const model *m, snub_sensitivity *sums, uint64_t seed, bool scrambled, int from, int below)
{
    double u[2 * MOST], mixed[MOST], f_ab[MOST];
    for (int p = from; p < below; p++) {
        snub_sobol_point(2 * m->d, seed, scrambled, (uint64_t)p, u);
        for (int i = 0; i < m->d; i++) {
            for (int k = 0; k < m->d; k++)
                mixed[k] = k == i ? u[m->d + k] : u[k];
            f_ab[i] = m->f(m, mixed);
        }
        snub_sensitivity_take(sums, m->f(m, u), m->f(m, u + m->d), f_ab);
    }
}

static void pick_and_freeze_to_its_digits(void **state)
{
    (void)state;
    static const struct {
        int n;
        double variance, first[3], total[3];
    } row[] = {{64,
                14.1997029418,
                {0.30218557188, 0.608943130814, 0.0536109455228},
                {0.57593833967, 0.46052746955, 0.192801109909}},
               {256,
                13.6296421866,
                {0.332946707074, 0.482007284194, -0.037331927312},
                {0.564602482028, 0.457007142981, 0.250648843544}},
               {1024,
                13.8189544432,
                {0.332739378383, 0.441313938544, 0.0183999090077},
                {0.558179045711, 0.44328458403, 0.242149373355}},
               {4096,
                13.8445304317,
                {0.314106770884, 0.44247275212, -6.63417877922e-05},
                {0.55743457631, 0.442454153496, 0.243293121922}}};
    const model m = {ishigami, 3, {7}, 0.1};
    for (size_t r = 0; r < sizeof row / sizeof row[0]; r++) {
        double first[3] = {0}, total[3] = {0}, first2[3] = {0}, total2[3] = {0};
        snub_sensitivity sums = {.values = 3, .first = first, .total = total};
        snub_sensitivity rest = {.values = 3, .first = first2, .total = total2};
        take(&m, &sums, 0, false, 0, row[r].n / 4);
        take(&m, &rest, 0, false, row[r].n / 4, row[r].n); /* in two blocks */
        snub_sensitivity_add(&sums, &rest);
        double s[3], t[3];
        assert_near("V", snub_sensitivity_indices(&sums, s, t), row[r].variance, 1e-9, "");
        for (int i = 0; i < 3; i++) {
            assert_near("first", s[i], row[r].first[i], 1e-10, "");
            assert_near("total", t[i], row[r].total[i], 1e-10, "");
        }
    }
}

enum { RUNS = 16 };

/* Indices over independent scramblings: near the closed form, and as near as their standard error says. */
static void closed_form(const model *m, double shift, const double *want_first, const double *want_total)
{
    double s[MOST][RUNS], t[MOST][RUNS];
    for (int run = 0; run < RUNS; run++) {
        double first[MOST] = {0}, total[MOST] = {0}, s_run[MOST], t_run[MOST];
        snub_sensitivity sums = {.values = m->d, .shift = shift, .first = first, .total = total};
        take(m, &sums, (uint64_t)run, true, 0, 2048);
        snub_sensitivity_indices(&sums, s_run, t_run);
        for (int i = 0; i < m->d; i++)
            s[i][run] = s_run[i], t[i][run] = t_run[i];
    }
    for (int i = 0; i < m->d; i++) {
        const snub_estimate first = snub_estimate_of_runs(RUNS, s[i], 0.9999);
        const snub_estimate total = snub_estimate_of_runs(RUNS, t[i], 0.9999);
        assert_near("first", first.value, want_first[i], 0.01, "");
        assert_near("total", total.value, want_total[i], 0.01, "");
        /* 1 in 10000 outside, of 60: and the quotient of means is biased by far less */
        assert_true(first.low - 1e-4 <= want_first[i] && want_first[i] <= first.high + 1e-4);
        assert_true(total.low - 1e-4 <= want_total[i] && want_total[i] <= total.high + 1e-4);
        assert_true(first.error < 0.01 && total.error < 0.01);
    }
}

static void ishigami_function(void **state)
{
    (void)state;
    static const struct {
        double a, b, variance, first[3], total[3];
    } row[] = {
        {7, 0.1, 13.8445879407, {0.313905191148, 0.44241114479, 0.0}, {0.55758885521, 0.44241114479, 0.243683664062}},
        {7,
         0.05,
         8.91694244035,
         {0.218518564427, 0.686894643649, 0.0},
         {0.313105356351, 0.686894643649, 0.0945867919243}},
        {5,
         0.1,
         10.8445879407,
         {0.400742568335, 0.288162170576, 0.0},
         {0.711837829424, 0.288162170576, 0.311095261089}}};
    for (size_t r = 0; r < sizeof row / sizeof row[0]; r++) {
        const model m = {ishigami, 3, {row[r].a}, row[r].b};
        closed_form(&m, row[r].a / 2, row[r].first, row[r].total);
    }
}

static void g_functions(void **state)
{
    (void)state;
    static const struct {
        int d;
        double a[MOST], first[MOST], total[MOST];
    } row[] = {
        {6,
         {0, 0.5, 3, 9, 99, 99},
         {0.586781189767, 0.260791639896, 0.0366738243604, 0.00586781189767, 5.86781189767e-05, 5.86781189767e-05},
         {0.690085892325, 0.356173363781, 0.0563335422306, 0.00917057664219, 9.20083853638e-05, 9.20083853638e-05}},
        {8,
         {0, 1, 4.5, 9, 99, 99, 99, 99},
         {0.716192168879, 0.17904804222, 0.0236757741778, 0.00716192168879, 7.16192168879e-05, 7.16192168879e-05,
          7.16192168879e-05, 7.16192168879e-05},
         {0.787144126659, 0.242198192818, 0.0343169101541, 0.0104603870652, 0.00010494905192, 0.00010494905192,
          0.00010494905192, 0.00010494905192}},
        {3,
         {0, 9, 99},
         {0.986711841989, 0.00986711841989, 9.86711841989e-05},
         {0.990033881492, 0.0131565964318, 0.000132000117528}},
        {4,
         {0, 0, 0, 0},
         {0.154285714286, 0.154285714286, 0.154285714286, 0.154285714286},
         {0.365714285714, 0.365714285714, 0.365714285714, 0.365714285714}},
        {6,
         {0.5, 0.5, 0.5, 0.5, 0.5, 0.5},
         {0.114772159749, 0.114772159749, 0.114772159749, 0.114772159749, 0.114772159749, 0.114772159749},
         {0.228995106878, 0.228995106878, 0.228995106878, 0.228995106878, 0.228995106878, 0.228995106878}}};
    for (size_t r = 0; r < sizeof row / sizeof row[0]; r++) {
        model m = {g_function, row[r].d, {0}, 0};
        memcpy(m.a, row[r].a, sizeof m.a);
        closed_form(&m, 1, row[r].first, row[r].total);
    }
}

static double constant(const model *m, const double *u)
{
    (void)m, (void)u;
    return 3;
}

static void nothing_scatters(void **state)
{
    (void)state;
    double first[2] = {0}, total[2] = {0}, s[2], t[2];
    const model m = {constant, 2, {0}, 0};
    snub_sensitivity sums = {.values = 2, .first = first, .total = total};
    take(&m, &sums, 0, false, 0, 64);
    assert_near("V", snub_sensitivity_indices(&sums, s, t), 0, 0, "");
    assert_true(s[0] == 0 && s[1] == 0 && t[0] == 0 && t[1] == 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(pick_and_freeze_to_its_digits),
                                       cmocka_unit_test(ishigami_function), cmocka_unit_test(g_functions),
                                       cmocka_unit_test(nothing_scatters)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

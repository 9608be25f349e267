/* Nonlinear regression problems with certified answers: parameters, their standard deviations, residual sum of squares.
 * NIST Statistical Reference Datasets, nonlinear regression (itl.nist.gov/div898/strd): Misra1a, Lanczos3, Hahn1,
 * Thurber, MGH10, Bennett5, BoxBOD, Rat43, each from both of its starts. */
#include "measure/adjust.h"

#include "support/near.h"

enum { UNKNOWNS_MOST = 7 };

/* The model at x, and its derivative by each parameter. */
typedef double model(const double *b, double x, double *d);

typedef struct published {
    const char *id;
    model *at;
    int unknowns, rows;
    const double *y, *x;
    double start[2][UNKNOWNS_MOST], answer[UNKNOWNS_MOST], deviation[UNKNOWNS_MOST];
    double sum;
} published;

static double misra1a(const double *b, double x, double *d)
{
    const double e = exp(-b[1] * x);
    d[0] = 1.0 - e;
    d[1] = b[0] * x * e;
    return b[0] * (1.0 - e);
}

static double boxbod(const double *b, double x, double *d)
{
    return misra1a(b, x, d);
}

static double lanczos3(const double *b, double x, double *d)
{
    double sum = 0.0;
    for (int i = 0; i < 6; i += 2) {
        d[i] = exp(-b[i + 1] * x);
        d[i + 1] = -b[i] * x * d[i];
        sum += b[i] * d[i];
    }
    return sum;
}

static double hahn1(const double *b, double x, double *d)
{
    const double top = b[0] + x * (b[1] + x * (b[2] + x * b[3])), under = 1.0 + x * (b[4] + x * (b[5] + x * b[6]));
    for (int i = 0; i < 4; i++)
        d[i] = pow(x, i) / under;
    for (int i = 4; i < 7; i++)
        d[i] = -top * pow(x, i - 3) / (under * under);
    return top / under;
}

static double thurber(const double *b, double x, double *d)
{
    return hahn1(b, x, d);
}

static double mgh10(const double *b, double x, double *d)
{
    d[0] = exp(b[1] / (x + b[2]));
    d[1] = b[0] * d[0] / (x + b[2]);
    d[2] = -d[1] * b[1] / (x + b[2]);
    return b[0] * d[0];
}

static double bennett5(const double *b, double x, double *d)
{
    d[0] = pow(b[1] + x, -1.0 / b[2]);
    d[1] = -b[0] / b[2] * d[0] / (b[1] + x);
    d[2] = b[0] * d[0] * log(b[1] + x) / (b[2] * b[2]);
    return b[0] * d[0];
}

static double rat43(const double *b, double x, double *d)
{
    const double e = exp(b[1] - b[2] * x), root = pow(1.0 + e, -1.0 / b[3]);
    d[0] = root;
    d[1] = -b[0] * root * e / (b[3] * (1.0 + e));
    d[2] = -d[1] * x;
    d[3] = b[0] * root * log1p(e) / (b[3] * b[3]);
    return b[0] * root;
}

#include "sets.inc"

static void residuals(const double *b, double *residual, double *jacobian, void *context)
{
    const published *set = context;
    double d[UNKNOWNS_MOST];
    for (int k = 0; k < set->rows; k++) {
        residual[k] = set->at(b, set->x[k], d) - set->y[k];
        for (int i = 0; i < set->unknowns; i++)
            jacobian[snub_at(k, i, set->rows)] = d[i];
    }
}

static void fit(const published *set, int start)
{
    snub_arena arena = {0};
    snub_adjuster w;
    double b[UNKNOWNS_MOST], sum, value[UNKNOWNS_MOST], right[UNKNOWNS_MOST * UNKNOWNS_MOST],
        covariance[UNKNOWNS_MOST * UNKNOWNS_MOST];
    published copy = *set;
    double size[UNKNOWNS_MOST];
    const snub_adjustment a = {
        .unknowns = set->unknowns, .equations = set->rows, .evaluate = residuals, .context = &copy};
    for (int i = 0; i < set->unknowns; i++)
        size[i] = fabs(b[i] = set->start[start][i]);
    assert_true(snub_adjuster_make(&a, &arena, &w));
    const snub_status status = snub_adjust_far(&a, &w, size, 1e-13, b, &sum);
    print_message("%s, start %d\n", set->id, start + 1);
    assert_int_equal(status, SNUB_OK);
    for (int i = 0; i < set->unknowns; i++)
        assert_near(set->id, b[i], set->answer[i], 1e-6 * fabs(set->answer[i]), "");
    assert_near(set->id, sum, set->sum, 1e-6 * set->sum, "");
    assert_int_equal(snub_adjust_decompose(&a, &w, b, value, NULL, right), SNUB_OK);
    snub_adjust_covariance(set->unknowns, value, right, covariance);
    for (int i = 0; i < set->unknowns; i++)
        assert_near(set->id, sqrt(covariance[snub_at(i, i, set->unknowns)] * sum / (set->rows - set->unknowns)),
                    set->deviation[i], 1e-4 * set->deviation[i], "");
    snub_arena_free(&arena);
}

static void both_starts(void **state)
{
    (void)state;
    for (size_t k = 0; k < sizeof sets / sizeof sets[0]; k++)
        for (int start = 0; start < 2; start++)
            fit(&sets[k], start);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(both_starts)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

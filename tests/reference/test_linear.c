/* The small solvers of snub/linear.h against LAPACK: random systems up to n = 25, masses over six decades, stiffness
 * with an eigenvalue of 0, complex systems that are nearly singular, and what is refused. */
#include <complex.h>
#include <lapacke.h>
#include <string.h>

#include "snub/linear.h"
#include "support/near.h"

enum { MOST = 25, SYSTEMS = 200 };
static const double EPS = 2.220446049250313e-16;

static uint64_t state = 20240607;

/* -1 to 1; xorshift64*, so that every machine asks for the same. */
static double some(void)
{
    state ^= state >> 12;
    state ^= state << 25;
    state ^= state >> 27;
    return (double)(int64_t)(state * 2685821657736338717ULL) / 9223372036854775808.0;
}

/* Sum of springs g g': positive where there are at least n of them, with an eigenvalue of 0 for each one less. */
static void springs(int n, int count, double *k)
{
    memset(k, 0, (size_t)(n * n) * sizeof *k);
    for (int s = 0; s < count; s++) {
        double g[MOST];
        const double stiff = pow(10.0, 4.0 + 2.0 * some());
        for (int i = 0; i < n; i++)
            g[i] = some();
        for (int i = 0; i < n; i++) {
            for (int j = 0; j < n; j++)
                k[i * n + j] += stiff * g[i] * g[j];
        }
    }
}

/* |K x - lambda M x| beside what rounding makes of its parts, each row by the root of its mass; x' M y is 0 or 1. */
static void hold(int n, const double *k, const double *mass, const double *value, const double *vector)
{
    for (int v = 0; v < n; v++) {
        for (int i = 0; i < n; i++) {
            double left = -value[v] * mass[i] * vector[v * n + i];
            for (int j = 0; j < n; j++)
                left += k[i * n + j] * vector[v * n + j];
            assert_near("K x - lambda M x", left / sqrt(mass[i]) / fabs(value[n - 1]), 0.0, 40 * n * EPS,
                        "of the greatest");
        }
        for (int w = 0; w <= v; w++) {
            double both = 0.0;
            for (int i = 0; i < n; i++)
                both += vector[v * n + i] * mass[i] * vector[w * n + i];
            assert_near("x' M y", both, v == w ? 1.0 : 0.0, 40 * n * EPS, "");
        }
    }
}

static void eigenvalues(void **unused)
{
    (void)unused;
    for (int round = 0; round < SYSTEMS; round++) {
        const int n = 1 + round % MOST, count = round % 3 == 0 && n > 1 ? n - 1 : n + 2;
        double k[MOST * MOST], kept[MOST * MOST], mass[MOST], m[MOST * MOST] = {0}, value[MOST], want[MOST],
                                                                       vector[MOST * MOST];
        springs(n, count, k);
        if (round % 5 == 0)
            k[0] -= 0.3 * k[0]; /* and some that do not spring back */
        memcpy(kept, k, sizeof kept);
        for (int i = 0; i < n; i++)
            m[i * n + i] = mass[i] = pow(10.0, -2.0 + 3.0 * some());
        assert_int_equal(snub_eigen(n, k, mass, value, vector), SNUB_OK);
        memcpy(k, kept, sizeof k);
        assert_int_equal(LAPACKE_dsygv(LAPACK_ROW_MAJOR, 1, 'N', 'U', n, k, n, m, n, want), 0);
        for (int i = 0; i < n; i++)
            assert_near("eigenvalue", value[i], want[i], 1e-12 * fmax(fabs(want[n - 1]), fabs(want[0])), "1/s2");
        hold(n, kept, mass, value, vector);
    }
}

static void eigenvalues_that_are_known(void **unused)
{
    (void)unused;
    /* two equal masses on three equal springs: 1 and 3; equal masses apart: diagonal, one of them twice */
    double chain[] = {2, -1, -1, 2}, apart[] = {5, 0, 0, 0, 2, 0, 0, 0, 5}, value[3], vector[9];
    const double one[] = {1, 1, 1};
    assert_int_equal(snub_eigen(2, chain, one, value, vector), SNUB_OK);
    assert_near("together", value[0], 1, 4 * EPS, "");
    assert_near("against each other", value[1], 3, 8 * EPS, "");
    assert_near("shape", vector[0], vector[1], 4 * EPS, "");
    assert_int_equal(snub_eigen(3, apart, one, value, vector), SNUB_OK);
    assert_near("least", value[0], 2, 0, "");
    assert_near("greatest", value[2], 5, 0, "");
    assert_near("its vector", fabs(vector[1]), 1, 0, "");
}

static void eigenvalues_that_are_refused(void **unused)
{
    (void)unused;
    double k[] = {2, -1, -1, 2}, nan[] = {2, NAN, NAN, 2}, value[2], vector[4];
    const double none[] = {1, 0}, unknown[] = {NAN, 1}, one[] = {1, 1};
    assert_int_equal(snub_eigen(2, k, none, value, vector), SNUB_BAD_INPUT);
    assert_int_equal(snub_eigen(2, k, unknown, value, vector), SNUB_BAD_INPUT);
    assert_int_equal(snub_eigen(2, nan, one, value, vector), SNUB_NO_CONVERGENCE);
}

/* A random system; one of `nearly` has its last row but for that share from the others. */
static void system_of(int n, double nearly, double complex *a, int count, double complex *b)
{
    for (int i = 0; i < n * n; i++)
        a[i] = some() + I * some();
    for (int j = 0; j < n && nearly > 0.0 && n > 1; j++) {
        double complex sum = 0.0;
        for (int i = 0; i < n - 1; i++)
            sum += a[i * n + j];
        a[(n - 1) * n + j] = sum + nearly * a[(n - 1) * n + j];
    }
    for (int i = 0; i < n * count; i++)
        b[i] = some() + I * some();
}

/* |A x - b| over |A||x| + |b|, the greatest of all rows: as much as rounding of A and b would make. */
static double backward(int n, const double complex *a, int count, const double complex *b, const double complex *x)
{
    double worst = 0.0;
    for (int c = 0; c < count; c++) {
        for (int i = 0; i < n; i++) {
            double complex left = -b[i * count + c];
            double size = cabs(b[i * count + c]), along = 0.0, high = 0.0;
            for (int j = 0; j < n; j++) {
                left += a[i * n + j] * x[j * count + c];
                along += cabs(a[i * n + j]);
                high = fmax(high, cabs(x[j * count + c]));
            }
            worst = fmax(worst, cabs(left) / (size + along * high));
        }
    }
    return worst;
}

static void complex_systems(void **unused)
{
    (void)unused;
    static const double near[] = {0.0, 0.0, 1e-3, 1e-8, 1e-13};
    for (int round = 0; round < SYSTEMS; round++) {
        const int n = 1 + round % MOST, count = 1 + round % 3;
        const double nearly = near[round % 5];
        double complex a[MOST * MOST], b[3 * MOST], lu[MOST * MOST], x[3 * MOST], want[3 * MOST];
        lapack_int pivot[MOST];
        system_of(n, nearly, a, count, b);
        memcpy(lu, a, sizeof lu);
        memcpy(x, b, sizeof x);
        assert_int_equal(snub_solve_complex(n, lu, count, x), SNUB_OK);
        assert_near("A x - b", backward(n, a, count, b, x), 0.0, 20 * EPS, "of what is added");
        memcpy(lu, a, sizeof lu);
        memcpy(want, b, sizeof want);
        assert_int_equal(LAPACKE_zgesv(LAPACK_ROW_MAJOR, n, count, lu, n, pivot, want, count), 0);
        double greatest = 0.0;
        for (int i = 0; i < n * count; i++)
            greatest = fmax(greatest, cabs(want[i]));
        for (int i = 0; i < n * count && nearly == 0.0; i++)
            assert_near("solution", cabs(x[i] - want[i]), 0.0, 1e-11 * greatest, "");
    }
}

static void complex_systems_that_are_refused(void **unused)
{
    (void)unused;
    double complex none[] = {1.0, 2.0, 2.0, 4.0}, nan[] = {1.0, NAN, NAN, 1.0}, turned[] = {0.0, 2.0 * I, 4.0, 0.0},
                   b[] = {1.0, 1.0};
    assert_int_equal(snub_solve_complex(2, none, 1, b), SNUB_NO_CONVERGENCE);
    assert_int_equal(snub_solve_complex(2, nan, 1, b), SNUB_NO_CONVERGENCE);
    b[0] = 6.0 * I;
    b[1] = 8.0;
    assert_int_equal(snub_solve_complex(2, turned, 1, b), SNUB_OK); /* 0 stands first: rows change places */
    assert_near("first", cabs(b[0] - 2.0), 0, 4 * EPS, "");
    assert_near("second", cabs(b[1] - 3.0), 0, 4 * EPS, "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(eigenvalues),
        cmocka_unit_test(eigenvalues_that_are_known),
        cmocka_unit_test(eigenvalues_that_are_refused),
        cmocka_unit_test(complex_systems),
        cmocka_unit_test(complex_systems_that_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Complex linear equations by elimination with partial pivoting. */
#include <complex.h>
#include <math.h>

#include "snub/linear.h"

typedef double complex number;

/* As good a measure of a pivot as its size, without a root. */
static double size(number x)
{
    return fabs(creal(x)) + fabs(cimag(x));
}

static void swap_rows(number *rows, int width, int a, int b)
{
    for (int k = 0; k < width && a != b; k++) {
        const number kept = rows[a * width + k];
        rows[a * width + k] = rows[b * width + k];
        rows[b * width + k] = kept;
    }
}

/* Takes `times` the row `from` off the row `to`, from column `first` on. */
static void take_off(number *rows, int width, int first, int from, int to, number times)
{
    for (int k = first; k < width; k++)
        rows[to * width + k] -= times * rows[from * width + k];
}

snub_status snub_solve_complex(int n, double _Complex *matrix, int count, double _Complex *sides)
{
    for (int p = 0; p < n; p++) {
        int best = p;
        for (int i = p + 1; i < n; i++)
            best = size(matrix[i * n + p]) > size(matrix[best * n + p]) ? i : best;
        swap_rows(matrix, n, p, best);
        swap_rows(sides, count, p, best);
        const double pivot = size(matrix[p * n + p]);
        if (!(pivot > 0.0) || isinf(pivot))
            return SNUB_NO_CONVERGENCE;
        const number inverse = 1.0 / matrix[p * n + p];
        for (int i = p + 1; i < n; i++) {
            if (size(matrix[i * n + p]) == 0.0)
                continue;
            const number times = matrix[i * n + p] * inverse;
            take_off(matrix, n, p + 1, p, i, times);
            take_off(sides, count, 0, p, i, times);
        }
    }
    for (int p = n - 1; p >= 0; p--) {
        for (int k = 0; k < count; k++)
            sides[p * count + k] /= matrix[p * n + p];
        for (int i = 0; i < p; i++)
            take_off(sides, count, 0, p, i, matrix[i * n + p]);
    }
    return SNUB_OK;
}

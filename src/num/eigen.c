/* Symmetric eigenvalues by Jacobi rotations, cyclic by rows: each turns one element off the diagonal to 0.
 * Golub, Van Loan, Matrix Computations, 3rd ed., section 8.4. Every sweep at least squares what is left once it is
 * small; ten are plenty for any n that moves here. */
#include <math.h>

#include "snub/linear.h"

enum { SWEEPS_MOST = 60 };

/* The rotation that turns a[p][q] to 0: tangent of the smaller of the two angles. */
static void turn(int n, double *a, double *vector, int p, int q)
{
    const double off = a[p * n + q], half = 0.5 * (a[q * n + q] - a[p * n + p]);
    const double t = off / (half + copysign(hypot(half, off), half)), c = 1.0 / sqrt(1.0 + t * t), s = c * t;
    for (int k = 0; k < n; k++) {
        const double kp = a[k * n + p], kq = a[k * n + q];
        a[k * n + p] = c * kp - s * kq;
        a[k * n + q] = s * kp + c * kq;
    }
    for (int k = 0; k < n; k++) {
        const double pk = a[p * n + k], qk = a[q * n + k], vp = vector[p * n + k], vq = vector[q * n + k];
        a[p * n + k] = c * pk - s * qk;
        a[q * n + k] = s * pk + c * qk;
        vector[p * n + k] = c * vp - s * vq;
        vector[q * n + k] = s * vp + c * vq;
    }
    a[p * n + q] = a[q * n + p] = 0.0;
}

/* An element that adds nothing to either of its diagonal ones is 0: no rotation would change them. */
static bool counts(int n, const double *a, int p, int q)
{
    const double off = fabs(a[p * n + q]), x = fabs(a[p * n + p]), y = fabs(a[q * n + q]);
    return off > 0.0 && (x + 1e-2 * off != x || y + 1e-2 * off != y);
}

static bool sweep(int n, double *a, double *vector)
{
    bool turned = false;
    for (int p = 0; p < n - 1; p++) {
        for (int q = p + 1; q < n; q++) {
            if (!counts(n, a, p, q))
                continue;
            turn(n, a, vector, p, q);
            turned = true;
        }
    }
    return turned;
}

static void swap(double *a, double *b)
{
    const double kept = *a;
    *a = *b;
    *b = kept;
}

static void sort(int n, double *value, double *vector)
{
    for (int i = 0; i < n - 1; i++) {
        int least = i;
        for (int k = i + 1; k < n; k++)
            least = value[k] < value[least] ? k : least;
        swap(&value[i], &value[least]);
        for (int k = 0; k < n && least != i; k++)
            swap(&vector[i * n + k], &vector[least * n + k]);
    }
}

snub_status snub_eigen(int n, double *stiffness, const double *mass, double *value, double *vector)
{
    bool turned = true;
    for (int i = 0; i < n; i++) {
        if (!(mass[i] > 0.0))
            return SNUB_BAD_INPUT;
    }
    for (int i = 0; i < n; i++) {
        for (int k = 0; k < n; k++) {
            stiffness[i * n + k] /= sqrt(mass[i] * mass[k]);
            vector[i * n + k] = i == k ? 1.0 : 0.0;
            if (!isfinite(stiffness[i * n + k]))
                return SNUB_NO_CONVERGENCE;
        }
    }
    for (int k = 0; k < SWEEPS_MOST && turned; k++)
        turned = sweep(n, stiffness, vector);
    if (turned)
        return SNUB_NO_CONVERGENCE;
    for (int i = 0; i < n; i++) {
        value[i] = stiffness[i * n + i];
        for (int k = 0; k < n; k++)
            vector[i * n + k] /= sqrt(mass[k]);
    }
    sort(n, value, vector);
    return SNUB_OK;
}

/** Chances and values by finite series. */
#include "snub/distributions.h"

#include <math.h>

#include "normal.h"
#include "snub/num.h"
#include "snub/units.h"

double snub_chi_square_over(double x, int freedom)
{
    if (!(x > 0.0))
        return 1.0;
    const double half = 0.5 * x;
    double sum = freedom % 2 == 0 ? 0.0 : erfc(sqrt(half));
    /* exp(-half) half^k / gamma(k + 1), k from 0 or 1/2 in steps of 1 */
    for (double k = freedom % 2 == 0 ? 0.0 : 0.5; k < 0.5 * freedom; k += 1.0)
        sum += exp(k * log(half) - half - lgamma(k + 1.0));
    return fmin(sum, 1.0);
}

/* One side. */
static double student_over(double t, int freedom)
{
    const double angle = atan2(t, sqrt((double)freedom)), s = sin(angle), c = cos(angle);
    const bool odd = freedom % 2 == 1;
    double term = odd ? c : 1.0, sum = 0.0;
    for (int k = odd ? 1 : 0; k <= freedom - 2; k += 2) {
        sum += term;
        term *= c * c * (double)(k + 1) / (double)(k + 2);
    }
    const double within = odd ? 2.0 / SNUB_PI * (angle + s * sum) : s * sum;
    return 0.5 * (1.0 - within);
}

typedef struct wanted {
    double chance;
    int freedom;
} wanted;

static bool off(double x, double *y, void *context)
{
    const wanted *w = context;
    *y = student_over(x, w->freedom) - w->chance;
    return true;
}

double snub_student_value(double chance, int freedom)
{
    wanted w = {chance, freedom};
    double high = 1.0, y = 1.0, root = NAN;
    for (int i = 0; i < 60 && y > 0.0; i++, high *= 2.0)
        off(high, &y, &w);
    snub_root(off, &w, 0.0, high, 1e-13 * high, &root, NULL);
    return root;
}

double snub_normal_value(double chance)
{
    return -snub_normal_quantile(chance);
}

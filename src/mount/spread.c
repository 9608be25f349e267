/* Sums of dimensions with tolerances; process capability. */
#include "snub/mount.h"

snub_spread snub_spread_sum(const double *length, const double *tolerance, const double *slope, int n)
{
    snub_spread sum = {0, 0, 0};
    for (int i = 0; i < n; i++) {
        const double by = slope != NULL ? slope[i] : 1.0, reach = fabs(by * tolerance[i]);
        sum.mean += by * length[i];
        sum.worst += reach;
        sum.rss += reach * reach;
    }
    sum.rss = sqrt(sum.rss);
    return sum;
}

double snub_capability(double low, double high, double mean, double deviation, double *cpk)
{
    if (cpk != NULL)
        *cpk = fmin(high - mean, mean - low) / (3.0 * deviation);
    return (high - low) / (6.0 * deviation);
}

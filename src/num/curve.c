/* Curves, straight between their points. */
#include "snub/num.h"

double snub_curve_at(const snub_curve *curve, double x)
{
    int n = curve->n;
    if (n <= 0)
        return 0;
    if (!(x > curve->x[0])) /* NAN too: it must not walk through the search below */
        return x <= curve->x[0] ? curve->y[0] : x;
    if (x >= curve->x[n - 1])
        return curve->y[n - 1];
    int low = 0, high = n - 1;
    while (high - low > 1) {
        int middle = low + (high - low) / 2;
        if (curve->x[middle] <= x)
            low = middle;
        else
            high = middle;
    }
    double part = (x - curve->x[low]) / (curve->x[high] - curve->x[low]);
    return curve->y[low] + part * (curve->y[high] - curve->y[low]);
}

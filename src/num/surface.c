/* Bilinear table of two unknowns, held at its edges. */
#include "snub/num.h"

/* Cell i with x[i] <= at < x[i + 1], and the fraction within it; held at the ends. n >= 1. */
static int cell_of(int n, const double *x, double at, double *fraction)
{
    *fraction = 0;
    if (n == 1 || !(at > x[0]))
        return 0;
    if (at >= x[n - 1]) {
        *fraction = 1;
        return n - 2;
    }
    int low = 0, high = n - 1;
    while (high - low > 1) {
        int middle = (low + high) / 2;
        if (x[middle] <= at)
            low = middle;
        else
            high = middle;
    }
    *fraction = (at - x[low]) / (x[low + 1] - x[low]);
    return low;
}

double snub_surface_at(const snub_surface *surface, double x, double y)
{
    if (surface->nx < 1 || surface->ny < 1)
        return 0;
    double fx, fy;
    int i = cell_of(surface->nx, surface->x, x, &fx), j = cell_of(surface->ny, surface->y, y, &fy);
    int i1 = i + (surface->nx > 1), j1 = j + (surface->ny > 1);
    const double *z = surface->z;
    double low = (1 - fy) * z[i * surface->ny + j] + fy * z[i * surface->ny + j1];
    double high = (1 - fy) * z[i1 * surface->ny + j] + fy * z[i1 * surface->ny + j1];
    return (1 - fx) * low + fx * high;
}

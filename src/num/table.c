/* Piecewise linear tables. */
#include "snub/num.h"

double snub_table_at(const snub_table *table, double x)
{
    int n = table->n;
    if (n <= 0)
        return 0;
    if (!(x > table->x[0])) /* NAN too: it must not walk through the search below */
        return x <= table->x[0] ? table->y[0] : x;
    if (x >= table->x[n - 1])
        return table->y[n - 1];
    int low = 0, high = n - 1;
    while (high - low > 1) {
        int middle = low + (high - low) / 2;
        if (table->x[middle] <= x)
            low = middle;
        else
            high = middle;
    }
    double part = (x - table->x[low]) / (table->x[high] - table->x[low]);
    return table->y[low] + part * (table->y[high] - table->y[low]);
}

/* Greatest value on an interval: a grid finds the cell, golden section the place in it. */
#include "snub/num.h"

#include <math.h>

/* (sqrt(5) - 1)/2: the part of the interval that is kept, so that one of two inner points can be used again. */
#define GOLDEN 0.61803398874989484820

static double value_at(snub_function f, void *context, double x)
{
    double y = 0;
    return f(x, &y, context) && !isnan(y) ? y : -INFINITY;
}

/* Golden section on [low, high]. Keeps the best point seen, so that a function with several humps or an edge in the
 * cell never gives less than the grid did. Each step keeps 0.618 of the interval; the loop ends by width, and at the
 * latest when the two inner points can no longer be told apart. */
static void refine(snub_function f, void *context, double low, double high, double tolerance, double *place,
                   double *best)
{
    double left = high - GOLDEN * (high - low), right = low + GOLDEN * (high - low);
    double f_left = value_at(f, context, left), f_right = value_at(f, context, right);
    while (high - low > tolerance && left > low && right < high && left < right) {
        if (f_left > *best)
            *best = f_left, *place = left;
        if (f_right > *best)
            *best = f_right, *place = right;
        if (f_left > f_right || (f_left == f_right && *place <= left)) {
            high = right;
            right = left, f_right = f_left;
            left = high - GOLDEN * (high - low);
            f_left = value_at(f, context, left);
        } else {
            low = left;
            left = right, f_left = f_right;
            right = low + GOLDEN * (high - low);
            f_right = value_at(f, context, right);
        }
    }
    if (f_left > *best)
        *best = f_left, *place = left;
    if (f_right > *best)
        *best = f_right, *place = right;
}

double snub_maximise(snub_function f, void *context, double a, double b, int grid, double tolerance, double *best)
{
    int cells = grid > 0 && b > a ? grid : 1, where = -1;
    double top = -INFINITY;
    for (int i = 0; i <= cells; i++) {
        double x = i == cells ? b : a + (b - a) * i / cells;
        double y = value_at(f, context, x);
        if (y > top)
            top = y, where = i;
    }
    if (where < 0) {
        *best = -INFINITY;
        return NAN;
    }
    double width = (b - a) / cells;
    double place = where == cells ? b : a + (b - a) * where / cells;
    double low = where == 0 ? a : place - width, high = where == cells ? b : place + width;
    if (isfinite(top) && high > low)
        refine(f, context, low, fmin(high, b), tolerance, &place, &top);
    *best = top;
    return place;
}

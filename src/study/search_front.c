/* A front by sorting. "Better" is by more than a least difference, so it is no order: a chain of small differences may
 * lead anywhere. What is asked of each point is therefore asked of all others, but by the least second value among
 * those whose first is below a bound, which the sorted list has at hand. */
#include "search_front.h"

#include <math.h>
#include <stdlib.h>

static int by_value(const void *x, const void *y)
{
    const snub_front_point *a = x, *b = y;
    for (int k = 0; k < 2; k++)
        if (a->value[k] != b->value[k])
            return a->value[k] < b->value[k] ? -1 : 1;
    return (a->number > b->number) - (a->number < b->number);
}

static bool has_equal(const snub_front_point *points, int from, int count, const snub_front_point *point, double least)
{
    for (int i = from; i < count && points[i].value[0] - point->value[0] <= least; i++)
        if (points[i].number < point->number && fabs(points[i].value[1] - point->value[1]) <= least)
            return true;
    return false;
}

void snub_front_thin(snub_front_point *points, int count, double least)
{
    int below = 0, near = 0; /* points less than this one by more than `least`; points greater by no more */
    double best_below = INFINITY, best_near = INFINITY;
    qsort(points, (size_t)count, sizeof *points, by_value);
    for (int i = 0; i < count; i++) {
        snub_front_point *p = &points[i];
        for (; below < count && points[below].value[0] - p->value[0] < -least; below++)
            best_below = fmin(best_below, points[below].value[1]);
        for (; near < count && points[near].value[0] - p->value[0] <= least; near++)
            best_near = fmin(best_near, points[near].value[1]);
        const bool beaten = best_below - p->value[1] <= least || best_near - p->value[1] < -least;
        p->stays = !beaten && !has_equal(points, below, count, p, least);
    }
}

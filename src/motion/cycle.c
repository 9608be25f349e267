/* All orders of a crank together, over one cycle. docs/theory/motion.md, swing in the loads. */
#include "snub/motion.h"

/* Points in a period of the highest order: its own peak is missed by 1 - cos(pi/8) of it at most, those of lower ones
 * by less. And no fewer than so many in all. */
enum { POINTS_A_PERIOD = 8, POINTS_LEAST = 32 };

/* Half orders that all orders are multiples of: Euclid. */
static int common(const snub_order *orders, int count)
{
    int all = 0;
    for (int k = 0; k < count; k++) {
        int a = (int)lround(2.0 * orders[k].order);
        while (a > 0) {
            const int rest = all % a;
            all = a;
            a = rest;
        }
    }
    return all > 0 ? all : 1;
}

int snub_cycle_points(const snub_order *orders, int count)
{
    double highest = 0.0;
    for (int k = 0; k < count; k++)
        highest = fmax(highest, orders[k].order);
    const int points = POINTS_A_PERIOD * (int)lround(2.0 * highest / common(orders, count));
    return points > POINTS_LEAST ? points : POINTS_LEAST;
}

/* Cosine and sine of even steps of a turn, each a turn on from the last. */
static void fill_turn(int points, double (*turn)[2])
{
    const double c = cos(2.0 * SNUB_PI / points), s = sin(2.0 * SNUB_PI / points);
    turn[0][0] = 1.0;
    turn[0][1] = 0.0;
    for (int p = 1; p < points; p++) {
        turn[p][0] = turn[p - 1][0] * c - turn[p - 1][1] * s;
        turn[p][1] = turn[p - 1][1] * c + turn[p - 1][0] * s;
    }
}

/* The order that comes h times in a cycle has cosine and sine of every h-th step. */
bool snub_cycle_tensions(const snub_order *orders, const snub_response *responses, int count, int spans, int points,
                         snub_arena *arena, double *swing)
{
    double(*turn)[2] = snub_alloc(arena, (size_t)points, sizeof *turn);
    const int once = common(orders, count);
    if (turn == NULL)
        return false;
    fill_turn(points, turn);
    for (int i = 0; i < points * spans; i++)
        swing[i] = 0.0;
    for (int k = 0; k < count; k++) {
        const int h = (int)lround(2.0 * orders[k].order) / once % points;
        const double c = cos(orders[k].phase), s = sin(orders[k].phase);
        for (int i = 0; i < spans; i++) {
            const double *part = responses[k].part[i];
            const double ahead = part[0] * c + part[1] * s, behind = part[0] * s - part[1] * c;
            for (int p = 0, at = 0; p < points; p++) {
                swing[i * points + p] += ahead * turn[at][0] + behind * turn[at][1];
                at += at + h < points ? h : h - points;
            }
        }
    }
    return true;
}

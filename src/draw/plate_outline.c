/* Convex hull of discs. Walking round the hull the outward normal u(a) = (cos a, sin a) turns from a to a + 2 pi. The
 * support of disc i is c_i u + r_i; the hull is where it is greatest. From disc i the next disc j takes over where the
 * two supports are equal and that of j grows faster: with d = c_j - c_i, D = |d| and the direction t of d,
 *     D cos(a - t) = r_i - r_j,   a = t - acos((r_i - r_j) / D),
 * since d/da D cos(a - t) = -D sin(a - t) > 0 there. The nearest such a ahead is the next tangent line. */
#include "plate_outline.h"

#include <math.h>

/* Angles nearer than this are one: discs that touch the same line. */
static const double SAME_ANGLE = 1e-9;

static double ahead(double angle, double from)
{
    double turn = fmod(angle - from, 2 * SNUB_PI);
    if (turn < -SAME_ANGLE)
        turn += 2 * SNUB_PI;
    return turn < 0 ? 0 : turn;
}

/* The lowest: the normal points down there. Of several the one farthest ahead, to the right. */
static int lowest(const snub_disc_at *disc, int count)
{
    int best = 0;
    for (int i = 1; i < count; i++) {
        const double drop = disc[i].at[1] - disc[i].radius, least = disc[best].at[1] - disc[best].radius;
        if (drop < least || (drop == least && disc[i].at[0] > disc[best].at[0]))
            best = i;
    }
    return best;
}

/* The disc that takes over from one, and after which turn of the normal; -1: none, it covers the others. */
static int next_disc(const snub_disc_at *disc, int count, int from, double angle, double *turn)
{
    int best = -1;
    double farthest = 0;
    *turn = INFINITY;
    for (int j = 0; j < count; j++) {
        const double dx = disc[j].at[0] - disc[from].at[0], dy = disc[j].at[1] - disc[from].at[1];
        const double apart = hypot(dx, dy), more = disc[from].radius - disc[j].radius;
        if (j == from || apart <= fabs(more))
            continue; /* one lies in the other: no line touches both */
        const double one = ahead(atan2(dy, dx) - acos(more / apart), angle);
        const bool same = fabs(one - *turn) <= SAME_ANGLE;
        if (one < *turn - SAME_ANGLE || (same && apart > farthest)) {
            *turn = same ? fmin(one, *turn) : one;
            best = j;
            farthest = apart;
        }
    }
    return best;
}

static snub_vertex point_on(const snub_disc_at *disc, double angle, double bulge)
{
    return (snub_vertex){disc->at[0] + disc->radius * cos(angle), disc->at[1] + disc->radius * sin(angle), bulge};
}

int snub_hull_of_discs(const snub_disc_at *disc, int count, snub_vertex *vertex)
{
    if (count < 1)
        return 0;
    const int start = lowest(disc, count);
    int at = start, n = 0;
    double angle = -SNUB_PI / 2, left = 2 * SNUB_PI;
    for (int step = 0; step <= 2 * count && left > SAME_ANGLE; step++) {
        double turn;
        const int next = next_disc(disc, count, at, angle, &turn);
        const double arc = next < 0 || turn > left ? left : turn;
        if (arc >= 2 * SNUB_PI - SAME_ANGLE) { /* one disc covers all: two half turns */
            vertex[0] = point_on(&disc[at], 0, 1);
            vertex[1] = point_on(&disc[at], SNUB_PI, 1);
            return 2;
        }
        if (arc > SAME_ANGLE)
            vertex[n++] = point_on(&disc[at], angle, tan(arc / 4));
        angle += arc;
        left -= arc;
        if (left <= SAME_ANGLE && at == start)
            break; /* round: the first corner is where this arc ends */
        vertex[n++] = point_on(&disc[at], angle, 0);
        at = next;
    }
    return n;
}

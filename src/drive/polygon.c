/* A polygon whose sides cross. */
#include "polygon.h"
#include "snub/drive.h"

/* Twice the area of the triangle a, b, c: its sign says on which side of a-b the point c lies. */
static double side_of(const double a[2], const double b[2], const double c[2])
{
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
}

static bool between(const double a[2], const double b[2], const double p[2])
{
    return p[0] >= fmin(a[0], b[0]) && p[0] <= fmax(a[0], b[0]) && p[1] >= fmin(a[1], b[1]) && p[1] <= fmax(a[1], b[1]);
}

/* Sides a-b and c-d share a point. */
static bool meet(const double a[2], const double b[2], const double c[2], const double d[2])
{
    const double ac = side_of(a, b, c), ad = side_of(a, b, d), ca = side_of(c, d, a), cb = side_of(c, d, b);
    if (((ac > 0 && ad < 0) || (ac < 0 && ad > 0)) && ((ca > 0 && cb < 0) || (ca < 0 && cb > 0)))
        return true;
    return (ac == 0 && between(a, b, c)) || (ad == 0 && between(a, b, d)) || (ca == 0 && between(c, d, a)) ||
           (cb == 0 && between(c, d, b));
}

int snub_polygon_crossing(int corners, const double (*corner)[2], int *other)
{
    for (int i = 0; i < corners; i++) {
        for (int j = i + 2; j < corners; j++) {
            if (i == 0 && j == corners - 1) /* neighbours round the end */
                continue;
            if (meet(corner[i], corner[(i + 1) % corners], corner[j], corner[(j + 1) % corners])) {
                if (other != NULL)
                    *other = j;
                return i;
            }
        }
    }
    return -1;
}

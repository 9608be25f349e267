/* Obstacles that turn with the arm, and the distance of two obstacles. docs/theory/clearance.md, "Bodies". */
#include "clearance2d.h"
#include "snub/clearance.h"

double snub_obstacle_round(const snub_obstacle *o)
{
    return o->shape == SNUB_POLYGON ? 0.0 : o->radius;
}

int snub_obstacle_points(const snub_obstacle *o)
{
    return o->shape == SNUB_POLYGON ? o->corners : o->shape == SNUB_STADIUM ? 2 : 1;
}

const double *snub_obstacle_point(const snub_obstacle *o, int i)
{
    if (o->shape == SNUB_POLYGON)
        return o->corner[i % o->corners];
    return o->shape == SNUB_STADIUM && i % 2 == 1 ? o->to : o->from;
}

/* Deepest point of one core in the other; 0 where none lies in it. */
static double deepest(const snub_obstacle *in, const snub_obstacle *of, double near[2])
{
    double depth = 0.0;
    if (in->shape != SNUB_POLYGON)
        return 0.0;
    for (int i = 0; i < snub_obstacle_points(of); i++) {
        const double *p = snub_obstacle_point(of, i);
        const double by = snub_point_polygon(p, in->corners, (const double(*)[2])in->corner, NULL);
        if (by >= depth)
            continue;
        depth = by;
        near[0] = p[0];
        near[1] = p[1];
    }
    return depth;
}

double snub_body_gap(const snub_obstacle *a, const snub_obstacle *b, double near[2], double far[2])
{
    const int sides_a = a->shape == SNUB_POLYGON ? a->corners : 1, sides_b = b->shape == SNUB_POLYGON ? b->corners : 1;
    double best = INFINITY, at[2], to[2];
    for (int i = 0; i < sides_a; i++) {
        for (int k = 0; k < sides_b; k++) {
            const double apart = snub_segment_segment(snub_obstacle_point(a, i), snub_obstacle_point(a, i + 1),
                                                      snub_obstacle_point(b, k), snub_obstacle_point(b, k + 1), at, to);
            if (apart >= best)
                continue;
            best = apart;
            near[0] = at[0];
            near[1] = at[1];
            far[0] = to[0];
            far[1] = to[1];
        }
    }
    const double in_a = deepest(a, b, near), in_b = deepest(b, a, near), depth = fmin(in_a, in_b);
    if (depth < 0.0) {
        far[0] = near[0];
        far[1] = near[1];
    }
    return (depth < 0.0 ? depth : best) - snub_obstacle_round(a) - snub_obstacle_round(b);
}

/* A point that moves with the arm, turned about its pivot. */
static void turn(const snub_arm *arm, double wind, const double p[2], double to[2])
{
    const double angle = arm->loads * wind, c = cos(angle), s = sin(angle);
    const double x = p[0] - arm->pivot[0], y = p[1] - arm->pivot[1];
    to[0] = arm->pivot[0] + c * x - s * y;
    to[1] = arm->pivot[1] + s * x + c * y;
}

void snub_cut_at(const snub_drive *drive, const snub_obstacle *o, int cut, double wind, double line[2][2])
{
    for (int end = 0; end < 2; end++) {
        const double *p = o->cuts[cut].line[end];
        line[end][0] = p[0];
        line[end][1] = p[1];
        if (o->on_arm && drive->arm >= 0)
            turn(&drive->pulleys[drive->arm].arm, wind, p, line[end]);
    }
}

snub_obstacle snub_obstacle_at(const snub_drive *drive, const snub_obstacle *o, double wind, double (*corner)[2])
{
    snub_obstacle turned = *o;
    if (!o->on_arm || drive->arm < 0)
        return turned;
    const snub_arm *arm = &drive->pulleys[drive->arm].arm;
    for (int i = 0; i < 2 + o->corners; i++) {
        const double *p = i == 0 ? o->from : i == 1 ? o->to : o->corner[i - 2];
        double *to = i == 0 ? turned.from : i == 1 ? turned.to : corner[i - 2];
        turn(arm, wind, p, to);
    }
    if (o->corners > 0)
        turned.corner = corner;
    return turned;
}

/* Circles around pulleys and obstacles; where a pulley has the belt. */
#include "reach.h"

bool snub_belt_faces(const snub_path *path, int pulley, const double point[2])
{
    double enter[2];
    snub_path_enter(path, pulley, enter);
    const double ex = enter[0] - path->centre[pulley][0], ey = enter[1] - path->centre[pulley][1];
    const double dx = point[0] - path->centre[pulley][0], dy = point[1] - path->centre[pulley][1];
    double turn = atan2(ex * dy - ey * dx, ex * dx + ey * dy);
    if (path->radius[pulley] > 0.0)
        turn = -turn;
    if (turn < 0.0)
        turn += 2.0 * SNUB_PI;
    return turn <= path->wrap[pulley];
}

double snub_widest(const snub_drive *drive, int pulley)
{
    const snub_belt *belt = &drive->belt;
    const snub_pulley *p = &drive->pulleys[pulley];
    double r = fmax(p->rim_radius, p->pitch_radius + fmax(belt->back, belt->thickness - belt->back));
    if (drive->hardware != NULL) {
        const snub_pulley_hardware *h = &drive->hardware->pulleys[pulley];
        r = fmax(r, p->rim_radius + fmax(h->flange_front, h->flange_rear));
        for (int k = 0; k < h->disc_count; k++)
            r = fmax(r, h->discs[k].radius);
    }
    return r;
}

double snub_obstacle_within(const snub_obstacle *o, double middle[2])
{
    const int points = snub_obstacle_points(o);
    double low[2] = {INFINITY, INFINITY}, high[2] = {-INFINITY, -INFINITY}, around = 0.0;
    for (int i = 0; i < points; i++) {
        const double *p = snub_obstacle_point(o, i);
        for (int k = 0; k < 2; k++) {
            low[k] = fmin(low[k], p[k]);
            high[k] = fmax(high[k], p[k]);
        }
    }
    for (int k = 0; k < 2; k++)
        middle[k] = 0.5 * (low[k] + high[k]);
    for (int i = 0; i < points; i++) {
        const double *p = snub_obstacle_point(o, i);
        around = fmax(around, hypot(p[0] - middle[0], p[1] - middle[1]));
    }
    return around + snub_obstacle_round(o);
}

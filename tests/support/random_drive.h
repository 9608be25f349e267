/** Drives by chance, the same for the same seed, for tests of invariants: ribbed pulleys around an ellipse, an idler on
 *  the belt's back pressed into one span, on a spring arm, on some of them. Centres in m, clockwise crank first. */
#ifndef TESTS_RANDOM_DRIVE_H
#define TESTS_RANDOM_DRIVE_H

#include "support/plain_drive.h"

typedef struct chance {
    uint64_t state;
} chance;

/** Even between low and high. */
static inline double chance_between(chance *c, double low, double high)
{
    c->state = c->state * 6364136223846793005u + 1442695040888963407u;
    return low + (high - low) * (double)(c->state >> 11) / 9007199254740992.0;
}

static inline int chance_whole(chance *c, int low, int high)
{
    const int whole = (int)chance_between(c, low, high + 1.0);
    return whole > high ? high : whole;
}

/* Ribbed circles and one idler between the first and the second; false where the belt would not lie well. */
static inline bool random_circles(chance *c, int ribbed, double (*centre)[2], double *radius, snub_path *path)
{
    const double a = chance_between(c, 0.15, 0.3), b = chance_between(c, 0.15, 0.3), start = chance_between(c, 0, 6.28);
    for (int i = 0; i < ribbed; i++) {
        const int k = i == 0 ? 0 : i + 1;
        const double t = start - 2 * SNUB_PI * (i + chance_between(c, -0.2, 0.2)) / ribbed;
        centre[k][0] = a * cos(t);
        centre[k][1] = b * sin(t);
        radius[k] = i == 0 ? chance_between(c, 0.05, 0.09) : chance_between(c, 0.025, 0.06);
    }
    double u[2], length;
    if (!snub_tangent(centre[0], radius[0], centre[2], radius[2], u, &length))
        return false;
    const double along = length * chance_between(c, 0.35, 0.65), idler = chance_between(c, 0.025, 0.045);
    const double out = radius[0] + idler - chance_between(c, 0.01, 0.05);
    centre[1][0] = centre[0][0] + along * u[0] - out * u[1];
    centre[1][1] = centre[0][1] + along * u[1] + out * u[0];
    radius[1] = -idler;
    const int n = ribbed + 1;
    if (snub_path_lay(n, (const double(*)[2])centre, radius, 1.0, path, NULL) != SNUB_OK)
        return false;
    for (int i = 0; i < n; i++) {
        if (path->wrap[i] < 0.15 || path->wrap[i] > 5 || path->span[i] < 0.01)
            return false;
    }
    return true;
}

/* The idler's arm, so that it stands at `wind` with about `tension`; false where it would have no lever. */
static inline bool random_arm(chance *c, plain_drive *p, const snub_path *path, double tension)
{
    snub_arm *arm = &p->pulleys[1].arm;
    const double fx = path->u[1][0] - path->u[0][0], fy = path->u[1][1] - path->u[0][1];
    const double across = atan2(fy, fx) + (chance_between(c, 0, 1) < 0.5 ? -1 : 1) * chance_between(c, 0.7, 1.5);
    arm->length = chance_between(c, 0.05, 0.12);
    const double x = arm->length * cos(across), y = arm->length * sin(across), moment = x * fy - y * fx;
    if (fabs(moment) < 0.02 * arm->length)
        return false;
    arm->pivot[0] = path->centre[1][0] - x;
    arm->pivot[1] = path->centre[1][1] - y;
    arm->loads = moment > 0 ? 1 : -1;
    arm->travel = chance_between(c, 0.5, 1.1);
    const double wind = arm->travel * chance_between(c, 0.25, 0.75);
    arm->free = across - arm->loads * wind;
    arm->rate = tension * fabs(moment) * chance_between(c, 0.2, 0.8);
    arm->preload = tension * fabs(moment) - arm->rate * wind;
    arm->damping = chance_between(c, 0, 0.3);
    p->pulleys[1].sits = SNUB_ON_ARM;
    p->drive.arm = 1;
    return true;
}

/* Half of the drives have another pulley between crank and idler, so that both spans of the idler are pulled up. */
static inline void random_crank(chance *c, plain_drive *p)
{
    if (chance_between(c, 0, 1) < 0.5)
        return;
    p->pulleys[0].is_crank = false;
    p->drive.crank = chance_whole(c, 2, p->drive.pulley_count - 1);
    p->pulleys[p->drive.crank].is_crank = true;
}

/** A drive with a belt that has some 400 N at rest.
 *  @param[out] belt_length  pitch length for a snub_case, m */
static inline void random_drive(chance *c, bool with_arm, plain_drive *p, double *belt_length)
{
    double centre[PLAIN_PULLEYS_MOST][2], radius[PLAIN_PULLEYS_MOST];
    for (;;) {
        snub_path path;
        const int ribbed = chance_whole(c, 2, 8);
        if (!random_circles(c, ribbed, centre, radius, &path))
            continue;
        plain_drive_init(p, ribbed + 1, (const double(*)[2])centre, radius);
        random_crank(c, p);
        p->drive.belt.stiffness = chance_between(c, 6e4, 3e5);
        p->drive.belt.mass = chance_between(c, 0.06, 0.2);
        p->drive.belt.measuring_tension = chance_between(c, 100, 500);
        const double tension = chance_between(c, 250, 700);
        if (with_arm && !random_arm(c, p, &path, tension))
            continue;
        *belt_length = plain_length_for(p, &path, tension);
        return;
    }
}

#endif

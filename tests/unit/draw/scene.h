/** A drive to draw: crank, tensioner on an arm, blower, idler in a slot. mm. Laid by hand with the tangent formula, so
 *  that the room's views are compared with lengths that it did not make. */
#ifndef TESTS_DRAW_SCENE_H
#define TESTS_DRAW_SCENE_H

#include <math.h>
#include <string.h>

#include "snub/draw.h"

enum { SCENE_PULLEYS = 5 };

typedef struct scene_drive {
    snub_view_pulley pulley[SCENE_PULLEYS];
    snub_view_build build[2];
    snub_view_slot slot;
    snub_view_obstacle obstacle[2];
    double corner[4][2];
    snub_view_hole hole[2];
    snub_view view;
    double length; /* pitch */
} scene_drive;

/* L = sqrt(d^2 - (r1 - r2)^2); touch points c + r n. Signed radii, clockwise positive. */
static inline void scene_span(snub_view_pulley *a, snub_view_pulley *b, double u[2])
{
    double r1 = a->sense * a->pitch_radius, r2 = b->sense * b->pitch_radius, h = r1 - r2;
    double d[2] = {b->centre[0] - a->centre[0], b->centre[1] - a->centre[1]};
    double dd = d[0] * d[0] + d[1] * d[1], length = sqrt(dd - h * h);
    u[0] = (length * d[0] + h * d[1]) / dd;
    u[1] = (length * d[1] - h * d[0]) / dd;
    a->span = length;
    a->leave[0] = a->centre[0] - r1 * u[1];
    a->leave[1] = a->centre[1] + r1 * u[0];
    b->enter[0] = b->centre[0] - r2 * u[1];
    b->enter[1] = b->centre[1] + r2 * u[0];
}

static inline void scene_lay(scene_drive *scene, snub_view_pulley *p, int n)
{
    double u[SCENE_PULLEYS][2];
    scene->length = 0;
    for (int i = 0; i < n; i++)
        scene_span(&p[i], &p[(i + 1) % n], u[i]);
    for (int i = 0; i < n; i++) {
        const double *in = u[(i + n - 1) % n], *out = u[i];
        double turn = atan2(in[0] * out[1] - in[1] * out[0], in[0] * out[0] + in[1] * out[1]);
        p[i].wrap = fmod(-p[i].sense * turn + 2 * SNUB_PI, 2 * SNUB_PI);
        scene->length += p[i].span + p[i].pitch_radius * p[i].wrap;
    }
}

static inline snub_view_pulley scene_pulley(const char *name, bool back, double x, double y, double diameter)
{
    return (snub_view_pulley){.name = name,
                              .back = back,
                              .sense = back ? -1 : 1,
                              .centre = {x, y},
                              .pitch_radius = diameter / 2 + (back ? 1.5 : 2),
                              .outer_radius = diameter / 2,
                              .rim_radius = diameter / 2 + (back ? 1 : 0),
                              .rpm = NAN,
                              .frequency_Hz = NAN,
                              .tension_N = NAN,
                              .width = 28};
}

static inline void scene_make(scene_drive *s)
{
    memset(s, 0, sizeof *s);
    snub_view_arm arm = {.pulley = 1,
                         .pivot = {-205, 60},
                         .length = 90,
                         .rest = 0.6,
                         .winds = -1,
                         .travel = 1,
                         .wind = 0.5,
                         .work = {0.1, 0.9}};
    double angle = arm.rest + arm.winds * arm.wind;
    s->pulley[0] = scene_pulley("crank", false, 0, 0, 185);
    s->pulley[0].crank = true;
    s->pulley[1] = scene_pulley("tensioner", true, arm.pivot[0] + arm.length * cos(angle),
                                arm.pivot[1] + arm.length * sin(angle), 76);
    s->pulley[2] = scene_pulley("alternator", false, -205, 190, 60);
    s->pulley[3] = scene_pulley("snub", true, -90, 250, 64);
    s->pulley[4] = scene_pulley("blower", false, 20, 320, 80);
    scene_lay(s, s->pulley, SCENE_PULLEYS);
    s->build[0] = (snub_view_build){.name = "8PK1400",
                                    .count = SCENE_PULLEYS,
                                    .pulley = s->pulley,
                                    .length = 1400,
                                    .thickness = 4.5,
                                    .back = 1.5,
                                    .width = 28.5};
    s->slot = (snub_view_slot){.pulley = 3, .from = {-106, 238}, .to = {-74, 262}, .length = 40, .setting = 20};
    s->corner[0][0] = 90, s->corner[0][1] = 60;
    s->corner[1][0] = 150, s->corner[1][1] = 60;
    s->corner[2][0] = 150, s->corner[2][1] = 130;
    s->corner[3][0] = 90, s->corner[3][1] = 130;
    s->obstacle[0] = (snub_view_obstacle){.name = "bracket", .count = 4, .corner = (const double(*)[2])s->corner};
    s->obstacle[1] = (snub_view_obstacle){.name = "hose", .round = true, .centre = {-90, 130}, .radius = 18};
    s->hole[0] = (snub_view_hole){.name = "M8", .at = {-60, 200}, .diameter = 8.4};
    s->hole[1] = (snub_view_hole){.name = "M8", .at = {-30, 230}, .diameter = 8.4};
    s->view = (snub_view){.title = "Test drive",
                          .build_count = 1,
                          .build = s->build,
                          .arm = arm,
                          .slot_count = 1,
                          .slot = &s->slot,
                          .obstacle_count = 2,
                          .obstacle = s->obstacle,
                          .hole_count = 2,
                          .hole = s->hole,
                          .state = "engine stopped"};
}

#endif

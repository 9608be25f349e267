/** A drive of circles in numbers, for tests of layout and balance: no file, no defaults. */
#ifndef TESTS_PLAIN_DRIVE_H
#define TESTS_PLAIN_DRIVE_H

#include <string.h>

#include "snub/balance.h"

enum { PLAIN_PULLEYS_MOST = 16 };

typedef struct plain_drive {
    snub_drive drive;
    snub_pulley pulleys[PLAIN_PULLEYS_MOST];
} plain_drive;

/** n fixed pulleys, the crank first. Signed radius: positive where the pulley turns clockwise with a clockwise crank,
 *  that is where it is ribbed. */
static inline void plain_drive_init(plain_drive *p, int n, const double (*centre)[2], const double *radius)
{
    static const char *const names[PLAIN_PULLEYS_MOST] = {"crank", "p1", "p2",  "p3",  "p4",  "p5",  "p6",  "p7",
                                                          "p8",    "p9", "p10", "p11", "p12", "p13", "p14", "p15"};
    memset(p, 0, sizeof *p);
    p->drive.title = "plain";
    p->drive.turn = 1.0;
    p->drive.pulley_count = n;
    p->drive.pulleys = p->pulleys;
    p->drive.crank = 0;
    p->drive.arm = p->drive.locked = -1;
    p->drive.belt = (snub_belt){.section = "PK",
                                .ribs = 1,
                                .length = NAN,
                                .stiffness = 1e5,
                                .mass = 0.1,
                                .design = {0.4413, 0.35},
                                .limit = {0.9, 0.35}};
    for (int i = 0; i < n; i++) {
        snub_pulley *pulley = &p->pulleys[i];
        pulley->name = names[i];
        pulley->side = radius[i] > 0 ? SNUB_RIB : SNUB_BACK;
        pulley->is_crank = i == 0;
        pulley->sits = SNUB_FIXED;
        pulley->at[0] = centre[i][0];
        pulley->at[1] = centre[i][1];
        pulley->pitch_radius = fabs(radius[i]);
        pulley->setting = NAN;
    }
}

/** Belt length [m] with which the slack side of a fixed drive at rest would have a tension [N]. */
static inline double plain_length_for(const plain_drive *p, const snub_path *path, double tension)
{
    return path->length * (1.0 - (tension - p->drive.belt.measuring_tension) / p->drive.belt.stiffness);
}

#endif

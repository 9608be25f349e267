/* What a check gathers before it speaks: the worst of every quantity over all cases. Private to the room. */
#ifndef SNUB_STUDY_H
#define SNUB_STUDY_H

#include "snub/kit.h"

/** A belt within tolerance and wear. For a locked drive each has its own setting. */
typedef enum snub_corner { SNUB_CORNER_NOMINAL, SNUB_CORNER_SHORT, SNUB_CORNER_LONG, SNUB_CORNER_COUNT } snub_corner;

/** A value with the case in which it was met. */
typedef struct snub_worst {
    double value;
    int speed; /**< index into loads */
    snub_running running;
    snub_corner corner;
    int side; /**< arm friction -1, 0, 1 */
    bool set;
} snub_worst;

typedef struct snub_study {
    const snub_drive *drive;
    const snub_loads *loads;
    snub_arena *arena;
    double length; /**< nominal effective, m */
    snub_rig rig[SNUB_CORNER_COUNT];
    bool same_rig; /**< all corners use rig[0] */
    /* worst of each */
    snub_worst grip[SNUB_PULLEYS_MOST], limit_grip[SNUB_PULLEYS_MOST], wet_grip[SNUB_PULLEYS_MOST];
    snub_worst slack[SNUB_PULLEYS_MOST]; /**< least tractive tension of the span behind a pulley, N */
    snub_worst wrap[SNUB_PULLEYS_MOST];  /**< least */
    snub_worst pulley_speed[SNUB_PULLEYS_MOST];
    snub_worst onset;   /**< lowest speed with slip on limit friction, steady or rising: value is the speed, rad/s */
    snub_worst tension; /**< greatest total, N */
    int tension_span;
    snub_worst belt_speed;
    snub_worst wind_low, wind_high; /**< over all cases */
    snub_worst work_low, work_high; /**< steady ones: transients may leave the work range */
    snub_worst at_rest, at_stop;    /**< arm on its rest or stop: value is the wind */
    snub_worst several;             /**< more than one equilibrium */
    snub_worst dead;                /**< past the dead point */
    snub_worst none;                /**< no equilibrium */
    snub_error none_why;
} snub_study;

/** Effective length and stretch of a corner. */
double snub_corner_length(const snub_study *study, snub_corner corner, double *stretch);
/** Rig of a corner. */
const snub_rig *snub_study_rig(const snub_study *study, snub_corner corner);
/** Solve every case and keep the worst. */
void snub_study_run(snub_study *study);
/** Say what was found. */
void snub_study_findings(const snub_study *study, const snub_check *check, snub_findings *findings);

#endif

/* A drive at one moment of a run: what follows from its state, and how the state goes on; private to the room. */
#ifndef SNUB_MOTION_RUN_VIEW_H
#define SNUB_MOTION_RUN_VIEW_H

#include "run_history.h"
#include "snub/motion_run.h"

/* Of the state, one number for each pulley: */
enum {
    RUN_BELT_ON, /* Q: unstretched belt that has run on to it, m */
    RUN_WAY,     /* way of the belt over it, m */
    RUN_SPEED,   /* of the pulley; of an overrunning one the rim, rad/s. The crank's stands */
    RUN_BLOCKS
};
/* behind them the arm's, and behind these the shafts behind overrunning clutches, rad/s: */
enum { RUN_WIND, RUN_WIND_SPEED, RUN_SINGLES };
/* Of the sums that are kept of it: for each pulley */
enum {
    RUN_ENERGY, /* G: that ran on to it with the belt, J */
    RUN_SLIP,   /* heat of slipping, J */
    RUN_SUM_BLOCKS
};
/* and behind them: */
enum { RUN_WORK, RUN_LOADS, RUN_CREEP, RUN_MOMENTUM, RUN_RUBBED, RUN_GROUND, RUN_SUM_SINGLES };

static inline int run_at(int pulleys, int block, int pulley)
{
    return block * pulleys + pulley;
}
static inline int run_single(int pulleys, int single)
{
    return RUN_BLOCKS * pulleys + single;
}
static inline int run_sum(int pulleys, int single)
{
    return RUN_SUM_BLOCKS * pulleys + single;
}

typedef struct run_view {
    snub_run_crank crank;
    double flux, loose; /* m v2 [N], and the strain that it makes */
    snub_arm_geometry arm;
    double span[SNUB_PULLEYS_MOST], content[SNUB_PULLEYS_MOST]; /* length, unstretched belt in it, m */
    double raw[SNUB_PULLEYS_MOST], pull[SNUB_PULLEYS_MOST];    /* tractive tension as if belt could push; as it is, N */
    double turn[SNUB_PULLEYS_MOST];                            /* how far span i has turned since the start, rad ccw */
    double turn_speed[SNUB_PULLEYS_MOST];                      /* rad/s */
    double wrap[SNUB_PULLEYS_MOST], excess[SNUB_PULLEYS_MOST]; /* over what friction holds, N; <= 0: it holds */
    double belt[SNUB_PULLEYS_MOST], slip[SNUB_PULLEYS_MOST];   /* speed of the belt, and over the surface, m/s */
    double torque[SNUB_PULLEYS_MOST];                          /* absorbed by the shaft, N m */
    double drives[SNUB_PULLEYS_MOST];                          /* what a clutch hands on, N m */
    double can;                                                /* the most that the clutch that closes can, N m */
    double moment, rub; /* on the arm without friction, in the sense of its wind; half of the friction's band, N m */
    run_belt off[SNUB_PULLEYS_MOST]; /* what leaves the pulleys */
} run_view;

typedef enum run_arm { RUN_ARM_BOLTED, RUN_ARM_MOVES, RUN_ARM_STICKS, RUN_ARM_LOW, RUN_ARM_HIGH } run_arm;

typedef struct run {
    const snub_run_model *model;
    int n, crank, before, after; /* the arm's neighbours; -1 without an arm */
    run_arm arm;
    double against;               /* the way that a moving arm goes: +1 or -1; 0: without friction */
    double held_until;            /* s: an arm that chatters between holding and moving is held so long */
    int states, sums;             /* how many there are */
    int shaft[SNUB_PULLEYS_MOST]; /* place of a shaft's speed in the state: its pulley's, without a clutch */
    bool open[SNUB_PULLEYS_MOST]; /* its overrunning clutch has let go, the one that closes slips */
    bool closing;                 /* the clutch that closes has begun to */
    double way;                   /* the rim is faster: +1; slower than the shaft: -1; of the one that closes */
    double start_u[2][2];         /* directions of the spans at the arm, at the start */
    double arc[SNUB_PULLEYS_MOST], wrap[SNUB_PULLEYS_MOST], hold[SNUB_PULLEYS_MOST]; /* m, rad, exp(friction wrap); as
                                                                                        they were at the start */
    double content[SNUB_PULLEYS_MOST]; /* unstretched belt in a span, less Q off its pulley, plus Q on the next, m */
    run_history history;
    long calls;
    double seen_time, *seen; /* the moment of the view: time and state. NAN: none */
    run_view view;
} run;

/* It has the clutch that closes. */
bool run_closes(const run *r, int pulley);
/* The solver asks for one moment several times: it is looked at once. Good until the next look.
 *  @return NULL: the belt is lost at that wind */
const run_view *run_look(run *r, double time, const double *y);
/* Something turned over at this moment: look again. */
void run_look_again(run *r);
/* How the state goes on: dy/dt. */
void run_rates(const run *r, const double *y, const run_view *view, double *rate);
/* How its sums do. */
void run_sum_rates(const run *r, const double *y, const run_view *view, double *rate);
/* Energy that is stored, J. */
double run_stored(const run *r, const double *y, const double *sums, const run_view *view);
/* Where the belt lies that runs on to the pulleys now, and what it is. */
void run_belt_on(const run *r, const double *y, const double *sums, const run_view *view, double *way, run_belt *belt);
double run_total(const run_view *view, int span); /* tension, N */

#endif

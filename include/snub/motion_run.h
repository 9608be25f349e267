/** snub/motion_run.h - a drive in motion step by step in time: belt that runs round with its strain, dry friction, end
 *  stops, slack spans, slipping pulleys, overrunning clutches.
 *
 *  The crank's speed is given over time; everything else follows. Theory: docs/theory/motion.md, in time. Solved by
 *  SUNDIALS' CVODES, events by its search for roots. Angles and speeds count positive in the belt's sense of
 *  travel over each pulley.
 */
#ifndef SNUB_MOTION_RUN_H
#define SNUB_MOTION_RUN_H

#include "snub/balance.h"

/** The crank at one moment. */
typedef struct snub_run_crank {
    double mean; /**< speed without the engine's unevenness, rad/s: moves the belt's momentum */
    double rate; /**< of the mean, rad/s2 */
    double now;  /**< speed with all, rad/s */
} snub_run_crank;

/** A clutch that closes by friction: it hands on what it can while its sides turn at other speeds, and all that is
 * asked, up to that, once they turn as one. */
typedef struct snub_run_clutch {
    int pulley;    /**< behind whose rim (`rim` of the model) it sits; not the crank's */
    double torque; /**< at most, N m > 0 */
    double closes; /**< s >= 0: from there on its torque rises, from 0 and evenly */
    double rise;   /**< s >= 0 that it takes to its greatest */
} snub_run_clutch;

/** What runs. Caller-owned; must stay while it runs. */
typedef struct snub_run_model {
    const snub_rig *rig; /**< laid: path, arm, spring, belt */
    bool arm_free;       /**< false: the arm is bolted where it starts, or there is none */
    double
        inertia[SNUB_PULLEYS_MOST]; /**< of a pulley with all that turns with it, kg m2 > 0; the crank's is not read */
    double rim[SNUB_PULLEYS_MOST];  /**< of it, what stays on the belt when a clutch lets go; 0: no clutch */
    const snub_run_clutch *clutch;  /**< that closes; the other rims have overrunning clutches. NULL: none */
    double friction[SNUB_PULLEYS_MOST]; /**< of belt on pulley at which it slips */
    double arm_inertia;                 /**< kg m2 */
    double arm_friction[2];             /**< of the arm: N m at wind 0, N m/rad more */
    double stops[2];                    /**< winds at which the arm is stopped, rad */
    double slip_drag;                   /**< N more across a pulley that slips at 1 m/s, > 0; see snub_run_usual_drag */
    void (*crank_at)(const void *context, double time, snub_run_crank *crank);
    /** Torque that a shaft absorbs at its speed [rad/s], N m. */
    double (*torque_at)(const void *context, int pulley, double time, double speed);
    const void *context;
} snub_run_model;

/** A tenth of what resists a sudden slip in a belt with mass, sqrt(EA m) [N s/m]. Rule of thumb, no published source.
 */
double snub_run_usual_drag(const snub_rig *rig);

/** Where it starts: a balance. */
typedef struct snub_run_start {
    double wind;                       /**< rad */
    double tension[SNUB_PULLEYS_MOST]; /**< total, of span i, N */
    double speed[SNUB_PULLEYS_MOST];   /**< of each pulley, rad/s; the crank's is not read */
    double arm_speed;                  /**< rad/s */
    double shaft;                      /**< speed of the shaft behind the clutch that closes, rad/s */
} snub_run_start;

typedef enum snub_run_event_kind {
    SNUB_RUN_SLACK,      /**< a span carries no tension beyond what turns the running belt around */
    SNUB_RUN_SLIPS,      /**< the belt slides over a pulley */
    SNUB_RUN_FREEWHEELS, /**< an overrunning clutch has let go */
    SNUB_RUN_AT_REST,    /**< the arm is pressed against its free end */
    SNUB_RUN_AT_STOP,    /**< the arm is pressed against its stop */
    SNUB_RUN_STICKS,     /**< dry friction holds the arm */
    SNUB_RUN_GRINDS,     /**< a clutch that closes slips */
    SNUB_RUN_EVENTS_
} snub_run_event_kind;

/** One or several times the same, no more than `together` apart. */
typedef struct snub_run_event {
    snub_run_event_kind kind;
    int at;            /**< span or pulley; the arm's pulley */
    int count;         /**< times */
    double from, to;   /**< s; the last may last to the end */
    double speed[2];   /**< engine's mean speed there, rad/s */
    double longest;    /**< s */
    double most;       /**< slack: length that hangs loose, m; slips: speed over the pulley, m/s; at rest or stop: speed
                            at which the arm struck, rad/s; freewheels: how much faster the shaft turns, grinds: speed
                            between both sides, rad/s */
    double slack_long; /**< slack: length that hung loose in the longest, m */
} snub_run_event;

/** Low and high of a number over the run, and when, s. */
typedef struct snub_run_range {
    double low, high, low_at, high_at;
} snub_run_range;

/** Where the energy went, J. In: `work`. It is stored or went into all the others. */
typedef struct snub_run_energy {
    double work;      /**< of the crank on the belt */
    double loads;     /**< taken by the shafts */
    double creep;     /**< heat: belt creeping over pulleys, and loose belt that is pulled on to one */
    double slip;      /**< heat: belt sliding over pulleys */
    double arm;       /**< heat: the arm's friction */
    double stops;     /**< heat: the arm striking its ends */
    double clutch;    /**< heat: the clutch that closes */
    double momentum;  /**< stretch that the running belt's momentum took over as it changed speed */
    double stored[2]; /**< at the start, at the end */
    double left_over; /**< work - all the others - what is stored more: 0 but for the steps' errors */
} snub_run_energy;

/** The drive at a moment. Arrays of as many as there are pulleys. */
typedef struct snub_run_sample {
    double time, engine, crank; /**< s; mean speed and speed of the crank, rad/s */
    double wind, arm_speed;     /**< NAN without an arm */
    double *tension;            /**< total, N */
    double *low, *high;         /**< of it since the sample before */
    double *speed;              /**< of the shaft, rad/s */
    double *slip;               /**< of the belt over the pulley, forward positive, m/s */
    double wind_low, wind_high;
} snub_run_sample;

typedef struct snub_run_result {
    double ended;   /**< s; less than asked where `why` says so */
    bool whole;     /**< it ran to its end */
    snub_error why; /**< where not */
    int sample_count;
    snub_run_sample *samples;
    int event_count; /**< in order of their beginnings */
    snub_run_event *events;
    bool events_cut;                                   /**< there were more than SNUB_RUN_EVENTS_MOST */
    snub_run_range tension[SNUB_PULLEYS_MOST];         /**< total, of span i, N */
    snub_run_range hub[SNUB_PULLEYS_MOST];             /**< pull at the pulley, N */
    snub_run_range wind;                               /**< rad; NANs without an arm */
    double slip_heat[SNUB_PULLEYS_MOST];               /**< J */
    double slip_power[SNUB_PULLEYS_MOST];              /**< greatest, W */
    double locks;                                      /**< s: the clutch that closes has closed; NAN: it has not */
    double clutch_power;                               /**< greatest heat in it, W */
    double share[SNUB_RUN_EVENTS_][SNUB_PULLEYS_MOST]; /**< of the time, by kind and place */
    snub_run_energy energy;
    long steps, calls; /**< of the solver; of the equations */
} snub_run_result;

enum { SNUB_RUN_EVENTS_MOST = 400, SNUB_RUN_SAMPLES_MOST = 200000 };

typedef struct snub_run_request {
    double length;    /**< s > 0 */
    double sample;    /**< s between samples; 0: the ends alone */
    double tolerance; /**< of a step, against a strain of 0.001 and the like; 0: 1e-5 */
    double together;  /**< s: events of one kind and place that are nearer than that are one */
    int break_count;  /**< times at which the crank's course or the loads bend, rising */
    const double *breaks;
    /** May be NULL. @return false: stop */
    bool (*progress)(double time, double length, void *context);
    void *context;
} snub_run_request;

/** Run. @param[out] result  memory is the arena's; where the solver cannot go on (the arm swings so far that the belt
 *  is lost), it holds what there is up to there
 *  @return SNUB_OK; SNUB_BAD_INPUT (a number of the request or the model, named); SNUB_NO_MEMORY */
snub_status snub_run(const snub_run_model *model, const snub_run_start *start, const snub_run_request *request,
                     snub_arena *arena, snub_run_result *result, snub_error *error);

#endif

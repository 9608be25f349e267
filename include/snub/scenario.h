/** snub/scenario.h - a settled build step by step in time: what the engine does, and what the belt drive makes of it.
 *  Room: kit.
 *
 *  Nominal belt, warm, the file's limit friction. Theory: docs/theory/motion.md, in time.
 */
#ifndef SNUB_SCENARIO_H
#define SNUB_SCENARIO_H

#include "snub/motion_run.h"
#include "snub/vibration.h"

/** What the engine does. */
typedef enum snub_scenario {
    SNUB_SCENARIO_PULL,   /**< idle, up to redline with the throttle open, down to idle with it shut */
    SNUB_SCENARIO_SHIFT,  /**< pulls to redline, gear change with the throttle shut, pulls again */
    SNUB_SCENARIO_LIFT,   /**< at redline, throttle shut, down to idle */
    SNUB_SCENARIO_BLIP,   /**< out of gear at idle: throttle snapped open, then shut */
    SNUB_SCENARIO_LAUNCH, /**< clutch dropped with the engine turning high, then it pulls */
    SNUB_SCENARIO_HOLD,   /**< one speed, throttle open */
    SNUB_SCENARIO_ENGAGE, /**< the same, and the blower's clutch closes */
    SNUB_SCENARIOS_
} snub_scenario;
/** "pull", "shift", "lift", "blip", "launch", "hold", "engage": as they are asked for. */
const char *snub_scenario_name(snub_scenario scenario);
/** What it is, in a sentence; English. */
const char *snub_scenario_text(snub_scenario scenario);

enum { SNUB_COURSE_POINTS_MOST = 12 };

/** Engine speed and throttle over time, straight between the points. */
typedef struct snub_course {
    int count;
    double time[SNUB_COURSE_POINTS_MOST];  /**< s, rising from 0 */
    double speed[SNUB_COURSE_POINTS_MOST]; /**< rad/s */
    double open[SNUB_COURSE_POINTS_MOST];  /**< throttle: 1 open, 0 shut */
    double angle[SNUB_COURSE_POINTS_MOST]; /**< of the crank since the start, rad */
    unsigned assumed;                      /**< bits of snub_course_assumed */
} snub_course;

/** What of a course the file does not say. */
typedef enum snub_course_assumed {
    SNUB_ASSUMED_RISE = 1 << 0,
    SNUB_ASSUMED_FALL = 1 << 1,
    SNUB_ASSUMED_BLIP = 1 << 2,
    SNUB_ASSUMED_THROTTLE = 1 << 3, /**< how fast it moves */
    SNUB_ASSUMED_SHIFT = 1 << 4,    /**< from which speed to which */
    SNUB_ASSUMED_LAUNCH = 1 << 5,
    SNUB_ASSUMED_BLIP_TO = 1 << 6,
    SNUB_ASSUMED_CLUTCH = 1 << 7,  /**< what it carries */
    SNUB_ASSUMED_CLOSING = 1 << 8, /**< how long it takes to close */
    SNUB_COURSE_ASSUMED_LAST = SNUB_ASSUMED_CLOSING
} snub_course_assumed;
/** "the engine gains 1500 rpm/s", ...; English, for one bit. */
const char *snub_course_assumed_text(snub_course_assumed what);

typedef struct snub_scenario_request {
    snub_scenario scenario;
    double speed;  /**< of SNUB_SCENARIO_HOLD and ENGAGE, rad/s; NAN: idle */
    double length; /**< of the same, s */
    /** of SNUB_SCENARIO_ENGAGE: torque that the clutch carries, N m, and the time it takes to that, s; 0: assumed */
    double clutch_torque, clutch_rise;
    double sample;    /**< s between samples */
    double tolerance; /**< as in snub_run_request */
    bool even;        /**< a crank that turns evenly */
    bool (*progress)(double time, double length, void *context);
    void *context;
} snub_scenario_request;

/** Where the run ends, beside the balance there: the same speed and throttle, steady. */
typedef struct snub_run_end {
    bool solved;
    double wind, balance; /**< of the arm at the end, and in the balance, rad; NAN without an arm */
    double band[2];       /**< winds between which the arm's friction holds it there, rad */
} snub_run_end;

typedef struct snub_scenario_run {
    const snub_build *build;
    const snub_drive *drive;
    snub_scenario_request request;
    snub_course course;
    snub_vibration vibration; /**< over the speeds of the course: inertias, and how unevenly the crank turns */
    bool even;                /**< the crank turns evenly: as asked, or because more is not known */
    snub_run_clutch clutch;   /**< of SNUB_SCENARIO_ENGAGE; torque 0: none */
    double clutch_rim;        /**< inertia before it, assumed, kg m2 */
    bool started;             /**< false: there is no balance to start from, `why` says so, and the rest is empty */
    snub_finding why;
    snub_run_result result;
    snub_run_end end;
    /** A span that hung loose for longer than the belt takes to run its length, and so far that it hung out by more
     * than the belt is thick: events of the result; -1: none. The belt may be thrown. */
    int thrown;
} snub_scenario_run;

/** @return "below idle", "over the redline": speeds of the course for which the build is not judged; NULL: none */
const char *snub_scenario_outside(const snub_scenario_run *run);

/** @param[in] build  settled
 *  @return SNUB_OK; SNUB_BAD_INPUT (no engine; no blower to engage; a request that cannot be; a blower without an
 * answer); SNUB_NO_MEMORY */
snub_status snub_scenario_run_make(const snub_build *build, const snub_scenario_request *request, snub_arena *arena,
                                   snub_scenario_run *run, snub_error *error);

#endif

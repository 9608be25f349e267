/** snub/kit.h - options into builds: loads over the rev range, belt pick, idler setting, findings, check, chart.
 *
 *  docs/theory/kit.md says how a belt and a setting are chosen and which cases a finding covers.
 */
#ifndef SNUB_KIT_H
#define SNUB_KIT_H

#include "snub/balance.h"
#include "snub/demand.h"

/* ---- findings ------------------------------------------------------------------------------------------------ */

typedef enum snub_level { SNUB_PASS, SNUB_NOTE, SNUB_WATCH, SNUB_FAIL } snub_level;
/** "pass", "note", "watch", "fail" */
const char *snub_level_text(snub_level level);

/** One thing worth saying about a build. value and limit are in `unit`. */
typedef struct snub_finding {
    snub_level level;
    const char *rule;    /**< "grip", "slack", "arm_travel", ...: literal */
    const char *pulley;  /**< name it speaks of, NULL if none */
    const char *other;   /**< the second thing ("span crank - pump", a pulley), NULL if none */
    double value, limit; /**< NAN: does not apply */
    const char *unit;    /**< "" for a plain number */
    double at_speed;     /**< engine speed where it is worst, rad/s; NAN: at any */
    const char *state;   /**< "at rest", "steady", "rising", "falling", "fitting", "laid out" */
    const char *text;    /**< what it means and what to do about it, one or two sentences */
    const char *source;  /**< of the limit */
} snub_finding;

/** Findings of one build, worst first once sorted. Memory: the arena given to the call that fills it. */
typedef struct snub_findings {
    snub_finding *items;
    int count, room;
    bool failed; /**< memory ran out: the list is not whole */
} snub_findings;

/** Add, or replace the one of the same rule, pulley and other if the new one is worse. */
void snub_findings_add(snub_findings *findings, snub_arena *arena, const snub_finding *finding);
/** fail, watch, note; then by rule and pulley. */
void snub_findings_sort(snub_findings *findings);
/** Worst level present; SNUB_PASS for none. A note does not spoil a pass: it counts as SNUB_PASS here. */
snub_level snub_findings_verdict(const snub_findings *findings);

/* ---- loads over the rev range --------------------------------------------------------------------------------- */

typedef enum snub_running { SNUB_STEADY, SNUB_RISING, SNUB_FALLING, SNUB_RUNNING_COUNT } snub_running;
/** "steady", "rising", "falling" */
const char *snub_running_text(snub_running running);

enum { SNUB_SPEEDS_MOST = 512 };

/** Torque that every pulley absorbs at each speed and state. Does not depend on belt length or setting.
 *  Falling is with the throttle shut: a blower is unloaded, its inertia drives the belt. */
typedef struct snub_loads {
    int speeds, pulleys;
    double *speed;                      /**< rad/s, rising; the first is 0, at rest */
    double rate[SNUB_RUNNING_COUNT];    /**< rad/s2; "steady" is 0 unless a single speed was asked with a rate */
    double *torque[SNUB_RUNNING_COUNT]; /**< [speed * pulleys + pulley], N m */
    snub_match_result *match;           /**< [speed] steady, of the first blower; NULL without one */
} snub_loads;

/** Loads from rest through idle to redline (or at one speed).
 *  @param[in] speeds  how many between idle and redline, ends counted; >= 2
 *  @param[in] only    >= 0: this engine speed [rad/s] alone (and rest); NAN: the engine's range
 *  @param[in] only_rate  rad/s2 at that speed, put into the "steady" row; not read otherwise
 *  @return SNUB_OK; SNUB_BAD_INPUT without an engine and without `only`; SNUB_NO_MEMORY; what demand says */
snub_status snub_loads_prepare(const snub_drive *drive, int speeds, double only, double only_rate, snub_arena *arena,
                               snub_loads *loads, snub_error *error);

/** Case for a speed index and state of loads.
 *  @param[in] side  of the arm's friction band
 *  @param[in] effective  belt length [m], @param[in] stretch permanent [fraction] */
void snub_loads_case(const snub_drive *drive, const snub_loads *loads, int speed, snub_running running, double side,
                     double effective, double stretch, snub_case *wanted);

/* ---- belt and setting ----------------------------------------------------------------------------------------- */

/** A belt with a setting for a build. */
typedef struct snub_choice {
    double length;                      /**< effective, m */
    double settings[SNUB_PULLEYS_MOST]; /**< per slot pulley, m; NAN elsewhere */
    double grip;                        /**< worst case, design friction */
    double grip_speed;                  /**< where, rad/s */
    double grip_served;                 /**< worst of the blowers; without one, of the set idler's neighbours */
    double rib_tension;                 /**< greatest total tension per rib over the range, N */
    double gap;                         /**< tightest, flap taken off, m */
    double wind_rest, wind_redline;     /**< nominal, rad; NAN without an arm */
} snub_choice;

/** What a check would have to say of a choice: 0 nothing; 1 more tension per rib than the limit; 2 above the design
 * grip; 3 slack; 4 a gap under its limit. Belts are ranked by it. */
int snub_choice_rank(const snub_drive *drive, const snub_choice *choice);

enum { SNUB_CHOICES_MOST = 24 };

typedef struct snub_choices {
    int count; /**< best first */
    snub_choice choice[SNUB_CHOICES_MOST];
    char why_none[384];      /**< one sentence where count is 0 */
    double wanted_length[2]; /**< effective lengths that would do at some setting, m; NAN: none would */
} snub_choices;

/** All stock belts that keep the arm within its work range, at rest and running steadily, over belt tolerance and wear,
 *  each with the setting that gives the best worst-case grip within the gap limit.
 *  Slots whose pulley is locked by `lock` are set by the belt itself. Without stock the drive's own length is the only
 *  candidate; without that too, any whole millimetre is.
 *  @param[in] free_settings  true: settings are chosen; false: the drive's own settings stand where given */
snub_status snub_choose(const snub_drive *drive, const snub_loads *loads, bool free_settings, snub_choices *choices,
                        snub_error *error);

/* ---- check: one build ------------------------------------------------------------------------------------------ */

typedef struct snub_check_request {
    double only_speed;  /**< rad/s; NAN: idle to redline */
    double only_rate;   /**< rad/s2 at that speed, 0 steady */
    bool free_settings; /**< choose settings even where the file gives them */
    int speeds;         /**< between idle and redline; 0: default 41 */
} snub_check_request;

typedef struct snub_check {
    const snub_drive *drive;
    char designation[32];               /**< "8PK1575" */
    double length;                      /**< effective, m */
    bool length_chosen;                 /**< snub picked it */
    double settings[SNUB_PULLEYS_MOST]; /**< m; NAN where there is no slot */
    bool laid;                          /**< false: no equilibrium; `failure` says why, balance is not valid */
    snub_error failure;
    double engine_speed, rate; /**< of `balance` */
    snub_balance balance;      /**< steady, nominal belt, arm friction at the middle */
    double wind_band[2];       /**< wind at the lower and the upper edge of arm friction, rad; NAN: no balance there */
    snub_balance rest;         /**< the engine at rest */
    double worst_grip, worst_grip_speed;
    double slip_onset;   /**< see snub_air_summary, rad/s; NAN: holds over the speeds looked at */
    double tightest_gap; /**< flap taken off, m; INFINITY when nothing is near */
    snub_findings findings;
} snub_check;

/** Check one build over its cases. A build that cannot be laid or balanced is a finding, not an error.
 *  @return SNUB_OK; SNUB_BAD_INPUT (no engine and no speed); SNUB_NO_CHOICE is a finding too */
snub_status snub_check_drive(const snub_drive *drive, const snub_check_request *request, snub_arena *arena,
                             snub_check *check, snub_error *error);

/** The same with loads that were worked out already. `request` speeds are not read. */
snub_status snub_check_loaded(const snub_drive *drive, const snub_check_request *request, const snub_loads *loads,
                              snub_arena *arena, snub_check *check, snub_error *error);

/* ---- chart: every build ---------------------------------------------------------------------------------------- */

/** What the first blower asks at redline, steady, throttle open, no slip. NANs without one. */
typedef struct snub_air_summary {
    double boost;          /**< Pa */
    double shaft_speed;    /**< rad/s */
    double rotor_speed;    /**< rad/s */
    double power, torque;  /**< W, N m, at the pulley */
    double belt_force;     /**< torque over pitch radius, N */
    double outlet, charge; /**< air out of the blower and into the engine, K */
    double mass_flow;      /**< kg/s */
    double slip_onset; /**< lowest speed at which any pulley slips on limit friction, steady or rising, worst belt and
                            arm friction, rad/s; NAN: holds to redline */
} snub_air_summary;

/** Worst of a build's hardware over its pulleys and mounts. NANs where the file has none of a kind. */
typedef struct snub_hardware_summary {
    bool given;
    double bearing_life; /**< least, reliability counted in, s */
    double bolt_slip;    /**< greatest share of a joint's friction used */
    double bolt_margin;  /**< least of safety against opening and against proof */
    double entry_angle;  /**< greatest |entry| under load with its rss tolerance, rad */
    int conflicts;       /**< things that come too near to each other, obstacles counted in */
} snub_hardware_summary;

typedef struct snub_build {
    const char *variant;          /**< "" for the base */
    const char **values;          /**< per option, as written in the file */
    const snub_overlay *overlays; /**< that make this build from the document */
    int overlay_count;
    snub_drive *drive; /**< NULL when the build could not be read: see findings */
    snub_choices choices;
    snub_check check; /**< of the best choice; valid where has_check */
    bool has_check;
    double wrap_gain;       /**< fraction, of the first blower against its slot's low end; NAN: no slot */
    snub_findings findings; /**< check's, or why there is no belt */
    snub_level verdict;
    snub_air_summary air;
    snub_hardware_summary hardware; /**< its findings are among the build's */
    snub_loads loads;
    snub_arena arena; /**< all of this build's memory */
} snub_build;

/** A belt and which builds it can serve. */
typedef struct snub_belt_use {
    char designation[32];
    double length;
    int ribs;
    int count;
    int *builds;
} snub_belt_use;

typedef struct snub_chart {
    const snub_document *document;
    const char *title;
    int option_count;
    const snub_option *options;
    int build_count;
    snub_build *builds;
    int belt_count; /**< belts that the best choices use */
    snub_belt_use *belts;
    int fewest_count; /**< fewest different belts that serve every build that can be served */
    snub_belt_use *fewest;
    bool fewest_exact; /**< false: greedy, the search was cut */
} snub_chart;

/** Progress of long work. Return false to stop it. May be called from several threads, one at a time. */
typedef bool (*snub_progress)(int done, int all, void *context);

typedef struct snub_chart_request {
    int speeds;             /**< for the final check; 0: default 41 */
    int threads;            /**< 0: as OpenMP decides */
    const char *variant;    /**< NULL: all; else only this one ("" = base) */
    snub_progress progress; /**< may be NULL */
    void *context;
} snub_chart_request;

/** Work out every build: variants times options. Results do not depend on the number of threads.
 *  @param[in] reading  units, arena for the chart, overlays that hold for every build, parts
 *  @return SNUB_OK; SNUB_BAD_INPUT (mistakes filled); SNUB_NO_MEMORY; SNUB_STOPPED */
snub_status snub_chart_drive(const snub_document *document, const snub_reading *reading,
                             const snub_chart_request *request, snub_chart *chart, snub_mistakes *mistakes);
void snub_chart_free(snub_chart *chart);

/** "8PK1575": ribs, section, effective length in whole mm (a tenth where it is not whole). */
void snub_designation(const snub_belt *belt, double length, char text[32]);

/* ---- fitting ---------------------------------------------------------------------------------------------------- */

typedef struct snub_fitting {
    bool possible; /**< a way was found */
    int last;      /**< pulley to pass the belt over last */
    double slack;  /**< belt over path with the arm on its stop (or the slot slackened), m */
    double needed; /**< to pass the belt over that pulley's rim, m */
} snub_fitting;

/** Can the belt be fitted: shortest new belt, arm on its stop, passed over the rim of the easiest pulley last. */
snub_status snub_fit(const snub_drive *drive, const double *settings, double effective, snub_fitting *fitting,
                     snub_error *error);

#endif

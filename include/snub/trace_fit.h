/** snub/trace_fit.h - friction, leakage and losses of a drive fitted to data logs. Room: trace.
 *
 *  docs/theory/trace.md, "Fit": nonlinear least squares of the slip that the build has at each reading, and of its
 * boost.
 */
#ifndef SNUB_TRACE_FIT_H
#define SNUB_TRACE_FIT_H

#include "snub/trace.h"

/** What can be fitted. */
typedef enum snub_fit_what {
    SNUB_FIT_FRICTION,   /**< limit friction on ribs; with SNUB_FIT_FALLS that at which slip begins */
    SNUB_FIT_FALLS,      /**< how the friction falls with slip speed: exp(-falls x speed), s/m; 0: it does not */
    SNUB_FIT_LEAKAGE,    /**< leakage speed of the blower, rad/s */
    SNUB_FIT_MECHANICAL, /**< mechanical efficiency of the blower */
    SNUB_FIT_COOLER,     /**< pressure drop of the cooler, Pa at the file's flow */
    SNUB_FIT_INLET,      /**< pressure drop before the blower, Pa at the file's flow */
    SNUB_FIT_WHATS
} snub_fit_what;
/** "friction", "falls", "leakage", "mechanical", "cooler", "inlet": as they are asked for; NULL-terminated. */
extern const char *const snub_fit_words[];
/** Where the drive file has it, as an overlay's path. @return NULL: nowhere, or memory is out */
const char *snub_fit_path(const snub_drive *drive, snub_fit_what what, snub_arena *arena);

/** The mean of some successive samples with the throttle open. */
typedef struct snub_fit_reading {
    int log;
    double engine, rate;    /**< rad/s, rad/s2 */
    double gain;            /**< d ln engine/dt, 1/s */
    double shortfall;       /**< ln of the ratio of the pitch radii over that of the log */
    double shortfall_error; /**< standard deviation, by what neighbours differ */
    double boost;           /**< Pa; NAN */
    double boost_error;     /**< Pa */
} snub_fit_reading;

/** Open-throttle samples of one log, as they come. */
typedef struct snub_fit_taker snub_fit_taker;
/** @return NULL: memory is out */
snub_fit_taker *snub_fit_taker_open(const snub_log_model *model);
/** A snub_log_sample_take. */
void snub_fit_taker_sample(void *taker, const snub_log_sample *sample);
enum { SNUB_FIT_READINGS_LEAST = 12, SNUB_FIT_READINGS = 160 /**< of one log, at most */ };
/** Its readings, SNUB_FIT_READINGS at most.
 *  @param[in] log    their index
 *  @param[in] noise  of a sample's slip (snub_log_calibration)
 *  @param[out] readings  room for SNUB_FIT_READINGS
 *  @return SNUB_OK; SNUB_BAD_INPUT: too few with the throttle open; SNUB_NO_MEMORY */
snub_status snub_fit_taker_end(const snub_fit_taker *taker, int log, double noise, snub_fit_reading *readings,
                               int *count, snub_error *error);
void snub_fit_taker_close(snub_fit_taker *taker);

/** How well the logs tell a value. */
typedef enum snub_fit_told {
    SNUB_FIT_TOLD,
    SNUB_FIT_TOLD_BOUND,    /**< friction: nothing slips, so it is no less than `low` */
    SNUB_FIT_TOLD_TOGETHER, /**< only with `partner`: the logs fit as well with more of one and less of the other */
    SNUB_FIT_TOLD_NOT       /**< nothing in the logs depends on it, or its error is over half of it */
} snub_fit_told;

typedef struct snub_fit_estimate {
    bool fitted;  /**< false: held at the file's value */
    double start; /**< the file's */
    double value, error;
    double low, high; /**< 95 %; SNUB_FIT_TOLD_BOUND: low alone, one side */
    snub_fit_told told;
    snub_fit_what partner;
} snub_fit_estimate;

/** One way of fitting, for the evidence. */
typedef struct snub_fit_evidence {
    int unknowns; /**< with a ratio and a lag for each log */
    double sum;   /**< of squares of the slip, in errors of neighbours */
    double aicc;
    double friction;
} snub_fit_evidence;

enum { SNUB_FIT_LOGS_MOST = 32 };

typedef struct snub_fit {
    const snub_log_model *model;
    int reading_count, slipping; /**< that slip in the build as fitted */
    int log_count;
    double ratio[SNUB_FIT_LOGS_MOST]; /**< of each log where nothing slips over the build's */
    double lag[SNUB_FIT_LOGS_MOST];   /**< that was left, s */
    bool with_boost;
    snub_fit_estimate of[SNUB_FIT_WHATS];
    double correlation[SNUB_FIT_WHATS][SNUB_FIT_WHATS];
    double singular[SNUB_FIT_WHATS]; /**< of what is fitted, each in shares of its value: 1/singular is how well the
                                          combination is known, fraction; falling */
    double weakest[SNUB_FIT_WHATS];  /**< shares of each in the combination that is known least; 0: not fitted */
    int fitted;
    double scatter[2]; /**< left, of slip (plain) and of boost (Pa), one reading; NAN: none */
    double misfit;    /**< what is left of the slip over what neighbours differ by: 1 where the model is all there is */
    double most_slip; /**< greatest of the build as fitted at the readings, fraction */
    double edge[2];   /**< friction that fits where the arm hangs at one end and the other of its friction band, the
                           lower first; NAN: not asked for (snub_fit_find_edges) */
    bool compared;    /**< constant friction against one that falls */
    snub_fit_evidence constant, falling;
    bool falls_kept; /**< its AICc is lower by more than 2 */
} snub_fit;

/** What is fitted to what. */
typedef struct snub_fit_request {
    const snub_log_model *model;
    const snub_fit_reading *readings;
    int count, log_count;
    bool asked[SNUB_FIT_WHATS]; /**< the rest is held at the build's values */
    snub_progress progress;     /**< may be NULL */
    void *context;
} snub_fit_request;

/** Fit.
 *  @return SNUB_OK; SNUB_BAD_INPUT: what cannot be fitted to this file or these logs; SNUB_NO_CONVERGENCE;
 *          SNUB_STOPPED; SNUB_NO_MEMORY */
snub_status snub_fit_run(const snub_fit_request *request, snub_fit *fit, snub_error *error);
/** What the friction would be if the arm hung at an end of its friction band, the other values as fitted: into
 *  `edge`. Nothing happens where the friction is not told, or there is no arm.
 *  @return as snub_fit_run */
snub_status snub_fit_find_edges(const snub_fit_request *request, snub_fit *fit, snub_error *error);

#endif

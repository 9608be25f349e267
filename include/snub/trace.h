/** snub/trace.h - data logs of a dyno or the track: reading them, and finding in them where the belt slips. Room:
 * trace.
 *
 *  docs/theory/trace.md has the symbols. A log is read once, piece by piece; memory does not grow with it.
 */
#ifndef SNUB_TRACE_H
#define SNUB_TRACE_H

#include "snub/sweep.h"

/* ---- reading ------------------------------------------------------------------------------------------------------
 */

/** What a column of a log can be. */
typedef enum snub_log_channel {
    SNUB_LOG_TIME,
    SNUB_LOG_ENGINE,   /**< engine speed */
    SNUB_LOG_BLOWER,   /**< speed of the blower's pulley */
    SNUB_LOG_THROTTLE, /**< in any unit: it is compared with its own greatest */
    SNUB_LOG_BOOST,    /**< above ambient, or absolute, as its name says */
    SNUB_LOG_CHARGE,   /**< temperature of the air in the manifold, behind blower and cooler */
    SNUB_LOG_CHANNELS
} snub_log_channel;
/** "time", "engine", "blower", "throttle", "boost", "temperature"; NULL-terminated. */
extern const char *const snub_log_words[];

enum { SNUB_LOG_NAME_MOST = 64, SNUB_LOG_UNIT_MOST = 24, SNUB_LOG_BAD_MOST = 20, SNUB_LOG_BACK_MOST = 5 };

/** What the user says of the columns. */
typedef struct snub_log_wish {
    const char *column[SNUB_LOG_CHANNELS]; /**< name in the header, or number from 1; NULL: by the usual names */
    const char *unit[SNUB_LOG_CHANNELS];   /**< NULL: as the header says */
    double rate;                           /**< rows per second of a log without time; 0: it has one */
    double ambient;                        /**< Pa, taken from an absolute boost */
} snub_log_wish;

/** A column that is read. SI = (number * scale) + zero. */
typedef struct snub_log_column {
    int number; /**< from 1; 0: the log has none */
    char name[SNUB_LOG_NAME_MOST], unit[SNUB_LOG_UNIT_MOST];
    bool assumed; /**< neither the log nor the user says the unit */
    bool clock;   /**< time as hours:minutes:seconds */
    double scale, zero;
} snub_log_column;

/** Why a row is not used. */
typedef enum snub_log_fault {
    SNUB_LOG_FIELDS, /**< more or fewer fields than the header */
    SNUB_LOG_NO_NUMBER,
    SNUB_LOG_RANGE,   /**< a number that this quantity cannot have */
    SNUB_LOG_NO_TIME, /**< its time is empty */
    SNUB_LOG_FAULTS
} snub_log_fault;
/** "wrong number of fields", ... for messages. */
const char *snub_log_fault_text(snub_log_fault fault);

typedef struct snub_log_bad {
    long line;
    snub_log_fault fault;
    snub_log_channel channel; /**< SNUB_LOG_CHANNELS: the row as such */
    char text[24];            /**< what stands there, cut */
} snub_log_bad;

/** What was read. */
typedef struct snub_log_rows {
    snub_log_column column[SNUB_LOG_CHANNELS];
    char separator; /**< ' ': blanks */
    bool zipped;
    long lines;  /**< of the file */
    long header; /**< its line; 0: none */
    long read;   /**< rows of data */
    long used;   /**< handed over */
    long still;  /**< of them, with the time of the row before */
    long bad, bad_of[SNUB_LOG_FAULTS];
    snub_log_bad first_bad[SNUB_LOG_BAD_MOST]; /**< the first of them */
    long parts;                                /**< 1 and once more for each reset of the time */
    long back[SNUB_LOG_BACK_MOST];             /**< lines of the first resets; 0: none */
    long hot, hot_line; /**< charge temperatures that no manifold has, left out; line of the first */
    double seconds;     /**< of all parts, without what lies between them */
} snub_log_rows;

/** A row. NAN: nothing stands there. */
typedef struct snub_log_row {
    long line, part;
    double value[SNUB_LOG_CHANNELS]; /**< SI */
} snub_log_row;

/** Takes a row. Anything but SNUB_OK ends the reading with that status. */
typedef snub_status snub_log_take(void *context, const snub_log_row *row);

typedef struct snub_log_reader snub_log_reader;

/** A reader that is fed piece by piece, gzip or plain.
 *  @param[in] name  for messages; must outlive the reader, as `units` and what `wish` points at
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_log_open(const char *name, const snub_log_wish *wish, snub_units *units, snub_log_take *take,
                          void *context, snub_log_reader **reader, snub_error *error);
/** Feed bytes. Refused with line and reason: no text, a line or a file past its limit, no header with an engine speed
 *  in the first lines, a unit of another quantity, gzip that is damaged. A row that is wrong is counted and left out.
 *  @return SNUB_OK; SNUB_BAD_INPUT; SNUB_TOO_LARGE; SNUB_NO_MEMORY; what `take` gave */
snub_status snub_log_feed(snub_log_reader *reader, const char *data, size_t length, snub_error *error);
/** The end of the file. @return as snub_log_feed; SNUB_BAD_INPUT where no row could be used */
snub_status snub_log_finish(snub_log_reader *reader, snub_error *error);
/** What was read so far. Lives as long as the reader. */
const snub_log_rows *snub_log_read(const snub_log_reader *reader);
void snub_log_close(snub_log_reader *reader);

/* ---- what the build would do --------------------------------------------------------------------------------------
 */

enum { SNUB_LOG_SPEEDS = 41, SNUB_LOG_FACTORS = 49 };

/** The build at a speed in a way of running: nominal belt, warm, arm friction at the middle. */
typedef struct snub_log_point {
    bool solved;
    double creep;                     /**< of the blower against the crank, fraction */
    double crank_grip, blower_grip;   /**< used at limit friction */
    double worst_limit, worst_design; /**< greatest grip used of all pulleys */
    double crank_force, blower_force; /**< tractive, N */
    double boost;                     /**< Pa; NAN: none */
    double charge;                    /**< temperature in the manifold, K; NAN: none */
} snub_log_point;

/** Boost of the build at open throttle by engine speed and blower speed, for logs that have the one and not the other.
 *  Engine speeds as `point`; blower speeds from SNUB_LOG_FACTOR_LEAST to SNUB_LOG_FACTOR_MOST times that without slip,
 *  by even steps of the logarithm. */
typedef struct snub_log_air {
    bool given;                                         /**< false: the file says too little of blower and engine */
    double ambient;                                     /**< Pa */
    double sharpest;                                    /**< greatest `sharpness` */
    double pressure[SNUB_LOG_SPEEDS][SNUB_LOG_FACTORS]; /**< ln(manifold over ambient); NAN: no match */
    double sharpness[SNUB_LOG_SPEEDS];                  /**< d ln manifold/d ln blower speed without slip; NAN: none, or
                                                             too little of it to tell a speed by */
} snub_log_air;
#define SNUB_LOG_FACTOR_LEAST 0.3
#define SNUB_LOG_FACTOR_MOST 1.4

/** A settled build, as a log is compared with it. */
typedef struct snub_log_model {
    const snub_build *build;
    int blower;
    double ratio;        /**< turns of the blower's pulley per turn of the crank, without creep */
    double crank_radius; /**< pitch, m */
    double idle, redline;
    double steps_per_speed;                           /* s/rad, of `point` */
    bool runs[SNUB_WAYS];                             /**< false: the file gives no rate for it */
    snub_log_point point[SNUB_WAYS][SNUB_LOG_SPEEDS]; /**< idle to redline */
    snub_log_air air;
} snub_log_model;

/** @return SNUB_OK; SNUB_BAD_INPUT: no engine, no blower, or no belt that lies; SNUB_NO_MEMORY */
snub_status snub_log_model_make(const snub_build *build, snub_log_model *model, snub_error *error);

/* ---- what the log says --------------------------------------------------------------------------------------------
 */

/** A blower pulley on offer, by which the log may have been driven. */
typedef struct snub_log_offer {
    const char *value; /**< as the file writes it */
    double ratio;      /**< as snub_log_model */
} snub_log_offer;
enum { SNUB_LOG_OFFERS_MOST = 64 };
/** Every blower pulley among the file's options with its ratio; one that cannot be read is left out.
 *  @param[out] offers  room for SNUB_LOG_OFFERS_MOST
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_log_offers_find(const snub_document *document, const snub_reading *reading, const snub_build *build,
                                 snub_log_offer *offers, int *count);

/** What the log's own ratio, where it is another than the build's, comes to. */
typedef enum snub_log_fit {
    SNUB_LOG_FITS_BUILD,
    SNUB_LOG_FITS_OFFER,   /**< another pulley on offer */
    SNUB_LOG_FITS_STEP_UP, /**< the log has the rotor's speed */
    SNUB_LOG_FITS_TEETH,   /**< a fraction of small numbers, as wrong teeth of a sensor make it */
    SNUB_LOG_FITS_NOTHING
} snub_log_fit;

/** What the blower's speed is taken from. */
typedef enum snub_log_source {
    SNUB_LOG_BY_ANY, /**< the blower's speed where the log has one, else boost */
    SNUB_LOG_BY_SPEED,
    SNUB_LOG_BY_BOOST,
    SNUB_LOG_BY_RIPPLE, /**< the pulses of the blower's lobes in boost */
    SNUB_LOG_SOURCES
} snub_log_source;
enum { SNUB_LOG_PULSES_MOST = 1000 };
/** "any", "speed", "boost", "ripple"; NULL-terminated. */
extern const char *const snub_log_source_words[];

/** What was seen of the pulses. */
typedef struct snub_log_ripple {
    double pulses;                     /**< per turn of the pulley */
    double rate, rate_needed;          /**< rows per second; that are needed up to redline */
    long windows, fast, engines, weak; /**< of them not used: pulses too fast for the rate; on an order of the engine's
                                             firing; no peak that stands out */
} snub_log_ripple;

/** Found on the first samples, held for all. docs/theory/trace.md */
typedef struct snub_log_calibration {
    snub_log_source source; /**< never SNUB_LOG_BY_ANY */
    long samples;
    double bias;      /**< standard deviation of a mean's slip that no length of it takes off: of boost, how far it
                           strays from the build's over the speeds; 0 for measured speeds */
    double usable[2]; /**< of boost: engine speeds between which it tells the blower's, rad/s */
    snub_log_ripple ripple;
    long shut, blunt; /**< boosts that were not used: throttle not open for long enough; boost tells too little */
    double ratio;     /**< of the log where nothing slips, creep taken off */
    double offset;    /**< ratio over the build's, less 1 */
    snub_log_fit fit;
    const char *offer; /**< of SNUB_LOG_FITS_OFFER */
    int teeth[2];      /**< of SNUB_LOG_FITS_TEETH: read over true */
    double lag;        /**< s by which the blower's speed comes late; taken out */
    double lag_error;  /**< standard deviation, s */
    bool lag_taken;    /**< false: it is not told from none */
    double noise;      /**< standard deviation of a sample's slip, a plain number */
    double mean_noise; /**< of the mean over the window */
    double rate;       /**< samples per second */
    double window;     /**< s */
    double threshold;  /**< of the mean over the window */
    double least;      /**< least slip that is found 99 times of 100 where it lasts for the window */
    double drift[2];   /**< of the log's own ratio, least and greatest, fraction */
} snub_log_calibration;

typedef enum snub_log_says {
    SNUB_LOG_SAYS_HOLDS,
    SNUB_LOG_SAYS_OVER_DESIGN,
    SNUB_LOG_SAYS_SLIPS,
    SNUB_LOG_SAYS_NOTHING
} snub_log_says;

/** Whether what is taken for slip can be something else. A measured speed is not in question. */
typedef enum snub_log_alike {
    SNUB_LOG_ALIKE_NOTHING, /**< the blower's speed was measured */
    SNUB_LOG_ALIKE_BRIEF,   /**< of boost: the same engine speed was passed without it: no filter, no lasting leak */
    SNUB_LOG_ALIKE_AIR      /**< of boost: a leak, a filter, an engine that takes more air look the same */
} snub_log_alike;

typedef struct snub_log_slip {
    bool runs_on; /**< the blower turns faster than the belt */
    long line, part;
    double elapsed[2]; /**< s from the start of the log, parts put together, as snub_log_bin */
    double error;      /**< of the mean, standard deviation, fraction */
    snub_log_alike alike;
    double leak;                    /**< diameter of a hole behind the blower that would lose as much boost, m; NAN */
    double filter;                  /**< further loss of pressure before the blower that would, Pa; NAN */
    double start, end;              /**< s of the log */
    double engine[2];               /**< speed at start and end, rad/s */
    double mean, worst;             /**< fraction, >= 0 */
    double worst_engine;            /**< rad/s */
    double heat;                    /**< J; NAN: the build has no balance there */
    double boost, model_boost;      /**< mean of the log, of the build there, Pa; NAN */
    double charge, model_charge;    /**< temperature in the manifold, the same, K; NAN */
    snub_way way;                   /**< that comes nearest at its worst */
    bool at_crank;                  /**< likelier than at the blower */
    double crank_grip, blower_grip; /**< used at limit friction there, NAN */
    snub_log_says says;             /**< the check, of that speed */
} snub_log_slip;

typedef struct snub_log_pull {
    double start, end, engine[2];
} snub_log_pull;

enum { SNUB_LOG_EVENTS_MOST = 5000, SNUB_LOG_BINS = 1024 };

/** Part of the log, for a plot. Low and high of all samples in it. */
typedef struct snub_log_bin {
    long count;
    double time;                              /**< s from the start, parts put together */
    double engine[2], blower[2], expected[2]; /**< rad/s; the build's blower speed with the log's own ratio */
    double slip[2];                           /**< mean over the window, fraction */
    double boost[2], model_boost[2];          /**< of the log, of the build at open throttle without slip, Pa */
} snub_log_bin;

/** Why a log without slip is watched all the same. */
typedef enum snub_log_doubt {
    SNUB_LOG_DOUBT_OFFSET = 1 << 0, /**< another ratio than the build's */
    SNUB_LOG_DOUBT_BLIND = 1 << 1,  /**< slip of 3 % cannot be seen */
    SNUB_LOG_DOUBT_DRIFT = 1 << 2,
    SNUB_LOG_DOUBT_ROWS = 1 << 3, /**< more than 1 % of the rows is bad */
    SNUB_LOG_DOUBT_RUNS_ON = 1 << 4,
    SNUB_LOG_DOUBT_ALIKE = 1 << 5 /**< what is found may be a leak or a filter */
} snub_log_doubt;

typedef struct snub_log_answer {
    const snub_log_model *model;
    const snub_log_rows *rows;
    snub_log_calibration calibration;
    long samples, unpaired, spikes; /**< compared; without an engine speed beside; taken for faults of a sensor */
    int slip_count, pull_count, change_count;  /**< kept */
    long more_slips, more_pulls, more_changes; /**< not kept */
    snub_log_slip *slips;
    snub_log_pull *pulls, *changes; /**< of a change the speeds before and after */
    int bin_count;
    snub_log_bin *bins;
    unsigned doubts;
    snub_level level;
} snub_log_answer;

typedef struct snub_log_finder snub_log_finder;
/** @param[in] model, offers  must outlive the finder
 *  @param[in] by      what to take the blower's speed from
 *  @param[in] pulses  per turn of the blower's pulley, > 0; of SNUB_LOG_BY_RIPPLE alone
 *  @return NULL: memory is out */
snub_log_finder *snub_log_finder_open(const snub_log_model *model, const snub_log_offer *offers, int offer_count,
                                      snub_log_source by, double pulses);
/** The blower's speed with the engine's at the same moment, lag taken out. */
typedef struct snub_log_sample {
    double time;           /**< s of the log */
    double engine, blower; /**< rad/s */
    double gain;           /**< d ln engine/dt, 1/s */
    double boost;          /**< Pa; NAN: not known */
    bool open;             /**< throttle */
    long part;
} snub_log_sample;
typedef void snub_log_sample_take(void *context, const snub_log_sample *sample);
/** Have each sample handed on as well, in the order of time. */
void snub_log_finder_hand_on(snub_log_finder *finder, snub_log_sample_take *take, void *context);
/** A row; a snub_log_take. @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_log_finder_row(void *finder, const snub_log_row *row);
/** The end of the log. What the answer points at lives as long as finder and reader.
 *  @return SNUB_OK; SNUB_BAD_INPUT: too few samples; SNUB_NO_MEMORY */
snub_status snub_log_finder_end(snub_log_finder *finder, const snub_log_rows *rows, snub_log_answer *answer,
                                snub_error *error);
void snub_log_finder_close(snub_log_finder *finder);

#endif

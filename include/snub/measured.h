/** snub/measured.h - the file of what was measured between pulleys at an engine. Room: drive. docs/guide/measure.md. */
#ifndef SNUB_MEASURED_H
#define SNUB_MEASURED_H

#include "snub/drive.h"

/** What a file of readings holds, in the order of their words. */
typedef enum snub_readings {
    SNUB_READ_CENTRES,
    SNUB_READ_ARM,
    SNUB_READ_PLUCK,
    SNUB_READ_BELT,
    SNUB_READ_SPREAD,
    SNUB_READINGS_ /**< of none of them */
} snub_readings;
/** The word of `snub measure`. */
const char *snub_readings_text(snub_readings kind);
/** Note that a file holds readings of another kind, with the command that reads it.
 *  @return false: it does not, nothing is noted */
bool snub_readings_refuse(const snub_document *document, snub_readings wanted, snub_errors *errors);

enum { SNUB_EDGES_MOST = 16, SNUB_DISTANCES_MOST = 500, SNUB_SIDES_MOST = 64 };

/** What a distance was taken between; the key under which its two names stand. */
typedef enum snub_distance_kind {
    SNUB_OUTSIDE, /**< outside | over both rims */
    SNUB_INSIDE,  /**< inside | the gap between two rims */
    SNUB_CENTRES, /**< centres */
    SNUB_TO_EDGE, /**< edge | from a pulley's near rim square to a straight edge */
    SNUB_DISTANCES_
} snub_distance_kind;
/** The key. */
const char *snub_distance_text(snub_distance_kind kind);
/** Standard deviation where the file gives none, m: a rule of thumb, no published source. */
double snub_distance_usual_error(snub_distance_kind kind);

/** Something round: a pulley, a bolt's head. Errors are standard deviations. */
typedef struct snub_measured_pulley {
    const char *name;
    snub_place place;
    bool known;            /**< its centre is given: `at` */
    double at[2];          /**< m; of what is not known, NAN, or its rough place (snub_measured_take_drive) */
    double diameter;       /**< of its rim, m; NAN: not known */
    double diameter_error; /**< m; 0: taken as exact */
    const char *sets;      /**< path of the drive file to which its centre goes; NULL: that of the pulley of its name */
} snub_measured_pulley;

/** A straight edge: a machined face, a rail. Pulleys stand on the left of its direction. */
typedef struct snub_measured_edge {
    const char *name;
    snub_place place;
    double direction;     /**< rad ccw from +x; NAN: unknown */
    bool through;         /**< a point of it is given */
    double through_at[2]; /**< m */
} snub_measured_edge;

typedef struct snub_distance {
    snub_place place;
    snub_distance_kind kind;
    int a, b;         /**< pulleys; of an edge, b is the edge */
    double value;     /**< m */
    double error;     /**< standard deviation, m */
    bool error_given; /**< by the file, for this reading or for its kind; else it is the rule of thumb */
    const char *note; /**< NULL: none */
} snub_distance;

/** A pulley stands to the left or right of the way from one to another. */
typedef struct snub_measured_side {
    snub_place place;
    bool left;
    int pulley, from, to;
} snub_measured_side;

typedef struct snub_measured {
    snub_document document;
    const char *title; /**< "" */
    const char *drive; /**< path as written; NULL: none */
    bool framed;       /**< by origin and direction; else by centres that are given */
    int origin, towards;
    double direction; /**< rad */
    snub_place frame_place;
    int pulley_count, edge_count, distance_count, side_count;
    snub_measured_pulley *pulleys;
    snub_measured_edge *edges;
    snub_distance *distances;
    snub_measured_side *sides;
} snub_measured;

/** Take the file apart. Its drive file is not read.
 *  @param[in,out] measured  `document` is parsed; the rest is filled
 *  @return SNUB_OK; SNUB_BAD_INPUT (errors filled, each at its place); SNUB_NO_MEMORY */
snub_status snub_measured_read(snub_units *units, snub_arena *arena, snub_measured *measured, snub_errors *errors);

/** What a drive file knows: diameters of rims that the file of readings leaves out, and rough places of pulleys of the
 *  same name that stand still.
 *  @param[in] drive  NULL: none
 *  @param[in,out] errors  a distance to a rim whose diameter is still unknown; a `sets` that is no place of the drive
 *  @return SNUB_OK; SNUB_BAD_INPUT */
snub_status snub_measured_take_drive(snub_measured *measured, const snub_drive *drive, snub_arena *arena,
                                     snub_errors *errors);

/* ---- an arm ------------------------------------------------------------------------------------------------------ */

enum { SNUB_ARM_READINGS_MOST = 500 };

/** Torque that was read at the arm. */
typedef struct snub_torque_reading {
    double wind;   /**< from the free position towards the stop, rad */
    double torque; /**< N m */
    int branch;    /**< 1 winding, -1 releasing */
} snub_torque_reading;

/** Torques at a spring arm. Errors are standard deviations. */
typedef struct snub_measured_arm {
    snub_document document;
    const char *title;                          /**< "" */
    double free, stop;                          /**< as read at the protractor, rad */
    double torque_error, angle_error;           /**< N m, rad */
    bool torque_error_given, angle_error_given; /**< else they are rules of thumb */
    int count;
    snub_torque_reading *readings;
    int *lines; /**< of the file, of each */
} snub_measured_arm;

/** As snub_measured_read. */
snub_status snub_measured_arm_read(snub_units *units, snub_arena *arena, snub_measured_arm *arm, snub_errors *errors);

/* ---- plucked spans ----------------------------------------------------------------------------------------------- */

enum { SNUB_PLUCKS_MOST = 100 };

/** How a span is held where it meets its pulleys. A belt that bends onto a pulley is between the two. */
typedef enum snub_span_ends { SNUB_ENDS_HINGED, SNUB_ENDS_FIXED } snub_span_ends;
/** The word of the file. */
const char *snub_span_ends_text(snub_span_ends ends);

/** A span that was plucked with the engine stopped. Errors are standard deviations. */
typedef struct snub_pluck {
    snub_place place;
    const char *from, *to;
    double frequency;       /**< Hz; NAN: from the sound */
    double frequency_error; /**< Hz */
    bool error_given;       /**< by the file, for this reading or for all; else it is the rule of thumb */
    int harmonic;           /**< 1: the lowest */
    const char *wav;        /**< path as written; NULL: the frequency is given */
    snub_place wav_place;
    double least, most; /**< between which the sound's frequency is looked for, Hz */
    double length;      /**< of the span, m; NAN: the drive's */
} snub_pluck;

/** Plucked spans of one belt. */
typedef struct snub_measured_pluck {
    snub_document document;
    const char *title;    /**< "" */
    const char *drive;    /**< path as written; NULL: none */
    double mass;          /**< kg/m, whole belt; NAN: the drive's */
    double mass_error;    /**< kg/m; NAN: SNUB_USUAL_MASS_ERROR of it */
    double bending;       /**< EI, N m2, whole belt; 0: a string; NAN: the drive's */
    double bending_error; /**< N m2; NAN: SNUB_USUAL_BENDING_ERROR of it */
    double length_error;  /**< m */
    snub_span_ends ends;
    int count;
    snub_pluck *plucks;
} snub_measured_pluck;

/** Parts of the value that mass and bending stiffness are taken to be off by where the file says nothing: rules of
 *  thumb, no published source. */
#define SNUB_USUAL_MASS_ERROR 0.03
#define SNUB_USUAL_BENDING_ERROR 0.25

/** As snub_measured_read. */
snub_status snub_measured_pluck_read(snub_units *units, snub_arena *arena, snub_measured_pluck *pluck,
                                     snub_errors *errors);

/* ---- fitted belts ------------------------------------------------------------------------------------------------ */

enum { SNUB_BELTS_MOST = 40, SNUB_SETTINGS_MOST = 8 };

/** A pulley's place along its slot. */
typedef struct snub_read_setting {
    snub_place place;
    const char *pulley;
    double at; /**< m */
} snub_read_setting;

/** A belt that was fitted, engine stopped. */
typedef struct snub_fitted_belt {
    snub_place place;
    double length; /**< effective, as it is marked, m */
    double wind;   /**< of the arm from its free position, rad; NAN: a mark was read */
    double mark;   /**< of the fixed tensioner, at which the belt has its tension, m; NAN: a wind was read */
    double error;  /**< standard deviation of what was read, rad or m */
    int setting_count;
    snub_read_setting settings[SNUB_SETTINGS_MOST];
} snub_fitted_belt;

typedef struct snub_measured_belt {
    snub_document document;
    const char *title; /**< "" */
    const char *drive; /**< path as written */
    snub_place drive_place;
    double length_error; /**< by which belts of one mark differ, standard deviation, m; NAN: half of the drive's
                            tolerance */
    double usual_length; /**< that the length of all belts is usually off by, standard deviation, m; NAN: the same */
    double usual_cord, usual_centre; /**< that cord height and a centre are usually off by, standard deviation, m */
    bool error_given;                /**< of the readings; else it is the rule of thumb */
    int count;
    snub_fitted_belt *belts;
} snub_measured_belt;

/** As snub_measured_read. */
snub_status snub_measured_belt_read(snub_units *units, snub_arena *arena, snub_measured_belt *belt,
                                    snub_errors *errors);

/* ---- strips, balls, worn belts ----------------------------------------------------------------------------------- */

enum { SNUB_GROOVES_MOST = 20 };

/** A strip of paper along a pulley, from where the belt meets it to where it leaves. */
typedef struct snub_paper_strip {
    snub_place place;
    const char *pulley;
    double arc;      /**< m */
    double diameter; /**< on which it lay, m; NAN: the drive's rib tips or back */
} snub_paper_strip;

/** A diameter over two balls in one groove, of several grooves. */
typedef struct snub_over_balls {
    snub_place place;
    const char *pulley;
    double ball; /**< diameter, m */
    int count;
    double *over; /**< m */
} snub_over_balls;

/** Errors are standard deviations. */
typedef struct snub_measured_spread {
    snub_document document;
    const char *title;                                   /**< "" */
    const char *drive;                                   /**< path as written */
    double arc_error, over_error, tape_error, pin_error; /**< m */
    int strip_count, ball_count;
    snub_paper_strip *strips;
    snub_over_balls *balls;
    double outside[2]; /**< circumference of the belt's back, new and now, m; NAN: not read */
    double pin[2];     /**< by which a pin between two ribs stands out of them, new and now, m; NAN */
} snub_measured_spread;

/** As snub_measured_read. */
snub_status snub_measured_spread_read(snub_units *units, snub_arena *arena, snub_measured_spread *spread,
                                      snub_errors *errors);

#endif

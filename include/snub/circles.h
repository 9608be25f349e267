/** snub/circles.h - circles of a CAD sketch and points of a scan, into places and sizes of pulleys and obstacles. Room:
 *  measure. docs/theory/measure.md has the symbols.
 */
#ifndef SNUB_CIRCLES_H
#define SNUB_CIRCLES_H

#include "snub/measure.h"

/* ---- a circle through points ------------------------------------------------------------------------------------- */

/** A point against its circle. */
typedef struct snub_circle_point {
    double residual; /**< distance from the centre less the radius, m */
    double share;    /**< of its error that its residual shows, 0 to 1; NAN: it is left out */
    double against;  /**< residual over its standard error by the scatter of the other points; NAN: they have none */
    bool out;        /**< it stands out, and is left out */
} snub_circle_point;

/** A circle through points. Errors are standard deviations. Memory: the arena. */
typedef struct snub_circle_fit {
    int count, used;
    double at[2], radius;
    double error[2], radius_error; /**< NAN: three points and no stated error */
    double axis[2], turn;          /**< 95 % ellipse of the centre, m, the long axis first; its direction, rad */
    double within;                 /**< errors to either side that hold with 95 %; NAN as the errors */
    double arc;                    /**< on which the points lie: a turn less the largest gap, rad */
    double sum;                    /**< of the squared residuals of those that are used, m2 */
    double scatter;                /**< of a point, m; NAN: three points */
    double taken;                  /**< by which the stated error is multiplied: 1, or scatter over it; 1 without one */
    double limit;  /**< of |against| of a point that is left out; NAN: too few points to leave one out */
    bool straight; /**< the points cannot be told from a straight line with 95 %: the rest means little */
    snub_circle_point *point;
} snub_circle_fit;

enum { SNUB_CIRCLE_POINTS = 3, SNUB_CIRCLE_TESTED = 6 /**< points from which on one may be left out */ };

/* ---- points of a scan -------------------------------------------------------------------------------------------- */

/** Columns of a file of points. */
typedef enum snub_scan_column { SNUB_SCAN_X, SNUB_SCAN_Y, SNUB_SCAN_NAME, SNUB_SCAN_COLUMNS } snub_scan_column;
/** "x", "y", "name"; NULL-terminated. */
extern const char *const snub_scan_words[];

/** What the user says of the file. */
typedef struct snub_scan_wish {
    const char *column[SNUB_SCAN_COLUMNS]; /**< name in the header, or number from 1; NULL: by the usual names */
    const char *unit;                      /**< of x and y, before the header's; NULL: as the header says */
} snub_scan_wish;

enum { SNUB_SCAN_POINTS_MOST = 200000, SNUB_SCAN_GROUPS_MOST = 500 };

/** Points of one circle, in the order of the file. */
typedef struct snub_scan_group {
    const char *name; /**< NULL: the file names none, all points are one circle's */
    int count;
    const double (*at)[2]; /**< m */
    const int *line;       /**< of the file */
} snub_scan_group;

typedef struct snub_scan {
    const char *unit; /**< of x: "mm" */
    bool unit_told;   /**< by the user, not by the header */
    char separator;   /**< ' ': blanks */
    int header;       /**< its line; 0: none */
    int points;
    int group_count;
    snub_scan_group *group;
} snub_scan;

typedef struct snub_scan_reader snub_scan_reader;
/** A reader that is fed piece by piece: rows of numbers with commas, semicolons, tabs or blanks between them, decimal
 *  points or (with no comma between the fields) commas, lines with # before them passed over.
 *  @param[in] name    for messages; must outlive the scan, as `wish` and `units` must outlive the reader
 *  @param[in] arena   where the points come to be
 *  @return NULL: memory is out */
snub_scan_reader *snub_scan_open(const char *name, const snub_scan_wish *wish, snub_units *units, snub_arena *arena);
/** @return SNUB_OK; anything else: snub_scan_finish says why */
snub_status snub_scan_feed(snub_scan_reader *reader, const char *data, size_t length);
/** The end of the file.
 *  @param[in,out] errors  no text, no such column, a unit that is not known, rows that are wrong, each with its line
 *  @return SNUB_OK; SNUB_BAD_INPUT, SNUB_TOO_LARGE (errors filled); SNUB_NO_MEMORY */
snub_status snub_scan_finish(snub_scan_reader *reader, snub_scan *scan, snub_errors *errors);
void snub_scan_close(snub_scan_reader *reader);

/* ---- circles of a CAD sketch ------------------------------------------------------------------------------------- */

/** What the user says of the file. */
typedef struct snub_sketch_wish {
    const char *const *layer; /**< that are taken, however their letters are cased */
    int layer_count;          /**< 0: all that are not off or frozen */
    const char *unit;         /**< before the file's; NULL: as the file says */
} snub_sketch_wish;

enum { SNUB_SKETCH_ARCS_MOST = 20000, SNUB_SKETCH_SKIPPED_MOST = 64 };

/** A circle or a piece of one, in the plane of the sketch. */
typedef struct snub_sketch_arc {
    const char *layer;
    int line;             /**< of the file, where it begins */
    double at[2], radius; /**< m */
    double from, sweep;   /**< counter-clockwise; 2 pi: a whole circle, rad */
} snub_sketch_arc;

/** What was passed over. */
typedef struct snub_sketch_skipped {
    char what[48]; /**< "LINE", "CIRCLE that is tilted", ... */
    long count;
    int line; /**< of the first */
} snub_sketch_skipped;

typedef struct snub_sketch {
    const char *unit; /**< that was taken: "mm" */
    const char *said; /**< by the file; NULL: nothing */
    bool unit_told;   /**< by the user */
    int arc_count;
    snub_sketch_arc *arc;
    int skipped_count;
    snub_sketch_skipped *skipped;
} snub_sketch;

typedef struct snub_sketch_reader snub_sketch_reader;
/** A reader of ASCII DXF, R12 to 2018, that is fed piece by piece. CIRCLE and ARC, and polylines whose arcs make one
 *  circle, in blocks as well, wherever those are put in without distortion.
 *  @param[in] name   for messages; must outlive the sketch
 *  @param[in] arena  where the arcs come to be
 *  @return NULL: memory is out */
snub_sketch_reader *snub_sketch_open(const char *name, const snub_sketch_wish *wish, snub_units *units,
                                     snub_arena *arena);
/** @return SNUB_OK; SNUB_BAD_INPUT, SNUB_TOO_LARGE: no DXF, with the line; SNUB_NO_MEMORY */
snub_status snub_sketch_feed(snub_sketch_reader *reader, const char *data, size_t length, snub_error *error);
/** The end of the file.
 *  @return as snub_sketch_feed; SNUB_BAD_INPUT: it ends early, a unit or a layer that is not known, no circle */
snub_status snub_sketch_finish(snub_sketch_reader *reader, snub_sketch *sketch, snub_error *error);
void snub_sketch_close(snub_sketch_reader *reader);

/* ---- what they are ------------------------------------------------------------------------------------------------
 */

/** How circles are compared with each other and with a drive. */
typedef struct snub_circles_wish {
    double tolerance; /**< by which circles of one middle, and diameters, may differ, m */
    double reach;     /**< by which a pulley may stand elsewhere than in the drive file, m */
    double arc;       /**< that the pieces of a sketch's circle must cover, rad */
    double error;     /**< standard error of a point of a scan, m; NAN: not stated */
    double origin[2]; /**< of the drive file, in the file's coordinates, m */
    double turn;      /**< direction of the drive file's x there, rad */
} snub_circles_wish;

enum { SNUB_ROUNDS_MOST = 2000 };

/** A circle of the file, in the drive file's frame. */
typedef struct snub_round {
    const char *name;  /**< that the points have; NULL: none */
    const char *layer; /**< of a sketch; else NULL */
    int line;          /**< of its first piece or point */
    double at[2], diameter;
    double arc;                    /**< that is covered, rad */
    int pieces;                    /**< of a sketch */
    const snub_circle_fit *fit;    /**< NULL: of a sketch */
    const snub_scan_group *points; /**< the same; in the drive file's frame */
    bool hardly;                   /**< its centre is not known to the reach with 95 % */
    int group;
} snub_round;

/** Circles about one middle: rounds first to first + count - 1, the largest first. */
typedef struct snub_round_group {
    int first, count;
    int pulley; /**< of the drive; -1: none */
} snub_round_group;

typedef enum snub_round_match {
    SNUB_ROUND_FOUND,
    SNUB_ROUND_NONE,
    SNUB_ROUND_SEVERAL, /**< several fit, or what fits also fits another pulley */
    SNUB_ROUND_MOVES    /**< it has no place of its own in the drive file: it stands on an arm or in a slot */
} snub_round_match;

/** A pulley of the drive. */
typedef struct snub_round_pulley {
    snub_round_match match;
    bool by_name;    /**< the file says so: place and size are not asked */
    int round;       /**< found, by which size; or the nearest; -1: none */
    double off[2];   /**< the circle's place less the drive file's, m */
    double size_off; /**< its diameter less that of pulley, rim or rib tips, whichever is nearest, m */
    int fits;        /**< middles that fit */
    bool elsewhere;  /**< found by name, and farther than the reach, or of another size */
} snub_round_pulley;

typedef struct snub_circles {
    const char *name;          /**< of the file */
    const snub_sketch *sketch; /**< NULL: of points */
    const snub_scan *scan;     /**< NULL: of a sketch */
    snub_circles_wish wish;
    int short_count; /**< circles of a sketch of which less than the arc is there */
    int round_count;
    snub_round *round;
    int group_count;
    snub_round_group *group;
    const snub_drive *drive;   /**< NULL: none */
    snub_round_pulley *pulley; /**< of each of the drive */
} snub_circles;

/** Rule of thumb, no published source: what a sketch and a good scan keep; what a first drive file is off by. */
#define SNUB_CIRCLES_TOLERANCE 0.1e-3
#define SNUB_CIRCLES_REACH 2e-3

/** Circles of a sketch, or of a scan: one of the two is given.
 *  @param[in] drive  NULL: none; else kept, as sketch and scan are
 *  @param[in,out] errors  too few points of a circle, points on a line, too many circles
 *  @return SNUB_OK; SNUB_BAD_INPUT, SNUB_TOO_LARGE (errors filled); SNUB_NO_MEMORY */
snub_status snub_circles_find(const char *name, const snub_sketch *sketch, const snub_scan *scan,
                              const snub_circles_wish *wish, const snub_drive *drive, snub_arena *arena,
                              snub_circles *circles, snub_errors *errors);
/** Fail: points that are no circle, or of which over a quarter stands out; it is open which circle is a pulley.
 *  Marginal: points are left out, nothing checks a circle or it is hardly held, points scatter more than stated, a
 *  pulley that stands still has no circle or its name another place or size. */
snub_level snub_circles_level(const snub_circles *circles);

#endif

/** snub/measure.h - what was measured at an engine, into centres with their errors. Room: measure.
 *  docs/theory/measure.md has the symbols.
 */
#ifndef SNUB_MEASURE_H
#define SNUB_MEASURE_H

#include "snub/kit.h"
#include "snub/measured.h"

/** Chance of all that is said to hold with 95 %. */
#define SNUB_ERROR_CHANCE 0.05

/** A centre. Errors are standard deviations. */
typedef struct snub_centre {
    double at[2];                    /**< m */
    double error[2];                 /**< of x and of y, m; 0 where it is given */
    double axis[2];                  /**< semi-axes of the 95 % ellipse, m, the long one first */
    double turn;                     /**< direction of the long one, rad in (-pi/2, pi/2] */
    double diameter, diameter_error; /**< of the rim, m; NAN: not known */
} snub_centre;

/** A straight edge: n . q = c. */
typedef struct snub_edge_line {
    double normal;   /**< direction of n, rad */
    double distance; /**< c, m */
} snub_edge_line;

/** A reading against the answer. The first are the file's distances; behind them the diameters that have an error. */
typedef struct snub_read_check {
    int distance; /**< index; -1: a diameter */
    int pulley;   /**< whose diameter; -1 */
    double value, error;
    double residual;       /**< fitted less read, m */
    double share;          /**< r: of its error that its residual shows, 0 to 1 */
    double against_stated; /**< w': residual over its standard error, by the stated errors; NAN: nothing else
                              checks it */
    double against_rest;   /**< t: the same, over the scatter of the other readings; NAN: f < 2, or nothing checks it */
    double others, others_error; /**< where the other readings put it, m; NAN */
    bool suspect;
} snub_read_check;

/** A reading that would help. */
typedef struct snub_next_reading {
    int a, b;
    double now;   /**< from middle to middle as it stands, m; NAN: unknown */
    double error; /**< that it was taken to have, m */
    double worst; /**< longest semi-axis of all ellipses with it, m; NAN: not known */
} snub_next_reading;
enum { SNUB_NEXT_MOST = 3, SNUB_LAYOUTS_MOST = 16 };

/** How one of several layouts was chosen. */
typedef enum snub_layout_choice {
    SNUB_LAYOUT_ONLY,     /**< no other fits */
    SNUB_LAYOUT_SIDES,    /**< the file's sides leave one */
    SNUB_LAYOUT_DRIVE,    /**< the nearest to the drive file's */
    SNUB_LAYOUT_UNDECIDED /**< several fit: this is the best of them, and may be the wrong one */
} snub_layout_choice;

/** Centres, adjusted. Memory: the arena. */
typedef struct snub_centres {
    const snub_measured *measured;
    snub_centre *centre;  /**< pulley_count */
    snub_edge_line *edge; /**< edge_count */
    int check_count;
    snub_read_check *check;
    int unknowns, redundancy; /**< f */
    double sum;               /**< S */
    double chance;            /**< that S is exceeded if the stated errors hold; NAN where f = 0 */
    double scale;             /**< s0; 1 where f = 0 */
    double taken;             /**< by which all errors here are multiplied: 1, or s0 */
    double stated_limit;      /**< of |against_stated| */
    double rest_limit;        /**< of |against_rest|; NAN where f < 2 */
    int suspects;
    double *covariance; /**< of all centres' coordinates, x and y of each pulley in turn, taken^2 counted in:
                           2n by 2n, m2 */
    /* layouts */
    snub_layout_choice choice;
    int layouts;               /**< that fit, this one counted */
    double (*other)[2];        /**< the best of the others, pulley_count, m; NULL: none */
    int decider;               /**< a pulley that stands elsewhere in it; -1 */
    snub_next_reading settles; /**< distance that differs most; a = -1: none does, only a side will do */
    double settles_other;      /**< that distance there, m */
    /* what next */
    int next_count;
    snub_next_reading next[SNUB_NEXT_MOST];
} snub_centres;

/** Adjust.
 *  @param[in] measured  with what its drive knows (snub_measured_take_drive)
 *  @param[in,out] errors  which pulley or edge floats and what would hold it; sides that no layout has; an edge or a
 *                         reading that no layout comes near to
 *  @return SNUB_OK; SNUB_BAD_INPUT (errors filled); SNUB_NO_MEMORY */
snub_status snub_centres_adjust(const snub_measured *measured, snub_arena *arena, snub_centres *centres,
                                snub_errors *errors);

/** Fail: a reading is suspect, or it is open which layout is right. Marginal: the readings scatter more than stated. */
snub_level snub_centres_level(const snub_centres *centres);

/* ---- what it means for the drive --------------------------------------------------------------------------------- */

/** A result of the drive, and how sure the readings make it. */
typedef struct snub_sure {
    double value, error; /**< standard deviation; NAN: not known */
} snub_sure;

/** The drive with the measured centres, engine stopped, nominal belt: belt and settings are those of the build. */
typedef struct snub_effect {
    const snub_build *build; /**< with the centres laid over it */
    bool solved;             /**< false: the belt does not lie, or has no balance; the rest is not valid */
    snub_sure length;        /**< effective length along the pulleys, arm where it stands, m */
    snub_sure wind;          /**< of the arm, rad; NAN without one */
    snub_sure *wrap;         /**< per pulley of the drive, rad */
    snub_sure
        *mark; /**< per pulley: setting at which the arm keeps its wind, or the lock its tension, m; NAN: no slot */
} snub_effect;

/** Overlays that put the centres where they belong in the drive file.
 *  @param[in,out] row  they are laid over it, last
 *  @param[out] count   how many
 *  @return false: memory is out */
bool snub_centres_lay(const snub_centres *centres, snub_arena *arena, snub_row *row, int *count);

/** @param[in] row    that the build was made of: its last `laid` overlays are the centres'
 *  @param[in] build  settled
 *  @return SNUB_OK; SNUB_BAD_INPUT (errors filled); SNUB_NO_MEMORY */
snub_status snub_effect_find(const snub_centres *centres, const snub_document *document, const snub_reading *reading,
                             const snub_row *row, int laid, const snub_build *build, snub_effect *effect,
                             snub_errors *errors);

/* ---- a spring from torques --------------------------------------------------------------------------------------- */

/** A reading against the spring. */
typedef struct snub_torque_check {
    double residual;       /**< fitted less read, N m */
    double error;          /**< of the reading, the angle's counted in, N m */
    double share;          /**< of it that shows, 0 to 1 */
    double against_stated; /**< residual over its standard error */
    bool suspect;
} snub_torque_check;

/** Why readings are no spring with friction: bits. */
typedef enum snub_no_spring {
    SNUB_SPRING_FALLS = 1,         /**< the torque does not rise with the wind */
    SNUB_SPRING_SWAPPED = 2,       /**< it is not larger winding than releasing */
    SNUB_SPRING_PUSHES = 4,        /**< the preload is under zero: the free position is another */
    SNUB_SPRING_BENDS = 8,         /**< no one rate */
    SNUB_SPRING_CONSTANT_DRAG = 16 /**< the friction does not grow with the moment */
} snub_no_spring;

typedef struct snub_spring {
    const snub_measured_arm *measured;
    snub_sure travel;                 /**< rad */
    snub_sure preload, rate, damping; /**< N m, N m/rad, - */
    double within;                    /**< errors to either side that hold with 95 % */
    int redundancy;
    double sum, chance, scale, taken; /**< as snub_centres */
    double bend, drag;                /**< value over error of the two further unknowns */
    double further_limit;             /**< of both */
    unsigned no_spring;               /**< bits of snub_no_spring */
    double stated_limit;
    int suspects;
    snub_torque_check *check; /**< of each reading */
} snub_spring;

/** @param[in,out] errors  readings that do not settle
 *  @return SNUB_OK; SNUB_BAD_INPUT (errors filled); SNUB_NO_MEMORY */
snub_status snub_spring_fit(const snub_measured_arm *measured, snub_arena *arena, snub_spring *spring,
                            snub_errors *errors);
/** Fail: no spring, or a suspect. Marginal: the readings scatter more than stated. */
snub_level snub_spring_level(const snub_spring *spring);

#endif

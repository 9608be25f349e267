/** snub/balance.h - arm and tension equilibrium, grip, creep, hub loads.
 *
 *  Model (docs/theory/tension.md): elastic belt whose arcs stretch as well as its spans (an arc at the mean of its two
 *  sides); momentum flux in every pulley's force; tension rises by M/|r| over a pulley that absorbs torque M; the crank
 *  takes it all back. With the geometric pitch length G(wind) and T0 the total tension of the span that leaves the
 *  crank, the length condition is linear in T0, so one unknown is left: the wind, where
 *      R(wind) = (preload + rate wind)(1 + side damping) - moment of the belt's force about the pivot
 *  goes from - to + with growing wind.
 */
#ifndef SNUB_BALANCE_H
#define SNUB_BALANCE_H

#include "snub/layout.h"

/** Intervals of the wind table. Two equilibria nearer than travel/64 are seen as one or none. */
enum { SNUB_WIND_GRID = 64 };

/** The part of the geometry that moves with the arm, at one wind. */
typedef struct snub_arm_geometry {
    bool valid;       /**< tangents exist and the wraps make one turn */
    double length;    /**< whole pitch length, m */
    double span[2];   /**< before and after the arm's pulley, m */
    double wrap[3];   /**< of the pulley before, the arm's, the one after, rad */
    double lever_in;  /**< moment about the pivot, in the winds sense, of a unit force along u_in, m */
    double lever_out; /**< the same along u_out; the belt's moment is T'_out lever_out - T'_in lever_in */
    double u[2][2];   /**< directions of the two spans */
    double reach[2];  /**< from the pivot to the arm's pulley, m */
} snub_arm_geometry;

/** The wind table column by column, for the scan, which runs over it for every case: with G the pitch length,
 *      T - Tm = EA - (EA target + fixed)/G - sum of rise x what is below,
 *  so that no division is left. Zeros where the belt is lost. */
typedef struct snub_wind_table {
    bool valid[SNUB_WIND_GRID + 1];
    double per_length[SNUB_WIND_GRID + 1];                              /**< 1/G, 1/m */
    double span[2][SNUB_WIND_GRID + 1];                                 /**< spans over G */
    double wrap[3][SNUB_WIND_GRID + 1];                                 /**< wraps over G, rad/m */
    double lever_in[SNUB_WIND_GRID + 1], lever_out[SNUB_WIND_GRID + 1]; /**< m */
    double spring[SNUB_WIND_GRID + 1];                                  /**< moment, middle of the band, N m */
} snub_wind_table;

/** A cell of the wind table of which one end has lost the belt: the last wind at which the belt lies well. */
typedef struct snub_wind_edge {
    int cell; /**< from grid point `cell` to the next */
    double wind;
    snub_arm_geometry geometry;
} snub_wind_edge;
/** Edges that are looked for; a belt that comes and goes more often within the travel is served no better. */
enum { SNUB_WIND_EDGES_MOST = 4 };

/** A drive at one set of slot settings, made ready for many balances. Caller-owned, about 18 kB, no pointers into
 *  the drive. */
typedef struct snub_rig {
    int n, crank, arm;
    int before, after; /**< the arm's neighbours */
    double sense;
    double grown;                              /**< distances between centres over their cold ones */
    double stiffness, mass, measuring_tension; /**< N, kg/m, N */
    double pivot[2], arm_length, rest, winds, travel, preload, rate, damping;
    double fixed_length; /**< pitch length that does not move with the arm, m */
    double fixed_turn;   /**< signed wraps that do not move with the arm, rad */
    double settings[SNUB_PULLEYS_MOST];
    snub_path path;   /**< at wind 0 (or the only one) */
    snub_status laid; /**< SNUB_OK where the path is good at wind 0 or somewhere in the travel */
    int culprit;      /**< pulley that spoils it, where it is not */
    snub_arm_geometry grid[SNUB_WIND_GRID + 1];
    snub_wind_table table; /**< the same in columns */
    int edges;             /**< 0 where the belt lies well over the whole travel */
    snub_wind_edge edge[SNUB_WIND_EDGES_MOST];
} snub_rig;

/** Prepare.
 *  @param[in] settings  as snub_place_pulleys; may be NULL
 *  @return SNUB_OK; SNUB_NO_TANGENT or SNUB_LOST_BELT (at every wind), with the pulley named */
snub_status snub_rig_prepare(const snub_drive *drive, const double *settings, snub_rig *rig, snub_error *error);

/** The same with the engine warm: all distances between centres, those of pivot and slots counted in, grown by
 *  `engine.growth`; pulleys keep their size (docs/theory/tension.md). Settings are those that were set cold. */
snub_status snub_rig_prepare_warm(const snub_drive *drive, const double *settings, snub_rig *rig, snub_error *error);

/** What moves with the arm, at one wind [rad]; outside of [0, travel] too.
 *  @return geometry->valid: tangents exist and the wraps make one turn */
bool snub_arm_lay(const snub_rig *rig, double wind, snub_arm_geometry *geometry);

/** What the belt is asked to do. */
typedef struct snub_case {
    double engine_speed; /**< rad/s, >= 0 */
    double rate;         /**< rad/s2 */
    double side;         /**< arm friction: -1 lower edge, 0 middle, +1 upper edge of its band */
    double belt_length;  /**< pitch length of the belt at measuring tension, stretch and growth counted in, m */
    double torque[SNUB_PULLEYS_MOST]; /**< absorbed by each pulley, inertia counted in, N m; the crank's is ignored */
} snub_case;

/** Pitch length for a snub_case from an effective length [m] and a permanent stretch [fraction]; growth (thermal) is
 *  counted where `warm`. */
double snub_belt_pitch_length(const snub_belt *belt, double effective, double stretch, bool warm);

typedef enum snub_arm_state { SNUB_ARM_NONE, SNUB_ARM_FREE, SNUB_ARM_AT_REST, SNUB_ARM_AT_STOP } snub_arm_state;

/** An equilibrium, as little as the batch kernels need. */
typedef struct snub_equilibrium {
    snub_arm_state arm;
    double wind;                    /**< rad */
    double tension;                 /**< T0: total tension of the span that leaves the crank, N */
    double belt_speed;              /**< m/s, > 0 in the sense of travel */
    double centrifugal;             /**< m v^2, N */
    int equilibria;                 /**< stable ones in the travel; 1 is usual */
    int steps;                      /**< of Newton that a free arm took; 0 for any other answer */
    bool past_dead_point;           /**< winding further would lengthen the path */
    double rise[SNUB_PULLEYS_MOST]; /**< total tension of span i less T0, N */
    snub_arm_geometry geometry;     /**< with an arm */
} snub_equilibrium;

/** Solve one case.
 *  Robust: all sign changes of R over the travel are bracketed, then Newton with bisection as its guard. Of several
 *  stable equilibria the one that the arm reaches when it is let go from its stop is given.
 *  Past rest or stop the arm is a locked pulley: that is an answer (see `arm`), not an error.
 *  @return SNUB_OK; SNUB_NO_EQUILIBRIUM (slack all round: the error says how much too long the belt is; or the belt is
 *  lost on the way); SNUB_NO_CONVERGENCE */
snub_status snub_solve(const snub_rig *rig, const snub_case *wanted, snub_equilibrium *equilibrium, snub_error *error);

/** Solve many cases of one rig: each as snub_solve does, to the bit, but side by side in the lanes of the processor's
 *  vectors where it has them.
 *  @param[in] wanted, equilibrium  `count` pointers each
 *  @param[out] status  of each, as of snub_solve */
void snub_solve_many(const snub_rig *rig, int count, const snub_case *const *wanted,
                     snub_equilibrium *const *equilibrium, snub_status *status);

/** A moment of the same case at other torques: the arm stays where it is, as its friction and inertia hold it while a
 *  load peaks, and the belt takes up the change by its stretch.
 *  @param[in] wanted  as solved, but for the torques
 *  @param[in] at  its equilibrium
 *  @param[out] held  the moment's; may be slack all round, which is no error here */
void snub_solve_held(const snub_rig *rig, const snub_case *wanted, const snub_equilibrium *at, snub_equilibrium *held);

/** Why a case has no answer, the gravest first. */
typedef enum snub_failure {
    SNUB_FAILS_NOT,
    SNUB_FAILS_TOO_LONG_FOR_ARM, /**< slack all round; amount: m that the belt is too long for the arm to leave its rest
                                  */
    SNUB_FAILS_TOO_LONG, /**< slack all round; amount: m that the belt without tension is longer than the path */
    SNUB_FAILS_MOMENTUM, /**< slack all round; amount: belt speed [m/s] whose momentum takes all tension */
    SNUB_FAILS_ARM_LOST, /**< no balance where the belt is on all pulleys */
    SNUB_FAILS_NO_ANSWER /**< the belt is lost between two positions where it is not */
} snub_failure;
/** @param[in] status  of snub_solve with the same rig and case
 *  @param[out] amount  NAN where there is none */
snub_failure snub_solve_failure(const snub_rig *rig, const snub_case *wanted, snub_status status, double *amount);

/** Strain of a belt beyond which no tension is believed, a plain number (rule of thumb, no published source: cords
 * break at some 3 %). */
#define SNUB_STRAIN_MOST 0.02

/** Pitch length of the belt with which a case would balance at a given wind; the inverse of snub_solve.
 *  Where the arm has so little lever that the belt would be strained by more than SNUB_STRAIN_MOST, the length for that
 *  strain.
 *  @return false where the geometry is no good there or the arm has no lever */
bool snub_length_for_wind(const snub_rig *rig, const snub_case *wanted, double wind, double *belt_length);

/** One pulley and the span behind it, in full. */
typedef struct snub_pulley_state {
    double speed;       /**< rad/s, clockwise positive, without creep */
    double creep;       /**< fraction of speed lost against the crank */
    double torque;      /**< absorbed, N m; the crank's is minus the sum of the others through the belt */
    double wrap;        /**< rad */
    double entry, exit; /**< total tension, N */
    double grip_design, grip_limit, grip_wet; /**< ln(T'hi/T'lo)/(mu wrap); INFINITY where slack */
    bool slack;                               /**< T'lo <= 0 under load */
    double hub[2];                            /**< belt's force on the pulley, N */
} snub_pulley_state;

typedef struct snub_balance {
    snub_equilibrium equilibrium;
    snub_path path;
    double spring_moment; /**< N m, middle of the band */
    snub_pulley_state pulley[SNUB_PULLEYS_MOST];
    double span_tension[SNUB_PULLEYS_MOST];   /**< total, N */
    double span_frequency[SNUB_PULLEYS_MOST]; /**< first, Hz; see snub_span_frequency */
} snub_balance;

/** Everything about an equilibrium. */
void snub_expand(const snub_drive *drive, const snub_rig *rig, const snub_case *wanted,
                 const snub_equilibrium *equilibrium, snub_balance *balance);

/** Of the same, the pulleys alone, to the bit. @param[out] pulley  one of each; the span behind has its exit tension */
void snub_expand_pulleys(const snub_drive *drive, const snub_rig *rig, const snub_case *wanted,
                         const snub_equilibrium *equilibrium, snub_pulley_state *pulley);

/** Of the same, grip_design of each pulley alone, to the bit. @param[out] grip  one of each pulley */
void snub_design_grips(const snub_drive *drive, const snub_rig *rig, const snub_equilibrium *equilibrium, double *grip);

/** A span that runs along itself. */
typedef struct snub_free_span {
    double tension; /**< total, N */
    double mass;    /**< kg/m */
    double bending; /**< EI, N m2; 0: a string */
    double speed;   /**< m/s */
    double length;  /**< m */
} snub_free_span;
/** Natural frequency of a span between pulleys that stand, Hz: string, or beam on hinges. docs/theory/motion.md, spans.
 *  @param[in] nth  from 1
 *  @return 0 where it is slack or as fast as its wave, T <= m v^2 */
double snub_span_frequency(const snub_free_span *span, int nth);

/** ln(hi/lo)/(friction wrap). 0 where hi == lo; INFINITY where lo <= 0 and hi != lo, or where there is no wrap.
 *  Capstan: docs/theory/grip.md. */
double snub_grip(double tension_a, double tension_b, double friction, double wrap);

/** Setting [m] of the slot that carries the lock, at which the belt at rest has the lock's tension.
 *  @param[in,out] settings  per pulley; the locked one is written
 *  @param[out] lack  may be NULL; where there is none: m that the belt is too short (positive) or too long (negative);
 *                    NAN: the belt does not run around all pulleys anywhere in the slot
 *  @return SNUB_OK; SNUB_NO_EQUILIBRIUM */
snub_status snub_lock_set(const snub_drive *drive, double belt_length, double *settings, double *lack,
                          snub_error *error);

#endif

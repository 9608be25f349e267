/** snub/motion.h - a drive in motion about its balance: what moves with which inertia, what springs back, natural
 *  frequencies.
 *
 *  Theory: docs/theory/motion.md. Fast motion: the belt sticks to the pulleys and the free spans alone stretch, each as
 * a spring EA/L; the belt has no mass here. What moves is every pulley, by its angle in the belt's sense of travel
 *  [rad], and the arm where it is free, by its wind [rad]. Signs of a mode's shape are those.
 */
#ifndef SNUB_MOTION_H
#define SNUB_MOTION_H

#include "snub/balance.h"
#include "snub/demand.h"

/** Pulleys in belt order, then the arm. */
enum { SNUB_MOVERS_MOST = SNUB_PULLEYS_MOST + 1 };

/** Where an inertia comes from. */
typedef enum snub_inertia_from {
    SNUB_INERTIA_GIVEN,      /**< the file */
    SNUB_INERTIA_RIM,        /**< assumed: a rim of the pulley's size, nothing behind it */
    SNUB_INERTIA_DRIVEN,     /**< assumed: a rim, and an accessory's rotor */
    SNUB_INERTIA_ROTORS,     /**< assumed: a rim, and the rotors of a displacement blower of its size */
    SNUB_INERTIA_IMPELLER,   /**< assumed: a rim, and the impeller of a centrifugal, by its flow and step-up */
    SNUB_INERTIA_ARM,        /**< assumed: the pulley's mass at the arm's end, and the arm */
    SNUB_INERTIA_CRANKSHAFT, /**< assumed: crank and flywheel by displacement */
    SNUB_INERTIA_UNKNOWN     /**< nothing to go by */
} snub_inertia_from;
/** "given in the file", "assumed: steel rim 3 mm thick", ... English. */
const char *snub_inertia_from_text(snub_inertia_from from);

/** Inertias of all that may move. */
typedef struct snub_inertias {
    double pulley[SNUB_PULLEYS_MOST]; /**< kg m2; the crank's with the engine's; NAN where it is not known */
    snub_inertia_from pulley_from[SNUB_PULLEYS_MOST];
    double rim[SNUB_PULLEYS_MOST]; /**< of an overrunning pulley: what stays on the belt when its clutch lets go,
                                      assumed, kg m2; 0: it does not overrun */
    double arm;                    /**< about the pivot, the pulley's mass in it, kg m2; NAN without an arm */
    snub_inertia_from arm_from;
} snub_inertias;

/** Of a pulley's inertia what is before a clutch in it: a rim of its size, at most half of it, kg m2. Rule of thumb, no
 *  published source. */
double snub_rim_inertia(const snub_drive *drive, const snub_inertias *inertias, int pulley);

/** Inertias as the file gives them; what it leaves out (or gives as 0) by kind and size, by rules of thumb. */
void snub_inertias_of(const snub_drive *drive, snub_inertias *inertias);

/** Small motion about a balance: M q'' + K q = 0. */
typedef struct snub_motion {
    int pulleys, crank;
    int count; /**< what moves: pulleys, and the arm as the last where it is free */
    bool arm_moves;
    double inertia[SNUB_MOVERS_MOST];                    /**< M, diagonal, kg m2; NAN as in snub_inertias */
    double shaft[SNUB_PULLEYS_MOST];                     /**< of it, what is behind an overrunning clutch; 0: none */
    double torque[SNUB_PULLEYS_MOST];                    /**< mean that the shaft takes, N m */
    double spring[SNUB_PULLEYS_MOST];                    /**< EA/L of span i, N/m */
    double stretch[SNUB_PULLEYS_MOST][SNUB_MOVERS_MOST]; /**< of span i by what moves, m/rad */
    bool beside_arm[SNUB_PULLEYS_MOST];                  /**< span i has an end on the arm's pulley */
    double tension[SNUB_PULLEYS_MOST];                   /**< of span i, total, N */
    double belt_mass;                                    /**< kg/m */
    double across[SNUB_PULLEYS_MOST];  /**< how far the end of span i on the arm's pulley goes across it, m/rad */
    double friction;                   /**< half of the arm's friction band, N m */
    double belt_stiffness, belt_speed; /**< EA, N; m/s */
    double span[SNUB_PULLEYS_MOST], arc[SNUB_PULLEYS_MOST]; /**< lengths, m */
    double arm_stiffness;                                   /**< spring and tractive tension at the arm, N m/rad */
    double stiffness[SNUB_MOVERS_MOST * SNUB_MOVERS_MOST];  /**< K, row after row of `count`, N m/rad */
} snub_motion;

/** Set up the motion about a balance.
 *  @param[in] balance  of that drive, solved; an arm at rest or stop does not move */
void snub_motion_about(const snub_drive *drive, const snub_balance *balance, const snub_inertias *inertias,
                       snub_motion *motion);

typedef struct snub_mode {
    double frequency;                /**< Hz */
    double shape[SNUB_MOVERS_MOST];  /**< rad, the greatest is 1; the crank's is 0 where it is held */
    double energy[SNUB_MOVERS_MOST]; /**< share of the kinetic energy; they add to 1 */
} snub_mode;

typedef struct snub_modes {
    int count;       /**< rising frequency; without the turning of the whole drive where the crank is free */
    snub_mode *mode; /**< arena memory */
} snub_modes;

/** Natural frequencies without damping.
 *  @param[in] crank_held  its angle is prescribed; else it turns with its inertia
 *  @return SNUB_OK; SNUB_BAD_INPUT (the crank is free and its inertia not known); SNUB_NO_EQUILIBRIUM (nothing springs
 *  back: the balance is not stable for fast motion); SNUB_NO_CONVERGENCE; SNUB_NO_MEMORY */
snub_status snub_modes_find(const snub_motion *motion, bool crank_held, snub_arena *arena, snub_modes *modes,
                            snub_error *error);

/* ---- how unevenly the crank turns ---------------------------------------------------------------------------------
 */

/** One cylinder with its crank and a stated cycle: compression and expansion polytropic, heat at once in top dead
 *  centre, intake and exhaust at constant pressure. docs/theory/motion.md, the crank's irregularity. */
typedef struct snub_cylinder {
    int strokes;                     /**< 4 or 2 */
    double bore, crank_radius, rod;  /**< m */
    double compression;              /**< geometric ratio > 1 */
    double intake, exhaust, outside; /**< pressures, the last under the piston, Pa */
    double n_compression, n_expansion;
    double rise;          /**< of pressure in top dead centre, Pa */
    double reciprocating; /**< mass that goes up and down, kg */
} snub_cylinder;

/** Mean torque of its gas over a cycle, N m: of the work around the loop, in closed form. */
double snub_mean_torque(const snub_cylinder *cylinder);

/** What of a cylinder is assumed. */
typedef enum snub_cylinder_assumed {
    SNUB_ASSUMED_STROKE = 1 << 0,
    SNUB_ASSUMED_ROD = 1 << 1,
    SNUB_ASSUMED_COMPRESSION = 1 << 2,
    SNUB_ASSUMED_MASS = 1 << 3,
    SNUB_ASSUMED_FIRING = 1 << 4
} snub_cylinder_assumed;
/** "stroke as long as the bore", ...; English, for one bit. */
const char *snub_cylinder_assumed_text(snub_cylinder_assumed what);

/** A cylinder of the engine at full load: the pressure rise is the one that gives the mean torque of the estimate.
 *  @param[in] match  of its blower there, throttle open; NULL: no blower
 *  @param[out] assumed  bits of snub_cylinder_assumed
 *  @return SNUB_OK; SNUB_BAD_INPUT (says which key is missing) */
snub_status snub_cylinder_of(const snub_drive *drive, const snub_match_result *match, double speed,
                             snub_cylinder *cylinder, unsigned *assumed, snub_error *error);
/** The same cylinder with less throttle: intake pressure and pressure rise fall in one proportion, as the charge does,
 *  until its mean torque is `wanted` [N m]. */
void snub_cylinder_throttle(snub_cylinder *cylinder, double wanted);
/** Angles at which the cylinders fire, from the first, rad; room for SNUB_CYLINDERS_MOST. */
void snub_firing_angles(const snub_engine *engine, double *firing);

/** Orders of half a turn each, up to the 12th. */
enum { SNUB_ORDERS = 24, SNUB_CYLINDERS_MOST = 24 };

/** One order of an engine at one speed. */
typedef struct snub_order {
    double order;  /**< times per turn of the crank */
    double torque; /**< amplitude, N m; NAN where the angle was measured */
    double angle;  /**< amplitude of the crank's angle, rad */
    double speed;  /**< amplitude of its speed, share of the mean */
    double phase;  /**< the angle swings as cos(order x crank angle - phase), rad; 0 where it was measured */
} snub_order;

/** What acts on the crank, each for 1 Pa or for 1 kg at 1 rad/s. */
typedef enum snub_harmonic_part {
    SNUB_HARMONIC_EXPANSION,   /**< pressure behind the rise, in its stroke */
    SNUB_HARMONIC_COMPRESSION, /**< pressure at its end, in its stroke */
    SNUB_HARMONIC_MASS,        /**< reciprocating mass times speed squared */
    SNUB_HARMONIC_STROKE,      /**< an even pressure in one stroke; first of four */
    SNUB_HARMONIC_PARTS = SNUB_HARMONIC_STROKE + 4
} snub_harmonic_part;

/** Torque of all cylinders by half orders: hangs on sizes and firing alone, so that once for an engine is enough. */
typedef struct snub_harmonics {
    int strokes;
    double part[SNUB_HARMONIC_PARTS][SNUB_ORDERS][2]; /**< cosine, sine */
} snub_harmonics;

/** @param[in] sizes  pressures and mass are not read
 *  @param[in] firing  angles of the crank at which the cylinders fire [rad], `cylinders` of them */
void snub_harmonics_of(const snub_cylinder *sizes, const double *firing, int cylinders, snub_harmonics *harmonics);

/** Orders of an engine whose crank turns as one body, at one speed and its pressures.
 *  @param[in] inertia  of all that turns with the crank, kg m2
 *  @param[out] orders  SNUB_ORDERS of them */
void snub_orders_at(const snub_harmonics *harmonics, const snub_cylinder *cylinder, double speed, double inertia,
                    snub_order *orders);

/* ---- response ------------------------------------------------------------------------------------------------------
 */

/** Viscous damping of one's own, beside what creep and the arm's friction take. */
typedef struct snub_dashpots {
    double mover[SNUB_MOVERS_MOST]; /**< N m s/rad */
    double belt;                    /**< s: a dashpot beside each span's spring, over it */
} snub_dashpots;

/** Amplitudes of a steady swing at one frequency. */
typedef struct snub_response {
    double angle[SNUB_MOVERS_MOST];    /**< rad; the crank's as prescribed, the arm's 0 where it sticks */
    double tension[SNUB_PULLEYS_MOST]; /**< of span i, N */
    double part[SNUB_PULLEYS_MOST][2]; /**< of that, in step with the crank's angle and a quarter of a swing ahead, N */
    bool sticks;                       /**< the arm's friction holds it; false without an arm that moves */
    bool lets_go[SNUB_PULLEYS_MOST]; /**< its overrunning clutch does, for a part of each swing; the angle is the rim's
                                      */
} snub_response;

/** Response to a crank that swings by 1 x `angle`. Strain is carried round by the belt; the arm's dry friction and
 * overrunning clutches by their first harmonics. docs/theory/motion.md, response.
 *  @param[in] frequency  > 0, rad/s
 *  @param[in] dashpots  may be NULL: none
 *  @return SNUB_OK; SNUB_NO_CONVERGENCE (resonance without any damping; clutches that find no steady swing) */
snub_status snub_respond(const snub_motion *motion, double frequency, double angle, const snub_dashpots *dashpots,
                         snub_response *response, snub_error *error);

/* ---- all orders together -------------------------------------------------------------------------------------------
 */

/** Even steps of a cycle, after which the swing comes again (orders are whole or half), in which peaks and means of the
 * swing are seen: 8 in a period of the highest order, 32 or more in all. */
int snub_cycle_points(const snub_order *orders, int count);
/** What the swing adds to the tension of each span over a cycle, orders in their phases.
 *  @param[in] responses  of each order, at one speed
 *  @param[in] points  even steps of the cycle, from the crank's angle 0 as in snub_order
 *  @param[out] swing  [span * points + point], N
 *  @return false: memory is out */
bool snub_cycle_tensions(const snub_order *orders, const snub_response *responses, int count, int spans, int points,
                         snub_arena *arena, double *swing);

#endif

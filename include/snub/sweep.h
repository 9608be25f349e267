/** snub/sweep.h - the whole rev range in five ways of running, with slip fed back into the blower. Room: kit.
 *
 *  docs/theory/sweep.md. A pulley whose grip on the limit friction would pass 1 slips: its torque is what the belt can
 *  carry, its shaft turns as fast as that torque lets it, and slip speed times belt force is heat.
 */
#ifndef SNUB_SWEEP_H
#define SNUB_SWEEP_H

#include "snub/kit.h"

/* ---- slip ------------------------------------------------------------------------------------------------------ */

typedef enum snub_slip_kind {
    SNUB_SLIP_NONE,
    SNUB_SLIP_SLOWER,  /**< the shaft turns slower than the belt, in balance */
    SNUB_SLIP_STALLED, /**< its torque does not fall with speed: the belt slides over a pulley that stops */
    SNUB_SLIP_OVERRUN  /**< its inertia drives the belt harder than the belt can hold: it runs on, faster than the belt;
                            how much faster goes with time and is not told */
} snub_slip_kind;
/** "no", "slower", "stalled", "overrun" */
const char *snub_slip_text(snub_slip_kind kind);

typedef struct snub_slip {
    int slipping;                        /**< pulleys that slip, the crank counted */
    snub_slip_kind kind[SNUB_PULLEYS_MOST];
    double factor[SNUB_PULLEYS_MOST];    /**< shaft speed over its speed without slip; the crank's: belt speed over the
                                              crank's own */
    double speed[SNUB_PULLEYS_MOST];     /**< between belt and pulley, m/s; NAN on overrun */
    double heat[SNUB_PULLEYS_MOST];      /**< W; NAN on overrun */
    double followed;                     /**< share of the asked rate that belt and pulleys follow: under 1 where the crank
                                              slows faster than its grip can slow them (its kind is overrun) */
} snub_slip;

/** What a slip solve is asked. */
typedef struct snub_slip_case {
    double engine_speed, rate; /**< rad/s, rad/s2 */
    snub_throttle throttle;
    double side;               /**< of the arm's friction band */
    double belt_length;        /**< as snub_case */
    double friction;           /**< times the limit friction: 1 dry; 1 - belt.wet wet; INFINITY: never slips */
} snub_slip_case;

/** Loads, arm and slip that agree: each pulley at or under grip 1 on the limit friction, those that slip at 1.
 *  Pulleys are settled one at a time, the worst first, until all agree.
 *  @param[out] wanted   the case that holds, torques after slip; its engine_speed is the belt's
 *  @param[out] slip     per pulley
 *  @return SNUB_OK; SNUB_NO_EQUILIBRIUM, SNUB_NO_CONVERGENCE as snub_solve; what demand says */
snub_status snub_slip_solve(const snub_drive *drive, const snub_rig *rig, const snub_slip_case *asked,
                            snub_case *wanted, snub_equilibrium *equilibrium, snub_slip *slip, snub_error *error);

/* ---- sweep ----------------------------------------------------------------------------------------------------- */

typedef enum snub_sweep_way {
    SNUB_SWEEP_STEADY,  /**< throttle open, speed held */
    SNUB_SWEEP_RISING,  /**< throttle open, at engine.rises */
    SNUB_SWEEP_FALLING, /**< throttle shut, at engine.falls */
    SNUB_SWEEP_SHUT,    /**< throttle shut, speed held (overrun downhill) */
    SNUB_SWEEP_SHIFT,   /**< gear change without lifting: throttle open, at engine.falls */
    SNUB_SWEEP_WAYS
} snub_sweep_way;
/** "steady", "rising", "falling", "shut", "shift" */
const char *snub_sweep_way_text(snub_sweep_way way);

typedef struct snub_sweep_pulley {
    double speed;       /**< of the shaft after slip, rad/s >= 0 */
    double torque;      /**< absorbed, N m; the crank's is what it gives, negative */
    double entry, exit; /**< total tension, N */
    double grip_design, grip_limit;
    double hub;         /**< load, N */
    double hub_angle;   /**< rad */
    snub_slip_kind slip;
    double factor, slip_speed, heat; /**< as snub_slip */
} snub_sweep_pulley;

typedef struct snub_sweep_point {
    bool solved;               /**< false: no equilibrium; `why` says so and nothing else is valid but match */
    char why[160];
    double belt_speed;         /**< m/s */
    double wind, wind_low, wind_high; /**< rad: middle and edges of the arm's friction band; NAN without
                                           an arm, the edges in ways but steady too */
    double power;              /**< that the crank gives to the belt, W (heat of a slipping crank counted in) */
    double heat;               /**< of all slip, W */
    snub_match_result match;   /**< of the first blower, slip counted in; zeros without one */
    double boost_without_slip; /**< Pa */
} snub_sweep_point;

enum { SNUB_SWEEP_SPEEDS_MOST = 1000 };

typedef struct snub_sweep {
    const snub_drive *drive;
    char designation[32];
    double length;                       /**< effective, m */
    double settings[SNUB_PULLEYS_MOST];  /**< m; NAN: no slot */
    int speeds, pulleys, blower;         /**< blower: index of the first, -1 none */
    double *speed;                       /**< crank, rad/s, rising */
    double rate[SNUB_SWEEP_WAYS];        /**< rad/s2 */
    bool ran[SNUB_SWEEP_WAYS];           /**< false: the engine file gives no such rate */
    snub_sweep_point *point[SNUB_SWEEP_WAYS];   /**< [speed] */
    snub_sweep_pulley *pulley[SNUB_SWEEP_WAYS]; /**< [speed * pulleys + pulley] */
    double friction;                     /**< as asked */
    snub_findings findings;
} snub_sweep;

typedef struct snub_sweep_request {
    int speeds;            /**< idle to redline, ends counted; 0: 60 */
    double friction;       /**< times the limit friction; 0: 1 */
    bool steady_only;      /**< the other ways are left out */
} snub_sweep_request;

/** Sweep a laid drive.
 *  @param[in] length    effective, m
 *  @param[in] settings  per pulley, as snub_check gives them
 *  @return SNUB_OK; SNUB_BAD_INPUT (no engine: no range); geometry of snub_rig_prepare; SNUB_NO_MEMORY; what demand
 *  says. A point without equilibrium is a finding, not an error. */
snub_status snub_sweep_run(const snub_drive *drive, double length, const double *settings,
                           const snub_sweep_request *request, snub_arena *arena, snub_sweep *sweep, snub_error *error);

/** Crank speed [rad/s] from which a pulley slips in a way, linear between the points beside; NAN: it does not. */
double snub_sweep_slip_onset(const snub_sweep *sweep, snub_sweep_way way, int pulley);

/** How a blower pulley on offer holds. */
typedef struct snub_pulley_offer {
    const char *value;      /**< as the file writes it */
    double diameter;        /**< as the file's, m */
    bool laid;              /**< false: no belt or no equilibrium; `why` */
    char why[160];
    double onset;           /**< crank speed of slip, rad/s, steady or rising, the lower; NAN: holds to redline */
    snub_sweep_way onset_way;
    double boost;           /**< at redline, steady, Pa, slip counted in */
    double rotor_speed;     /**< at redline, rad/s */
    double rotor_limit;     /**< rad/s; NAN: none given */
    double grip;            /**< worst on design friction at this pulley, steady */
} snub_pulley_offer;

enum { SNUB_OFFERS_MOST = 64 };

/** Every blower pulley among the file's options, each with the belt that fits it best.
 *  @param[in] reading  as it made the drive; its overlays hold, the offered diameter is laid over them
 *  @param[out] offers  room for SNUB_OFFERS_MOST, largest diameter first
 *  @return SNUB_OK (count may be 0); SNUB_NO_MEMORY; what demand says */
snub_status snub_sweep_offers(const snub_document *document, const snub_reading *reading, const snub_drive *drive,
                              const snub_sweep_request *request, snub_arena *arena, snub_pulley_offer *offers,
                              int *count, snub_error *error);
/** The offers as advice: "80 mm holds to 6200 rpm; 75 mm slips from 5450 rpm (rising)". Empty without offers. */
void snub_sweep_advice(const snub_sweep *sweep, const snub_pulley_offer *offers, int count, snub_text *out);

#endif

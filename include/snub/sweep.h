/** snub/sweep.h - the whole rev range in every way of running, with slip fed back into the blower. Room: kit.
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
    int slipping; /**< pulleys that slip, the crank counted */
    snub_slip_kind kind[SNUB_PULLEYS_MOST];
    double factor[SNUB_PULLEYS_MOST]; /**< shaft speed over its speed without slip; the crank's: belt speed over the
                                           crank's own */
    double speed[SNUB_PULLEYS_MOST];  /**< between belt and pulley, m/s; NAN on overrun */
    double heat[SNUB_PULLEYS_MOST];   /**< W; NAN on overrun */
    double followed;                  /**< share of the asked rate that belt and pulleys follow: under 1 where the crank
                                           slows faster than its grip can slow them (its kind is overrun) */
} snub_slip;

/** What a slip solve is asked. */
typedef struct snub_slip_case {
    double engine_speed, rate; /**< rad/s, rad/s2 */
    snub_throttle throttle;
    double side;        /**< of the arm's friction band */
    double belt_length; /**< as snub_case */
    double friction;    /**< times the limit friction: 1 dry; 1 - belt.wet wet; INFINITY: never slips */
    double falls;       /**< on ribs the friction goes with exp(-falls x slip speed), s/m; 0: it does not change */
} snub_slip_case;

/** A settled build, to be asked for one state after another: nominal belt, warm. Stays
 * where it was made: its drive has its pulleys in it. */
typedef struct snub_slip_bench {
    snub_drive drive; /**< the build's, copied: friction, blower and losses may be changed between two states; not what
                           the belt's path depends on */
    snub_pulley pulleys[SNUB_PULLEYS_MOST];
    snub_rig rig;
    double belt_length; /**< pitch, m */
    int blower;         /**< index of the first; >= 0 */
} snub_slip_bench;

/** What it does in a state. */
typedef struct snub_slip_state {
    bool solved;        /**< false: no balance; nothing else is valid */
    double turns;       /**< of the blower over what the ratio of the pitch radii gives: creep and slip counted in */
    double boost;       /**< of the blower at that speed, Pa */
    int pulley;         /**< that slips fastest; -1: none slips */
    double slip;        /**< of the blower's speed that slip takes, fraction */
    double speed, heat; /**< of the slip there, m/s, W; NAN where it runs on */
} snub_slip_state;

/** @return SNUB_OK; SNUB_BAD_INPUT: no blower; geometry of snub_rig_prepare_warm */
snub_status snub_slip_bench_make(const snub_build *build, snub_slip_bench *bench, snub_error *error);
/** @param[in] asked  its belt_length is not read
 *  @return SNUB_OK, also where there is no balance; what demand says */
snub_status snub_slip_bench_ask(const snub_slip_bench *bench, const snub_slip_case *asked, snub_slip_state *state,
                                snub_error *error);

/* ---- sweep ----------------------------------------------------------------------------------------------------- */

typedef struct snub_sweep_pulley {
    double speed;       /**< of the shaft after slip, rad/s >= 0 */
    double torque;      /**< absorbed, N m; the crank's is what it gives, negative */
    double entry, exit; /**< total tension, N */
    double grip_design, grip_limit;
    double hub;       /**< load, N */
    double hub_angle; /**< rad */
    snub_slip_kind slip;
    double factor, slip_speed, heat; /**< as snub_slip */
} snub_sweep_pulley;

typedef struct snub_sweep_point {
    bool solved; /**< false: no equilibrium; `why` says so and nothing else is valid but match */
    char why[160];
    double belt_speed;                /**< m/s */
    double wind, wind_low, wind_high; /**< rad: middle and edges of the arm's friction band; NAN without
                                           an arm, the edges in ways but steady too */
    double power;                     /**< that the crank gives to the belt, W (heat of a slipping crank counted in) */
    double heat;                      /**< of all slip, W */
    snub_match_result match;          /**< of the first blower, slip counted in; zeros without one */
    double boost_without_slip;        /**< Pa */
} snub_sweep_point;

enum { SNUB_SWEEP_SPEEDS_MOST = 1000 };

typedef struct snub_sweep {
    const snub_build *build;
    const snub_drive *drive;              /**< the build's */
    int speeds, pulleys, blower;          /**< blower: index of the first, -1 none */
    double *speed;                        /**< crank, rad/s, rising */
    double rate[SNUB_WAYS];               /**< rad/s2 */
    bool ran[SNUB_WAYS];                  /**< false: the engine file gives no such rate */
    snub_sweep_point *point[SNUB_WAYS];   /**< [speed] */
    snub_sweep_pulley *pulley[SNUB_WAYS]; /**< [speed * pulleys + pulley] */
    double friction;                      /**< as asked */
} snub_sweep;

typedef struct snub_sweep_request {
    int speeds;       /**< idle to redline, ends counted; 0: 60 */
    double friction;  /**< times the limit friction; 0: 1 */
    bool steady_only; /**< the other ways are left out */
} snub_sweep_request;

/** Sweep a settled build: curves to be shown, slip fed back. Nothing is judged by them.
 *  @return SNUB_OK; SNUB_BAD_INPUT (no engine: no range); geometry of snub_rig_prepare; SNUB_NO_MEMORY; what demand
 *  says. A point without equilibrium says why; it is no error. */
snub_status snub_sweep_run(const snub_build *build, const snub_sweep_request *request, snub_arena *arena,
                           snub_sweep *sweep, snub_error *error);

/** Crank speed [rad/s] from which a pulley slips in a way, linear between the points beside; NAN: it does not. */
double snub_sweep_slip_onset(const snub_sweep *sweep, snub_way way, int pulley);

/** Where a pulley's slip is worst: stalled before slower before overrun, then the most heat. */
typedef struct snub_slip_worst {
    bool slips;
    snub_way way;
    int at; /**< index of the speed */
} snub_slip_worst;
snub_slip_worst snub_sweep_worst_slip(const snub_sweep *sweep, int pulley);

/** Lowest crank speed at which any pulley of the nominal belt slips, the crank's own counted, steady or accelerating.
 */
typedef struct snub_offer_slip {
    double onset; /**< rad/s; NAN: holds to redline, or it was not swept */
    snub_way way;
    int pulley;
} snub_offer_slip;

/** A blower pulley on offer: the row of the kit that has it, settled and judged. */
typedef struct snub_pulley_offer {
    const char *value; /**< as the file writes it */
    const snub_build
        *build;    /**< chosen afresh, as the chart's row is; NULL: the value is wrong or excluded, see `why` */
    bool excluded; /**< the row's package does not come with it */
    char why[704];
    snub_offer_slip slip; /**< at the friction that was asked */
    snub_offer_slip wet;  /**< of a wet belt */
    bool swept;
    double boost;       /**< at redline, steady, Pa, slip counted in */
    double rotor_speed; /**< at redline, rad/s */
    double rotor_limit; /**< rad/s; NAN: none given */
    double grip;        /**< worst on design friction at the blower, steady */
} snub_pulley_offer;

enum { SNUB_OFFERS_MOST = 64 };

/** The option that offers the diameter of a blower's pulley; NULL: there is none. */
const snub_option *snub_diameter_option(const snub_drive *drive, int blower);

/** Every blower pulley among the file's options, each as the build that the chart makes of it: the file's other values,
 *  the variant and the caller's overlays as in `row`.
 *  @param[in] reading  units, parts, maps, arena
 *  @param[out] offers  room for SNUB_OFFERS_MOST, largest diameter first
 *  @return SNUB_OK (count may be 0; a value that cannot be read is an offer with `why`); SNUB_NO_MEMORY */
snub_status snub_sweep_offers(const snub_document *document, const snub_reading *reading, const snub_build *build,
                              const snub_sweep_request *request, snub_arena *arena, snub_pulley_offer *offers,
                              int *count, snub_error *error);

/** Weather in which a boost is shown beside today's. */
typedef struct snub_weather {
    const char *name;
    double altitude;    /**< m; pressure as in the 1976 standard atmosphere */
    double temperature; /**< K */
} snub_weather;
enum { SNUB_WEATHERS = 2 };
/** A cold day in the mountains and a hot one at sea level. */
const snub_weather *snub_weathers(int *count);

/** The blower pulley on offer that comes nearest to a wished boost. */
typedef struct snub_near_offer {
    bool found; /**< false: none is on offer, or none has a balance with the engine */
    int blower; /**< index of its pulley */
    snub_pulley_offer offer;
    snub_match_result match;        /**< at the asked speed in the file's air, without belt slip */
    double boost_in[SNUB_WEATHERS]; /**< there in other weather, Pa; NAN: no balance */
} snub_near_offer;

/** Find it at a crank speed [rad/s] for a boost [Pa]; settled, judged and swept as snub_sweep_offers does.
 *  @return SNUB_OK; SNUB_NO_MEMORY; what a sweep says */
snub_status snub_nearest_offer(const snub_document *document, const snub_reading *reading, const snub_build *build,
                               const snub_sweep_request *request, double speed, double boost, snub_arena *arena,
                               snub_near_offer *nearest, snub_error *error);

#endif

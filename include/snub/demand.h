/** snub/demand.h - air, blower, engine, accessories, inertia: the torque that each pulley asks of the belt.
 *
 *  Theory: docs/theory/air.md, docs/theory/blower.md, docs/theory/match.md. Everything is SI; pressures are absolute
 *  unless the name says `boost` or `difference`. Nothing here allocates, except the map reader, and nothing does I/O.
 *  Knock, ignition, fuel and exhaust back-pressure are out of scope: no result says that an engine stands its boost.
 */
#ifndef SNUB_DEMAND_H
#define SNUB_DEMAND_H

#include "snub/drive.h"
#include "snub/locale.h"

/* ---- air ------------------------------------------------------------------------------------------------------ */

/** A perfect gas with constant heats. */
typedef struct snub_gas {
    double constant; /**< R, J/(kg K) */
    double cp;       /**< J/(kg K) */
    double gamma;    /**< cp/(cp - R) */
} snub_gas;

/** Density of the ambient air [kg/m3], humidity counted in. */
double snub_air_density(const snub_air *air);
/** Pressure of the dry part of the ambient air [Pa]. */
double snub_air_dry_pressure(const snub_air *air);

/** How a dyno's power is brought to standard air. */
typedef enum snub_correction {
    SNUB_SAE_J1349,       /**< 1.18 (990/pd) sqrt((t + 273)/298) - 0.18; pd dry, mbar (June 1990) */
    SNUB_SAE_J1349_EXACT, /**< the same with the given mechanical efficiency; 1.18 belongs to 0.85 */
    SNUB_ISO_1585,        /**< (99/pd)^1.2 (T/298)^0.6; pd dry, kPa; spark ignition (exponents not compared with
                               its text) */
    SNUB_DIN_70020        /**< 1013/p sqrt(T/293); p total, mbar */
} snub_correction;

/** Factor by which measured power is multiplied.
 *  Pressure-charged engines: the standards restrict or forbid correction of boosted engines whose boost is controlled;
 *  a belt-driven blower's boost goes with ambient density, and the factor is used as for an unboosted engine.
 *  @param[in] mechanical  mechanical efficiency (0, 1]; read only by SNUB_SAE_J1349_EXACT
 *  @param[out] in_range  may be NULL: false where the standard does not allow it: J1349: dry pressure 90..105 kPa,
 *              15..35 degC; ISO 1585: factor 0.93..1.07 (neither compared with its text); DIN 70020: no
 *              bound known here
 *  @return SNUB_OK; SNUB_BAD_INPUT */
snub_status snub_power_correction(snub_correction form, const snub_air *air, double mechanical, double *factor,
                                  bool *in_range, snub_error *error);

/* ---- blower --------------------------------------------------------------------------------------------------- */

/** Leakage speed [rad/s of the pulley's shaft] that is usual for a displacement blower of its size: 800 rpm of a rotor
 * that sweeps 1 L, less for larger ones with the cube root of what they sweep. Rule of thumb, no published source. */
double snub_usual_leakage(const snub_blower *blower);

/** How map or design point of a blower were taken where the file does not say it, in one sentence after a blank;
 * nothing otherwise.
 */
void snub_blower_assumptions(const snub_blower *blower, const snub_locale *locale, snub_text *out);

/** Reads a map from CSV text (no file is opened). Header, any order of columns, '#' starts a comment line:
 *      flow [m3/s], pressure_ratio, speed [rpm], efficiency, surge
 *  Units in brackets: flow a volume flow at the INLET, speed of the ROTOR, efficiency a fraction or [%]. Instead of
 *  flow corrected_flow, of speed corrected_speed: referred to the blower's map_pressure and map_temperature. surge, an
 *  x at the surge point of each speed line, need not be there: the surge point is then the point of least flow.
 *  Rows of one speed make a speed line. Every bad row is told with its line and reason: a column or unit missing, not
 *  a number, efficiency not in (0, 1], ratio under 1, flow that is not new in its line, a speed line of one point, a
 *  single speed line, speed lines that cross, a faster line that lies under a slower one.
 *  @param[in] name  of the text, for messages
 *  @param[in,out] blower  kind, map_pressure and map_temperature are set; map and map_lines are set on SNUB_OK, in
 * arena memory
 *  @return SNUB_OK; SNUB_BAD_INPUT (errors filled); SNUB_TOO_LARGE; SNUB_NO_MEMORY */
snub_status snub_blower_map_read(const char *name, const char *text, size_t length, snub_units *units,
                                 snub_arena *arena, snub_blower *blower, snub_errors *errors);

/* ---- engine and match ----------------------------------------------------------------------------------------- */

/** What the driver's foot does. A displacement blower's throttle stands before it, a centrifugal's after it. */
typedef enum snub_throttle {
    SNUB_THROTTLE_OPEN, /**< wide open */
    SNUB_THROTTLE_PART, /**< manifold held at engine.part_pressure of ambient; a bypass is open */
    SNUB_THROTTLE_SHUT  /**< manifold at engine.shut_pressure of ambient (gear change, overrun); a bypass is open */
} snub_throttle;
/** "open", "part", "shut". */
const char *snub_throttle_text(snub_throttle throttle);

/** What a match has to say beside its numbers. */
typedef enum snub_match_flag {
    SNUB_MATCH_OFF = 1 << 0,         /**< the engine stands */
    SNUB_MATCH_NO_BOOST = 1 << 1,    /**< the engine swallows more than the blower gives */
    SNUB_MATCH_BYPASS_OPEN = 1 << 2, /**< air goes round the blower */
    SNUB_MATCH_OVERSPEED = 1 << 3,   /**< rotor over its own limit */
    SNUB_MATCH_OUTSIDE_MAP = 1 << 4, /**< see `outside` */
    SNUB_MATCH_SURGE = 1 << 5,       /**< centrifugal at less flow than its surge point */
    SNUB_MATCH_CHOKE = 1 << 6,       /**< centrifugal passes more than it can raise in pressure */
    SNUB_MATCH_SEVERAL = 1 << 7,     /**< more than one balance: the one of greatest flow, which is stable, is given */
    SNUB_MATCH_BELOW_IDLE = 1 << 8,  /**< crank under idle: matched at idle, torque fades with speed to 0 at rest */
    SNUB_MATCH_OVER_COMPRESSED = 1 << 9, /**< internal pressure above the outlet's */
    SNUB_MATCH_THROTTLED = 1 << 10,
    SNUB_MATCH_TORQUE_TABLE = 1 << 11 /**< torque and power are the pulley's table, not the blower's model */
} snub_match_flag;
/** One clause for one flag, "the engine swallows more than the blower gives"; "" for none. */
const char *snub_match_flag_text(snub_match_flag flag);

/** Where blower and engine agree. */
typedef struct snub_match_result {
    double crank_speed; /**< rad/s */
    double shaft_speed; /**< of the blower's pulley, slip of the belt counted in, rad/s */
    double rotor_speed; /**< rad/s */
    double ratio;       /**< outlet over inlet pressure of the blower */
    double inlet_pressure, outlet_pressure, manifold_pressure; /**< Pa */
    double boost;                                              /**< manifold less ambient, Pa; negative is vacuum */
    double inlet_temperature, outlet_temperature, charge_temperature; /**< K */
    double mass_flow;                                                 /**< into the engine, kg/s */
    double blower_mass_flow;             /**< through the blower, kg/s; more where a bypass brings some back */
    double inlet_flow;                   /**< blower_mass_flow as volume at the inlet, m3/s */
    double leak_speed;                   /**< S: slip speed of the blower (not of the belt), rad/s of its shaft */
    double volumetric_efficiency;        /**< of the blower, 1 - S/N; 0 for a centrifugal (has no meaning there) */
    double isentropic_efficiency;        /**< ideal over indicated work; 0 where ratio <= 1 */
    double internal_pressure;            /**< p1 v^gamma, Pa; 0 for a centrifugal */
    double indicated_power;              /**< into the air, W */
    double power;                        /**< at the pulley, W */
    double torque;                       /**< at the pulley, N m */
    double friction_power;               /**< power less indicated power, W, >= 0 */
    double cooler_power;                 /**< heat taken by the coolant, W */
    double engine_volumetric_efficiency; /**< fill at manifold density, scavenging counted in */
    double crank_power_gross;            /**< estimate without the blower's drive, W: see snub_crank_power */
    double crank_power;                  /**< estimate less the blower's drive, W */
    snub_gas gas;                        /**< the air that was reckoned with, cp at the blower's mean temperature */
    double outside;                      /**< how far outside of the map, relative; 0 inside */
    unsigned flags;                      /**< of snub_match_flag */
} snub_match_result;

/** Match blower and engine.
 *  Model: perfect gas, cp at the mean of inlet and outlet temperature (within 0.05 %); adiabatic casing; mechanical
 *  loss not into the air; fill of the unboosted engine holds at manifold density; losses with flow squared over
 *  density. docs/theory/match.md. The pressure ratio is found by bracketed root (snub_root), 1e-10.
 *  No balance over ambient is an answer (SNUB_MATCH_NO_BOOST): with a bypass the rest goes round the blower, without
 *  one the blower throttles the engine and `boost` is negative.
 *  @param[in] crank_speed  rad/s >= 0; not clamped at idle (see snub_demand_torque)
 *  @param[in] shaft_speed  of the blower's pulley, rad/s >= 0: given for itself, since a slipping belt lowers it
 *  @param[out] result  untouched on error
 *  @return SNUB_OK; SNUB_BAD_INPUT (names the value); SNUB_NO_EQUILIBRIUM (gives more than the engine swallows up to
 *  a ratio of SNUB_RATIO_MOST); SNUB_NO_CONVERGENCE
 *  Not checked: knock, blower's temperature limit, surge lines of displacement blowers (they have none). */
snub_status snub_match(const snub_engine *engine, const snub_air *air, const snub_cooler *cooler,
                       const snub_blower *blower, double crank_speed, double shaft_speed, snub_throttle throttle,
                       snub_match_result *result, snub_error *error);
/** Greatest pressure ratio that is looked for. */
#define SNUB_RATIO_MOST 8.0

/** Mean torque that the gas gives the crank at full load [N m]: estimated crank power before the blower's drive, over
 *  mechanical efficiency and speed. Without a blower from ambient air by volumetric efficiency, humidity not taken off.
 *  @param[in] match  at that speed, throttle open; NULL: no blower
 *  @return NAN: the file does not say enough */
double snub_indicated_torque(const snub_engine *engine, const snub_air *air, const snub_match_result *match,
                             double crank_speed);

/** Torque [N m] that the engine takes to turn itself: what mechanical efficiency leaves of the indicated torque at full
 *  load without boost. @return NAN: the file does not say enough */
double snub_friction_torque(const snub_engine *engine, const snub_air *air, double crank_speed);

/** The estimate's assumptions in one sentence with their numbers, to stand beside it. */
void snub_crank_power_assumptions(const snub_engine *engine, const snub_locale *locale, snub_text *out);

/* ---- the bridge to the balance -------------------------------------------------------------------------------- */

/** Greatest rotor speed that a blower's pulley allows [rad/s]: the rotor's own limit or the pulley's through the
 * step-up, the lower; NAN where neither is given. */
double snub_rotor_limit(const snub_pulley *pulley);

/** Turns of a pulley's shaft per turn of the crank, without slip and creep: crank pitch radius / its pitch radius. */
double snub_speed_ratio(const snub_drive *drive, int pulley);

/** Torque [N m] that a pulley absorbs in steady running; positive is taken out of the belt, whichever way it turns.
 *  From its load table, or its blower (a load table on a blower's pulley replaces the model's torque). The crank's is
 *  0. At rest everything is 0; between rest and idle the torque at idle fades in proportion to crank speed.
 *  @param[in] crank_speed  rad/s >= 0
 *  @param[in] speed_factor  shaft speed over the speed without slip, 0..1
 *  @param[out] torque  N m
 *  @param[out] match   may be NULL; filled for blowers only
 *  @return SNUB_OK; SNUB_BAD_INPUT (with the blower's place), SNUB_NO_EQUILIBRIUM, SNUB_NO_CONVERGENCE as snub_match */
snub_status snub_demand_torque(const snub_drive *drive, int pulley, double crank_speed, double speed_factor,
                               snub_throttle throttle, double *torque, snub_match_result *match, snub_error *error);

/** Torque [N m] that a pulley's inertia asks while the crank speed changes at `rate` [rad/s2]: J i rate, positive
 *  when it speeds up. Belt and idler bearings are not in it. */
double snub_inertia_torque(const snub_drive *drive, int pulley, double rate);

/** Torque [N m] that a pulley takes out of the belt in all: what its shaft absorbs and what its inertia asks. Where
 * that would drive the belt and the pulley overruns (an overrunning clutch), nothing: the shaft runs on by itself. Left
 * out: the rim's own inertia, which stays on the belt, and the shock with which the clutch takes hold again. */
double snub_with_inertia(const snub_drive *drive, int pulley, double absorbed, double inertia);

/* ---- the inverse ---------------------------------------------------------------------------------------------- */

/** What a wished boost asks of the pulleys. Diameters as the file gives them (nominal_diameter: over tips where it is
 * so measured); each of the two changes alone does it. */
typedef struct snub_wish {
    double ratio; /**< blower turns per crank turn */
    double ratio_now;
    double blower_diameter;     /**< with the crank pulley there is, m */
    double crank_diameter;      /**< with the blower pulley there is, m */
    double rotor_speed_redline; /**< rotor at redline, rad/s */
    double rotor_overspeed;     /**< over its limit at redline, fraction; <= 0 within; NAN: no limit given */
    double others_faster;       /**< every other pulley and the belt with the larger crank pulley, fraction */
    snub_match_result match;    /**< at the wished speed */
} snub_wish;
/** @param[in] pulley  the blower's
 *  @return SNUB_OK; SNUB_BAD_INPUT; SNUB_NO_EQUILIBRIUM (out of reach up to 40 turns per crank turn: the greatest boost
 * is told) */
snub_status snub_wish_for_boost(const snub_drive *drive, int pulley, double crank_speed, double boost, snub_wish *wish,
                                snub_error *error);

#endif

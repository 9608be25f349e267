/** src/kit/hardware_study.h - what the judges of hardware share (inside src/kit only). */
#ifndef SNUB_KIT_HARDWARE_STUDY_H
#define SNUB_KIT_HARDWARE_STUDY_H

#include "snub/hardware.h"
#include "study.h"

/** Modulus of a bolt: steel, Pa. */
#define SNUB_BOLT_MODULUS 207e9

/** How the seat of a pulley leans under a force on its hub. All 0: nothing that carries it bends. */
typedef struct snub_lean {
    double shut;              /**< slope of the standoff's end per force while it is shut, rad/N */
    double opens_at;          /**< force at which it begins to lift, N */
    const snub_tube_law *law; /**< how it bends from there on; NULL: it stays shut */
    double arm, length;       /**< of the force over the standoff's root, and of the standoff, m */
    double along[2];          /**< from the middle of the mount's bolts to the pulley, a unit */
    double bend, twist;       /**< of the bracket across that and about it, per force, rad/N */
} snub_lean;
/** False: it stands still under any force. */
bool snub_leans(const snub_lean *lean);
/** Small rotation about x and y, rad; the bracket's part of it alone. */
void snub_lean_of(const snub_lean *lean, const double force[2], double tilt[2]);
void snub_lean_of_bracket(const snub_lean *lean, const double force[2], double tilt[2]);

/** The greatest value so far, with the case in which it was met. Begins as all zero. */
typedef struct snub_peak {
    double value;
    snub_condition at;
} snub_peak;
void snub_peak_take(snub_peak *peak, double value, const snub_condition *at);

/** Shims as planned, and the greatest angle of each pulley without them, signed. */
typedef struct snub_shim_plan {
    snub_shim_advice advice;
    double unshimmed[SNUB_PULLEYS_MOST];
    bool planned;
    snub_hub_load hub[SNUB_PULLEYS_MOST]; /**< loads are the same with any shims; valid where planned */
} snub_shim_plan;

typedef struct snub_hardware_study {
    const snub_study *study;
    const snub_drive *drive;
    const snub_hardware *hardware;
    const snub_path *path; /**< as it runs */
    const snub_path *rest; /**< with the engine at rest */
    snub_arena *arena;
    int duty_count;
    const snub_duty_point *duty;
    double drift[SNUB_PULLEYS_MOST]; /**< of the belt's middle from the pulley's plane as drawn, m; 0 where the pulley
                                          guides it: a plain one is run on where the others lead it, and pulled there */
    double (*tilt)[2]; /**< of each case's seats, [sample * pulleys + pulley], rad; 0 where nothing bends */
    snub_lean lean[SNUB_PULLEYS_MOST];
    const snub_hub_load *loads;       /**< of the hubs, where they are known; else NULL */
    const struct snub_lie_basis *lie; /**< where all stands along the crank, for clearance */
    bool planning;                    /**< shims are looked for, nothing is judged */
    snub_hardware_report *report;
} snub_hardware_study;

/** Which shims the drive is fitted with: those in its stacks, or where the file has some on hand and they do better,
 * the packs that are advised. Tells nothing.
 *  @param[out] plan  zero where the file has no shims on hand or no place for them
 *  @param[out] fitted  the drive with them in; the study's own where nothing changes
 *  @return SNUB_OK; SNUB_NO_MEMORY; what the search for them says */
snub_status snub_plan_shims(const snub_study *study, const snub_path *running, snub_shim_plan *plan,
                            snub_drive **fitted, snub_error *error);

/** Whether shims that are on hand may move a pulley along the crank. */
bool snub_shims_may_move(const snub_hardware *hardware, int pulley);

/** Judge all hardware of a drive whose study has run; findings join the study's.
 *  @param[in] running,rest  paths of the nominal belt
 *  @param[in] plan  of the drive, which is fitted with it
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_judge_hardware(const snub_study *study, const snub_path *running, const snub_path *rest,
                                const snub_shim_plan *plan, snub_hardware_report *report, snub_error *error);

/** Its obstacles alone, before the study has run: what they find does not depend on loads. */
void snub_judge_obstacles(const snub_study *study, const snub_path *running, const snub_path *rest,
                          snub_hardware_report *report);

void snub_hardware_standoffs(snub_hardware_study *study);
void snub_hardware_bolts(snub_hardware_study *study);
/** After the standoffs: a standoff's bolt may be a slot's as well. */
void snub_hardware_clamps(snub_hardware_study *study);
void snub_hardware_brackets(snub_hardware_study *study);
/** Greatest slope of a mount's bracket alone, rad; 0 where it is rigid. */
double snub_hardware_bracket_slope(const snub_hardware_study *study, int mount);
/** Whether its bracket is a strip that bends; else it is rigid. */
bool snub_mount_bends(const snub_mount *mount);
/** Its bolt nearest to a point, and how far the strip reaches from its bolts to there, m. */
const snub_bolt *snub_mount_nearest(const snub_mount *mount, const double centre[2]);
double snub_mount_reach(const snub_mount *mount, const double centre[2]);
/** Metal around the holes of plates that the file describes. */
void snub_hardware_edges(snub_hardware_study *study);
/** Strength of those strips. */
void snub_hardware_strips(snub_hardware_study *study);
/** What is there stays, as it is better than what was found. @param[in] limit  of the entry angle, rad */
void snub_shims_keep(snub_shim_advice *advice, double limit);
/** Where shims may go, and what they do there. */
typedef struct snub_shim_places {
    double slope[SNUB_PULLEYS_MOST][SNUB_SHIM_PLACES_MOST]; /**< of the entry angle of a pulley, rad/m */
    double now[SNUB_SHIM_PLACES_MOST];                      /**< thickness there, m */
} snub_shim_places;
/** The packs that suit best, into the report's advice.
 *  @return SNUB_OK; SNUB_NO_MEMORY; what the search says */
snub_status snub_hardware_shims(snub_hardware_study *study, const snub_shim_places *places, snub_error *error);
/** How far off its plane the belt pulls on each pulley.
 *  @return SNUB_OK; what snub_belt_heights says */
snub_status snub_hardware_drift(snub_hardware_study *study, snub_error *error);
/** z of the belt's middle on a pulley, m. */
double snub_hardware_belt_at(const snub_hardware_study *study, int pulley);
/** Entry angles, and where shims are planned the advice. */
snub_status snub_hardware_planes(snub_hardware_study *study, snub_error *error);
void snub_hardware_judge_planes(snub_hardware_study *study);
/** Hub loads, and how all seats lean under them: what both planning and judging begin with.
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_hardware_lean(snub_hardware_study *study, snub_error *error);
void snub_hardware_bearings(snub_hardware_study *study);
void snub_hardware_obstacles(snub_hardware_study *study);
void snub_hardware_facts(snub_hardware_study *study);

/** Nominal, least and greatest preload of a bolt and the torque for it, with where that comes from. */
typedef struct snub_tightness {
    double preload, low, high, torque;
    double torsion, torsion_high; /**< shear stress over tension while it is tightened: as meant, and where low friction
                                       makes the preload high */
    const char *source;
} snub_tightness;
/** Where the file is silent it is drawn so tight that its high end with torsion keeps under proof. */
snub_tightness snub_tightness_of(const snub_bolt *bolt, snub_arena *arena);
/** Greatest stress [Pa], torsion counted: while it is tightened, or in service with a pull [N >= 0] on top. As meant;
 * and at the high end of the scatter. */
double snub_stress_meant(const snub_bolt *bolt, const snub_tightness *tightness, double pull);
double snub_stress_most(const snub_bolt *bolt, const snub_tightness *tightness, double pull);
/** Whether a bolt is worked harder in service than while it is tightened. */
bool snub_pull_counts(const snub_bolt *bolt, const snub_tightness *tightness, double pull);
/** Greatest torque [N m] with which even the high end keeps under proof; the pull stays when the preload falls. Under 0
 *  where the pull alone is over. */
double snub_torque_under(const snub_bolt *bolt, const snub_tightness *tightness, double pull);
/** High end of the preload [N]; a bolt that is drawn past its yield strength pulls no more than that. */
double snub_tension_most(const snub_bolt *bolt, const snub_tightness *tightness);

/** A bolt in its place, to be judged by itself. */
typedef struct snub_screwed {
    const snub_hardware_study *study;
    const snub_bolt *bolt;
    const snub_tightness *tightness;
    const snub_mount *mount; /**< whose bolt it is; NULL: a pulley's */
    int pulley;
    const char *tapped_in;           /**< NULL: not known */
    double metal;                    /**< as thick as that is, m; 0: not known */
    const snub_material *under_head; /**< what its head presses on; NULL: not known */
    double packed;                   /**< shims under what it clamps, m */
    double pull;                     /**< that it carries on top of its preload at worst, N >= 0 */
    snub_condition pull_at;
} snub_screwed;
/** Stress, preload, thread and face under the head: tells what is wrong. */
void snub_judge_screw(const snub_screwed *screwed, snub_screw_result *result);

/** What holds a slider in its slot. */
typedef struct snub_slot_hold {
    const snub_bolt *bolt;
    double friction; /**< of the slider on its seat */
    bool located;    /**< a stop takes the load along the slot */
} snub_slot_hold;
/** @return false: the pulley sits in no slot, or no bolt is known that holds it */
bool snub_slot_bolt(const snub_hardware_study *study, int pulley, snub_slot_hold *hold);
/** Where a slot leads to from where its pulley sits, of any size, m: a curved one, square to its radius there. */
void snub_along_slot(const snub_hardware_study *study, int pulley, double way[2]);

/** A finding about a pulley (-1: none) and a thing (NULL: none). Value is given, limit is the list's where it has one,
 *  else NAN. */
snub_finding snub_hardware_finding(const snub_hardware_study *study, snub_wording wording, int pulley,
                                   const char *other, double value);
/** The same about a mount, and about a bolt of it. */
snub_finding snub_mount_finding(const snub_hardware_study *study, snub_wording wording, const snub_mount *mount,
                                double value);
snub_finding snub_bolt_finding(const snub_hardware_study *study, snub_wording wording, const snub_mount *mount,
                               const snub_bolt *bolt, double value);
void snub_hardware_tell(const snub_hardware_study *study, const snub_finding *finding);

/** Directions in which the mass on a mount is shaken. */
enum { SNUB_VIBRATIONS = 14 };
/** How many states of vibration a mount has: 1, none, where the file gives no mass with an acceleration. */
int snub_vibrations(const snub_mount *mount);
/** Adds the force of one of them to what the bolts carry; nothing without a mass. */
void snub_vibrate(const snub_mount *mount, int direction, snub_wrench *wrench);

/** Middle of a mount's bolts, weighed by their stress areas. */
void snub_mount_middle(const snub_mount *mount, double middle[2]);

/** Order of tightening: bolts that locate first, then those that follow; within each from the group's middle outward.
 *  @param[out] order  n indices */
void snub_tightening_order(const snub_bolt *bolts, int n, int *order);

/** z of the front of what the pulley's own stack stands on: its mount's, or the datum. */
double snub_hardware_base(const snub_hardware *hardware, int pulley);

#endif

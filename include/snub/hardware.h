/** snub/hardware.h - a drive's hardware judged: planes and shims, obstacles, standoffs, bolts, bearings.
 *
 *  Hub loads come from the balance over idle to redline, every way of running, at both edges of the arm's friction and
 *  at rest, with every belt in tolerance: each part is judged by the one that loads it most. Findings are the build's.
 * docs/theory/planes.md, clearance.md, mount.md and bearings.md.
 */
#ifndef SNUB_HARDWARE_H
#define SNUB_HARDWARE_H

#include "snub/clearance.h"
#include "snub/kit.h"
#include "snub/mount.h"

/** Safety under which, and share of friction over which, a finding is marginal; rules of thumb. It fails at 1. */
#define SNUB_MARGINAL_SAFETY 1.5
#define SNUB_MARGINAL_SLIP 0.67
/** Least static safety of a bearing with vibration (NSK Table 5.8); it fails under 1. */
#define SNUB_MARGINAL_STATIC 1.5

/** Load of a hub over all cases. */
typedef struct snub_hub_load {
    double worst[2], worst_size; /**< force on the pulley, N */
    double least_size;           /**< N */
    snub_condition worst_at;
    struct snub_hub_range {
        double least, most;
        snub_condition at;            /**< of the most */
    } range[SNUB_CORNERS];            /**< of each belt: what one belt swings between, N; 0, 0 where it has no case */
    double duty_mean;                 /**< cubic mean over the duty with the belt that loads it most then, N */
    double worst_steady, duty_steady; /**< worst_size and duty_mean without the crank's swing, N */
    double mean_speed;                /**< of the pulley over the duty, rad/s */
    double top_speed;                 /**< of the pulley, rad/s */
    snub_condition top_at;
    double lean; /**< greatest of the seat, standoff and bracket bent together, rad */
    snub_condition lean_at;
} snub_hub_load;

/** Belt plane at one pulley. Angles in rad. */
typedef struct snub_plane_result {
    double entry;        /**< as drawn, with the shims that the build is judged with */
    double entry_loaded; /**< greatest in size over all cases, standoffs and brackets bent by the case's loads */
    snub_condition loaded_at;
    double low, high;   /**< least and greatest of all of these, signed */
    double worst, rss;  /**< of the tolerances, to add to either sign */
    double drift, edge; /**< floating: belt's middle from the pulley's, and what is left of the face beside the
                             belt, m; NAN on pulleys that guide */
    double flange;      /**< room between belt and flange on each side, m; NAN without flanges */
    double unshimmed;   /**< greatest in size with the stack as the file has it; 0 where no shims are on hand */
} snub_plane_result;

/** Greatest |entry angle|, as drawn and over all cases, without its tolerance, rad. */
static inline double snub_plane_most(const snub_plane_result *plane)
{
    return fmax(fabs(plane->low), fabs(plane->high));
}

enum { SNUB_SHIM_NAMES_MOST = SNUB_SHIM_PLACES_MOST };
typedef struct snub_shim_advice {
    bool asked;  /**< the file names shims and places for them */
    bool wanted; /**< what the file has does not keep the limit, or the advice needs fewer: the build is judged with the
                      advised packs in */
    snub_shim_answer answer; /**< the packs that it is judged with */
    int places;
    int left_out; /**< places that the file has over SNUB_SHIM_PLACES_MOST: what stands there stays */
    const snub_stack_part *place[SNUB_SHIM_PLACES_MOST];
    const char *owner[SNUB_SHIM_PLACES_MOST];                        /**< pulley or mount */
    int mount[SNUB_SHIM_PLACES_MOST], pulley[SNUB_SHIM_PLACES_MOST]; /**< index of that; -1 the other */
    double worst_now; /**< greatest |entry| + rss with those of the file, rad */
} snub_shim_advice;

/** A bolt by itself. */
typedef struct snub_screw_result {
    double stress;     /**< greatest with torsion, while it is tightened or in service, high end of preload, Pa */
    double proof;      /**< proof strength over that */
    double engagement; /**< of its thread with the shims that the build is judged with, m; 0: not known */
    double engagement_needed; /**< m; 0: not listed */
    double head_pressure;     /**< of its head or washer at most, Pa; 0: what it presses on is not known */
    double head_limit;        /**< Pa */
} snub_screw_result;

/** Standoff of one pulley under its worst load. */
typedef struct snub_standoff_result {
    bool given;
    const snub_bolt *bolt;
    snub_screw_result screw;
    double slip_use;      /**< hub load over the friction of its face; 0 where a spigot or a slot holds it; 1 slips */
    double friction;      /**< of its face */
    double face_pressure; /**< greatest of its face on its seat, Pa; 0: what it stands on is not known */
    double face_limit;    /**< Pa */
    double moment; /**< at its root when it comes nearest to lifting, N m: of the greatest hub load, or over a slot
                        of another that pulls more along it */
    double no_gap; /**< greatest moment at which it stays shut, pulled that way, least preload, N m */
    bool over_slot;
    double foot[2];          /**< parts of `moment` along and across that slot, N m */
    snub_condition opens_in; /**< the case of `moment` */
    double preload_low, preload_high, torque;
    bool gap;                                     /**< its face begins to lift */
    double touching;                              /**< share of its face that still presses under the worst load */
    double deflection, slope;                     /**< of the end, m, rad */
    double stress;                                /**< bending, of what tires soonest, Pa */
    double alternating, mean, endurance, fatigue; /**< Pa, Pa, Pa, safety: of tube or bolt, whichever tires soonest; a
                                                       bolt of whose class no endurance is listed is left out */
    bool bolt_tires;                              /**< that is the bolt */
    snub_corner fatigue_belt;                     /**< the belt that tires it soonest */
} snub_standoff_result;

/** Strip of the bracket that carries one pulley past the bolts: the worst of its sections. */
typedef struct snub_strip_result {
    bool given;
    bool brittle;            /**< no yield strength: then stress is the peak at the hole's rim */
    double stress, strength; /**< greatest over all cases, and what the metal stands, Pa */
    bool greatest_at_slot;   /**< at the end of its slot, else at the nearest bolt hole */
    snub_condition stress_at;
    double alternating, mean, endurance, fatigue; /**< Pa, Pa, Pa, safety: at the hole's rim */
    bool tires_at_slot;
    snub_corner fatigue_belt; /**< the belt that tires it soonest */
    snub_condition fatigue_at;
} snub_strip_result;
/** Bolt that holds the slider of one pulley in its slot. */
typedef struct snub_clamp_result {
    bool given;
    const snub_bolt *bolt; /**< of the clamp, else of the standoff */
    double load;           /**< along the slot, worst over all cases, N */
    double friction;       /**< of the slider on its seat */
    double slip_use;       /**< load over friction, least preload; 0 where a stop holds it; 1 creeps */
    double preload, preload_low, torque;
    snub_screw_result screw;
} snub_clamp_result;

typedef struct snub_bearing_result {
    bool given;
    const snub_bearing *bearing;
    snub_corner belt; /**< with which it lives shortest: that of load, ratio, lives */
    double load;      /**< equivalent with the application factor in it, cubic mean over the duty, of the
                           harder worked row or bearing, N */
    double worst;     /**< equivalent at the worst load, of the harder worked row or bearing, N */
    double least;     /**< equivalent at the least load of steady running, of the less worked one, N */
    snub_condition least_at;
    const char *fit_needed;             /**< for the ring that turns */
    double static_safety;               /**< C0 over the worst static equivalent */
    double ratio;                       /**< C/P at the duty mean */
    double life;                        /**< basic L10 over the duty, all rows and bearings, s */
    double life_factor;                 /**< a_ISO over the duty: what oil film and dirt make of it */
    double reliability_factor;          /**< a1 */
    double life_adjusted;               /**< a1 a_ISO L10, s */
    double life_steady;                 /**< life_adjusted without the crank's swing, s */
    double viscosity;                   /**< of the oil as it runs, m2/s */
    double film_least;                  /**< least viscosity ratio of the duty */
    double film_least_at;               /**< pulley's speed there, rad/s */
    double n_dm;                        /**< at redline, mm rpm */
    double top_speed, limit_speed;      /**< rad/s; limit 0: not given */
    double grease;                      /**< s; NAN: outside of what the formula knows */
    double duty_speed;                  /**< fastest of the duty, rad/s */
    double tilt, tilt_least, tilt_most; /**< of the seat where it leans most, and the printed range, rad */
    double moment;                      /**< from the belt's offset at the worst load, N m */
} snub_bearing_result;

typedef struct snub_bolt_result {
    const snub_bolt *bolt;
    double preload, preload_low, preload_high, torque; /**< N, N, N, N m */
    const char *torque_source;
    double shear, pull;    /**< worst over all cases, N; pull: at the bolt's middle */
    double edge_pull;      /**< worst, N: preload that keeps the pad shut */
    double slip_use;       /**< shear over friction, worst; 1 slips; one bolt: with what turns about it */
    double constant;       /**< C; NAN: grip not known, then 1 is taken for the bolt and 0 for the joint */
    snub_bolt_joint joint; /**< at the worst pull, with its range */
    snub_screw_result screw;
    int order;        /**< 1 is tightened first */
    bool pad_assumed; /**< the pressure cone through the plate, not the file's own */
} snub_bolt_result;

typedef struct snub_mount_result {
    const snub_mount *mount;
    bool carried;                      /**< false: the bolts cannot hold what is on them; see findings */
    bool in_line;                      /**< all bolts in a line */
    double force, moment, overturning; /**< worst over the cases: N in the plane, N m about the group, N m tilting it */
    double turning_use;                /**< one bolt that something turns about: its slip_use; INFINITY without a pad */
    double slope;                      /**< worst of the bracket's own bending and twist, rad; 0: rigid */
    int locating;                      /**< bolts that locate */
    snub_bolt_result *bolts;           /**< mount->bolt_count */
    int *tighten;                      /**< indices of bolts in the order of tightening */
    double worst_slip, least_separation, least_proof, least_fatigue;
} snub_mount_result;

/** Subject of what is counted over all obstacles, where another fact has a name of the file. */
#define SNUB_SUBJECT_OBSTACLES "obstacles"

/** One number worth comparing. value is in `unit`. */
typedef struct snub_fact {
    const char *subject; /**< "main plate", "bolt upper of main plate", "idler" */
    const char *what;    /**< "slip used"; English, marked for translation */
    double value;
    const char *unit;
    int decimals;
    int better; /**< +1: larger is better; -1: smaller; 0: neither */
} snub_fact;

typedef struct snub_facts {
    snub_fact *items;
    int count, room;
    bool failed;
} snub_facts;
void snub_facts_add(snub_facts *facts, snub_arena *arena, const snub_fact *fact);

enum { SNUB_CONFLICTS_MOST = 64 };

typedef struct snub_hardware_report {
    const snub_drive *drive;
    bool done;   /**< all of it is valid */
    bool failed; /**< memory ran out */
    snub_hub_load hub[SNUB_PULLEYS_MOST];
    snub_plane_result plane[SNUB_PULLEYS_MOST];
    snub_shim_advice shims;
    snub_standoff_result standoff[SNUB_PULLEYS_MOST];
    snub_strip_result strip[SNUB_PULLEYS_MOST];
    snub_clamp_result clamp[SNUB_PULLEYS_MOST];
    snub_bearing_result bearing[SNUB_PULLEYS_MOST];
    int mount_count;
    snub_mount_result *mounts;
    int conflict_count;
    snub_conflict conflicts[SNUB_CONFLICTS_MOST];
    int conflicts_more; /**< at least so many more are not listed: those that lack least */
    bool duty_assumed;
    bool swings;               /**< the crank's swing counts in the loads */
    const char *swing_missing; /**< keys without which it does not, "`a`, `b`"; NULL: nothing is known of it */
    snub_facts facts;
} snub_hardware_report;

/** What a conflict with an obstacle is called: the finding that the build gets of it. */
snub_finding snub_conflict_finding(const snub_drive *drive, const snub_conflict *conflict);

/** Numbers of a build: verdict, belt, arm, grip, gap, and each pulley in the state that is shown.
 *  Where memory is out, facts->failed is set. */
void snub_build_facts(const snub_build *build, const snub_state *state, snub_facts *facts, snub_arena *arena);

/** One line of a comparison. */
typedef struct snub_difference {
    const snub_fact *a, *b; /**< NULL: only the other has it */
    int verdict;            /**< of b against a: +1 better, -1 worse, 0 neither */
} snub_difference;
/** Facts that differ by more than their rounding, in the order of a, then those only in b.
 *  @param[out] differences  room for a->count + b->count
 *  @return how many */
int snub_facts_compare(const snub_facts *a, const snub_facts *b, snub_difference *differences);

#endif

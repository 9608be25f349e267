/** snub/mount.h - planes and shims, hub loads into standoff, bolts and bracket, bearings.
 *
 *  First the pure computations, each usable alone; then the analysis of a drive's hardware. docs/theory/planes.md,
 *  mount.md and bearings.md derive what is used. SI throughout; z runs along the crank's axis, away from the engine.
 */
#ifndef SNUB_MOUNT_H
#define SNUB_MOUNT_H

#include "snub/balance.h"

/* ---- planes -------------------------------------------------------------------------------------------------- */

/** Width of a ribbed belt [m]: ribs times the groove pitch. */
double snub_belt_width(int ribs, double pitch);

/** Where a pulley holds the belt along the axis.
 *  A point p of the pulley (from its centre, seen from the front) stands at z + tilt_x p_y - tilt_y p_x. */
typedef struct snub_plane {
    double z;       /**< of the belt's mid-plane at the pulley's centre, m */
    double tilt[2]; /**< small rotation about x and y, rad */
    bool guides; /**< grooves, flanges or a crown hold the belt in the plane; false: the belt floats on a plain face and
                      runs where it enters square to the axis */
} snub_plane;

/** Height of the belt's middle along the axis where it meets each pulley and where it leaves it, m. A pulley that
 * guides has it in its plane; a floating one takes it at z_before + L groove slope (normal entry), and keeps it at that
 *  distance from its own plane. @param[out] enter,leave,drift  path->n values; drift is that distance, 0 on a pulley
 *  that guides; may be NULL
 *  @return SNUB_OK; SNUB_BAD_INPUT when no pulley guides the belt */
snub_status snub_belt_heights(const snub_path *path, const snub_plane *plane, double *enter, double *leave,
                              double *drift, snub_error *error);

/** Angle between the belt and the groove at both ends of every span; rad, small. Positive: the belt climbs along z
 *  against the groove, in the direction of travel.
 *  A floating pulley takes the belt at z_before + L groove slope (normal entry), and hands it on.
 *  @param[in] plane  path->n of them
 *  @param[out] entry  at the entrance of pulley i, path->n values; 0 on a floating pulley
 *  @param[out] exit   at its exit
 *  @param[out] drift  of the belt's middle from the pulley's plane at the entrance, m (floating pulleys); may be NULL
 *  @return SNUB_OK; SNUB_BAD_INPUT when no pulley guides the belt */
snub_status snub_entry_angles(const snub_path *path, const snub_plane *plane, double *entry, double *exit,
                              double *drift, snub_error *error);

/** Tilt of a pulley whose shaft leans by `slope` [rad] towards a force. (0, 0) for no force. */
void snub_tilt_from_slope(const double force[2], double slope, double tilt[2]);

/* ---- shims --------------------------------------------------------------------------------------------------- */

enum {
    SNUB_SHIM_PLACES_MOST = 8,
    SNUB_SHIM_SIZES_MOST = 16,
    SNUB_SHIMS_IN_PLACE_MOST = 4,
    SNUB_SHIM_PACKS_MOST = 4845
};

/** Angles in reach of shims. angle_e = angle[e] + sum over places of slope[e * places + k] * thickness of the pack. */
typedef struct snub_shim_problem {
    int ends;
    const double *angle;  /**< with no shim anywhere, rad */
    const double *spread; /**< to add to |angle| before it is judged, rad; NULL: 0 */
    const double *slope;  /**< rad/m */
    int places, sizes;
    const double *thickness; /**< shims that exist, m, > 0 */
    int most;                /**< shims in one pack, 1..SNUB_SHIMS_IN_PLACE_MOST */
    double limit;            /**< on |angle| + spread, rad */
} snub_shim_problem;

typedef struct snub_shim_answer {
    int count[SNUB_SHIM_PLACES_MOST][SNUB_SHIM_SIZES_MOST]; /**< of each size in each place */
    double pack[SNUB_SHIM_PLACES_MOST];                     /**< thickness of each pack, m */
    double worst;                                           /**< greatest |angle| + spread, rad */
    int shims;                                              /**< in all places together */
    bool passes;
    long looked; /**< packs tried, all places counted */
} snub_shim_answer;

/** The packs that bring every end under the limit with the fewest shims (then with the smallest worst angle); where
 *  none does, those with the smallest worst angle. Exact: branch and bound over all packs.
 *  @return SNUB_OK; SNUB_BAD_INPUT (no shims, a thickness that is not positive, too many); SNUB_NO_MEMORY;
 *          SNUB_TOO_LARGE when the search passes 2e7 packs: never an answer that was not proven */
snub_status snub_shim_search(const snub_shim_problem *problem, snub_arena *arena, snub_shim_answer *answer,
                             snub_error *error);

/* ---- beams and fatigue ----------------------------------------------------------------------------------------- */

/** pi/4 (D^2 - d^2) and pi/64 (D^4 - d^4). */
double snub_annulus_area(double outside, double inside);
double snub_annulus_inertia(double outside, double inside);

typedef struct snub_bend {
    double deflection; /**< of the free end, m */
    double slope;      /**< there, rad */
} snub_bend;
/** Cantilever of length L with a force at distance b from the wall (b <= L) and a moment at its end.
 *  delta = F b^2 (3 L - b)/(6 EI) + M L^2/(2 EI); slope = F b^2/(2 EI) + M L/(EI).
 *  @param[in] rigidity  EI, N m2 > 0 */
snub_bend snub_cantilever(double force, double at, double moment, double length, double rigidity);

/** Greatest moment [N m] at which a clamped spacer stays shut all round: Fi (D^2 + d^2)/(8 D). */
double snub_no_gap_moment(double preload, double outside, double inside);

/** A tube that a bolt through it clamps to its seat. The face presses and cannot pull. docs/theory/mount.md. */
typedef struct snub_clamped_tube {
    double outside, inside; /**< m */
    double modulus;         /**< Pa */
    double preload;         /**< of the bolt, N > 0 */
    double bolt_rigidity;   /**< EI of the bolt, N m2 > 0: it bends beside the tube once that has begun to lift */
} snub_clamped_tube;

/** Its face under a moment: pressure linear over what still touches, none elsewhere. */
typedef struct snub_pressed_face {
    double line; /**< where the pressure ends, from the middle towards the pressed side, m; past -R where it is shut */
    double most; /**< greatest pressure, Pa */
    double curvature; /**< of tube and bolt there, 1/m */
    double touching;  /**< share of its area */
} snub_pressed_face;
/** @param[in] moment  N m >= 0. The line is found by a bracketed root. */
snub_pressed_face snub_press_face(const snub_clamped_tube *tube, double moment);

/** The same where the tube stands over a slot, whose strip through the middle is no seat. A slot's round end, which
 * leaves more, is not counted. docs/theory/mount.md, standoff.
 *  @param[in] slot           width, m >= 0
 *  @param[in] along, across  parts of the moment, N m: of forces along and across the slot
 *  @return what the moment is of the one at which the face begins to lift; INFINITY: the slot leaves no seat */
double snub_slotted_use(const snub_clamped_tube *tube, double slot, double along, double across);
/** As snub_press_face, for a tube over a slot; `line` is NAN. By Newton's steps on lines of the face: 1e-4.
 *  @return most INFINITY: no seat is left */
snub_pressed_face snub_press_slotted(const snub_clamped_tube *tube, double slot, double along, double across);

enum { SNUB_TUBE_POINTS = 40 };
/** Curvature of the tube over its moment, and what it adds up to: made once for a tube. */
typedef struct snub_tube_law {
    double rigidity; /**< while shut, N m2 */
    double shut;     /**< greatest moment at which it stays shut, N m */
    int points;      /**< 0: it stays shut */
    double moment[SNUB_TUBE_POINTS], curvature[SNUB_TUBE_POINTS];
    double softness[SNUB_TUBE_POINTS]; /**< change of curvature with moment */
    double turn[SNUB_TUBE_POINTS];     /**< integral of curvature over moment, from 0 on */
    double work[SNUB_TUBE_POINTS];     /**< of curvature times moment */
} snub_tube_law;
/** @param[in] most  greatest moment that will be asked for, N m */
void snub_tube_bending(const snub_clamped_tube *tube, double most, snub_tube_law *law);
/** Slope of the tube's end, and what moves at the force: both grow steadily from shut to open.
 *  @param[in] force  N >= 0, @param[in] arm  of it over the root, m; force times arm no more than the law's `most`
 *  @param[in] length  of the tube, m */
snub_bend snub_tube_bend(const snub_tube_law *law, double force, double arm, double length);

/** Of a surface, after Marin. */
typedef enum snub_finish { SNUB_GROUND, SNUB_MACHINED, SNUB_HOT_ROLLED, SNUB_FORGED } snub_finish;

/** Safety factor against fatigue by Goodman: 1/n = sa/Se + sm/Sut; a compressive mean counts as none.
 *  INFINITY where nothing alternates and nothing pulls. */
double snub_goodman(double alternating, double mean, double endurance, double tensile);

/** Endurance limit [Pa] of a metal for 99 parts in 100. Steel (a modulus of 100 GPa and more): Marin's factors for the
 * finish and the size; aluminium: 0.31 of its strength at 5e8 turns (6061-T6, 97 of 310 MPa: tables of alloys, memory).
 *  @param[in] diameter  of a round bar, or of the one that stands for the section, m */
double snub_metal_endurance(const snub_material *metal, snub_finish finish, double diameter);

/* ---- flat bars ------------------------------------------------------------------------------------------------- */

/** Section of a strip of plate with a hole or a slot in its middle. docs/theory/mount.md, eqs 9 to 12. */
typedef struct snub_flat {
    double width, thickness; /**< m */
    double gone;             /**< of its width, by the hole, m, 0..width */
    double end_radius;       /**< of the hole; of a slot: of its ends, m > 0 where gone > 0 */
} snub_flat;
typedef struct snub_flat_load {
    double bend, twist, sideways; /**< out of its plane, about its length, in its plane; N m */
    double pull;                  /**< along it, N */
} snub_flat_load;
/** What is left of the section carries them as a plain bar, Pa: sideways at its edge, the others on its faces. */
typedef struct snub_flat_stress {
    double bend, twist, sideways, pull;
} snub_flat_stress;
snub_flat_stress snub_flat_stress_of(const snub_flat *strip, const snub_flat_load *load);
/** Greatest stress without concentration [Pa]: at a corner, or on a face after von Mises. */
double snub_flat_greatest(const snub_flat_stress *stress);
/** Greatest stress at the rim of the hole [Pa]; without one, the same. */
double snub_flat_peak(const snub_flat *strip, const snub_flat_stress *stress);
/* ---- bolts ----------------------------------------------------------------------------------------------------- */

/** Torque [N m] = K Fi d, and back. */
double snub_bolt_torque(double nut_factor, double preload, double diameter);
double snub_bolt_preload(double nut_factor, double torque, double diameter);

/** What friction acts on while a bolt is turned. */
typedef struct snub_screw {
    double diameter, pitch; /**< m > 0 */
    double head, hole;      /**< outside and inside diameter of the face under its head, m */
} snub_screw;
/** Friction of thread and head together [1] behind a nut factor K, 0 at least: K d = p/(2 pi) + mu (1.155 d2/2 +
 *  (head + hole)/4), VDI 2230. docs/theory/mount.md, eq. 10. */
double snub_bolt_friction(double nut_factor, const snub_screw *screw);
/** Shear stress over tension of a shank that is turned tight, yielded all through: 3/2 d2/d0 (p/(pi d2) + 1.155 mu),
 *  VDI 2230. docs/theory/mount.md, eq. 11. */
double snub_bolt_torsion(double friction, const snub_screw *screw);
/** Stress of von Mises of a bolt under the wrench [Pa], and in service: half of the torsion is left, and `pull` [Pa]
 * comes on top.
 *  @param[in] tension  of the preload, Pa @param[in] torsion  as snub_bolt_torsion has it */
double snub_bolt_drawn(double tension, double torsion);
double snub_bolt_in_service(double tension, double torsion, double pull);
/** Greatest tension of the preload [Pa] with which neither of the two is over a strength [Pa]; under 0 where the pull
 *  alone is. */
double snub_bolt_tension_left(double strength, double torsion, double pull);

/** Stiffness of the bolt in its grip: Ad At E/(Ad lt + At ld). */
double snub_bolt_stiffness(double shank_area, double stress_area, double shank, double thread, double modulus);
/** One clamped part, from the head on. */
typedef struct snub_clamped {
    double thickness, modulus;
} snub_clamped;
/** Members of a cap-screw joint in a tapped hole or of a through bolt, as frusta of 30 deg half-angle that meet in the
 *  middle of the grip; docs/theory/mount.md, bolts.
 *  @param[in] face  diameter under the head (1.5 d), @param[in] hole  m
 *  @return N/m; NAN for an empty list */
double snub_member_stiffness(const snub_clamped *parts, int count, double face, double hole);

/** Loads and safety of one bolt. docs/theory/mount.md, bolts. */
typedef struct snub_bolt_joint {
    double constant;                  /**< C = kb/(kb + km) */
    double bolt, member;              /**< greatest tension of the bolt, least clamp of the members, N */
    double proof, overload, separate; /**< np, nL, n0; INFINITY without load */
    double alternating, mean;         /**< stresses for a load between two values, Pa */
    double fatigue;                   /**< Goodman along the load line; INFINITY without alternation */
} snub_bolt_joint;
typedef struct snub_bolt_load {
    double preload_low, preload_high; /**< N, with the scatter of tightening */
    double low, high;                 /**< external load of the bolt, N */
} snub_bolt_load;
snub_bolt_joint snub_bolt_judge(double constant, double stress_area, double proof, double endurance, double tensile,
                                const snub_bolt_load *load);

/** Safety of a bolt against fatigue along the load line from its preload, Se (Sut - si)/(Sut sa + Se (sm - si)):
 *  docs/theory/mount.md, bolts. INFINITY without alternation, 0 where the preload alone breaks it. Stresses in Pa. */
double snub_bolt_fatigue(double alternating, double mean, double preload_stress, double endurance, double tensile);

/** How a mount holds to the engine: n bolts at places, each with an area that weighs its share, and a pad around it. */
typedef struct snub_group_bolt {
    double at[2];
    double area; /**< weight in shear and tension: the stress area, m2 > 0 */
    double pad;  /**< outside diameter of the clamped face around the bolt, m; 0: none */
    double hole; /**< in it, m */
} snub_group_bolt;

/** Force and moment on a group, about the origin of the places at the joint's face (z = 0 there). */
typedef struct snub_wrench {
    double force[3];  /**< N; z away from the engine pulls on the bolts */
    double moment[3]; /**< N m */
} snub_wrench;
/** Add a force [N] that acts at a point (z from the joint's face). */
void snub_wrench_add(snub_wrench *wrench, const double force[3], const double at[3]);

typedef struct snub_group_share {
    double shear[2];  /**< N, in the plane */
    double pull;      /**< N at the bolt's middle, + away from the engine */
    double own[2];    /**< moment about x and y that the pad itself carries, N m; 0 without pads */
    double edge_pull; /**< pad: greatest pull anywhere on its face times its area, N: the preload that keeps it shut;
                           max(pull, 0) without a pad */
} snub_group_share;

/** Shares of each bolt, the bracket rigid. In the plane: V A_i/sum A + M x r_i A_i/sum A r^2 about the centroid
 *  (docs/theory/mount.md, eq. 4). Out of it: linear over the places, pull_i = A_i (a + b x + c y) (eqs 5, 6). Where
 * every bolt has a pad, A_i is the pad's area and the pads carry their own part of the moment, so that one bolt, or
 * bolts in a line, can stand a moment as far as their pads do; else A_i is the bolt's.
 *  @param[in] n  1..SNUB_GROUP_BOLTS_MOST
 *  @return SNUB_OK; SNUB_BAD_INPUT where nothing carries a moment that is there: one bolt or bolts in a line without
 *          pads, or a moment in the plane on one bolt (friction of the pad is judged apart): the error says how much */
enum { SNUB_GROUP_BOLTS_MOST = 32 };
snub_status snub_group_share_out(const snub_group_bolt *bolts, int n, const snub_wrench *wrench,
                                 snub_group_share *share, snub_error *error);
/** True where all lie within `within` [m] of one line (two always do).
 *  @param[out] along  its direction, a unit; written where true. May be NULL */
bool snub_group_in_line(const snub_group_bolt *bolts, int n, double within, double along[2]);

/* ---- bearings -------------------------------------------------------------------------------------------------- */

/** Equivalent loads of one bearing [N]. */
typedef struct snub_bearing_load {
    double radial, axial;
} snub_bearing_load;
/** P = X Fr + Y Fa; Fr where Fa/Fr <= e. Single-row deep groove, e and Y by f0 Fa/C0.
 *  @param[in] c3  the factors of C3 clearance instead of CN */
double snub_bearing_equivalent(snub_bearing_load load, double f0, double static_load, bool c3);
/** Equivalent load of a double row with contact angle [N]. */
double snub_double_row_equivalent(snub_bearing_load load, const snub_double_row *row);
/** P0 = 0.6 Fr + 0.5 Fa, at least Fr. */
double snub_bearing_static(snub_bearing_load load);
/** Basic life [s] at a speed [rad/s > 0]: (C/P)^3 million turns. INFINITY without load. */
double snub_bearing_life(double dynamic, double load, double speed);
/** a1 for a reliability in percent [90, 100): 4.26 (ln(100/R))^(2/3) + 0.05 (as ISO 281:2007). */
double snub_reliability_factor(double percent);

/** Viscosity [m2/s] at a temperature [K], from those at 40 and 100 degC: Walther's line. docs/theory/bearings.md, life.
 *  @param[in] at_40,at_100  m2/s, over 0.3e-6, at_40 the greater */
double snub_oil_viscosity(double at_40, double at_100, double temperature);
/** Viscosity [m2/s] that a bearing needs for its film (ISO 281): of its speed [rad/s > 0] and pitch diameter [m]. */
double snub_reference_viscosity(double speed, double pitch_diameter);
/** Load [N] under which a clean, well lubricated ball bearing does not tire, of its static rating (ISO 281). */
double snub_fatigue_load(double static_load, double pitch_diameter);
/** eC of a level of cleanliness: the low end of ISO 281's table. */
double snub_contamination_factor(snub_cleanliness level, double pitch_diameter);
#define SNUB_VISCOSITY_RATIO_LEAST 0.1
/** a_ISO of a radial ball bearing, 0.1 to 50.
 *  @param[in] ratio  viscosity over the reference viscosity; under SNUB_VISCOSITY_RATIO_LEAST ISO 281 has no number,
 * and 0.1, its least, is taken
 *  @param[in] load  equivalent, N > 0 */
double snub_life_modification(double ratio, double contamination, double fatigue_load, double load);

typedef struct snub_duty_load {
    double load;  /**< N */
    double speed; /**< rad/s */
    double share; /**< of time */
} snub_duty_load;
/** Cubic mean over turns: (sum P^p n q/sum n q)^(1/p). Also the mean speed. 0 for an empty list. */
double snub_duty_mean(const snub_duty_load *duty, int n, double exponent, double *mean_speed);

/** Grease life [s] of a single-row deep groove bearing whose inner ring turns (docs/theory/bearings.md), light load.
 *  x = n/Nmax in 0.25..1, below that 0.25; over 70 degC, below that 70.
 *  @param[in] wide  wide-range grease (to 130 degC) instead of general purpose (to 110)
 *  @return NAN above the temperature or the speed that the formula knows */
double snub_grease_life(double speed, double greatest_speed, double temperature, bool wide);
/** Factor on it for P/C: 1 to 0.1, as far as the life holds by itself, 0.714 at 0.125, 0.286 at 0.25, linear between;
 * NAN above 0.25. */
double snub_grease_load_factor(double load_ratio);

/** Greatest tilt of a bearing's rings [rad]: what makers print. rows 1 deep groove: 2 to 10 arc minutes; 2: 2.
 *  @param[out] least,most  the two ends of the printed range */
void snub_bearing_tilt_limit(int rows, double *least, double *most, const char **source);

/** Loads of two like bearings `spacing` apart for a force at `offset` from their middle: F (1/2 +- offset/spacing). */
void snub_bearing_pair(double force, double offset, double spacing, double load[2]);
/** Speed number [mm rpm]: n (d + D)/2. @param[in] speed rad/s @param[in] bore,outside m */
double snub_bearing_n_dm(double speed, double bore, double outside);
/** Axial load with the same greatest axial force on one ball as a moment M: 4 M/dm (derived: balls share a moment as
 *  cos^2 about the pitch circle). */
double snub_bearing_moment_thrust(double moment, double pitch_diameter);

#endif

/** snub/drive.h - the drive file, and the drive it describes.
 *
 *  A drive file becomes a tree of nodes that remember where they stand (snub_document); the tree, with any
 *  overlays of an option, a variant or a hand on the page laid over it, becomes a drive (snub_drive). Values in a
 *  drive are SI: m, rad, N, N m, kg, kg m2, rad/s, Pa, K, m3.
 */
#ifndef SNUB_DRIVE_H
#define SNUB_DRIVE_H

#include <math.h>

#include "snub/base.h"
#include "snub/num.h"
#include "snub/scatter.h"

/* ---- the document ------------------------------------------------------------------------------------------- */

/** Limits on a document, so that no file can hang or exhaust the program. */
enum {
    SNUB_FILE_BYTES_MOST = 4 << 20,
    SNUB_NODES_MOST = 200000, /**< after aliases are counted as often as they are used */
    SNUB_DEPTH_MOST = 32,
    SNUB_PULLEYS_MOST = 64,
    SNUB_TABLE_POINTS_MOST = 10000,
    SNUB_BUILDS_MOST = 20000
};

typedef enum snub_node_kind { SNUB_SCALAR, SNUB_LIST, SNUB_MAP } snub_node_kind;

/** One node of the file. A map keeps its keys' order; keys[i] is the node of the key itself (a scalar). */
typedef struct snub_node {
    snub_node_kind kind;
    snub_place place;
    const char *text; /**< scalar: its text, NUL-terminated (no NUL inside: refused); else NULL */
    bool quoted;      /**< scalar that was quoted: never a number, null or boolean by itself */
    int count;
    struct snub_node **items;        /**< list items or map values */
    struct snub_node **keys;         /**< map only */
    const char *from_part;           /**< set where a catalogue part supplied this node: the part's key */
    struct snub_scalar_value *value; /**< scalar: the reader's memory of its number, thread-safe; may be NULL */
} snub_node;

/** A key, or a word, that was written by a name of before (snub/rename_list.inc). It was read as it is meant. */
typedef struct snub_hint {
    snub_place place;
    const char *old, *now;
    const struct snub_hint *next;
} snub_hint;
/** The hint as a mistake would be shown: place, old name as the key, "now called ...". It is none: no exit code hangs
 *  on it. */
void snub_hint_error(const snub_hint *hint, snub_error *error);

/** Lines of a file with a value and, behind it, a comment that begins with `MEASURE:`, as `snub new` writes them: the
 * value is a placeholder. */
typedef struct snub_placeholders {
    int count;        /**< 0: none, and the rest is empty */
    snub_place place; /**< of the first one's comment */
} snub_placeholders;

typedef struct snub_document {
    const char *name;   /**< as given, for messages */
    const char *source; /**< whole text */
    size_t source_length;
    snub_node *root; /**< keys by their names of today, each at its place in the text, however that spells it */
    snub_arena *arena;
    const snub_hint *hints; /**< names of before, each once, at its first place */
    snub_placeholders placeholders;
} snub_document;

/** Read YAML text into a document. All nodes live in the arena, as does a copy of the text.
 *  Rejects: not UTF-8, NUL bytes, empty, more than one document, duplicate keys (also by an old and a new name), keys
 *  that are no scalars, undefined aliases, aliases that contain themselves, and anything past the limits above.
 *  @param[out] document     on failure its root is NULL; source is there where there was any text, to show lines of it
 *  @param[in,out] errors  what is wrong, each with its place
 *  @return SNUB_OK; SNUB_BAD_INPUT; SNUB_TOO_LARGE; SNUB_NO_MEMORY (each with at least one mistake added) */
snub_status snub_document_parse(const char *name, const char *text, size_t length, snub_arena *arena,
                                snub_document *document, snub_errors *errors);
/** The same from a file; adds SNUB_IO. */
snub_status snub_document_read(const char *path, snub_arena *arena, snub_document *document, snub_errors *errors);

/** Value of `key` in a map, or NULL. */
const snub_node *snub_node_get(const snub_node *map, const char *key);

/** A node on one line, for people: "88", "[132, 296]", "{from: [1, 2], to: [3, 4]}". Depth is at most SNUB_DEPTH_MOST.
 *  @return the scalar's own text, or arena memory; NULL where memory is out */
const char *snub_node_flow(const snub_node *node, snub_arena *arena);

/** Unit in which a bare number was read: "mm"; "" for a text, a number with its unit or without any, and for one that
 *  nobody has read yet. */
const char *snub_node_bare_unit(const snub_node *node);

/** A value laid over the file, at a path. Later overlays win. The path need not exist yet. */
typedef struct snub_overlay {
    const char *path;
    const snub_node *value;
    snub_place place; /**< of the path, for messages */
} snub_overlay;

/** Bring the path and the value of an overlay that was not made by this program up to the names of today.
 *  @param[in,out] hints  names of before are added to this list, each once; NULL: they are not told
 *  @return SNUB_OK; SNUB_BAD_INPUT (the value has one thing by its old and by its new name); SNUB_NO_MEMORY */
snub_status snub_overlay_rename(const snub_document *document, snub_arena *arena, snub_overlay *overlay,
                                const snub_hint **hints, snub_error *error);
/** The name of today of a key; NULL where the one given is none of before.
 *  @param[in] context  where it stands, as snub/rename_list.inc has it: "catalogue.pulley" */
const char *snub_renamed(const char *context, const char *old);

/** A node of its own from a YAML fragment ("75", "[1, 2]"); place is `origin` at line 0. Keys stay as they are written:
 *  snub_overlay_rename.
 *  @return SNUB_OK; SNUB_BAD_INPUT; SNUB_NO_MEMORY */
snub_status snub_node_from_text(const char *text, const char *origin, snub_arena *arena, snub_node **node,
                                snub_error *error);

/* ---- how a part comes ----------------------------------------------------------------------------------------- */

/** How a part comes to a build; key `supply`. */
typedef enum snub_supply_how {
    SNUB_SUPPLY_NEW,     /**< new | in the box */
    SNUB_SUPPLY_KEPT,    /**< kept | on the customer's engine, and stays as it is */
    SNUB_SUPPLY_CHANGED, /**< changed | the customer's, and reworked: see `rework` */
    SNUB_SUPPLY_REMOVED, /**< removed | on the customer's engine, and comes off */
    SNUB_SUPPLIES_
} snub_supply_how;
/** The word in the file: "new". */
const char *snub_supply_text(snub_supply_how how);

/** What is done to a part of the customer's; key `rework`. Texts are the file's author's, in any language. */
typedef struct snub_rework {
    bool given;
    snub_place place;
    const char *task;           /**< key `do` */
    double remove;              /**< metal that is taken off, m; NAN: not said */
    const char *where;          /**< NULL: not said */
    const char *caution;        /**< id of snub/caution_list.inc; NULL: none */
    double drill, ream;         /**< diameters of holes, m; NAN: none */
    const char *tap;            /**< thread that is cut, "M8"; NULL: none */
    double tap_size, tap_pitch; /**< of that thread, m */
} snub_rework;

/** Keys `supply`, `rework` and `number` of a part. */
typedef struct snub_supply {
    bool given; /**< the file says how it comes; else `how` is the default of its kind, or its owner's */
    snub_supply_how how;
    snub_rework rework; /**< of what is changed */
    const char *number; /**< the house's own part number; NULL: none */
    const char *part;   /**< key of the catalogue's part that it is; NULL: none. Never both */
} snub_supply;

/* ---- the parts of a drive ------------------------------------------------------------------------------------ */

typedef enum snub_side { SNUB_RIB, SNUB_BACK } snub_side;
typedef enum snub_place_kind { SNUB_FIXED, SNUB_ON_ARM, SNUB_ON_SLOT } snub_place_kind;

/** Spring arm that carries a pulley. Wind grows from `free` in the sense of `loads`. */
typedef struct snub_arm {
    double pivot[2];          /**< m */
    double length;            /**< pivot to pulley centre, m */
    double free;              /**< direction pivot -> centre, spring relaxed to its stop, rad ccw from +x */
    double loads;             /**< +1 ccw, -1 cw */
    double travel;            /**< free position to stop, rad */
    double preload;           /**< spring moment in the free position, N m */
    double rate;              /**< N m/rad */
    double damping;           /**< half-width of the friction band, fraction of the moment */
    double work[2];           /**< range of wind wished, rad; default 10 to 90 % of travel */
    double inertia;           /**< about the pivot, pulley's mass included, kg m2; 0 = not given */
    bool from_readings;       /**< preload, rate and damping were fitted to `readings` */
    double readings_residual; /**< rms of the fit, N m */
} snub_arm;

/** Centre line of a slot, straight or an arc. Coordinate s runs from 0 to `length` along it. */
typedef struct snub_slot {
    bool curved;
    double from[2], to[2];    /**< straight: ends, m; curved: filled with the ends too */
    double centre[2], radius; /**< curved, m */
    double start, sweep;      /**< curved: rad, sweep signed ccw */
    double length;            /**< m */
} snub_slot;

typedef enum snub_blower_kind { SNUB_ROOTS, SNUB_TWIN_SCREW, SNUB_CENTRIFUGAL } snub_blower_kind;

/** One speed line of a blower map. */
typedef struct snub_map_line {
    double speed; /**< rotor or impeller speed, rad/s */
    int n;
    double *flow;       /**< inlet volume flow, m3/s, strictly rising */
    double *ratio;      /**< pressure ratio */
    double *efficiency; /**< isentropic, 0..1 */
    double surge;       /**< flow of the surge point, m3/s; 0: the line's least flow */
} snub_map_line;

/** A blower on a pulley's shaft. Keys in the file are the field names (`internal_ratio: 1.3`), with the quantity in
 *  brackets here. 0 means "not given" except where it says otherwise; src/demand fills the defaults it names.
 *  Needed: roots, twin-screw: swept. centrifugal: map, or all of design_speed, design_flow, design_ratio. */
typedef struct snub_blower {
    snub_place place;
    snub_blower_kind kind;  /**< key `kind`: roots | twin-screw | centrifugal */
    double swept;           /**< [volume] m3 per turn of the PULLEY's shaft (positive displacement) */
    double internal_ratio;  /**< [number] built-in VOLUME ratio >= 1; 1 (default) for Roots */
    double leakage_speed;   /**< [turn speed] S1, rad/s of the PULLEY's shaft, at 1 psi across, 14.7 psi and
                        528 R at the inlet; 0: no leakage */
    bool leakage_given;     /**< false: 0 above is only because the file does not say it */
    double mechanical;      /**< [number] mechanical efficiency in (0, 1]; 0 = not given: 0.92 */
    double step_up;         /**< [number] rotor turns per pulley turn; 0 = not given: 1 */
    double max_rotor_speed; /**< [turn speed] rotor's own limit, rad/s of the ROTOR; 0 = not given */
    /* centrifugal without a map: flow with speed, head with speed squared */
    double design_speed; /**< [turn speed] impeller rad/s */
    double design_flow;  /**< [volume flow] m3/s at the inlet */
    double design_ratio; /**< [number] pressure ratio there, > 1 */
    double isentropic;   /**< [number] isentropic efficiency there, in (0, 1]; 0 = not given: 0.72 */
    double surge_flow;   /**< [number] flow at the surge point over design flow, same speed; 0 = 0.65 */
    double surge_head;   /**< [number] head at the surge point over design head, > 1; 0 = 1.12 */
    int map_lines;
    snub_map_line *map;       /**< by rising speed; replaces the model. Filled through
                                   snub_reading.maps; NULL without one */
    const char *map_file;     /**< key `map`: path as named, NULL if none */
    char map_digest[65];      /**< SHA-256 of the map's text; "" without one */
    double map_temperature;   /**< [temperature] inlet K that map or design point holds at; 0 = not given: of a
                                   centrifugal 25 degC, of others no correction */
    double map_pressure;      /**< [pressure] inlet Pa that a corrected mass flow is referred to; 0 = not given */
    bool bypass;              /**< key `bypass`: a bypass opens at part load and wherever there is no boost */
    double bypass_difference; /**< [pressure, a difference] Pa across the blower with the bypass open, at ambient
                                   density; 0 = not given: 5 kPa */
    snub_supply supply;       /**< default: the pulley's */
} snub_blower;

typedef struct snub_engine {
    bool given;
    snub_place place;
    double displacement; /**< m3 */
    int cylinders;
    int strokes;                      /**< 4 (default) or 2 */
    double idle, redline;             /**< rad/s */
    snub_curve volumetric_efficiency; /**< rad/s -> volumetric efficiency, unboosted */
    double accel_rate, decel_rate;    /**< rad/s2, both positive */
    double blips;         /**< [turn rate] rad/s2 at which a snapped throttle spins the engine up out of gear; 0 = not
                               given: that case is not run */
    double compression;   /**< [number] geometric compression ratio > 1; 0 = not given */
    bool scavenges;       /**< boost presses the burnt gas in the clearance volume together, so that more fresh air
                               comes in; default false; true needs `compression` */
    double mechanical;    /**< [number] mechanical efficiency in (0, 1] for the power estimate; 0 = not given: 0.85 */
    double work_per_air;  /**< [number, kJ/kg in the file] brake J per kg of air, blower's drive not taken off, for the
                             power estimate; 0 = not given: 985.6 kJ/kg (44 MJ/kg x 0.28 / 12.5) */
    double part_pressure; /**< [number] manifold pressure over ambient at part throttle, (0, 1]; 0 = 0.7 */
    double shut_pressure; /**< [number] manifold pressure over ambient, throttle shut, (0, 1]; 0 = 0.3 */
    double inertia;       /**< crank and flywheel, kg m2; 0 = not given */
    double growth;        /**< [number] fraction by which the distances between centres grow when the engine is warm;
                               0 = none */
    double *firing; /**< [angle] turns of the crank from one firing to the next, `cylinders` of them; NULL: even */
    double stroke;  /**< [length] m; 0 = not given: the bore */
    double rod;     /**< [length] m, between its centres, >= stroke; 0 = not given: 1.7 strokes */
    double reciprocating;      /**< [mass] kg that go up and down in one cylinder; 0 = not given: by the bore */
    snub_surface irregularity; /**< measured: x crank speed rad/s, y order, z amplitude of the crank's angle, rad; nx =
                                  0: not given */
} snub_engine;

typedef struct snub_air {
    double pressure;    /**< [pressure, absolute] total ambient, vapour included, Pa > 0. Default 101.325 kPa. With
                             `altitude` and no `pressure`: the 1976 standard atmosphere's, by whoever reads the file */
    double temperature; /**< [temperature] K > 0; default 25 degC (with altitude alone: still 25 degC) */
    double humidity;    /**< [number] relative, 0..1; default 0 */
    double altitude;    /**< [length, m] geometric, m; NAN if not given */
} snub_air;

typedef struct snub_cooler {
    bool given;
    snub_place place;
    double effectiveness; /**< [number] 0..1: (T2 - T3)/(T2 - coolant) */
    double coolant;       /**< [temperature] K at the coolant's entry; 0 = not given: the ambient air's */
    double pressure_drop; /**< [pressure, a difference] Pa from blower to manifold, at `flow` and `density`;
                               goes with flow squared over density */
    double flow;          /**< [mass flow] kg/s; 0 = not given, which a drop does not admit */
    double density;       /**< [density] kg/m3 where the air entered the part; 0 = not given: snub_bench_density */
    double inlet_pressure_drop; /**< [pressure, a difference] Pa from ambient to the blower's inlet, at the next two */
    double inlet_flow;          /**< [mass flow] kg/s; 0 = not given: `flow` */
    double inlet_density;       /**< [density] kg/m3; 0 = not given: `density` */
} snub_cooler;

/** Air in which a pressure drop was measured where the file does not say: dry, 101.325 kPa, 25 degC [kg/m3]. */
double snub_bench_density(void);

typedef struct snub_friction {
    double rib, back;
} snub_friction;

/** What the catalogue says of a part beside its sizes. Texts are "" where it says nothing. */
typedef struct snub_part_sale {
    const char *own_number; /**< the house's own number for it */
    const char *supplier;
    bool discontinued;
    const char *replaced_by;     /**< key of the part to take instead */
    const char *supplier_number; /**< by which the supplier sells it */
} snub_part_sale;

/** A belt on offer. What the catalogue does not say of it is NAN, and is then as for any belt of the drive. */
typedef struct snub_stock_belt {
    double length;                           /**< effective, m */
    const char *part;                        /**< key in the catalogue; NULL: from the file's own list */
    double be, back;                         /**< m */
    double mass, stiffness, measuring_force; /**< per rib: kg/m, N, N */
    double tolerance;                        /**< +- on the length, m */
    const snub_part_sale *sale;              /**< NULL: from the file's own list */
    int buying;                              /**< of belts of one length the lower is taken: see snub_part_source */
} snub_stock_belt;

/** Where the distance from cord to back comes from. */
typedef enum snub_back_from {
    SNUB_BACK_DEFAULT, /**< neither the file nor its belt of the catalogue says it */
    SNUB_BACK_WRITTEN,
    SNUB_BACK_MEASURED /**< from the belt's outside circumference */
} snub_back_from;

/** A value that the file gives as `[low, high]`: read as the middle, judged at both ends as well. */
typedef struct snub_range {
    const char *path;      /**< as an overlay's: "belt.stiffness", "blower.blower.mechanical" */
    const char *end[2];    /**< low and high, as the file writes them */
    const snub_node *node; /**< the list */
    const char *unit;      /**< behind an end that is a bare number; "" */
    const struct snub_range *next;
} snub_range;

/** Where a tolerance comes from. */
typedef enum snub_tolerance_basis {
    SNUB_TOLERANCE_WRITTEN,      /**< behind the value: `80 +- 0.1` */
    SNUB_TOLERANCE_LISTED,       /**< section `tolerances` */
    SNUB_TOLERANCE_BELT,         /**< the belt's own tolerance on its length: `belt.tolerance`, or its part's */
    SNUB_TOLERANCE_BELT_DEFAULT, /**< the default for a belt of its length (snub_belt_tolerance) */
    SNUB_TOLERANCE_STACK,        /**< `tolerance` of an item of a stack */
    SNUB_TOLERANCE_RANGE         /**< a value given as `[low, high]`: it is not known, which is no scatter */
} snub_tolerance_basis;

/** What a value of the drive is from kit to kit. docs/decisions/075-tolerances.md. */
typedef struct snub_tolerance {
    const char *path; /**< as an overlay's: "blower.diameter", "mounts.0.stack.1.length", "idler.at.0" */
    snub_place place; /**< where the file says the tolerance */
    snub_quantity quantity;
    double nominal;       /**< SI, as the drive is read; NAN: the length of a belt that is yet to be chosen */
    snub_scatter scatter; /**< of the value, SI; where `nominal` is NAN of the difference from it */
    const char *group;    /**< NULL: by itself; values of one group share a cause, such as one casting */
    double correlation;   /**< with the group's cause, -1 to 1; 1: they move as one */
    double cost;          /**< of holding this tolerance, a kit, in the file's money; NAN: not given */
    snub_tolerance_basis basis;
} snub_tolerance;

typedef struct snub_belt {
    snub_place place;
    const char *section; /**< "PK" */
    int ribs;
    double length;    /**< effective length, m; NAN: let snub pick */
    const char *part; /**< key of the catalogue part that the belt is; NULL: none */
    int stock_count;
    struct snub_stock_belt *stock; /**< on offer, by rising length; 0 = none */
    bool stock_from_parts;         /**< the stock is the catalogue's */
    double pitch;                  /**< groove pitch, m */
    double be;                     /**< effective line differential, m */
    double back;                   /**< cord to the belt's back, m */
    snub_back_from back_from;
    double thickness;         /**< whole belt, m */
    double mass;              /**< kg/m, whole belt */
    double stiffness;         /**< EA, N, whole belt */
    double bending;           /**< EI, N m2, whole belt; 0: bends freely */
    double measuring_tension; /**< T_measuring in one span, N, whole belt: ribs * force / 2 */
    double stretch;           /**< permanent, fraction, now */
    double worn;              /**< permanent, fraction, at the end of life; >= stretch */
    double tolerance;         /**< +- on effective length as the file (or the part) gives it, m; NAN: by the length,
                                   see snub_belt_tolerance */
    double growth;            /**< thermal, fraction of length at running temperature; 0 default */
    double flap_damping;      /**< of a span that flaps, share of critical */
    bool flap_damping_given;  /**< false: a rule of thumb */
    double wet;               /**< fraction of friction lost in the wet */
    snub_friction design, limit;
} snub_belt;

typedef struct snub_pulley {
    const char *name;
    snub_place place;
    const snub_node *node;
    snub_side side;
    bool is_crank;
    snub_place_kind sits;
    double at[2];        /**< m; for an arm: centre in its free position; for a slot: centre at `setting` */
    double diameter;     /**< rib: effective diameter; back: outside diameter, m */
    double tip_radius;   /**< of the ribs' tips between its grooves, m; default SNUB_USUAL_TIP_RADIUS */
    double groove_angle; /**< rad; default SNUB_USUAL_GROOVE_ANGLE */
    bool tip_radius_given;
    double nominal_diameter; /**< as the file gives it, over whatever it is measured, m: what the part is called by */
    double pitch_radius;     /**< > 0, m: rib de/2 + be; back do/2 + cord to back */
    double rim_radius;       /**< greatest radius of the solid pulley (flanges), m; default from diameter */
    double inertia;          /**< kg m2 */
    bool overruns;           /**< an overrunning clutch in the pulley: its inertia does not drive the belt */
    double max_speed;        /**< rad/s; 0 = not given */
    double max_hub;          /**< [force] N that the belt may pull at it with; 0 = not given */
    double max_torque;       /**< [torque] on the crank: N m that the belt may take from its nose; 0 = not given */
    double peak;             /**< [number] greatest over mean of the torque that its load absorbs; <= 1: it is even */
    snub_curve load;         /**< shaft rad/s -> N m absorbed; n = 0: none */
    snub_surface load_by_boost; /**< replaces `load` where given (nx > 0): x shaft rad/s, y boost Pa, z N m. Key
                                     load_by_boost: {speed: [2000, 8000], boost: [0, 50], torque: [[1, 2], [4, 9]]},
                                     one row of torques per speed. The boost is that of the drive's blower */
    snub_arm arm;               /**< where sits == SNUB_ON_ARM */
    snub_slot slot;             /**< where sits == SNUB_ON_SLOT */
    double setting;             /**< along the slot, m; NAN: free to choose */
    double fixed_tension;       /**< N at rest; > 0: this slot sets the tension, then is locked; else 0 */
    bool retension;             /**< with fixed_tension: it is set again as the belt wears (default); else once, new */
    bool has_blower;
    snub_blower blower;
    double plane;       /**< z of the belt's mid-plane on this pulley, m (0 default) */
    double width;       /**< of the rim, m; default from ribs */
    int grooves;        /**< key `ribs`, rib side only; 0 = not given: as many as the belt has */
    snub_supply supply; /**< default: kept on the crank, else new. With its arm where it is on one */
} snub_pulley;

/** Groove of PK for which SAE J1459 (summary) has its 0.885 mm, and the least tip radius that is made (memory). */
#define SNUB_USUAL_TIP_RADIUS 0.48e-3
#define SNUB_LEAST_TIP_RADIUS 0.25e-3
#define SNUB_USUAL_GROOVE_ANGLE (40.0 * SNUB_DEG)
/** Diameter over balls of 2.5 mm less the effective one, PK, m (SAE J1459, summary). */
#define SNUB_BALLS_OVER_EFFECTIVE 0.990e-3
#define SNUB_BALL_DIAMETER 2.5e-3 /**< of those balls, m */
/** Effective diameter less the one over the tips of the grooves, PK, m: docs/theory/layout.md, length. */
double snub_tips_under_effective(double tip_radius, double angle);

/** Every limit that a finding may test: the list is snub/limit_list.inc. Overridden under `limits:` by its key. */
typedef enum snub_limit {
#define SNUB_LIMIT(name, key, quantity, unit, preset, least, most, source, means) SNUB_LIMIT_##name,
#include "snub/limit_list.inc"
    SNUB_LIMITS_
} snub_limit;

typedef struct snub_limit_info {
    const char *key; /**< under `limits:` */
    snub_quantity quantity;
    snub_unit unit;     /**< as shown, and of a bare number in the file */
    double value;       /**< default, in the unit shown */
    double least, most; /**< bounds, in the unit shown */
    const char *source; /**< "ISO 9981:2020", "rule of thumb, no published source"; translated by `report` */
} snub_limit_info;
const snub_limit_info *snub_limit_describe(snub_limit limit);

/** One line of `options:`: a path and the values that the kit offers for it. */
typedef struct snub_option {
    const char *path;
    snub_place place;
    int count;
    const snub_node **values;
} snub_option;

/** One entry of `variants:`. */
typedef struct snub_variant {
    const char *name;
    snub_place place;
    int count;
    snub_overlay *changes;
} snub_variant;

/** Values of one option that a package does not go with. */
typedef struct snub_excluded_values {
    const char *path; /**< the option's, as `options:` writes it */
    int count;
    const snub_node **values;
} snub_excluded_values;

/** Builds that a package does not come as: those for which all that is said here holds. */
typedef struct snub_exclusion {
    snub_place place;
    const char *reason;
    int variant_count;
    const char **variants; /**< one of these engine fronts; count 0: on any */
    int option_count;
    snub_excluded_values *options;
} snub_exclusion;

/** One entry of `packages:`: what a kit is sold as. */
typedef struct snub_package {
    const char *name;
    snub_place place;
    const char *about; /**< in words, for the chart; "" */
    int count;
    snub_overlay *changes;
    int exclusion_count;
    snub_exclusion *exclusions;
} snub_package;

/** One entry of `steps:`: what the file says of a step of fitting, by its id (snub/steps.h). */
typedef struct snub_step_change {
    const char *id;
    snub_place place;
    const char *say;       /**< its words; NULL: those of snub */
    const char *leave_out; /**< why it is left out; NULL: it is not */
    const char *anchor;    /**< id of the step beside which a new one stands; NULL: it is none */
    bool before;           /**< of its anchor, else after it */
    snub_place anchor_place;
    const char *picture; /**< file of a picture, as written; NULL: snub's own, or none */
    bool no_picture;     /**< `picture: none` */
    snub_place picture_place;
} snub_step_change;

/* ---- what may be moved ------------------------------------------------------------------------------------------- */

enum { SNUB_MOVES_MOST = 24 };

/** One entry of `search.move`: a point or a number of a pulley that may have another value. */
typedef struct snub_move {
    const char *path; /**< as an overlay's: "idler.at" */
    snub_place place;
    bool point;
    snub_quantity quantity;
    double now[2];            /**< as the drive is read, SI; a number: the first */
    double low[2], high[2];   /**< SI; a point: the box around its region */
    double centre[2], radius; /**< of a region that is a circle, m; radius 0: it is none */
    int corners;              /**< of a region that is a polygon; 0: it is none */
    double (*corner)[2];      /**< m */
    int choice_count;         /**< values of `choose`, SI; 0: none, from low to high */
    double *choices;
    bool from_catalogue; /**< it is the part of a pulley that is chosen: `path` is that of its `part`, `now` its
                            diameter */
    int part_count;      /**< keys in `choose`; 0: all of the catalogue that fit */
    const char **parts;  /**< those keys; once a search has looked them up, the parts of `choices` */
    double step;         /**< values are whole steps from zero, SI; 0: not given */
    double lever;        /**< of an angle: what it turns, m */
} snub_move;

/** What a search is to gain; key `aims`. */
typedef enum snub_aim {
    SNUB_AIM_GRIP,   /**< worst grip: least over all builds */
    SNUB_AIM_BELTS,  /**< fewest belts: that serve all builds */
    SNUB_AIM_LIFE,   /**< bearing life: the least of all */
    SNUB_AIM_HUB,    /**< hub load: greatest of the pulley, or of all */
    SNUB_AIM_WRAP,   /**< wrap: of the pulley, engine stopped */
    SNUB_AIM_CHANGE, /**< least change: sum of the moves */
    SNUB_AIM_PASSES, /**< most passes: builds that pass */
    SNUB_AIMS_
} snub_aim;
/** The word in the file: "worst grip". */
const char *snub_aim_text(snub_aim aim);

/** What every build must hold; key `hold`. */
typedef enum snub_hold {
    SNUB_HOLD_MARGINAL, /**< none fails */
    SNUB_HOLD_PASS,     /**< none fails or is marginal */
    SNUB_HOLD_TODAY     /**< none has a finding that is worse than today's */
} snub_hold;
/** The word in the file: "today". */
const char *snub_hold_text(snub_hold hold);

/** Section `search`. */
typedef struct snub_search_section {
    snub_place place;
    int move_count, aim_count;
    snub_move *moves;
    snub_aim aims[2];
    int pulley; /**< whose hub load or wrap is an aim; -1: the worst of all */
    snub_hold hold;
} snub_search_section;

/** What keeps a package from being sold as a build: the first exclusion that holds for it; NULL: none.
 *  @param[in] tree     of the file with all that makes the build laid over it (snub_tree_laid)
 *  @param[in] variant  name of the engine front; NULL or "": the file's own */
const snub_exclusion *snub_package_excludes(const snub_package *package, const snub_node *tree, const char *variant);
/** The file's tree with overlays laid over it; no value is read. NULL: one cannot be laid, or out of memory. */
const snub_node *snub_tree_laid(const snub_document *document, const snub_overlay *overlays, int count,
                                snub_arena *arena);

/* hardware (planes, obstacles, mounts, bearings): see the end of this file */
struct snub_hardware;

/** Bare numbers of a file whose results are in inch units (`units: us`): each is read in its metric unit all the same,
 *  and may be meant otherwise. Not counted: 0 of a length, and what a part of the catalogue gives. */
typedef struct snub_bare {
    int count;        /**< 0: none, and the rest is empty */
    snub_place place; /**< of the first */
    char key[96];
    const char *text; /**< as written */
    const char *unit, *us_unit;
} snub_bare;
/** The first bare number as a mistake would be shown. It is none: no exit code hangs on it. @param[in] bare count > 0
 */
void snub_bare_error(const snub_bare *bare, snub_error *error);
/** The placeholders of a text. @param[in] name  of the file, for the place; must outlive it */
snub_placeholders snub_placeholders_find(const char *name, const char *text, size_t length);
/** How many there are, as a mistake would be shown. It is none: no exit code hangs on it.
 *  @param[in] placeholders  count > 0 */
void snub_placeholders_error(const snub_placeholders *placeholders, snub_error *error);

/** Whether the file asks for results in inch units: `units: us`. False for a wrong word, which the reader tells. */
bool snub_document_inches(const snub_document *document);

typedef struct snub_drive {
    const snub_document *document;
    const char *title;
    const char *kit_number;   /**< by which the company sells the kit; "" where there is none */
    const char *house;        /**< path of the house file as written; NULL (snub/house.h) */
    const char *house_digest; /**< of the reading; NULL */
    const char *picture_digest;
    bool inches; /**< results in inch units where nobody asks for others: `units: us` */
    snub_bare bare;
    double turn; /**< crank seen from the front: +1 cw (default), -1 ccw; key `rotation` of the crank */
    snub_engine engine;
    snub_air air;
    snub_cooler cooler;
    snub_belt belt;
    int pulley_count;
    snub_pulley *pulleys; /**< in belt order */
    int crank;            /**< index */
    int arm;              /**< index of the pulley on an arm; -1 */
    int locked;           /**< index of the pulley whose slot sets the tension; -1 */
    int option_count;
    snub_option *options;
    int variant_count;
    snub_variant *variants;
    int package_count; /**< 0: the kit is sold as its options alone */
    snub_package *packages;
    int step_change_count;
    snub_step_change *step_changes;    /**< in the file's order */
    const snub_search_section *search; /**< NULL: the file says nothing of a search */
    double limits[SNUB_LIMITS_];
    snub_place limits_place[SNUB_LIMITS_]; /**< no file: default in force */
    struct snub_hardware *hardware;        /**< NULL when the file has none */
    int content_count;
    struct snub_content *contents; /**< in the file's order; 0: none */
    const snub_node *tree;         /**< the file's top map with all overlays laid over it */
    const snub_overlay *overlays;  /**< that it was read with */
    int overlay_count;
    const struct snub_used_part *used; /**< parts of the catalogue that it was read with, the last first */
    const snub_range *ranges;          /**< values that it gives as ranges, the last first; NULL: none */
    int tolerance_count;
    const snub_tolerance *tolerances; /**< of its values, each path once; none of a drive that is read for one kit */
    uint32_t cautions; /**< that its parts and reworks call for: bits in the order of snub/caution_list.inc */
} snub_drive;

/** Whether the file tells cold from warm: by the belt's growth or the engine's. */
bool snub_drive_grows(const snub_drive *drive);

enum { SNUB_LAID_OVER = -1 };
/** Where a limit comes from: line of the drive file; SNUB_LAID_OVER: a value laid over it (--set, the page); 0:
 * default. */
int snub_limit_given_at(const snub_drive *drive, snub_limit limit);
/** A limit with the default and the source that the drive's belt section has for it. */
snub_limit_info snub_limit_preset(const snub_drive *drive, snub_limit limit);

/** A part of the catalogue as the reader got it. */
typedef struct snub_used_part {
    const char *kind, *key;
    const snub_node *map;
    snub_part_sale sale;
    const struct snub_used_part *next;
} snub_used_part;

/** What the catalogue says of a part that the drive was read with, or of a belt that it offers; NULL where it says
 *  nothing. @param[in] key  NULL: NULL */
const snub_part_sale *snub_drive_sale(const snub_drive *drive, const char *key);

/** SHA-256 of all that a drive was read from: the file's bytes, every overlay (variant, options, --set), the rows of
 *  the catalogue that it names, the catalogue's belts where they are its stock, the maps of its blowers, the house
 *  file with its logo where there is one, and the pictures of its steps. Two drives
 *  with one digest are one drive. Tables of measured values are not in it: no build hangs on them, only its kits. */
void snub_drive_digest(const snub_drive *drive, char text[65]);

enum { SNUB_CODE_ROOM = 8 };
/** Six letters and digits that name a build of a kit, to be said on the telephone: by variant, package and the values
 * at the paths of the options, however the file writes and orders them, without tolerances. More values of an option,
 * variants or packages change no code. A '+' behind them: the caller has laid something else over the build.
 *  @param[in] set_count  overlays of the drive's that are the caller's (--set): the last */
void snub_drive_code(const snub_drive *drive, const char *variant, const char *package, int set_count,
                     char code[SNUB_CODE_ROOM]);
/** Whether that is the code as someone typed it: in any case, O for 0, I or L for 1, with blanks and hyphens. */
bool snub_code_matches(const char *code, const char *said);
/** SHA-256 of what the file says with its overlays, whatever it is written like: title, options and variants left out,
 *  numbers by their value and without the tolerances behind them. Two rows of a kit with one such digest are one drive
 * under two names. */
void snub_drive_tree_digest(const snub_drive *drive, char text[65]);

/** A pulley or idler of the catalogue. */
typedef struct snub_stock_pulley {
    const char *part;
    bool idler;
    double diameter; /**< as the catalogue has it, m */
} snub_stock_pulley;

/** Looks up `part: KEY` for the reader; set by rooms below that know the catalogue.
 *  Fills a map node with the part's keys as the drive file would write them, and what else is known of it. */
typedef struct snub_part_source {
    snub_status (*find)(void *context, const char *kind, const char *key, snub_arena *arena, snub_node **map,
                        snub_part_sale *sale, snub_error *error);
    /** all belts of a section and rib count, by rising length; of one length those first that the house can buy: not
     *  discontinued, then with a supplier, then with its own number, then in stock (`buying` counts that), then by key;
     *  arena memory */
    snub_status (*belts)(void *context, const char *section, int ribs, snub_arena *arena, snub_stock_belt **belts,
                         int *count, snub_error *error);
    void *context;
    /** pulleys and idlers that the belt of a drive fits on with that side, by rising diameter; of one diameter in the
     *  order of `belts`; arena memory. May be NULL: only a search asks for them */
    snub_status (*pulleys)(void *context, const snub_belt *belt, snub_side side, snub_arena *arena,
                           snub_stock_pulley **pulleys, int *count, snub_error *error);
} snub_part_source;

/** Reads the files beside the drive file that the reader asks for, maps of blowers and tables of measured values; set
 * by rooms below that may open files. May be called from several threads, each with units and an arena of its own. */
typedef struct snub_map_source {
    /** @param[in] path  as the drive file writes it
     *  @param[in,out] blower  kind is set; map and map_lines are filled, in arena memory
     *  @param[in,out] errors  of the map's own text: place.line is the map's line
     *  @return SNUB_OK; SNUB_BAD_INPUT, SNUB_IO, SNUB_TOO_LARGE (errors filled); SNUB_NO_MEMORY */
    snub_status (*read)(void *context, const snub_document *document, const char *path, snub_units *units,
                        snub_arena *arena, snub_blower *blower, snub_errors *errors);
    void *context;
    /** The text of a table. NULL: there is none to be had, and a `sample` that names one is a mistake.
     *  @param[out] text  in arena memory
     *  @return as read */
    snub_status (*text)(void *context, const snub_document *document, const char *path, snub_arena *arena,
                        const char **text, size_t *length, snub_errors *errors);
} snub_map_source;

/** What a reading needs beside the document. */
typedef struct snub_reading {
    snub_units *units;
    snub_arena *arena; /**< drive memory */
    const snub_overlay *overlays;
    int overlay_count;
    const snub_part_source *parts; /**< NULL: `part:` is a mistake that says there is no catalogue */
    const snub_map_source *maps;   /**< NULL: a blower's map stays unread, and a match says so; a table of measured
                                        values is a mistake */
    const char *house_digest;      /**< of the house file that sheets are printed with (snub/house.h); NULL: none */
    const char *picture_digest;    /**< of the pictures of its steps (snub/pictures.h); NULL: none */
    bool one_kit;                  /**< overlays have the values of one kit: tolerances are taken off, and not read */
} snub_reading;

/** Read a drive from a document with overlays. Reports every mistake at once.
 *  Values of options and variants are looked at when they are laid over; snub_drive_check does that for all of them.
 *  @param[out] drive  valid only on SNUB_OK
 *  @param[in,out] errors  those of this reading are appended by line and column
 *  @return SNUB_OK; SNUB_BAD_INPUT (errors filled); SNUB_NO_MEMORY */
snub_status snub_drive_read(const snub_document *document, const snub_reading *reading, snub_drive *drive,
                            snub_errors *errors);

/** Read a drive's ranges at each of their ends: one may be wrong beside other values where its middle is not.
 *  @param[in] reading,drive  what it was read with, and what came of it
 *  @return as snub_drive_read */
snub_status snub_drive_check_ranges(const snub_document *document, const snub_reading *reading, const snub_drive *drive,
                                    snub_errors *errors);

/** Read as snub_drive_read does, then lay every value of every option and every variant, one at a time, over the file
 *  and report what is wrong in them, each at its own place. For the start of a command; a reading per value.
 *  @return as snub_drive_read */
snub_status snub_drive_check(const snub_document *document, const snub_reading *reading, snub_drive *drive,
                             snub_errors *errors);

/** One value to be written into a file. */
typedef struct snub_change {
    const char *path; /**< as an overlay's */
    const char *text; /**< YAML on one line: "75", "3.15 in", "[1, 2]" */
} snub_change;

/** Bytes of a number's text without the tolerance behind it; all of a text that has none. */
size_t snub_nominal_length(const char *text);

/** Changes of a hand that knows the number alone (a drag, a fit): where the file has a tolerance behind the number that
 * is changed, the new text gets it, in the units in which it was meant. A change that has a tolerance itself stays.
 *  @param[in,out] changes  texts are exchanged; arena memory
 *  @return SNUB_OK; SNUB_BAD_INPUT (the new value has another unit, and which one the tolerance has is open);
 * SNUB_NO_MEMORY */
snub_status snub_changes_keep_tolerances(const snub_document *document, snub_units *units, snub_change *changes,
                                         int count, snub_arena *arena, snub_error *error);

/** The file's text with some values changed at their places; comments and layout stay as they are. A value that the
 *  file does not have yet goes into its map: before the closing brace of a flow map, as a line of its own at the end
 *  of a block map. The result is parsed again and compared with the tree that the changes mean before it is handed out.
 *  Later changes win over earlier ones.
 *  @param[out] out  the new text, appended; untouched on error
 *  @return SNUB_OK; SNUB_BAD_INPUT (no such path, text that is no value, or a value that cannot be changed alone
 *          because an alias shares it); SNUB_TOO_LARGE; SNUB_NO_MEMORY */
snub_status snub_document_rewrite(const snub_document *document, const snub_change *changes, int count, snub_text *out,
                                  snub_error *error);

/** The file's text with a comment line, "# PATH: REMARK", above the line on which a value stands. One on the same path
 *  among the comment lines there is replaced. The result is parsed again and compared.
 *  @param[in] path    as an overlay's
 *  @param[in] remark  one line
 *  @param[out] out  the new text, appended; untouched on error
 *  @return SNUB_OK; SNUB_BAD_INPUT: no such value, or no place for a comment; SNUB_NO_MEMORY */
snub_status snub_document_remark(const snub_document *document, const char *path, const char *remark, snub_text *out,
                                 snub_error *error);

/** An item of a list, or a key of a map, taken out of the text, put in, moved within its list or map, or given another
 *  value; or a key of a map given another name: where packages exclude a variant or an option, the name follows there.
 */
typedef enum snub_edit_kind {
    SNUB_EDIT_REMOVE,
    SNUB_EDIT_INSERT,
    SNUB_EDIT_MOVE,
    SNUB_EDIT_SET,
    SNUB_EDIT_RENAME
} snub_edit_kind;
typedef struct snub_edit {
    snub_edit_kind kind;
    const char *path;         /**< as an overlay's: of the item or key; of the list or map in which one is put */
    const char *const *words; /**< NULL: `path` leads there. Else the path from the top of the file word by word,
                                   NULL-terminated, for keys that have dots in them; `path` is what errors call it */
    const char *before;       /**< name, number or key of what it is to stand before; "" or NULL: at the end */
    const char *key;          /**< of a new item of a map, or its new name; NULL: of a list */
    const char *text;         /**< of a new item, or the new value: YAML on one line */
} snub_edit;

/** The file's text with one edit. Comments stay, those above an item go with it; the result is parsed again and
 * compared with the tree that is meant, as in snub_document_rewrite. The crank and the last two pulleys stay.
 *  @param[out] out  the new text, appended; untouched on error
 *  @return SNUB_OK; SNUB_BAD_INPUT (no such path, or what cannot be edited alone); SNUB_NO_MEMORY */
snub_status snub_document_edit(const snub_document *document, const snub_edit *edit, snub_text *out, snub_error *error);

/** A text of a drive file. */
typedef struct snub_version {
    const char *text;
    size_t length;
} snub_version;

/** A value that two sides changed differently. Values are on one line, as snub_node_flow gives them; NULL: not there.
 *  The path is an overlay's; "": the whole texts, where they cannot be met key by key. */
typedef struct snub_clash {
    const char *path, *base, *mine, *theirs;
} snub_clash;

/** What is to be done about a clash. It holds for the value of the other side that was shown, and for no other. */
typedef struct snub_pick {
    const char *path;
    bool mine;
    const char *theirs; /**< as it was shown; NULL: not there */
} snub_pick;

typedef struct snub_merged {
    const char *text; /**< in the arena */
    size_t length;
    const snub_clash *clashes;
    int clash_count;
    const char **taken; /**< paths that only the other side changed; "": comments, layout, or the whole text */
    int taken_count;
} snub_merged;

/** Bring two texts together that were changed from one. Keys that one side changed, added or took out are taken from
 * it; comments and layout of both stay.
 *  @param[in]  base    what both come from
 *  @param[out] merged  the text, which means exactly what both sides mean; or the clashes
 *  @return SNUB_OK; SNUB_STOPPED (clashes that no pick answers); SNUB_NO_MEMORY */
snub_status snub_document_merge(const char *name, const snub_version *base, const snub_version *mine,
                                const snub_version *theirs, const snub_pick *picks, int pick_count, snub_arena *arena,
                                snub_merged *merged, snub_error *error);

/** What differs between two texts of a drive file. Values are on one line, as snub_node_flow gives them; NULL: not
 *  there. The path is an overlay's; that of a list with names, such as `pulleys`, has the names in their order where
 *  the order differs. "": comments; lines, where a text cannot be read key by key; or, with neither, the layout. */
typedef struct snub_text_difference {
    const char *path, *before, *after;
} snub_text_difference;

/** Compare two texts, entry by entry, to the spelling of each value.
 *  @param[out] list  in the arena
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_document_compare(const char *name, const snub_version *before, const snub_version *after,
                                  snub_arena *arena, const snub_text_difference **list, int *count, snub_error *error);

/** Index of a pulley by name, -1 if there is none. */
int snub_drive_pulley(const snub_drive *drive, const char *name);

/** +- tolerance on effective length [m] of a belt of that effective length [m]: the belt's own where it is given, else
 *  5 mm up to 1000, 6 up to 1200, 8 up to 1500, 9 up to 2000, 10 up to 2500, 0.4 % over that (classes of ISO 9981;
 *  not compared with its text). It follows from the belt that is chosen, not from how the file writes it. */
double snub_belt_tolerance(const snub_belt *belt, double length);

/** A length [m] as a file would write it, in mm with twelve digits: what is printed so and pasted back gives the same
 *  double. Every belt length and every slot setting is such a one. */
double snub_written_length(double length);

/** Point at s [m] along the slot's centre line, 0 <= s <= length. */
void snub_slot_point(const snub_slot *slot, double s, double point[2]);
/** Centre of the arm's pulley at a wind [rad]. */
void snub_arm_point(const snub_arm *arm, double wind, double point[2]);

/* ---- hardware: planes, obstacles, mounts, bearings --------------------------------------------------------------- */

enum {
    SNUB_STACK_PARTS_MOST = 24,
    SNUB_OBSTACLES_MOST = 200,
    SNUB_CORNERS_MOST = 500,
    SNUB_MOUNTS_MOST = 32,
    SNUB_BOLTS_MOST = 32, /**< per mount */
    SNUB_BEARINGS_MOST = 64,
    SNUB_DISCS_MOST = 8, /**< hub discs per pulley */
    SNUB_DUTY_MOST = 100,
    SNUB_CONTENTS_MOST = 500,
    SNUB_CONTENT_COUNT_MOST = 10000 /**< pieces of one row */
};

/** What a part of a stack is; key `kind`. Only a shim may be changed by shim advice. */
typedef enum snub_stack_kind {
    SNUB_STACK_FACE,     /**< face | the engine's own surface, from the crank's datum (may be negative) */
    SNUB_STACK_BRACKET,  /**< bracket */
    SNUB_STACK_SPACER,   /**< spacer */
    SNUB_STACK_SHIM,     /**< shim */
    SNUB_STACK_STANDOFF, /**< standoff */
    SNUB_STACK_OFFSET    /**< offset | pulley's own, from its seat to the belt's mid-plane */
} snub_stack_kind;

typedef struct snub_stack_part {
    const char *name;
    snub_place place;
    snub_stack_kind kind;
    double length;      /**< signed along z, m */
    double tolerance;   /**< +-, m */
    snub_supply supply; /**< of a spacer; default: its owner's */
} snub_stack_part;

/** Parts that lie on each other along the crank's axis, from z = 0 on. */
typedef struct snub_stack {
    int count; /**< 0: none given */
    snub_stack_part *parts;
} snub_stack;

typedef enum snub_obstacle_shape { SNUB_CIRCLE, SNUB_POLYGON, SNUB_STADIUM } snub_obstacle_shape;

enum {
    SNUB_CUTS_MOST = 4,                        /**< of one obstacle */
    SNUB_SLICES_MOST = 2 * SNUB_CUTS_MOST + 1, /**< that they leave, one behind the other */
};

/** What a cut takes away. */
typedef enum snub_cut_from { SNUB_CUT_FRONT, SNUB_CUT_REAR, SNUB_CUT_SIDE } snub_cut_from;

/** Metal taken off an obstacle, key `taken_off`: a flat cut, off an end or off a side. */
typedef struct snub_cut {
    snub_cut_from from;
    double depth;        /**< m, square to the cut */
    const char *towards; /**< of a side: the pulley that the cut faces; NULL: a point */
    double point[2];     /**< that the cut faces, m: the pulley's centre, or the point */
    double low, high;    /**< along z of a side cut, m; of an end what is taken away */
    double line[2][2];   /**< of a side cut, its edge seen from the front, m */
} snub_cut;

/** Something beside the drive: a prism along z. It stands still, or moves with the arm. */
typedef struct snub_obstacle {
    const char *name;
    snub_place place;
    snub_obstacle_shape shape;
    double from[2], to[2]; /**< circle: centre in `from`; stadium: ends of its middle line, m */
    double radius;         /**< circle, stadium (half its width), m */
    int corners;
    double (*corner)[2]; /**< polygon, in order, not closed; m */
    double low, high;    /**< along z, m */
    double relief;       /**< that may be taken off at most, m; NAN: not said */
    double clearance;    /**< to keep from it, m; NAN: the limit `clearance`, of a tool's room 0 */
    bool on_arm;         /**< key `moves_with: arm`: given with the arm in its free position */
    bool tool;           /**< room that must be free while the belt is changed */
    snub_supply supply;  /**< default: kept */
    int cut_count;
    snub_cut *cuts;               /**< metal that is taken off; the figure and z above are without them */
    int slice_count;              /**< 0: nothing is taken off */
    struct snub_obstacle *slices; /**< what the cuts leave: prisms without cuts, from low to high z, none twice */
} snub_obstacle;

/** The most that the cuts of an obstacle take off its ends, or off its sides [m]; 0 without. */
double snub_taken_off(const snub_obstacle *obstacle, bool ends);

/** What cuts leave of an obstacle along z [m]: its own range without. @param[out] range  low, high */
void snub_left_of(const snub_obstacle *obstacle, double range[2]);

/** What metal is, by key `material`. */
typedef struct snub_material {
    const char *name; /**< "steel", "aluminium", "grey-iron", "stainless" */
    double modulus;   /**< Pa */
    double tensile;   /**< Pa */
    double yield;     /**< Pa; 0: brittle, it has none */
} snub_material;

/** The hole before a tap: the thread's diameter less its pitch, to an even tenth of a millimetre as drills are sold
 *  (M8 6.8, M12 10.2: ISO 2306, from memory).
 *  @return its diameter, m */
double snub_tapping_hole(double diameter, double pitch);

/** A bolt, stud or screw. The catalogue's fasteners use the same keys. */
typedef struct snub_bolt {
    const char *name;
    snub_place place;
    double at[2];                        /**< m */
    const char *thread;                  /**< "M8" */
    const char *class_;                  /**< key `class`: "8.8" */
    double diameter, pitch, stress_area; /**< m, m, m2 */
    double proof, tensile, endurance;    /**< Pa; endurance 0: not listed */
    double yield;                        /**< Pa; 0 = not listed: strengths given as loads */
    double grip_length;                  /**< clamped length with washer and without shims, m; default: that of bracket
                                              and washer; 0 = not known */
    double length;                       /**< under the head, m; 0 = not given */
    double engagement;                   /**< of the thread in the tapped hole without shims, m; default: length less
                                              grip; 0 = not known */
    double head;                         /**< face under its head, outside diameter, m; default: ISO 4017 */
    double washer, washer_thickness;     /**< outside diameter, m; 0 = none. Thickness 0 without one */
    double torque;                       /**< N m; 0 = not given: worked out */
    double preload;                      /**< N; 0 = not given: from the torque */
    const char *condition;               /**< of threads and face: see snub_nut_conditions */
    double nut_factor;                   /**< K */
    double scatter;                      /**< of preload, fraction +- */
    double pad;                          /**< diameter of the clamped face around the bolt, m; 0 = not given */
    double hole;                         /**< m; default: ISO 273, medium */
    bool locates;                        /**< places the bracket (dowel, shoulder, fitted hole); the others follow */
    bool reused;                         /**< preload 75 % of proof; false: 90 % */
    snub_supply supply;                  /**< default: its owner's */
} snub_bolt;

/** A bracket and how it holds to the engine. */
typedef struct snub_mount {
    const char *name;
    snub_place place;
    snub_stack stack; /**< from the datum to the bracket's front face */
    double face;      /**< z of the joint on the engine, m */
    snub_material bracket;
    bool plated;             /**< the file says what the bracket is; else its metal is a default */
    double thickness;        /**< of the bracket's plate, m; 0 = not given */
    double width, reach;     /**< strip that carries the pulley past the bolts, m; 0 = not given: rigid */
    double slot_width;       /**< of the slot in it that an idler moves in, m; 0 = not given: its bolt's hole */
    int corners;             /**< of the plate's outline; 0 = not given */
    double (*corner)[2];     /**< in order, not closed; m */
    double edge;             /**< from the rim of a hole to the plate's edge, m; 0 = not given */
    const char *tapped_in;   /**< material of the tapped holes: "steel", "grey-iron", "aluminium"; NULL = not given */
    double friction;         /**< between bracket and engine */
    const char *faces;       /**< pair that the friction was taken for; NULL: given as a number */
    double mass, mass_at[3]; /**< of what the bolts carry, kg; 0 = not given. Its centre: x, y, z from the datum, m */
    double vibration;        /**< acceleration of the engine there, any direction, m/s2; 0 = not given: not counted */
    int bolt_count;
    snub_bolt *bolts;
    snub_supply supply; /**< default: new */
} snub_mount;

/** Tube that a pulley stands off on, held by a bolt through it. */
typedef struct snub_standoff {
    bool given;
    snub_place place;
    double outside, inside, length; /**< m */
    snub_material material;
    const char *tapped_in; /**< what its bolt is screwed into; NULL = not given */
    double friction;       /**< of its face on its seat */
    const char *faces;     /**< pair that the friction was taken for; NULL: given as a number, or the least of all */
    bool located;          /**< a spigot, dowel or stop takes the hub load: friction need not */
    snub_bolt bolt;
    snub_supply supply; /**< default: its pulley's */
} snub_standoff;

/** What holds the slider of a pulley in its slot; where the file has none, the bolt of its standoff does. */
typedef struct snub_clamp {
    bool given;
    snub_place place;
    snub_material slider;  /**< that the bolt's head presses on */
    bool slider_given;     /**< the file says what it is */
    const char *tapped_in; /**< what its bolt is screwed into; NULL = not given */
    double friction;       /**< of the slider on its seat */
    const char *faces;     /**< pair that the friction was taken for; NULL: given as a number, or the least of all */
    bool located;          /**< a stop behind the slider takes the load along the slot: friction need not */
    snub_bolt bolt;
} snub_clamp;

/** A row of a bearing catalogue. Keys as the catalogue's. */
typedef struct snub_bearing {
    const char *designation; /**< the standard basic number, "6203"; not unique: see `seal`, `clearance` */
    snub_place place;
    double bore, outside, width;      /**< m */
    double dynamic_load, static_load; /**< keys `dynamic`, `static`: C, C0, N */
    double f0;                        /**< 0 = not given */
    double fatigue;                   /**< Pu, N; 0 = not given */
    double max_speed;                 /**< rad/s; 0 = not given */
    double max_speed_grease;          /**< limit with grease and shields, for grease life, rad/s */
    const char *seal;                 /**< open, shield, low-contact, contact; NULL = not given */
    const char *clearance;            /**< ISO 5753-1: C2, CN, C3, C4; NULL = not given, the row is for any */
    int rows;
    double row_spacing;  /**< of the load centres, m; 0 = not given */
    const char *contact; /**< double row with contact angle: see snub_double_row_names; NULL: deep groove */
    const char *number;  /**< the house's own part number; NULL: none */
    const char *part;    /**< key of the catalogue's part that it is; NULL: none */
} snub_bearing;

/** How clean a bearing's grease stays: ISO 281's levels. Key `cleanliness`. */
typedef enum snub_cleanliness {
    SNUB_CLEAN_EXTREMELY,     /**< extreme */
    SNUB_CLEAN_HIGHLY,        /**< high */
    SNUB_CLEAN_NORMALLY,      /**< normal */
    SNUB_DIRTY_SLIGHTLY,      /**< slight-contamination */
    SNUB_DIRTY_TYPICALLY,     /**< typical-contamination */
    SNUB_DIRTY_SEVERELY,      /**< severe-contamination */
    SNUB_DIRTY_VERY_SEVERELY, /**< very-severe-contamination */
    SNUB_CLEANLINESSES_
} snub_cleanliness;

/** How a pulley runs on its bearings. */
typedef struct snub_bearing_seat {
    bool given;
    snub_place place;
    int bearing;           /**< index into hardware->bearings */
    int count;             /**< 1 or 2 */
    double spacing;        /**< between the middles of two, m */
    double offset;         /**< of the belt's mid-plane from the middle of the bearing(s), along z, m */
    bool outer_rotates;    /**< true: an idler; false: a turning shaft */
    double temperature;    /**< K; default 90 degC (rule of thumb, no published source) */
    double reliability;    /**< percent, default 90 */
    bool wide_grease;      /**< grease: wide-range | general (default) */
    const char *clearance; /**< C2, CN, C3, C4: the seat's own, else its row's, else CN */
    const char *fit;       /**< ISO 286 class of the bore ("M7") or shaft ("k5") in which the turning ring sits; NULL */
    double axial;          /**< steady axial load, N */
    double oil[2];         /**< kinematic viscosity of the grease's oil at 40 and 100 degC, m2/s; default by `grease` */
    snub_cleanliness cleanliness; /**< default by the bearing's seal */
    double application_factor;    /**< on the loads that its life is worked out with */
    bool oil_given, cleanliness_given, application_given;
    snub_supply supply; /**< default: its pulley's; its numbers are its row's */
} snub_bearing_seat;
/** The word of a level in the file. */
const char *snub_cleanliness_text(snub_cleanliness level);

/** A disc of a pulley beside the rim: hub, sheave, nose. z from the belt's mid-plane. */
typedef struct snub_disc {
    const char *name;
    double radius, low, high; /**< m */
} snub_disc;

/** What a pulley has beside what the belt asks for. */
typedef struct snub_pulley_hardware {
    bool given;
    bool placed;                      /**< the file says where the belt runs on it: `plane` or `stack` */
    int mount;                        /**< index; -1: none */
    snub_stack stack;                 /**< after the mount's stack where there is a mount, else from the datum */
    double tilt[2];                   /**< of the pulley as built, about x and y, rad */
    bool guides;                      /**< default: true on ribs, false on the back without flanges */
    double flange_front, flange_rear; /**< height over the rim, m; front is away from the engine */
    double flange_width;              /**< m */
    int disc_count;
    snub_disc *discs;
    snub_standoff standoff;
    snub_clamp clamp;
    snub_bearing_seat seat;
} snub_pulley_hardware;

/** Share of time that the engine spends at a speed. */
typedef struct snub_duty_point {
    double speed, share; /**< rad/s, shares add to 1 */
} snub_duty_point;

typedef struct snub_hardware {
    int obstacle_count;
    snub_obstacle *obstacles; /**< those that stand there once the kit is fitted */
    int removed_count;
    snub_obstacle *removed; /**< those that come off: nothing keeps clear of them */
    int mount_count;
    snub_mount *mounts;
    int bearing_count;
    snub_bearing *bearings;
    int shim_count; /**< thicknesses on hand, m, rising */
    double *shims;
    snub_place shims_place;
    int shims_most; /**< in one pack */
    int duty_count; /**< 0: the default duty */
    snub_duty_point *duty;
    snub_pulley_hardware *pulleys; /**< as many as the drive has */
} snub_hardware;

/** The bolt that holds a pulley's slider in its slot: the clamp's, else the standoff's; NULL: none is given. */
const snub_bolt *snub_slider_bolt(const snub_pulley_hardware *pulley);
/** Width of the slot in a mount's bracket, m: as given, else the hole of the slider's bolt; 0: not known.
 *  @param[in] mount  NULL: none is given */
double snub_slot_width(const snub_mount *mount, const snub_pulley_hardware *pulley);

/** Whether the bolt of a standoff on a mount is screwed into the mount's own bracket. */
bool snub_tapped_in_plate(const snub_mount *mount, const snub_standoff *standoff);

/** Modulus and strengths of a material by name. @return false where it is not known */
bool snub_material_find(const char *name, snub_material *out);
/** z at the end of a stack that starts at `from` [m]. */
double snub_stack_end(const snub_stack *stack, double from);
/** Length of all its parts of a kind [m]. */
double snub_stack_length(const snub_stack *stack, snub_stack_kind kind);

/* ---- contents of the kit beside the belt's plane ------------------------------------------------------------------
 */

/** A row of `contents:`: a hose, a bracket, loose bolts, the old tensioner that comes off. */
typedef struct snub_content {
    const char *name;
    snub_place place;
    int count;          /**< pieces; 0: this build has none */
    snub_supply supply; /**< default: new */
    const char *note;   /**< NULL: none */
    bool bolted;        /**< they are loose bolts: */
    snub_bolt bolt;     /**< its supply is not read: the row's counts */
} snub_content;

/* ---- tables that the reader and the mount computations share ----------------------------------------------------- */

/** Least engagement over diameter of a bolt of a tensile strength [Pa] in a tapped material.
 *  Materials: "steel", "grey-iron", "aluminium".
 *  @param[out] listed  false: the table has nothing for that strength, and what is returned is that of the strongest
 *  class it has, which cannot do @return 0 for a material that it has not */
double snub_engagement(const char *material, double tensile, bool *listed);

/** Greatest pressure [Pa] under a bolt's head that a metal stands: VDI 2230, docs/theory/mount.md, pressure. */
double snub_surface_pressure(const snub_material *metal);

/** Factors of a double row with contact angle: Fa/Fr <= e: Fr + y_low Fa; else x_high Fr + y_high Fa. */
typedef struct snub_double_row {
    const char *name;
    double e, y_low, x_high, y_high, y_static;
    const char *source;
} snub_double_row;
const snub_double_row *snub_double_row_find(const char *name);
/** How tight a fit of ISO 286 is, 0 the loosest: of a bore in upper case, of a shaft in lower. @return -1: none such */
int snub_fit_tightness(const char *fit, bool bore);
/** Fit that keeps a turning ring from creeping.
 *  @param[in] share  of the dynamic rating that the bearing carries at worst, @param[in] diameter  its bore, m */
const char *snub_fit_needed(bool bore, double share, double diameter);

/** Bytes of the standard basic number that a designation begins with, "6203", "618/8"; 0 where it begins with none.
 *  What follows is a maker's suffix. */
size_t snub_bearing_number(const char *text);
/** NULL-terminated names: "30 deg", "24 deg", "32 deg", "25 deg"... */
const char *const *snub_double_row_names(void);

#endif

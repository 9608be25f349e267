/** snub/kit.h - options into builds: loads over the rev range, belt pick, idler setting, the settled build and its one
 *  verdict, the chart. Room: kit.
 *
 *      file + variant + option row + overlays -> settled build -> findings and verdict
 *
 *  A build is settled once, over the whole rev range, by snub_build_make; every command, sheet, page request and export
 *  takes that struct. docs/theory/kit.md says how a belt and a setting are chosen and which cases a finding covers.
 */
#ifndef SNUB_KIT_H
#define SNUB_KIT_H

#include "snub/balance.h"
#include "snub/demand.h"
#include "snub/findings.h"
#include "snub/unjudged.h"

/* ---- loads over the rev range --------------------------------------------------------------------------------- */

enum {
    SNUB_JUDGED_SPEEDS = 41, /**< between idle and redline, ends counted: steps of some 130 rpm on a common engine */
    SNUB_KINKS_MOST = 64     /**< further speeds, where a table of the file bends */
};

/** Torque that every pulley absorbs at each speed and way of running. Does not depend on belt length or setting.
 *  With the throttle closed a blower is unloaded; when speed falls, inertia drives the belt. */
typedef struct snub_loads {
    int speeds, pulleys;
    double *speed;             /**< rad/s, rising; the first is 0, at rest */
    bool runs[SNUB_WAYS];      /**< false: the file gives no rate for it, or there is no speed but rest */
    double rate[SNUB_WAYS];    /**< rad/s2 */
    double *torque[SNUB_WAYS]; /**< [speed * pulleys + pulley], N m */
    double *peak[SNUB_WAYS];   /**< the same with each load at its peak; NULL where no pulley has one */
    int peaks;                 /**< pulleys that have one */
    int blower;                /**< index of the first blower; -1 */
    snub_match_result *match;  /**< [speed] steady, of that blower; NULL without one */
    struct snub_shake *shake;  /**< how unevenly the crank turns; NULL: loads of one speed alone */
} snub_loads;

/** Whether the pull at a pulley is told: it bears on the crank or on a driven accessory, or the file limits it. */
bool snub_hub_is_told(const snub_drive *drive, int pulley);
/** Index of the first pulley with a blower; -1: none. */
int snub_first_blower(const snub_drive *drive);
/** Torque over the crank's own speed ratio aside: what the throttle does and how fast the engine changes speed. */
snub_throttle snub_way_throttle(snub_way way);
/** How fast the engine changes speed in a way of running [rad/s2]; 0 where speed is held. */
double snub_way_rate(const snub_engine *engine, snub_way way);

/* ---- belt and setting ----------------------------------------------------------------------------------------- */

/** A belt with a setting for a build. */
typedef struct snub_choice {
    double length;                      /**< effective, m */
    const char *part;                   /**< key in the catalogue; NULL: none */
    double settings[SNUB_PULLEYS_MOST]; /**< per slot pulley, m; NAN elsewhere */
    double grip;                        /**< worst of the search's cases, design friction */
    double grip_served;                 /**< worst of the blowers; without one, of the set idler's neighbours */
    double rib_tension;                 /**< greatest total tension per rib over the range, N */
    double gap;                         /**< tightest, flap taken off, m */
    double wind_rest, wind_redline;     /**< nominal, rad; NAN without an arm */
    int tier;                           /**< of the search: 0 nothing to say; 1 more tension per rib than the limit;
                                             2 above design grip; 3 slack; 4 a gap under its limit */
    bool judged;                        /**< the whole build was judged with it */
    snub_level verdict;                 /**< where judged; else it is no better than this */
    bool serves;                        /**< known to give the build a verdict no worse than its own */
} snub_choice;

/** Choices that are kept beside the best. Every belt that fits is judged as far as it takes to know whether it is
 *  better. */
enum { SNUB_CHOICES_MOST = 48 };

/** Why the belt is the one it is. */
typedef enum snub_why {
    SNUB_WHY_WRITTEN, /**< the file gives belt and settings */
    SNUB_WHY_ONLY,    /**< no other on offer fits */
    SNUB_WHY_VERDICT, /**< the runner-up has a worse verdict */
    SNUB_WHY_GRIP,    /**< same verdict; the search puts it first: rib tension, grip, the blower's grip, arm in the
                           middle */
    SNUB_WHY_SALE,    /**< same verdict; the runner-up is discontinued, or a part of the same size that is not bought
                           before it */
    SNUB_WHY_SETTING, /**< the file gives the belt; the setting is chosen */
    SNUB_WHY_NEAREST, /**< no belt on offer fits at any setting; this comes nearest and does not fail, or is the file's
                         own */
    SNUB_WHYS_
} snub_why;

typedef struct snub_choices {
    int offered; /**< lengths on offer */
    int usable;  /**< of them that keep the arm in its work range, or the slot its tension */
    int count;   /**< kept: the best SNUB_CHOICES_MOST, best first once judged */
    bool cut;    /**< more may serve than are kept */
    snub_choice choice[SNUB_CHOICES_MOST];
    snub_why why;
    double wanted_length[2]; /**< effective lengths that would do at some setting, m; NAN: none would */
} snub_choices;

/** "7PK1926": ribs, section, effective length in whole mm (a tenth where it is not whole). */
void snub_designation(const snub_belt *belt, double length, char text[32]);

/* ---- the settled build ------------------------------------------------------------------------------------------ */

/** The greatest pull of the belt at a pulley over all cases, peaks of torque counted in. */
typedef struct snub_hub_pull {
    bool met;        /**< false: no case has a balance */
    double force[2]; /**< N */
    snub_condition at;
    double steady; /**< greatest without the crank's swing, N; the size of `force` where that does not count */
} snub_hub_pull;

/** What the first blower asks at redline, steady, throttle open, no slip. NANs without one. */
typedef struct snub_air_summary {
    double boost;          /**< Pa */
    double shaft_speed;    /**< rad/s */
    double rotor_speed;    /**< rad/s */
    double power, torque;  /**< W, N m, at the pulley */
    double belt_force;     /**< torque over pitch radius, N */
    double outlet, charge; /**< air out of the blower and into the engine, K */
    double mass_flow;      /**< kg/s */
} snub_air_summary;

/** Worst of a build's hardware over its pulleys and mounts. NANs where the file has none of a kind. */
typedef struct snub_hardware_summary {
    bool given;
    double bearing_life;    /**< least, reliability counted in, s */
    double bolt_slip;       /**< greatest share of a joint's friction used */
    double bolt_margin;     /**< least of safety against opening and against proof */
    double entry_angle;     /**< |entry| under load of the pulley where it is greatest with its tolerance, rad */
    double entry_tolerance; /**< that tolerance, rss, rad */
    bool swings;            /**< the crank's swing counts in life, slip and margin */
    int conflicts;          /**< things that come too near to each other, obstacles counted in */
} snub_hardware_summary;

struct snub_hardware_report;

/** A build's name: the variant, the package and the options' values that are laid over the file, and what the caller
 *  lays over all. */
typedef struct snub_row {
    const char *variant; /**< "" for the file's own front */
    const char *package; /**< "" where the file has none, or the file's own build is meant */
    int option_count;    /**< 0: not a row of the options */
    const snub_option *options;
    const char **values;          /**< per option, as written in the file */
    const snub_overlay *overlays; /**< the variant's, the package's, the options', then the caller's (--set, a
                                     change on the page) */
    int overlay_count, set_count; /**< set_count: of them, the caller's: the last */
    char code[SNUB_CODE_ROOM];    /**< snub_drive_code; "" until the row was read */
} snub_row;

/** A build, settled and judged. Memory: the arena that it was made in. */
typedef struct snub_build {
    /* what it is */
    const snub_document *document;
    snub_row row;
    bool afresh; /**< belt and settings were chosen although the file gives some */
    /* settled */
    snub_drive *drive;                  /**< as read; belt.length and the slots' settings are the settled ones */
    bool settled;                       /**< it has a belt; else the findings say why not */
    double length;                      /**< effective, m; NAN: none */
    const char *part;                   /**< the belt's key in the catalogue; NULL */
    const char *own_number;             /**< the house's own number for the belt; NULL */
    char designation[32];               /**< "7PK1926"; "" where there is no belt */
    double settings[SNUB_PULLEYS_MOST]; /**< m; NAN where there is no slot */
    bool length_chosen;                 /**< not the file's */
    bool setting_chosen[SNUB_PULLEYS_MOST];
    double own_length; /**< as the file (with overlays) writes it, m; NAN: it does not */
    double own_settings[SNUB_PULLEYS_MOST];
    snub_choices choices;
    snub_loads loads; /**< over the whole rev range */
    /* judged */
    bool judged;                    /**< false: only settled, as asked; findings are empty */
    bool laid;                      /**< the belt lies and is in balance with the engine at rest */
    snub_balance rest;              /**< there: nominal belt, arm friction at the middle; valid where laid */
    double worst_grip;              /**< of all cases, design friction */
    double blower_grip;             /**< of the first blower; NAN: none */
    double worst_grip_speed;        /**< rad/s */
    double slip_onset;              /**< lowest speed at which a pulley slips on limit friction, steady or rising, worst
                                         belt and arm friction, rad/s; NAN: holds to redline */
    double tightest_gap;            /**< flap taken off, arm where it works, m; INFINITY when nothing is near */
    double wrap_gain;               /**< fraction, of the first blower against its slot's low end; NAN: no slot */
    double wind_rest, wind_redline; /**< nominal, rad; NAN without an arm */
    double wind_low, wind_high;     /**< over all cases, rad; NAN without an arm */
    snub_hub_pull *hubs;            /**< per pulley; NULL where it was not judged */
    bool swings;                    /**< the crank's swing counts in the loads on hubs and hardware */
    const char *swing_missing;      /**< keys without which it does not, "`a`, `b`"; NULL: nothing is known of it */
    double nose_torque; /**< greatest that the belt takes from the crank nose, or gives it, N m; NAN where not judged */
    snub_condition nose_at;
    snub_air_summary air;
    snub_hardware_summary hardware;
    struct snub_hardware_report *report; /**< the hardware in full (snub/hardware.h); NULL: the file has none, or it
                                              was not judged */
    snub_findings findings;              /**< all of it: belt, arm, slip, air, clearance, fitting, hardware */
    snub_level verdict;
} snub_build;

typedef struct snub_build_request {
    bool afresh;      /**< choose belt and settings even where the file gives them, as a row of the chart does */
    bool free_length; /**< with afresh: a length that the file gives without a stock is left open as well */
    bool settle_only; /**< nothing is judged where nothing is to be chosen: for a hand that still moves */
    const double *only_lengths; /**< where not NULL: belts of these lengths alone are on offer, m */
    int only_count;
} snub_build_request;

/** Which rows are meant, by the names that the file gives them. */
typedef struct snub_named_rows {
    const char *variant; /**< NULL: all; else only this one ("" = the file's own front) */
    const char *package; /**< NULL: all that the file has; else only this one */
} snub_named_rows;

/** The file's own build: with a variant and a package where they are named (NULL or "": none), and the overlays of
 *  `reading` over all; no options.
 *  @return SNUB_OK; SNUB_BAD_INPUT (errors filled), also where the package excludes such a build; SNUB_NO_MEMORY */
snub_status snub_row_own(const snub_document *document, const snub_reading *reading, const snub_named_rows *named,
                         snub_row *row, snub_errors *errors);

/** A row with one more value of the caller's laid over it, last.
 *  @return false: memory is out */
bool snub_row_with(const snub_row *row, const snub_overlay *value, snub_arena *arena, snub_row *made);

/** Why a row's package does not come as this row.
 *  @param[in] drive  any of the file's
 *  @param[in,out] errors  gets it too; NULL: not told
 *  @return NULL: it does, or the row has no package */
const snub_exclusion *snub_row_excluded(const snub_document *document, const snub_drive *drive, const snub_row *row,
                                        snub_errors *errors);

/** Rows that a package does not come as, for one reason. */
typedef struct snub_excluded_rows {
    const snub_package *package;
    const snub_exclusion *exclusion;
    int count;
} snub_excluded_rows;

/** Every row that the kit offers. */
typedef struct snub_rows {
    const char *title, *kit_number;
    int option_count;
    const snub_option *options; /**< those that vary: an option at whose path the caller has laid a value does not */
    int count;
    snub_row *items;
    int same;          /**< rows left out because they are the same drive as another, under another name */
    int package_count; /**< of those that are meant; 0: the file has none */
    const snub_package **packages;
    int excluded_count; /**< reasons, in the file's order, each with how many rows it leaves out */
    snub_excluded_rows *excluded;
} snub_rows;

/** Variants times packages times options, in order: the last option's values change fastest; where the file has
 *  packages, every row is of one, and what a package excludes is left out. Every row is read once, so that a wrong
 * value is told before long work begins.
 *  @return SNUB_OK; SNUB_BAD_INPUT, SNUB_TOO_LARGE (errors filled); SNUB_NO_MEMORY */
snub_status snub_rows_list(const snub_document *document, const snub_reading *reading, const snub_named_rows *named,
                           snub_rows *rows, snub_errors *errors);

/** Read, settle and judge a build: the one way to a belt, a setting and a verdict.
 *
 *  A length or a setting that the file writes stands (unless `afresh`); what it leaves open is chosen over the whole
 *  rev range: of the belts on offer that fit, the one whose whole build has the best verdict; among equals the one that
 *  the search puts first. A build without a belt, one that cannot be laid, one whose loads have no answer: each is a
 *  finding, not an error.
 *  @param[in] reading  units, parts, maps; its arena holds the build; its overlays are not read: the row has them
 *  @param[in,out] errors  those of the file
 *  @return SNUB_OK; SNUB_BAD_INPUT (errors filled); SNUB_NO_MEMORY */
snub_status snub_build_make(const snub_document *document, const snub_reading *reading, const snub_row *row,
                            const snub_build_request *request, snub_build *build, snub_errors *errors);
/** The same from a drive that was read already; it is copied. A stock from the catalogue is then taken by length alone.
 *  For tests and benches. */
snub_status snub_build_of_drive(const snub_drive *drive, const snub_build_request *request, snub_arena *arena,
                                snub_build *build, snub_error *error);

/* ---- a state to be shown ----------------------------------------------------------------------------------------- */

/** Belts that can be shown; the first, the second and the last are those that are judged. */
typedef enum snub_shown_belt {
    SNUB_SHOW_NOMINAL,  /**< with its present stretch */
    SNUB_SHOW_SHORTEST, /**< in tolerance, new */
    SNUB_SHOW_LONGEST,  /**< in tolerance, with the present stretch */
    SNUB_SHOW_WORN      /**< the longest, worn */
} snub_shown_belt;

/** "nominal belt" */
const char *snub_shown_belt_text(snub_shown_belt belt);

/** Which state is shown. All zeros but the speed: steady or at `rate`, nominal belt, arm friction at the middle, warm
 *  while the engine runs. */
typedef struct snub_wanted_state {
    double speed; /**< rad/s; 0: engine stopped; NAN: redline (without an engine stopped) */
    double rate;  /**< rad/s2, throttle open; read where the way is SNUB_STEADY */
    snub_way way; /**< sets the throttle and the rate */
    snub_shown_belt belt;
    int side;           /**< of arm friction: -1, 0, 1 */
    snub_warmth warmth; /**< SNUB_ANY_WARMTH: warm while the engine runs */
    const char *peak;   /**< as in snub_condition; a pulley that has none: mean torque */
} snub_wanted_state;

/** The state in which a finding met its value. @return false: it has none */
bool snub_finding_shown_by(const snub_finding *finding, snub_wanted_state *wanted);

/** Where the belt drives what takes up its slack, when it has no place there: the arm or the slot of a fixed tensioner
 *  stands at an end of its way. */
typedef struct snub_travel_end {
    int pulley;    /**< that is carried; -1: it has a place, or nothing takes up slack, or the belt runs nowhere */
    double at;     /**< of that end: wind of the arm [rad], setting of the slot [m] */
    bool too_long; /**< the belt; else too short */
    double by;     /**< m, >= 0; NAN: not known */
} snub_travel_end;

/** A build in one state. Nothing is judged by it. */
typedef struct snub_state {
    snub_wanted_state wanted; /**< speed and rate as they came out */
    bool solved;              /**< false: no balance there; `why` says so and `balance` is not valid */
    snub_finding why;
    double fixed_setting; /**< of the fixed tensioner with that belt, m; NAN: there is none */
    snub_travel_end end;  /**< whether solved or not: past its stop the arm is a locked pulley */
    double engine_speed;  /**< rad/s */
    double rate;          /**< rad/s2 */
    snub_balance balance;
    double wind_band[2]; /**< wind at the low and the high edge of arm friction, rad; NAN: no balance there */
    bool has_match;
    snub_match_result match; /**< of the first blower */
} snub_state;

/** @param[in] wanted  which
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_build_state(const snub_build *build, const snub_wanted_state *wanted, snub_arena *arena,
                             snub_state *state, snub_error *error);

/* ---- a fixed tensioner ------------------------------------------------------------------------------------------- */

/** How the tension that a slot was set to fades: nominal belt, engine stopped, total tension of every span. */
typedef struct snub_retension {
    bool given;     /**< false: the drive has no fixed tensioner, or the belt does not lie; the rest are NANs */
    double set;     /**< as set, cold, N */
    double warm;    /**< the same belt and setting, warm, N; NAN: the file gives no growth */
    double worn;    /**< cold, stretched to `worn` and not set again, N; NAN: the file gives no wear */
    double again;   /**< cold: the least that still holds over the whole rev range, N; under it the tensioner is set
                         again. NAN: it does not hold even as set, or there is no engine */
    bool by_design; /**< `again` keeps every pulley within the design grip; else only from slipping on limit friction */
} snub_retension;
void snub_retension_find(const snub_build *build, snub_retension *result);

/* ---- a wished arm angle ------------------------------------------------------------------------------------------ */

/** A belt that the arm can hold, at the settings of the build. */
typedef struct snub_reach_belt {
    double length; /**< effective, m */
    char designation[32];
    double wind_rest, wind_redline; /**< nominal, rad; NAN: no balance there */
    double room;                    /**< least way of the arm to an end of its travel over all cases, rad */
    double tension;                 /**< of the belt with the engine stopped, nominal, N */
    double grip;                    /**< worst of all cases, design friction */
    snub_level verdict;             /**< of the whole build with it */
} snub_reach_belt;

enum { SNUB_REACH_MOST = 11 };

/** Which belt puts the arm where it is wished with the engine stopped: nominal belt, middle of the friction band. */
typedef struct snub_reach {
    double wind;   /**< wished, from free, rad */
    double length; /**< effective, m; NAN: there the belt is off a pulley, or the arm takes none up */
    int count;     /**< belts on offer that the arm holds within its travel, those nearest to that length; by length */
    int nearest;   /**< index of the nearest; -1 */
    snub_reach_belt belts[SNUB_REACH_MOST];
} snub_reach;

/** Settings are the build's; where it has none, the file's, and the low end of a free slot. Belts on offer are the
 * stock; without one whole mm.
 *  @param[in] build  of a drive with an arm
 *  @param[in] wind   from 0 to the arm's travel, rad
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_reach_find(const snub_build *build, double wind, snub_arena *arena, snub_reach *reach,
                            snub_error *error);

/* ---- chart: every build ---------------------------------------------------------------------------------------- */

/** A belt and how many builds it serves. */
typedef struct snub_belt_use {
    char designation[32];
    double length;
    int ribs;
    int count; /**< builds */
} snub_belt_use;

/** A slot of a build, as its bracket has it; builds with the same one share it. */
typedef struct snub_charted_slot {
    snub_slot slot;
    double width; /**< m; 0: not known */
    const struct snub_charted_slot *next;
} snub_charted_slot;

/** What a chart keeps of a pulley of a build. */
typedef struct snub_charted_pulley {
    const char *name;
    snub_place_kind sits;
    bool has_blower;
    bool setting_chosen;
    double diameter;               /**< snub_pulley.nominal_diameter, m */
    double wrap;                   /**< engine stopped, rad; NAN where the belt does not lie */
    const snub_charted_slot *slot; /**< that it is set in; NULL: none, or its setting follows from the tension */
    double setting, own_setting;   /**< as in snub_build, m; NAN where there is none */
} snub_charted_pulley;

struct snub_kept_finding;

/** What a chart keeps of a build: what its outputs show, as in snub_build where nothing else is said. All else is given
 *  back as soon as the build is judged, so that a chart may have many. Texts are shared between builds. */
typedef struct snub_charted {
    const snub_row *row;
    bool settled, laid, length_chosen;
    const char *part, *own_number, *designation;
    double length, own_length;
    const char *section; /**< of the belt */
    int ribs;
    int pulley_count;
    const snub_charted_pulley *pulleys;
    const char *crank;                 /**< name of that pulley */
    uint32_t cautions;                 /**< that its drive calls for (snub_drive.cautions) */
    const snub_unjudged_set *unjudged; /**< shared */
    bool has_arm;
    double grip_design; /**< limit in force */
    int offered, usable;
    snub_why why;
    double wanted_length[2];
    const snub_choice *second; /**< the runner-up; NULL: none */
    int serving_count, open_count;
    double *serving;   /**< lengths of belts that serve, best first, m */
    double *open;      /**< of those of which it is not known, m */
    bool first_serves; /**< serving[0] is the length that it takes */
    bool cut;          /**< more may serve */
    double worst_grip, worst_grip_speed, blower_grip, slip_onset;
    double tightest_gap, wrap_gain, wind_rest, wind_redline;
    snub_air_summary air;
    snub_hardware_summary hardware;
    snub_level verdict;
    int finding_count;
    const struct snub_kept_finding *kept; /**< snub_charted_findings gives them */
    char digest[65];                      /**< snub_drive_digest */
} snub_charted;

/** The findings of a charted build as they were judged, in room that is used again from build to build.
 *  @param[in,out] findings  zeroed before the first; valid until the next call with it
 *  @return false: memory is out */
bool snub_charted_findings(const snub_charted *build, snub_arena *arena, snub_findings *findings);
/** Index of a pulley by name; -1: the build has none of it. */
int snub_charted_pulley_named(const snub_charted *build, const char *name);
/** Index of the first pulley with a blower; -1: none. */
int snub_charted_blower(const snub_charted *build);

typedef struct snub_chart {
    const snub_document *document;
    snub_rows rows;
    int part, parts; /**< build i is that of row part + i * parts, from 0, where the kit has all its rows */
    int build_count; /**< as many as rows */
    snub_charted *builds;
    snub_arena kept;                         /**< what they hold */
    double limits[SNUB_LIMITS_];             /**< in force for the first build */
    int limits_given_at[SNUB_LIMITS_];       /**< as snub_limit_given_at */
    const char *limits_source[SNUB_LIMITS_]; /**< of their defaults */
    snub_bare bare;                          /**< of the first build */
    int belt_count;                          /**< belts that the builds take */
    snub_belt_use *belts;
    int fewest_count; /**< fewest different belts that serve every build that has one, each with a verdict no worse */
    snub_belt_use *fewest;
    bool has_fewest;   /**< they were looked for */
    bool fewest_exact; /**< false: greedy, the search was cut */
    bool on_fewest;    /**< the builds take the fewest belts */
} snub_chart;

/** Progress of long work. Return false to stop it. May be called from several threads, one at a time. */
typedef bool (*snub_progress)(int done, int all, void *context);

typedef struct snub_chart_request {
    int threads; /**< 0: as OpenMP decides */
    snub_named_rows named;
    bool fewest;            /**< chart the kit on its fewest belts alone */
    bool builds_only;       /**< fewest belts are not looked for: the same builds in half the time */
    int part, parts;        /**< of the rows only each `parts`th from `part` on (from 0); parts 0: all */
    snub_progress progress; /**< may be NULL */
    void *context;
} snub_chart_request;

/** Work out every build: variants times options, each chosen afresh. Results do not depend on the number of threads.
 *  @param[in] reading  units, arena for the chart, overlays that hold for every build, parts
 *  @return SNUB_OK; SNUB_BAD_INPUT (errors filled); SNUB_NO_MEMORY; SNUB_STOPPED */
snub_status snub_chart_drive(const snub_document *document, const snub_reading *reading,
                             const snub_chart_request *request, snub_chart *chart, snub_errors *errors);
void snub_chart_free(snub_chart *chart);
/** One fingerprint of all its builds (snub_drive_digest), in order. */
void snub_chart_digest(const snub_chart *chart, char text[65]);

/* ---- positions on offer -------------------------------------------------------------------------------------------
 */

/** What the builds with one of an option's values come to. */
typedef struct snub_rank {
    const char *value;         /**< as written, on one line */
    int place;                 /**< among the option's values in the file, from 0 */
    int builds;                /**< that have it */
    int counts[SNUB_FAIL + 1]; /**< by verdict; a note counts as a pass */
    double grip;               /**< worst of them, design friction; INFINITY where one has no belt */
    double gap;                /**< tightest of them, flap taken off, m */
    int belts;                 /**< different belts that they take */
} snub_rank;

/** True for an option whose values are no single numbers or words: positions, slots, arms. */
bool snub_is_place_option(const snub_option *option);
/** The values of an option side by side, best first: fewest builds that fail, then fewest marginal ones, then the least
 *  worst grip; the file's order among equals.
 *  @param[out] ranks  room for the option's values
 *  @return false: memory is out */
bool snub_rank_values(const snub_chart *chart, int option, snub_arena *arena, snub_rank *ranks);

#endif

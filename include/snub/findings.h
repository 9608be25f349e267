/** snub/findings.h - the list of rules, and what a judge finds. Room: kit.
 *
 *  A finding is a row of the list (its rule, level and words), the names it speaks of, and its numbers in SI. It holds
 *  no sentence: `report` makes the words, in the language and the units of the reader.
 *  How to add one: CONTRIBUTING.md.
 */
#ifndef SNUB_FINDINGS_H
#define SNUB_FINDINGS_H

#include "snub/drive.h"

/* ---- the list ---------------------------------------------------------------------------------------------------- */

typedef enum snub_level { SNUB_PASS, SNUB_NOTE, SNUB_MARGINAL, SNUB_FAIL } snub_level;
/** "pass", "note", "marginal", "fail" */
const char *snub_level_text(snub_level level);

/** What a rule is about; which command shows it in detail. */
typedef enum snub_area {
    SNUB_AREA_BELT,      /**< belt and pulleys as such */
    SNUB_AREA_ARM,       /**< tensioner: arm or slot */
    SNUB_AREA_SLIP,      /**< grip and slack */
    SNUB_AREA_MOTION,    /**< the drive swinging */
    SNUB_AREA_AIR,       /**< blower and charge */
    SNUB_AREA_CLEARANCE, /**< what comes too near to what */
    SNUB_AREA_FITTING,   /**< putting the belt on */
    SNUB_AREA_HARDWARE,  /**< alignment, mounts, bolts, bearings */
    SNUB_AREAS_
} snub_area;
/** "belt", "arm", ... */
const char *snub_area_text(snub_area area);
/** The command that shows an area in detail: "snub check", "snub mount". */
const char *snub_area_command(snub_area area);

typedef enum snub_rule {
#define SNUB_RULE(name, id, area) SNUB_RULE_##name,
#define SNUB_WORDING(rule, name, level, limit, unit, decimals, words, basis)
#include "snub/rule_list.inc"
    SNUB_RULES_
} snub_rule;

/** A way for a rule to speak: one level, one sentence or two. */
typedef enum snub_wording {
#define SNUB_RULE(name, id, area)
#define SNUB_WORDING(rule, name, level, limit, unit, decimals, words, basis) SNUB_SAYS_##name,
#include "snub/rule_list.inc"
    SNUB_WORDINGS_
} snub_wording;

typedef struct snub_rule_info {
    const char *id; /**< "grip"; also its anchor in docs/guide/findings.md */
    snub_area area;
} snub_rule_info;
const snub_rule_info *snub_rule_describe(snub_rule rule);

enum { SNUB_NO_LIMIT = -1 };

typedef struct snub_wording_info {
    snub_rule rule;
    snub_level level;
    int limit;      /**< snub_limit, or SNUB_NO_LIMIT: the judge gives the limit, or there is none */
    snub_unit unit; /**< of value and limit as shown */
    int decimals;
    const char *words; /**< English, with {places}; translated by `report` */
    const char *basis; /**< where the limit comes from; NULL: as the table of limits says, or the drive file */
} snub_wording_info;
const snub_wording_info *snub_wording_describe(snub_wording wording);

/* ---- the conditions of a finding --------------------------------------------------------------------------------- */

/** Ways of running. */
typedef enum snub_way {
    SNUB_STEADY,     /**< throttle open, speed held */
    SNUB_RISING,     /**< throttle open, at engine.accel_rate */
    SNUB_FALLING,    /**< throttle closed, at engine.decel_rate */
    SNUB_SHUT,       /**< throttle shut, speed held (overrun downhill) */
    SNUB_SHIFT,      /**< gear change without lifting: throttle open, at engine.decel_rate */
    SNUB_BLIP,       /**< out of gear, throttle snapped open: at engine.blips, the blower at the boost of full load */
    SNUB_AFTER_BLIP, /**< out of gear, throttle closed again: at -snub_way_rate, see docs/theory/sweep.md */
    SNUB_WAYS
} snub_way;
/** "steady", "accelerating", "overrun", "closed throttle", "no-lift shift", "throttle blip", "after a blip" */
const char *snub_way_text(snub_way way);

/** A belt within tolerance and wear. */
typedef enum snub_corner { SNUB_NOMINAL, SNUB_SHORTEST, SNUB_LONGEST, SNUB_CORNERS } snub_corner;
/** "nominal", "shortest", "longest, worn" */
const char *snub_corner_text(snub_corner corner);

typedef enum snub_moment {
    SNUB_LAID_OUT, /**< geometry: at no speed */
    SNUB_ON_FITTING,
    SNUB_AT_REST, /**< engine stopped, belt on */
    SNUB_RUNNING
} snub_moment;

/** Engine and belt cold or warm; one state where the file gives no growth to tell them apart. */
typedef enum snub_warmth { SNUB_ANY_WARMTH, SNUB_COLD, SNUB_WARM } snub_warmth;

/** When a value was met. */
typedef struct snub_condition {
    snub_moment moment;
    bool swings;  /**< at the peak of the crank's swing there */
    double speed; /**< engine, rad/s; read where running */
    snub_way way;
    snub_corner corner;
    int side; /**< arm friction: -1 low, 0 middle, +1 high */
    snub_warmth warmth;
    const char *peak; /**< pulley whose load is at its peak just then; SNUB_ALL_PEAKS: all of them; NULL: mean torque */
} snub_condition;
/** All loads that have peaks, at once: no pulley has this name. */
#define SNUB_ALL_PEAKS ""
/** "laid out", "fitting", "engine stopped", or the state of running. */
const char *snub_condition_text(const snub_condition *condition);

/* ---- findings ---------------------------------------------------------------------------------------------------- */

/** What `other` of a finding names. */
typedef enum snub_other {
    SNUB_OTHER_NAME, /**< a thing of the file */
    SNUB_OTHER_SPAN, /**< the span from `other` to `second` */
    SNUB_OTHER_BOLT, /**< bolt `second` of mount `other` */
    SNUB_OTHER_WORDS /**< English words that are translated */
} snub_other;

/** A value or text with the name of its place in the words. */
typedef struct snub_named {
    const char *name;
    const char *text; /**< NULL: a number */
    bool words;       /**< text is English with {places} of its own, and is translated; else it stands as it is */
    double number;    /**< SI */
    snub_unit unit;
    int decimals;
    snub_rounding rounding;
} snub_named;

/** The change of the file that a finding's words propose. */
typedef struct snub_mend {
    const char *path;     /**< as --set takes it; NULL: the words propose none that is a value */
    int count;            /**< of values: 1, or 2 for a pair */
    const char *value[2]; /**< as the file would write them; NULL: the number */
    double number;        /**< bare, in the file's own unit */
} snub_mend;

enum { SNUB_NAMED_MOST = 16 };

typedef struct snub_finding {
    snub_wording wording;
    snub_level level;   /**< of the wording */
    const char *pulley; /**< NULL: of none; place {pulley} */
    snub_other kind;
    const char *other;        /**< NULL: none; place {other} */
    const char *second;       /**< NULL: none; place {second} */
    double value, limit;      /**< SI; NAN: does not apply; places {value}, {limit} */
    int line;                 /**< of the drive file, of what it speaks of; 0: none */
    const char *limit_source; /**< of the limit's default for the belt's section; NULL: as the list of limits has it */
    int limit_line;           /**< as snub_limit_given_at; 0: the basis of the wording, or the default */
    snub_condition at;
    const struct snub_range *range;         /**< met at an end of this range of the file; NULL: as the file is read */
    int end;                                /**< 0 its low end, 1 its high one */
    const char *set[SNUB_PULLEYS_MOST + 2]; /**< what shows it beside the case: "belt.stiffness=10000", belt and
                                               settings where they were chosen; `set_count` of them */
    int set_count;
    snub_mend mend;
    int named_count;
    snub_named named[SNUB_NAMED_MOST];
} snub_finding;

/** Findings of one build, worst first once sorted. Memory: the arena given to the call that fills it. */
typedef struct snub_findings {
    snub_finding *items;
    int count, room;
    bool failed; /**< memory ran out: the list is not whole */
} snub_findings;

/** Whether the first is worse: by its level, then by its distance from the limit. Meant for two of one rule. */
bool snub_finding_worse(const snub_finding *a, const snub_finding *b);
/** How many of a level in an area; SNUB_AREAS_: in all. */
int snub_findings_count(const snub_findings *findings, snub_level level, snub_area area);

#endif

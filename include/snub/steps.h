/** snub/steps.h - how a build is fitted: one list of steps that follows from the drive, and what is read on it then.
 *  Room: kit.
 *
 *  A step is a row of the list (its kind and what it says), the parts that it is about, and its numbers in SI. It holds
 * no sentence: `report` makes the words. The order is that of what is in the way of what: docs/decisions/042.
 */
#ifndef SNUB_STEPS_H
#define SNUB_STEPS_H

#include "snub/hardware.h"

/* ---- what is read with the engine stopped ------------------------------------------------------------------------ */

/** What the arm and the pluck should read with the engine stopped and cold, over belt tolerance and arm friction. A
 * fixed tensioner is set by the pluck: then 3 % of frequency either way, rule of thumb. */
typedef struct snub_expectation {
    bool known;
    double wind[3];      /**< lowest, nominal, highest, rad; NAN without an arm */
    int span;            /**< to pluck: the longest that the arm does not end; -1: none */
    double length;       /**< of that span, nominal, m */
    double frequency[3]; /**< lowest, nominal, highest, Hz */
    double tension[3];   /**< N */
} snub_expectation;

/** Balances at rest of a settled build for the shortest, nominal and longest belt, at both edges of the arm's
 *  friction. */
void snub_expect(const snub_build *build, snub_expectation *expectation);
/** Frequency of the span to pluck at another tension, Hz: with the root of the tension, as of a string.
 *  @param[in] tension  N, engine stopped */
double snub_expected_frequency(const snub_expectation *expectation, double tension);

/** What a chromatic tuner shows of a frequency: equal temperament, A4 = 440 Hz. */
typedef struct snub_note {
    int pitch;  /**< 0 C, 1 C sharp, ... 11 B */
    int octave; /**< A4 is in 4 */
    int cents;  /**< beside that note, -50 to 50 */
} snub_note;
/** @return false: out of what a phone's tuner hears (55 to 4186 Hz, rule of thumb) */
bool snub_note_of(double frequency, snub_note *note);
/* ---- the mark of an idler ---------------------------------------------------------------------------------------- */

/** What can be read at the engine that moves with an idler in its slot. */
typedef enum snub_slot_reading_kind {
    SNUB_READS_CENTRES, /**< middle of its bolt to the middle of another's */
    SNUB_READS_RIMS,    /**< its rim to another's */
    SNUB_READS_SPAN,    /**< free length of a span beside it */
    SNUB_READS_ARM,     /**< the arm's angle */
    SNUB_READS_PLUCK,   /**< frequency of a span beside it */
    SNUB_READS_PLUCKS   /**< of the span before it over that of the one behind it */
} snub_slot_reading_kind;

typedef struct snub_slot_reading {
    snub_slot_reading_kind kind;
    int other;      /**< pulley that it is measured to, or that the span leads to; -1: none */
    double nominal; /**< SI; a plain number for two plucks */
    double error; /**< of the reading: what hand and eye miss, and half of what belt tolerance and arm friction move */
    double at[2]; /**< with the mark short, and over; NAN: no balance there, or no room in the slot */
    double score; /**< errors for each m of mark, on the side where they are fewer */
} snub_slot_reading;

enum { SNUB_SLOT_READINGS_MOST = 2 * SNUB_PULLEYS_MOST + 6 };

typedef struct snub_slot_mark {
    int slot;         /**< pulley */
    double off[2];    /**< by how much the mark is tried short and over, m: 5 mm, or less at the slot's ends */
    int count, best;  /**< best -1: there is none */
    bool tells;       /**< the best shows a mark that is off by 5 mm, even read with its error the other way */
    double low, high; /**< of the best: in between it is right */
    snub_slot_reading reading[SNUB_SLOT_READINGS_MOST];
} snub_slot_mark;

/* ---- the list ---------------------------------------------------------------------------------------------------- */

/** Where a caution stands on the fitting sheet: before the steps that it is for. */
typedef enum snub_caution_place {
    SNUB_PLACE_START, /**< on page 1, before everything */
    SNUB_PLACE_BELT,  /**< before the old belt comes off */
    SNUB_PLACE_METAL, /**< before metal is taken off */
    SNUB_PLACE_BOLTS, /**< before what is bolted on */
    SNUB_PLACE_RUN,   /**< before the engine runs */
    SNUB_PLACE_LOAD,  /**< before the first full load */
    SNUB_PLACES_
} snub_caution_place;

typedef enum snub_step_kind {
#define SNUB_STEP(name, stem, place) SNUB_STEP_##name,
#include "snub/step_list.inc"
    SNUB_STEPS_
} snub_step_kind;

typedef enum snub_step_wording {
#define SNUB_STEP_SAYS(name, words) SNUB_STEP_SAYS_##name,
#include "snub/step_list.inc"
    SNUB_STEP_WORDINGS_
} snub_step_wording;

typedef struct snub_step_info {
    const char *stem; /**< what its id begins with */
    snub_caution_place place;
} snub_step_info;
const snub_step_info *snub_step_describe(snub_step_kind kind);
/** English, with {places}. */
const char *snub_step_words(snub_step_wording wording);

enum { SNUB_STEP_SAYS_MOST = 8, SNUB_STEP_NAMED_MOST = 16, SNUB_STEP_MEASURES_MOST = 2 };

/** A distance that a step has measured. */
typedef struct snub_step_measure {
    int from, to;  /**< pulleys */
    bool rims;     /**< from rim to rim, else between the middles of their bolts */
    double length; /**< m */
} snub_step_measure;

/** What a step is about on the front of the engine: its picture has that dark, and the rest light. */
typedef struct snub_step_parts {
    bool pulley[SNUB_PULLEYS_MOST];
    bool slot[SNUB_PULLEYS_MOST]; /**< that this pulley sits on */
    bool span[SNUB_PULLEYS_MOST]; /**< behind this pulley */
    bool obstacle[SNUB_OBSTACLES_MOST];
    int removed; /**< obstacle that comes off: index in the hardware's list of these; -1 */
    int mount;   /**< its bolts, in the order of tightening: index in the report of hardware; -1 */
    bool arm, belt;
    bool laid;    /**< the belt is on, or goes on: before that it is not drawn */
    bool sets;    /**< the mark of its slot is set */
    bool reads;   /**< the arm's angle is read */
    bool plucked; /**< its spans are */
    int winds;    /**< way in which the arm is moved: 1 towards its stop, -1 back; 0: not */
    int slides;   /**< way in which the slider is pushed: 1 away from its slot's zero, -1 towards it; 0: not */
    int turns;    /**< pulley that is turned by hand; -1 */
    int measure_count;
    snub_step_measure measure[SNUB_STEP_MEASURES_MOST];
} snub_step_parts;

typedef struct snub_step {
    const char *id; /**< unique in its list: "set wrap idler" */
    snub_step_kind kind;
    snub_caution_place place;
    int pulley;                   /**< index; -1: about none */
    int mount, bolt;              /**< indices in the report of hardware; -1 */
    int shims;                    /**< place of the shim advice; -1 */
    int conflict;                 /**< of the report of hardware; -1 */
    const snub_slot_mark *mark;   /**< that it proves; NULL */
    const char *own;              /**< words of the drive file, before what it says; NULL: none */
    const snub_step_parts *shows; /**< NULL: nothing, or its picture is the file's own or none */
    const snub_step_change *file; /**< that gives a picture of its own, in place of snub's; NULL */
    bool bare;                    /**< the file wants no picture */
    int picture;                  /**< number of its picture; neighbours that would show the same have one; 0: none */
    bool tightens;                /**< a bolt for good */
    double torque;                /**< N m; NAN: where it tightens, its maker's figure holds; else none */
    int says_count;
    snub_step_wording says[SNUB_STEP_SAYS_MOST];
    int named_count; /**< for the words; places that are lists are filled by `report` */
    snub_named named[SNUB_STEP_NAMED_MOST];
} snub_step;

enum { SNUB_LEFT_OUT_MOST = 200 };

typedef struct snub_steps {
    int count, room;
    snub_step *items;
    bool failed; /**< memory ran out: the list is not whole */
    snub_expectation expect;
    int left_out_count; /**< of the file's changes, those that left a step out */
    const snub_step_change *left_out[SNUB_LEFT_OUT_MOST];
} snub_steps;

/** The steps of a build, in their order.
 *  @param[in] build  settled and judged; what fails has steps too: whoever prints them must not
 *  @return SNUB_OK; SNUB_BAD_INPUT: `steps:` of the file names a step that there is none of, or a value that it has
 * not; SNUB_NO_MEMORY */
snub_status snub_steps_list(const snub_build *build, snub_arena *arena, snub_steps *steps, snub_error *error);

/** Which end of a slot is its zero, by where it lies: "left end"; to be translated. */
const char *snub_slot_zero_end(const snub_slot *slot);

#endif

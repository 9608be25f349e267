/** Making steps, one after another. Private to src/kit. */
#ifndef SNUB_KIT_STEP_MAKE_H
#define SNUB_KIT_STEP_MAKE_H

#include "snub/contents.h"
#include "snub/steps.h"

typedef struct snub_step_maker {
    const snub_build *build;
    const snub_drive *drive;
    const snub_hardware_report *report; /**< NULL: the file has no hardware */
    snub_arena *arena;
    snub_steps *steps;
    snub_step spare; /**< written to where memory is out */
} snub_step_maker;

/** A step at the end of the list, about nothing yet.
 *  @param[in] name,of  for its id: "shims NAME of OF"; NULL: none
 *  @return good until the next is made; never NULL */
snub_step *snub_step_add(snub_step_maker *maker, snub_step_kind kind, snub_step_wording says, const char *name,
                         const char *of);
/** One sentence more. */
void snub_step_also(snub_step *step, snub_step_wording says);
void snub_step_number(snub_step *step, const char *place, double si, snub_unit unit, int decimals);
/** A length that must not be exceeded: never shown as more than it is. */
void snub_step_most(snub_step *step, const char *place, double metres);
void snub_step_name(snub_step *step, const char *place, const char *name);
/** English that is translated. */
void snub_step_text(snub_step *step, const char *place, const char *english);
/** It tightens a bolt for good. @param[in] torque  N m; NAN or 0: as its maker states */
void snub_step_tightens(snub_step *step, double torque);
/** Its bolt's thread, class and condition. @param[in] bolt  NULL: not known */
void snub_step_bolt(snub_step *step, const snub_bolt *bolt);

/** Does a pulley stay as it is: it is on the engine already, and what it stands on too. */
bool snub_step_stays(const snub_drive *drive, int pulley);
/** Steps of what comes off (SNUB_SUPPLY_REMOVED), or is reworked (SNUB_SUPPLY_CHANGED). */
void snub_steps_of_supply(snub_step_maker *maker, snub_supply_how how);

/** The parts of it, in order. */
void snub_steps_bolt_on(snub_step_maker *maker);
void snub_steps_lay_belt(snub_step_maker *maker);
void snub_steps_prove(snub_step_maker *maker);
/** What the file changes of them.
 *  @return SNUB_OK; SNUB_BAD_INPUT */
snub_status snub_steps_own(snub_step_maker *maker, snub_error *error);

/** What each step shows, and which steps have one picture. */
void snub_steps_show(snub_step_maker *maker);

#endif

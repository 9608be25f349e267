/** A fixed tensioner that has its tension, or has not. Private to src/kit. */
#ifndef SNUB_KIT_FIXED_TENSIONER_H
#define SNUB_KIT_FIXED_TENSIONER_H

#include "snub/kit.h"

/** A belt that its slot does not bring to its tension.
 *  @param[in] lack  as snub_lock_set gives it, m
 *  @return false: memory is out, and the lengths that fit are not told */
bool snub_lock_finding(const snub_drive *drive, const snub_loads *loads, snub_shown_belt belt, double lack,
                       snub_finding *f);

/** Belt that a slot is set with, its pitch length cold, m. @param[in] length, stretch  as snub_belt_shown gives them */
double snub_lock_belt(const snub_drive *drive, double length, double stretch);
/** Settings of the build with its fixed tensioner brought to its tension by the nominal belt; errors as snub_lock_set.
 */
snub_status snub_lock_nominal(const snub_build *build, double *settings, snub_error *error);

/** Rig of a settled build, at its settings.
 *  Errors: SNUB_NO_EQUILIBRIUM where its fixed tensioner was not brought to its tension; as snub_rig_prepare. */
snub_status snub_build_rig(const snub_build *build, bool warm, snub_rig *rig, snub_error *error);

#endif

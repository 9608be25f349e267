/** Loads of a drive over the rev range. Private to src/kit. */
#ifndef SNUB_KIT_LOADS_H
#define SNUB_KIT_LOADS_H

#include "snub/kit.h"

/** Loads from rest through idle to redline; without an engine at rest alone.
 *  @param[in] speeds  how many between idle and redline, ends counted; >= 2. The speeds at which a load table or the
 *                     engine's filling bends are taken in as well: a peak between two steps is seen
 *  @return SNUB_OK; SNUB_NO_MEMORY; what demand says, with the pulley's name as `key` */
snub_status snub_loads_prepare(const snub_drive *drive, int speeds, snub_arena *arena, snub_loads *loads,
                               snub_error *error);
/** Loads at one speed [rad/s >= 0] of a way of running; and at rest.
 *  @param[in] rate  [rad/s2] of SNUB_STEADY; the other ways have their own
 *  @return as snub_loads_prepare */
snub_status snub_loads_at(const snub_drive *drive, double speed, snub_way way, double rate, snub_arena *arena,
                          snub_loads *loads, snub_error *error);

/** Case for a speed index and way of loads.
 *  @param[in] side  of the arm's friction band
 *  @param[in] effective  belt length [m], @param[in] stretch permanent [fraction]
 *  @param[in] warm  the belt's thermal growth counts */
void snub_loads_case(const snub_drive *drive, const snub_loads *loads, int speed, snub_way way, double side,
                     double effective, double stretch, bool warm, snub_case *wanted);
/** States of peaks beside the mean torque that are judged: each pulley that has a peak by itself, and where there are
 *  several all at once. */
int snub_peak_states(const snub_loads *loads);
/** Raises a case of snub_loads_case to one of them, 0 ... snub_peak_states - 1; at rest nothing changes.
 *  @return the pulley's name, SNUB_ALL_PEAKS where it is all */
const char *snub_loads_peak(const snub_drive *drive, const snub_loads *loads, int speed, snub_way way, int state,
                            snub_case *wanted);
/** The state by its name; -1: none. */
int snub_peak_state(const snub_drive *drive, const snub_loads *loads, const char *name);
/** What the shaft of a pulley absorbs [N m >= 0], its inertia left out: what its housing hands on to its mount.
 *  @param[in] peak  as in snub_condition */
double snub_loads_absorbed(const snub_drive *drive, const snub_loads *loads, int speed, snub_way way, const char *peak,
                           int pulley);
/** Whether its shaft drives something: else only bearings and its own inertia hold it back. */
bool snub_takes_power(const snub_pulley *pulley);
/** Belt of a corner as it is shown. */
snub_shown_belt snub_corner_belt(snub_corner corner);
/** Effective length [m] and permanent stretch of a belt whose nominal length is given. */
double snub_belt_shown(const snub_belt *belt, double nominal, snub_shown_belt which, double *stretch);
/** Stretch that a belt of now `stretch` had when its fixed tensioner was set: set again as it wears, or once. */
double snub_stretch_when_set(const snub_drive *drive, double stretch);

#endif

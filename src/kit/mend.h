/** src/kit/mend.h - the value that a finding's words propose, as the file would have it (inside src/kit only). */
#ifndef SNUB_KIT_MEND_H
#define SNUB_KIT_MEND_H

#include "hardware_study.h"

/** One number of the file, in the file's own units (`units: us`), rounded there to the side of the words.
 *  @param[in] path  as --set takes it, in the arena; NULL (memory is out): nothing is proposed */
void snub_mend_number(snub_finding *finding, const snub_drive *drive, const char *path, double si, snub_unit unit,
                      int decimals, snub_rounding rounding, snub_arena *arena);

/** Places of a torque: a tenth of it must not be lost by rounding. */
int snub_torque_places(double torque);
/** A bolt drawn to `factor` of its preload, at the key that the file has for it: its preload, else its torque.
 *  Rounded up for factors over 1, where nothing is proposed that takes it over proof; else rounded down.
 *  @return whether it is proposed */
bool snub_mend_bolt(snub_finding *finding, const snub_screwed *screwed, double factor);
/** The same for friction that is used up to `use`: to the marginal limit, or else to 1 where that mends the finding.
 *  Adds {more} to the words, and {wanted}, the preload, where it is proposed. */
void snub_mend_slip(snub_finding *finding, const snub_screwed *screwed, double use);
/** The words {more}, with {wanted} in them where a preload is proposed. */
const char *snub_more_preload(bool some);

#endif

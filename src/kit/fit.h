/* Which lengths would fit, for findings about a belt that does not. Private to the room. */
#ifndef SNUB_KIT_FIT_H
#define SNUB_KIT_FIT_H

#include "finding.h"
#include "snub/kit.h"

/** Fills the place {fit}: effective lengths that would do at the drive's settings, over tolerance, wear, arm friction
 * and the rev range; or that none does.
 *  @return false: memory is out */
bool snub_finding_fit(const snub_drive *drive, const snub_loads *loads, snub_finding *finding);
/** Fills the place {by}: " by 31.5 mm"; nothing where it is NAN. */
void snub_finding_by(snub_finding *finding, double amount);

#endif

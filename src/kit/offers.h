/* One blower pulley on offer. Private to the room. */
#ifndef SNUB_OFFERS_H
#define SNUB_OFFERS_H

#include "snub/sweep.h"

/** The row of a build with one value of that option, settled, judged and swept.
 *  @param[out] made  the row; its overlays are in the arena
 *  @return SNUB_OK (a value that cannot be read, or is excluded, has `why`); SNUB_NO_MEMORY */
snub_status snub_offer_make(const snub_document *document, const snub_reading *reading, const snub_build *own,
                            const snub_option *option, int value, const snub_sweep_request *request, snub_arena *arena,
                            snub_pulley_offer *offer, snub_error *error);

#endif

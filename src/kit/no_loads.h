/** Private to src/kit. */
#ifndef SNUB_KIT_NO_LOADS_H
#define SNUB_KIT_NO_LOADS_H

#include "snub/findings.h"

/** Why the torques cannot be worked out. @param[in] why  what the loads say */
snub_finding snub_no_loads_finding(const snub_drive *drive, const snub_error *why, snub_arena *arena);

#endif

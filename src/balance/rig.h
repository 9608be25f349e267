/** A rig without its drive. Private to src/balance. */
#ifndef SNUB_BALANCE_RIG_H
#define SNUB_BALANCE_RIG_H

#include "snub/balance.h"

/** Lay the path of a rig again, whose circles (`path.centre`, `path.radius`), arm or belt were changed.
 *  @return as snub_rig_prepare */
snub_status snub_rig_lay_again(snub_rig *rig);

#endif

/** sweep_wish.h - `snub sweep --want-boost`: which pulley makes a wished boost. */
#ifndef SNUB_CLI_SWEEP_WISH_H
#define SNUB_CLI_SWEEP_WISH_H

#include "load.h"

/** Answer on standard output, or in --output.
 *  @param[out] nearest  the build with the nearest blower pulley of the kit, in the run's arena; NULL: none has a belt
 *                       that runs
 *  @return exit code; CLI_BAD: the error is printed */
int cli_wish(cli_run *run, const cli_drive *loaded, bool json, const snub_build **nearest);

#endif

/** motion_run.h - `snub motion --run`: a build step by step in time. */
#ifndef SNUB_CLI_MOTION_RUN_H
#define SNUB_CLI_MOTION_RUN_H

#include "load.h"

/** NULL-terminated names of the runs. */
extern const char *const cli_run_names[];

/** The answer to --run NAME. @return exit code */
int cli_motion_run(cli_run *run, const cli_drive *loaded);

#endif

/** tolerate_builds.h - `snub tolerate --builds`: kits of many builds in one run. */
#ifndef SNUB_CLI_TOLERATE_BUILDS_H
#define SNUB_CLI_TOLERATE_BUILDS_H

#include "tolerate_study.h"

/** Whether the other options go with --builds. @return false: it was said which do not, and what to do */
bool cli_builds_fit(cli_run *run);
/** Judge the kits of the builds that --builds names, in the order of the chart, each with what `--build N` would give
 * it.
 *  @param[out] builds  in the run's arena; those up to Control-C
 *  @return false: it was said what is wrong */
bool cli_tolerate_builds(cli_run *run, const cli_drive *loaded, const cli_tolerate_wish *wish,
                         snub_tolerate_builds *builds);

#endif

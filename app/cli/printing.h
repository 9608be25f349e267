/** printing.h - what drawings and sheets share. */
#ifndef SNUB_CLI_PRINTING_H
#define SNUB_CLI_PRINTING_H

#include "load.h"

/** --date as 2026-01-31. @param[out] date NULL where absent @return false: wrong, and told */
bool cli_day(const cli_run *run, const char **date);
/** The text after the last stroke: a title block has no room for a path. */
const char *cli_base_name(const char *path);

#endif

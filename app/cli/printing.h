/** printing.h - what drawings and sheets share: a build of the chart, a day, the file's hash. */
#ifndef SNUB_CLI_PRINTING_H
#define SNUB_CLI_PRINTING_H

#include "load.h"
#include "snub/kit.h"

/** --date as 2026-01-31. @param[out] date NULL where absent @return false: wrong, and told */
bool cli_day(const cli_run *run, const char **date);
/** The text after the last stroke: a title block has no room for a path. */
const char *cli_base_name(const char *path);
/** SHA-256 of the drive file as it was read, hex; NULL after telling. */
const char *cli_document_hash(cli_run *run, const cli_drive *loaded);

/** Every build of the file, --variant counted in. @return false after telling */
bool cli_make_chart(cli_run *run, const cli_drive *loaded, snub_chart *chart);
/** A build by its number from 1, as --build gives it; one without a belt is refused with the reason.
 *  @return index; -1 after telling */
int cli_chart_build(const cli_run *run, const snub_chart *chart, const char *number);
/** "8: 8PK1590, deep pump, blower.diameter 85"; NULL without memory. */
const char *cli_build_words(cli_run *run, const snub_chart *chart, int index);
/** A drive with a belt and settings put in place of its own free ones.
 *  @param[in] settings  NAN: left as it is */
void cli_take_belt(snub_drive *drive, double length, const double *settings);

#endif

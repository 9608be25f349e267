/** measures.h - what the kinds of snub measure share, and those that stand in files of their own. */
#ifndef SNUB_CLI_MEASURES_H
#define SNUB_CLI_MEASURES_H

#include "load.h"
#include "snub/measured.h"

/** Print the errors of a file of readings where it was no good, and free them. @return good */
bool cli_readings_told(const cli_run *run, const snub_document *document, snub_errors *errors, bool good);
/** Read a file of readings as YAML, of the kind that the command reads; its units become the run's.
 *  @return false: the error is printed */
bool cli_readings(cli_run *run, const char *path, snub_readings kind, snub_document *document);
/** Load the drive file that the readings name, if they do. @return false: the error is printed */
bool cli_readings_drive(cli_run *run, const snub_document *readings, const char *drive, cli_drive *loaded);
/** The same, and the build of it that the command line names, with the engine stopped. @return false: the error is
 * printed */
bool cli_readings_stopped(cli_run *run, const snub_document *readings, const char *drive, cli_drive *loaded,
                          snub_build *build, snub_state *state);
struct json_t;
/** Print an answer: the JSON where that is wanted, else the text, behind which the cautions stand; both are given back.
 */
int cli_readings_answer(cli_run *run, struct json_t *json, snub_text *text, unsigned cautions, int code);

extern int (*const cli_measure_pluck)(cli_run *run);
extern int (*const cli_measure_belt)(cli_run *run);
extern int (*const cli_measure_spread)(cli_run *run);
extern int (*const cli_measure_circles)(cli_run *run);

#endif

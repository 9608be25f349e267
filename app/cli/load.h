/** load.h - from a path on the command line to a settled build. */
#ifndef SNUB_CLI_LOAD_H
#define SNUB_CLI_LOAD_H

#include "command.h"
#include "snub/house.h"
#include "snub/kit.h"
#include "snub/parts.h"

/** A drive file as the command line wants it. All memory is the run's arena. */
typedef struct cli_drive {
    snub_document document;
    snub_reading reading; /**< with --set and the catalogue */
    snub_part_source parts;
    snub_catalogue *catalogue;
    snub_pictures pictures; /**< of its steps */
    snub_house *house;      /**< NULL: neither the file nor --house names one */
} cli_drive;

/** Read a YAML file; `path` "-" is standard input. Old names are told.
 *  @return as snub_document_read */
snub_status cli_read_document(cli_run *run, const char *path, snub_document *document, snub_errors *errors);
/** Read the file and the --set options; `path` "-" is standard input. All errors are told.
 *  @return true; false: the error is printed, exit with CLI_BAD */
bool cli_load(cli_run *run, const char *path, cli_drive *loaded);
/** Closes the catalogue. */
void cli_unload(cli_drive *loaded);

/** The variant and package that the command line names. */
snub_named_rows cli_named(const cli_run *run);
/** The file's own build, with a variant and a package where they are named. @return false: the error is printed */
bool cli_own_row(const cli_run *run, const cli_drive *loaded, const snub_named_rows *named, snub_row *row);
/** Lay "PATH=VALUE; PATH=VALUE" over a row, over all else.
 *  @param[in] drive  any of the file's
 *  @return false: the error is printed; also where the row's package excludes what is made */
bool cli_row_with_changes(cli_run *run, const cli_drive *loaded, const snub_drive *drive, const char *changes,
                          snub_row *row);
/** Every row of the chart, --variant and --package counted in. @return false: the error is printed */
bool cli_rows(const cli_run *run, const cli_drive *loaded, snub_rows *rows);
/** A row of the chart by its number from 1, or by its code, as --build gives it. @return NULL: the error is printed */
const snub_row *cli_row_numbered(const cli_run *run, const snub_rows *rows, const char *number);

/** Print the errors of a reading where it was no good, and free them. @return good */
bool cli_told(const cli_run *run, snub_errors *errors, const cli_drive *loaded, bool good);
/** Settle and judge a row. @return false: the error is printed */
bool cli_make_build(cli_run *run, const cli_drive *loaded, const snub_row *row, const snub_build_request *request,
                    snub_build *build);
/** What --build, --builds and --free leave to be chosen. */
snub_build_request cli_request(const cli_run *run);
/** The build that --variant, --package, --build and --free name. @return false: the error is printed */
bool cli_one_build(cli_run *run, const cli_drive *loaded, snub_build *build);
/** A state of it to be shown. @return false: the error is printed */
bool cli_state(cli_run *run, const cli_drive *loaded, const snub_build *build, const snub_wanted_state *wanted,
               snub_state *state);
/** Exit code of a build: CLI_FAIL where it fails. */
int cli_verdict(const snub_build *build);

struct snub_bill;
/** The bill of materials, --variant and --package counted in. @return false: the error is printed */
bool cli_make_bill(cli_run *run, const cli_drive *loaded, struct snub_bill *bill);
/** Every build of the file, with --variant and --package, and --fewest where the command has it. @return false: the
 * error is printed
 */
bool cli_make_chart(cli_run *run, const cli_drive *loaded, const snub_chart_request *request, snub_chart *chart);

#endif

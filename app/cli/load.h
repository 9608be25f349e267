/** load.h - from a path on the command line to a drive. */
#ifndef SNUB_CLI_LOAD_H
#define SNUB_CLI_LOAD_H

#include "command.h"
#include "snub/drive.h"
#include "snub/parts.h"

/** A drive file as the command line wants it. All memory is the run's arena. */
typedef struct cli_drive {
    snub_document document;
    snub_reading reading;     /**< with --set and the catalogue; with --variant too after cli_load_drive */
    snub_drive drive;         /**< after cli_load_drive */
    snub_part_source parts;
    snub_catalogue *catalogue;
    const char *variant;      /**< of --variant; NULL: none asked */
} cli_drive;

/** Read the file and the --set options; `path` "-" is standard input. All mistakes are told.
 *  @return true; false after telling: exit with CLI_BAD */
bool cli_load_document(cli_run *run, const char *path, cli_drive *loaded);
/** The same and the drive, --variant counted in. */
bool cli_load_drive(cli_run *run, const char *path, cli_drive *loaded);
/** The same with a variant of one's own choosing; NULL: the file as it is. */
bool cli_load_variant(cli_run *run, const char *path, const char *variant, cli_drive *loaded);
/** Closes the catalogue. */
void cli_unload(cli_drive *loaded);

#endif

/** files.h - the files of one run: what it reads, what it writes, and that no output replaces one of the others.
 *
 *  The loaders name each file before they open it, the options and verbs each file before work starts, in any order:
 * the one that comes second is compared with all that are known. At the moment of writing cli_put looks once more.
 */
#ifndef SNUB_CLI_FILES_H
#define SNUB_CLI_FILES_H

#include "command.h"

/** A file that will be read; "-" is standard input. @param[in] role "drive file", for messages; kept, as the path is
 *  @return false: an output of this run is the same file, or would replace some other drive file or catalogue, told;
 *          it lies outside of the folder that the run is held in, told */
bool cli_reads(cli_run *run, const char *role, const char *path);
/** The same for a file that comes with the program, wherever it is. */
bool cli_reads_own(cli_run *run, const char *role, const char *path);
/** The catalogue with the files that SQLite keeps beside it, to be read or (`change`) changed. @return as cli_reads */
bool cli_reads_catalogue(cli_run *run, const char *path, bool change);
/** A file that will be written. "-" and the names of standard output are that. That it would replace a drive file or a
 *  catalogue is told with the first file that is read.
 *  @param[in] role "--output"
 *  @return false: it is a file of this run, told */
bool cli_writes(cli_run *run, const char *role, const char *path);
/** A file that a whole catalogue will be copied to. @return as cli_writes; another catalogue there is no reason */
bool cli_writes_catalogue(cli_run *run, const char *role, const char *path);
/** Every option of the command line that names an output, and standard output. @return as cli_writes */
bool cli_writes_options(cli_run *run);
/** The moment before a file is written: still none of the others? @return as cli_writes */
bool cli_may_write(const cli_run *run, const char *path);
/** NULL, "-", /dev/stdout and its other names. */
bool cli_is_standard_output(const char *path);

#endif

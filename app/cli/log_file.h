/** log_file.h - data logs as commands read them. */
#ifndef SNUB_CLI_LOG_FILE_H
#define SNUB_CLI_LOG_FILE_H

#include "command.h"
#include "snub/trace.h"

/** What --column, --unit and --rate say. @return false: wrong, and told */
bool cli_log_wish(cli_run *run, snub_log_wish *wish);
/** Read a file, "-" standard input, to its end. @return false: told */
bool cli_log_read(const char *path, snub_log_reader *reader);

#endif

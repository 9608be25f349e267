/** log_file.h - data logs as commands read them. */
#ifndef SNUB_CLI_LOG_FILE_H
#define SNUB_CLI_LOG_FILE_H

#include "load.h"
#include "snub/trace.h"

/** The build that logs are held against. */
typedef struct cli_log_build {
    cli_drive loaded;
    snub_build build;
    snub_log_model model;
    snub_log_offer offers[SNUB_LOG_OFFERS_MOST];
    int offer_count;
    snub_log_wish wish;
} cli_log_build;

/** From a drive file, with the pressure of its air for logs of absolute boost. @return false: told */
bool cli_log_build_load(cli_run *run, const char *path, cli_log_build *of);
/** What --column, --unit and --rate say. @return false: wrong, and told */
bool cli_log_wish(cli_run *run, snub_log_wish *wish);
/** Read a file, "-" standard input, to its end. @return false: told */
bool cli_log_read(const char *path, snub_log_reader *reader);

#endif

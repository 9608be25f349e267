/** plot_file.h - the file of --plot. */
#ifndef SNUB_CLI_PLOT_FILE_H
#define SNUB_CLI_PLOT_FILE_H

#include "command.h"
#include "snub/draw.h"

/** Write a plot to the file that --plot names, in the format of its ending. @return `code`, or CLI_BAD (told) */
int cli_put_plot(cli_run *run, const snub_drawing *drawing, int code);

#endif

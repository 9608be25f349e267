/** plot_file.h - the file of --plot or --picture. */
#ifndef SNUB_CLI_PLOT_FILE_H
#define SNUB_CLI_PLOT_FILE_H

#include "command.h"
#include "snub/draw.h"

/** Does its name, where the option is given, end as one of the formats does? @return false: told */
bool cli_plot_has_format(cli_run *run, const char *option);
/** A drawing in the format of the ending of an option's value, which has one.
 *  @param[in] subject  what it is of; NULL: not said
 *  @return SNUB_OK; SNUB_NO_MEMORY; what the format cannot hold */
snub_status cli_make_plot(const cli_run *run, const char *option, const char *subject, const snub_drawing *drawing,
                          snub_text *text, snub_error *error);
/** A drawing in a form. @param[in] form  "svg", "pdf" or "png" @return as cli_make_plot */
snub_status cli_plot_in_form(const char *form, const char *subject, const snub_drawing *drawing, snub_text *text,
                             snub_error *error);
/** Write a drawing to the file that an option names, in the format of its ending.
 *  @return `code`, or CLI_BAD (told) */
int cli_put_plot(cli_run *run, const char *option, const char *subject, const snub_drawing *drawing, int code);

#endif

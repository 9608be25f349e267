/** commands.h - every command there is. */
#ifndef SNUB_CLI_COMMANDS_H
#define SNUB_CLI_COMMANDS_H

#include "command.h"

extern const cli_command cli_new;
extern const cli_command cli_measure;
extern const cli_command cli_check;
extern const cli_command cli_chart;
extern const cli_command cli_bill;
extern const cli_command cli_search;
extern const cli_command cli_tolerate;
extern const cli_command cli_sweep;
extern const cli_command cli_mount;
extern const cli_command cli_motion;
extern const cli_command cli_log;
extern const cli_command cli_fit;
extern const cli_command cli_compare;
extern const cli_command cli_draw;
extern const cli_command cli_sheet;
extern const cli_command cli_share;
extern const cli_command cli_parts;
extern const cli_command cli_serve;
extern const cli_command cli_keys;
extern const cli_command cli_help;
extern const cli_command cli_completion;
extern const cli_command cli_man;

/** Is a kind of `snub sheet` of the whole kit, rather than of one build? */
bool cli_sheet_of_kit(const char *kind);

#endif

/* The table of commands, in the order of the job. A new command is declared and listed here. */
#include "commands.h"

#include <string.h>

static const cli_command *const table[] = {
    &cli_new,   &cli_measure, &cli_check, &cli_chart, &cli_search,     &cli_tolerate, &cli_bill,  &cli_sweep,
    &cli_mount, &cli_motion,  &cli_log,   &cli_fit,   &cli_compare,    &cli_draw,     &cli_sheet, &cli_share,
    &cli_parts, &cli_serve,   &cli_keys,  &cli_help,  &cli_completion, &cli_man,
};

const cli_command *const *cli_commands(int *count)
{
    *count = (int)(sizeof table / sizeof table[0]);
    return table;
}

const cli_command *cli_command_named(const char *name)
{
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        if (strcmp(table[i]->name, name) == 0)
            return table[i];
    }
    return NULL;
}

/* snub help [COMMAND] */
#include "commands.h"

static int run_help(cli_run *run)
{
    snub_text text = {0};
    if (run->operand_count == 0) {
        cli_help_all(run->width, run->colour, &text);
    } else {
        const cli_command *command = cli_command_named(run->operands[0]);
        if (!command) {
            const char *names[64];
            int count, used = 0;
            const cli_command *const *commands = cli_commands(&count);
            for (; used < count && used < 64; used++)
                names[used] = commands[used]->name;
            const char *near = snub_nearest(run->operands[0], names, used);
            return cli_usage_error(run, "unknown command \"%.40s\"%s%s%s", run->operands[0],
                                   near ? "; did you mean " : "", near ? near : "", near ? "?" : "");
        }
        cli_help_command(command, run->width, run->colour, &text);
    }
    int code = cli_print(run, &text, CLI_PASS);
    snub_text_free(&text);
    return code;
}

const cli_command cli_help = {
    .name = "help",
    .summary = "explain a command, with examples",
    .operands = "[COMMAND]",
    .help = "Without a command: the list of commands.",
    .example = "snub help chart",
    .most = 1,
    .no_json = true,
    .run = run_help,
};

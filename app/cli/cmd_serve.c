/* snub serve FILE: the local page. */
#include "../serve/serve.h"
#include "commands.h"
#include "locale_shipped.h"
#include "papers.h"

static const cli_option options[] = {
    {"port", 'p', "N", "listen on this port; 0 takes any free one (default: 7682, or the next free one up to 7697)",
     false, false, NULL},
    {"listen", 'l', "ADDRESS", "listen on this numeric address, with an optional :PORT, instead of loopback only",
     false, false, NULL},
    {"language", 0, "LANG", "language in which the entries say what they mean (default: en)", false, false, NULL},
    {"catalogue", 0, "PATH", "parts catalogue for files that refer to it", false, CLI_INPUT, NULL},
};

static int run_serve(cli_run *run)
{
    long port = -1;
    snub_error error = {0};
    const cli_drive none = {0};
    snub_messages messages;
    if (!cli_count(run, "port", 0, 65535, &port))
        return CLI_BAD;
    if (!cli_messages(run, &none, &messages))
        return CLI_BAD;
    serve_program program;
    cli_papers(cli_value(run, "catalogue"), &run->arena, &program);
    serve_options wanted = {.program = &program,
                            .path = run->operands[0],
                            .listen = cli_value(run, "listen"),
                            .catalogue = cli_value(run, "catalogue"),
                            .arena = &run->arena,
                            .language = {cli_language(run, &none), snub_messages_locale(&messages)},
                            .port = (int)port};
    return serve_run(&wanted, &error) == SNUB_OK ? CLI_PASS : cli_error(&error, NULL, 0);
}

const cli_command cli_serve = {
    .name = "serve",
    .summary = "open the drive in a browser: drag pulleys and see the results follow",
    .operands = "FILE",
    .help =
        "Serves a page for the drive files in FILE's folder (or in the folder given) on this machine only, and prints "
        "its address with a key that is new at every start. Copy the whole address into a browser's address bar. The "
        "drawing is to scale "
        "and follows the pointer; its numbers are those of the other commands. Saving changes only the values that "
        "were moved, and shows them first; comments and layout of the file stay. The page begins new files, in an "
        "empty "
        "folder too, and makes every sheet, drawing and table of the saved file with the bytes of the command.\n"
        "\n"
        "Nothing is fetched from the network and nothing leaves the machine. With --listen the page can be reached "
        "from other machines in the shop's network. Anyone who has the address with its key can then read and change "
        "the drive files in the folder. The connection is not encrypted.\n"
        "\n"
        "Press Ctrl+C to stop.",
    .example = "snub serve examples/sedgemere.yaml\n"
               "snub serve ~/kits --port 8000\n"
               "snub serve kit.yaml --listen 192.168.1.20:7682",
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .least = 1,
    .most = 1,
    .no_json = true,
    .run = CLI_WHOLE(run_serve),
};

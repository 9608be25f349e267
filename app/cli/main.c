/* snub - workbench for belt-driven superchargers. */
#include <jansson.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "chart_process.h"
#include "command.h"
#include "paper.h"
#include "progress.h"
#include "refused.h"
#include "snub/ranks.h"

static int unknown_command(const char *name)
{
    const char *names[64];
    int count, used = 0;
    const cli_command *const *commands = cli_commands(&count);
    for (; used < count && used < 64; used++)
        names[used] = commands[used]->name;
    const char *near = snub_nearest(name, names, used);
    cli_run nothing = {0};
    if (near)
        return cli_usage_error(&nothing, "unknown command \"%.40s\"; did you mean `snub %s`?", name, near);
    return cli_usage_error(&nothing, "unknown command \"%.40s\"; `snub help` lists them", name);
}

/* What a signal that stops the program removes. */
static const char *volatile unfinished;
static char unfinished_log[4096 + sizeof "-wal"];

void cli_stopped_removes(const char *path)
{
    unfinished = NULL;
    if (path && snprintf(unfinished_log, sizeof unfinished_log, "%s-wal", path) < (int)sizeof unfinished_log)
        unfinished = path;
}

/* Ctrl+C, or the system's wish: said, and then what the signal does by itself, so that a shell and its scripts see
 * it. An output comes to be at the end, under a name of its own until it is whole. */
static void stop(int signal_number)
{
    static const char words[] = "\nsnub: stopped before the end\n";
    const ssize_t said = write(STDERR_FILENO, words, sizeof words - 1);
    (void)said;
    const char *path = unfinished;
    if (path) {
        unlink(path);
        unlink(unfinished_log);
    }
    raise(signal_number); /* taken up when this ends: its own doing is back (SA_RESETHAND) */
}

/* A signal that the caller ignores, as nohup does, stays ignored. */
static void stop_on(int signal_number)
{
    struct sigaction before, now = {.sa_handler = stop, .sa_flags = (int)SA_RESETHAND};
    sigemptyset(&now.sa_mask);
    if (sigaction(signal_number, NULL, &before) == 0 && before.sa_handler != SIG_IGN)
        sigaction(signal_number, &now, NULL);
}

/* Of processes that share the work only the first speaks; the others come to the same and write nothing. */
static int run_shared(cli_run *run)
{
    snub_error error;
    if (!run->command->shared)
        return run->command->run(run);
    if (snub_ranks_open(&error) != SNUB_OK)
        return cli_error(&error, NULL, 0);
    if (snub_own_rank() > 0 && (freopen("/dev/null", "w", stdout) == NULL || freopen("/dev/null", "w", stderr) == NULL))
        return CLI_BAD;
    const int code = run->command->run(run);
    snub_ranks_close();
    return code;
}

/* Arguments: main's own.
 * @param[in] inside  as of a run */
static int run_command(const cli_command *command, int count, char **arguments, const char *inside)
{
    cli_run run = {.command = command, .command_line = arguments, .inside = inside};
    snub_error error;
    int code = CLI_BAD;
    if (strcmp(command->name, "serve") != 0) { /* it ends by itself, and its charts with it */
        stop_on(SIGINT);
        stop_on(SIGTERM);
    }
    cli_terminal(&run.width, &run.colour);
    if (snub_units_open(&run.units, &error) != SNUB_OK)
        return cli_error(&error, NULL, 0);
    if (cli_parse(&run, count - 2, arguments + 2)) {
        if (cli_has(&run, "help")) {
            snub_text text = {0};
            cli_help_command(command, run.width, run.colour, &text);
            code = cli_print(&run, &text, CLI_PASS);
            snub_text_free(&text);
        } else {
            if (strcmp(command->name, "serve") != 0)
                cli_progress_begin(command->name, run.width);
            code = cli_wants_whole(&run) ? cli_hand_over_whole(&run) : run_shared(&run);
            cli_progress_end();
        }
    }
    json_decref(run.hints);
    snub_units_free(run.units);
    snub_arena_free(&run.arena);
    return code;
}

static int print_help(int code)
{
    const cli_run nothing = {0};
    snub_text text = {0};
    int width;
    bool colour;
    cli_terminal(&width, &colour);
    cli_help_all(width, colour, &text);
    if (code == CLI_PASS)
        code = cli_print(&nothing, &text, code);
    else
        fputs(text.data ? text.data : "", stderr);
    snub_text_free(&text);
    return code;
}

static int run_all(int count, char **arguments)
{
    const char *word = count > 1 ? arguments[1] : NULL, *inside = NULL;
    if (!word)
        return print_help(CLI_BAD);
    if (strcmp(word, "--help") == 0 || strcmp(word, "-h") == 0)
        return print_help(CLI_PASS);
    if (strcmp(word, "--version") == 0) {
        const cli_run nothing = {0};
        snub_text text = {0};
        snub_text_puts(&text, "snub " SNUB_VERSION "\n");
        int code = cli_print(&nothing, &text, CLI_PASS);
        snub_text_free(&text);
        return code;
    }
#ifdef SNUB_WHOLE
    if (serve_chart_word(word))
        return serve_chart_process(count, arguments, CLI_BAD);
    if (strcmp(word, SERVE_PAPER_WORD) == 0) {
        if ((inside = serve_paper_enter(&count, &arguments)) == NULL)
            return CLI_BAD;
        word = arguments[1];
    }
#endif
    const cli_command *command = cli_command_named(word);
    return command ? run_command(command, count, arguments, inside) : unknown_command(word);
}

int main(int count, char **arguments)
{
    memory_open(CLI_BAD);
    return memory_close(run_all(count, arguments));
}

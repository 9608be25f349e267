/* Help of the program and of each command. */
#include <string.h>

#include "command.h"
#include "locale_shipped.h"
#include "snub/report.h"

static void heading(const char *words, bool colour, snub_text *out)
{
    snub_text_printf(out, colour ? "\x1b[1m%s\x1b[0m\n" : "%s\n", words);
}

/* A left column of `left` and wrapped words to its right. */
static void row(const char *left, int column, const char *words, int width, snub_text *out)
{
    snub_text_printf(out, "  %s", left);
    int used = 2 + snub_text_width(left);
    if (used + 2 > column) {
        snub_text_puts(out, "\n");
        used = 0;
    }
    for (; used < column; used++)
        snub_text_puts(out, " ");
    snub_wrap(words, column, column, width, out);
}

void cli_help_all(int width, bool colour, snub_text *out)
{
    int count;
    const cli_command *const *commands = cli_commands(&count);
    snub_text_puts(out, "snub - workbench for belt-driven superchargers\n\n");
    heading("Use", colour, out);
    snub_text_puts(out, "  snub COMMAND FILE [OPTIONS]\n\n");
    heading("Commands", colour, out);
    for (int i = 0; i < count; i++)
        row(commands[i]->name, 14, commands[i]->summary, width, out);
    snub_text_puts(out, "\n");
    heading("Start with", colour, out);
    snub_text_puts(out, "  snub check examples/sedgemere.yaml     one build, idle to redline\n"
                        "  snub chart examples/sedgemere.yaml     every build in the kit\n"
                        "  snub help check                        how to read the result\n\n");
    snub_wrap("Exit code: 0 passes, 1 a finding fails, 2 no answer (bad input or a system error).", 0, 0, width, out);
}

static void add_usage(const cli_command *command, snub_text *out)
{
    snub_text_printf(out, "  snub %s%s%s [OPTIONS]\n\n", command->name, command->operands[0] ? " " : "",
                     command->operands);
}

void cli_option_help(const cli_option *option, snub_text *out)
{
    snub_text_puts(out, option->help);
    for (int k = 0; option->words && option->words[k]; k++)
        snub_text_printf(out, "%s%s", k ? ", " : ": ", option->words[k]);
    if (strcmp(option->name, "language") == 0) {
        snub_arena arena = {0};
        snub_text_puts(out, ": ");
        cli_languages_words(&arena, out);
        snub_arena_free(&arena);
    }
    if (option->many)
        snub_text_puts(out, "; may be repeated");
}

static void add_options(const cli_command *command, int width, snub_text *out)
{
    const cli_option *option;
    for (int i = 0; (option = cli_option_at(command, i)) != NULL; i++) {
        snub_text left = {0}, help = {0};
        if (option->letter)
            snub_text_printf(&left, "-%c, ", option->letter);
        snub_text_printf(&left, "--%s", option->name);
        if (option->value)
            snub_text_printf(&left, " %s", option->value);
        cli_option_help(option, &help);
        if (left.data && help.data)
            row(left.data, 27, help.data, width, out);
        out->failed = out->failed || left.failed || help.failed;
        snub_text_free(&left);
        snub_text_free(&help);
    }
}

/* Paragraphs are parted by empty lines; a line that begins with a blank stands as it is. */
static void add_paragraphs(const char *text, int width, snub_text *out)
{
    while (*text) {
        const char *end = strchr(text, '\n');
        size_t length = end ? (size_t)(end - text) : strlen(text);
        if (length == 0 || text[0] == ' ') {
            snub_text_add(out, text, length);
            snub_text_puts(out, "\n");
        } else {
            snub_text line = {0};
            snub_text_add(&line, text, length);
            if (line.data)
                snub_wrap(line.data, 0, 0, width, out);
            snub_text_free(&line);
        }
        text += length + (end ? 1 : 0);
    }
}

/* A command line, broken with a backslash where it is too long, so that it can still be pasted. */
static void add_example(const char *line, size_t length, int width, snub_text *out)
{
    int room = width - 4;
    const char *before = "  $ ";
    while ((int)length > room) {
        size_t cut = (size_t)room - 2;
        while (cut > 0 && line[cut] != ' ')
            cut--;
        if (cut == 0)
            break;
        snub_text_puts(out, before);
        snub_text_add(out, line, cut);
        snub_text_puts(out, " \\\n");
        line += cut + 1;
        length -= cut + 1;
        before = "      ";
        room = width - 6;
    }
    snub_text_puts(out, before);
    snub_text_add(out, line, length);
    snub_text_puts(out, "\n");
}

void cli_help_command(const cli_command *command, int width, bool colour, snub_text *out)
{
    snub_text title = {0};
    snub_text_printf(&title, "snub %s - %s", command->name, command->summary);
    snub_wrap(title.data ? title.data : command->name, 0, 2, width, out);
    snub_text_free(&title);
    snub_text_puts(out, "\n");
    heading("Use", colour, out);
    add_usage(command, out);
    add_paragraphs(command->help, width, out);
    snub_text_puts(out, "\n");
    heading("Options", colour, out);
    add_options(command, width, out);
    snub_text_puts(out, "\n");
    heading(strchr(command->example, '\n') ? "Examples" : "Example", colour, out);
    for (const char *line = command->example; *line;) {
        const char *end = strchr(line, '\n');
        size_t length = end ? (size_t)(end - line) : strlen(line);
        add_example(line, length, width, out);
        line += length + (end ? 1 : 0);
    }
}

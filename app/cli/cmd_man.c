/* snub man: the manual page, from the table of commands. */
#include <string.h>

#include "commands.h"

/* roff takes a dot or a quote at the start of a line, and a backslash anywhere, for its own. */
static void add_roff(const char *text, size_t length, snub_text *out)
{
    bool line_start = true;
    for (size_t i = 0; i < length; i++) {
        char c = text[i];
        if (line_start && (c == '.' || c == '\''))
            snub_text_puts(out, "\\&");
        if (c == '\\')
            snub_text_puts(out, "\\e");
        else if (c == '-')
            snub_text_puts(out, "\\-");
        else
            snub_text_add(out, &c, 1);
        line_start = c == '\n';
    }
}

static void add_line(const char *text, snub_text *out)
{
    add_roff(text, strlen(text), out);
    snub_text_puts(out, "\n");
}

static void add_paragraphs(const char *text, snub_text *out)
{
    bool as_it_stands = false;
    while (*text) {
        const char *end = strchr(text, '\n');
        size_t length = end ? (size_t)(end - text) : strlen(text);
        bool table = length > 0 && text[0] == ' ';
        if (table != as_it_stands)
            snub_text_puts(out, table ? ".nf\n" : ".fi\n");
        as_it_stands = table;
        if (length == 0)
            snub_text_puts(out, ".PP\n");
        add_roff(text, length, out);
        if (length)
            snub_text_puts(out, "\n");
        text += length + (end ? 1 : 0);
    }
    if (as_it_stands)
        snub_text_puts(out, ".fi\n");
}

static void add_options(const cli_command *command, snub_text *out)
{
    const cli_option *option;
    for (int i = 0; (option = cli_option_at(command, i)) != NULL; i++) {
        snub_text_puts(out, ".TP\n");
        if (option->letter)
            snub_text_printf(out, "\\fB\\-%c\\fR, ", option->letter);
        snub_text_puts(out, "\\fB\\-\\-");
        add_roff(option->name, strlen(option->name), out);
        snub_text_puts(out, "\\fR");
        if (option->value)
            snub_text_printf(out, " \\fI%s\\fR", option->value);
        snub_text_puts(out, "\n");
        snub_text help = {0};
        cli_option_help(option, &help);
        if (help.data)
            add_roff(help.data, help.length, out);
        out->failed = out->failed || help.failed;
        snub_text_free(&help);
        snub_text_puts(out, ".\n");
    }
}

static void add_command(const cli_command *command, snub_text *out)
{
    snub_text_printf(out, ".SS snub %s %s\n", command->name, command->operands);
    add_line(command->summary, out);
    snub_text_puts(out, ".PP\n");
    add_paragraphs(command->help, out);
    add_options(command, out);
    snub_text_puts(out, ".PP\n.nf\n.RS\n");
    add_line(command->example, out);
    snub_text_puts(out, ".RE\n.fi\n");
}

static int run_man(cli_run *run)
{
    snub_text text = {0};
    int count;
    (void)run;
    const cli_command *const *commands = cli_commands(&count);
    snub_text_puts(&text, ".TH SNUB 1 \"\" \"snub " SNUB_VERSION "\" \"User Commands\"\n.SH NAME\n"
                          "snub \\- workbench for belt\\-driven superchargers\n.SH SYNOPSIS\n"
                          ".B snub\n.I COMMAND FILE\n[OPTIONS]\n.SH DESCRIPTION\n");
    add_line("snub reads one text file that describes a belt drive with a supercharger, and calculates wrap, tension, "
             "grip, boost, the belt and idler setting for every pulley in the kit, and what must not be sold.",
             &text);
    snub_text_puts(&text, ".SH COMMANDS\n");
    for (int i = 0; i < count; i++)
        add_command(commands[i], &text);
    snub_text_puts(&text, ".SH EXIT STATUS\n.TP\n0\nAn answer, and no finding fails.\n.TP\n1\n"
                          "An answer, and a finding fails.\n.TP\n2\n"
                          "No answer: bad input or a system error.\n.SH ENVIRONMENT\n.TP\nCOLUMNS\n"
                          "Width of the output, instead of the width of the terminal.\n.TP\nNO_COLOR\n"
                          "If set to anything, no colour is used. Colour is never the only sign.\n.TP\n"
                          "SNUB_CATALOGUE\nPath of the parts catalogue.\n");
    int code = cli_print(run, &text, CLI_PASS);
    snub_text_free(&text);
    return code;
}

const cli_command cli_man = {
    .name = "man",
    .summary = "print the manual page as roff",
    .operands = "",
    .help = "`make install` puts the page where `man snub` finds it.",
    .example = "snub man | man -l -",
    .no_json = true,
    .run = run_man,
};

/* snub completion SHELL: words for the shells, from the table of commands. */
#include <string.h>

#include "commands.h"
#include "locale_shipped.h"

static void add_names(snub_text *out)
{
    int count;
    const cli_command *const *commands = cli_commands(&count);
    for (int i = 0; i < count; i++)
        snub_text_printf(out, "%s%s", i ? " " : "", commands[i]->name);
}

/* The words that an option takes, NULL where it takes any: those of --language are the catalogues that are there. */
static const char *const *words_of(const cli_option *option, const cli_languages *languages)
{
    return strcmp(option->name, "language") == 0 ? languages->code : option->words;
}

static void add_words(const char *const *words, snub_text *out)
{
    for (int k = 0; words[k]; k++)
        snub_text_printf(out, "%s%s", k ? " " : "", words[k]);
}

/* Inside single quotes a quote must be written '\''. */
static void add_quoted(const char *text, snub_text *out)
{
    for (; *text; text++) {
        if (*text == '\'')
            snub_text_puts(out, "'\\''");
        else
            snub_text_add(out, text, 1);
    }
}

static void write_bash(const cli_languages *languages, snub_text *out)
{
    int count;
    const cli_command *const *commands = cli_commands(&count);
    snub_text_puts(out, "# bash completion of snub; made by `snub completion bash`\n_snub() {\n"
                        "    local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} options=\n"
                        "    COMPREPLY=()\n    if [ \"$COMP_CWORD\" -eq 1 ]; then\n"
                        "        COMPREPLY=($(compgen -W '");
    add_names(out);
    snub_text_puts(out, " --help --version' -- \"$word\"))\n        return\n    fi\n    case ${COMP_WORDS[1]} in\n");
    for (int i = 0; i < count; i++) {
        const cli_option *option;
        snub_text_printf(out, "    %s)\n        options='", commands[i]->name);
        for (int k = 0; (option = cli_option_at(commands[i], k)) != NULL; k++)
            snub_text_printf(out, "%s--%s", k ? " " : "", option->name);
        snub_text_puts(out, "'\n        case $before in\n");
        for (int k = 0; (option = cli_option_at(commands[i], k)) != NULL; k++) {
            if (!option->value || option->file)
                continue;
            snub_text_printf(out, "        --%s) COMPREPLY=($(compgen -W '", option->name);
            const char *const *words = words_of(option, languages);
            if (words)
                add_words(words, out);
            snub_text_puts(out, "' -- \"$word\")); return ;;\n");
        }
        snub_text_puts(out, "        esac\n");
        if (strcmp(commands[i]->name, "help") == 0) {
            snub_text_puts(out, "        options='");
            add_names(out);
            snub_text_puts(out, "'\n");
        }
        snub_text_puts(out, "        ;;\n");
    }
    snub_text_puts(out,
                   "    esac\n    case $word in\n    -*) COMPREPLY=($(compgen -W \"$options\" -- \"$word\")) ;;\n"
                   "    *) COMPREPLY=($(compgen -f -- \"$word\"))\n"
                   "       [ \"${COMP_WORDS[1]}\" != help ] || COMPREPLY=($(compgen -W \"$options\" -- \"$word\")) ;;\n"
                   "    esac\n}\ncomplete -o filenames -F _snub snub\n");
}

static void write_zsh(const cli_languages *languages, snub_text *out)
{
    int count;
    const cli_command *const *commands = cli_commands(&count);
    snub_text_puts(out, "#compdef snub\n# zsh completion of snub; made by `snub completion zsh`\n_snub() {\n"
                        "    local -a commands\n    commands=(\n");
    for (int i = 0; i < count; i++) {
        snub_text_printf(out, "        '%s:", commands[i]->name);
        add_quoted(commands[i]->summary, out);
        snub_text_puts(out, "'\n");
    }
    snub_text_puts(out,
                   "    )\n    if (( CURRENT == 2 )); then\n        _describe command commands\n        return\n"
                   "    fi\n    local chosen=$words[2]\n    shift words\n    (( CURRENT-- ))\n    case $chosen in\n");
    for (int i = 0; i < count; i++) {
        const cli_option *option;
        snub_text_printf(out, "    %s)\n        _arguments", commands[i]->name);
        for (int k = 0; (option = cli_option_at(commands[i], k)) != NULL; k++) {
            snub_text_printf(out, " \\\n            '%s--%s[", option->many ? "*" : "", option->name);
            for (const char *at = option->help; *at; at++) { /* brackets and colons part the fields of _arguments */
                if (*at == '[' || *at == ']' || *at == ':')
                    snub_text_puts(out, "\\");
                if (*at == '\'')
                    snub_text_puts(out, "'\\''");
                else
                    snub_text_add(out, at, 1);
            }
            snub_text_puts(out, "]");
            if (option->value) {
                const char *const *words = words_of(option, languages);
                snub_text_printf(out, ":%s:", option->value);
                if (words) {
                    snub_text_puts(out, "(");
                    add_words(words, out);
                    snub_text_puts(out, ")");
                } else if (option->file) {
                    snub_text_puts(out, "_files");
                }
            }
            snub_text_puts(out, "'");
        }
        if (strcmp(commands[i]->name, "help") == 0) {
            snub_text_puts(out, " \\\n            '1:command:(");
            add_names(out);
            snub_text_puts(out, ")'");
        } else if (commands[i]->most != 0) {
            snub_text_puts(out, " \\\n            '*:file:_files'");
        }
        snub_text_puts(out, "\n        ;;\n");
    }
    snub_text_puts(out, "    esac\n}\n_snub \"$@\"\n");
}

static void write_fish(const cli_languages *languages, snub_text *out)
{
    int count;
    const cli_command *const *commands = cli_commands(&count);
    snub_text_puts(out, "# fish completion of snub; made by `snub completion fish`\n");
    for (int i = 0; i < count; i++) {
        const cli_option *option;
        snub_text_printf(out, "complete -c snub -n __fish_use_subcommand -f -a %s -d '", commands[i]->name);
        add_quoted(commands[i]->summary, out);
        snub_text_puts(out, "'\n");
        for (int k = 0; (option = cli_option_at(commands[i], k)) != NULL; k++) {
            snub_text_printf(out, "complete -c snub -n '__fish_seen_subcommand_from %s' -l %s", commands[i]->name,
                             option->name);
            if (option->letter)
                snub_text_printf(out, " -s %c", option->letter);
            if (option->value)
                snub_text_puts(out, option->file ? " -r -F" : " -x");
            const char *const *words = words_of(option, languages);
            if (words) {
                snub_text_puts(out, " -a '");
                add_words(words, out);
                snub_text_puts(out, "'");
            }
            snub_text_puts(out, " -d '");
            add_quoted(option->help, out);
            snub_text_puts(out, "'\n");
        }
    }
    snub_text_puts(out, "complete -c snub -n '__fish_seen_subcommand_from help' -f -a '");
    add_names(out);
    snub_text_puts(out, "'\n");
}

static int run_completion(cli_run *run)
{
    snub_text text = {0};
    cli_languages languages;
    cli_languages_find(&run->arena, &languages);
    const char *shell = run->operands[0];
    if (strcmp(shell, "bash") == 0)
        write_bash(&languages, &text);
    else if (strcmp(shell, "zsh") == 0)
        write_zsh(&languages, &text);
    else if (strcmp(shell, "fish") == 0)
        write_fish(&languages, &text);
    else
        return cli_usage_error(run, "supports bash, zsh and fish, not \"%.40s\"", shell);
    int code = cli_print(run, &text, CLI_PASS);
    snub_text_free(&text);
    return code;
}

const cli_command cli_completion = {
    .name = "completion",
    .summary = "print the completion script for a shell: bash, zsh or fish",
    .operands = "SHELL",
    .help =
        "Once the shell has read this, the Tab key completes commands, options and their words. `make install` puts "
        "the script where the shells look for it.",
    .example = "snub completion bash > ~/.local/share/bash-completion/completions/snub",
    .least = 1,
    .most = 1,
    .no_json = true,
    .run = run_completion,
};

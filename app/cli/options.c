/* Reading the command line. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "files.h"
#include "snub/csv.h"

enum { NAMES_MOST = 64 };

static const cli_option drive_options[] = {
    {"set", 's', "PATH=VALUE", "replace a value of the file, as in --set blower.diameter=79", true, false, NULL},
    {"variant", 'v', "NAME", "use this variant (default: the file without a variant)", false, false, NULL},
    {"package", 0, "NAME", "as this package (default: the file without its packages)", false, 0, NULL},
    {"catalogue", 0, "FILE", "parts catalogue for `part:` and `stock: catalogue`", false, CLI_INPUT, NULL},
};
static const cli_option unit_options[] = {
    {"inches", 0, NULL, "results in inch units: in, lbf, lbf ft, psi, hp, degF", false, false, NULL},
    {"metric", 0, NULL, "results in metric units, even if the file has `units: us`", false, false, NULL},
};
static const cli_option build_options[] = {
    {"build", 0, "N", "build N of `snub chart` instead of the one in the file", false, false, NULL},
    {"free", 'f', NULL, "choose belt and settings again even if the file gives them; without a stock, any whole mm",
     false, false, NULL},
};
static const cli_option json_option = {"json", 0, NULL, "print the result as JSON", false, false, NULL};
static const cli_option help_option = {"help", 'h', NULL, "explain this command, with examples", false, false, NULL};

const cli_option *cli_option_at(const cli_command *command, int i)
{
    const int own = command->option_count;
    const int drive = command->reads_drive ? (int)(sizeof drive_options / sizeof drive_options[0]) : 0;
    if (i < own)
        return &command->options[i];
    if (i < own + drive)
        return &drive_options[i - own];
    i -= own + drive;
    const int build = command->one_build ? (int)(sizeof build_options / sizeof build_options[0]) : 0;
    if (i < build)
        return &build_options[i];
    i -= build;
    const int units =
        command->reads_drive || command->in_units ? (int)(sizeof unit_options / sizeof unit_options[0]) : 0;
    if (i < units)
        return &unit_options[i];
    i -= units;
    if (!command->no_json && i == 0)
        return &json_option;
    return i == (command->no_json ? 0 : 1) ? &help_option : NULL;
}

static const cli_option *option_named(const cli_command *command, const char *name, size_t length)
{
    for (int i = 0;; i++) {
        const cli_option *option = cli_option_at(command, i);
        if (!option || (strlen(option->name) == length && strncmp(option->name, name, length) == 0))
            return option;
    }
}

static const cli_option *option_lettered(const cli_command *command, char letter)
{
    for (int i = 0;; i++) {
        const cli_option *option = cli_option_at(command, i);
        if (!option || option->letter == letter)
            return option;
    }
}

static bool unknown_option(const cli_run *run, const char *name, size_t length)
{
    const char *names[NAMES_MOST];
    char word[64];
    int count = 0;
    const cli_option *option;
    while (count < NAMES_MOST && (option = cli_option_at(run->command, count)) != NULL)
        names[count++] = option->name;
    snprintf(word, sizeof word, "%.*s", (int)length, name);
    const char *near = length < sizeof word ? snub_nearest(word, names, count) : NULL;
    if (near)
        cli_usage_error(run, "unknown option --%.40s; did you mean --%s?", word, near);
    else
        cli_usage_error(run, "unknown option --%.40s; `snub help %s` lists them", word, run->command->name);
    return false;
}

/* Where it is none of them: of the NULL that ends them. */
static int place_of(const char *word, const char *const *words)
{
    int i = 0;
    while (words[i] && strcmp(words[i], word) != 0)
        i++;
    return i;
}

static bool add_given(cli_run *run, const cli_option *option, const char *value)
{
    if (value && option->words) {
        const int count = place_of(value, option->words);
        if (!option->words[count]) {
            snub_text list = {0};
            for (int i = 0; i < count; i++)
                snub_text_printf(&list, "%s%s", i ? ", " : "", option->words[i]);
            const char *near = snub_nearest(value, option->words, count);
            cli_usage_error(run, "--%s takes one of %s, not \"%.40s\"%s%s%s", option->name, list.data ? list.data : "",
                            value, near ? "; did you mean " : "", near ? near : "", near ? "?" : "");
            snub_text_free(&list);
            return false;
        }
    }
    if (!option->many && cli_has(run, option->name)) {
        cli_usage_error(run, "--%s is given twice", option->name);
        return false;
    }
    run->given[run->given_count++] = (cli_given){option, value};
    return true;
}

/* The value follows in the same argument or in the next one. *i moves over what was used. */
static bool take_value(cli_run *run, const cli_option *option, const char *joined, int count, char **arguments, int *i)
{
    if (!option->value) {
        if (joined) {
            cli_usage_error(run, "--%s takes no value", option->name);
            return false;
        }
        return add_given(run, option, NULL);
    }
    if (!joined && *i + 1 >= count) {
        cli_usage_error(run, "--%s needs a value: --%s %s", option->name, option->name, option->value);
        return false;
    }
    return add_given(run, option, joined ? joined : arguments[++*i]);
}

static bool parse_long(cli_run *run, int count, char **arguments, int *i)
{
    const char *name = arguments[*i] + 2, *equals = strchr(name, '=');
    size_t length = equals ? (size_t)(equals - name) : strlen(name);
    const cli_option *option = option_named(run->command, name, length);
    if (!option)
        return unknown_option(run, name, length);
    return take_value(run, option, equals ? equals + 1 : NULL, count, arguments, i);
}

static bool parse_short(cli_run *run, int count, char **arguments, int *i)
{
    const char *letters = arguments[*i] + 1;
    for (; *letters; letters++) {
        const cli_option *option = option_lettered(run->command, *letters);
        if (!option) {
            cli_usage_error(run, "unknown option -%c; `snub help %s` lists them", *letters, run->command->name);
            return false;
        }
        if (option->value)
            return take_value(run, option, letters[1] ? letters + 1 : NULL, count, arguments, i);
        if (!add_given(run, option, NULL))
            return false;
    }
    return true;
}

/* A negative number is an operand or a value, not an option. */
static bool is_option(const char *argument)
{
    return argument[0] == '-' && argument[1] != 0 && !(argument[1] >= '0' && argument[1] <= '9') && argument[1] != '.';
}

static bool right_number_of_operands(const cli_run *run)
{
    const cli_command *command = run->command;
    if (cli_has(run, "help"))
        return true;
    if (run->operand_count < command->least) {
        cli_usage_error(run, "needs %s: snub %s %s", command->operands, command->name, command->operands);
        return false;
    }
    if (command->most >= 0 && run->operand_count > command->most) {
        cli_usage_error(run, "unexpected argument \"%.60s\"", run->operands[command->most]);
        return false;
    }
    return true;
}

bool cli_parse(cli_run *run, int count, char **arguments)
{
    bool options = true;
    /* A letter cluster may hold several options in one argument. */
    size_t most = 1;
    for (int i = 0; i < count; i++)
        most += strlen(arguments[i]) + 1;
    run->operands = SNUB_NEW(&run->arena, const char *, count + 1);
    run->given = SNUB_NEW(&run->arena, cli_given, most);
    if (!run->operands || !run->given) {
        cli_usage_error(run, "out of memory");
        return false;
    }
    for (int i = 0; i < count; i++) {
        if (options && strcmp(arguments[i], "--") == 0) {
            options = false;
        } else if (options && is_option(arguments[i])) {
            bool good =
                arguments[i][1] == '-' ? parse_long(run, count, arguments, &i) : parse_short(run, count, arguments, &i);
            if (!good)
                return false;
        } else {
            run->operands[run->operand_count++] = arguments[i];
        }
    }
    run->json = cli_has(run, "json");
    if (cli_has(run, "inches") && cli_has(run, "metric")) {
        cli_usage_error(run, "--inches and --metric: leave one out");
        return false;
    }
    run->locale.inches = cli_has(run, "inches");
    return right_number_of_operands(run) && (cli_has(run, "help") || cli_writes_options(run));
}

/* ---- what the command line said ---------------------------------------------------------------------------------- */

static const cli_given *last_given(const cli_run *run, const char *option)
{
    for (int i = run->given_count - 1; i >= 0; i--) {
        if (strcmp(run->given[i].option->name, option) == 0)
            return &run->given[i];
    }
    return NULL;
}

const char *cli_value(const cli_run *run, const char *option)
{
    const cli_given *given = last_given(run, option);
    return given ? given->value ? given->value : "" : NULL;
}

const char *cli_keep_text(cli_run *run, snub_text *text)
{
    const char *copy = text->failed ? NULL : snub_copy_text(&run->arena, text->data ? text->data : "");
    snub_text_free(text);
    *text = (snub_text){0};
    return copy;
}

bool cli_is_line(const char *text, size_t most)
{
    uint32_t point;
    const size_t length = strlen(text);
    return length > 0 && length <= most && strpbrk(text, "\t\r\n") == NULL &&
           snub_utf8_invalid(text, length) == length && !snub_text_hidden(text, length, &point);
}

int cli_word(const cli_run *run, const char *option, int otherwise)
{
    const cli_given *given = last_given(run, option);
    return given ? place_of(given->value, given->option->words) : otherwise;
}

bool cli_has(const cli_run *run, const char *option)
{
    return cli_value(run, option) != NULL;
}

bool cli_quantity(const cli_run *run, const char *option, snub_quantity quantity, double *value)
{
    const char *text = cli_value(run, option);
    snub_error error;
    double parsed;
    if (!text)
        return true;
    if (snub_units_parse(run->units, quantity, text, &parsed, &error) != SNUB_OK) {
        cli_usage_error(run, "--%s: %s (got \"%.60s\", need %s)", option, error.message, error.got, error.need);
        return false;
    }
    *value = parsed;
    return true;
}

bool cli_count(const cli_run *run, const char *option, long least, long most, long *value)
{
    const char *text = cli_value(run, option);
    double number;
    if (!text)
        return true;
    if (snub_parse_number(text, NULL, &number) != SNUB_OK || floor(number) != number || number < (double)least ||
        number > (double)most) {
        cli_usage_error(run, "--%s takes a whole number from %ld to %ld, not \"%.60s\"", option, least, most, text);
        return false;
    }
    *value = (long)number;
    return true;
}

const char *cli_format(const cli_run *run, const char *const *formats, const char *usual)
{
    const char *format = cli_value(run, "format"), *path = cli_value(run, "output");
    if (format)
        return format;
    if (run->json)
        return "json";
    const char *dot = path ? strrchr(path, '.') : NULL;
    for (int i = 0; dot && formats[i]; i++) {
        if (strcmp(dot + 1, formats[i]) == 0)
            return formats[i];
    }
    return usual;
}

/* ---- the command again ----------------------------------------------------------------------------------------- */

/* Options that decide the build, and so stand in a command that shows it again. */
static const char *const of_build[] = {"set",  "variant", "package", "catalogue", "build",
                                       "free", "inches",  "metric",  NULL};

static bool is_one_of(const char *word, const char *const *words)
{
    for (int i = 0; words[i]; i++) {
        if (strcmp(word, words[i]) == 0)
            return true;
    }
    return false;
}

void cli_again(const cli_run *run, const char *command, snub_text *out)
{
    snub_text_printf(out, "snub %s ", command);
    snub_text_shell(out, run->operands[0]);
    for (int i = 0; i < run->given_count; i++) {
        const cli_given *given = &run->given[i];
        if (!is_one_of(given->option->name, of_build))
            continue;
        snub_text_printf(out, " --%s ", given->option->name);
        if (given->value)
            snub_text_shell(out, given->value);
        else
            out->length--; /* the blank */
    }
    if (!out->failed)
        out->data[out->length] = 0;
}

/* What the program makes of a drive, for its page. The commands' own options are the list: a sheet, a view or a format
 * that is added to one of them is on the page by that. */
#include "papers.h"

#include <string.h>
#include <unistd.h>

#include "commands.h"
#include "locale_shipped.h"
#include "shipped.h"
#include "snub/json.h"

enum {
    WORDS_MOST = 48,
    VALUE_MOST = 200 /* bytes of an option's value */
};

/* A command whose output may be a file. `kinds` and `forms` are options of its own. */
typedef struct door {
    const cli_command *command;
    const cli_option *kinds, *forms; /* NULL: it has but one */
    const char *group, *form;        /* the form where it has but one */
} door;

static const cli_option *own_option(const cli_command *command, const char *name)
{
    for (int i = 0; i < command->option_count; i++)
        if (strcmp(command->options[i].name, name) == 0)
            return &command->options[i];
    return NULL;
}

static const cli_option *either(const cli_command *command, const char *one, const char *other)
{
    const cli_option *option = own_option(command, one);
    return option ? option : own_option(command, other);
}

static bool is_door(const cli_command *command, door *out)
{
    static const struct {
        const char *command, *group, *form;
    } groups[] = {{"sheet", "Sheets", "pdf"},
                  {"draw", "Drawings", NULL},
                  {"tolerate", "Drawings", NULL},
                  {"share", "Page to send", "html"},
                  {NULL, "Tables", NULL}};
    const size_t last = sizeof groups / sizeof groups[0] - 1;
    size_t i = 0;
    if (!command->reads_drive || !own_option(command, "output"))
        return false;
    while (i < last && strcmp(command->name, groups[i].command) != 0)
        i++;
    *out = (door){.command = command,
                  .kinds = either(command, "kind", "view"),
                  .forms = either(command, "form", "format"),
                  .group = groups[i].group,
                  .form = groups[i].form};
    return out->forms || out->form; /* what it writes has a form; of readings, measure writes a piece of a drive file */
}

static const char *const *forms_of(const door *d, const char *one[2])
{
    one[0] = d->form;
    one[1] = NULL;
    return d->forms ? d->forms->words : one;
}

/* ---- the lists --------------------------------------------------------------------------------------------------- */

/* Not for the page: what it says in its own way, what is of a terminal, and what asks for more than one file. */
static bool for_page(const door *d, const cli_option *option)
{
    static const char *const others[] = {"set",    "json", "help",       "threads", "build",
                                         "builds", "way",  "want-boost", "each"};
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++)
        if (strcmp(option->name, others[i]) == 0)
            return false;
    return !option->file && option != d->kinds && option != d->forms;
}

static json_t *words_json(const char *const *words)
{
    json_t *list = words ? json_array() : json_null();
    for (; words && *words; words++)
        snub_json_append(list, snub_json_words(*words));
    return list;
}

static json_t *option_json(const cli_option *option, snub_arena *arena)
{
    cli_languages languages;
    const char *const *words = option->words;
    if (strcmp(option->name, "language") == 0) {
        cli_languages_find(arena, &languages);
        words = languages.code;
    }
    return json_pack("{s:s, s:s, s:o, s:o}", "name", option->name, "help", option->help, "value",
                     snub_json_words(option->value), "words", words_json(words));
}

static json_t *options_json(const door *d, snub_arena *arena)
{
    json_t *list = json_array();
    const cli_option *option;
    for (int i = 0; (option = cli_option_at(d->command, i)) != NULL; i++)
        if (for_page(d, option))
            snub_json_append(list, option_json(option, arena));
    return list;
}

static const char *name_of(const char *command, const char *kind)
{
    static const struct {
        const char *command, *kind, *name;
    } names[] = {
        {"sheet", "fitting", "Fitting sheet"},
        {"sheet", "chart", "Application chart"},
        {"sheet", "parts", "Parts list of a build"},
        {"sheet", "bill", "Bill of materials"},
        {"sheet", "template", "Template, full size in pages"},
        {"sheet", "report", "Engineering report"},
        {"sheet", "strip", "Setting strip"},
        {"draw", "front", "Front view"},
        {"draw", "side", "Side view"},
        {"draw", "template", "Template, full size"},
        {"draw", "plate", "Bracket plate, full size"},
        {"chart", "", "Chart of all builds"},
        {"bill", "", "Bill of materials"},
        {"sweep", "", "Rev range"},
        {"tolerate", "", "Kits within their tolerances"},
        {"share", "", "Kit for a phone"},
    };
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++)
        if (strcmp(names[i].command, command) == 0 && strcmp(names[i].kind, kind) == 0)
            return names[i].name;
    return kind[0] ? kind : command;
}

static bool of_kit(const door *d, const char *kind)
{
    if (strcmp(d->command->name, "sheet") == 0)
        return cli_sheet_of_kit(kind);
    return !d->command->one_build && !own_option(d->command, "build");
}

static void add_papers(const door *d, json_t *list)
{
    static const char *const only[] = {"", NULL};
    const char *one[2];
    for (const char *const *kind = d->kinds ? d->kinds->words : only; *kind; kind++)
        snub_json_append(list, json_pack("{s:s, s:s, s:s, s:s, s:s, s:o}", "command", d->command->name, "kind", *kind,
                                         "name", name_of(d->command->name, *kind), "group", d->group, "of",
                                         of_kit(d, *kind) ? "kit" : "build", "forms", words_json(forms_of(d, one))));
}

static json_t *papers(snub_arena *arena)
{
    json_t *list = json_array(), *options = json_object();
    int count;
    door d;
    const cli_command *const *commands = cli_commands(&count);
    for (int i = 0; i < count; i++) {
        if (!is_door(commands[i], &d))
            continue;
        add_papers(&d, list);
        snub_json_put(options, d.command->name, options_json(&d, arena));
    }
    return json_pack("{s:o, s:o}", "papers", list, "options", options);
}

static json_t *choices(snub_arena *arena)
{
    return options_json(&(door){.command = &cli_new}, arena);
}

/* ---- the words of a command line --------------------------------------------------------------------------------- */

typedef struct line {
    snub_arena *arena;
    const char **words;
    int count;
    snub_error *error;
} line;

static snub_status add_word(line *l, const char *option, const char *value)
{
    const char *word = value ? snub_format(l->arena, "--%s=%s", option, value) : snub_format(l->arena, "--%s", option);
    if (!word)
        return snub_fail(l->error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    if (l->count >= WORDS_MOST - 4)
        return snub_fail(l->error, SNUB_TOO_LARGE, NULL, "options", "too many options");
    l->words[l->count++] = word;
    return SNUB_OK;
}

/* One of the option's own words, as the option has it. */
static const char *among(const char *const *words, const json_t *value)
{
    const char *text = json_string_value(value);
    while (text && *words && strcmp(*words, text) != 0)
        words++;
    return text ? *words : NULL;
}

static const cli_option *option_of(const door *d, const char *name)
{
    const cli_option *option;
    for (int i = 0; (option = cli_option_at(d->command, i)) != NULL; i++)
        if (strcmp(option->name, name) == 0)
            return for_page(d, option) || strcmp(name, "build") == 0 ? option : NULL;
    return NULL;
}

static snub_status add_option(line *l, const door *d, const char *name, const json_t *value)
{
    const cli_option *option = option_of(d, name);
    const char *text = json_string_value(value);
    if (!option)
        return snub_fail(l->error, SNUB_BAD_INPUT, NULL, "options", "%s has no option %.40s for the page",
                         d->command->name, name);
    if (!option->value) {
        if (!json_is_boolean(value))
            return snub_fail(l->error, SNUB_BAD_INPUT, NULL, option->name, "needs true or false");
        return json_is_true(value) ? add_word(l, option->name, NULL) : SNUB_OK;
    }
    if (!text || json_string_length(value) != strlen(text) || !cli_is_line(text, VALUE_MOST))
        return snub_fail(l->error, SNUB_BAD_INPUT, NULL, option->name, "needs one line of 1 to %d bytes", VALUE_MOST);
    return add_word(l, option->name, text);
}

static snub_status add_options(line *l, const door *d, const json_t *options)
{
    const char *name;
    json_t *value;
    snub_status status = SNUB_OK;
    if (options && !json_is_object(options))
        return snub_fail(l->error, SNUB_BAD_INPUT, NULL, "options", "needs names with their values");
    json_object_foreach((json_t *)options, name, value)
    {
        if (!status)
            status = add_option(l, d, name, value);
    }
    return status;
}

static snub_status begin_line(line *l, const char *command)
{
    l->words = SNUB_NEW(l->arena, const char *, WORDS_MOST);
    if (!l->words)
        return snub_fail(l->error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    l->words[l->count++] = command;
    return SNUB_OK;
}

static void end_line(line *l, const char *operand)
{
    l->words[l->count++] = "--";
    l->words[l->count++] = operand;
    l->words[l->count] = NULL;
}

static bool find_door(const json_t *name, door *d)
{
    const char *text = json_string_value(name);
    const cli_command *command = text ? cli_command_named(text) : NULL;
    return command && is_door(command, d);
}

static snub_status paper(const serve_program *own, const json_t *wanted, const char *file, snub_arena *arena,
                         const char *const **words, const char **ending, snub_error *error)
{
    line l = {.arena = arena, .error = error};
    door d;
    const char *one[2], *form, *kind = "";
    if (!find_door(json_object_get(wanted, "command"), &d))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "command", "is none that makes a paper");
    if (d.kinds && !(kind = among(d.kinds->words, json_object_get(wanted, "kind"))))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "kind", "is none of %s", d.command->name);
    if (!(form = among(forms_of(&d, one), json_object_get(wanted, "form"))))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "form", "is none of %s", d.command->name);
    snub_status status = begin_line(&l, d.command->name);
    if (!status && d.kinds)
        status = add_word(&l, d.kinds->name, kind);
    if (!status && d.forms)
        status = add_word(&l, d.forms->name, form);
    if (!status)
        status = add_word(&l, "output", "-");
    if (!status && own->catalogue)
        status = add_word(&l, "catalogue", own->catalogue);
    if (!status)
        status = add_options(&l, &d, json_object_get(wanted, "options"));
    if (status)
        return status;
    end_line(&l, file);
    *words = l.words;
    *ending = strcmp(form, "text") == 0 ? "txt" : form;
    return SNUB_OK;
}

static snub_status new_drive(const json_t *options, snub_arena *arena, const char *const **words, snub_error *error)
{
    line l = {.arena = arena, .error = error};
    snub_status status = begin_line(&l, cli_new.name);
    if (!status)
        status = add_options(&l, &(door){.command = &cli_new}, options);
    if (status)
        return status;
    end_line(&l, "-");
    *words = l.words;
    return SNUB_OK;
}

/* The papers are made in the folder that is served. */
static const char *absolute(const char *path, snub_arena *arena)
{
    char folder[4096];
    if (!path || path[0] == '/')
        return path;
    return getcwd(folder, sizeof folder) ? snub_format(arena, "%s/%s", folder, path) : path;
}

void cli_papers(const char *catalogue, snub_arena *arena, serve_program *program)
{
    *program = (serve_program){.papers = papers,
                               .choices = choices,
                               .paper = paper,
                               .new_drive = new_drive,
                               .catalogue = absolute(catalogue, arena),
                               .examples = cli_shipped(arena, "examples", "examples", "")};
}

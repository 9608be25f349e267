/* What goes to standard output and standard error. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include "files.h"
#include "progress.h"
#include "refused.h"
#include "snub/json.h"
#include "snub/ranks.h"

enum { WIDTH_USUAL = 80, WIDTH_LEAST = 40, WIDTH_MOST = 400 };

void cli_terminal(int *width, bool *colour)
{
    bool terminal = isatty(STDOUT_FILENO) == 1;
    const char *columns = getenv("COLUMNS"), *none = getenv("NO_COLOR"), *kind = getenv("TERM");
    struct winsize size = {0};
    long wide = columns ? strtol(columns, NULL, 10) : 0;
    if (wide <= 0 && terminal && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0)
        wide = size.ws_col;
    if (wide <= 0)
        wide = WIDTH_USUAL;
    *width = (int)(wide < WIDTH_LEAST ? WIDTH_LEAST : wide > WIDTH_MOST ? WIDTH_MOST : wide);
    /* no-color.org: any value that is not empty. */
    *colour = terminal && !(none && none[0]) && !(kind && strcmp(kind, "dumb") == 0);
}

/* Standard error, with no line of progress on it. */
static void say(const char *text)
{
    cli_progress_pause();
    fputs(text, stderr);
    cli_progress_resume();
}

void cli_say(const char *format, ...)
{
    snub_text text = {0};
    va_list arguments;
    va_start(arguments, format);
    snub_text_vprintf(&text, format, arguments);
    va_end(arguments);
    say(text.data && !text.failed ? text.data : "snub: out of memory\n");
    snub_text_free(&text);
}

/* Some library below may have hidden that it got no memory, and what is to be told now may be wrong for it. */
static int no_memory(void)
{
    say("snub: out of memory\n");
    return CLI_BAD;
}

int cli_error(const snub_error *error, const char *source, size_t source_length)
{
    snub_text text = {0};
    if (memory_refused())
        return no_memory();
    if (!error->place.file)
        snub_text_puts(&text, "snub: ");
    snub_error_render(error, source, source_length, &text);
    say(text.data && !text.failed ? text.data : "snub: out of memory\n");
    snub_text_free(&text);
    return CLI_BAD;
}

int cli_usage_error(const cli_run *run, const char *format, ...)
{
    snub_text text = {0};
    va_list arguments;
    va_start(arguments, format);
    snub_text_vprintf(&text, format, arguments);
    va_end(arguments);
    /* The command line is the user's own, but it may have been pasted from anywhere. */
    snub_text safe = {0};
    if (text.data)
        snub_text_safe(&safe, text.data, text.length);
    cli_say("snub%s%s: %s\n", run->command ? " " : "", run->command ? run->command->name : "",
            safe.data ? safe.data : "out of memory");
    snub_text_free(&text);
    snub_text_free(&safe);
    return CLI_BAD;
}

int cli_put(const cli_run *run, const char *path, const snub_text *text, int code)
{
    snub_error error;
    if (memory_refused())
        return no_memory();
    if (snub_own_rank() > 0) /* rank 0 writes the same */
        return code;
    if (!text->failed && !cli_may_write(run, path))
        return CLI_BAD;
    if (cli_is_standard_output(path))
        cli_progress_pause(); /* the same terminal, as a rule */
    else
        cli_doing("writing");
    const snub_status status = snub_text_write(cli_is_standard_output(path) ? "-" : path, text, &error);
    if (cli_is_standard_output(path))
        cli_progress_resume();
    if (status != SNUB_OK)
        return cli_error(&error, NULL, 0);
    return code;
}

int cli_print(const cli_run *run, const snub_text *text, int code)
{
    return cli_put(run, "-", text, code);
}

static json_t *error_json(const snub_error *error)
{
    json_t *object = json_object();
    snub_json_put(object, "file", snub_json_words(error->place.file ? error->place.file : ""));
    snub_json_put(object, "line", json_integer(error->place.line));
    snub_json_put(object, "column", json_integer(error->place.column));
    snub_json_put(object, "key", snub_json_words(error->key));
    snub_json_put(object, "message", snub_json_words(error->message));
    snub_json_put(object, "got", snub_json_words(error->got));
    snub_json_put(object, "need", snub_json_words(error->need));
    return object;
}

void cli_hint(cli_run *run, const snub_error *hint)
{
    json_t *told = error_json(hint);
    if (!run->hints)
        run->hints = json_array();
    bool again = false;
    for (size_t i = 0; i < json_array_size(run->hints); i++)
        again = again || json_equal(json_array_get(run->hints, i), told);
    if (!again)
        cli_error(hint, NULL, 0);
    if (again)
        json_decref(told);
    else
        snub_json_append(run->hints, told);
}

snub_status cli_json_text(const cli_run *run, json_t *json, snub_text *out, snub_error *error)
{
    if (run->hints)
        snub_json_put(json, "hints", json_incref(run->hints));
    const snub_status status = snub_json_text(json, SNUB_JSON_LINES, out, error);
    json_decref(json);
    return status;
}

int cli_print_json(const cli_run *run, json_t *json, int code)
{
    return cli_put_json(run, json, NULL, code);
}

int cli_put_json(const cli_run *run, json_t *json, const char *path, int code)
{
    snub_text text = {0};
    snub_error error;
    const snub_status status = cli_json_text(run, json, &text, &error);
    code = status == SNUB_OK ? cli_put(run, path, &text, code) : cli_error(&error, NULL, 0);
    snub_text_free(&text);
    return code;
}

int cli_errors(const cli_run *run, const snub_errors *errors, const char *source, size_t source_length)
{
    for (int i = 0; i < errors->count; i++)
        cli_error(&errors->items[i], errors->items[i].place.line > 0 ? source : NULL, source_length);
    int all = errors->count + errors->more;
    if (errors->more > 0)
        cli_say("snub: %d errors; the first %d are shown\n", all, errors->count);
    else if (all > 1)
        cli_say("snub: %d errors\n", all);
    if (run->json) {
        json_t *root = json_object(), *list = json_array();
        for (int i = 0; i < errors->count; i++)
            snub_json_append(list, error_json(&errors->items[i]));
        snub_json_put(root, "snub", json_integer(1));
        snub_json_put(root, "errors", list);
        snub_json_put(root, "more", json_integer(errors->more));
        cli_print_json(run, root, CLI_BAD);
    }
    return CLI_BAD;
}

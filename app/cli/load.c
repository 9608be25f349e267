/* From a path on the command line to a settled build. */
#include "load.h"
#include "files.h"
#include "house.h"
#include "map_source.h"
#include "pictures.h"
#include "progress.h"
#include "snub/bill.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

bool cli_told(const cli_run *run, snub_errors *errors, const cli_drive *loaded, bool good)
{
    if (!good)
        cli_errors(run, errors, loaded->document.source, loaded->document.source_length);
    snub_errors_free(errors);
    return good;
}

static void tell_hints(cli_run *run, const snub_hint *hint)
{
    snub_error error;
    for (; hint; hint = hint->next) {
        snub_hint_error(hint, &error);
        cli_hint(run, &error);
    }
}

/* Standard input, to its end or to the limit on a drive file. */
static snub_status read_stdin(cli_run *run, snub_document *document, snub_errors *errors)
{
    snub_text text = {0};
    char piece[4096];
    size_t got;
    cli_progress_pause(); /* it may be typed at this terminal */
    while ((got = fread(piece, 1, sizeof piece, stdin)) > 0 && text.length <= SNUB_FILE_BYTES_MOST)
        snub_text_add(&text, piece, got);
    cli_progress_resume();
    const snub_place place = {.file = "standard input"};
    snub_status status;
    snub_error error = {0};
    if (ferror(stdin)) /* closed, a folder, or open for writing only */
        status = snub_fail(&error, SNUB_IO, &place, NULL, "cannot be read: %s", strerror(errno));
    else if (text.failed)
        status = snub_fail(&error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    else
        status =
            snub_document_parse(place.file, text.data ? text.data : "", text.length, &run->arena, document, errors);
    if (error.code != SNUB_OK)
        snub_errors_add(errors, &error);
    snub_text_free(&text);
    return status;
}

/* A map under one word changes what stands in it and leaves the rest, as in a variant: `--set air={humidity: 0.5}`.
 * @return false: out of memory */
static bool spread(snub_arena *arena, const snub_overlay *set, snub_overlay *overlays, int *count)
{
    if (set->value->kind != SNUB_MAP || set->value->count == 0 || strchr(set->path, '.') != NULL) {
        overlays[(*count)++] = *set;
        return true;
    }
    for (int i = 0; i < set->value->count; i++) {
        const char *path = snub_format(arena, "%s.%s", set->path, set->value->keys[i]->text);
        if (path == NULL)
            return false;
        overlays[(*count)++] = (snub_overlay){path, set->value->items[i], set->place};
    }
    return true;
}

/* Overlays of all --set: a map may spread into as many as its text has bytes. */
static int most_overlays(const cli_run *run)
{
    size_t most = 1;
    for (int i = 0; i < run->given_count; i++)
        most += strcmp(run->given[i].option->name, "set") == 0 ? 1 + strlen(run->given[i].value) / 2 : 0;
    return (int)most;
}

/* ---- maps and tables that the drive names
 * ----------------------------------------------------------------------------------- */

/* Each text in what is given for a map: a path, or paths on offer. */
static bool note_paths(cli_run *run, const snub_document *document, const snub_node *node, const char *role)
{
    if (node->kind != SNUB_SCALAR) {
        for (int i = 0; i < node->count; i++)
            if (!note_paths(run, document, node->items[i], role))
                return false;
        return true;
    }
    const char *path = cli_map_path(document, node->text, &run->arena);
    return !path || cli_reads(run, role, path);
}

/* What a key names: "map" itself, or the last word of "blower.map" as options and variants write it; "file" of a
 * sample. NULL: no file */
static const char *role_of(const char *key)
{
    const char *dot = strrchr(key, '.'), *word = dot ? dot + 1 : key;
    return strcmp(word, "map") == 0 ? "blower map" : strcmp(word, "file") == 0 ? "table of measured values" : NULL;
}

/* Every map of the file, also of a variant that is not looked at now: the readers come to them late and in threads. */
static bool note_maps(cli_run *run, const snub_document *document, const snub_node *node)
{
    if (node->kind == SNUB_SCALAR)
        return true;
    for (int i = 0; i < node->count; i++) {
        const char *role = node->kind == SNUB_MAP ? role_of(node->keys[i]->text) : NULL;
        if (!(role ? note_paths(run, document, node->items[i], role) : note_maps(run, document, node->items[i])))
            return false;
    }
    return true;
}

/* PATH=VALUE, of an option, as overlays. @return false: told */
static bool read_change(cli_run *run, const snub_document *document, const char *option, const char *text,
                        const snub_hint **hints, snub_overlay *overlays, int *count)
{
    const char *equals = strchr(text, '=');
    if (!equals || equals == text) {
        cli_usage_error(run, "--%s takes PATH=VALUE, as in --%s blower.diameter=79, not \"%.60s\"", option, option,
                        text);
        return false;
    }
    const char *origin = snub_format(&run->arena, "--%s %s", option, text);
    char *path = snub_copy_text_n(&run->arena, text, (size_t)(equals - text));
    snub_node *node = NULL;
    snub_error error;
    if (!origin || !path) {
        cli_usage_error(run, "out of memory");
        return false;
    }
    snub_overlay set = {.path = path, .place = {.file = origin}};
    bool good = snub_node_from_text(equals + 1, origin, &run->arena, &node, &error) == SNUB_OK;
    set.value = node;
    good = good && snub_overlay_rename(document, &run->arena, &set, hints, &error) == SNUB_OK;
    if (!good) {
        cli_error(&error, NULL, 0);
        return false;
    }
    const char *role = role_of(set.path);
    if (!(role ? note_paths(run, document, node, role) : note_maps(run, document, node)))
        return false;
    return spread(&run->arena, &set, overlays, count) || (cli_usage_error(run, "out of memory"), false);
}

/* --set PATH=VALUE into overlays. */
static bool read_sets(cli_run *run, cli_drive *loaded)
{
    snub_overlay *overlays = SNUB_NEW(&run->arena, snub_overlay, most_overlays(run));
    const snub_hint *hints = NULL;
    int count = 0;
    if (!overlays) {
        cli_usage_error(run, "out of memory");
        return false;
    }
    for (int i = 0; i < run->given_count; i++) {
        if (strcmp(run->given[i].option->name, "set") == 0 &&
            !read_change(run, &loaded->document, "set", run->given[i].value, &hints, overlays, &count))
            return false;
    }
    tell_hints(run, hints);
    loaded->reading.overlays = overlays;
    loaded->reading.overlay_count = count;
    return true;
}

/* A key `part` or `parts`, or the word `catalogue` for a value. Depth is bounded by the document's own limit. */
static bool names_part(const snub_node *node)
{
    if (node->kind == SNUB_SCALAR)
        return strcmp(node->text, "catalogue") == 0;
    for (int i = 0; i < node->count; i++) {
        const char *key = node->kind == SNUB_MAP ? node->keys[i]->text : "";
        if (strcmp(key, "part") == 0 || strcmp(key, "parts") == 0 || names_part(node->items[i]))
            return true;
    }
    return false;
}

/* The catalogue is opened only for a drive that names a part: it costs a file, which need not exist. */
static bool needs_catalogue(const cli_drive *loaded)
{
    if (names_part(loaded->document.root))
        return true;
    for (int i = 0; i < loaded->reading.overlay_count; i++) {
        const snub_overlay *overlay = &loaded->reading.overlays[i];
        if (strstr(overlay->path, "part") || names_part(overlay->value))
            return true;
    }
    return false;
}

static bool open_catalogue(cli_run *run, cli_drive *loaded)
{
    const char *given = cli_value(run, "catalogue");
    snub_error error;
    if (!given && !needs_catalogue(loaded))
        return true;
    const char *path = snub_catalogue_path(given, &run->arena);
    /* Where none was asked for by name, none need be there: the reader tells a `part:` that it cannot look up. */
    if (!path)
        return true;
    if (!given) {
        FILE *there = fopen(path, "rb");
        if (!there)
            return true;
        fclose(there);
    }
    if (!cli_reads_catalogue(run, path, false))
        return false;
    if (snub_catalogue_open(path, SNUB_CATALOGUE_READ, 5, &loaded->catalogue, &error) != SNUB_OK) {
        cli_error(&error, NULL, 0);
        return false;
    }
    snub_parts_source(loaded->catalogue, &loaded->parts);
    loaded->reading.parts = &loaded->parts;
    return true;
}

/* Where the command line does not say, the file does, and where that does not, its house; of several files the first.
 */
static void take_units(cli_run *run, const cli_drive *loaded)
{
    const snub_node *root = loaded->document.root;
    const bool silent = root->kind != SNUB_MAP || snub_node_get(root, "units") == NULL;
    if (!run->units_known && !cli_has(run, "inches") && !cli_has(run, "metric"))
        run->locale.inches = silent && loaded->house != NULL && loaded->house->inches >= 0
                                 ? loaded->house->inches == 1
                                 : snub_document_inches(&loaded->document);
    run->units_known = true;
}

/* A file for inch units with bare numbers: told once for a file, whatever is laid over it. */
static void tell_bare(cli_run *run, const snub_document *document, const snub_bare *bare)
{
    snub_error error;
    if (bare->count == 0 || run->bare_told == document)
        return;
    run->bare_told = document;
    snub_bare_error(bare, &error);
    cli_hint(run, &error);
}

/* Values that nobody has measured yet. */
static void tell_placeholders(cli_run *run, const snub_placeholders *placeholders)
{
    snub_error error;
    if (placeholders->count == 0)
        return;
    snub_placeholders_error(placeholders, &error);
    cli_hint(run, &error);
}

snub_status cli_read_document(cli_run *run, const char *path, snub_document *document, snub_errors *errors)
{
    const snub_status status = strcmp(path, "-") == 0 ? read_stdin(run, document, errors)
                                                      : snub_document_read(path, &run->arena, document, errors);
    tell_hints(run, document->hints);
    return status;
}

bool cli_load(cli_run *run, const char *path, cli_drive *loaded)
{
    snub_errors errors = {0};
    *loaded = (cli_drive){.reading = {.units = run->units, .arena = &run->arena, .maps = &cli_map_source}};
    if (!cli_reads(run, "drive file", path))
        return false;
    cli_doing("reading the drive file");
    const snub_status status = cli_read_document(run, path, &loaded->document, &errors);
    if (!cli_told(run, &errors, loaded, status == SNUB_OK))
        return false;
    tell_placeholders(run, &loaded->document.placeholders);
    if (!cli_read_house(run, loaded))
        return false;
    take_units(run, loaded);
    return note_maps(run, &loaded->document, loaded->document.root) && read_sets(run, loaded) &&
           cli_read_pictures(run, loaded) && open_catalogue(run, loaded);
}

void cli_unload(cli_drive *loaded)
{
    snub_catalogue_close(loaded->catalogue);
    loaded->catalogue = NULL;
}

/* ---- which build ------------------------------------------------------------------------------------------------- */

snub_named_rows cli_named(const cli_run *run)
{
    return (snub_named_rows){cli_value(run, "variant"), cli_value(run, "package")};
}

bool cli_own_row(const cli_run *run, const cli_drive *loaded, const snub_named_rows *named, snub_row *row)
{
    snub_errors errors = {0};
    const snub_status status = snub_row_own(&loaded->document, &loaded->reading, named, row, &errors);
    return cli_told(run, &errors, loaded, status == SNUB_OK);
}

bool cli_rows(const cli_run *run, const cli_drive *loaded, snub_rows *rows)
{
    snub_errors errors = {0};
    const snub_named_rows named = cli_named(run);
    const snub_status status = snub_rows_list(&loaded->document, &loaded->reading, &named, rows, &errors);
    return cli_told(run, &errors, loaded, status == SNUB_OK);
}

const snub_row *cli_row_numbered(const cli_run *run, const snub_rows *rows, const char *number)
{
    double value;
    if (snub_parse_number(number, NULL, &value) == SNUB_OK && value == floor(value) && value >= 1 &&
        value <= rows->count)
        return &rows->items[(int)value - 1];
    const snub_row *found = NULL;
    for (int i = 0; i < rows->count; i++) {
        if (!snub_code_matches(rows->items[i].code, number))
            continue;
        if (found != NULL)
            return cli_usage_error(run, "two builds have the code %s: give --build %d or %d", rows->items[i].code,
                                   (int)(found - rows->items) + 1, i + 1),
                   NULL;
        found = &rows->items[i];
    }
    if (found == NULL)
        cli_usage_error(run, "--build takes a number from 1 to %d, or a code, as in `snub chart`, not \"%.40s\"",
                        rows->count, number);
    return found;
}

bool cli_make_build(cli_run *run, const cli_drive *loaded, const snub_row *row, const snub_build_request *request,
                    snub_build *build)
{
    snub_errors errors = {0};
    cli_doing("finding and judging the belt and its setting");
    const snub_status status = snub_build_make(&loaded->document, &loaded->reading, row, request, build, &errors);
    if (status == SNUB_OK)
        tell_bare(run, build->drive->document, &build->drive->bare);
    return cli_told(run, &errors, loaded, status == SNUB_OK);
}

snub_build_request cli_request(const cli_run *run)
{
    const bool free_all = cli_has(run, "free");
    return (snub_build_request){.afresh = free_all || cli_has(run, "build") || cli_has(run, "builds"),
                                .free_length = free_all};
}

bool cli_one_build(cli_run *run, const cli_drive *loaded, snub_build *build)
{
    const char *number = cli_value(run, "build");
    const snub_build_request request = cli_request(run);
    const snub_named_rows named = cli_named(run);
    snub_row own;
    snub_rows rows;
    const snub_row *row = &own;
    if (number == NULL && !cli_own_row(run, loaded, &named, &own))
        return false;
    if (number != NULL) {
        if (!cli_rows(run, loaded, &rows))
            return false;
        row = cli_row_numbered(run, &rows, number);
    }
    return row != NULL && cli_make_build(run, loaded, row, &request, build);
}

bool cli_state(cli_run *run, const cli_drive *loaded, const snub_build *build, const snub_wanted_state *wanted,
               snub_state *state)
{
    snub_error error;
    if (snub_build_state(build, wanted, &run->arena, state, &error) == SNUB_OK)
        return true;
    cli_error(&error, loaded->document.source, loaded->document.source_length);
    return false;
}

int cli_verdict(const snub_build *build)
{
    return build->verdict == SNUB_FAIL ? CLI_FAIL : CLI_PASS;
}

static bool tell_builds(int done, int all, void *context)
{
    (void)context;
    cli_done(done, all);
    return true;
}

bool cli_make_chart(cli_run *run, const cli_drive *loaded, const snub_chart_request *request, snub_chart *chart)
{
    snub_errors errors = {0};
    snub_chart_request whole = *request;
    cli_doing("judging builds");
    whole.progress = tell_builds;
    whole.named = cli_named(run);
    whole.fewest = cli_has(run, "fewest");
    const snub_status status = snub_chart_drive(&loaded->document, &loaded->reading, &whole, chart, &errors);
    cli_doing("putting it in order");
    if (status == SNUB_OK)
        tell_bare(run, chart->document, &chart->bare);
    return cli_told(run, &errors, loaded, status == SNUB_OK);
}

bool cli_make_bill(cli_run *run, const cli_drive *loaded, snub_bill *bill)
{
    snub_errors errors = {0};
    const snub_named_rows named = cli_named(run);
    const snub_status status = snub_bill_make(&loaded->document, &loaded->reading, &named, bill, &errors);
    return cli_told(run, &errors, loaded, status == SNUB_OK);
}

/* Where a list of changes has its next one: a ; outside of brackets and quotes. */
static const char *end_of_change(const char *text)
{
    int depth = 0;
    char quote = '\0';
    for (; *text; text++) {
        if (quote)
            quote = *text == quote ? '\0' : quote;
        else if (*text == '\'' || *text == '"')
            quote = *text;
        else if (*text == '[' || *text == '{')
            depth++;
        else if (*text == ']' || *text == '}')
            depth--;
        else if (*text == ';' && depth <= 0)
            break;
    }
    return text;
}

bool cli_row_with_changes(cli_run *run, const cli_drive *loaded, const snub_drive *drive, const char *changes,
                          snub_row *row)
{
    snub_errors errors = {0};
    snub_overlay *overlays = SNUB_NEW(&run->arena, snub_overlay, strlen(changes) / 2 + 1);
    const snub_hint *hints = NULL;
    int count = 0;
    bool good = overlays != NULL || (cli_usage_error(run, "out of memory"), false);
    for (const char *at = changes; good && *at;) {
        const char *end = end_of_change(at);
        at += strspn(at, " ");
        const char *one = snub_copy_text_n(&run->arena, at, (size_t)(end > at ? end - at : 0));
        good = one != NULL && read_change(run, &loaded->document, "with", one, &hints, overlays, &count);
        at = *end ? end + 1 : end;
    }
    tell_hints(run, hints);
    if (good && count == 0)
        return cli_usage_error(run, "--with takes PATH=VALUE, as in --with blower.diameter=79"), false;
    for (int i = 0; good && i < count; i++)
        good = snub_row_with(row, &overlays[i], &run->arena, row) || (cli_usage_error(run, "out of memory"), false);
    return good && cli_told(run, &errors, loaded, snub_row_excluded(&loaded->document, drive, row, &errors) == NULL);
}

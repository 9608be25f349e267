/* snub parts import and update. */
#include "parts_run.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "files.h"
#include "progress.h"
#include "shipped.h"
#include "snub/csv.h"
#include "snub/json.h"
#include "snub/report.h"

/* ---- how the file is written ------------------------------------------------------------------------------------- */

/* @return 0: the option is absent */
static char mark_of(const parts_run *p, const char *option, char (*mark)(int))
{
    return cli_has(p->run, option) ? mark(cli_word(p->run, option, 0)) : 0;
}

static bool read_dialect(const parts_run *p, snub_import_options *wanted)
{
    const char *encoding = cli_value(p->run, "encoding");
    if (encoding)
        wanted->encoding = snub_encoding_named(encoding);
    wanted->delimiter = mark_of(p, "delimiter", snub_separator_mark);
    wanted->decimal = mark_of(p, "decimal", snub_decimal_mark);
    wanted->thousands = mark_of(p, "thousands", snub_thousands_mark);
    if (wanted->thousands && !wanted->decimal)
        return cli_usage_error(p->run, "give --decimal with --thousands"), false;
    if (wanted->thousands && wanted->thousands == wanted->decimal)
        return cli_usage_error(p->run, "--thousands and --decimal are the same mark"), false;
    return true;
}

/* ---- the map of a supplier's file -------------------------------------------------------------------------------- */

static bool parse_map(parts_run *p, const char *name, const char *text, size_t length)
{
    snub_errors errors = {0};
    p->map = SNUB_NEW(&p->run->arena, snub_supplier_map, 1);
    if (!p->map)
        return parts_no_memory(p), false;
    const snub_status status =
        snub_supplier_map_read(name, text, length, p->run->units, &p->run->arena, p->map, &errors);
    if (status == SNUB_NO_MEMORY && errors.count == 0)
        parts_no_memory(p);
    else if (status != SNUB_OK)
        cli_errors(p->run, &errors, p->map->document.source, p->map->document.source_length);
    snub_errors_free(&errors);
    return status == SNUB_OK;
}

static bool map_of_file(parts_run *p, const char *path)
{
    char *text = NULL;
    size_t length;
    snub_error error;
    if (!cli_reads(p->run, "map", path))
        return false;
    if (snub_file_read(path, SNUB_FILE_BYTES_MOST, &text, &length, &error) != SNUB_OK)
        return cli_error(&error, NULL, 0), false;
    const bool good = parse_map(p, path, text, length);
    free(text);
    return good;
}

static bool map_of_supplier(parts_run *p, const char *supplier)
{
    snub_kept_map kept;
    snub_error error;
    const char *name = snub_format(&p->run->arena, "map of %s", supplier);
    if (!name)
        return parts_no_memory(p), false;
    if (!parts_open(p, SNUB_CATALOGUE_READ))
        return false;
    const snub_status status = snub_catalogue_map(p->catalogue, supplier, &p->run->arena, &kept, &error);
    parts_close(p);
    if (status != SNUB_OK)
        return cli_error(&error, NULL, 0), false;
    return parse_map(p, name, kept.text, strlen(kept.text));
}

/* @return false: told */
static bool read_map(parts_run *p, snub_import_options *wanted)
{
    static const char *const said[] = {"delimiter", "encoding", "decimal", "thousands"};
    const char *path = cli_value(p->run, "map"), *supplier = cli_value(p->run, "supplier");
    if (!path && !supplier)
        return true;
    if (path && supplier)
        return cli_usage_error(p->run, "give --map FILE, or --supplier NAME for the map that is kept"), false;
    for (size_t i = 0; i < sizeof said / sizeof said[0]; i++)
        if (cli_has(p->run, said[i]))
            return cli_usage_error(p->run, "the map says how the file is written; --%s goes without one", said[i]),
                   false;
    if (!(path ? map_of_file(p, path) : map_of_supplier(p, supplier)))
        return false;
    wanted->map = p->map;
    wanted->keep_map = path != NULL;
    return true;
}

static bool read_import_options(parts_run *p, snub_import_options *wanted)
{
    *wanted = (snub_import_options){.kind = p->kind,
                                    .source = cli_value(p->run, "source"),
                                    .replace = cli_has(p->run, "replace"),
                                    .skip_bad = cli_has(p->run, "skip-bad"),
                                    .dry_run = cli_has(p->run, "dry-run")};
    return read_dialect(p, wanted) && read_map(p, wanted);
}

static snub_status feed_stream(FILE *stream, const char *name, snub_import *import, snub_error *error)
{
    static char piece[65536];
    snub_status status = SNUB_OK;
    size_t got;
    long long lines = 0;
    if (stream == stdin)
        cli_progress_pause(); /* it may be typed at this terminal */
    cli_doing("importing, lines");
    while (status == SNUB_OK && (got = fread(piece, 1, sizeof piece, stream)) > 0) {
        status = snub_import_feed(import, piece, got, error);
        for (size_t i = 0; i < got; i++)
            lines += piece[i] == '\n';
        cli_done(lines, 0);
    }
    if (stream == stdin)
        cli_progress_resume();
    if (status == SNUB_OK && ferror(stream)) {
        snub_place place = {name, 0, 0, 0, 0};
        status = snub_fail(error, SNUB_IO, &place, NULL, "cannot be read (is it a folder?)");
    }
    return status;
}

static json_t *report_json(const parts_run *p, const char *name, const snub_import_report *report, const char *changed)
{
    json_t *root = json_object();
    snub_json_put(root, "snub", json_integer(1));
    snub_json_put(root, "catalogue", snub_json_words(p->path));
    snub_json_put(root, "file", snub_json_words(name));
    snub_json_put(root, "rows", json_integer(report->rows));
    snub_json_put(root, "added", json_integer(report->added));
    snub_json_put(root, changed, json_integer(report->replaced));
    snub_json_put(root, "bad", json_integer(report->bad));
    snub_json_put(root, "dry_run", json_boolean(cli_has(p->run, "dry-run")));
    snub_json_put(root, "own_numbers_shared", json_integer(report->own_shared));
    snub_json_put(root, "own_numbers_shared_keys", snub_json_words(report->shared_say));
    if (!p->map)
        return root;
    snub_json_put(root, "supplier", snub_json_words(p->map->supplier));
    snub_json_put(root, "rows_left_out", json_integer(report->left_out));
    snub_json_put(root, "columns_left_out", json_integer(report->columns_left_out));
    snub_json_put(root, "columns_left_out_titles", snub_json_words(report->left_out_say));
    snub_json_put(root, "columns_lacking", json_integer(report->columns_lacking));
    snub_json_put(root, "columns_lacking_titles", snub_json_words(report->lacking_say));
    snub_json_put(root, "map_kept", json_boolean(report->map_kept));
    snub_json_put(root, "map_replaced_since", report->map_since[0] ? snub_json_words(report->map_since) : json_null());
    return root;
}

/* Once it is done the map before is gone: a dry run says how to have it. */
static void say_kept(const parts_run *p, const snub_import_report *report, bool dry, snub_text *out)
{
    const char *supplier = parts_shown(p, p->map->supplier);
    snub_text_printf(out, "%s the map for `--supplier '%s'`", dry ? "would keep" : "kept", supplier);
    if (report->map_since[0])
        snub_text_printf(out, "; it replaces the one kept since %s", report->map_since);
    if (report->map_since[0] && dry)
        snub_text_printf(out, ": save that first with `snub parts maps '%s' -o old.yaml` if you want it", supplier);
    snub_text_puts(out, "\n");
}

static void say_more(const parts_run *p, const snub_import_report *report, bool dry, snub_text *out)
{
    if (report->own_shared)
        snub_text_printf(out, "own numbers that several parts have: %d (%s)\n", report->own_shared,
                         parts_shown(p, report->shared_say));
    if (report->left_out)
        snub_text_printf(out, "rows left out by the map: %lld\n", report->left_out);
    if (report->columns_left_out)
        snub_text_printf(out, "columns that the map does not name: %d (%s)\n", report->columns_left_out,
                         parts_shown(p, report->left_out_say));
    if (report->columns_lacking)
        snub_text_printf(out, "columns of the map that the file lacks: %d (%s)\n", report->columns_lacking,
                         parts_shown(p, report->lacking_say));
    if (report->map_kept)
        say_kept(p, report, dry, out);
}

static int tell_imported(const parts_run *p, const char *name, const snub_import_report *report)
{
    const bool dry = cli_has(p->run, "dry-run");
    if (p->run->json)
        return cli_print_json(p->run, report_json(p, name, report, "replaced"), CLI_PASS);
    snub_text out = {0};
    snub_text_printf(&out, "%s: %s %lld of %lld parts", parts_shown(p, name), dry ? "would import" : "imported",
                     report->added + report->replaced, report->rows);
    if (report->replaced)
        snub_text_printf(&out, ", %lld replaced", report->replaced);
    if (report->bad)
        snub_text_printf(&out, "; %lld bad rows left out", report->bad);
    snub_text_puts(&out, "\n");
    say_more(p, report, dry, &out);
    int code = cli_print(p->run, &out, CLI_PASS);
    snub_text_free(&out);
    return code;
}

/* ---- what an update changes -------------------------------------------------------------------------------------- */

typedef struct told_change {
    int line;
    const char *key;
    snub_part_change change;
} told_change;

/* Changes of the file in hand. */
struct parts_changes {
    told_change *items;
    int count, room;
};

static snub_status keep_change(void *context, int line, const char *key, const snub_part_change *change,
                               snub_error *error)
{
    parts_run *p = context;
    parts_changes *all = p->update;
    snub_arena *arena = &p->run->arena;
    if (all->count == all->room) {
        all->room = 2 * all->room + 64;
        told_change *more = SNUB_NEW(arena, told_change, all->room);
        if (!more)
            return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
        if (all->count)
            memcpy(more, all->items, (size_t)all->count * sizeof *more);
        all->items = more;
    }
    told_change *c = &all->items[all->count++];
    *c = (told_change){line,
                       snub_copy_text(arena, key),
                       {.what = snub_copy_text(arena, change->what),
                        .field = snub_copy_text(arena, change->field),
                        .old = change->old ? snub_copy_text(arena, change->old) : NULL,
                        .now = change->now ? snub_copy_text(arena, change->now) : NULL}};
    return arena->refused ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory") : SNUB_OK;
}

static int updated_json(const parts_run *p, const char *name, const snub_import_report *report)
{
    json_t *root = report_json(p, name, report, "changed"), *changes = json_array();
    for (int i = 0; i < p->update->count; i++) {
        const told_change *c = &p->update->items[i];
        json_t *o = json_object();
        snub_json_put(o, "line", json_integer(c->line));
        snub_json_put(o, "key", snub_json_words(c->key));
        parts_put_change(o, &c->change);
        snub_json_append(changes, o);
    }
    snub_json_put(root, "unchanged", json_integer(report->unchanged));
    snub_json_put(root, "changes", changes);
    return cli_print_json(p->run, root, CLI_PASS);
}

static snub_status list_changes(const parts_run *p, snub_text *out, snub_error *error)
{
    enum { COLUMNS = 5 };
    static const snub_column columns[COLUMNS] = {{"line", "", SNUB_CELL_COUNT, 0},
                                                 {"part", "", SNUB_CELL_TEXT, 0},
                                                 {"field", "", SNUB_CELL_TEXT, 0},
                                                 {"old", "", SNUB_CELL_TEXT, 0},
                                                 {"new", "", SNUB_CELL_TEXT, 0}};
    snub_cell *cells = SNUB_NEW(&p->run->arena, snub_cell, COLUMNS * (p->update->count + 1)), *cell = cells;
    if (!cells)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (int i = 0; i < p->update->count; i++) {
        const told_change *c = &p->update->items[i];
        *cell++ = snub_cell_count(c->line);
        *cell++ = snub_cell_text(c->key);
        *cell++ = snub_cell_text(c->change.field[0] ? c->change.field : c->change.what);
        *cell++ = snub_cell_text(c->change.old);
        *cell++ = snub_cell_text(c->change.now);
    }
    const snub_data_table table = {
        .name = "changes", .column_count = COLUMNS, .columns = columns, .row_count = p->update->count, .cells = cells};
    const snub_look look = {.width = p->run->width, .colour = p->run->colour};
    return snub_table_show(&table, &look, out, error);
}

static int tell_updated(const parts_run *p, const char *name, const snub_import_report *report)
{
    const bool dry = cli_has(p->run, "dry-run");
    snub_text out = {0};
    snub_error error;
    snub_status status = SNUB_OK;
    if (p->run->json)
        return updated_json(p, name, report);
    if (dry && p->update->count)
        status = list_changes(p, &out, &error);
    snub_text_printf(&out,
                     dry ? "%s: would change %lld, add %lld, leave %lld unchanged"
                         : "%s: changed %lld, added %lld, unchanged %lld",
                     parts_shown(p, name), report->replaced, report->added, report->unchanged);
    if (report->bad)
        snub_text_printf(&out, "; %lld bad rows left out", report->bad);
    snub_text_puts(&out, "\n");
    say_more(p, report, dry, &out);
    const int code = status == SNUB_OK ? cli_print(p->run, &out, CLI_PASS) : cli_error(&error, NULL, 0);
    snub_text_free(&out);
    return code;
}

static int tell_import(parts_run *p, const char *name, snub_status status, const snub_import_report *report,
                       const snub_errors *errors, const snub_error *error, bool skip_bad)
{
    if (status != SNUB_OK) {
        const bool of_map = p->map && errors->count && errors->items[0].place.file == p->map->document.name;
        int code = errors->count ? cli_errors(p->run, errors, of_map ? p->map->document.source : NULL,
                                              of_map ? p->map->document.source_length : 0)
                                 : cli_error(error, NULL, 0);
        cli_say("snub parts: nothing was %s from %s%s\n", p->update ? "changed" : "imported", parts_shown(p, name),
                report->bad && !skip_bad ? "; use --skip-bad to take the good rows" : "");
        return code;
    }
    for (int i = 0; i < errors->count; i++)
        cli_error(&errors->items[i], NULL, 0);
    if (errors->more)
        cli_say("snub parts: and %d more errors\n", errors->more);
    p->total.rows += report->rows;
    p->total.added += report->added;
    p->total.replaced += report->replaced;
    p->total.bad += report->bad;
    if (p->update)
        return tell_updated(p, name, report);
    return p->quiet ? CLI_PASS : tell_imported(p, name, report);
}

typedef struct file_import {
    const char *path, *name;
    const snub_import_options *options;
    snub_import_report report;
    snub_errors errors, hints;
    snub_error error;
} file_import;

static snub_status read_file(parts_run *p, file_import *f)
{
    FILE *stream = strcmp(f->path, "-") == 0 ? stdin : fopen(f->path, "rb");
    snub_import *import = NULL;
    snub_import_options options_here = *f->options;
    options_here.hints = &f->hints;
    if (!stream) {
        snub_place place = {f->path, 0, 0, 0, 0};
        return snub_fail(&f->error, SNUB_IO, &place, NULL, "cannot be opened");
    }
    cli_doing("waiting for the catalogue");
    snub_status status =
        snub_import_open(p->catalogue, p->run->units, f->name, &options_here, &f->errors, &import, &f->error);
    if (status == SNUB_OK)
        status = feed_stream(stream, f->name, import, &f->error);
    if (status == SNUB_OK)
        status = snub_import_finish(import, &f->report, &f->error);
    snub_import_close(import);
    if (stream != stdin)
        fclose(stream);
    return status;
}

static void forget_errors(file_import *f)
{
    snub_errors_free(&f->hints);
    snub_errors_free(&f->errors);
    f->hints = f->errors = (snub_errors){0};
}

/* A file by itself is in when it is read: a new catalogue has its place then. Where another program has made one
 * meanwhile, the file goes into that; standard input cannot be read twice. */
static int import_file(parts_run *p, const char *path, const snub_import_options *wanted)
{
    const bool standard = strcmp(path, "-") == 0;
    file_import f = {.path = path, .name = standard ? "standard input" : path, .options = wanted};
    snub_status status;
    do {
        forget_errors(&f);
        if (!p->catalogue && !parts_open_or_begin(p))
            return CLI_BAD;
        status = read_file(p, &f);
        if (status == SNUB_OK && !p->quiet && !wanted->dry_run)
            status = parts_place_new(p, &f.error);
    } while (status == SNUB_STOPPED && !standard);
    for (int i = 0; i < f.hints.count; i++)
        cli_hint(p->run, &f.hints.items[i]);
    int code = tell_import(p, f.name, status, &f.report, &f.errors, &f.error, wanted->skip_bad);
    forget_errors(&f);
    return code;
}

int parts_import_shipped(parts_run *p, const snub_import_options *wanted)
{
    char *directory = cli_shipped(&p->run->arena, "parts", "data/parts", "bearings.csv");
    if (!directory)
        return cli_usage_error(p->run,
                               "the parts that come with snub are not installed; set $SNUB_DATA to their folder");
    /* bearings first: idlers name them */
    static const char *const files[] = {"bearings",   "belts",     "pulleys", "idlers",
                                        "tensioners", "fasteners", "shims",   "blowers"};
    int code = CLI_PASS;
    p->quiet = true;
    for (size_t i = 0; i < sizeof files / sizeof files[0] && code == CLI_PASS; i++) {
        char *path = snub_format(&p->run->arena, "%s/%s.csv", directory, files[i]);
        if (!path)
            return parts_no_memory(p);
        code = cli_reads(p->run, "parts file", path) ? import_file(p, path, wanted) : CLI_BAD;
    }
    p->quiet = false;
    return code;
}

/* All of them or none: a new catalogue has its place after the last one. */
static int run_import_shipped(parts_run *p, const snub_import_options *wanted)
{
    snub_error error;
    snub_status status;
    do {
        p->total = (snub_import_report){0};
        if (!parts_open_or_begin(p))
            return CLI_BAD;
        int code = parts_import_shipped(p, wanted);
        if (code != CLI_PASS)
            return code;
        status = wanted->dry_run ? SNUB_OK : parts_place_new(p, &error);
    } while (status == SNUB_STOPPED);
    return status == SNUB_OK ? tell_imported(p, "shipped parts", &p->total) : cli_error(&error, NULL, 0);
}

int parts_import(parts_run *p)
{
    snub_import_options wanted;
    bool shipped = cli_has(p->run, "shipped");
    if (!read_import_options(p, &wanted))
        return CLI_BAD;
    if (shipped && p->map)
        return cli_usage_error(p->run, "the parts that come with snub need no map");
    if (shipped == (p->operand_count > 0))
        return cli_usage_error(p->run, "give FILE.csv (- is standard input) or --shipped");
    if (p->operand_count > 1 && p->run->json)
        return cli_usage_error(p->run, "--json reports on one file at a time");
    for (int i = 0; i < p->operand_count; i++)
        if (!cli_reads(p->run, "parts file", p->operands[i]))
            return CLI_BAD;
    if (shipped)
        return run_import_shipped(p, &wanted);
    if (!parts_open_or_begin(p))
        return CLI_BAD;
    int code = CLI_PASS;
    for (int i = 0; i < p->operand_count && code == CLI_PASS; i++)
        code = import_file(p, p->operands[i], &wanted);
    return code;
}

/* ---- update ------------------------------------------------------------------------------------------------------ */

int parts_update(parts_run *p)
{
    snub_import_options wanted;
    int code = CLI_PASS;
    if (!read_import_options(p, &wanted))
        return CLI_BAD;
    if (p->operand_count < 1)
        return cli_usage_error(p->run, "give FILE.csv with what changes (- is standard input)");
    if (p->operand_count > 1 && p->run->json)
        return cli_usage_error(p->run, "--json reports on one file at a time");
    if (wanted.source && !cli_has(p->run, "add"))
        return cli_usage_error(p->run, "--source is for parts that are added: give --add, or a column `source`");
    wanted.update = true;
    wanted.add = cli_has(p->run, "add");
    wanted.told = keep_change;
    wanted.told_context = p;
    for (int i = 0; i < p->operand_count; i++)
        if (!cli_reads(p->run, "parts file", p->operands[i]))
            return CLI_BAD;
    if (!parts_open(p, SNUB_CATALOGUE_WRITE))
        return CLI_BAD;
    for (int i = 0; i < p->operand_count && code == CLI_PASS; i++) {
        parts_changes changes = {0};
        p->update = &changes;
        code = import_file(p, p->operands[i], &wanted);
    }
    p->update = NULL;
    return code;
}

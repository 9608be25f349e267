/** Fuzz target of the import and of looking for parts, on a small catalogue in a file of its own.
 *  The input's first line is text to look for and a range; the rest is a CSV file that is imported as a dry run, then
 * for good rows only, then exported, taken as an update and imported again. Asserted: an export changes nothing; a dry
 * run changes nothing; bad rows are told; what is in the catalogue passes the check and is the same after the export
 * came back. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "fuzz.h"
#include "parts/catalogue.h"
#include "snub/parts.h"

static char directory[512], path[600];

static void tidy_up(void)
{
    static const char *const tails[] = {"", "-wal", "-shm", "-journal", "-writer"};
    char name[640];
    for (size_t i = 0; i < sizeof tails / sizeof tails[0]; i++) {
        snprintf(name, sizeof name, "%s%s", path, tails[i]);
        unlink(name);
    }
    rmdir(directory);
}

static snub_catalogue *open_once(void)
{
    snub_catalogue *catalogue = NULL;
    const char *base = getenv("TMPDIR");
    snprintf(directory, sizeof directory, "%s/snub-fuzz-XXXXXX", base && base[0] ? base : "/tmp");
    must(mkdtemp(directory) != NULL);
    snprintf(path, sizeof path, "%s/catalogue.db", directory);
    atexit(tidy_up);
    must(snub_catalogue_open(path, SNUB_CATALOGUE_CREATE, 1, &catalogue, NULL) == SNUB_OK);
    return catalogue;
}

static long long count_parts(snub_catalogue *catalogue)
{
    long long count = -1;
    must(snub_catalogue_count(catalogue, SNUB_PART_ANY, &count, NULL) == SNUB_OK);
    return count;
}

static snub_status import_text(snub_catalogue *catalogue, snub_units *units, const char *data, size_t size,
                               const snub_import_options *options, snub_import_report *report)
{
    snub_import *import = NULL;
    snub_errors errors = {0};
    must(snub_import_open(catalogue, units, "fuzz.csv", options, &errors, &import, NULL) == SNUB_OK);
    snub_status status = snub_import_feed(import, data, size, NULL);
    if (status == SNUB_OK)
        status = snub_import_finish(import, report, NULL);
    snub_import_close(import);
    must(status == SNUB_OK || status == SNUB_BAD_INPUT || status == SNUB_TOO_LARGE);
    must((status == SNUB_OK && report->bad == 0) == (errors.count == 0));
    snub_errors_free(&errors);
    return status;
}

static snub_status export_one(void *context, const snub_part *part, snub_error *error)
{
    snub_text *out = context;
    (void)error;
    must(snub_part_check(part, NULL) == SNUB_OK);
    snub_export_row(SNUB_PART_ANY, part, out);
    return SNUB_OK;
}

static void export_all(snub_catalogue *catalogue, snub_text *out)
{
    snub_export_header(SNUB_PART_ANY, out);
    must(snub_catalogue_walk(catalogue, SNUB_PART_ANY, export_one, out, NULL) == SNUB_OK && !out->failed);
}

static snub_status keep_key(void *context, const snub_part *part, snub_error *error)
{
    snub_text *keys = context;
    (void)error;
    snub_text_add(keys, part->key, strlen(part->key) + 1);
    return SNUB_OK;
}

/* Those that name bearings go first: a bearing that is used cannot be removed. */
static void empty(snub_catalogue *catalogue)
{
    snub_text keys = {0};
    static const snub_part_kind order[] = {SNUB_PART_IDLER, SNUB_PART_TENSIONER, SNUB_PART_ANY};
    for (int i = 0; i < 3; i++) {
        keys.length = 0;
        must(snub_catalogue_walk(catalogue, order[i], keep_key, &keys, NULL) == SNUB_OK);
        for (size_t at = 0; at < keys.length; at += strlen(keys.data + at) + 1)
            must(snub_catalogue_remove(catalogue, keys.data + at, NULL) == SNUB_OK);
    }
    snub_text_free(&keys);
    must(count_parts(catalogue) == 0);
    /* else it would grow for as long as this runs */
    must(snub_sql_run(catalogue, "DELETE FROM change; DELETE FROM event;", NULL) == SNUB_OK);
}

static void look_for(snub_catalogue *catalogue, const char *line)
{
    snub_part_query query = {.kind = (snub_part_kind)(strlen(line) % (SNUB_PART_KINDS + 1)), .text = line, .most = 5};
    snub_part_list list;
    snub_arena arena;
    snub_arena_init(&arena, 1 << 20);
    for (int windows = 0; windows < 2; windows++) {
        query.window_count = windows;
        query.windows[0] = (snub_part_window){"diameter", 0.01, 0.2, NULL};
        snub_status status = snub_catalogue_find(catalogue, &query, &arena, &list, NULL);
        must(status == SNUB_OK || status == SNUB_BAD_INPUT || status == SNUB_TOO_LARGE);
    }
    snub_arena_free(&arena);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static snub_catalogue *catalogue;
    static snub_units *units;
    if (!units) {
        must(snub_units_open(&units, NULL) == SNUB_OK);
        catalogue = open_once();
    }
    char line[64] = "";
    const char *text = (const char *)data, *end = memchr(text, '\n', size);
    size_t head = end ? (size_t)(end - text) : 0;
    if (!end || head >= sizeof line)
        return 0;
    memcpy(line, text, head);
    text = end + 1;
    size -= head + 1;

    snub_import_report report = {0}, again = {0};
    snub_import_options options = {.kind = SNUB_PART_ANY, .dry_run = true, .skip_bad = true, .source = "fuzz"};
    snub_status dry = import_text(catalogue, units, text, size, &options, &report);
    must(count_parts(catalogue) == 0);
    options.dry_run = false;
    must(import_text(catalogue, units, text, size, &options, &report) == dry);
    if (dry == SNUB_OK && report.added > 0) {
        snub_text first = {0}, second = {0};
        must(count_parts(catalogue) == report.added);
        look_for(catalogue, line);
        export_all(catalogue, &first);
        options.skip_bad = false;
        options.update = true;
        must(import_text(catalogue, units, first.data, first.length, &options, &again) == SNUB_OK);
        must(again.unchanged == report.added && again.replaced == 0 && again.added == 0);
        options.update = false;
        options.replace = true;
        must(import_text(catalogue, units, first.data, first.length, &options, &again) == SNUB_OK);
        must(again.replaced == report.added && again.added == 0);
        export_all(catalogue, &second);
        must(first.length == second.length && memcmp(first.data, second.data, first.length) == 0);
        snub_text_free(&first);
        snub_text_free(&second);
        empty(catalogue);
    }
    must(count_parts(catalogue) == 0);
    return 0;
}

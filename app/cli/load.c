/* From a path on the command line to a drive. */
#include "load.h"
#include "map_source.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bool tell_and_free(cli_run *run, snub_mistakes *mistakes, const snub_document *document, bool good)
{
    if (!good)
        cli_tell_mistakes(run, mistakes, document->source, document->source_length);
    snub_mistakes_free(mistakes);
    return good;
}

/* Standard input, to its end or to the limit on a drive file. */
static snub_status read_stdin(cli_run *run, snub_document *document, snub_mistakes *mistakes)
{
    snub_text text = {0};
    char piece[4096];
    size_t got;
    while ((got = fread(piece, 1, sizeof piece, stdin)) > 0 && text.length <= SNUB_FILE_BYTES_MOST)
        snub_text_add(&text, piece, got);
    snub_status status = snub_document_parse("standard input", text.data ? text.data : "", text.length, &run->arena,
                                             document, mistakes);
    snub_text_free(&text);
    return status;
}

/* --set PATH=VALUE into overlays. */
static bool read_sets(cli_run *run, cli_drive *loaded)
{
    snub_overlay *overlays = SNUB_NEW(&run->arena, snub_overlay, run->given_count + 1);
    int count = 0;
    for (int i = 0; i < run->given_count && overlays; i++) {
        if (strcmp(run->given[i].option->name, "set") != 0)
            continue;
        const char *text = run->given[i].value, *equals = strchr(text, '=');
        if (!equals || equals == text) {
            cli_wrong(run, "--set wants PATH=VALUE, as in --set blower.diameter=75, not \"%.60s\"", text);
            return false;
        }
        const char *origin = snub_format(&run->arena, "--set %s", text);
        char *path = snub_copy_text_n(&run->arena, text, (size_t)(equals - text));
        snub_node *node = NULL;
        snub_error error;
        if (!origin || !path)
            break;
        if (snub_node_from_text(equals + 1, origin, &run->arena, &node, &error) != SNUB_OK) {
            cli_tell(&error, NULL, 0);
            return false;
        }
        overlays[count++] = (snub_overlay){.path = path, .value = node, .place = {.file = origin}};
    }
    if (!overlays) {
        cli_wrong(run, "out of memory");
        return false;
    }
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
    if (snub_catalogue_open(path, SNUB_CATALOGUE_READ, 5, &loaded->catalogue, &error) != SNUB_OK) {
        cli_tell(&error, NULL, 0);
        return false;
    }
    snub_parts_source(loaded->catalogue, &loaded->parts);
    loaded->reading.parts = &loaded->parts;
    return true;
}

bool cli_load_document(cli_run *run, const char *path, cli_drive *loaded)
{
    snub_mistakes mistakes = {0};
    *loaded = (cli_drive){.variant = cli_value(run, "variant")};
    loaded->reading = (snub_reading){.units = run->units, .arena = &run->arena, .maps = &cli_map_source};
    snub_status status = strcmp(path, "-") == 0 ? read_stdin(run, &loaded->document, &mistakes)
                                                : snub_document_read(path, &run->arena, &loaded->document, &mistakes);
    if (!tell_and_free(run, &mistakes, &loaded->document, status == SNUB_OK))
        return false;
    return read_sets(run, loaded) && open_catalogue(run, loaded);
}

static bool unknown_variant(cli_run *run, const cli_drive *loaded)
{
    const snub_drive *drive = &loaded->drive;
    const char **names = SNUB_NEW(&run->arena, const char *, drive->variant_count + 1);
    for (int i = 0; names && i < drive->variant_count; i++)
        names[i] = drive->variants[i].name;
    const char *near = names ? snub_nearest(loaded->variant, names, drive->variant_count) : NULL;
    if (near)
        cli_wrong(run, "no variant \"%.60s\" in the file; did you mean \"%s\"?", loaded->variant, near);
    else
        cli_wrong(run, "no variant \"%.60s\" in the file%s%s", loaded->variant,
                  drive->variant_count ? "; the first is " : ", which has none",
                  drive->variant_count ? drive->variants[0].name : "");
    return false;
}

/* The variant's changes lie on the file, and what the command line sets on both. */
static bool lay_variant(cli_run *run, cli_drive *loaded)
{
    const snub_variant *variant = NULL;
    for (int i = 0; i < loaded->drive.variant_count; i++) {
        if (strcmp(loaded->drive.variants[i].name, loaded->variant) == 0)
            variant = &loaded->drive.variants[i];
    }
    if (!variant)
        return unknown_variant(run, loaded);
    int sets = loaded->reading.overlay_count;
    snub_overlay *all = SNUB_NEW(&run->arena, snub_overlay, variant->count + sets + 1);
    if (!all) {
        cli_wrong(run, "out of memory");
        return false;
    }
    if (variant->count)
        memcpy(all, variant->changes, (size_t)variant->count * sizeof *all);
    if (sets)
        memcpy(all + variant->count, loaded->reading.overlays, (size_t)sets * sizeof *all);
    loaded->reading.overlays = all;
    loaded->reading.overlay_count = variant->count + sets;
    return true;
}

bool cli_load_drive(cli_run *run, const char *path, cli_drive *loaded)
{
    return cli_load_variant(run, path, cli_value(run, "variant"), loaded);
}

bool cli_load_variant(cli_run *run, const char *path, const char *variant, cli_drive *loaded)
{
    snub_mistakes mistakes = {0};
    if (!cli_load_document(run, path, loaded))
        return false;
    loaded->variant = variant;
    snub_status status = snub_drive_read(&loaded->document, &loaded->reading, &loaded->drive, &mistakes);
    if (status == SNUB_OK && loaded->variant) {
        if (!lay_variant(run, loaded)) {
            snub_mistakes_free(&mistakes);
            return false;
        }
        status = snub_drive_read(&loaded->document, &loaded->reading, &loaded->drive, &mistakes);
    }
    return tell_and_free(run, &mistakes, &loaded->document, status == SNUB_OK);
}

void cli_unload(cli_drive *loaded)
{
    snub_catalogue_close(loaded->catalogue);
    loaded->catalogue = NULL;
}

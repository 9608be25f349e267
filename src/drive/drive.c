/** The drive file as a whole: overlays, sections in turn, and the check of everything on offer. */
#include <stdio.h>
#include <string.h>

#include "key_notes.h"
#include "sections.h"
#include "supply.h"
#include "tree.h"

/** The format that this program reads. */
enum { FORMAT = 1 };

/** True where the rest of the file may be read: its format is ours. */
static bool read_format(snub_reader *reader, const snub_node *root)
{
    int format = 0;
    if (snub_read_find(root, "snub") == NULL) {
        snub_read_wrong_key(reader, root, "snub", "snub: 1 at the top of the file", "is missing");
        return true;
    }
    if (!snub_read_integer(reader, root, "snub", 1, 1000000, &format) || format == FORMAT)
        return true;
    snub_read_wrong_key(reader, root, "snub", "1, or a newer snub",
                        "is a newer format of the drive file than this "
                        "program reads");
    return false;
}

/** An engine that turns a blower must say what it swallows. */
static void check_blown(snub_reader *reader, const snub_node *root, const snub_drive *drive)
{
    static const char *const needed[] = {"displacement", "cylinders", "volumetric_efficiency"};
    const snub_node *engine = snub_read_find(root, "engine");
    bool blown = false;
    for (int i = 0; i < drive->pulley_count; i++)
        blown = blown || drive->pulleys[i].has_blower;
    if (!blown || engine == NULL || engine->kind != SNUB_MAP)
        return;
    snub_enter(reader, "engine");
    for (int i = 0; i < 3; i++) {
        if (snub_read_find(engine, needed[i]) == NULL)
            snub_read_wrong_key(reader, engine, needed[i], NULL, "is missing, and the blower needs it");
    }
    snub_leave(reader);
}

/** In what results are shown. It changes no reading: a bare number that grew by 25.4 with a word at the top of the file
 *  would be a trap, so that the first one in a file for inches is told instead. */
static void read_units(snub_reader *reader, const snub_node *root, snub_drive *drive)
{
    static const char *const words[] = {"metric", "us", NULL};
    int word = 0;
    snub_read_choice(reader, root, "units", words, &word);
    drive->inches = word == 1;
    reader->bare = drive->inches ? &drive->bare : NULL;
}

static void read_sections(snub_reader *reader, const snub_node *root, snub_drive *drive)
{
    snub_read_keys(reader, root, snub_root_keys, snub_hardware_root_keys);
    drive->title = "";
    snub_read_text(reader, root, "title", 200, &drive->title);
    drive->kit_number = "";
    snub_read_text(reader, root, "kit_number", 40, &drive->kit_number);
    snub_read_text(reader, root, "house", 1000, &drive->house);
    read_units(reader, root, drive);
    snub_read_engine(reader, root, drive);
    snub_read_air(reader, root, drive);
    snub_read_cooler(reader, root, drive);
    snub_read_belt(reader, root, drive);
    snub_read_pulleys(reader, root, drive);
    check_blown(reader, root, drive);
    reader->firm = true;
    snub_read_limits(reader, root, drive);
    reader->firm = false;
    snub_read_steps(reader, root, drive);
    snub_read_offer(reader, root, drive);
    snub_read_packages(reader, root, drive);
    snub_read_search(reader, root, drive);
    if (snub_read_hardware(reader, root, drive) == SNUB_NO_MEMORY)
        snub_read_no_memory(reader);
    snub_read_contents(reader, root, drive);
    snub_read_tolerances(reader, root, drive);
}

/** The tree with all overlays laid over it; what is wrong with one is noted and the others are laid. */
static const snub_node *lay_all(snub_reader *reader)
{
    const snub_node *root = reader->document->root;
    for (int i = 0; i < reader->reading->overlay_count; i++) {
        const snub_overlay *overlay = &reader->reading->overlays[i];
        snub_error error = {0};
        snub_status status = SNUB_OK;
        if (snub_root_closed(overlay->path) && !snub_path_starts_at_pulley(root, overlay->path))
            status = snub_fail(&error, SNUB_BAD_INPUT, &overlay->place, overlay->path, "cannot differ between builds");
        if (status == SNUB_OK && !snub_path_begins_well(root, overlay, reader->arena, &error))
            status = SNUB_BAD_INPUT;
        if (status == SNUB_OK)
            status = snub_tree_lay(root, overlay, reader->arena, &root, &error);
        if (status == SNUB_NO_MEMORY)
            snub_read_no_memory(reader);
        else if (status != SNUB_OK) {
            reader->wrong++;
            snub_errors_add(reader->errors, &error);
        }
    }
    return root;
}

static snub_status no_memory(snub_reader *reader)
{
    snub_error error = {0};
    snub_place place = {.file = reader->document->name};
    snub_fail(&error, SNUB_NO_MEMORY, &place, "", "out of memory");
    snub_errors_add(reader->errors, &error);
    return SNUB_NO_MEMORY;
}

snub_status snub_drive_read_noted(const snub_document *document, const snub_reading *reading, snub_key_notes *notes,
                                  snub_drive *drive, snub_errors *errors)
{
    snub_reader reader = {.document = document,
                          .reading = reading,
                          .units = reading->units,
                          .arena = reading->arena,
                          .errors = errors,
                          .notes = notes};
    snub_drive read = {.document = document,
                       .crank = -1,
                       .arm = -1,
                       .locked = -1,
                       .overlays = reading->overlays,
                       .overlay_count = reading->overlay_count,
                       .house_digest = reading->house_digest,
                       .picture_digest = reading->picture_digest};
    int first = errors->count;
    const snub_node *root = lay_all(&reader);
    if (root->kind != SNUB_MAP)
        snub_read_wrong(&reader, root, "keys with values, 'snub: 1' first", "is not a drive file");
    else if (read_format(&reader, root)) {
        reader.sights = reading->one_kit                             ? SNUB_SIGHT_TAKE_OFF
                        : snub_read_find(root, "tolerances") != NULL ? SNUB_SIGHT_ALL
                                                                     : SNUB_SIGHT_WRITTEN;
        read_sections(&reader, root, &read);
    }
    snub_read_sort(errors, first);
    if (reader.no_memory)
        return no_memory(&reader);
    if (reader.wrong > 0)
        return SNUB_BAD_INPUT;
    read.used = reader.used;
    read.ranges = reader.ranges;
    read.cautions = reader.cautions;
    read.tree = root;
    *drive = read;
    return SNUB_OK;
}

snub_status snub_drive_read(const snub_document *document, const snub_reading *reading, snub_drive *drive,
                            snub_errors *errors)
{
    return snub_drive_read_noted(document, reading, NULL, drive, errors);
}

bool snub_document_inches(const snub_document *document)
{
    const snub_node *units =
        document->root != NULL && document->root->kind == SNUB_MAP ? snub_node_get(document->root, "units") : NULL;
    return units != NULL && units->kind == SNUB_SCALAR && strcmp(units->text, "us") == 0;
}

void snub_bare_error(const snub_bare *bare, snub_error *error)
{
    char others[64] = "";
    if (bare->count == 2)
        snprintf(others, sizeof(others), "; so is another bare number");
    else if (bare->count > 2)
        snprintf(others, sizeof(others), "; so are %d other bare numbers", bare->count - 1);
    snub_fail(error, SNUB_OK, &bare->place, bare->key,
              "is read in %s: `units: us` is for results and changes no bare number%s. Write '%.24s %s' if you mean "
              "inch units, or '%.24s %s' to make it plain.",
              bare->unit, others, bare->text, bare->us_unit, bare->text, bare->unit);
}

/* ---- everything on offer ----------------------------------------------------------------------------------------- */

/** A trial that keeps nothing but its errors. */
static snub_status try_overlays(const snub_document *document, const snub_reading *reading, const snub_overlay *more,
                                int count, snub_errors *errors)
{
    snub_arena arena;
    snub_drive trial;
    snub_reading with = *reading;
    snub_arena_init(&arena, reading->arena->limit);
    int n = reading->overlay_count;
    snub_overlay *overlays = SNUB_NEW(&arena, snub_overlay, n + count);
    snub_status status = SNUB_NO_MEMORY;
    if (overlays != NULL) {
        if (n > 0)
            memcpy(overlays, reading->overlays, (size_t)n * sizeof(*overlays));
        if (count > 0)
            memcpy(overlays + n, more, (size_t)count * sizeof(*overlays));
        with.arena = &arena;
        with.overlays = overlays;
        with.overlay_count = n + count;
        status = snub_drive_read(document, &with, &trial, errors);
    }
    snub_arena_free(&arena);
    return status;
}

static snub_status check_options(const snub_document *document, const snub_reading *reading, const snub_drive *drive,
                                 snub_errors *errors)
{
    snub_status worst = SNUB_OK;
    for (int i = 0; i < drive->option_count; i++) {
        const snub_option *option = &drive->options[i];
        for (int j = 0; j < option->count && worst != SNUB_NO_MEMORY; j++) {
            snub_overlay overlay = {option->path, option->values[j], option->place};
            snub_status status = try_overlays(document, reading, &overlay, 1, errors);
            worst = status != SNUB_OK ? status : worst;
        }
    }
    return worst;
}

snub_status snub_drive_check_ranges(const snub_document *document, const snub_reading *reading, const snub_drive *drive,
                                    snub_errors *errors)
{
    snub_status worst = SNUB_OK;
    for (const snub_range *range = drive->ranges; range != NULL; range = range->next) {
        for (int e = 0; e < 2 && worst != SNUB_NO_MEMORY; e++) {
            const snub_overlay overlay = {range->path, range->node->items[e], range->node->place};
            const snub_status status = try_overlays(document, reading, &overlay, 1, errors);
            worst = status != SNUB_OK ? status : worst;
        }
    }
    return worst;
}

snub_status snub_drive_check(const snub_document *document, const snub_reading *reading, snub_drive *drive,
                             snub_errors *errors)
{
    snub_drive base;
    snub_status status = snub_drive_read(document, reading, &base, errors);
    if (status != SNUB_OK)
        return status;
    status = snub_drive_check_ranges(document, reading, &base, errors);
    if (status == SNUB_OK)
        status = check_options(document, reading, &base, errors);
    for (int i = 0; i < base.variant_count && status != SNUB_NO_MEMORY; i++) {
        const snub_variant *variant = &base.variants[i];
        snub_status tried = try_overlays(document, reading, variant->changes, variant->count, errors);
        status = tried != SNUB_OK ? tried : status;
    }
    for (int i = 0; i < base.package_count && status != SNUB_NO_MEMORY; i++) {
        const snub_package *package = &base.packages[i];
        snub_status tried = try_overlays(document, reading, package->changes, package->count, errors);
        status = tried != SNUB_OK ? tried : status;
    }
    if (status == SNUB_OK)
        *drive = base;
    return status;
}

bool snub_drive_grows(const snub_drive *drive)
{
    return drive->belt.growth != 0.0 || drive->engine.growth != 0.0;
}

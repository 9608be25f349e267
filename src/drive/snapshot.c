/* A snapshot's sources: they answer from it, and note what they have to ask for or lack. */
#include "snub/snapshot.h"

#include <stdlib.h>
#include <string.h>

static snub_status lacking(snub_snapshot *snapshot, snub_error *error, const char *what, const char *key)
{
    snapshot->lacks = true;
    return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the snapshot lacks %s %s", what, key);
}

/* ---- parts ------------------------------------------------------------------------------------------------------- */

static snub_snapshot_part *noted_part(snub_snapshot *snapshot, const char *kind, const char *key)
{
    snub_snapshot_part *part = snapshot->parts;
    while (part != NULL && (strcmp(part->kind, kind) != 0 || strcmp(part->key, key) != 0))
        part = part->next;
    return part;
}

static snub_status ask_part(snub_snapshot *snapshot, const char *kind, const char *key, snub_snapshot_part **part,
                            snub_error *error)
{
    if (snapshot->ask_parts == NULL)
        return lacking(snapshot, error, "the part", key);
    snub_snapshot_part *fresh = SNUB_NEW(snapshot->arena, snub_snapshot_part, 1);
    if (fresh == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    fresh->kind = snub_copy_text(snapshot->arena, kind);
    fresh->key = snub_copy_text(snapshot->arena, key);
    if (fresh->kind == NULL || fresh->key == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    const snub_status status = snapshot->ask_parts->find(snapshot->ask_parts->context, kind, key, snapshot->arena,
                                                         &fresh->map, &fresh->sale, error);
    if (status != SNUB_OK)
        return status;
    fresh->next = snapshot->parts;
    snapshot->parts = *part = fresh;
    return SNUB_OK;
}

static snub_status find_part(void *context, const char *kind, const char *key, snub_arena *arena, snub_node **map,
                             snub_part_sale *sale, snub_error *error)
{
    snub_snapshot *snapshot = context;
    snub_snapshot_part *part = noted_part(snapshot, kind, key);
    (void)arena; /* the snapshot's own outlives the reading */
    const snub_status status = part != NULL ? SNUB_OK : ask_part(snapshot, kind, key, &part, error);
    if (status != SNUB_OK)
        return status;
    *map = part->map;
    *sale = part->sale;
    return SNUB_OK;
}

/* ---- belts ------------------------------------------------------------------------------------------------------- */

static snub_snapshot_belts *noted_belts(snub_snapshot *snapshot, const char *section, int ribs)
{
    snub_snapshot_belts *belts = snapshot->belts;
    while (belts != NULL && (belts->ribs != ribs || strcmp(belts->section, section) != 0))
        belts = belts->next;
    return belts;
}

static snub_status ask_belts(snub_snapshot *snapshot, const char *section, int ribs, snub_snapshot_belts **belts,
                             snub_error *error)
{
    if (snapshot->ask_parts == NULL)
        return lacking(snapshot, error, "the belts of", section);
    snub_snapshot_belts *fresh = SNUB_NEW(snapshot->arena, snub_snapshot_belts, 1);
    if (fresh == NULL || (fresh->section = snub_copy_text(snapshot->arena, section)) == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    fresh->ribs = ribs;
    const snub_status status = snapshot->ask_parts->belts(snapshot->ask_parts->context, section, ribs, snapshot->arena,
                                                          &fresh->belts, &fresh->count, error);
    if (status != SNUB_OK)
        return status;
    fresh->next = snapshot->belts;
    snapshot->belts = *belts = fresh;
    return SNUB_OK;
}

/* A list of the reader's own: it fills in what the catalogue leaves open. */
static snub_status list_belts(void *context, const char *section, int ribs, snub_arena *arena, snub_stock_belt **belts,
                              int *count, snub_error *error)
{
    snub_snapshot *snapshot = context;
    snub_snapshot_belts *noted = noted_belts(snapshot, section, ribs);
    const snub_status status = noted != NULL ? SNUB_OK : ask_belts(snapshot, section, ribs, &noted, error);
    if (status != SNUB_OK)
        return status;
    *belts = SNUB_NEW(arena, snub_stock_belt, noted->count > 0 ? noted->count : 1);
    if (*belts == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    if (noted->count > 0)
        memcpy(*belts, noted->belts, (size_t)noted->count * sizeof **belts);
    *count = noted->count;
    return SNUB_OK;
}

/* ---- maps of blowers --------------------------------------------------------------------------------------------- */

static snub_snapshot_map *noted_map(snub_snapshot *snapshot, const char *path, const snub_blower *blower)
{
    snub_snapshot_map *map = snapshot->maps;
    while (map != NULL && (map->kind != blower->kind || map->temperature != blower->map_temperature ||
                           map->pressure != blower->map_pressure || strcmp(map->path, path) != 0))
        map = map->next;
    return map;
}

static snub_status lacking_map(snub_snapshot *snapshot, const char *path, snub_errors *errors)
{
    snub_error error = {0};
    const snub_status status = lacking(snapshot, &error, "the map", path);
    snub_errors_add(errors, &error);
    return status;
}

static snub_status note_map(snub_snapshot *snapshot, const char *path, const snub_blower *blower)
{
    snub_snapshot_map *map = SNUB_NEW(snapshot->arena, snub_snapshot_map, 1);
    if (map == NULL || (map->path = snub_copy_text(snapshot->arena, path)) == NULL)
        return SNUB_NO_MEMORY;
    map->kind = blower->kind;
    map->temperature = blower->map_temperature;
    map->pressure = blower->map_pressure;
    map->lines = blower->map_lines;
    map->map = blower->map;
    memcpy(map->digest, blower->map_digest, sizeof map->digest);
    map->next = snapshot->maps;
    snapshot->maps = map;
    return SNUB_OK;
}

static snub_status read_map(void *context, const snub_document *document, const char *path, snub_units *units,
                            snub_arena *arena, snub_blower *blower, snub_errors *errors)
{
    snub_snapshot *snapshot = context;
    (void)arena;
    const snub_snapshot_map *map = noted_map(snapshot, path, blower);
    if (map != NULL) {
        blower->map_lines = map->lines;
        blower->map = map->map;
        memcpy(blower->map_digest, map->digest, sizeof map->digest);
        return SNUB_OK;
    }
    if (snapshot->ask_maps == NULL)
        return lacking_map(snapshot, path, errors);
    const snub_status status =
        snapshot->ask_maps->read(snapshot->ask_maps->context, document, path, units, snapshot->arena, blower, errors);
    return status != SNUB_OK ? status : note_map(snapshot, path, blower);
}

/* A table of measured values: tolerances are not read in the browser, so it is not kept. */
static snub_status read_text(void *context, const snub_document *document, const char *path, snub_arena *arena,
                             const char **text, size_t *length, snub_errors *errors)
{
    const snub_snapshot *snapshot = context;
    const snub_map_source *ask = snapshot->ask_maps;
    if (ask == NULL || ask->text == NULL)
        return lacking_map(context, path, errors);
    return ask->text(ask->context, document, path, arena, text, length, errors);
}

/* ---- units ------------------------------------------------------------------------------------------------------- */

static bool unit_known(const snub_snapshot *snapshot, snub_quantity quantity, const char *name)
{
    const snub_snapshot_unit *unit = snapshot->units;
    while (unit != NULL && (unit->quantity != quantity || strcmp(unit->unit.name, name) != 0))
        unit = unit->next;
    return unit != NULL;
}

static snub_status note_units_of(snub_snapshot *snapshot, snub_units *units, const snub_node *node)
{
    snub_rare_unit rare;
    snub_status status = SNUB_OK;
    for (int q = 0; node->kind == SNUB_SCALAR && q < SNUB_Q_COUNT_; q++) {
        if (!snub_units_rare(units, (snub_quantity)q, node->text, &rare) ||
            unit_known(snapshot, (snub_quantity)q, rare.name))
            continue;
        snub_snapshot_unit *fresh = SNUB_NEW(snapshot->arena, snub_snapshot_unit, 1);
        if (fresh == NULL)
            return SNUB_NO_MEMORY;
        *fresh = (snub_snapshot_unit){(snub_quantity)q, rare, snapshot->units};
        snapshot->units = fresh;
    }
    for (int i = 0; i < node->count && node->kind != SNUB_SCALAR && status == SNUB_OK; i++)
        status = note_units_of(snapshot, units, node->items[i]);
    return status;
}

snub_status snub_snapshot_note_units(snub_snapshot *snapshot, snub_units *units)
{
    snub_status status = note_units_of(snapshot, units, snapshot->document.root);
    for (const snub_snapshot_part *part = snapshot->parts; part != NULL && status == SNUB_OK; part = part->next)
        status = note_units_of(snapshot, units, part->map);
    return status;
}

/* ---- begin ------------------------------------------------------------------------------------------------------- */

void snub_snapshot_begin(snub_snapshot *snapshot, const snub_document *document, const snub_part_source *parts,
                         const snub_map_source *maps, snub_arena *arena)
{
    *snapshot = (snub_snapshot){.arena = arena,
                                .document = *document,
                                .catalogue = parts != NULL,
                                .part_source = {.find = find_part, .belts = list_belts, .context = snapshot},
                                .map_source = {read_map, snapshot, read_text},
                                .ask_parts = parts,
                                .ask_maps = maps};
}

const snub_part_source *snub_snapshot_parts(const snub_snapshot *snapshot)
{
    return snapshot->catalogue ? &snapshot->part_source : NULL;
}

/* Values that the file leaves to defaults: which of them decide. docs/theory/kit.md. */
#include "snub/defaults.h"

#include <stdio.h>
#include <string.h>

#include "default_list.h"

/* ---- what is left out -------------------------------------------------------------------------------------------- */

/* A value below a map, by a path with dots. */
static bool is_there(const snub_node *map, const char *path)
{
    char word[32];
    while (map != NULL && *path != '\0') {
        const size_t length = strcspn(path, ".");
        snprintf(word, sizeof word, "%.*s", (int)length, path);
        map = map->kind == SNUB_MAP ? snub_node_get(map, word) : NULL;
        path += length + (path[length] == '.');
    }
    return map != NULL;
}

/* In the file, or in the part of the catalogue that the map names. */
static bool is_given(const snub_drive *drive, const snub_node *map, const char *kind, const char *path)
{
    if (map == NULL || is_there(map, path))
        return map != NULL;
    const snub_node *part = map->kind == SNUB_MAP ? snub_node_get(map, "part") : NULL;
    for (const snub_used_part *used = drive->used; part != NULL && used != NULL; used = used->next) {
        if (strcmp(used->kind, kind) == 0 && part->text != NULL && strcmp(used->key, part->text) == 0 &&
            is_there(used->map, path))
            return true;
    }
    return false;
}

static bool any_on_back(const snub_drive *drive)
{
    for (int i = 0; i < drive->pulley_count; i++) {
        if (drive->pulleys[i].side == SNUB_BACK)
            return true;
    }
    return false;
}

/* Whether anything of this drive goes by the value. */
static bool matters(const snub_drive *drive, const snub_listed_default *l, int pulley)
{
    const char *key = l->info.key;
    const snub_pulley *p = pulley >= 0 ? &drive->pulleys[pulley] : NULL;
    const bool sum_known = drive->belt.back_from == SNUB_BACK_MEASURED; /* be + back, by `outside` */
    if (l->of == SNUB_OF_BELT && (strcmp(key, "back") == 0 || strcmp(key, "be") == 0) && sum_known)
        return false;
    switch (l->of) {
    case SNUB_OF_BELT:
        return strcmp(drive->belt.section, "PK") == 0 && (strstr(key, "back") == NULL || any_on_back(drive));
    case SNUB_OF_ENGINE: return drive->engine.given;
    case SNUB_OF_BLOWER:
        return p->has_blower && p->blower.map == NULL &&
               (strcmp(key, "isentropic") != 0 || p->blower.kind == SNUB_CENTRIFUGAL) &&
               (strcmp(key, "leakage_speed") != 0 || p->blower.kind != SNUB_CENTRIFUGAL);
    case SNUB_OF_SEAT: return drive->hardware != NULL && drive->hardware->pulleys[pulley].seat.given;
    }
    return false;
}

static const snub_node *map_of(const snub_drive *drive, snub_default_section of, int pulley)
{
    switch (of) {
    case SNUB_OF_BELT: return snub_node_get(drive->tree, "belt");
    case SNUB_OF_ENGINE: return snub_node_get(drive->tree, "engine");
    case SNUB_OF_BLOWER: return snub_node_get(drive->pulleys[pulley].node, "blower");
    case SNUB_OF_SEAT: return snub_node_get(drive->pulleys[pulley].node, "bearing");
    }
    return NULL;
}

static void name_path(const snub_drive *drive, const snub_listed_default *l, int pulley, char *path, size_t size)
{
    static const char *const names[] = {"belt", "engine", "blower", "bearing"};
    if (pulley >= 0)
        snprintf(path, size, "%s.%s.%s", drive->pulleys[pulley].name, names[l->of], l->info.key);
    else
        snprintf(path, size, "%s.%s", names[l->of], l->info.key);
}

int snub_defaults_list(const snub_drive *drive, snub_default *out, int room)
{
    static const char *const kinds[] = {"belt", "", "blower", ""};
    int count = 0, listed = 0;
    const snub_listed_default *list = snub_default_list(&listed);
    for (int k = 0; k < listed; k++) {
        const bool by_pulley = list[k].of == SNUB_OF_BLOWER || list[k].of == SNUB_OF_SEAT;
        for (int i = by_pulley ? 0 : -1; i < (by_pulley ? drive->pulley_count : 0) && count < room; i++) {
            if (!matters(drive, &list[k], i) ||
                is_given(drive, map_of(drive, list[k].of, i), kinds[list[k].of], list[k].info.key))
                continue;
            snub_default *d = &out[count++];
            *d = (snub_default){.info = &list[k].info};
            name_path(drive, &list[k], i, d->path, sizeof d->path);
        }
    }
    return count;
}

/* ---- which decide ------------------------------------------------------------------------------------------------ */

static const char *kept(snub_arena *arena, const char *text)
{
    return text != NULL ? snub_copy_text(arena, text) : NULL;
}

static snub_status try_end(const snub_build *build, const snub_reading *reading, const snub_build_request *request,
                           const snub_default *d, const char *value, snub_default_end *end, snub_errors *errors)
{
    snub_arena scratch;
    snub_row row;
    snub_reading own = *reading;
    snub_arena_branch(reading->arena, &scratch);
    own.arena = &scratch;
    snub_build *other = SNUB_NEW(&scratch, snub_build, 1);
    snub_node *node = SNUB_NEW(&scratch, snub_node, 1);
    snub_status status = SNUB_NO_MEMORY;
    if (other != NULL && node != NULL) {
        *node = (snub_node){.kind = SNUB_SCALAR, .text = value};
        const snub_overlay overlay = {.path = d->path, .value = node};
        if (snub_row_with(&build->row, &overlay, &scratch, &row))
            status = snub_build_make(build->document, &own, &row, request, other, errors);
    }
    if (status == SNUB_OK) {
        end->verdict = other->verdict;
        snprintf(end->designation, sizeof end->designation, "%s", other->designation);
        if (other->findings.count > 0) {
            end->rule = snub_rule_describe(snub_wording_describe(other->findings.items[0].wording)->rule)->id;
            end->pulley = kept(reading->arena, other->findings.items[0].pulley);
        }
    }
    snub_arena_drop(reading->arena, &scratch);
    return status;
}

snub_status snub_defaults_try(const snub_build *build, const snub_reading *reading, const snub_build_request *request,
                              snub_default *defaults, int count, snub_errors *errors)
{
    for (int k = 0; k < count; k++) {
        snub_default *d = &defaults[k];
        for (int e = 0; e < 2; e++) {
            snub_default_end *end = &d->end[e];
            const snub_status status = try_end(build, reading, request, d, d->info->range[e], end, errors);
            if (status != SNUB_OK)
                return status;
            end->differs = end->verdict != build->verdict || strcmp(end->designation, build->designation) != 0;
            d->decides = d->decides || end->differs;
        }
        d->tried = true;
    }
    return SNUB_OK;
}

/* Parts of the catalogue that a search may choose from: looked up once, before it begins. A choice is known by its
 * diameter, so of several parts of one diameter there is the one that the house can buy first. */
#include "search_parts.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "snub/units.h"

/* Of one size when they are nearer than this: the same number in inches and in millimetres. */
#define ONE_SIZE (0.001 * SNUB_MM)

/* Keys of a pulley that a part of the catalogue may bring, and the number by which the file's own part goes. */
static const char *const BROUGHT[] = {"number", "ribs", "diameter", "rim_radius", "width", "inertia", "max_speed"};
enum { BROUGHT_COUNT = sizeof BROUGHT / sizeof BROUGHT[0] };

static snub_status refuse(const snub_move *move, const char *words, const char *got, const char *need,
                          snub_errors *errors)
{
    snub_error error;
    const snub_status status = snub_fail(&error, SNUB_BAD_INPUT, &move->place, move->path, "%s", words);
    snprintf(error.got, sizeof error.got, "%s", got);
    snprintf(error.need, sizeof error.need, "%s", need);
    snub_errors_add(errors, &error);
    return status;
}

static const snub_pulley *pulley_of(const snub_drive *drive, const snub_move *move)
{
    static const char lead[] = "pulleys.", tail[] = ".part";
    const char *path = strncmp(move->path, lead, sizeof lead - 1) == 0 ? move->path + sizeof lead - 1 : move->path;
    for (int i = 0; i < drive->pulley_count; i++) {
        const size_t length = strlen(drive->pulleys[i].name);
        if (strncmp(path, drive->pulleys[i].name, length) == 0 && strcmp(path + length, tail) == 0)
            return &drive->pulleys[i];
    }
    return NULL;
}

/* One that drives something is a pulley on its shaft; the others turn on their own bearing. */
static bool is_idler(const snub_pulley *pulley)
{
    return !pulley->has_blower && pulley->load.n == 0 && pulley->load_by_boost.nx == 0;
}

static const snub_stock_pulley *find_key(const snub_stock_pulley *all, int count, const char *key)
{
    for (int i = 0; i < count; i++)
        if (strcmp(all[i].part, key) == 0)
            return &all[i];
    return NULL;
}

static bool add_choice(snub_move *move, const snub_stock_pulley *part)
{
    for (int i = 0; i < move->choice_count; i++)
        if (fabs(move->choices[i] - part->diameter) < ONE_SIZE)
            return false;
    move->parts[move->choice_count] = part->part;
    move->choices[move->choice_count++] = part->diameter;
    return true;
}

static snub_status choose_listed(snub_move *move, const char **keys, const snub_stock_pulley *all, int count,
                                 snub_errors *errors)
{
    snub_status status = SNUB_OK;
    for (int i = 0; i < move->part_count; i++) {
        const snub_stock_pulley *part = find_key(all, count, keys[i]);
        if (part == NULL)
            status = refuse(move, "cannot be this part", keys[i],
                            "a pulley or idler of the catalogue for this side of the belt, with as many ribs", errors);
        else if (!add_choice(move, part))
            status = refuse(move, "cannot choose by its diameter: another part of the list has the same", keys[i],
                            "parts of different diameters", errors);
    }
    return status;
}

static snub_status choose_parts(const snub_drive *drive, const snub_reading *reading, snub_move *move,
                                snub_errors *errors)
{
    snub_error error;
    snub_stock_pulley *all = NULL;
    int count = 0;
    const snub_part_source *source = reading->parts;
    const snub_pulley *pulley = pulley_of(drive, move);
    if (source == NULL || source->pulleys == NULL)
        return refuse(move, "there is no catalogue to look parts up in", "", "a catalogue", errors);
    snub_status status =
        source->pulleys(source->context, &drive->belt, pulley->side, reading->arena, &all, &count, &error);
    if (status != SNUB_OK) {
        snub_errors_add(errors, &error);
        return status;
    }
    const char **keys = move->parts;
    const int room = count > move->part_count ? count : move->part_count;
    move->parts = SNUB_NEW(reading->arena, const char *, room + 1);
    move->choices = SNUB_NEW(reading->arena, double, room + 1);
    if (move->parts == NULL || move->choices == NULL)
        return SNUB_NO_MEMORY;
    if (move->part_count > 0)
        return choose_listed(move, keys, all, count, errors);
    for (int i = 0; i < count; i++)
        if (all[i].idler == is_idler(pulley))
            add_choice(move, &all[i]);
    if (move->choice_count < 2)
        return refuse(move, "leaves no choice", "", "a catalogue with two parts for this side of the belt, or more",
                      errors);
    return SNUB_OK;
}

snub_status snub_space_choose_parts(snub_drive *drive, const snub_reading *reading, snub_errors *errors)
{
    const snub_search_section *section = drive->search;
    snub_search_section *own = SNUB_NEW(reading->arena, snub_search_section, 1);
    snub_move *moves = SNUB_NEW(reading->arena, snub_move, section->move_count + 1);
    snub_status worst = SNUB_OK;
    if (own == NULL || moves == NULL)
        return SNUB_NO_MEMORY;
    *own = *section;
    own->moves = memcpy(moves, section->moves, sizeof *moves * (size_t)section->move_count);
    for (int m = 0; m < own->move_count; m++) {
        const snub_status status = moves[m].from_catalogue ? choose_parts(drive, reading, &moves[m], errors) : SNUB_OK;
        worst = status > worst ? status : worst;
    }
    drive->search = own;
    return worst;
}

/* What the file writes itself would win over the part's. */
static bool writes(const snub_pulley *pulley, const char *key)
{
    for (int i = 0; i < pulley->node->count; i++) {
        const snub_node *value = pulley->node->items[i];
        if (strcmp(pulley->node->keys[i]->text, key) == 0)
            return value->from_part == NULL && !(value->kind == SNUB_SCALAR && strcmp(value->text, "null") == 0);
    }
    return false;
}

snub_status snub_space_list_taken(const snub_drive *drive, snub_arena *arena, snub_space *space)
{
    for (int m = 0; m < space->section->move_count; m++) {
        const snub_move *move = &space->section->moves[m];
        const snub_pulley *pulley = move->from_catalogue ? pulley_of(drive, move) : NULL;
        if (pulley == NULL)
            continue;
        const char **taken = SNUB_NEW(arena, const char *, BROUGHT_COUNT);
        if (taken == NULL)
            return SNUB_NO_MEMORY;
        space->taken[m] = taken;
        for (int k = 0; k < BROUGHT_COUNT; k++) {
            if (!writes(pulley, BROUGHT[k]))
                continue;
            const char *path = snub_format(arena, "%s.%s", pulley->name, BROUGHT[k]);
            if (path == NULL)
                return SNUB_NO_MEMORY;
            taken[space->taken_count[m]++] = path;
        }
    }
    return SNUB_OK;
}

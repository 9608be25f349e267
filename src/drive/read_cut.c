/** Metal that is taken off an obstacle: `taken_off` of obstacles. */
#include <string.h>

#include "cut.h"
#include "hardware.h"

const snub_key snub_cut_keys[] = {
    {"depth", NULL, SNUB_MEANS("Thickness of metal taken off by this cut, no more than the obstacle's `relief`.")},
    {"towards", NULL, SNUB_MEANS("Side that the cut is made on: front, rear, or facing a fixed pulley or a point.")},
    {"z", NULL, SNUB_MEANS("Where the cut begins and ends along the axis. Left out: over all of the obstacle.")},
    {NULL, NULL, NULL},
};

#define FAR 5000         /* mm */
#define DEPTH_LEAST 0.01 /* mm: less is no cut */

static const char *const ends[] = {"front", "rear"};

static bool pulley_named(snub_reader *reader, const snub_node *node, const snub_drive *drive, snub_cut *cut)
{
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley *pulley = &drive->pulleys[i];
        if (strcmp(pulley->name, node->text) != 0)
            continue;
        if (pulley->sits != SNUB_FIXED) {
            snub_read_wrong(reader, node, "a pulley with a fixed centre, or a point [x, y]",
                            "names a pulley that does not stay where it is");
            return false;
        }
        cut->towards = pulley->name;
        memcpy(cut->point, pulley->at, sizeof cut->point);
        return true;
    }
    snub_read_wrong(reader, node, "front, rear, the name of a pulley, or a point [x, y]",
                    "is no side of an obstacle and no pulley");
    return false;
}

/* Front and rear are ends; a pulley or a point says which side. */
static bool read_towards(snub_reader *reader, const snub_node *map, const snub_drive *drive, snub_cut *cut)
{
    const snub_node *node = snub_read_need(reader, map, "towards");
    if (node == NULL)
        return false;
    cut->from = SNUB_CUT_SIDE;
    if (node->kind == SNUB_LIST)
        return snub_read_point(reader, map, "towards", SNUB_Q_LENGTH, -FAR, FAR, cut->point);
    if (node->kind != SNUB_SCALAR) {
        snub_read_wrong_key(reader, map, "towards", "front, rear, the name of a pulley, or a point [x, y]",
                            "is neither a word nor a point");
        return false;
    }
    for (int k = 0; k < 2; k++) {
        if (strcmp(node->text, ends[k]) == 0) {
            cut->from = k == 0 ? SNUB_CUT_FRONT : SNUB_CUT_REAR;
            return true;
        }
    }
    snub_enter(reader, "towards");
    const bool good = pulley_named(reader, node, drive, cut);
    snub_leave(reader);
    return good;
}

static void read_height(snub_reader *reader, const snub_node *map, const snub_obstacle *o, snub_cut *cut)
{
    double range[2] = {o->low, o->high};
    if (cut->from != SNUB_CUT_SIDE) {
        cut->low = cut->from == SNUB_CUT_FRONT ? o->high - cut->depth : o->low;
        cut->high = cut->from == SNUB_CUT_FRONT ? o->high : o->low + cut->depth;
        if (snub_read_find(map, "z") != NULL)
            snub_read_wrong_key(reader, map, "z", "no `z`: the depth says it", "is given with an end");
        return;
    }
    snub_read_range(reader, map, "z", range);
    cut->low = range[0];
    cut->high = range[1];
    if (!(cut->low < o->high && cut->high > o->low))
        snub_read_wrong_key(reader, map, "z", "a range within the obstacle's own `z`", "is past the obstacle");
}

static void read_cut(snub_reader *reader, const snub_node *map, const snub_drive *drive, const snub_obstacle *o,
                     snub_cut *cut)
{
    if (!snub_read_keys(reader, map, snub_cut_keys, NULL))
        return;
    if (snub_read_need(reader, map, "depth") != NULL)
        snub_read_number(reader, map, "depth", SNUB_Q_LENGTH, DEPTH_LEAST, 500, &cut->depth);
    if (cut->depth > 0 && !isnan(o->relief) && cut->depth > o->relief)
        snub_read_wrong_key(reader, map, "depth", "no more than `relief`, the most that may be taken off",
                            "takes too much off");
    if (read_towards(reader, map, drive, cut))
        read_height(reader, map, o, cut);
}

static void lay_out(snub_reader *reader, const snub_node *list, snub_obstacle *o)
{
    int wrong;
    const snub_cut_outcome outcome = snub_cut_obstacle(o, reader->arena, &wrong);
    const snub_node *node = list->items[wrong];
    switch (outcome) {
    case SNUB_CUT_GOOD: return;
    case SNUB_CUT_NO_MEMORY: snub_read_no_memory(reader); return;
    case SNUB_CUT_INSIDE:
        snub_read_wrong(reader, node, "a point beside the obstacle", "faces a point that is inside of the obstacle");
        return;
    case SNUB_CUT_HOLLOW:
        snub_read_wrong(reader, node, "the outline as it is after cutting, in `polygon`",
                        "takes off a corner that the outline has beside the nearest one");
        return;
    case SNUB_CUT_THROUGH:
        snub_read_wrong(reader, list, "less depth, or no such obstacle", "leaves nothing of the obstacle");
        return;
    }
}

void snub_read_cuts(snub_reader *reader, const snub_node *map, const snub_drive *drive, snub_obstacle *obstacle)
{
    const snub_node *list = snub_read_list(reader, map, "taken_off", 1, SNUB_CUTS_MOST);
    const int wrong = reader->wrong;
    if (list == NULL)
        return;
    if (obstacle->tool) {
        snub_read_wrong_key(reader, map, "taken_off", "no `taken_off`: nothing is taken off a tool's room",
                            "is given together with `tool`");
        return;
    }
    obstacle->cuts = SNUB_NEW(reader->arena, snub_cut, list->count);
    if (obstacle->cuts == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    obstacle->cut_count = list->count;
    snub_enter(reader, "taken_off");
    for (int i = 0; i < list->count; i++) {
        snub_enter_item(reader, i);
        read_cut(reader, list->items[i], drive, obstacle, &obstacle->cuts[i]);
        snub_leave(reader);
    }
    if (reader->wrong == wrong)
        lay_out(reader, list, obstacle);
    snub_leave(reader);
}

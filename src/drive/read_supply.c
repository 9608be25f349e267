/** How a part comes: supply, rework, number. */
#include <string.h>

#include "supply.h"
#include "tables.h"

const snub_key snub_rework_keys[] = {
    {"do", NULL, SNUB_MEANS("What the fitter does to the part, as the fitting sheet prints it.")},
    {"remove", NULL, SNUB_MEANS("Thickness of metal that comes off. On an obstacle no more than its `relief`.")},
    {"where", NULL, SNUB_MEANS("Place on the part that is reworked, in words.")},
    {"caution", NULL, SNUB_MEANS("Caution of the program's list that is printed with this rework.")},
    {"drill", NULL, SNUB_MEANS("Diameter of the hole to drill; the drill goes on the list of tools.")},
    {"ream", NULL, SNUB_MEANS("Diameter that the hole is reamed to; the reamer goes on the list of tools.")},
    {"tap", NULL, SNUB_MEANS("Thread to cut, such as M8; the tap goes on the list of tools.")},
    {NULL, NULL, NULL},
};
static const char *const hows[] = {"new", "kept", "changed", "removed", NULL};

/** Texts of the file's author, bytes: a line or two of a table. */
enum { TASK_MOST = 200, WHERE_MOST = 100, NUMBER_MOST = 40 };

const char *snub_supply_text(snub_supply_how how)
{
    return how < SNUB_SUPPLIES_ ? hows[how] : "";
}

static const char *const cautions[] = {
#define SNUB_CAUTION(name, id, signal, place, when, words) id,
#include "snub/caution_list.inc"
    NULL};

void snub_read_calls(snub_reader *reader, snub_call call)
{
    reader->cautions |= (uint32_t)1 << call;
}

/* ---- rework ------------------------------------------------------------------------------------------------------ */

static void read_tap(snub_reader *reader, const snub_node *map, snub_rework *rework)
{
    if (snub_read_text(reader, map, "tap", 30, &rework->tap) &&
        !snub_thread_find(rework->tap, &rework->tap_size, &rework->tap_pitch)) {
        snub_read_wrong_key(reader, map, "tap", "M4 to M36, 'M8x1', '3/8-16'", "is not a known thread");
        rework->tap = NULL;
    }
}

static void read_rework(snub_reader *reader, const snub_node *owner, snub_rework *rework)
{
    int caution = SNUB_NO_CHOICE;
    rework->remove = rework->drill = rework->ream = NAN;
    const snub_node *map = snub_read_map(reader, owner, "rework", snub_rework_keys);
    if (map == NULL)
        return;
    rework->given = true;
    rework->place = map->place;
    snub_enter(reader, "rework");
    if (snub_read_need(reader, map, "do") != NULL)
        snub_read_text(reader, map, "do", TASK_MOST, &rework->task);
    snub_read_number(reader, map, "remove", SNUB_Q_LENGTH, 0.01, 500, &rework->remove);
    snub_read_text(reader, map, "where", WHERE_MOST, &rework->where);
    if (snub_read_choice(reader, map, "caution", cautions, &caution)) {
        rework->caution = cautions[caution];
        snub_read_calls(reader, (snub_call)caution);
    }
    snub_read_number(reader, map, "drill", SNUB_Q_LENGTH, 0.5, 200, &rework->drill);
    snub_read_number(reader, map, "ream", SNUB_Q_LENGTH, 0.5, 200, &rework->ream);
    read_tap(reader, map, rework);
    snub_leave(reader);
}

/* ---- supply ------------------------------------------------------------------------------------------------------ */

static void read_how(snub_reader *reader, const snub_node *map, bool may_go, snub_supply *supply)
{
    int how = (int)supply->how;
    supply->given = snub_read_choice(reader, map, "supply", hows, &how);
    if (!supply->given)
        return;
    supply->how = (snub_supply_how)how;
    if (supply->how == SNUB_SUPPLY_REMOVED && !may_go)
        snub_read_wrong_key(reader, map, "supply",
                            "new, kept or changed; list what comes off under `contents`, without it here",
                            "takes off a part that this drive runs with");
}

void snub_read_supply(snub_reader *reader, const snub_node *map, snub_supply_how usual, bool may_go,
                      snub_supply *supply)
{
    *supply = (snub_supply){.how = usual};
    read_how(reader, map, may_go, supply);
    read_rework(reader, map, &supply->rework);
    const bool changed = supply->how == SNUB_SUPPLY_CHANGED;
    if (changed && usual != SNUB_SUPPLY_CHANGED && snub_read_find(map, "rework") == NULL)
        snub_read_wrong_key(reader, map, "rework", "what is to be done: rework: {do: \"...\"}",
                            "is missing, and the part is changed");
    if (!changed && supply->rework.given)
        snub_read_wrong_key(reader, map, "rework", "supply: changed", "is given for a part that is not changed");
    snub_read_numbers_of(reader, map, &supply->number, &supply->part);
}

void snub_read_numbers_of(snub_reader *reader, const snub_node *map, const char **number, const char **part)
{
    (void)snub_read_text(reader, map, "part", 80, part);
    if (!snub_read_text(reader, map, "number", NUMBER_MOST, number) || *part == NULL)
        return;
    snub_read_wrong_key(reader, map, "number", "number or part, not both: the part's key is its number",
                        "is given together with a part of the catalogue");
}

void snub_refuse_supply(snub_reader *reader, const snub_node *map, const char *need)
{
    static const char *const keys[] = {"supply", "rework", "number"};
    for (int i = 0; i < 3; i++) {
        snub_read_refused(reader, keys[i]);
        if (snub_read_find(map, keys[i]) != NULL)
            snub_read_wrong_key(reader, map, keys[i], need, "does not belong here");
    }
}

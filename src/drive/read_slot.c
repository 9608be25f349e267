/** The slot of a pulley, straight or an arc, and the lock that makes it set the belt's tension. */
#include <string.h>

#include "sections.h"

const snub_key snub_slot_keys[] = {
    {"from", NULL,
     SNUB_MEANS("End of the slot's centre line that settings count from. Curved: direction from the centre.")},
    {"to", NULL, SNUB_MEANS("Other end of the slot's centre line. Curved: direction from the centre.")},
    {"centre", NULL, SNUB_MEANS("Centre of a curved slot in the front view.")},
    {"radius", NULL, SNUB_MEANS("Radius of a curved slot's centre line.")},
    {"setting", NULL,
     SNUB_MEANS("Where the pulley stands, along the slot from its `from` end. Left out: chosen for the belt.")},
    {NULL, NULL, NULL},
};

static bool read_straight(snub_reader *reader, const snub_node *map, snub_slot *slot)
{
    bool good = snub_read_need(reader, map, "from") != NULL &&
                snub_read_point(reader, map, "from", SNUB_Q_LENGTH, -5000, 5000, slot->from);
    good = snub_read_need(reader, map, "to") != NULL &&
           snub_read_point(reader, map, "to", SNUB_Q_LENGTH, -5000, 5000, slot->to) && good;
    if (!good)
        return false;
    slot->length = hypot(slot->to[0] - slot->from[0], slot->to[1] - slot->from[1]);
    return true;
}

/** from and to are the directions from the centre; the slot runs from one to the other without passing 360 deg. */
static bool read_curved(snub_reader *reader, const snub_node *map, snub_slot *slot)
{
    double from = 0, to = 0;
    slot->curved = true;
    bool good = snub_read_need(reader, map, "centre") != NULL &&
                snub_read_point(reader, map, "centre", SNUB_Q_LENGTH, -5000, 5000, slot->centre);
    good = snub_read_need(reader, map, "radius") != NULL &&
           snub_read_number(reader, map, "radius", SNUB_Q_LENGTH, 1, 5000, &slot->radius) && good;
    good = snub_read_need(reader, map, "from") != NULL &&
           snub_read_number(reader, map, "from", SNUB_Q_ANGLE, -360, 360, &from) && good;
    good = snub_read_need(reader, map, "to") != NULL &&
           snub_read_number(reader, map, "to", SNUB_Q_ANGLE, -360, 360, &to) && good;
    if (!good)
        return false;
    slot->start = from;
    slot->sweep = to - from;
    if (fabs(slot->sweep) >= 2 * SNUB_PI) {
        snub_read_wrong_key(reader, map, "to", "less than one turn from 'from'", "makes a full turn");
        return false;
    }
    slot->length = slot->radius * fabs(slot->sweep);
    snub_slot_point(slot, 0, slot->from);
    snub_slot_point(slot, slot->length, slot->to);
    return true;
}

/** At least one step of the lengths that can be written (snub_written_length), as a share of a length. */
#define LAST_DIGIT 1e-11

/** The last setting that can be written (snub_written_length) and lies in the slot. */
static double end_of(const snub_slot *slot)
{
    const double end = snub_written_length(slot->length);
    return end <= slot->length ? end : snub_written_length(slot->length * (1.0 - LAST_DIGIT));
}

/** Where the pulley stands in the slot; free where the file does not say. */
static void read_setting(snub_reader *reader, const snub_node *map, snub_pulley *pulley)
{
    const snub_slot *slot = &pulley->slot;
    double most = snub_quantity_to_bare(SNUB_Q_LENGTH, slot->length);
    if (slot->length < 0.0005 || slot->length > 2) {
        snub_read_wrong_key(reader, map, "to", "a slot of 0.5 to 2000 mm", "gives a slot %g mm long", most);
        return;
    }
    if (snub_read_number(reader, map, "setting", SNUB_Q_LENGTH, 0, most, &pulley->setting))
        pulley->setting = fmin(snub_written_length(pulley->setting), end_of(slot));
    snub_slot_point(slot, isnan(pulley->setting) ? 0 : pulley->setting, pulley->at);
}

static void read_fixed_tension(snub_reader *reader, const snub_node *map, snub_pulley *pulley)
{
    pulley->retension = true;
    if (snub_read_flag(reader, map, "retension", &pulley->retension) && snub_read_find(map, "fixed_tension") == NULL)
        snub_read_wrong_key(reader, map, "retension", "fixed_tension beside it",
                            "is given for a pulley that sets no tension");
    snub_read_number(reader, map, "fixed_tension", SNUB_Q_FORCE, 10, 50000, &pulley->fixed_tension);
    if (snub_read_find(map, "fixed_tension") != NULL && snub_read_find(map, "slot") == NULL)
        snub_read_wrong_key(reader, map, "fixed_tension", "a slot on the same pulley",
                            "is given for a pulley that has no slot");
}

void snub_read_slot(snub_reader *reader, const snub_node *map, snub_pulley *pulley)
{
    pulley->setting = NAN;
    const snub_node *node = snub_read_map(reader, map, "slot", snub_slot_keys);
    read_fixed_tension(reader, map, pulley);
    if (node == NULL)
        return;
    pulley->sits = SNUB_ON_SLOT;
    snub_enter(reader, "slot");
    bool curved = snub_read_find(node, "centre") != NULL || snub_read_find(node, "radius") != NULL;
    bool good = curved ? read_curved(reader, node, &pulley->slot) : read_straight(reader, node, &pulley->slot);
    if (good)
        read_setting(reader, node, pulley);
    snub_leave(reader);
}

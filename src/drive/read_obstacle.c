/** obstacles: what stands or swings beside the belt, and the room that tools need. */
#include "hardware.h"
#include "supply.h"

static const snub_key circle_keys[] = {
    {"at", NULL, SNUB_MEANS("Centre of the circle in the front view.")},
    {"diameter", NULL, SNUB_MEANS("Diameter across the outermost points: of a hex head, across its corners.")},
    {NULL, NULL, NULL},
};
static const snub_key slot_keys[] = {
    {"from", NULL, SNUB_MEANS("Middle of one end's rounding.")},
    {"to", NULL, SNUB_MEANS("Middle of the other end's rounding.")},
    {"width", NULL, SNUB_MEANS("Width across, twice the radius of the ends.")},
    {NULL, NULL, NULL},
};
const snub_key snub_obstacle_keys[] = {
    {"name", NULL, SNUB_MEANS("What it is called in findings, drawings and paths.")},
    {"circle", circle_keys, SNUB_MEANS("Outline as a circle in the front view: a bolt head, a hose, a boss.")},
    {"polygon", NULL, SNUB_MEANS("Outline as corners in order in the front view, not closed.")},
    {"slot", slot_keys, SNUB_MEANS("Outline as a bar with round ends in the front view: an arm, a pipe, a wrench.")},
    {"z", NULL, SNUB_MEANS("Where it begins and ends along the crank's axis, plus away from the engine.")},
    {"relief", NULL, SNUB_MEANS("Most metal that may be taken off it. Ask whoever knows the wall behind.")},
    {"taken_off", snub_cut_keys, SNUB_MEANS("Flat cuts made before the kit is fitted; what is left is judged.")},
    {"clearance", NULL, SNUB_MEANS("Gap to keep from it. Left out: the limit `clearance`; with `tool`: 0.")},
    {"moves_with", NULL, SNUB_MEANS("What it moves with; `arm` is drawn with the spring arm in its free position.")},
    {"tool", NULL, SNUB_MEANS("Whether it is room for a tool that must be free while the belt is changed.")},
    SNUB_SUPPLY_KEYS,
    SNUB_NUMBER_KEY,
    {NULL, NULL, NULL},
};

#define FAR 5000 /* mm */

static void read_circle(snub_reader *reader, const snub_node *map, snub_obstacle *o)
{
    const snub_node *node = snub_read_map(reader, map, "circle", circle_keys);
    double diameter = 0;
    if (node == NULL)
        return;
    o->shape = SNUB_CIRCLE;
    snub_enter(reader, "circle");
    if (snub_read_need(reader, node, "at") != NULL)
        snub_read_point(reader, node, "at", SNUB_Q_LENGTH, -FAR, FAR, o->from);
    if (snub_read_need(reader, node, "diameter") != NULL &&
        snub_read_number(reader, node, "diameter", SNUB_Q_LENGTH, 0.1, FAR, &diameter))
        o->radius = diameter / 2;
    snub_leave(reader);
}

static void read_slot(snub_reader *reader, const snub_node *map, snub_obstacle *o)
{
    const snub_node *node = snub_read_map(reader, map, "slot", slot_keys);
    double width = 0;
    if (node == NULL)
        return;
    o->shape = SNUB_STADIUM;
    snub_enter(reader, "slot");
    if (snub_read_need(reader, node, "from") != NULL)
        snub_read_point(reader, node, "from", SNUB_Q_LENGTH, -FAR, FAR, o->from);
    if (snub_read_need(reader, node, "to") != NULL)
        snub_read_point(reader, node, "to", SNUB_Q_LENGTH, -FAR, FAR, o->to);
    if (snub_read_need(reader, node, "width") != NULL &&
        snub_read_number(reader, node, "width", SNUB_Q_LENGTH, 0.1, FAR, &width))
        o->radius = width / 2;
    snub_leave(reader);
}

static void read_polygon(snub_reader *reader, const snub_node *map, snub_obstacle *o)
{
    if (snub_read_find(map, "polygon") == NULL)
        return;
    o->shape = SNUB_POLYGON;
    snub_read_outline(reader, map, "polygon", &o->corners, &o->corner);
}

/** Distance from a point to the farthest point of an obstacle. */
static double farthest(const snub_obstacle *o, const double point[2])
{
    double far = 0;
    if (o->shape == SNUB_CIRCLE)
        return hypot(o->from[0] - point[0], o->from[1] - point[1]) + o->radius;
    if (o->shape == SNUB_STADIUM)
        return o->radius + fmax(hypot(o->from[0] - point[0], o->from[1] - point[1]),
                                hypot(o->to[0] - point[0], o->to[1] - point[1]));
    for (int i = 0; i < o->corners; i++)
        far = fmax(far, hypot(o->corner[i][0] - point[0], o->corner[i][1] - point[1]));
    return far;
}

/** A thing that lies wholly inside of a pulley is a slip of the pen, not a conflict. */
static void check_inside(snub_reader *reader, const snub_node *map, const snub_drive *drive, const snub_obstacle *o)
{
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley *pulley = &drive->pulleys[i];
        const bool shares = o->low < pulley->plane + pulley->width / 2 && o->high > pulley->plane - pulley->width / 2;
        if (pulley->sits == SNUB_FIXED && shares && farthest(o, pulley->at) < pulley->rim_radius) {
            snub_read_wrong(reader, map, "a position clear of the pulleys", "lies inside pulley '%s'", pulley->name);
            return;
        }
    }
}

static void read_role(snub_reader *reader, const snub_node *map, const snub_drive *drive, snub_obstacle *o)
{
    static const char *const carriers[] = {"arm", NULL};
    int carrier = SNUB_NO_CHOICE;
    snub_read_flag(reader, map, "tool", &o->tool);
    if (o->tool && !isnan(o->relief))
        snub_read_wrong_key(reader, map, "relief", "no `relief`: nothing is taken off a tool's room",
                            "is given together with `tool`");
    if (!snub_read_choice(reader, map, "moves_with", carriers, &carrier))
        return;
    o->on_arm = drive->arm >= 0;
    if (drive->arm < 0)
        snub_read_wrong_key(reader, map, "moves_with", "a pulley with an `arm` in this file",
                            "names an arm that is not there");
}

/** A tool's room is no part. */
static void read_supply(snub_reader *reader, const snub_node *map, snub_obstacle *o)
{
    snub_rework *rework = &o->supply.rework;
    if (o->tool) {
        snub_refuse_supply(reader, map, "no such key: a tool's room is no part");
        return;
    }
    const bool cut = snub_read_find(map, "taken_off") != NULL;
    snub_read_supply(reader, map, cut ? SNUB_SUPPLY_CHANGED : SNUB_SUPPLY_KEPT, true, &o->supply);
    if (cut && o->supply.how != SNUB_SUPPLY_CHANGED)
        snub_read_wrong_key(reader, map, "taken_off", "supply: changed", "is given for a part that is not changed");
    if (cut && rework->remove > 0) {
        snub_enter(reader, "rework");
        snub_read_wrong_key(reader, snub_read_find(map, "rework"), "remove", "taken_off or remove, not both",
                            "is given together with `taken_off`");
        snub_leave(reader);
    }
    if (cut || rework->remove > 0)
        snub_read_calls(reader, SNUB_CALL_METAL);
    if (rework->remove > o->relief * (1.0 + 1e-9)) {
        snub_enter(reader, "rework");
        snub_read_wrong_key(reader, snub_read_find(map, "rework"), "remove",
                            snub_format(reader->arena, "at most %g mm, the `relief`", o->relief / SNUB_MM),
                            "takes off more than may be taken off there");
        snub_leave(reader);
    }
}

static void read_obstacle(snub_reader *reader, const snub_node *map, const snub_drive *drive, const char **names,
                          int index, snub_obstacle *o)
{
    static const char *const shapes[] = {"circle", "polygon", "slot"};
    int given = 0;
    double range[2] = {0, 0};
    const int wrong = reader->wrong;
    o->place = map->place;
    o->relief = o->clearance = NAN;
    if (!snub_read_keys(reader, map, snub_obstacle_keys, NULL))
        return;
    snub_read_item_name(reader, map, names, index, &o->name);
    for (int i = 0; i < 3; i++) {
        if (snub_read_find(map, shapes[i]) != NULL && given++ > 0)
            snub_read_wrong_key(reader, map, shapes[i], "one of circle, polygon and slot", "is a second shape");
    }
    if (given == 0)
        snub_read_wrong_key(reader, map, "circle", "a circle, polygon or slot", "is missing");
    read_circle(reader, map, o);
    read_polygon(reader, map, o);
    read_slot(reader, map, o);
    if (snub_read_need(reader, map, "z") != NULL && snub_read_range(reader, map, "z", range)) {
        o->low = range[0];
        o->high = range[1];
    }
    snub_read_number(reader, map, "relief", SNUB_Q_LENGTH, 0, 500, &o->relief);
    snub_read_number(reader, map, "clearance", SNUB_Q_LENGTH, 0, 500, &o->clearance);
    read_role(reader, map, drive, o);
    if (reader->wrong == wrong)
        snub_read_cuts(reader, map, drive, o);
    read_supply(reader, map, o);
    if (reader->wrong == wrong && !o->tool && !o->on_arm && o->supply.how != SNUB_SUPPLY_REMOVED)
        check_inside(reader, map, drive, o);
}

/** What comes off stands apart: whoever looks for what the belt may touch does not see it. */
static void part_removed(snub_reader *reader, snub_hardware *hardware)
{
    int stay = 0;
    hardware->removed = SNUB_NEW(reader->arena, snub_obstacle, hardware->obstacle_count);
    if (hardware->removed == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    for (int i = 0; i < hardware->obstacle_count; i++) {
        if (hardware->obstacles[i].supply.how == SNUB_SUPPLY_REMOVED)
            hardware->removed[hardware->removed_count++] = hardware->obstacles[i];
        else
            hardware->obstacles[stay++] = hardware->obstacles[i];
    }
    hardware->obstacle_count = stay;
}

void snub_read_obstacles(snub_reader *reader, const snub_node *root, const snub_drive *drive, snub_hardware *hardware)
{
    const snub_node *list = snub_read_named_list(reader, root, "obstacles", SNUB_OBSTACLES_MOST);
    if (list == NULL)
        return;
    hardware->obstacles = SNUB_NEW(reader->arena, snub_obstacle, list->count);
    const char **names = SNUB_NEW(reader->arena, const char *, list->count);
    if (hardware->obstacles == NULL || names == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    hardware->obstacle_count = list->count;
    snub_enter(reader, "obstacles");
    for (int i = 0; i < list->count; i++) {
        snub_enter_item(reader, i);
        read_obstacle(reader, list->items[i], drive, names, i, &hardware->obstacles[i]);
        names[i] = hardware->obstacles[i].name;
        snub_leave(reader);
    }
    snub_leave(reader);
    part_removed(reader, hardware);
}

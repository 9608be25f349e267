/** pulleys: names, sides, diameters, places, loads. */
#include <string.h>

#include "sections.h"
#include "supply.h"

const snub_key snub_diameter_keys[] = {
    {"value", NULL, SNUB_MEANS("The diameter as it was measured.")},
    {"over", NULL, SNUB_MEANS("What it was measured over: effective, balls of 2.5 mm, or outside (rib tips).")},
    {NULL, NULL, NULL},
};
static const snub_key groove_keys[] = {
    {"tip_radius", NULL, SNUB_MEANS("Rounding of the ribs' tips, from the pulley's drawing.")},
    {"angle", NULL, SNUB_MEANS("Angle between the two sides of a groove, from the pulley's drawing.")},
    {NULL, NULL, NULL},
};
static const snub_key load_by_boost_keys[] = {
    {"speed", NULL, SNUB_MEANS("Shaft speeds of the table's rows.")},
    {"boost", NULL, SNUB_MEANS("Boost pressures of the table's columns.")},
    {"torque", NULL, SNUB_MEANS("Torque that the shaft takes: a row for each speed, with a value for each boost.")},
    {NULL, NULL, NULL},
};

const snub_key snub_pulley_keys[] = {
    {"part", NULL,
     SNUB_MEANS("Key of a pulley in the parts catalogue. Keys written beside it win over the catalogue's values.")},
    {"name", NULL, SNUB_MEANS("What the pulley is called in findings, drawings and paths, each name once.")},
    {"role", NULL, SNUB_MEANS("`crank` for the one pulley that drives the belt.")},
    {"rotation", NULL, SNUB_MEANS("Sense in which the crank turns, seen from the front.")},
    {"side", NULL, SNUB_MEANS("Side of the belt that runs on it: ribs in grooves, or the flat back.")},
    {"at", NULL, SNUB_MEANS("Centre of a fixed pulley in the front view.")},
    {"arm", snub_arm_keys, SNUB_MEANS("Spring arm that carries the pulley: an automatic tensioner.")},
    {"slot", snub_slot_keys, SNUB_MEANS("Slot that the pulley is set and clamped in.")},
    {"fixed_tension", NULL,
     SNUB_MEANS("Tension that the slot sets in every span, engine stopped; then it is bolted. Measured by the span's "
                "frequency.")},
    {"retension", NULL,
     SNUB_MEANS("Whether the belt is tensioned again as it wears, as the service sheet would have it.")},
    {"diameter", snub_diameter_keys,
     SNUB_MEANS("Diameter that the belt runs on: effective on ribs, outside on the back.")},
    {"groove", groove_keys, SNUB_MEANS("Shape of the grooves, for a diameter that was measured over the rib tips.")},
    {"rim_radius", NULL, SNUB_MEANS("Greatest radius of the solid pulley, for clearance. It is no diameter.")},
    {"width", NULL, SNUB_MEANS("Width of the rim along the axis.")},
    {"ribs", NULL, SNUB_MEANS("Number of grooves in the pulley. Fewer than the belt's ribs fails.")},
    {"plane", NULL, SNUB_MEANS("Belt's middle on this pulley along the crank's axis, plus away from the engine.")},
    {"load", NULL,
     SNUB_MEANS("Torque that the accessory takes at each of its shaft's speeds. From its maker or a dyno.")},
    {"load_by_boost", load_by_boost_keys,
     SNUB_MEANS("Torque of an accessory whose load goes with boost as well. In place of `load`.")},
    {"inertia", NULL, SNUB_MEANS("Moment of inertia of the pulley and all that turns with it.")},
    {"overruns", NULL, SNUB_MEANS("Whether the pulley has a one-way clutch, so that it never drives the belt.")},
    {"peak", NULL,
     SNUB_MEANS("Greatest over mean torque of the load within a turn: 1 is even, a piston compressor has more.")},
    {"max_speed", NULL, SNUB_MEANS("Highest speed of the shaft that its maker allows.")},
    {"max_hub", NULL, SNUB_MEANS("Greatest pull of the belt that the shaft's maker allows, in any direction.")},
    {"max_torque", NULL, SNUB_MEANS("On the crank: greatest torque that the belt may take through its nose.")},
    {"blower", snub_blower_keys, SNUB_MEANS("The blower on this pulley's shaft.")},
    SNUB_SUPPLY_KEYS,
    SNUB_NUMBER_KEY,
    {NULL, NULL, NULL},
};

/** Centres nearer than this are one place, m. */
#define SAME_PLACE 0.1e-3
/** A rim may stand out over the pulley's radius by so much, mm; more is a diameter written for a radius. */
#define RIM_OVER 20

/** More than this over the mean is no load but a shock: a one-cylinder compressor has 3 to 4 (rule of thumb). */
#define PEAK_MOST 10

/* Of PK, m: pitch of the grooves, radius of the measuring balls. */
#define PITCH 3.56e-3
#define BALL 1.25e-3

/* A ball that touches both flanks, and the sharp tip in which two grooves meet less what rounding takes off it: each
 * over the point in which the flanks meet, m. */
static double tip_under_ball(double tip_radius, double angle)
{
    const double s = sin(0.5 * angle);
    return BALL / s + BALL - (0.5 * PITCH / tan(0.5 * angle) - tip_radius * (1.0 / s - 1.0));
}

double snub_tips_under_effective(double tip_radius, double angle)
{
    const double printed = 0.885e-3; /* SAE J1459, summary: at the usual groove, to its digits */
    const double usual = tip_under_ball(SNUB_USUAL_TIP_RADIUS, SNUB_USUAL_GROOVE_ANGLE);
    return printed + 2.0 * (tip_under_ball(tip_radius, angle) - usual);
}

static void read_name(snub_reader *reader, const snub_node *map, snub_pulley *pulley)
{
    static const char digits[] = "0123456789";
    if (snub_read_need(reader, map, "name") == NULL || !snub_read_text(reader, map, "name", 40, &pulley->name))
        return;
    const char *name = pulley->name;
    if (snub_name_reserved(name))
        snub_read_wrong_key(reader, map, "name", "another name", "is the name of a section of the file");
    else if (strchr(name, '.') != NULL || name[strspn(name, digits)] == '\0')
        snub_read_wrong_key(reader, map, "name", "a word without dots that is not a number",
                            "cannot be used in a path like 'pump.diameter'");
    else if (name[0] == ' ' || name[strlen(name) - 1] == ' ')
        snub_read_wrong_key(reader, map, "name", "a word without blanks around it", "begins or ends with a blank");
}

static void read_role(snub_reader *reader, const snub_node *map, snub_drive *drive, snub_pulley *pulley)
{
    static const char *const roles[] = {"crank", NULL}, *const senses[] = {"cw", "ccw", NULL};
    int role = SNUB_NO_CHOICE, sense = 0;
    pulley->is_crank = snub_read_choice(reader, map, "role", roles, &role);
    if (!pulley->is_crank) {
        snub_read_refused(reader, "rotation");
        snub_read_refused(reader, "max_torque");
    }
    if (!snub_read_choice(reader, map, "rotation", senses, &sense))
        return;
    if (pulley->is_crank)
        drive->turn = sense == 0 ? 1 : -1;
    else
        snub_read_wrong_key(reader, map, "rotation", "rotation on the crank only; the belt drives the others",
                            "is given for a pulley that is not the crank");
}

/** The groove that a diameter over the tips depends on; PK alone, since the offsets are known for PK only. */
static void read_groove(snub_reader *reader, const snub_node *map, const snub_belt *belt, snub_pulley *pulley)
{
    pulley->tip_radius = SNUB_USUAL_TIP_RADIUS;
    pulley->groove_angle = SNUB_USUAL_GROOVE_ANGLE;
    const snub_node *node = snub_read_map(reader, map, "groove", groove_keys);
    if (node == NULL)
        return;
    if (pulley->side == SNUB_BACK)
        snub_read_wrong_key(reader, map, "groove", "no groove: the back is smooth",
                            "is given for a pulley on the belt's back");
    else if (strcmp(belt->section, "PK") != 0)
        snub_read_wrong_key(reader, map, "groove", "section PK", "is known for section PK only");
    snub_enter(reader, "groove");
    pulley->tip_radius_given =
        snub_read_number(reader, node, "tip_radius", SNUB_Q_LENGTH, 0.1, 0.8, &pulley->tip_radius);
    snub_read_number(reader, node, "angle", SNUB_Q_ANGLE, 32, 46, &pulley->groove_angle);
    snub_leave(reader);
}

/** Diameter as measured; over balls or tips means the ribs, and PK since the offsets are known for PK only. */
static void read_diameter(snub_reader *reader, const snub_node *map, const snub_belt *belt, snub_pulley *pulley)
{
    static const char *const ways[] = {"effective", "outside", "balls", NULL};
    const double offsets[] = {0, snub_tips_under_effective(pulley->tip_radius, pulley->groove_angle),
                              -SNUB_BALLS_OVER_EFFECTIVE};
    int way = 0;
    const snub_node *node = snub_read_need(reader, map, "diameter");
    if (node == NULL)
        return;
    if (node->kind != SNUB_MAP) {
        snub_read_number(reader, map, "diameter", SNUB_Q_LENGTH, 8, 1500, &pulley->diameter);
        pulley->nominal_diameter = pulley->diameter;
        return;
    }
    snub_enter(reader, "diameter");
    snub_read_keys(reader, node, snub_diameter_keys, NULL);
    if (snub_read_need(reader, node, "value") != NULL)
        snub_read_number(reader, node, "value", SNUB_Q_LENGTH, 8, 1500, &pulley->diameter);
    pulley->nominal_diameter = pulley->diameter;
    if (snub_read_choice(reader, node, "over", ways, &way)) {
        if (pulley->side == SNUB_BACK)
            snub_read_wrong_key(reader, node, "over", "the outside diameter alone",
                                "is given for a pulley on the belt's back, which has no grooves");
        else if (way > 0 && strcmp(belt->section, "PK") != 0)
            snub_read_wrong_key(reader, node, "over", "effective", "is known for section PK only");
        else if (pulley->diameter > 0)
            pulley->diameter += offsets[way];
    }
    snub_leave(reader);
}

/** What follows from the diameter, and the rim that may stand out. */
static void read_rim(snub_reader *reader, const snub_node *map, const snub_belt *belt, snub_pulley *pulley)
{
    double radius = pulley->diameter / 2;
    pulley->pitch_radius = radius + (pulley->side == SNUB_RIB ? belt->be : belt->back);
    pulley->rim_radius = radius;
    pulley->width = snub_face_width(belt);
    if (pulley->diameter > 0) {
        double bare = snub_quantity_to_bare(SNUB_Q_LENGTH, radius);
        /* half a millimetre less than the effective radius is the tips' own */
        snub_read_number(reader, map, "rim_radius", SNUB_Q_LENGTH, bare - 0.5, bare + RIM_OVER, &pulley->rim_radius);
    }
    snub_read_number(reader, map, "width", SNUB_Q_LENGTH, 1, 500, &pulley->width);
    if (snub_read_integer(reader, map, "ribs", 1, 60, &pulley->grooves) && pulley->side == SNUB_BACK)
        snub_read_wrong_key(reader, map, "ribs", "no ribs: the back is smooth",
                            "is given for a pulley on the belt's back");
    snub_read_number(reader, map, "plane", SNUB_Q_LENGTH, -1000, 1000, &pulley->plane);
}

/** Exactly one of at, arm and slot. */
static void read_place(snub_reader *reader, const snub_node *map, snub_pulley *pulley)
{
    static const char *const ways[] = {"at", "arm", "slot"};
    int given = 0;
    for (int i = 0; i < 3; i++) {
        if (snub_read_find(map, ways[i]) != NULL && given++ > 0)
            snub_read_wrong_key(reader, map, ways[i], "one of at, arm and slot", "gives the pulley a second position");
    }
    if (given == 0)
        snub_read_wrong_key(reader, map, "at", "at: [x, y], an arm or a slot", "is missing");
    snub_read_point(reader, map, "at", SNUB_Q_LENGTH, -5000, 5000, pulley->at);
    snub_read_arm(reader, map, pulley);
    snub_read_slot(reader, map, pulley);
}

/** Torque by shaft speed and boost; takes the place of `load`. */
static void read_load_by_boost(snub_reader *reader, const snub_node *root, snub_pulley *pulley)
{
    static const snub_grid_key torque = {"torque", "speed", "boost", SNUB_Q_TORQUE, 0, 2000};
    snub_surface surface = {0};
    const snub_node *map = snub_read_map(reader, root, "load_by_boost", load_by_boost_keys);
    if (map == NULL)
        return;
    if (snub_read_find(root, "load") != NULL)
        snub_read_wrong_key(reader, root, "load_by_boost", "load or load_by_boost", "is given together with a load");
    snub_enter(reader, "load_by_boost");
    bool good = snub_read_need(reader, map, "speed") != NULL;
    good = snub_read_need(reader, map, "boost") != NULL && good;
    good = snub_read_need(reader, map, "torque") != NULL && good;
    reader->difference = true;
    if (good && snub_read_numbers(reader, map, "speed", SNUB_Q_TURN_SPEED, 0, 500000, &surface.nx, &surface.x) &&
        snub_read_numbers(reader, map, "boost", SNUB_Q_PRESSURE, -100, 700, &surface.ny, &surface.y) &&
        surface.nx > 0 && surface.ny > 0 && snub_read_rising(reader, map, "speed", surface.nx, surface.x) &&
        snub_read_rising(reader, map, "boost", surface.ny, surface.y) && snub_read_grid(reader, map, &torque, &surface))
        pulley->load_by_boost = surface;
    reader->difference = false;
    snub_leave(reader);
}

static void read_torque(snub_reader *reader, const snub_node *map, snub_pulley *pulley)
{
    static const snub_columns load = {SNUB_Q_TURN_SPEED, SNUB_Q_TORQUE, 0, 500000, 0, 2000};
    snub_read_table(reader, map, "load", &load, &pulley->load);
    read_load_by_boost(reader, map, pulley);
    snub_read_number(reader, map, "inertia", SNUB_Q_INERTIA, 0, 10, &pulley->inertia);
    (void)snub_read_flag(reader, map, "overruns", &pulley->overruns);
    snub_read_number(reader, map, "max_speed", SNUB_Q_TURN_SPEED, 100, 500000, &pulley->max_speed);
    snub_read_number(reader, map, "max_hub", SNUB_Q_FORCE, 10, 100000, &pulley->max_hub);
    snub_read_number(reader, map, "max_torque", SNUB_Q_TORQUE, 1, 10000, &pulley->max_torque);
    snub_read_blower(reader, map, pulley);
    snub_read_number(reader, map, "peak", SNUB_Q_NUMBER, 1, PEAK_MOST, &pulley->peak);
    const bool loaded =
        pulley->has_blower || snub_read_find(map, "load") != NULL || snub_read_find(map, "load_by_boost") != NULL;
    if (snub_read_find(map, "peak") != NULL && !loaded && !pulley->is_crank)
        snub_read_wrong_key(reader, map, "peak", "load, load_by_boost or blower as well",
                            "is given for a pulley without a load");
    if (snub_read_find(map, "max_torque") != NULL && !pulley->is_crank)
        snub_read_wrong_key(reader, map, "max_torque", "max_torque on the crank alone",
                            "is given for a pulley that is not the crank");
}

/** What cannot be on the crank pulley: it drives, and stands where the crankshaft is. */
static void check_crank(snub_reader *reader, const snub_node *map, const snub_pulley *pulley)
{
    static const char *const no[] = {"load", "load_by_boost", "blower", "arm", "slot", "overruns", "peak"};
    for (int i = 0; pulley->is_crank && i < 7; i++) {
        snub_read_refused(reader, no[i]);
        if (snub_read_find(map, no[i]) != NULL)
            snub_read_wrong_key(reader, map, no[i], "a pulley other than the crank",
                                "does not belong on the crank pulley");
    }
    if (pulley->is_crank && pulley->side == SNUB_BACK)
        snub_read_wrong_key(reader, map, "side", "rib", "drives the belt on its smooth back");
}

/** With its arm where it is on one: an arm of the catalogue is that part. */
static void read_supply(snub_reader *reader, const snub_node *map, snub_pulley *pulley)
{
    snub_supply *supply = &pulley->supply;
    const snub_node *arm = snub_read_find(map, "arm");
    snub_read_supply(reader, map, pulley->is_crank ? SNUB_SUPPLY_KEPT : SNUB_SUPPLY_NEW, false, supply);
    if (pulley->is_crank && supply->how != SNUB_SUPPLY_KEPT)
        snub_read_calls(reader, SNUB_CALL_CRANK);
    if (supply->part != NULL || arm == NULL || arm->kind != SNUB_MAP)
        return;
    snub_enter(reader, "arm");
    snub_read_numbers_of(reader, arm, &(const char *){NULL}, &supply->part);
    snub_leave(reader);
    if (supply->part != NULL && supply->number != NULL)
        snub_read_wrong_key(reader, map, "number", "number or the arm's part, not both",
                            "is given together with a part of the catalogue");
}

static void read_pulley(snub_reader *reader, const snub_node *map, snub_drive *drive, snub_pulley *pulley)
{
    static const char *const sides[] = {"rib", "back", NULL};
    int side = 0;
    pulley->name = "";
    pulley->place = map->place;
    pulley->setting = NAN;
    pulley->at[0] = pulley->at[1] = NAN; /* until read: no place that another pulley may be found at */
    if (map->kind == SNUB_MAP)
        map = snub_read_part(reader, "pulley", map);
    pulley->node = map;
    if (!snub_read_keys(reader, map, snub_pulley_keys, snub_hardware_pulley_keys))
        return;
    read_name(reader, map, pulley);
    read_role(reader, map, drive, pulley);
    if (snub_read_choice(reader, map, "side", sides, &side))
        pulley->side = (snub_side)side;
    read_groove(reader, map, &drive->belt, pulley);
    read_diameter(reader, map, &drive->belt, pulley);
    read_rim(reader, map, &drive->belt, pulley);
    read_place(reader, map, pulley);
    read_torque(reader, map, pulley);
    read_supply(reader, map, pulley);
    check_crank(reader, map, pulley);
}

/* ---- the pulleys together ---------------------------------------------------------------------------------------- */

static void check_pair(snub_reader *reader, const snub_pulley *first, const snub_pulley *second)
{
    if (first->name[0] != '\0' && strcmp(first->name, second->name) == 0)
        snub_read_wrong_key(reader, second->node, "name", "each name once",
                            "is already the name of the pulley in line %d", first->place.line);
    bool fixed = first->sits == SNUB_FIXED && second->sits == SNUB_FIXED;
    if (fixed && hypot(first->at[0] - second->at[0], first->at[1] - second->at[1]) < SAME_PLACE)
        snub_read_wrong_key(reader, second->node, "at", "its own position", "is also the position of pulley '%s'",
                            first->name);
}

static void note_crank(snub_reader *reader, snub_drive *drive, int index)
{
    if (drive->crank >= 0)
        snub_read_wrong_key(reader, drive->pulleys[index].node, "role", "one crank", "is a second crank");
    else
        drive->crank = index;
}

/** Tension may be set by one arm or by one locked slot. */
static void note_tensioner(snub_reader *reader, snub_drive *drive, int index)
{
    const snub_pulley *pulley = &drive->pulleys[index];
    if (pulley->sits == SNUB_ON_ARM && drive->arm >= 0)
        snub_read_wrong_key(reader, pulley->node, "arm", "one arm", "is a second arm");
    else if (pulley->sits == SNUB_ON_ARM)
        drive->arm = index;
    if (pulley->fixed_tension <= 0)
        return;
    if (drive->locked >= 0)
        snub_read_wrong_key(reader, pulley->node, "fixed_tension", "one fixed tension", "is a second fixed tension");
    else
        drive->locked = index;
}

static void check_together(snub_reader *reader, snub_drive *drive)
{
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley *pulley = &drive->pulleys[i];
        if (pulley->node->kind != SNUB_MAP)
            continue;
        snub_enter(reader, pulley->name);
        for (int j = 0; j < i; j++) {
            if (drive->pulleys[j].node->kind == SNUB_MAP)
                check_pair(reader, &drive->pulleys[j], pulley);
        }
        if (pulley->is_crank)
            note_crank(reader, drive, i);
        note_tensioner(reader, drive, i);
        snub_leave(reader);
    }
    if (drive->arm >= 0 && drive->locked >= 0) {
        snub_enter(reader, drive->pulleys[drive->locked].name);
        snub_read_wrong_key(reader, drive->pulleys[drive->locked].node, "fixed_tension",
                            "an arm or a fixed tension, not both",
                            "conflicts with the arm of '%s', which sets the tension", drive->pulleys[drive->arm].name);
        snub_leave(reader);
    }
}

/** What a mistake in a pulley calls it: its name, or its number where it has none. */
static void enter_pulley(snub_reader *reader, const snub_node *map, int index)
{
    const snub_node *name = snub_node_get(map, "name");
    if (name != NULL && name->kind == SNUB_SCALAR && name->text[0] != '\0' && strlen(name->text) <= 40)
        snub_enter(reader, name->text);
    else
        snub_enter_item(reader, index);
}

void snub_read_pulleys(snub_reader *reader, const snub_node *root, snub_drive *drive)
{
    drive->turn = 1;
    drive->crank = drive->arm = drive->locked = -1;
    if (snub_read_need(reader, root, "pulleys") == NULL)
        return;
    const snub_node *list = snub_read_list(reader, root, "pulleys", 2, SNUB_PULLEYS_MOST);
    if (list == NULL)
        return;
    drive->pulleys = SNUB_NEW(reader->arena, snub_pulley, list->count);
    if (drive->pulleys == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    drive->pulley_count = list->count;
    snub_enter(reader, "pulleys");
    for (int i = 0; i < list->count; i++) {
        enter_pulley(reader, list->items[i], i);
        read_pulley(reader, list->items[i], drive, &drive->pulleys[i]);
        snub_leave(reader);
    }
    check_together(reader, drive);
    snub_leave(reader);
    if (drive->crank < 0)
        snub_read_wrong_key(reader, root, "pulleys", "role: crank on one pulley", "have no crank");
}

int snub_drive_pulley(const snub_drive *drive, const char *name)
{
    for (int i = 0; i < drive->pulley_count; i++) {
        if (strcmp(drive->pulleys[i].name, name) == 0)
            return i;
    }
    return -1;
}

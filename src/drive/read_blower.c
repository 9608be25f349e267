/** The blower of a pulley. */
#include "sections.h"
#include "supply.h"

const snub_key snub_blower_keys[] = {
    {"part", NULL,
     SNUB_MEANS("Key of a blower in the parts catalogue. Keys written beside it win over the catalogue's values.")},
    {"kind", NULL, SNUB_MEANS("How the blower works: roots, twin-screw or centrifugal.")},
    {"swept", NULL,
     SNUB_MEANS("Volume displaced for each turn of the pulley, from the maker. A figure for each turn of the rotor "
                "times `step_up`.")},
    {"internal_ratio", NULL,
     SNUB_MEANS("Built-in volume ratio: inlet volume over volume as the outlet opens. 1 for a Roots blower.")},
    {"leakage_speed", NULL,
     SNUB_MEANS("Pulley speed at which the blower only makes up its leakage, at 1 psi across, 14.7 psi and 20 degC at "
                "the inlet.")},
    {"mechanical", NULL,
     SNUB_MEANS("Work on the air over work at the blower's shaft: bearings, gears and seals take the rest.")},
    {"step_up", NULL,
     SNUB_MEANS("Turns of the rotor or impeller for each turn of the pulley, by the gears inside the blower.")},
    {"max_rotor_speed", NULL, SNUB_MEANS("Highest speed of the rotor or impeller that its maker allows.")},
    {"design_speed", NULL,
     SNUB_MEANS("Impeller speed at the design point, where flow and pressure ratio are known. Read it off the map.")},
    {"design_flow", NULL, SNUB_MEANS("Volume flow at the inlet at the design point. Read it off the map.")},
    {"design_ratio", NULL, SNUB_MEANS("Outlet over inlet pressure, absolute, at the design point.")},
    {"isentropic", NULL,
     SNUB_MEANS("Ideal over real heating of the air in a centrifugal blower at its design point. From the map.")},
    {"map", NULL,
     SNUB_MEANS("Name of a CSV file with the blower's map, beside the drive file. It replaces the simple model.")},
    {"bypass", NULL,
     SNUB_MEANS("Whether a bypass valve lets air round the blower at part load and wherever there is no boost.")},
    {"surge_flow", NULL, SNUB_MEANS("Flow at the surge line over design flow, at design speed.")},
    {"surge_head", NULL, SNUB_MEANS("Head at the surge line over design head, at design speed.")},
    {"map_temperature", NULL,
     SNUB_MEANS("Inlet temperature for which the map or the design point holds; printed on the map.")},
    {"map_pressure", NULL,
     SNUB_MEANS("Absolute inlet pressure that a corrected mass flow on the map refers to; printed on the map.")},
    {"bypass_difference", NULL,
     SNUB_MEANS("Pressure across the blower with the bypass open; it sets the torque at part load.")},
    SNUB_SUPPLY_KEYS,
    SNUB_NUMBER_KEY,
    {NULL, NULL, NULL},
};

static const char *const kinds[] = {"roots", "twin-screw", "centrifugal", NULL};

/** Of bearings, timing gears and seals; rule of thumb, no published source. */
#define BLOWER_MECHANICAL 0.92

/** A number that this kind of blower cannot do without. */
static void need_number(snub_reader *reader, const snub_node *map, const char *key, snub_quantity quantity,
                        double least, double most, double *value)
{
    if (snub_read_need(reader, map, key) != NULL)
        snub_read_number(reader, map, key, quantity, least, most, value);
}

/** Keys that another kind of blower has: they would be read by nobody. */
static void refuse_keys(snub_reader *reader, const snub_node *map, const char *const *keys, const char *kind)
{
    for (; *keys != NULL; keys++) {
        if (snub_read_find(map, *keys) != NULL)
            snub_read_wrong_key(reader, map, *keys, NULL, "is not a property of a %s blower", kind);
    }
}

static void read_displacing(snub_reader *reader, const snub_node *map, snub_blower *blower)
{
    static const char *const others[] = {"design_speed", "design_flow", "design_ratio", "isentropic", "surge_flow",
                                         "surge_head",   NULL};
    refuse_keys(reader, map, others, kinds[blower->kind]);
    need_number(reader, map, "swept", SNUB_Q_VOLUME, 0.02, 30, &blower->swept);
    blower->internal_ratio = 1;
    if (blower->kind == SNUB_TWIN_SCREW)
        need_number(reader, map, "internal_ratio", SNUB_Q_NUMBER, 1, 5, &blower->internal_ratio);
    else if (snub_read_number(reader, map, "internal_ratio", SNUB_Q_NUMBER, 1, 5, &blower->internal_ratio) &&
             blower->internal_ratio != 1)
        snub_read_wrong_key(reader, map, "internal_ratio", "1, or leave the key out",
                            "a Roots blower has no internal compression");
    blower->leakage_given =
        snub_read_ranged(reader, map, "leakage_speed", SNUB_Q_TURN_SPEED, 0, 10000, &blower->leakage_speed);
}

static void read_centrifugal(snub_reader *reader, const snub_node *map, snub_blower *blower)
{
    static const char *const others[] = {"swept", "internal_ratio", "leakage_speed", NULL};
    refuse_keys(reader, map, others, kinds[blower->kind]);
    snub_read_number(reader, map, "surge_flow", SNUB_Q_NUMBER, 0.05, 0.95, &blower->surge_flow);
    snub_read_number(reader, map, "surge_head", SNUB_Q_NUMBER, 1.001, 1.9, &blower->surge_head);
    if (blower->map_file != NULL) {
        snub_read_number(reader, map, "design_speed", SNUB_Q_TURN_SPEED, 1000, 500000, &blower->design_speed);
        snub_read_number(reader, map, "design_flow", SNUB_Q_FLOW_VOLUME, 0.001, 20, &blower->design_flow);
        snub_read_number(reader, map, "design_ratio", SNUB_Q_NUMBER, 1.01, 10, &blower->design_ratio);
        snub_read_ranged(reader, map, "isentropic", SNUB_Q_NUMBER, 0.2, 0.95, &blower->isentropic);
        return;
    }
    need_number(reader, map, "design_speed", SNUB_Q_TURN_SPEED, 1000, 500000, &blower->design_speed);
    need_number(reader, map, "design_flow", SNUB_Q_FLOW_VOLUME, 0.001, 20, &blower->design_flow);
    need_number(reader, map, "design_ratio", SNUB_Q_NUMBER, 1.01, 10, &blower->design_ratio);
    snub_read_ranged(reader, map, "isentropic", SNUB_Q_NUMBER, 0.2, 0.95, &blower->isentropic);
}

/** The map, by whoever may open files. Its errors are told at the `map` key, with the map's own line. */
static void read_map(snub_reader *reader, const snub_node *node, snub_blower *blower)
{
    const snub_map_source *maps = reader->reading->maps;
    snub_errors errors = {0};
    if (blower->map_file == NULL || maps == NULL)
        return;
    snub_status status =
        maps->read(maps->context, reader->document, blower->map_file, reader->units, reader->arena, blower, &errors);
    for (int i = 0; i < errors.count; i++) {
        const snub_error *e = &errors.items[i];
        if (e->place.line > 0)
            snub_read_wrong_key(reader, node, "map", NULL, "line %d: %s%s%s", e->place.line, e->key,
                                e->key[0] != '\0' ? ": " : "", e->message);
        else
            snub_read_wrong_key(reader, node, "map", NULL, "%s%s%s", e->key, e->key[0] != '\0' ? ": " : "", e->message);
    }
    if (status == SNUB_NO_MEMORY)
        snub_read_no_memory(reader);
    snub_errors_free(&errors);
}

void snub_read_blower(snub_reader *reader, const snub_node *map, snub_pulley *pulley)
{
    snub_blower *blower = &pulley->blower;
    int kind = 0;
    const snub_node *node = snub_read_find(map, "blower");
    snub_read_apart(reader, map, "blower", SNUB_KEY_MAP, 0, 0);
    if (node == NULL)
        return;
    pulley->has_blower = true;
    *blower = (snub_blower){.place = node->place, .mechanical = BLOWER_MECHANICAL};
    snub_enter(reader, "blower");
    if (node->kind == SNUB_MAP)
        node = snub_read_part(reader, "blower", node);
    if (snub_read_keys(reader, node, snub_blower_keys, NULL)) {
        snub_read_text(reader, node, "map", 1000, &blower->map_file);
        snub_read_ranged(reader, node, "mechanical", SNUB_Q_NUMBER, 0.3, 1, &blower->mechanical);
        snub_read_number(reader, node, "step_up", SNUB_Q_NUMBER, 0.1, 50, &blower->step_up);
        snub_read_number(reader, node, "max_rotor_speed", SNUB_Q_TURN_SPEED, 500, 500000, &blower->max_rotor_speed);
        snub_read_flag(reader, node, "bypass", &blower->bypass);
        snub_read_supply(reader, node, SNUB_SUPPLY_NEW, false, &blower->supply);
        reader->difference = true;
        snub_read_number(reader, node, "bypass_difference", SNUB_Q_PRESSURE, 0.1, 60, &blower->bypass_difference);
        reader->difference = false;
        snub_read_number(reader, node, "map_temperature", SNUB_Q_TEMPERATURE, -60, 80, &blower->map_temperature);
        snub_read_number(reader, node, "map_pressure", SNUB_Q_PRESSURE, 50, 120, &blower->map_pressure);
        if (snub_read_need(reader, node, "kind") != NULL && snub_read_choice(reader, node, "kind", kinds, &kind)) {
            blower->kind = (snub_blower_kind)kind;
            if (blower->kind == SNUB_CENTRIFUGAL)
                read_centrifugal(reader, node, blower);
            else
                read_displacing(reader, node, blower);
            read_map(reader, node, blower);
        }
    }
    snub_leave(reader);
}

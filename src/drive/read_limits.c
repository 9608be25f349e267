/** limits: the defaults, where they come from, and what the file puts in their place. */
#include "sections.h"

/** An inch, m. */
#define INCH 0.0254
#define DEG (SNUB_PI / 180)

static const snub_limit_info limits[SNUB_LIMIT_COUNT_] = {
    [SNUB_LIMIT_RIB_DIAMETER] = {"rib_diameter", SNUB_Q_LENGTH, 0.045, "mm", 1000, "ISO 9981:2020"},
    [SNUB_LIMIT_RIB_DIAMETER_LIFE] = {"rib_diameter_life", SNUB_Q_LENGTH, 0.050, "mm", 1000, "SAE J1596"},
    [SNUB_LIMIT_BLOWER_DIAMETER_6] = {"blower_diameter_6", SNUB_Q_LENGTH, 2.5 * INCH, "mm", 1000,
                                      "common practice, no source"},
    [SNUB_LIMIT_BLOWER_DIAMETER_8] = {"blower_diameter_8", SNUB_Q_LENGTH, 2.4 * INCH, "mm", 1000,
                                      "common practice, no source"},
    [SNUB_LIMIT_BACK_DIAMETER] = {"back_diameter", SNUB_Q_LENGTH, 0.045, "mm", 1000, "memory"},
    [SNUB_LIMIT_BACK_DIAMETER_LIFE] = {"back_diameter_life", SNUB_Q_LENGTH, 0.090, "mm", 1000, "SAE J1596"},
    [SNUB_LIMIT_BELT_SPEED] = {"belt_speed", SNUB_Q_SPEED, 50, "m/s", 1, "SAE J1596"},
    [SNUB_LIMIT_MISALIGNMENT] = {"misalignment", SNUB_Q_ANGLE, 0.33 * DEG, "deg", 1 / DEG, "SAE 1999-01-1709"},
    [SNUB_LIMIT_GAP] = {"gap", SNUB_Q_LENGTH, 0.006, "mm", 1000, "memory"},
    [SNUB_LIMIT_FLAP] = {"flap", SNUB_Q_NUMBER, 0.01, "", 1, "memory"},
    [SNUB_LIMIT_RIB_TENSION] = {"rib_tension", SNUB_Q_FORCE, 250, "N", 1, "memory"},
    [SNUB_LIMIT_WRAP_CRANK] = {"wrap_crank", SNUB_Q_ANGLE, 120 * DEG, "deg", 1 / DEG, "memory"},
    [SNUB_LIMIT_WRAP_BLOWER] = {"wrap_blower", SNUB_Q_ANGLE, 120 * DEG, "deg", 1 / DEG, "memory"},
    [SNUB_LIMIT_WRAP_LOADED] = {"wrap_loaded", SNUB_Q_ANGLE, 90 * DEG, "deg", 1 / DEG, "memory"},
    [SNUB_LIMIT_WRAP_TENSIONER] = {"wrap_tensioner", SNUB_Q_ANGLE, 30 * DEG, "deg", 1 / DEG, "memory"},
    [SNUB_LIMIT_GRIP_DESIGN] = {"grip_design", SNUB_Q_NUMBER, 1, "", 1, "ANSI/RMA IP-26, memory"},
    [SNUB_LIMIT_GRIP_SLIP] = {"grip_slip", SNUB_Q_NUMBER, 1, "", 1, "the belt slips at 1"},
    [SNUB_LIMIT_BEARING_N_DM] = {"bearing_n_dm", SNUB_Q_NUMBER, 340000, "mm rpm", 1,
                                 "maker's catalogue, contact seals"},
    [SNUB_LIMIT_BEARING_LIFE] = {"bearing_life", SNUB_Q_TIME, 4000 * 3600.0, "h", 1 / 3600.0,
                                 "200000 km at 50 km/h, memory"},
    [SNUB_LIMIT_CHARGE_TEMPERATURE] = {"charge_temperature", SNUB_Q_TEMPERATURE, 423.15, "degC", 1, "memory"},
    [SNUB_LIMIT_RIB_POWER] = {"rib_power", SNUB_Q_POWER, 8000, "kW", 0.001, "common practice, no source"},
};

/** What is absurd, in the printed unit; by snub_limit. */
static const double bounds[SNUB_LIMIT_COUNT_][2] = {[SNUB_LIMIT_RIB_DIAMETER] = {1, 1000},
                                                    [SNUB_LIMIT_RIB_DIAMETER_LIFE] = {1, 1000},
                                                    [SNUB_LIMIT_BLOWER_DIAMETER_6] = {1, 1000},
                                                    [SNUB_LIMIT_BLOWER_DIAMETER_8] = {1, 1000},
                                                    [SNUB_LIMIT_BACK_DIAMETER] = {1, 1000},
                                                    [SNUB_LIMIT_BACK_DIAMETER_LIFE] = {1, 1000},
                                                    [SNUB_LIMIT_BELT_SPEED] = {1, 200},
                                                    [SNUB_LIMIT_MISALIGNMENT] = {0.01, 10},
                                                    [SNUB_LIMIT_GAP] = {0, 200},
                                                    [SNUB_LIMIT_FLAP] = {0, 0.3},
                                                    [SNUB_LIMIT_RIB_TENSION] = {1, 5000},
                                                    [SNUB_LIMIT_WRAP_CRANK] = {0, 359},
                                                    [SNUB_LIMIT_WRAP_BLOWER] = {0, 359},
                                                    [SNUB_LIMIT_WRAP_LOADED] = {0, 359},
                                                    [SNUB_LIMIT_WRAP_TENSIONER] = {0, 359},
                                                    [SNUB_LIMIT_GRIP_DESIGN] = {0.05, 10},
                                                    [SNUB_LIMIT_GRIP_SLIP] = {0.05, 10},
                                                    [SNUB_LIMIT_BEARING_N_DM] = {1000, 5e6},
                                                    [SNUB_LIMIT_BEARING_LIFE] = {1, 1e6},
                                                    [SNUB_LIMIT_CHARGE_TEMPERATURE] = {20, 400},
                                                    [SNUB_LIMIT_RIB_POWER] = {0.1, 100}};

const snub_key snub_limit_keys[] = {{"rib_diameter", NULL},
                                    {"rib_diameter_life", NULL},
                                    {"blower_diameter_6", NULL},
                                    {"blower_diameter_8", NULL},
                                    {"back_diameter", NULL},
                                    {"back_diameter_life", NULL},
                                    {"belt_speed", NULL},
                                    {"misalignment", NULL},
                                    {"gap", NULL},
                                    {"flap", NULL},
                                    {"rib_tension", NULL},
                                    {"wrap_crank", NULL},
                                    {"wrap_blower", NULL},
                                    {"wrap_loaded", NULL},
                                    {"wrap_tensioner", NULL},
                                    {"grip_design", NULL},
                                    {"grip_slip", NULL},
                                    {"bearing_n_dm", NULL},
                                    {"bearing_life", NULL},
                                    {"charge_temperature", NULL},
                                    {"rib_power", NULL},
                                    {NULL, NULL}};

const snub_limit_info *snub_limit_describe(snub_limit limit)
{
    return &limits[limit];
}

/** Bare numbers are in the printed unit, which for a life is hours where times are bare seconds elsewhere. */
static bool read_limit(snub_reader *reader, const snub_node *map, snub_limit limit, double *value)
{
    const snub_limit_info *info = &limits[limit];
    const double *range = bounds[limit];
    double hours = 0;
    if (info->quantity != SNUB_Q_TIME)
        return snub_read_number(reader, map, info->key, info->quantity, range[0], range[1], value);
    const snub_node *node = snub_read_find(map, info->key);
    if (node == NULL)
        return false;
    if (node->kind == SNUB_SCALAR && !node->quoted && snub_parse_number(node->text, NULL, &hours) == SNUB_OK) {
        if (hours < range[0] || hours > range[1]) {
            snub_read_wrong_key(reader, map, info->key,
                                snub_format(reader->arena, "%.10g to %.10g h", range[0], range[1]), "is too %s",
                                hours < range[0] ? "small" : "large");
            return false;
        }
        *value = hours / info->scale;
        return true;
    }
    return snub_read_number(reader, map, info->key, info->quantity, range[0] * 3600, range[1] * 3600, value);
}

void snub_read_limits(snub_reader *reader, const snub_node *root, snub_drive *drive)
{
    for (int i = 0; i < SNUB_LIMIT_COUNT_; i++)
        drive->limits[i] = limits[i].value;
    const snub_node *map = snub_read_map(reader, root, "limits", snub_limit_keys);
    if (map == NULL)
        return;
    snub_enter(reader, "limits");
    for (int i = 0; i < SNUB_LIMIT_COUNT_; i++) {
        if (read_limit(reader, map, (snub_limit)i, &drive->limits[i]))
            drive->limits_place[i] = snub_node_get(map, limits[i].key)->place;
    }
    snub_leave(reader);
}

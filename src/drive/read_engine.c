/** engine and air. */
#include "key_notes.h"
#include "sections.h"

const snub_key snub_engine_keys[] = {{"displacement", NULL},  {"cylinders", NULL},  {"strokes", NULL},
                                     {"idle", NULL},          {"redline", NULL},    {"volumetric_efficiency", NULL},
                                     {"accel_rate", NULL},    {"decel_rate", NULL}, {"blips", NULL},
                                     {"compression", NULL},   {"scavenges", NULL},  {"mechanical", NULL},
                                     {"work_per_air", NULL},  {"inertia", NULL},    {"part_pressure", NULL},
                                     {"shut_pressure", NULL}, {"growth", NULL},     {NULL, NULL}};
const snub_key snub_air_keys[] = {
    {"pressure", NULL}, {"temperature", NULL}, {"humidity", NULL}, {"altitude", NULL}, {NULL, NULL}};

/** Mechanical efficiency of a piston engine near full load; rule of thumb, no published source. */
#define ENGINE_MECHANICAL 0.85
/** Of the fuel's energy, kJ per kg of air. */
enum { WORK_LEAST = 100, WORK_MOST = 3000 };

static void read_speeds(snub_reader *reader, const snub_node *map, snub_engine *engine)
{
    bool both = false;
    if (snub_read_need(reader, map, "idle") != NULL)
        both = snub_read_number(reader, map, "idle", SNUB_Q_TURN_SPEED, 50, 10000, &engine->idle);
    if (snub_read_need(reader, map, "redline") != NULL)
        both = snub_read_number(reader, map, "redline", SNUB_Q_TURN_SPEED, 100, 30000, &engine->redline) && both;
    if (both && engine->idle >= engine->redline)
        snub_read_wrong_key(reader, map, "redline",
                            snub_format(reader->arena, "above the idle speed, %g rpm",
                                        snub_quantity_to_bare(SNUB_Q_TURN_SPEED, engine->idle)),
                            "is not above idle");
    snub_read_number(reader, map, "accel_rate", SNUB_Q_TURN_RATE, 1, 1e5, &engine->accel_rate);
    snub_read_number(reader, map, "decel_rate", SNUB_Q_TURN_RATE, 1, 1e5, &engine->decel_rate);
    snub_read_number(reader, map, "blips", SNUB_Q_TURN_RATE, 1, 1e5, &engine->blips);
}

void snub_read_engine(snub_reader *reader, const snub_node *root, snub_drive *drive)
{
    static const snub_columns efficiency = {SNUB_Q_TURN_SPEED, SNUB_Q_NUMBER, 0, 30000, 0.05, 2};
    snub_engine *engine = &drive->engine;
    engine->strokes = 4;
    engine->mechanical = ENGINE_MECHANICAL;
    const snub_node *map = snub_read_map(reader, root, "engine", snub_engine_keys);
    if (map == NULL)
        return;
    engine->given = true;
    engine->place = map->place;
    snub_enter(reader, "engine");
    snub_read_number(reader, map, "displacement", SNUB_Q_VOLUME, 0.01, 100, &engine->displacement);
    snub_read_integer(reader, map, "cylinders", 1, 24, &engine->cylinders);
    if (snub_read_integer(reader, map, "strokes", 2, 4, &engine->strokes) && engine->strokes == 3)
        snub_read_wrong_key(reader, map, "strokes", "2 or 4", "is not known");
    read_speeds(reader, map, engine);
    snub_read_table(reader, map, "volumetric_efficiency", &efficiency, &engine->volumetric_efficiency);
    snub_read_number(reader, map, "compression", SNUB_Q_NUMBER, 3, 30, &engine->compression);
    if (snub_read_flag(reader, map, "scavenges", &engine->scavenges) && engine->scavenges &&
        snub_read_find(map, "compression") == NULL)
        snub_read_wrong_key(reader, map, "scavenges", "compression as well", "needs the compression ratio");
    snub_read_number(reader, map, "mechanical", SNUB_Q_NUMBER, 0.3, 1, &engine->mechanical);
    snub_read_ranged(reader, map, "growth", SNUB_Q_NUMBER, -0.005, 0.01, &engine->growth);
    /* brake energy per kilogram of air; a bare number is in kJ/kg */
    snub_read_says(reader, map, "work_per_air", &(snub_key_bounds){"kJ/kg", WORK_LEAST, WORK_MOST}, NULL, NULL);
    if (snub_read_number(reader, map, "work_per_air", SNUB_Q_NUMBER, WORK_LEAST, WORK_MOST, &engine->work_per_air))
        engine->work_per_air *= 1000;
    snub_read_number(reader, map, "inertia", SNUB_Q_INERTIA, 1e-5, 100, &engine->inertia);
    snub_read_number(reader, map, "part_pressure", SNUB_Q_NUMBER, 0.05, 1, &engine->part_pressure);
    snub_read_number(reader, map, "shut_pressure", SNUB_Q_NUMBER, 0.05, 1, &engine->shut_pressure);
    snub_leave(reader);
}

enum { ALTITUDE_LEAST = -500, ALTITUDE_MOST = 9000 }; /* m */

/** A bare altitude would be in mm, as every length: 1500 of them is surely meant to be something else. */
static bool read_altitude(snub_reader *reader, const snub_node *map, double *altitude)
{
    double bare = 0;
    const snub_node *node = snub_read_find(map, "altitude");
    snub_note_key(
        reader, map, "altitude",
        &(snub_file_key){.kind = SNUB_KEY_NUMBER, .unit_needed = true, .x = {"m", ALTITUDE_LEAST, ALTITUDE_MOST}});
    if (node == NULL)
        return false;
    if (node->kind == SNUB_SCALAR && snub_parse_number(node->text, NULL, &bare) == SNUB_OK) {
        snub_read_wrong_key(reader, map, "altitude", "a unit, as in '1500 m'", "has no unit");
        return false;
    }
    return snub_read_number(reader, map, "altitude", SNUB_Q_LENGTH, ALTITUDE_LEAST * 1e3, ALTITUDE_MOST * 1e3,
                            altitude);
}

void snub_read_air(snub_reader *reader, const snub_node *root, snub_drive *drive)
{
    snub_air *air = &drive->air;
    *air = (snub_air){.pressure = SNUB_ATMOSPHERE, .temperature = 298.15, .humidity = 0, .altitude = NAN};
    const snub_node *map = snub_read_map(reader, root, "air", snub_air_keys);
    if (map == NULL)
        return;
    snub_enter(reader, "air");
    bool high = read_altitude(reader, map, &air->altitude);
    if (snub_read_find(map, "altitude") != NULL && snub_read_find(map, "pressure") != NULL)
        snub_read_wrong_key(reader, map, "altitude",
                            "pressure or altitude, not both; --set air.pressure=null takes the pressure out",
                            "is given together with a pressure");
    else if (high)
        (void)snub_standard_atmosphere(air->altitude, NULL, &air->pressure, NULL); /* read_altitude keeps its range */
    snub_read_number(reader, map, "pressure", SNUB_Q_PRESSURE, 20, 200, &air->pressure);
    snub_read_number(reader, map, "temperature", SNUB_Q_TEMPERATURE, -60, 80, &air->temperature);
    snub_read_number(reader, map, "humidity", SNUB_Q_NUMBER, 0, 1, &air->humidity);
    snub_leave(reader);
}

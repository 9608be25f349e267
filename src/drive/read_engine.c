/** engine and air. */
#include "key_notes.h"
#include "sections.h"

static const snub_key irregularity_keys[] = {
    {"speed", NULL, SNUB_MEANS("Engine speeds at which it was measured, one for each row of angles.")},
    {"order", NULL, SNUB_MEANS("Orders, times per turn of the crank, whole or half, one for each angle of a row.")},
    {"angle", NULL, SNUB_MEANS("Amplitude of the crank's angle, half of what it swings in all: a row for each speed.")},
    {NULL, NULL, NULL}};
const snub_key snub_engine_keys[] = {
    {"displacement", NULL, SNUB_MEANS("Swept volume of all cylinders together.")},
    {"cylinders", NULL,
     SNUB_MEANS("Number of cylinders. A file with a blower must have it; how the crank shakes follows from it.")},
    {"strokes", NULL,
     SNUB_MEANS("Strokes of a working cycle: 4 draws its displacement in every two turns, 2 in every turn.")},
    {"idle", NULL, SNUB_MEANS("Lowest speed of the crank at which the drive is judged, idling warm.")},
    {"redline", NULL,
     SNUB_MEANS("Highest speed of the crank at which the drive is judged: where the limiter cuts in.")},
    {"volumetric_efficiency", NULL,
     SNUB_MEANS(
         "Air drawn in over displacement, without boost, at each engine speed. From a dyno or a log of air flow.")},
    {"accel_rate", NULL,
     SNUB_MEANS("Fastest gain of engine speed under load, such as first gear at full throttle. From a log.")},
    {"decel_rate", NULL, SNUB_MEANS("Fastest loss of engine speed with the throttle closed. From a log.")},
    {"blips", NULL, SNUB_MEANS("Fastest gain of engine speed out of gear, throttle snapped open. From a log.")},
    {"compression", NULL, SNUB_MEANS("Geometric compression ratio of a cylinder.")},
    {"scavenges", NULL,
     SNUB_MEANS("Whether boost squeezes the burnt gas left in the cylinder, so that more fresh air comes in.")},
    {"mechanical", NULL, SNUB_MEANS("Crank power over power on the pistons, for the estimate of the engine's power.")},
    {"work_per_air", NULL,
     SNUB_MEANS("Crank work from each kilogram of air before the blower takes its share, for the estimate of power. "
                "From a dyno run.")},
    {"inertia", NULL, SNUB_MEANS("Moment of inertia of crank, flywheel and clutch.")},
    {"part_pressure", NULL,
     SNUB_MEANS("Manifold pressure over ambient at part throttle, both absolute, for the cases without boost.")},
    {"shut_pressure", NULL, SNUB_MEANS("Manifold pressure over ambient with the throttle closed, both absolute.")},
    {"growth", NULL,
     SNUB_MEANS("Fraction by which distances between centres grow from cold to warm. Measure one cold and hot.")},
    {"firing", NULL,
     SNUB_MEANS(
         "Turns of the crank from one firing to the next, in order, one for each cylinder. From the engine's data.")},
    {"stroke", NULL, SNUB_MEANS("Stroke of a piston, twice the throw of the crank. From the engine's data.")},
    {"rod", NULL, SNUB_MEANS("Length of a connecting rod between the middles of its two bearings.")},
    {"reciprocating_mass", NULL,
     SNUB_MEANS("What goes up and down in one cylinder: piston, pin, rings and the small end of the rod, weighed.")},
    {"irregularity", irregularity_keys,
     SNUB_MEANS("How unevenly the crank turns at full load, measured with a tooth wheel or an encoder at its nose.")},
    {NULL, NULL, NULL},
};
const snub_key snub_air_keys[] = {
    {"pressure", NULL,
     SNUB_MEANS("Absolute pressure of the ambient air, not reduced to sea level. From a barometer on the spot.")},
    {"temperature", NULL, SNUB_MEANS("Temperature of the ambient air that the engine draws in.")},
    {"humidity", NULL, SNUB_MEANS("Relative humidity of the ambient air, 0 to 1.")},
    {"altitude", NULL,
     SNUB_MEANS("Height above sea level; the pressure is then that of the standard atmosphere there. In place of "
                "`pressure`.")},
    {NULL, NULL, NULL},
};

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

/** Turns of the crank from one firing to the next, in order; they make one cycle. */
static void read_firing(snub_reader *reader, const snub_node *map, snub_engine *engine)
{
    int count = 0;
    double *interval, turned = 0.0;
    const double cycle = engine->strokes * SNUB_PI, nearly = 0.5 * SNUB_DEG;
    if (!snub_read_numbers(reader, map, "firing", SNUB_Q_ANGLE, 0, 720, &count, &interval) || count == 0)
        return;
    for (int i = 0; i < count; i++)
        turned += interval[i];
    if (count != engine->cylinders)
        snub_read_wrong_key(reader, map, "firing", "one interval for each of engine.cylinders", "has %d intervals",
                            count);
    else if (fabs(turned - cycle) > nearly)
        snub_read_wrong_key(reader, map, "firing",
                            engine->strokes == 2 ? "intervals that add to 360 deg" : "intervals that add to 720 deg",
                            "adds to %g deg", turned / SNUB_DEG);
    else
        engine->firing = interval;
}

/** What a cycle of two turns repeats has half orders and no finer ones. */
static bool half_orders(snub_reader *reader, const snub_node *map, int count, const double *orders)
{
    for (int i = 0; i < count; i++) {
        if (2.0 * orders[i] != floor(2.0 * orders[i])) {
            snub_read_wrong_key(reader, map, "order", "whole or half orders", "has an order of %g", orders[i]);
            return false;
        }
    }
    return true;
}

/** Measured at the crank: amplitude of its angle by speed and order. */
static void read_irregularity(snub_reader *reader, const snub_node *root, snub_engine *engine)
{
    static const snub_grid_key angle = {"angle", "speed", "order", SNUB_Q_ANGLE, 0, 45};
    snub_surface surface = {0};
    const snub_node *map = snub_read_map(reader, root, "irregularity", irregularity_keys);
    if (map == NULL)
        return;
    snub_enter(reader, "irregularity");
    bool good = snub_read_need(reader, map, "speed") != NULL;
    good = snub_read_need(reader, map, "order") != NULL && good;
    good = snub_read_need(reader, map, "angle") != NULL && good;
    if (good && snub_read_numbers(reader, map, "speed", SNUB_Q_TURN_SPEED, 1, 30000, &surface.nx, &surface.x) &&
        snub_read_numbers(reader, map, "order", SNUB_Q_NUMBER, 0.5, 48, &surface.ny, &surface.y) && surface.nx > 0 &&
        surface.ny > 0 && snub_read_rising(reader, map, "speed", surface.nx, surface.x) &&
        snub_read_rising(reader, map, "order", surface.ny, surface.y) &&
        half_orders(reader, map, surface.ny, surface.y) && snub_read_grid(reader, map, &angle, &surface))
        engine->irregularity = surface;
    snub_leave(reader);
}

/** What makes the crank turn unevenly. */
static void read_unevenness(snub_reader *reader, const snub_node *map, snub_engine *engine)
{
    read_firing(reader, map, engine);
    const bool stroke = snub_read_number(reader, map, "stroke", SNUB_Q_LENGTH, 10, 500, &engine->stroke);
    const double least = stroke ? snub_quantity_to_bare(SNUB_Q_LENGTH, engine->stroke) : 10;
    snub_read_number(reader, map, "rod", SNUB_Q_LENGTH, least, 1000, &engine->rod);
    snub_read_number(reader, map, "reciprocating_mass", SNUB_Q_MASS, 0.01, 20, &engine->reciprocating);
    read_irregularity(reader, map, engine);
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
    read_unevenness(reader, map, engine);
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

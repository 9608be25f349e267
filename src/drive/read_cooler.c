/** cooler: how far it cools, and what it and the filter take of the pressure. */
#include "sections.h"

static const snub_key density_keys[] = {
    {"pressure", NULL, SNUB_MEANS("Absolute pressure of the air that entered the part when its drop was measured.")},
    {"temperature", NULL, SNUB_MEANS("Temperature of the air that entered the part when its drop was measured.")},
    {NULL, NULL, NULL},
};
const snub_key snub_cooler_keys[] = {
    {"effectiveness", NULL,
     SNUB_MEANS("Share of the possible cooling that is reached: (air in - air out) / (air in - coolant). From the "
                "maker's chart or a test.")},
    {"coolant", NULL,
     SNUB_MEANS(
         "Temperature of the coolant or cooling air where it enters the cooler. Left out: ambient temperature.")},
    {"pressure_drop", NULL,
     SNUB_MEANS("Pressure lost between blower outlet and manifold, measured at `flow` and `density`.")},
    {"flow", NULL, SNUB_MEANS("Mass flow of air at which the pressure drop was measured.")},
    {"density", density_keys,
     SNUB_MEANS("Density of the air entering the part when the drop was measured; or its pressure and temperature.")},
    {"inlet_pressure_drop", NULL,
     SNUB_MEANS("Pressure lost between ambient and blower inlet, filter and duct, measured at `inlet_flow`.")},
    {"inlet_flow", NULL,
     SNUB_MEANS("Mass flow of air at which the inlet's pressure drop was measured. Left out: `flow`.")},
    {"inlet_density", density_keys,
     SNUB_MEANS("Density of the air entering the intake when its drop was measured. Left out: `density`.")},
    {NULL, NULL, NULL},
};

/* Sea level and the temperature of the drive file's own default air. */
double snub_bench_density(void)
{
    return snub_dry_air_density(SNUB_ATMOSPHERE, SNUB_ZERO_CELSIUS + 25);
}

/** A density, or the pressure and temperature that it follows from. */
static void read_density(snub_reader *reader, const snub_node *map, const char *key, double *density)
{
    const snub_node *node = snub_read_find(map, key);
    if (node == NULL)
        return;
    if (node->kind != SNUB_MAP) {
        snub_read_number(reader, map, key, SNUB_Q_DENSITY, 0.1, 20, density);
        return;
    }
    double pressure = 0, temperature = 0;
    snub_enter(reader, key);
    snub_read_keys(reader, node, density_keys, NULL);
    bool both = snub_read_need(reader, node, "pressure") != NULL;
    both = both && snub_read_number(reader, node, "pressure", SNUB_Q_PRESSURE, 20, 1000, &pressure);
    if (snub_read_need(reader, node, "temperature") == NULL ||
        !snub_read_number(reader, node, "temperature", SNUB_Q_TEMPERATURE, -60, 300, &temperature))
        both = false;
    if (both)
        *density = snub_dry_air_density(pressure, temperature);
    snub_leave(reader);
}

/** What the engine takes without boost at redline, in the air that stands for the bench's [kg/s]; 0 where the file does
 *  not say enough. */
static double unboosted_flow(const snub_engine *engine)
{
    double turns = engine->redline / (2 * SNUB_PI) / (engine->strokes == 2 ? 1 : 2);
    return snub_bench_density() * engine->displacement * turns *
           snub_curve_at(&engine->volumetric_efficiency, engine->redline);
}

/** A drop means nothing without its flow. Files of before left it out, and the engine's flow at redline was taken. */
static void need_flow(snub_reader *reader, const snub_node *map, const char *drop, const snub_engine *engine)
{
    double flow = unboosted_flow(engine);
    const char *hint = "";
    if (flow > 0)
        hint = snub_format(reader->arena, "; if you do not know it, %.4g kg/s: this engine at redline without boost",
                           flow);
    snub_read_wrong_key(
        reader, map, "flow",
        snub_format(reader->arena, "the mass flow at which %s was measured%s", drop, hint != NULL ? hint : ""),
        "is missing");
}

static void read_drops(snub_reader *reader, const snub_node *map, const snub_engine *engine, snub_cooler *cooler)
{
    reader->difference = true;
    snub_read_number(reader, map, "pressure_drop", SNUB_Q_PRESSURE, 0, 100, &cooler->pressure_drop);
    snub_read_number(reader, map, "inlet_pressure_drop", SNUB_Q_PRESSURE, 0, 50, &cooler->inlet_pressure_drop);
    reader->difference = false;
    snub_read_number(reader, map, "flow", SNUB_Q_FLOW_MASS, 1e-4, 50, &cooler->flow);
    snub_read_number(reader, map, "inlet_flow", SNUB_Q_FLOW_MASS, 1e-4, 50, &cooler->inlet_flow);
    read_density(reader, map, "density", &cooler->density);
    read_density(reader, map, "inlet_density", &cooler->inlet_density);
    bool flow = snub_read_find(map, "flow") != NULL; /* one that is wrong has been told already */
    if (cooler->pressure_drop > 0 && !flow)
        need_flow(reader, map, "pressure_drop", engine);
    else if (cooler->inlet_pressure_drop > 0 && !flow && snub_read_find(map, "inlet_flow") == NULL)
        need_flow(reader, map, "inlet_pressure_drop", engine);
}

void snub_read_cooler(snub_reader *reader, const snub_node *root, snub_drive *drive)
{
    snub_cooler *cooler = &drive->cooler;
    const snub_node *map = snub_read_map(reader, root, "cooler", snub_cooler_keys);
    cooler->coolant = drive->air.temperature;
    if (map == NULL)
        return;
    cooler->given = true;
    cooler->place = map->place;
    snub_enter(reader, "cooler");
    if (snub_read_need(reader, map, "effectiveness") != NULL)
        snub_read_number(reader, map, "effectiveness", SNUB_Q_NUMBER, 0, 1, &cooler->effectiveness);
    snub_read_number(reader, map, "coolant", SNUB_Q_TEMPERATURE, -40, 150, &cooler->coolant);
    read_drops(reader, map, &drive->engine, cooler);
    snub_leave(reader);
}

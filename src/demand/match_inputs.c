/* Which values a match cannot do without, and which make no sense. */
#include <math.h>

#include "air.h"
#include "engine.h"

static snub_status bad(snub_error *error, const snub_place *place, const char *key, double got, const char *need)
{
    snub_status status = snub_fail(error, SNUB_BAD_INPUT, place, key, "the value is not valid here");
    if (error) {
        snub_text text = {0};
        snub_text_printf(&text, "%.6g", got);
        for (size_t i = 0; text.data && i < sizeof error->got; i++)
            if ((error->got[i] = i + 1 < sizeof error->got ? text.data[i] : '\0') == '\0')
                break;
        snub_text_free(&text);
        for (size_t i = 0; i < sizeof error->need; i++)
            if ((error->need[i] = i + 1 < sizeof error->need ? need[i] : '\0') == '\0')
                break;
    }
    return status;
}

static snub_status check_engine(const snub_engine *engine, snub_error *error)
{
    const snub_place *place = &engine->place;
    if (!engine->given)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "engine", "a blower needs an engine");
    if (!(engine->displacement > 0 && engine->displacement < 1))
        return bad(error, place, "engine.displacement", engine->displacement, "m3, above 0 and below 1");
    if (engine->strokes != 2 && engine->strokes != 4)
        return bad(error, place, "engine.strokes", engine->strokes, "2 or 4");
    if (engine->volumetric_efficiency.n < 1)
        return snub_fail(error, SNUB_BAD_INPUT, place, "engine.volumetric_efficiency",
                         "a blower needs the engine's unboosted volumetric efficiency by speed");
    for (int i = 0; i < engine->volumetric_efficiency.n; i++)
        if (!(engine->volumetric_efficiency.y[i] > 0 && engine->volumetric_efficiency.y[i] <= 2))
            return bad(error, place, "engine.volumetric_efficiency", engine->volumetric_efficiency.y[i],
                       "volumetric efficiency above 0 and at most 2");
    if (engine->scavenges && !(engine->compression > 1))
        return bad(error, place, "engine.compression", engine->compression, "above 1, since the engine scavenges");
    if (!(engine->part_pressure >= 0 && engine->part_pressure <= 1))
        return bad(error, place, "engine.part_pressure", engine->part_pressure, "0..1 of ambient");
    if (!(engine->shut_pressure >= 0 && engine->shut_pressure <= 1))
        return bad(error, place, "engine.shut_pressure", engine->shut_pressure, "0..1 of ambient");
    return SNUB_OK;
}

static snub_status check_cooler(const snub_cooler *cooler, snub_error *error)
{
    const snub_place *place = &cooler->place;
    if (!cooler->given)
        return SNUB_OK;
    if (!(cooler->effectiveness >= 0 && cooler->effectiveness <= 1))
        return bad(error, place, "cooler.effectiveness", cooler->effectiveness, "0..1");
    if (cooler->coolant != 0 && !(cooler->coolant > 200 && cooler->coolant < 450))
        return bad(error, place, "cooler.coolant", cooler->coolant - SNUB_ZERO_CELSIUS, "degC, -73..177");
    if (!(cooler->pressure_drop >= 0 && cooler->pressure_drop < 1e6))
        return bad(error, place, "cooler.pressure_drop", cooler->pressure_drop, "Pa, 0 or more");
    if (!(cooler->inlet_pressure_drop >= 0 && cooler->inlet_pressure_drop < 1e5))
        return bad(error, place, "cooler.inlet_pressure_drop", cooler->inlet_pressure_drop,
                   "Pa, 0 or more, less than ambient");
    if (!(cooler->flow >= 0) || (cooler->pressure_drop > 0 && !(cooler->flow > 0)))
        return bad(error, place, "cooler.flow", cooler->flow, "kg/s at which the drop was measured, above 0");
    if (!(cooler->inlet_flow >= 0) ||
        (cooler->inlet_pressure_drop > 0 && !(cooler->inlet_flow > 0) && !(cooler->flow > 0)))
        return bad(error, place, "cooler.inlet_flow", cooler->inlet_flow,
                   "kg/s at which the drop was measured, above 0");
    if (!(cooler->density >= 0))
        return bad(error, place, "cooler.density", cooler->density, "kg/m3, above 0");
    if (!(cooler->inlet_density >= 0))
        return bad(error, place, "cooler.inlet_density", cooler->inlet_density, "kg/m3, above 0");
    return SNUB_OK;
}

static snub_status check_displacement(const snub_blower *blower, snub_error *error)
{
    const snub_place *place = &blower->place;
    if (!(blower->swept > 0 && blower->swept < 1))
        return bad(error, place, "blower.swept", blower->swept, "m3 per turn, above 0 and below 1");
    if (!(blower->leakage_speed >= 0 && blower->leakage_speed < 1e4))
        return bad(error, place, "blower.leakage_speed", blower->leakage_speed, "rad/s, 0 or more");
    if (!(blower->internal_ratio == 0 || (blower->internal_ratio >= 1 && blower->internal_ratio <= 5)))
        return bad(error, place, "blower.internal_ratio", blower->internal_ratio, "a volume ratio within 1..5");
    if (blower->kind == SNUB_ROOTS && blower->internal_ratio > 1)
        return bad(error, place, "blower.internal_ratio", blower->internal_ratio,
                   "1 for a Roots: it does not compress");
    return SNUB_OK;
}

static snub_status check_centrifugal(const snub_blower *blower, snub_error *error)
{
    const snub_place *place = &blower->place;
    if (!(blower->design_speed > 0))
        return bad(error, place, "blower.design_speed", blower->design_speed, "rad/s of the impeller, or a map");
    if (!(blower->design_flow > 0 && blower->design_flow < 10))
        return bad(error, place, "blower.design_flow", blower->design_flow, "m3/s at the inlet, or a map");
    if (!(blower->design_ratio > 1 && blower->design_ratio <= 10))
        return bad(error, place, "blower.design_ratio", blower->design_ratio, "above 1 and at most 10, or a map");
    if (!(blower->isentropic >= 0 && blower->isentropic <= 1))
        return bad(error, place, "blower.isentropic", blower->isentropic, "above 0 and at most 1");
    if (!(blower->surge_flow >= 0 && blower->surge_flow < 0.98))
        return bad(error, place, "blower.surge_flow", blower->surge_flow, "fraction of design flow below 0.98");
    if (!(blower->surge_head == 0 || (blower->surge_head > 1 && blower->surge_head < 2)))
        return bad(error, place, "blower.surge_head", blower->surge_head, "fraction of design head within 1..2");
    return SNUB_OK;
}

static snub_status check_blower(const snub_blower *blower, snub_error *error)
{
    const snub_place *place = &blower->place;
    if (!(blower->mechanical >= 0 && blower->mechanical <= 1))
        return bad(error, place, "blower.mechanical", blower->mechanical, "above 0 and at most 1");
    if (!(blower->step_up >= 0 && blower->step_up < 100))
        return bad(error, place, "blower.step_up", blower->step_up, "turns per turn, above 0");
    if (!(blower->bypass_difference >= 0 && blower->bypass_difference < 1e5))
        return bad(error, place, "blower.bypass_difference", blower->bypass_difference, "Pa, 0 or more");
    if (blower->map_lines == 0 && blower->map_file && !(blower->swept > 0) && !(blower->design_speed > 0))
        return snub_fail(error, SNUB_BAD_INPUT, place, "blower.map", "the map %.120s has not been read",
                         blower->map_file);
    if (blower->map_lines > 0)
        return SNUB_OK;
    return blower->kind == SNUB_CENTRIFUGAL ? check_centrifugal(blower, error) : check_displacement(blower, error);
}

snub_status match_inputs_check(const snub_engine *engine, const snub_air *air, const snub_cooler *cooler,
                               const snub_blower *blower, snub_error *error)
{
    snub_status status = check_engine(engine, error);
    if (!status)
        status = snub_air_check(air, error);
    if (!status && cooler)
        status = check_cooler(cooler, error);
    if (!status)
        status = check_blower(blower, error);
    return status;
}

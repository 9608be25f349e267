/* What the crank would give: an estimate with its assumptions beside it. docs/theory/match.md */
#include <math.h>

#include "engine.h"

/* Brake work per kg of air: 44 MJ/kg of petrol, 28 % brake efficiency, air to fuel 12.5 (rich, as boosted engines
 * run). Rule of thumb, no published source; 10 hp per lb/min, the trade's rule of thumb, is 0.986 MJ/kg as well. */
#define FUEL_HEAT 44e6
#define BRAKE_EFFICIENCY 0.28
#define AIR_TO_FUEL 12.5
#define MECHANICAL_DEFAULT 0.85

double engine_swept_rate(const snub_engine *engine, double crank_speed)
{
    return engine->displacement * crank_speed / (2 * SNUB_PI) / (engine->strokes == 2 ? 1 : 2);
}

static double work_per_air(const snub_engine *engine)
{
    return engine->work_per_air > 0 ? engine->work_per_air : FUEL_HEAT * BRAKE_EFFICIENCY / AIR_TO_FUEL;
}

static double mechanical(const snub_engine *engine)
{
    return engine->mechanical > 0 ? engine->mechanical : MECHANICAL_DEFAULT;
}

double snub_engine_air(const snub_engine *engine, const snub_air *air, double crank_speed)
{
    return snub_air_density(air) * engine_swept_rate(engine, crank_speed) *
           snub_curve_at(&engine->volumetric_efficiency, crank_speed);
}

double snub_crank_power(const snub_engine *engine, double crank_speed, double dry_flow, double boost)
{
    return dry_flow * work_per_air(engine) + mechanical(engine) * boost * engine_swept_rate(engine, crank_speed);
}

double snub_indicated_torque(const snub_engine *engine, const snub_air *air, const snub_match_result *match,
                             double crank_speed)
{
    if (match == NULL && (engine->volumetric_efficiency.n == 0 || !(engine->displacement > 0)))
        return NAN;
    const double power = match != NULL
                             ? match->crank_power_gross
                             : snub_crank_power(engine, crank_speed, snub_engine_air(engine, air, crank_speed), 0);
    return power / (mechanical(engine) * crank_speed);
}

double snub_friction_torque(const snub_engine *engine, const snub_air *air, double crank_speed)
{
    return (1.0 - mechanical(engine)) * snub_indicated_torque(engine, air, NULL, crank_speed);
}

void snub_crank_power_assumptions(const snub_engine *engine, const snub_locale *locale, snub_text *out)
{
    const bool inches = locale != NULL && locale->inches;
    const char *usual = inches ? " (rule of thumb: 18900 Btu/lb gasoline, 28 % brake efficiency, air to fuel 12.5)"
                               : " (rule of thumb: 44 MJ/kg petrol, 28 % brake efficiency, air to fuel 12.5)";
    snub_text_printf(out,
                     "Estimated crank power: %.4g %s of dry air%s, plus boost pushing the pistons down "
                     "at %.3g mechanical efficiency%s, less the power that drives the blower. Mixture, ignition and "
                     "charge temperature are assumed to allow it; knock and exhaust back-pressure are not considered.",
                     work_per_air(engine) / (inches ? SNUB_BTU_LB : 1e6),
                     inches ? "Btu of brake work per lb" : "MJ of brake work per kg",
                     engine->work_per_air > 0 ? "" : usual, mechanical(engine),
                     engine->mechanical > 0 ? "" : " (rule of thumb)");
}

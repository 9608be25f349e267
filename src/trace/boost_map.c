/* docs/theory/trace.md, "Slip from boost". */
#include "boost_map.h"

#include <math.h>

#define SHARP_SHARE 0.5 /* of the sharpest */
#define SHARP_LEAST 0.2 /* of boost that a blower makes in proportion to its speed */
#define DISCHARGE 0.6   /* of a hole with a sharp edge */

static double factor_step(void)
{
    return log(SNUB_LOG_FACTOR_MOST / SNUB_LOG_FACTOR_LEAST) / (SNUB_LOG_FACTORS - 1);
}

static bool match_at(const snub_log_model *model, double engine, double factor, snub_match_result *match)
{
    const snub_drive *drive = model->build->drive;
    return snub_match(&drive->engine, &drive->air, &drive->cooler, &drive->pulleys[model->blower].blower, engine,
                      engine * model->ratio * factor, SNUB_THROTTLE_OPEN, match, NULL) == SNUB_OK;
}

/* d ln p/d ln speed without slip. A bypass, or an engine that takes more than the blower gives, leaves none. */
static double sharpness(const snub_log_model *model, double engine)
{
    const double apart = 0.02;
    snub_match_result low, high;
    if (!match_at(model, engine, exp(-apart), &low) || !match_at(model, engine, exp(apart), &high) ||
        ((low.flags | high.flags) & (SNUB_MATCH_NO_BOOST | SNUB_MATCH_BYPASS_OPEN | SNUB_MATCH_CHOKE)) != 0)
        return NAN;
    return log(high.manifold_pressure / low.manifold_pressure) / (2.0 * apart);
}

static void fill_speed(snub_log_model *model, int k)
{
    snub_log_air *air = &model->air;
    const double engine = model->idle + (double)k / model->steps_per_speed;
    snub_match_result match;
    for (int i = 0; i < SNUB_LOG_FACTORS; i++)
        air->pressure[k][i] = match_at(model, engine, SNUB_LOG_FACTOR_LEAST * exp(i * factor_step()), &match)
                                  ? log(match.manifold_pressure / air->ambient)
                                  : (double)NAN;
    air->sharpness[k] = sharpness(model, engine);
    air->given = air->given || match_at(model, engine, 1.0, &match);
}

void trace_air_fill(snub_log_model *model)
{
    snub_log_air *air = &model->air;
    air->ambient = model->build->drive->air.pressure;
    for (int k = 0; k < SNUB_LOG_SPEEDS; k++) {
        fill_speed(model, k);
        air->sharpest = fmax(air->sharpest, air->sharpness[k]);
    }
    for (int k = 0; k < SNUB_LOG_SPEEDS; k++)
        if (!(air->sharpness[k] >= fmax(SHARP_SHARE * air->sharpest, SHARP_LEAST)))
            air->sharpness[k] = NAN;
}

/* ---- one boost ----------------------------------------------------------------------------------------------------
 */

static int below(double at)
{
    return at <= 0.0 ? 0 : at < SNUB_LOG_SPEEDS - 1 ? (int)at : SNUB_LOG_SPEEDS - 2;
}

static double between(const double *values, double at)
{
    const int k = below(at);
    const double part = fmin(fmax(at - k, 0.0), 1.0);
    return values[k] + (values[k + 1] - values[k]) * part;
}

double trace_blur(const snub_log_air *air, double at)
{
    return air->sharpest / between(air->sharpness, at);
}

/* ln(manifold over ambient) at an engine speed between two of the table's */
static double pressure_at(const snub_log_air *air, double at, int i)
{
    const int k = below(at);
    const double part = fmin(fmax(at - k, 0.0), 1.0);
    return air->pressure[k][i] + (air->pressure[k + 1][i] - air->pressure[k][i]) * part;
}

double trace_factor(const snub_log_air *air, double at, double manifold)
{
    const double wanted = log(manifold / air->ambient), step = factor_step();
    int i = (int)(-log(SNUB_LOG_FACTOR_LEAST) / step); /* without slip */
    if (!isfinite(wanted) || isnan(trace_blur(air, at)))
        return NAN;
    /* From there the way that boost goes, as long as more speed makes more boost: a map may turn back. */
    while (i > 0 && pressure_at(air, at, i) > wanted && pressure_at(air, at, i - 1) < pressure_at(air, at, i))
        i--;
    while (i < SNUB_LOG_FACTORS - 2 && pressure_at(air, at, i + 1) < wanted &&
           pressure_at(air, at, i + 2) > pressure_at(air, at, i + 1))
        i++;
    const double low = pressure_at(air, at, i), high = pressure_at(air, at, i + 1);
    if (!(high > low) || wanted > high)
        return NAN;
    const double part = fmax((wanted - low) / (high - low), 0.0); /* lower still: it slips by so much at least */
    return SNUB_LOG_FACTOR_LEAST * exp((i + part) * step);
}

/* ---- what looks like slip -----------------------------------------------------------------------------------------
 */

/* Flow through a hole of one square metre from a manifold to the air around it, kg/s: a perfect gas, without loss up to
 * the hole, at most at the speed of sound in it. */
static double hole_flow(const snub_gas *gas, double manifold, double ambient, double temperature)
{
    const double gamma = gas->gamma;
    const double choked = pow(2.0 / (gamma + 1.0), gamma / (gamma - 1.0));
    const double x = fmax(ambient / manifold, choked);
    return DISCHARGE * manifold *
           sqrt(2.0 * gamma / ((gamma - 1.0) * gas->constant * temperature) *
                fmax(pow(x, 2.0 / gamma) - pow(x, (gamma + 1.0) / gamma), 0.0));
}

/* Boost that an engine of another size has on a blower that does not slip, against that of the one that slips. A hole
 * takes air as a larger engine does. */
typedef struct larger {
    const snub_log_model *model;
    double engine, manifold;
} larger;

static bool match_larger(const larger *l, double size, snub_match_result *match)
{
    const snub_drive *drive = l->model->build->drive;
    snub_engine engine = drive->engine;
    engine.displacement *= size;
    return snub_match(&engine, &drive->air, &drive->cooler, &drive->pulleys[l->model->blower].blower, l->engine,
                      l->engine * l->model->ratio, SNUB_THROTTLE_OPEN, match, NULL) == SNUB_OK;
}

static bool too_much_boost(double size, double *by, void *context)
{
    const larger *l = context;
    snub_match_result match;
    const bool good = match_larger(l, size, &match);
    *by = good ? match.manifold_pressure - l->manifold : (double)NAN;
    return good;
}

static double find_hole(larger *l)
{
    const double size_most = 3.0, near = 1e-6;
    double size;
    snub_match_result match;
    if (snub_root(too_much_boost, l, 1.0, size_most, near, &size, NULL) != SNUB_OK || !match_larger(l, size, &match))
        return NAN;
    const double flow = hole_flow(&match.gas, match.manifold_pressure, l->model->air.ambient, match.charge_temperature);
    const double lost = match.mass_flow * (1.0 - 1.0 / size);
    return flow > 0.0 ? sqrt(4.0 / SNUB_PI * lost / flow) : (double)NAN;
}

void trace_alike(const snub_log_model *model, double engine, double slip, double *leak, double *filter)
{
    snub_match_result slips, holds;
    *leak = *filter = NAN;
    if (!match_at(model, engine, 1.0 - slip, &slips) || !match_at(model, engine, 1.0, &holds))
        return;
    const double kept = slips.manifold_pressure / holds.manifold_pressure;
    *leak = find_hole(&(larger){model, engine, slips.manifold_pressure});
    *filter = (1.0 - kept) * holds.inlet_pressure; /* all behind the inlet is in proportion to its pressure */
}

/* A cylinder of an engine from what its file says: sizes, and the pressure that makes its torque. */
#include "snub/motion.h"

/* What the file leaves out. Rules of thumb, no published source. */
static const double ROD_OVER_STROKE = 1.7, COMPRESSION = 9.5;
/* Piston, pin, rings and the small end of the rod: kg at a bore of 86 mm; goes with its cube. */
static const double MASS_OF_86 = 0.5;
/* Polytropic exponents of compression and expansion in a spark-ignition engine. Rule of thumb, no published source. */
static const double N_COMPRESSION = 1.32, N_EXPANSION = 1.27;

const char *snub_cylinder_assumed_text(snub_cylinder_assumed what)
{
    switch (what) {
    case SNUB_ASSUMED_STROKE: return "a stroke as long as the bore";
    case SNUB_ASSUMED_ROD: return "a rod of 1.7 strokes";
    case SNUB_ASSUMED_COMPRESSION: return "a compression of 9.5";
    case SNUB_ASSUMED_MASS: return "0.5 kg going up and down at a bore of 86 mm, with its cube";
    case SNUB_ASSUMED_FIRING: return "even firing";
    }
    return "";
}

static double or_assumed(double given, double otherwise, snub_cylinder_assumed what, unsigned *assumed)
{
    if (given > 0.0)
        return given;
    *assumed |= what;
    return otherwise;
}

static void put_sizes(const snub_engine *engine, snub_cylinder *c, unsigned *assumed)
{
    const double swept = engine->displacement / engine->cylinders, square = cbrt(4.0 * swept / SNUB_PI);
    const double stroke = or_assumed(engine->stroke, square, SNUB_ASSUMED_STROKE, assumed);
    c->strokes = engine->strokes;
    c->bore = sqrt(4.0 * swept / (SNUB_PI * stroke));
    c->crank_radius = 0.5 * stroke;
    c->rod = or_assumed(engine->rod, ROD_OVER_STROKE * stroke, SNUB_ASSUMED_ROD, assumed);
    c->compression = or_assumed(engine->compression, COMPRESSION, SNUB_ASSUMED_COMPRESSION, assumed);
    const double size = c->bore / 86e-3;
    c->reciprocating = or_assumed(engine->reciprocating, MASS_OF_86 * size * size * size, SNUB_ASSUMED_MASS, assumed);
    *assumed |= engine->firing == NULL ? (unsigned)SNUB_ASSUMED_FIRING : 0U;
}

void snub_firing_angles(const snub_engine *engine, double *firing)
{
    double angle = 0.0;
    for (int j = 0; j < engine->cylinders; j++) {
        firing[j] = angle;
        angle += engine->firing != NULL ? engine->firing[j] : engine->strokes * SNUB_PI / engine->cylinders;
    }
}

snub_status snub_cylinder_of(const snub_drive *drive, const snub_match_result *match, double speed,
                             snub_cylinder *cylinder, unsigned *assumed, snub_error *error)
{
    const snub_engine *engine = &drive->engine;
    *assumed = 0;
    if (!(engine->displacement > 0.0) || engine->cylinders < 1)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "give engine.displacement and engine.cylinders");
    const double wanted = snub_indicated_torque(engine, &drive->air, match, speed) / engine->cylinders;
    if (isnan(wanted))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "give engine.volumetric_efficiency");
    *cylinder = (snub_cylinder){.intake = match != NULL ? match->manifold_pressure : drive->air.pressure,
                                .exhaust = drive->air.pressure,
                                .outside = drive->air.pressure,
                                .n_compression = N_COMPRESSION,
                                .n_expansion = N_EXPANSION};
    put_sizes(engine, cylinder, assumed);
    /* The mean torque is linear in the rise. */
    const double none = snub_mean_torque(cylinder);
    cylinder->rise = drive->air.pressure;
    const double per_rise = (snub_mean_torque(cylinder) - none) / cylinder->rise;
    cylinder->rise = (wanted - none) / per_rise;
    return SNUB_OK;
}

void snub_cylinder_throttle(snub_cylinder *cylinder, double wanted)
{
    /* Compressed, burnt and drawn in, all go with the intake pressure; what is pushed out does not: a line. */
    snub_cylinder half = *cylinder;
    half.intake *= 0.5;
    half.rise *= 0.5;
    const double full = snub_mean_torque(cylinder), per_half = full - snub_mean_torque(&half);
    const double share = 1.0 + 0.5 * (wanted - full) / per_half;
    cylinder->intake *= share;
    cylinder->rise *= share;
}

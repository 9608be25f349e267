/* Inertia of what moves: from the file, else by kind and size. Every number here is a rule of thumb, no published
 * source; docs/theory/motion.md says what they come to. */
#include "snub/motion.h"

/* A pulley: a rim of steel, its web and hub not counted. */
static const double STEEL_DENSITY = 7850.0; /* kg/m3 */
static const double RIM_THICKNESS = 3e-3;   /* m */
/* What an accessory (alternator, pump, compressor) has behind its pulley, kg m2. */
static const double ACCESSORY_ROTOR = 0.0025;
/* Rotors and gears of a displacement blower that sweeps 1 L per rotor turn, kg m2; goes with length to the fifth. */
static const double ROTORS_OF_A_LITRE = 0.0016;
/* Impeller that passes 0.25 m3/s at its greatest, kg m2; flow goes with diameter squared, inertia with its fifth. */
static const double IMPELLER = 2.2e-4, IMPELLER_FLOW = 0.25;
/* Of an overrunning pulley the rim stays on the belt: at most this share, where a rim of its size is not lighter. */
static const double RIM_AT_MOST = 0.5;
/* The arm: a bar half as heavy as the pulley at its end. */
static const double ARM_OVER_PULLEY = 0.5;
/* Crank, flywheel and clutch per litre of the engine, kg m2. */
static const double CRANKSHAFT_OF_A_LITRE = 0.07;

const char *snub_inertia_from_text(snub_inertia_from from)
{
    static const char *const texts[] = {
        [SNUB_INERTIA_GIVEN] = "given in the file",
        [SNUB_INERTIA_RIM] = "assumed: a steel rim 3 mm thick",
        [SNUB_INERTIA_DRIVEN] = "assumed: a steel rim 3 mm thick, and 0.0025 kg m2 of an accessory's rotor",
        [SNUB_INERTIA_ROTORS] = "assumed: a steel rim 3 mm thick, and rotors by what the blower sweeps",
        [SNUB_INERTIA_IMPELLER] = "assumed: a steel rim 3 mm thick, and an impeller by flow and step-up",
        [SNUB_INERTIA_ARM] = "assumed: the pulley's mass at the end of a bar half as heavy",
        [SNUB_INERTIA_CRANKSHAFT] = "assumed: crank and flywheel, 0.07 kg m2 per litre of the engine",
        [SNUB_INERTIA_UNKNOWN] = "not known: neither engine.inertia nor engine.displacement is given",
    };
    return texts[from];
}

static double rim_inertia(const snub_pulley *pulley)
{
    const double r = pulley->pitch_radius;
    return 2.0 * SNUB_PI * STEEL_DENSITY * RIM_THICKNESS * pulley->width * r * r * r;
}

/* Greatest inlet flow of a centrifugal that the file names, m3/s. */
static double greatest_flow(const snub_blower *blower)
{
    double flow = blower->design_flow;
    for (int i = 0; i < blower->map_lines; i++)
        flow = fmax(flow, blower->map[i].flow[blower->map[i].n - 1]);
    return flow;
}

/* Rotors as the pulley feels them: speed goes up by the step, inertia with its square. */
static double rotors(const snub_blower *blower, snub_inertia_from *from)
{
    const double step = blower->step_up > 0.0 ? blower->step_up : 1.0;
    if (blower->kind == SNUB_CENTRIFUGAL) {
        *from = SNUB_INERTIA_IMPELLER;
        return step * step * IMPELLER * pow(greatest_flow(blower) / IMPELLER_FLOW, 2.5);
    }
    *from = SNUB_INERTIA_ROTORS;
    return step * step * ROTORS_OF_A_LITRE * pow(blower->swept / step / SNUB_LITRE, 5.0 / 3.0);
}

static double pulley_inertia(const snub_pulley *pulley, snub_inertia_from *from)
{
    if (pulley->inertia > 0.0) {
        *from = SNUB_INERTIA_GIVEN;
        return pulley->inertia;
    }
    if (pulley->has_blower)
        return rim_inertia(pulley) + rotors(&pulley->blower, from);
    const bool driven = pulley->load.n > 0 || pulley->load_by_boost.nx > 0;
    *from = driven ? SNUB_INERTIA_DRIVEN : SNUB_INERTIA_RIM;
    return rim_inertia(pulley) + (driven ? ACCESSORY_ROTOR : 0.0);
}

static double crank_inertia(const snub_drive *drive, snub_inertia_from *from)
{
    const snub_engine *engine = &drive->engine;
    const double own = drive->pulleys[drive->crank].inertia;
    *from = engine->inertia > 0.0        ? SNUB_INERTIA_GIVEN
            : engine->displacement > 0.0 ? SNUB_INERTIA_CRANKSHAFT
                                         : SNUB_INERTIA_UNKNOWN;
    switch (*from) {
    case SNUB_INERTIA_GIVEN: return engine->inertia + own;
    case SNUB_INERTIA_CRANKSHAFT: return CRANKSHAFT_OF_A_LITRE * engine->displacement / SNUB_LITRE + own;
    default: return NAN;
    }
}

static double arm_inertia(const snub_drive *drive, const snub_inertias *inertias, snub_inertia_from *from)
{
    const snub_pulley *pulley = &drive->pulleys[drive->arm];
    if (pulley->arm.inertia > 0.0) {
        *from = SNUB_INERTIA_GIVEN;
        return pulley->arm.inertia;
    }
    *from = SNUB_INERTIA_ARM;
    const double mass = inertias->pulley[drive->arm] / (pulley->pitch_radius * pulley->pitch_radius);
    return mass * (1.0 + ARM_OVER_PULLEY / 3.0) * pulley->arm.length * pulley->arm.length;
}

double snub_rim_inertia(const snub_drive *drive, const snub_inertias *inertias, int pulley)
{
    return fmin(rim_inertia(&drive->pulleys[pulley]), RIM_AT_MOST * inertias->pulley[pulley]);
}

void snub_inertias_of(const snub_drive *drive, snub_inertias *inertias)
{
    for (int i = 0; i < drive->pulley_count; i++)
        inertias->pulley[i] = i == drive->crank ? crank_inertia(drive, &inertias->pulley_from[i])
                                                : pulley_inertia(&drive->pulleys[i], &inertias->pulley_from[i]);
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley *p = &drive->pulleys[i];
        inertias->rim[i] = p->overruns && i != drive->crank ? snub_rim_inertia(drive, inertias, i) : 0.0;
    }
    inertias->arm = NAN;
    inertias->arm_from = SNUB_INERTIA_UNKNOWN;
    if (drive->arm >= 0)
        inertias->arm = arm_inertia(drive, inertias, &inertias->arm_from);
}

/** Engines and blowers for tests of the demand room: no losses, constant fill. */
#ifndef TESTS_BLOWN_ENGINE_H
#define TESTS_BLOWN_ENGINE_H

#include "snub/demand.h"

#define TEST_RPM (SNUB_PI / 30)

/** The fill table's single point lives in *fill, which must outlive the engine. */
static inline snub_engine test_engine(double displacement, double *fill)
{
    static double speed = 100;
    return (snub_engine){.given = true,
                         .displacement = displacement,
                         .cylinders = 4,
                         .strokes = 4,
                         .idle = 80,
                         .redline = 650,
                         .volumetric_efficiency = {1, &speed, fill}};
}

static inline snub_blower test_roots(double swept)
{
    return (snub_blower){.kind = SNUB_ROOTS, .swept = swept, .internal_ratio = 1, .mechanical = 1, .step_up = 1};
}

/** 0.26 m3/s at a ratio of 1.75 and 42,000 rpm, 73 % isentropic. */
static inline snub_blower test_centrifugal(void)
{
    return (snub_blower){.kind = SNUB_CENTRIFUGAL,
                         .mechanical = 0.95,
                         .step_up = 3.6,
                         .design_flow = 0.26,
                         .design_speed = 42000 * TEST_RPM,
                         .design_ratio = 1.75,
                         .isentropic = 0.73};
}

static inline snub_air test_air(double pressure, double temperature)
{
    return (snub_air){.pressure = pressure, .temperature = temperature, .altitude = NAN};
}

/** Gas of constant heats from R [J/(kg K)] and gamma. */
static inline snub_gas test_gas(double constant, double gamma)
{
    return (snub_gas){.constant = constant, .cp = constant * gamma / (gamma - 1), .gamma = gamma};
}

#endif

/** The textbooks' supercharged engine: 4 strokes, full fill when charged, blower by isentropic efficiency, indicated
 *  power by free air plus boost on the pistons, all times one mechanical efficiency, less the blower's shaft power
 *  (which is divided by the same efficiency). R = 287, cp = 1005, gamma = 1.4. */
#ifndef TESTS_CHARGED_ENGINE_H
#define TESTS_CHARGED_ENGINE_H

#include "demand/engine.h"
#include "snub/demand.h"
#include "support/blown_engine.h"

typedef struct charged_example {
    double swept, rpm, fill, pressure, temperature, ratio, isentropic, mechanical;
    double indicated; /* W per (m3/s) of free air */
    double drop;      /* K after the blower */
} charged_example;

typedef struct charged_answer {
    double outlet, charge;     /* K */
    double mass;               /* kg/s */
    double compression, shaft; /* W */
    double gain;               /* W, net, brake */
    double filling;            /* of the charged engine by free air, fraction */
} charged_answer;

static inline charged_answer charged_engine(charged_example e)
{
    double fill = e.fill, speed = e.rpm * TEST_RPM, density = e.pressure / (287 * e.temperature);
    snub_gas gas = {.constant = 287, .cp = 1005, .gamma = 1.4};
    snub_engine engine = test_engine(e.swept, &fill);
    engine.mechanical = e.mechanical;
    engine.work_per_air = e.mechanical * e.indicated / density;
    snub_air ambient = test_air(e.pressure, e.temperature);
    double unboosted = snub_engine_air(&engine, &ambient, speed);
    charged_answer a;
    a.outlet = e.temperature * (1 + (pow(e.ratio, 0.4 / 1.4) - 1) / e.isentropic);
    a.charge = a.outlet - e.drop;
    fill = 1;
    snub_air manifold = test_air(e.pressure, a.charge);
    a.mass = e.ratio * snub_engine_air(&engine, &manifold, speed);
    a.compression = a.mass * gas.cp * (a.outlet - e.temperature);
    a.shaft = a.compression / e.mechanical;
    a.gain = snub_crank_power(&engine, speed, a.mass, (e.ratio - 1) * e.pressure) -
             snub_crank_power(&engine, speed, unboosted, 0) - a.shaft;
    a.filling = a.mass / (density * e.swept * e.rpm / 120);
    return a;
}

#endif

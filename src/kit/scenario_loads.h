/** Torque of every shaft over crank speed, its own speed and the throttle. Private to src/kit. */
#ifndef SNUB_KIT_SCENARIO_LOADS_H
#define SNUB_KIT_SCENARIO_LOADS_H

#include "snub/scenario.h"

enum { SNUB_SHAFT_FACTORS = 6, SNUB_RUN_SPEEDS = 33 };

/** A table for each pulley whose torque hangs on more than its own speed; the others read their curve. */
typedef struct snub_shaft_loads {
    const snub_drive *drive;
    int speeds;
    double low, high;                     /**< crank speeds of the first and the last row, rad/s */
    double *torque[2][SNUB_PULLEYS_MOST]; /**< throttle shut, open: [speed * SNUB_SHAFT_FACTORS + factor], N m; NULL:
                                               its own curve */
} snub_shaft_loads;

/** @return SNUB_OK; SNUB_NO_MEMORY; as snub_demand_torque where a blower has no answer without slip */
snub_status snub_shaft_loads_make(const snub_drive *drive, double low, double high, snub_arena *arena,
                                  snub_shaft_loads *loads, snub_error *error);
/** @param[in] open  throttle, 0..1, @param[in] speed of the shaft, rad/s */
double snub_shaft_load(const snub_shaft_loads *loads, int pulley, double crank_speed, double open, double speed);

#endif

/** Indicated work of a displacement blower for one turn over (inlet pressure times swept volume), as the program has
 * it. */
#ifndef TESTS_DISPLACEMENT_WORK_H
#define TESTS_DISPLACEMENT_WORK_H

#include "demand/machine.h"

static inline double displacement_work(double gamma, double internal_ratio, double ratio)
{
    const snub_blower blower = {.kind = SNUB_TWIN_SCREW, .swept = 1, .internal_ratio = internal_ratio};
    const snub_gas gas = {.constant = 287, .cp = 287 * gamma / (gamma - 1), .gamma = gamma};
    machine at;
    machine_prepare(&at, &blower, &gas, 300, 100);
    return machine_work(&at, ratio);
}

#endif

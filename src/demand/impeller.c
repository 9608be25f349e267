/* Pressure ratio and tip speed of an impeller. Euler: w = work_factor U^2; w = cp T1 (r^k - 1)/efficiency. */
#include <math.h>

#include "snub/demand.h"

double snub_impeller_ratio(const snub_gas *gas, double inlet_temperature, double tip_speed, double work_factor,
                           double efficiency)
{
    double k = (gas->gamma - 1) / gas->gamma;
    return pow(1 + efficiency * work_factor * tip_speed * tip_speed / (gas->cp * inlet_temperature), 1 / k);
}

double snub_impeller_tip_speed(const snub_gas *gas, double inlet_temperature, double ratio, double work_factor,
                               double efficiency)
{
    double k = (gas->gamma - 1) / gas->gamma;
    return sqrt(gas->cp * inlet_temperature * (pow(ratio, k) - 1) / (efficiency * work_factor));
}

/* Dyno power to standard air. docs/theory/air.md */
#include <math.h>

#include "air.h"
#include "snub/demand.h"

/* J1349: indicated power goes with X = (990/pd) sqrt((t + 273)/298); friction power does not. With brake power 1 and
 * mechanical efficiency m, indicated is 1/m and friction 1/m - 1, hence the factor X/m - (1/m - 1).
 * The printed form rounds 1/0.85 = 1.176 to 1.18. */
static double j1349(const snub_air *air, double inverse_efficiency)
{
    double celsius = air->temperature - SNUB_ZERO_CELSIUS;
    double x = 99000.0 / snub_air_dry_pressure(air) * sqrt((celsius + 273) / 298);
    return inverse_efficiency * x - (inverse_efficiency - 1);
}

/* The standards write T = t + 273. */
static double standard_kelvin(const snub_air *air)
{
    return air->temperature - 0.15;
}

snub_status snub_power_correction(snub_correction form, const snub_air *air, double mechanical, double *factor,
                                  bool *in_range, snub_error *error)
{
    snub_status status = snub_air_check(air, error);
    if (status)
        return status;
    double dry = snub_air_dry_pressure(air), celsius = air->temperature - SNUB_ZERO_CELSIUS, value;
    bool allowed = true;
    switch (form) {
    case SNUB_SAE_J1349_EXACT:
        if (!(mechanical > 0 && mechanical <= 1))
            return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL,
                             "the mechanical efficiency is %.6g; it must be above 0 and at most 1", mechanical);
        value = j1349(air, 1 / mechanical);
        allowed = dry >= 90e3 && dry <= 105e3 && celsius >= 15 && celsius <= 35;
        break;
    case SNUB_SAE_J1349:
        value = j1349(air, 1.18);
        allowed = dry >= 90e3 && dry <= 105e3 && celsius >= 15 && celsius <= 35;
        break;
    case SNUB_ISO_1585:
        value = pow(99000.0 / dry, 1.2) * pow(standard_kelvin(air) / 298, 0.6);
        allowed = value >= 0.93 && value <= 1.07;
        break;
    case SNUB_DIN_70020: value = 101300.0 / air->pressure * sqrt(standard_kelvin(air) / 293); break;
    default: return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "no such form of power correction (%d)", (int)form);
    }
    *factor = value;
    if (in_range)
        *in_range = allowed;
    return SNUB_OK;
}

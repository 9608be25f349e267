/* Dry and humid air as a perfect gas. docs/theory/air.md */
#include <math.h>

#include "air.h"
#include "snub/demand.h"

/* Universal gas constant 8314.32 J/(kmol K) and molar mass 28.9644 kg/kmol: US Standard Atmosphere, 1976. */
#define DRY_CONSTANT (8314.32 / 28.9644)
#define VAPOUR_CONSTANT (8314.32 / 18.01528)
/* cp of water vapour near room temperature, J/(kg K); not compared with a published table. */
#define VAPOUR_CP 1860.0

/* Range of the fit's use [K]. NBS Circular 564 is matched from 250 to 600 K; the ends lie a little outside, where a
 * cubic is still tame (cp within 0.1 % of the slope that the table shows). */
#define CP_LEAST 220.0
#define CP_MOST 650.0

/* Cubic in x = (T - 400 K)/200 K, fitted by linear programming so that cp, cv = cp - R and gamma all round to the
 * digits printed by NBS Circular 564 at its eight temperatures, with the greatest margin. */
double snub_air_cp(double temperature)
{
    double x = (fmin(fmax(temperature, CP_LEAST), CP_MOST) - 400) / 200;
    return 1013.276 + x * (25.000 + x * (14.667 - x * 1.524));
}

double snub_vapour_pressure(double temperature)
{
    double celsius = temperature - SNUB_ZERO_CELSIUS;
    return 610.94 * exp(17.625 * celsius / (celsius + 243.04));
}

double snub_air_dry_pressure(const snub_air *air)
{
    return air->humidity > 0 ? air->pressure - air->humidity * snub_vapour_pressure(air->temperature) : air->pressure;
}

/* Mass fraction of vapour: q = e/Rv / (e/Rv + pd/Rd). */
double snub_air_vapour_share(const snub_air *air)
{
    if (!(air->humidity > 0))
        return 0;
    double vapour = air->humidity * snub_vapour_pressure(air->temperature) / VAPOUR_CONSTANT;
    return vapour / (vapour + snub_air_dry_pressure(air) / DRY_CONSTANT);
}

snub_gas snub_air_gas(const snub_air *air, double temperature)
{
    double q = snub_air_vapour_share(air);
    double constant = DRY_CONSTANT + q * (VAPOUR_CONSTANT - DRY_CONSTANT);
    double dry = snub_air_cp(temperature), cp = dry + q * (VAPOUR_CP - dry);
    return (snub_gas){.constant = constant, .cp = cp, .gamma = cp / (cp - constant)};
}

double snub_air_density(const snub_air *air)
{
    double q = snub_air_vapour_share(air);
    return air->pressure / ((DRY_CONSTANT + q * (VAPOUR_CONSTANT - DRY_CONSTANT)) * air->temperature);
}

snub_status snub_air_check(const snub_air *air, snub_error *error)
{
    if (!(air->pressure >= 10e3 && air->pressure <= 200e3))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "air.pressure",
                         "the ambient pressure is %.6g kPa; it must be absolute, from 10 to 200 kPa",
                         air->pressure / 1e3);
    if (!(air->temperature >= 200 && air->temperature <= 360))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "air.temperature",
                         "the ambient temperature is %.6g degC; it must be from -73.15 to 86.85 degC",
                         air->temperature - SNUB_ZERO_CELSIUS);
    if (!(air->humidity >= 0 && air->humidity <= 1))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "air.humidity",
                         "the relative humidity is %.6g; it must be from 0 to 1", air->humidity);
    if (!(snub_air_dry_pressure(air) > 0.5 * air->pressure))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "air.humidity",
                         SNUB_MESSAGE("water vapour would be more than half of the air at this pressure"));
    return SNUB_OK;
}

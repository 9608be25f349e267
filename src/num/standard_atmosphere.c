/* US Standard Atmosphere, 1976, its two lowest layers. docs/theory/air.md */
#include <math.h>

#include "snub/num.h"

#define EARTH_RADIUS 6356766.0 /* m, of the 1976 standard */
#define LAPSE 0.0065           /* K per m of geopotential altitude, up to the tropopause */
#define TROPOPAUSE 11000.0     /* m, geopotential */
#define SEA_TEMPERATURE 288.15 /* K */
#define DRY_CONSTANT (8314.32 / 28.9644)

double snub_dry_air_density(double pressure, double temperature)
{
    return pressure / (DRY_CONSTANT * temperature);
}

snub_status snub_standard_atmosphere(double altitude, double *temperature, double *pressure, snub_error *error)
{
    if (!(altitude >= -5000 && altitude <= 20000))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "air.altitude",
                         "the altitude is %.6g m; the standard atmosphere covers -5000 to 20000 m", altitude);
    double geopotential = EARTH_RADIUS * altitude / (EARTH_RADIUS + altitude);
    double below = fmin(geopotential, TROPOPAUSE);
    double t = SEA_TEMPERATURE - LAPSE * below;
    double p = SNUB_ATMOSPHERE * pow(t / SEA_TEMPERATURE, SNUB_GRAVITY / (DRY_CONSTANT * LAPSE));
    if (geopotential > TROPOPAUSE)
        p *= exp(-SNUB_GRAVITY * (geopotential - TROPOPAUSE) / (DRY_CONSTANT * t));
    if (temperature)
        *temperature = t;
    if (pressure)
        *pressure = p;
    return SNUB_OK;
}

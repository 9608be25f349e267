/** Air as a gas. Private to src/demand. */
#ifndef SNUB_DEMAND_AIR_H
#define SNUB_DEMAND_AIR_H

#include "snub/demand.h"

/** @return SNUB_OK; SNUB_BAD_INPUT where pressure, temperature or humidity is no ambient air's: outside 10..200 kPa,
 *  200..360 K, 0..1, or the vapour would be more than half of the air */
snub_status snub_air_check(const snub_air *air, snub_error *error);
/** Dry air's cp [J/(kg K)] at T [K]. Fit to NBS Circular 564 (1955), 250..600 K; held outside of that range. */
double snub_air_cp(double temperature);
/** Humid air as a gas: R and cp by mass fraction of vapour, cp of the dry part at `temperature` [K]
 *  (which need not be the ambient one). @return a gas; of NANs where the air is not valid (see snub_air_check) */
snub_gas snub_air_gas(const snub_air *air, double temperature);
/** Mass of water vapour in a mass of the air, 0..1. */
double snub_air_vapour_share(const snub_air *air);
/** Pressure of saturated water vapour over water [Pa] at T [K]: Magnus form, 610.94 Pa exp(17.625 t/(t + 243.04)),
 *  t in degC (Alduchov & Eskridge, 1996; not compared with their text). Within 0.4 % from -40 to 50 degC; not meant
 *  for more. */
double snub_vapour_pressure(double temperature);

#endif

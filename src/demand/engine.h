/** Private to src/demand: what match and power estimate share. */
#ifndef SNUB_DEMAND_ENGINE_H
#define SNUB_DEMAND_ENGINE_H

#include "snub/demand.h"

/** Volume that the pistons sweep per second of intake [m3/s]; every turn for two strokes, every other for four. */
double engine_swept_rate(const snub_engine *engine, double crank_speed);

/** Values that a match needs are there and make sense. @return SNUB_OK or SNUB_BAD_INPUT with key and place */
snub_status match_inputs_check(const snub_engine *engine, const snub_air *air, const snub_cooler *cooler,
                               const snub_blower *blower, snub_error *error);

/** Estimated crank power [W], the blower's drive not taken off:
 *      dry air flow x work_per_air + mechanical efficiency x (manifold - ambient pressure) x volume swept per second.
 *  Vapour burns nothing. Assumes mixture, ignition and temperature such that each kg of air does the work it does
 * unboosted. An estimate. */
double snub_crank_power(const snub_engine *engine, double crank_speed, double dry_flow, double boost);
/** Air that the unboosted engine swallows [kg/s] at a crank speed [rad/s] from ambient density. */
double snub_engine_air(const snub_engine *engine, const snub_air *air, double crank_speed);

#endif

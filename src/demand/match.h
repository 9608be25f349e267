/** A match with a given gas. Private to src/demand. */
#ifndef SNUB_DEMAND_MATCH_H
#define SNUB_DEMAND_MATCH_H

#include "snub/demand.h"

/** The same with a given gas in place of the air's: one pass, constant heats. For closed forms and book examples. */
snub_status snub_match_gas(const snub_engine *engine, const snub_air *air, const snub_gas *gas,
                           const snub_cooler *cooler, const snub_blower *blower, double crank_speed, double shaft_speed,
                           snub_throttle throttle, snub_match_result *result, snub_error *error);

#endif

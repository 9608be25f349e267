/** A blower map between its points. Private to src/demand. */
#ifndef SNUB_DEMAND_MAP_H
#define SNUB_DEMAND_MAP_H

#include "snub/demand.h"

/** The map at a rotor speed [rad/s] and inlet flow [m3/s]; linear between lines at equal fractions of their flow
 *  ranges. Outside: speed lines scale by similarity (flow with speed, head with speed squared; displacement blowers:
 *  ratio kept); under the least flow a centrifugal's ratio is held; else the end segment's slope goes on.
 *  @param[out] ratio, efficiency  (efficiency is held at the ends)
 *  @param[out] outside  how far outside, the greater of speed's and flow's relative distance; 0 inside
 *  @param[out] surge  may be NULL: less flow than the surge points of the lines
 *  @return false where there is no map or no answer (speed not > 0) */
bool snub_blower_map_at(const snub_blower *blower, double gamma, double rotor_speed, double flow, double *ratio,
                        double *efficiency, double *outside, bool *surge);

#endif

/** What a blower does at one point of work, with everything in proportion to inlet pressure taken out. */
#ifndef SNUB_DEMAND_MACHINE_H
#define SNUB_DEMAND_MACHINE_H

#include "snub/demand.h"

/** A blower at one shaft speed, ready for many points. */
typedef struct machine {
    const snub_blower *blower;
    snub_gas gas;
    bool by_ratio; /**< unknown is the ratio (displacement model); else the inlet flow (map, centrifugal) */
    bool displacement;
    double temperature; /**< T1, K */
    double turns;       /**< shaft turns/s */
    double rotor_speed; /**< rad/s */
    /* displacement */
    double swept;      /**< m3 per shaft turn */
    double slip;       /**< S1, turns/s */
    double inside;     /**< g/(g-1) (v^(g-1) - 1) */
    double v_gamma, v; /**< v^g, v */
    /* centrifugal model */
    double head;                          /**< cp T1-referred design head: isentropic J/kg at design */
    double work;                          /**< design work J/kg */
    double relative_speed;                /**< impeller over design speed */
    double surge_flow, surge_head, slope; /**< shape: see docs/theory/blower.md */
} machine;

/** One point of work. */
typedef struct machine_point {
    double flow; /**< inlet volume flow, m3/s */
    double ratio;
    double heat;    /**< outlet temperature times flow, K m3/s: finite where the flow is 0 */
    double outside; /**< of the map */
    bool surge, choke;
} machine_point;

/** Defaults filled, constants worked out. Inputs are checked before. */
void machine_prepare(machine *machine, const snub_blower *blower, const snub_gas *gas, double temperature,
                     double shaft_speed);

/** Point at a ratio; displacement model only. */
void machine_at_ratio(const machine *machine, double ratio, machine_point *point);
/** Point at an inlet flow; map or centrifugal. @return false where a map gives no answer */
bool machine_at_flow(const machine *machine, double flow, machine_point *point);

/** Indicated work per turn over p1, m3; displacement model. With built-in volume ratio v and pressure ratio r it is the
 *  swept volume times g/(g-1) (v^(g-1) - 1) + (r - v^g)/v; v = 1 is Roots: r - 1. Under- and over-compression count. */
double machine_work(const machine *machine, double ratio);

/** Values with defaults. */
double blower_mechanical(const snub_blower *blower);
double blower_step_up(const snub_blower *blower);
/** Inlet temperature [K] at which map or design point hold; 0: as they are at any. */
double blower_map_temperature(const snub_blower *blower);
double blower_bypass_difference(const snub_blower *blower);

/** Slip speed over S1 at a pressure ratio and an inlet temperature [K]: sqrt((r - 1) 14.7 T1/528 R); minus the root of
 *  the other sign where r < 1 (leak forward). dp/p1 is r - 1, so that the inlet's pressure drops out. */
double snub_slip_factor(double ratio, double inlet_temperature);

#endif

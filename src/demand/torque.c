/* The torque that a pulley asks of the belt. docs/theory/match.md */
#include <math.h>

#include "snub/demand.h"

double snub_speed_ratio(const snub_drive *drive, int pulley)
{
    return drive->pulleys[drive->crank].pitch_radius / drive->pulleys[pulley].pitch_radius;
}

double snub_rotor_limit(const snub_pulley *pulley)
{
    double step_up = pulley->blower.step_up > 0 ? pulley->blower.step_up : 1;
    double rotor = pulley->blower.max_rotor_speed > 0 ? pulley->blower.max_rotor_speed : NAN;
    return fmin(rotor, pulley->max_speed > 0 ? pulley->max_speed * step_up : NAN); /* fmin passes over a NAN */
}

double snub_inertia_torque(const snub_drive *drive, int pulley, double rate)
{
    return pulley == drive->crank ? 0 : drive->pulleys[pulley].inertia * snub_speed_ratio(drive, pulley) * rate;
}

double snub_with_inertia(const snub_drive *drive, int pulley, double absorbed, double inertia)
{
    const double torque = absorbed + inertia;
    return drive->pulleys[pulley].overruns ? fmax(torque, 0) : torque;
}

static snub_status match_of(const snub_drive *drive, int pulley, double crank_speed, double speed_factor,
                            snub_throttle throttle, snub_match_result *match, snub_error *error)
{
    double shaft = crank_speed * snub_speed_ratio(drive, pulley) * speed_factor;
    return snub_match(&drive->engine, &drive->air, &drive->cooler, &drive->pulleys[pulley].blower, crank_speed, shaft,
                      throttle, match, error);
}

/* Boost that a table of torque by speed and boost is entered with: the pulley's own blower's, else the first
 * blower's without slip; no boost where the drive has no blower. */
static snub_status boost_for(const snub_drive *drive, int pulley, double crank_speed, double speed_factor,
                             snub_throttle throttle, double *boost, snub_error *error)
{
    int blower = drive->pulleys[pulley].has_blower ? pulley : 0;
    while (blower < drive->pulley_count && !drive->pulleys[blower].has_blower)
        blower++;
    *boost = 0;
    if (blower == drive->pulley_count)
        return SNUB_OK;
    snub_match_result match;
    snub_status status =
        match_of(drive, blower, crank_speed, blower == pulley ? speed_factor : 1, throttle, &match, error);
    if (!status)
        *boost = match.boost;
    return status;
}

/* Torque of a load table at a shaft speed. */
static snub_status table_torque(const snub_drive *drive, int pulley, double crank_speed, double speed_factor,
                                snub_throttle throttle, double *torque, snub_error *error)
{
    const snub_pulley *p = &drive->pulleys[pulley];
    double shaft = crank_speed * snub_speed_ratio(drive, pulley) * speed_factor, boost;
    if (p->load_by_boost.nx < 1) {
        *torque = shaft > 0 ? snub_curve_at(&p->load, shaft) : 0;
        return SNUB_OK;
    }
    snub_status status = boost_for(drive, pulley, crank_speed, speed_factor, throttle, &boost, error);
    if (!status)
        *torque = shaft > 0 ? snub_surface_at(&p->load_by_boost, shaft, boost) : 0;
    return status;
}

static void put_table_into(snub_match_result *match, double torque)
{
    match->torque = torque;
    match->power = torque * match->shaft_speed;
    match->friction_power = match->power - match->indicated_power;
    match->crank_power = match->crank_power_gross - match->power;
    match->flags |= SNUB_MATCH_TORQUE_TABLE;
}

/* Under idle the match of idle stands, with torque and powers faded: torque and flows by the fraction of idle speed,
 * powers by its square. Continuous at idle, nothing at rest. */
static void fade(snub_match_result *match, double part)
{
    match->crank_speed *= part;
    match->shaft_speed *= part;
    match->rotor_speed *= part;
    match->mass_flow *= part;
    match->blower_mass_flow *= part;
    match->inlet_flow *= part;
    match->torque *= part;
    match->power *= part * part;
    match->indicated_power *= part * part;
    match->friction_power *= part * part;
    match->cooler_power *= part * part;
    match->crank_power_gross *= part * part;
    match->crank_power *= part * part;
    match->flags |= part > 0 ? SNUB_MATCH_BELOW_IDLE : SNUB_MATCH_OFF;
}

snub_status snub_demand_torque(const snub_drive *drive, int pulley, double crank_speed, double speed_factor,
                               snub_throttle throttle, double *torque, snub_match_result *match, snub_error *error)
{
    const snub_pulley *p = &drive->pulleys[pulley];
    if (!(crank_speed >= 0) || !(speed_factor >= 0 && speed_factor <= 1))
        return snub_fail(error, SNUB_BAD_INPUT, &p->place, p->name,
                         "a crank speed of %.6g rad/s at a speed factor of %.6g is not possible", crank_speed,
                         speed_factor);
    double idle = drive->engine.given ? drive->engine.idle : 0;
    double part = crank_speed < idle ? crank_speed / idle : 1, speed = fmax(crank_speed, idle), value = 0;
    bool table = p->load.n > 0 || p->load_by_boost.nx > 0;
    snub_status status = SNUB_OK;
    snub_match_result own;
    bool matched = p->has_blower && (match || !table);
    if (matched)
        status = match_of(drive, pulley, speed, speed_factor, throttle, &own, error);
    if (!status && table)
        status = table_torque(drive, pulley, speed, speed_factor, throttle, &value, error);
    else if (!status && matched)
        value = own.torque;
    if (status)
        return status;
    if (matched && table)
        put_table_into(&own, value);
    if (matched && part < 1)
        fade(&own, part);
    if (matched && match)
        *match = own;
    *torque = pulley == drive->crank || crank_speed <= 0 ? 0 : value * part;
    return SNUB_OK;
}

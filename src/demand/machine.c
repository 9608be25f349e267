/* Blowers as machines: displacement with slip and built-in compression, centrifugal by similarity, map.
 * docs/theory/blower.md */
#include <math.h>

#include "machine.h"
#include "map.h"

/* Defaults where the file says nothing; common practice, no published source. */
#define MECHANICAL_DEFAULT 0.92
#define ISENTROPIC_DEFAULT 0.72
#define MAP_TEMPERATURE_DEFAULT (SNUB_ZERO_CELSIUS + 25)
#define USUAL_LEAKAGE (800 * SNUB_RPM) /* of a rotor that sweeps 1 L */
#define SURGE_FLOW_DEFAULT 0.65
#define SURGE_HEAD_DEFAULT 1.12
#define BYPASS_DIFFERENCE_DEFAULT 5e3 /* Pa */

/* 14.7 psi over 1 psi; 528 degrees Rankine in K. */
#define SLIP_PRESSURES 14.7
#define SLIP_TEMPERATURE (528 / 1.8)

/* Least pressure ratio that a machine is followed to, as a throttle. */
#define RATIO_LEAST 0.02

double blower_mechanical(const snub_blower *blower)
{
    return blower->mechanical > 0 ? blower->mechanical : MECHANICAL_DEFAULT;
}
double blower_step_up(const snub_blower *blower)
{
    return blower->step_up > 0 ? blower->step_up : 1;
}
double blower_map_temperature(const snub_blower *blower)
{
    if (blower->kind != SNUB_CENTRIFUGAL)
        return 0;
    return blower->map_temperature > 0 ? blower->map_temperature : MAP_TEMPERATURE_DEFAULT;
}
double blower_bypass_difference(const snub_blower *blower)
{
    return blower->bypass_difference > 0 ? blower->bypass_difference : BYPASS_DIFFERENCE_DEFAULT;
}

/* A clearance grows with the rotor, the gap's area with its square, what a turn sweeps with its cube: the speed that
 * leaks away goes with one over the rotor's size. */
double snub_usual_leakage(const snub_blower *blower)
{
    double step_up = blower_step_up(blower);
    return USUAL_LEAKAGE / cbrt(blower->swept / step_up / 1e-3) / step_up;
}

void snub_blower_assumptions(const snub_blower *blower, const snub_locale *locale, snub_text *out)
{
    char inlet[SNUB_VALUE_TEXT];
    if (blower->kind == SNUB_CENTRIFUGAL && !(blower->map_temperature > 0))
        snub_text_printf(out, " The blower's %s is taken to hold for an inlet at %s (map_temperature is not given).",
                         blower->map_lines > 0 ? "map" : "design point",
                         snub_value_string(locale, MAP_TEMPERATURE_DEFAULT, SNUB_UNIT_DEGC, 0, inlet));
}

double snub_slip_factor(double ratio, double inlet_temperature)
{
    double root = sqrt(fabs(ratio - 1) * SLIP_PRESSURES * inlet_temperature / SLIP_TEMPERATURE);
    return ratio < 1 ? -root : root;
}

static void prepare_displacement(machine *m)
{
    const snub_blower *blower = m->blower;
    double gamma = m->gas.gamma;
    m->swept = blower->swept;
    m->slip = blower->leakage_speed / (2 * SNUB_PI);
    m->v = blower->kind == SNUB_ROOTS || !(blower->internal_ratio > 1) ? 1 : blower->internal_ratio;
    m->v_gamma = m->v > 1 ? pow(m->v, gamma) : 1;
    m->inside = m->v > 1 ? gamma / (gamma - 1) * (m->v_gamma / m->v - 1) : 0;
}

/* Design point -> head and work. The file gives a ratio, which holds at one inlet temperature: there it is a head,
 * which is the impeller's own in cold air and in hot. */
static void prepare_centrifugal(machine *m)
{
    const snub_blower *blower = m->blower;
    double k = (m->gas.gamma - 1) / m->gas.gamma;
    m->surge_flow = blower->surge_flow > 0 ? blower->surge_flow : SURGE_FLOW_DEFAULT;
    m->surge_head = blower->surge_head > 0 ? blower->surge_head : SURGE_HEAD_DEFAULT;
    m->slope = 2 * (m->surge_head - 1) / (1 - m->surge_flow);
    m->head = m->gas.cp * blower_map_temperature(blower) * (pow(blower->design_ratio, k) - 1);
    m->work = m->head / (blower->isentropic > 0 ? blower->isentropic : ISENTROPIC_DEFAULT);
    m->relative_speed = m->rotor_speed / blower->design_speed;
}

void machine_prepare(machine *m, const snub_blower *blower, const snub_gas *gas, double temperature, double shaft_speed)
{
    *m = (machine){.blower = blower, .gas = *gas, .temperature = temperature};
    m->displacement = blower->kind != SNUB_CENTRIFUGAL;
    m->by_ratio = m->displacement && blower->map_lines == 0;
    m->turns = shaft_speed / (2 * SNUB_PI);
    m->rotor_speed = shaft_speed * blower_step_up(blower);
    if (m->displacement)
        prepare_displacement(m);
    else if (blower->map_lines == 0)
        prepare_centrifugal(m);
}

double machine_work(const machine *m, double ratio)
{
    return m->swept * (m->inside + (ratio - m->v_gamma) / m->v);
}

/* Heat per delivered kg: T2 = T1 (1 + k W n/(p1 q)), k = R/cp. Times q it stays finite when slip eats all flow. */
void machine_at_ratio(const machine *m, double ratio, machine_point *point)
{
    double k = m->gas.constant / m->gas.cp;
    double flow = m->swept * (m->turns - m->slip * snub_slip_factor(ratio, m->temperature));
    *point = (machine_point){.flow = flow, .ratio = ratio};
    point->heat = m->temperature * (flow + k * machine_work(m, ratio) * m->turns);
}

/* Similarity: head N^2 h(phi), flow N phi. Shape: a parabola with its top at the surge point,
 *     h = hs - (hs - 1) ((phi - s)/(1 - s))^2   (held left of the top),
 * and work (Euler, falling with flow) lambda = 1 + slope (1 - phi), slope = 2 (hs - 1)/(1 - s), which puts the best
 * efficiency at the design point: d(h/lambda)/dphi = 0 at phi = 1. Written with phi N = q so that N = 0 (a standing
 * impeller, a mere throttle) has an answer too. */
static void centrifugal_at_flow(const machine *m, double flow, machine_point *point)
{
    double n = m->relative_speed, q = flow / m->blower->design_flow, s = m->surge_flow;
    double over = fmax(0, q - s * n) / (1 - s);
    double head = m->head * (m->surge_head * n * n - (m->surge_head - 1) * over * over);
    double work = m->work * fmax(0, n * n * (1 + m->slope) - m->slope * n * q);
    double cp_t = m->gas.cp * m->temperature;
    double base = fmax(1 + head / cp_t, 0.3);
    double ratio = fmax(RATIO_LEAST, pow(base, m->gas.gamma / (m->gas.gamma - 1)));
    *point = (machine_point){.flow = flow, .ratio = ratio};
    point->heat = flow * (m->temperature + work / m->gas.cp);
    point->surge = q < s * n;
    point->choke = head <= 0;
}

/* A map holds at its own inlet temperature: speed and flow of a centrifugal go with the root of temperature (Mach
 * similarity). Displacement blowers are taken as they are. */
static bool map_at_flow(const machine *m, double flow, machine_point *point)
{
    const snub_blower *blower = m->blower;
    double scale = m->displacement ? 1 : sqrt(blower_map_temperature(blower) / m->temperature);
    double ratio, efficiency, outside;
    bool surge;
    if (!snub_blower_map_at(blower, m->gas.gamma, m->rotor_speed * scale, flow * scale, &ratio, &efficiency, &outside,
                            &surge))
        return false;
    ratio = fmax(ratio, RATIO_LEAST);
    double ideal = pow(ratio, (m->gas.gamma - 1) / m->gas.gamma) - 1;
    double rise = ideal > 0 ? ideal / efficiency : ideal * efficiency;
    *point = (machine_point){.flow = flow, .ratio = ratio, .outside = outside};
    point->heat = flow * m->temperature * (1 + rise);
    point->choke = ratio <= 1;
    point->surge = surge;
    return true;
}

bool machine_at_flow(const machine *m, double flow, machine_point *point)
{
    if (m->blower->map_lines > 0)
        return map_at_flow(m, flow, point);
    centrifugal_at_flow(m, flow, point);
    return true;
}

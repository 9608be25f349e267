/* Blower and engine agree on a flow. docs/theory/match.md
 *
 * Everything behind the blower's inlet is in proportion to inlet pressure p1 once losses go with flow squared over
 * density. So the balance of flows does not hold p1 (but for scavenging), and is
 *     G = T3 q - swallow (r - c) T1 = 0,
 * q inlet flow, r pressure ratio, c cooler loss over p1, T3 charge temperature, swallow the volume that the engine
 * takes at manifold density. Multiplied by q, no term is singular where slip eats all flow. */
#include <math.h>

#include "air.h"
#include "engine.h"
#include "machine.h"
#include "match.h"

#define RATIO_LEAST 0.02     /* least ratio of a displacement blower that throttles the engine */
#define ROOT_TOLERANCE 1e-11 /* of sqrt(|r - 1|), and relative of a flow */
#define SCAN 40              /* intervals in which a map's balances are looked for; two within one are not seen */
#define PART_DEFAULT 0.7     /* manifold over ambient; common practice, no published source */
#define SHUT_DEFAULT 0.3
#define CP_TOLERANCE 5e-4 /* relative, of cp against its value at the blower's mean temperature: 0.2 K of 400 */
#define PASSES_MOST 12

typedef struct chain {
    const snub_engine *engine;
    const snub_blower *blower;
    snub_throttle throttle;
    snub_gas gas;
    double ambient, temperature, density; /* Pa, K, kg/m3 */
    double vapour;                        /* share of the air's mass */
    double effectiveness, coolant;
    double inlet_loss, cooler_loss; /* factors K of the hardware: drop = K m^2/density, 1/m4 */
    double swallow;                 /* m3/s at manifold density, scavenging left out */
    double held;                    /* manifold pressure that a throttle holds, Pa; 0: open */
    machine machine;
} chain;

/* A state of the chain that holds. */
typedef struct state {
    machine_point point;
    double inlet, outlet, manifold; /* Pa */
    double t_out, t_charge;         /* K */
    double mass, blower_mass;       /* kg/s */
    double indicated;               /* W */
    unsigned flags;
} state;

/* K = drop density/m^2, all three as measured: it belongs to the part, whatever the weather and the engine's speed. */
static double loss_factor(double drop, double flow, double density)
{
    return drop > 0 ? drop * density / (flow * flow) : 0;
}

static void chain_prepare(chain *c, const snub_engine *engine, const snub_air *air, const snub_gas *gas,
                          const snub_cooler *cooler, const snub_blower *blower, double crank_speed, double shaft_speed,
                          snub_throttle throttle)
{
    *c = (chain){.engine = engine, .blower = blower, .throttle = throttle, .gas = *gas};
    c->ambient = air->pressure;
    c->temperature = c->coolant = air->temperature;
    c->vapour = snub_air_vapour_share(air);
    c->density = air->pressure / (gas->constant * air->temperature);
    if (cooler && cooler->given) {
        c->effectiveness = cooler->effectiveness;
        c->coolant = cooler->coolant > 0 ? cooler->coolant : air->temperature;
        double density = cooler->density > 0 ? cooler->density : snub_bench_density();
        c->cooler_loss = loss_factor(cooler->pressure_drop, cooler->flow, density);
        c->inlet_loss =
            loss_factor(cooler->inlet_pressure_drop, cooler->inlet_flow > 0 ? cooler->inlet_flow : cooler->flow,
                        cooler->inlet_density > 0 ? cooler->inlet_density : density);
    }
    c->swallow = engine_swept_rate(engine, crank_speed) * snub_curve_at(&engine->volumetric_efficiency, crank_speed);
    if (throttle == SNUB_THROTTLE_PART)
        c->held = c->ambient * (engine->part_pressure > 0 ? engine->part_pressure : PART_DEFAULT);
    if (throttle == SNUB_THROTTLE_SHUT)
        c->held = c->ambient * (engine->shut_pressure > 0 ? engine->shut_pressure : SHUT_DEFAULT);
    machine_prepare(&c->machine, blower, gas, air->temperature, shaft_speed);
}

/* Burnt gas left in the clearance volume, isentropically pressed together from exhaust (ambient) to manifold pressure,
 * leaves room for fresh air: (e - (pe/pm)^(1/g))/(e - 1), 1 without boost. */
static double scavenging(const chain *c, double manifold)
{
    double e = c->engine->compression;
    if (!c->engine->scavenges || !(manifold > 0))
        return 1;
    return fmax(0, (e - pow(c->ambient / manifold, 1 / c->gas.gamma)) / (e - 1));
}

/* p1 = p0 - k (p1 q/(R T1))^2/rho0, solved for p1 in the form that is exact where k vanishes. */
static double open_inlet_pressure(const chain *c, double flow)
{
    double mass = flow / (c->gas.constant * c->temperature);
    double a = c->inlet_loss * mass * mass / c->density;
    return 2 * c->ambient / (1 + sqrt(1 + 4 * a * c->ambient));
}

/* Cooler loss over p1: k m^2/rho2 with m = p1 q/(R T1), rho2 = r p1/(R T2). */
static double relative_loss(const chain *c, const machine_point *point)
{
    double t = c->temperature;
    return c->cooler_loss * point->flow * point->heat / (c->gas.constant * t * t * point->ratio);
}

static double charge_heat(const chain *c, const machine_point *point)
{
    return (1 - c->effectiveness) * point->heat + c->effectiveness * c->coolant * point->flow;
}

/* Throttle behind the blower (centrifugal): the manifold's pressure is held, the blower works on its own. */
static bool throttled_behind(const chain *c)
{
    return c->held > 0 && !c->machine.displacement;
}

static double imbalance(const chain *c, const machine_point *point)
{
    double charge = charge_heat(c, point);
    if (throttled_behind(c))
        return charge -
               c->swallow * scavenging(c, c->held) * c->held * c->temperature / open_inlet_pressure(c, point->flow);
    double after = point->ratio - relative_loss(c, point);
    double manifold = c->held;
    if (c->engine->scavenges && !(c->held > 0))
        manifold = after * open_inlet_pressure(c, point->flow);
    return charge - c->swallow * scavenging(c, manifold) * after * c->temperature;
}

/* The unknown of a displacement blower is x with r = 1 + x |x|: slip is linear in it. */
static bool point_at(const chain *c, double x, machine_point *point)
{
    if (!c->machine.by_ratio)
        return machine_at_flow(&c->machine, x, point);
    machine_at_ratio(&c->machine, 1 + x * fabs(x), point);
    return true;
}

static bool imbalance_at(double x, double *value, void *context)
{
    const chain *c = context;
    machine_point point;
    if (!point_at(c, x, &point))
        return false;
    *value = imbalance(c, &point);
    return isfinite(*value);
}

static snub_status too_much(const chain *c, snub_error *error)
{
    return snub_fail(error, SNUB_NO_EQUILIBRIUM, &c->blower->place, NULL,
                     "the blower delivers more air than the engine takes at any pressure ratio up to %g",
                     SNUB_RATIO_MOST);
}

/* Displacement model: G falls from low to high ratio. */
static snub_status solve_by_ratio(chain *c, state *s, snub_error *error)
{
    double low = -sqrt(1 - RATIO_LEAST), high = sqrt(SNUB_RATIO_MOST - 1), x = low, value;
    double slip_scale = c->machine.slip * snub_slip_factor(2, c->temperature);
    if (slip_scale * high > c->machine.turns)
        high = c->machine.turns / slip_scale;
    if (imbalance_at(high, &value, c) && value > 0)
        return too_much(c, error);
    if (imbalance_at(low, &value, c) && value > 0) {
        snub_status status = snub_root(imbalance_at, c, low, high, ROOT_TOLERANCE, &x, error);
        if (status)
            return status;
    } /* else the engine would swallow more even there: the least ratio stands */
    (void)point_at(c, x, &s->point);
    return SNUB_OK;
}

/* Map or centrifugal: G goes from - at no flow to + at much flow. A map may balance more than once; the balance of
 * greatest flow, where the blower's ratio falls faster than the engine's demand, is stable. */
static snub_status solve_by_flow(chain *c, state *s, snub_error *error)
{
    double high = 2 * c->swallow, value = -1, x;
    for (int i = 0; i < 12 && imbalance_at(high, &value, c) && value <= 0; i++)
        high *= 2;
    if (!(value > 0))
        return snub_fail(error, SNUB_NO_EQUILIBRIUM, &c->blower->place, NULL,
                         SNUB_MESSAGE("blower and engine have no common operating point"));
    double from = 0, to = high;
    int crossings = 1;
    if (c->blower->map_lines > 0) {
        double before = -1, at, left = 0;
        crossings = 0;
        for (int i = 1; i <= SCAN; i++, left = at, before = value) {
            at = high * i / SCAN;
            if (!imbalance_at(at, &value, c))
                return snub_fail(error, SNUB_BAD_INPUT, &c->blower->place, "blower.map",
                                 SNUB_MESSAGE("the blower's map has no operating point there"));
            if (before < 0 && value >= 0) {
                crossings++;
                from = left;
                to = at;
            }
        }
    }
    snub_status status = snub_root(imbalance_at, c, from, to, ROOT_TOLERANCE * high, &x, error);
    if (status)
        return status;
    (void)point_at(c, x, &s->point);
    s->flags |= crossings > 1 ? SNUB_MATCH_SEVERAL : 0;
    return SNUB_OK;
}

/* Pressures, temperatures and flows that belong to a balanced point. */
static void settle(const chain *c, state *s)
{
    const machine_point *point = &s->point;
    double after = point->ratio - relative_loss(c, point);
    double gas = c->gas.constant * c->temperature;
    bool flows = point->flow > 0;
    s->inlet = c->held > 0 && !throttled_behind(c) ? c->held / after : open_inlet_pressure(c, point->flow);
    s->outlet = s->inlet * point->ratio;
    s->manifold = c->held > 0 ? c->held : s->inlet * after;
    s->t_out = flows ? point->heat / point->flow : c->temperature;
    s->t_charge = flows ? charge_heat(c, point) / point->flow : c->temperature;
    s->mass = s->blower_mass = s->inlet * point->flow / gas;
    s->indicated = c->machine.by_ratio ? s->inlet * machine_work(&c->machine, point->ratio) * c->machine.turns
                                       : s->mass * c->gas.cp * (s->t_out - c->temperature);
}

/* ---- air round the blower ---- */

typedef struct ratio_search {
    const machine *machine;
    double ratio;
} ratio_search;

static bool ratio_over(double flow, double *value, void *context)
{
    const ratio_search *search = context;
    machine_point point;
    if (!machine_at_flow(search->machine, flow, &point))
        return false;
    *value = point.ratio - search->ratio;
    return true;
}

/* The blower by itself at a ratio that the bypass leaves it. A flow machine that cannot reach it stays at `high`. */
static snub_status machine_at_bypass(const chain *c, double ratio, double high, machine_point *point, snub_error *error)
{
    if (c->machine.by_ratio) {
        machine_at_ratio(&c->machine, ratio, point);
        return SNUB_OK;
    }
    if (!(c->machine.turns > 0)) {
        *point = (machine_point){.ratio = 1};
        return SNUB_OK;
    }
    ratio_search search = {&c->machine, ratio};
    double flow = high, at_high, at_zero;
    for (int i = 0; i < 12 && ratio_over(high, &at_high, &search) && at_high > 0; i++)
        flow = high *= 2;
    if (ratio_over(0, &at_zero, &search) && at_zero > 0) {
        snub_status status = snub_root(ratio_over, &search, 0, high, ROOT_TOLERANCE * high, &flow, error);
        if (status)
            return status;
    } else {
        flow = 0;
    }
    (void)machine_at_flow(&c->machine, flow, point);
    return SNUB_OK;
}

/* Indicated power over p1 [m3/s] of a point. */
static double power_over_pressure(const chain *c, const machine_point *point)
{
    if (c->machine.by_ratio)
        return machine_work(&c->machine, point->ratio) * c->machine.turns;
    return (point->heat - point->flow * c->temperature) * c->gas.cp / (c->gas.constant * c->temperature);
}

/* Open throttle, no boost, bypass open: the blower's air and what goes round it mix, pressures are level. */
typedef struct mixture {
    const chain *c;
    double power;                 /* over p1, m3/s */
    double inlet, manifold, heat; /* heat = m T3 */
} mixture;

static bool mixture_at(double mass, double *value, void *context)
{
    mixture *mix = context;
    const chain *c = mix->c;
    mix->inlet = c->ambient - c->inlet_loss * mass * mass / c->density;
    double out = mass * c->temperature + mix->inlet * mix->power / c->gas.cp; /* m T2 */
    mix->heat = (1 - c->effectiveness) * out + c->effectiveness * c->coolant * mass;
    mix->manifold = mix->inlet - c->cooler_loss * mass * out * c->gas.constant / mix->inlet;
    *value = mix->heat * c->gas.constant - c->swallow * scavenging(c, mix->manifold) * mix->manifold;
    return mix->inlet > 0 && isfinite(*value);
}

static snub_status bypass_open_throttle(chain *c, state *s, snub_error *error)
{
    double high = 2 * c->swallow;
    snub_status status = machine_at_bypass(c, 1, fmax(high, s->point.flow), &s->point, error);
    if (status)
        return status;
    mixture mix = {.c = c, .power = power_over_pressure(c, &s->point)};
    double most = 2 * c->density * c->swallow, mass, value;
    while (!mixture_at(most, &value, &mix) && most > 0)
        most *= 0.9; /* more flow than the inlet passes */
    status = snub_root(mixture_at, &mix, 0, most, ROOT_TOLERANCE * most, &mass, error);
    if (status)
        return status;
    (void)mixture_at(mass, &value, &mix);
    s->inlet = s->outlet = mix.inlet;
    s->manifold = mix.manifold;
    s->indicated = mix.inlet * mix.power;
    s->mass = mass;
    s->t_out = c->temperature + s->indicated / (mass * c->gas.cp);
    s->t_charge = mix.heat / mass;
    s->blower_mass = mix.inlet * s->point.flow / (c->gas.constant * c->temperature);
    s->flags |= SNUB_MATCH_BYPASS_OPEN;
    return SNUB_OK;
}

/* Throttled, bypass open. Displacement: the bypass takes the surplus back to the blower's inlet; its difference goes
 * with the square of the share that goes round, and the heat leaves with the engine's air. Centrifugal: the surplus is
 * blown off. The cooler's loss is left out: at a throttled engine's flow it is small. */
static snub_status bypass_throttled(chain *c, state *s, snub_error *error)
{
    double gas = c->gas.constant, demand = c->swallow * scavenging(c, c->held);
    double given = c->machine.swept * c->machine.turns, share = 1;
    if (c->machine.by_ratio)
        share = given > demand ? 1 - demand / given : 0;
    double ratio = 1 + blower_bypass_difference(c->blower) / c->ambient * share * share;
    snub_status status = machine_at_bypass(c, ratio, 2 * c->swallow, &s->point, error);
    if (status)
        return status;
    ratio = s->point.ratio;
    bool behind = throttled_behind(c);
    s->inlet = behind ? open_inlet_pressure(c, s->point.flow) : c->held / ratio;
    s->outlet = s->inlet * ratio;
    s->manifold = c->held;
    s->indicated = s->inlet * power_over_pressure(c, &s->point);
    s->blower_mass = s->inlet * s->point.flow / (gas * c->temperature);
    double keep = 1 - c->effectiveness, cooled = c->effectiveness * c->coolant;
    if (behind && s->point.flow > 0) {
        s->t_out = s->point.heat / s->point.flow;
        s->t_charge = keep * s->t_out + cooled;
        s->mass = demand * c->held / (gas * s->t_charge);
    } else {
        double rest = demand * c->held / gas - keep * s->indicated / c->gas.cp;
        s->mass = fmax(rest, 0) / (keep * c->temperature + cooled);
        s->t_out = c->temperature + (s->mass > 0 ? s->indicated / (s->mass * c->gas.cp) : 0);
        s->t_charge = keep * s->t_out + cooled;
    }
    s->flags |= SNUB_MATCH_BYPASS_OPEN;
    return SNUB_OK;
}

/* ---- result ---- */

static unsigned flags_of(const chain *c, const state *s)
{
    unsigned flags = s->flags;
    const snub_blower *blower = c->blower;
    if (c->held > 0)
        flags |= SNUB_MATCH_THROTTLED;
    else if (s->manifold <= c->ambient)
        flags |= SNUB_MATCH_NO_BOOST;
    if (blower->max_rotor_speed > 0 && c->machine.rotor_speed > blower->max_rotor_speed)
        flags |= SNUB_MATCH_OVERSPEED;
    if (s->point.outside > 0)
        flags |= SNUB_MATCH_OUTSIDE_MAP;
    if (!c->machine.displacement && s->point.surge)
        flags |= SNUB_MATCH_SURGE;
    if (!c->machine.displacement && s->point.choke)
        flags |= SNUB_MATCH_CHOKE;
    if (c->machine.by_ratio && s->point.ratio < c->machine.v_gamma)
        flags |= SNUB_MATCH_OVER_COMPRESSED;
    return flags;
}

static void fill_result(const chain *c, const state *s, double crank_speed, double shaft_speed,
                        snub_match_result *result)
{
    const machine *m = &c->machine;
    double mechanical = blower_mechanical(c->blower), swept = m->swept * m->turns;
    double k = (c->gas.gamma - 1) / c->gas.gamma;
    snub_match_result r = {.crank_speed = crank_speed, .shaft_speed = shaft_speed, .rotor_speed = m->rotor_speed};
    r.ratio = s->point.ratio;
    r.inlet_pressure = s->inlet;
    r.outlet_pressure = s->outlet;
    r.manifold_pressure = s->manifold;
    r.boost = s->manifold - c->ambient;
    r.inlet_temperature = c->temperature;
    r.outlet_temperature = s->t_out;
    r.charge_temperature = s->t_charge;
    r.mass_flow = s->mass;
    r.blower_mass_flow = s->blower_mass;
    r.inlet_flow = s->point.flow;
    r.leak_speed = m->by_ratio ? 2 * SNUB_PI * m->slip * snub_slip_factor(r.ratio, c->temperature) : 0;
    r.volumetric_efficiency = m->displacement && swept > 0 ? s->point.flow / swept : 0;
    r.internal_pressure = m->by_ratio ? s->inlet * m->v_gamma : 0;
    r.indicated_power = s->indicated;
    /* a blower that drives the belt (ratio under 1) loses to friction on the way out */
    r.power = s->indicated >= 0 ? s->indicated / mechanical : s->indicated * mechanical;
    r.friction_power = r.power - r.indicated_power;
    r.torque = shaft_speed > 0 ? r.power / shaft_speed : 0;
    if (r.ratio > 1 && s->indicated > 0)
        r.isentropic_efficiency = s->blower_mass * c->gas.cp * c->temperature * (pow(r.ratio, k) - 1) / s->indicated;
    r.cooler_power = s->mass * c->gas.cp * (s->t_out - s->t_charge);
    r.engine_volumetric_efficiency =
        snub_curve_at(&c->engine->volumetric_efficiency, crank_speed) * scavenging(c, s->manifold);
    r.crank_power_gross = snub_crank_power(c->engine, crank_speed, s->mass * (1 - c->vapour), r.boost);
    r.crank_power = r.crank_power_gross - r.power;
    r.gas = c->gas;
    r.outside = s->point.outside;
    r.flags = flags_of(c, s);
    *result = r;
}

static snub_status solve(chain *c, state *s, snub_error *error)
{
    *s = (state){0};
    bool standing = c->blower->map_lines > 0 && !(c->machine.turns > 0); /* a map knows nothing of a standing rotor */
    if (c->held > 0 && (c->blower->bypass || standing))
        return bypass_throttled(c, s, error);
    if (standing)
        return bypass_open_throttle(c, s, error);
    snub_status status = c->machine.by_ratio ? solve_by_ratio(c, s, error) : solve_by_flow(c, s, error);
    if (status)
        return status;
    if (!(c->held > 0) && c->blower->bypass && s->point.ratio < 1)
        return bypass_open_throttle(c, s, error);
    settle(c, s);
    return SNUB_OK;
}

static void off_result(const snub_air *air, const snub_gas *gas, double shaft_speed, snub_match_result *result)
{
    double p = air->pressure, t = air->temperature;
    *result = (snub_match_result){.shaft_speed = shaft_speed,
                                  .ratio = 1,
                                  .inlet_pressure = p,
                                  .outlet_pressure = p,
                                  .manifold_pressure = p,
                                  .inlet_temperature = t,
                                  .outlet_temperature = t,
                                  .charge_temperature = t,
                                  .gas = *gas,
                                  .flags = SNUB_MATCH_OFF | SNUB_MATCH_NO_BOOST};
}

static snub_status check_speeds(double crank_speed, double shaft_speed, snub_throttle throttle, snub_error *error)
{
    if (!(crank_speed >= 0 && crank_speed < 1e5))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the crank's speed is %.6g rad/s; it must be 0 or more",
                         crank_speed);
    if (!(shaft_speed >= 0 && shaft_speed < 1e6))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the blower's speed is %.6g rad/s; it must be 0 or more",
                         shaft_speed);
    if (throttle != SNUB_THROTTLE_OPEN && throttle != SNUB_THROTTLE_PART && throttle != SNUB_THROTTLE_SHUT)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "no such throttle state (%d)", (int)throttle);
    return SNUB_OK;
}

snub_status snub_match_gas(const snub_engine *engine, const snub_air *air, const snub_gas *gas,
                           const snub_cooler *cooler, const snub_blower *blower, double crank_speed, double shaft_speed,
                           snub_throttle throttle, snub_match_result *result, snub_error *error)
{
    snub_status status = match_inputs_check(engine, air, cooler, blower, error);
    if (!status)
        status = check_speeds(crank_speed, shaft_speed, throttle, error);
    if (status)
        return status;
    if (crank_speed <= 0) {
        off_result(air, gas, shaft_speed, result);
        return SNUB_OK;
    }
    chain c;
    state s;
    chain_prepare(&c, engine, air, gas, cooler, blower, crank_speed, shaft_speed, throttle);
    status = solve(&c, &s, error);
    if (!status)
        fill_result(&c, &s, crank_speed, shaft_speed, result);
    return status;
}

snub_status snub_match(const snub_engine *engine, const snub_air *air, const snub_cooler *cooler,
                       const snub_blower *blower, double crank_speed, double shaft_speed, snub_throttle throttle,
                       snub_match_result *result, snub_error *error)
{
    double mean = air->temperature;
    snub_gas gas = snub_air_gas(air, mean);
    for (int pass = 0; pass < PASSES_MOST; pass++) {
        snub_match_result found;
        snub_status status =
            snub_match_gas(engine, air, &gas, cooler, blower, crank_speed, shaft_speed, throttle, &found, error);
        if (status)
            return status;
        mean = 0.5 * (found.inlet_temperature + found.outlet_temperature);
        snub_gas next = snub_air_gas(air, mean);
        if (fabs(next.cp - gas.cp) <= CP_TOLERANCE * gas.cp) {
            *result = found;
            return SNUB_OK;
        }
        gas = next;
    }
    return snub_fail(error, SNUB_NO_CONVERGENCE, &blower->place, NULL,
                     SNUB_MESSAGE("the air's heat and the outlet temperature do not settle"));
}

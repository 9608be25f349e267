/* `snub sweep --json`. */
#include <stdlib.h>

#include "json_words.h"

#define C(kelvin) ((kelvin)-273.15)

static json_t *flags_of(unsigned flags)
{
    json_t *list = json_array();
    for (unsigned flag = 1; flag <= SNUB_MATCH_TORQUE_TABLE; flag <<= 1)
        if (flags & flag)
            json_array_append_new(list, json_string(snub_match_flag_text((snub_match_flag)flag)));
    return list;
}

static void put_match(json_t *object, const snub_sweep_point *point)
{
    const snub_match_result *m = &point->match;
    snub_json_put(object, "boost_kPa", snub_json_number(m->boost / 1e3));
    snub_json_put(object, "boost_without_slip_kPa", snub_json_number(point->boost_without_slip / 1e3));
    snub_json_put(object, "pressure_ratio", snub_json_number(m->ratio));
    snub_json_put(object, "blower_rpm", snub_json_number(m->shaft_speed * SNUB_RAD_S_TO_RPM));
    snub_json_put(object, "rotor_rpm", snub_json_number(m->rotor_speed * SNUB_RAD_S_TO_RPM));
    snub_json_put(object, "blower_power_kW", snub_json_number(m->power / 1e3));
    snub_json_put(object, "blower_torque_N_m", snub_json_number(m->torque));
    snub_json_put(object, "outlet_temperature_degC", snub_json_number(C(m->outlet_temperature)));
    snub_json_put(object, "charge_temperature_degC", snub_json_number(C(m->charge_temperature)));
    snub_json_put(object, "air_flow_kg_s", snub_json_number(m->mass_flow));
    snub_json_put(object, "volumetric_efficiency", snub_json_number(m->volumetric_efficiency));
    snub_json_put(object, "isentropic_efficiency", snub_json_number(m->isentropic_efficiency));
    snub_json_put(object, "internal_pressure_kPa", snub_json_number(m->internal_pressure / 1e3));
    snub_json_put(object, "cooler_heat_kW", snub_json_number(m->cooler_power / 1e3));
    snub_json_put(object, "estimated_crank_power_kW", snub_json_number(m->crank_power / 1e3));
    snub_json_put(object, "blower_notes", flags_of(m->flags));
}

static json_t *pulley_of(const snub_sweep *sweep, const snub_sweep_pulley *p, int i)
{
    json_t *object = json_object();
    snub_json_put(object, "name", json_string(sweep->drive->pulleys[i].name));
    snub_json_put(object, "rpm", snub_json_number(p->speed * SNUB_RAD_S_TO_RPM));
    snub_json_put(object, "torque_N_m", snub_json_number(p->torque));
    snub_json_put(object, "entry_tension_N", snub_json_number(p->entry));
    snub_json_put(object, "exit_tension_N", snub_json_number(p->exit));
    snub_json_put(object, "grip_used", snub_json_number(p->grip_design));
    snub_json_put(object, "grip_used_limit", snub_json_number(p->grip_limit));
    snub_json_put(object, "hub_load_N", snub_json_number(p->hub));
    snub_json_put(object, "hub_load_deg", snub_json_number(p->hub_angle * SNUB_RAD_TO_DEG));
    snub_json_put(object, "slip", json_string(snub_slip_text(p->slip)));
    snub_json_put(object, "slip_pct", snub_json_number(p->slip == SNUB_SLIP_OVERRUN ? NAN : 100 * (1 - p->factor)));
    snub_json_put(object, "slip_speed_m_s", snub_json_number(p->slip_speed));
    snub_json_put(object, "slip_heat_kW", snub_json_number(p->heat / 1e3));
    return object;
}

static json_t *point_of(const snub_sweep *sweep, int way, int k)
{
    const snub_sweep_point *point = &sweep->point[way][k];
    json_t *object = json_object(), *pulleys = json_array();
    snub_json_put(object, "engine_rpm", snub_json_number(sweep->speed[k] * SNUB_RAD_S_TO_RPM));
    if (sweep->blower >= 0)
        put_match(object, point);
    if (!point->solved)
        snub_json_put(object, "no_equilibrium", json_string(point->why));
    if (point->solved) {
        snub_json_put(object, "belt_speed_m_s", snub_json_number(point->belt_speed));
        snub_json_put(object, "arm_wind_deg", snub_json_number(point->wind * SNUB_RAD_TO_DEG));
        snub_json_put(object, "arm_band_deg",
                      snub_json_pair(point->wind_low * SNUB_RAD_TO_DEG, point->wind_high * SNUB_RAD_TO_DEG));
        snub_json_put(object, "belt_power_kW", snub_json_number(point->power / 1e3));
        snub_json_put(object, "slip_heat_kW", snub_json_number(point->heat / 1e3));
        for (int i = 0; i < sweep->pulleys; i++)
            json_array_append_new(pulleys, pulley_of(sweep, &sweep->pulley[way][k * sweep->pulleys + i], i));
    }
    snub_json_put(object, "pulleys", pulleys);
    return object;
}

static json_t *ways_of(const snub_sweep *sweep)
{
    json_t *ways = json_object();
    for (int way = 0; way < SNUB_SWEEP_WAYS; way++) {
        if (!sweep->ran[way])
            continue;
        bool shut = way == SNUB_SWEEP_FALLING || way == SNUB_SWEEP_SHUT;
        json_t *object = json_object(), *points = json_array();
        snub_json_put(object, "throttle",
                      json_string(snub_throttle_text(shut ? SNUB_THROTTLE_SHUT : SNUB_THROTTLE_OPEN)));
        snub_json_put(object, "rate_rpm_s", snub_json_number(sweep->rate[way] * SNUB_RAD_S_TO_RPM));
        for (int k = 0; k < sweep->speeds; k++)
            json_array_append_new(points, point_of(sweep, way, k));
        snub_json_put(object, "points", points);
        snub_json_put(ways, snub_sweep_way_text((snub_sweep_way)way), object);
    }
    return ways;
}

static json_t *offers_of(const snub_pulley_offer *offers, int count)
{
    json_t *list = json_array();
    for (int i = 0; i < count; i++) {
        const snub_pulley_offer *offer = &offers[i];
        json_t *object = json_object();
        snub_json_put(object, "value", json_string(offer->value));
        if (!offer->laid) {
            snub_json_put(object, "no_belt", json_string(offer->why));
        } else {
            bool slips = isfinite(offer->onset);
            snub_json_put(object, "slips_from_rpm", snub_json_number(offer->onset * SNUB_RAD_S_TO_RPM));
            snub_json_put(object, "slips_when",
                          slips ? json_string(snub_sweep_way_text(offer->onset_way)) : json_null());
            snub_json_put(object, "redline_boost_kPa", snub_json_number(offer->boost / 1e3));
            snub_json_put(object, "redline_rotor_rpm", snub_json_number(offer->rotor_speed * SNUB_RAD_S_TO_RPM));
            snub_json_put(object, "rotor_limit_rpm", snub_json_number(offer->rotor_limit * SNUB_RAD_S_TO_RPM));
            snub_json_put(object, "worst_grip_used", snub_json_number(offer->grip));
        }
        json_array_append_new(list, object);
    }
    return list;
}

static json_t *build_of(const snub_sweep *sweep)
{
    json_t *build = json_object(), *slots = json_object();
    snub_json_put(build, "ribs", json_integer(sweep->drive->belt.ribs));
    snub_json_put(build, "belt_length_mm", snub_json_number(sweep->length * 1e3));
    snub_json_put(build, "designation", json_string(sweep->designation));
    for (int i = 0; i < sweep->pulleys; i++)
        if (sweep->drive->pulleys[i].sits == SNUB_ON_SLOT)
            snub_json_put(slots, sweep->drive->pulleys[i].name, snub_json_number(sweep->settings[i] * 1e3));
    snub_json_put(build, "slots_mm", slots);
    return build;
}

/* The air that the sweep is for, and the factors that bring a dyno's power to standard air. */
static json_t *air_of(const snub_drive *drive)
{
    static const struct {
        snub_correction form;
        const char *key;
    } forms[] = {{SNUB_SAE_J1349, "sae_j1349"},
                 {SNUB_SAE_J1349_EXACT, "sae_j1349_exact"},
                 {SNUB_ISO_1585, "iso_1585"},
                 {SNUB_DIN_70020, "din_70020"}};
    const snub_air *air = &drive->air;
    double mechanical = drive->engine.mechanical > 0 ? drive->engine.mechanical : 0.85, factor;
    json_t *object = json_object(), *factors = json_object(), *outside = json_array();
    snub_json_put(object, "pressure_kPa", snub_json_number(air->pressure / 1e3));
    snub_json_put(object, "temperature_degC", snub_json_number(C(air->temperature)));
    snub_json_put(object, "relative_humidity", snub_json_number(air->humidity));
    snub_json_put(object, "dry_pressure_kPa", snub_json_number(snub_air_dry_pressure(air) / 1e3));
    snub_json_put(object, "density_kg_m3", snub_json_number(snub_air_density(air)));
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
        bool allowed = true;
        if (snub_power_correction(forms[i].form, air, mechanical, &factor, &allowed, NULL) != SNUB_OK)
            continue;
        snub_json_put(factors, forms[i].key, snub_json_number(factor));
        if (!allowed)
            json_array_append_new(outside, json_string(forms[i].key));
    }
    snub_json_put(object, "dyno_power_correction", factors);
    snub_json_put(object, "correction_out_of_its_range", outside);
    return object;
}

json_t *snub_json_sweep(const snub_sweep *sweep, const snub_pulley_offer *offers, int offer_count)
{
    snub_text words = {0};
    json_t *object = json_object();
    snub_json_put(object, "snub", json_integer(1));
    snub_json_put(object, "title", snub_json_words(sweep->drive->title));
    snub_json_put(object, "build", build_of(sweep));
    snub_json_put(object, "blower",
                  sweep->blower >= 0 ? json_string(sweep->drive->pulleys[sweep->blower].name) : json_null());
    snub_json_put(object, "friction_share", snub_json_number(sweep->friction));
    snub_json_put(object, "air", air_of(sweep->drive));
    snub_json_put(object, "ways", ways_of(sweep));
    if (sweep->blower >= 0) {
        snub_crank_power_assumptions(&sweep->drive->engine, &words);
        snub_json_put(object, "assumptions", json_string(words.data ? words.data : ""));
    }
    if (offer_count > 0) {
        snub_text advice = {0};
        snub_sweep_advice(sweep, offers, offer_count, &advice);
        snub_json_put(object, "blower_pulleys", offers_of(offers, offer_count));
        snub_json_put(object, "advice", json_string(advice.data ? advice.data : ""));
        snub_text_free(&advice);
    }
    snub_json_put(object, "findings", snub_json_findings(&sweep->findings));
    snub_text_free(&words);
    if (snub_json_whole(object))
        return object;
    json_decref(object);
    return NULL;
}

/* `snub sweep --json`. */
#include <stdlib.h>

#include "json_words.h"
#include "words.h"

static json_t *flags_of(unsigned flags)
{
    json_t *list = json_array();
    for (unsigned flag = 1; flag <= SNUB_MATCH_TORQUE_TABLE; flag <<= 1)
        if (flags & flag)
            snub_json_append(list, snub_json_words(snub_match_flag_text((snub_match_flag)flag)));
    return list;
}

static void put_match(json_t *object, const snub_sweep_point *point)
{
    const snub_match_result *m = &point->match;
    snub_json_put(object, "boost_kPa", snub_json_number(m->boost / SNUB_KPA));
    snub_json_put(object, "boost_without_slip_kPa", snub_json_number(point->boost_without_slip / SNUB_KPA));
    snub_json_put(object, "pressure_ratio", snub_json_number(m->ratio));
    snub_json_put(object, "blower_rpm", snub_json_number(m->shaft_speed / SNUB_RPM));
    snub_json_put(object, "rotor_rpm", snub_json_number(m->rotor_speed / SNUB_RPM));
    snub_json_put(object, "blower_power_kW", snub_json_number(m->power / SNUB_KW));
    snub_json_put(object, "blower_torque_N_m", snub_json_number(m->torque));
    snub_json_put(object, "outlet_temperature_degC", snub_json_number(m->outlet_temperature - SNUB_ZERO_CELSIUS));
    snub_json_put(object, "charge_temperature_degC", snub_json_number(m->charge_temperature - SNUB_ZERO_CELSIUS));
    snub_json_put(object, "air_flow_kg_s", snub_json_number(m->mass_flow));
    snub_json_put(object, "volumetric_efficiency", snub_json_number(m->volumetric_efficiency));
    snub_json_put(object, "isentropic_efficiency", snub_json_number(m->isentropic_efficiency));
    snub_json_put(object, "internal_pressure_kPa", snub_json_number(m->internal_pressure / SNUB_KPA));
    snub_json_put(object, "cooler_heat_kW", snub_json_number(m->cooler_power / SNUB_KW));
    snub_json_put(object, "estimated_crank_power_kW", snub_json_number(m->crank_power / SNUB_KW));
    snub_json_put(object, "blower_notes", flags_of(m->flags));
}

static json_t *pulley_of(const snub_sweep *sweep, const snub_sweep_pulley *p, int i)
{
    json_t *object = json_object();
    snub_json_put(object, "name", snub_json_words(sweep->drive->pulleys[i].name));
    snub_json_put(object, "rpm", snub_json_number(p->speed / SNUB_RPM));
    snub_json_put(object, "torque_N_m", snub_json_number(p->torque));
    snub_json_put(object, "entry_tension_N", snub_json_number(p->entry));
    snub_json_put(object, "exit_tension_N", snub_json_number(p->exit));
    snub_json_put(object, "grip_used", snub_json_number(p->grip_design));
    snub_json_put(object, "grip_used_limit", snub_json_number(p->grip_limit));
    snub_json_put(object, "hub_load_N", snub_json_number(p->hub));
    snub_json_put(object, "hub_load_deg", snub_json_number(p->hub_angle / SNUB_DEG));
    snub_json_put(object, "slip", snub_json_words(snub_slip_text(p->slip)));
    snub_json_put(object, "slip_pct", snub_json_number(p->slip == SNUB_SLIP_OVERRUN ? NAN : 100 * (1 - p->factor)));
    snub_json_put(object, "slip_speed_m_s", snub_json_number(p->slip_speed));
    snub_json_put(object, "slip_heat_kW", snub_json_number(p->heat / SNUB_KW));
    return object;
}

static json_t *point_of(const snub_sweep *sweep, int way, int k)
{
    const snub_sweep_point *point = &sweep->point[way][k];
    json_t *object = json_object(), *pulleys = json_array();
    snub_json_put(object, "engine_rpm", snub_json_number(sweep->speed[k] / SNUB_RPM));
    if (sweep->blower >= 0)
        put_match(object, point);
    if (!point->solved)
        snub_json_put(object, "no_equilibrium", snub_json_words(point->why));
    if (point->solved) {
        snub_json_put(object, "belt_speed_m_s", snub_json_number(point->belt_speed));
        snub_json_put(object, "arm_wind_deg", snub_json_number(point->wind / SNUB_DEG));
        snub_json_put(object, "arm_band_deg", snub_json_pair(point->wind_low / SNUB_DEG, point->wind_high / SNUB_DEG));
        snub_json_put(object, "belt_power_kW", snub_json_number(point->power / SNUB_KW));
        snub_json_put(object, "slip_heat_kW", snub_json_number(point->heat / SNUB_KW));
        for (int i = 0; i < sweep->pulleys; i++)
            snub_json_append(pulleys, pulley_of(sweep, &sweep->pulley[way][k * sweep->pulleys + i], i));
    }
    snub_json_put(object, "pulleys", pulleys);
    return object;
}

static json_t *ways_of(const snub_sweep *sweep)
{
    json_t *ways = json_object();
    for (int way = 0; way < SNUB_WAYS; way++) {
        if (!sweep->ran[way])
            continue;
        json_t *object = json_object(), *points = json_array();
        snub_json_put(object, "throttle", snub_json_words(snub_throttle_text(snub_way_throttle((snub_way)way))));
        snub_json_put(object, "rate_rpm_s", snub_json_number(sweep->rate[way] / SNUB_RPM));
        for (int k = 0; k < sweep->speeds; k++)
            snub_json_append(points, point_of(sweep, way, k));
        snub_json_put(object, "points", points);
        snub_json_put(ways, snub_way_text((snub_way)way), object);
    }
    return ways;
}

static void put_slip(json_t *object, const snub_drive *drive, const snub_offer_slip *slip, const char *from,
                     const char *when, const char *at)
{
    const bool slips = isfinite(slip->onset);
    snub_json_put(object, from, snub_json_number(slip->onset / SNUB_RPM));
    snub_json_put(object, when, slips ? snub_json_words(snub_way_text(slip->way)) : json_null());
    snub_json_put(object, at, slips ? snub_json_words(drive->pulleys[slip->pulley].name) : json_null());
}

json_t *snub_json_offer(const snub_pulley_offer *offer)
{
    const snub_build *build = offer->build;
    json_t *object = json_object();
    snub_json_put(object, "value", snub_json_words(offer->value));
    if (build == NULL) {
        snub_json_put(object, offer->excluded ? "why" : "wrong", snub_json_words(offer->why));
        return object;
    }
    snub_json_put(object, "verdict", snub_json_verdict(build));
    snub_json_put(object, "designation", snub_json_words(build->designation));
    snub_json_put(object, "belt_length_mm", snub_json_number(build->length / SNUB_MM));
    snub_json_put(object, "slots_mm", snub_json_slots(build, build->settings));
    if (!offer->swept)
        return object;
    put_slip(object, build->drive, &offer->slip, "slips_from_rpm", "slips_when", "slips_at");
    put_slip(object, build->drive, &offer->wet, "wet_slips_from_rpm", "wet_slips_when", "wet_slips_at");
    snub_json_put(object, "redline_boost_kPa", snub_json_number(offer->boost / SNUB_KPA));
    snub_json_put(object, "redline_rotor_rpm", snub_json_number(offer->rotor_speed / SNUB_RPM));
    snub_json_put(object, "rotor_limit_rpm", snub_json_number(offer->rotor_limit / SNUB_RPM));
    snub_json_put(object, "worst_grip_used", snub_json_number(offer->grip));
    return object;
}

static json_t *offers_of(const snub_pulley_offer *offers, int count)
{
    json_t *list = json_array();
    for (int i = 0; i < count; i++)
        snub_json_append(list, snub_json_offer(&offers[i]));
    return list;
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
    snub_json_put(object, "pressure_kPa", snub_json_number(air->pressure / SNUB_KPA));
    snub_json_put(object, "temperature_degC", snub_json_number(air->temperature - SNUB_ZERO_CELSIUS));
    snub_json_put(object, "relative_humidity", snub_json_number(air->humidity));
    snub_json_put(object, "dry_pressure_kPa", snub_json_number(snub_air_dry_pressure(air) / 1e3));
    snub_json_put(object, "density_kg_m3", snub_json_number(snub_air_density(air)));
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
        bool allowed = true;
        if (snub_power_correction(forms[i].form, air, mechanical, &factor, &allowed, NULL) != SNUB_OK)
            continue;
        snub_json_put(factors, forms[i].key, snub_json_number(factor));
        if (!allowed)
            snub_json_append(outside, snub_json_words(forms[i].key));
    }
    snub_json_put(object, "dyno_power_correction", factors);
    snub_json_put(object, "correction_out_of_its_range", outside);
    return object;
}

static json_t *slips_of(const snub_sweep *sweep, const snub_locale *locale)
{
    json_t *list = json_array();
    for (int i = 0; i < sweep->pulleys; i++) {
        snub_text words = {0};
        snub_slip_words(sweep, i, locale, &words);
        if (words.length > 0) {
            json_t *object = json_object();
            snub_json_put(object, "pulley", snub_json_words(sweep->drive->pulleys[i].name));
            snub_json_put(object, "text", snub_json_grown(&words));
            snub_json_append(list, object);
        } else if (words.failed) {
            snub_json_lose();
        }
    }
    return list;
}

static void put_offers(json_t *object, const snub_sweep *sweep, const snub_pulley_offer *offers, int count,
                       const snub_locale *locale)
{
    snub_text advice = {0};
    if (count == 0)
        return;
    snub_offers_words(sweep, offers, count, locale, &advice);
    snub_json_put(object, "blower_pulleys", offers_of(offers, count));
    snub_json_put(object, "advice", snub_json_grown(&advice));
}

json_t *snub_json_sweep(const snub_sweep *sweep, const snub_pulley_offer *offers, int offer_count,
                        const snub_locale *locale)
{
    const snub_build *build = sweep->build;
    snub_text words = {0};
    json_t *object = json_object();
    snub_json_put(object, "snub", json_integer(1));
    snub_json_put(object, "title", snub_json_words(sweep->drive->title));
    snub_json_put_verdict(object, build);
    snub_json_put(object, "build", snub_json_build(build));
    snub_json_put(object, "blower",
                  sweep->blower >= 0 ? snub_json_words(sweep->drive->pulleys[sweep->blower].name) : json_null());
    snub_json_put(object, "friction_share", snub_json_number(sweep->friction));
    snub_json_put(object, "air", air_of(sweep->drive));
    snub_json_put(object, "ways", ways_of(sweep));
    snub_json_put(object, "slips", slips_of(sweep, locale));
    if (sweep->blower >= 0) {
        snub_crank_power_assumptions(&sweep->drive->engine, locale, &words);
        snub_blower_assumptions(&sweep->drive->pulleys[sweep->blower].blower, locale, &words);
        snub_json_put(object, "assumptions", snub_json_grown(&words));
    }
    put_offers(object, sweep, offers, offer_count, locale);
    snub_json_put(object, "findings", snub_json_findings(&build->findings, locale));
    return snub_json_whole(object);
}

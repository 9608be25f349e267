/* `snub chart --json`. */
#include <string.h>

#include "chart_shown.h"
#include "json_words.h"

bool snub_chart_shows(const snub_chart *chart, const snub_drive *drive, int i)
{
    if (drive->pulleys[i].has_blower)
        return true;
    const size_t length = strlen(drive->pulleys[i].name);
    for (int o = 0; o < chart->option_count; o++) {
        const char *path = chart->options[o].path;
        if (strncmp(path, drive->pulleys[i].name, length) == 0 &&
            (strcmp(path + length, ".diameter") == 0 || strcmp(path + length, ".part") == 0))
            return true;
    }
    return false;
}

static json_t *choice_of(const snub_build *build, const snub_choice *choice)
{
    char designation[32];
    json_t *object = json_object(), *slots = json_object();
    snub_designation(&build->drive->belt, choice->length, designation);
    snub_json_put(object, "designation", json_string(designation));
    snub_json_put(object, "belt_length_mm", snub_json_number(choice->length * 1e3));
    for (int i = 0; i < build->drive->pulley_count; i++) {
        if (build->drive->pulleys[i].sits == SNUB_ON_SLOT)
            snub_json_put(slots, build->drive->pulleys[i].name, snub_json_number(choice->settings[i] * 1e3));
    }
    snub_json_put(object, "slots_mm", slots);
    snub_json_put(object, "grip_used", snub_json_number(choice->grip));
    snub_json_put(object, "gap_mm", snub_json_number(choice->gap * 1e3));
    snub_json_put(object, "arm_wind_deg",
                  snub_json_pair(choice->wind_rest * SNUB_RAD_TO_DEG, choice->wind_redline * SNUB_RAD_TO_DEG));
    return object;
}

static void put_pulleys(const snub_chart *chart, const snub_build *build, json_t *object)
{
    json_t *diameters = json_object(), *wraps = json_object(), *gains = json_object(), *slots = json_object();
    for (int i = 0; i < build->drive->pulley_count; i++) {
        const snub_pulley *pulley = &build->drive->pulleys[i];
        if (pulley->sits == SNUB_ON_SLOT && build->has_check)
            snub_json_put(slots, pulley->name, snub_json_number(build->check.settings[i] * 1e3));
        if (!snub_chart_shows(chart, build->drive, i))
            continue;
        snub_json_put(diameters, pulley->name, snub_json_number(pulley->nominal_diameter * 1e3));
        if (!build->has_check)
            continue;
        snub_json_put(wraps, pulley->name, snub_json_number(build->check.rest.path.wrap[i] * SNUB_RAD_TO_DEG));
        if (pulley->has_blower && !isnan(build->wrap_gain))
            snub_json_put(gains, pulley->name, snub_json_number(build->wrap_gain * 100.0));
    }
    snub_json_put(object, "diameters_mm", diameters);
    snub_json_put(object, "slots_mm", slots);
    snub_json_put(object, "wrap_deg", wraps);
    snub_json_put(object, "wrap_gain_pct", gains);
}

static json_t *options_of(const snub_chart *chart, const snub_build *build)
{
    json_t *object = json_object();
    for (int o = 0; o < chart->option_count; o++)
        snub_json_put(object, chart->options[o].path, json_string(build->values[o]));
    return object;
}

/* At redline, steady, throttle open. Null without a blower. */
static json_t *blower_of(const snub_build *build)
{
    const snub_air_summary *air = &build->air;
    if (!build->has_check || isnan(air->power))
        return json_null();
    json_t *object = json_object();
    snub_json_put(object, "boost_kPa", snub_json_number(air->boost * 1e-3));
    snub_json_put(object, "pulley_rpm", snub_json_number(air->shaft_speed * SNUB_RAD_S_TO_RPM));
    snub_json_put(object, "rotor_rpm", snub_json_number(air->rotor_speed * SNUB_RAD_S_TO_RPM));
    snub_json_put(object, "drive_power_kW", snub_json_number(air->power * 1e-3));
    snub_json_put(object, "torque_N_m", snub_json_number(air->torque));
    snub_json_put(object, "belt_force_N", snub_json_number(air->belt_force));
    snub_json_put(object, "outlet_degC", snub_json_number(air->outlet - 273.15));
    snub_json_put(object, "charge_degC", snub_json_number(air->charge - 273.15));
    snub_json_put(object, "air_kg_s", snub_json_number(air->mass_flow));
    snub_json_put(object, "slip_onset_rpm", snub_json_number(air->slip_onset * SNUB_RAD_S_TO_RPM));
    return object;
}

static json_t *hardware_of(const snub_build *build)
{
    const snub_hardware_summary *sum = &build->hardware;
    if (!build->has_check || !sum->given)
        return json_null();
    json_t *object = json_object();
    snub_json_put(object, "bearing_life_h", snub_json_number(sum->bearing_life / 3600.0));
    snub_json_put(object, "bolt_slip_used", snub_json_number(sum->bolt_slip));
    snub_json_put(object, "bolt_margin", snub_json_number(sum->bolt_margin));
    snub_json_put(object, "entry_angle_deg", snub_json_number(sum->entry_angle * SNUB_RAD_TO_DEG));
    snub_json_put(object, "conflicts", json_integer(sum->conflicts));
    return object;
}

static json_t *build_of(const snub_chart *chart, const snub_build *build)
{
    const snub_check *check = build->has_check ? &build->check : NULL;
    const bool chosen = build->choices.count > 0;
    json_t *object = json_object();
    snub_json_put(object, "variant", json_string(build->variant));
    snub_json_put(object, "options", options_of(chart, build));
    snub_json_put(object, "ribs", json_integer(build->drive->belt.ribs));
    put_pulleys(chart, build, object);
    snub_json_put(object, "belt_length_mm",
                  chosen ? snub_json_number(build->choices.choice[0].length * 1e3) : json_null());
    snub_json_put(object, "designation", check != NULL ? json_string(check->designation) : json_null());
    snub_json_put(object, "arm_wind_deg",
                  check != NULL && build->drive->arm >= 0
                      ? snub_json_pair(build->choices.choice[0].wind_rest * SNUB_RAD_TO_DEG,
                                       build->choices.choice[0].wind_redline * SNUB_RAD_TO_DEG)
                      : json_null());
    snub_json_put(object, "grip_used", snub_json_number(check != NULL ? check->worst_grip : NAN));
    snub_json_put(object, "grip_at_rpm",
                  snub_json_number(check != NULL ? check->worst_grip_speed * SNUB_RAD_S_TO_RPM : NAN));
    snub_json_put(object, "gap_mm", snub_json_number(check != NULL ? check->tightest_gap * 1e3 : NAN));
    snub_json_put(object, "blower", blower_of(build));
    snub_json_put(object, "hardware", hardware_of(build));
    snub_json_put(object, "runner_up",
                  build->choices.count > 1 ? choice_of(build, &build->choices.choice[1]) : json_null());
    snub_json_put(object, "wanted_length_mm",
                  snub_json_pair(build->choices.wanted_length[0] * 1e3, build->choices.wanted_length[1] * 1e3));
    snub_json_put(object, "verdict", json_string(snub_level_text(build->verdict)));
    snub_json_put(object, "findings", snub_json_findings(&build->findings));
    return object;
}

static json_t *belts_of(const snub_belt_use *belts, int count)
{
    json_t *list = json_array();
    for (int b = 0; b < count; b++) {
        json_t *object = json_object();
        snub_json_put(object, "designation", json_string(belts[b].designation));
        snub_json_put(object, "builds", json_integer(belts[b].count));
        json_array_append_new(list, object);
    }
    return list;
}

json_t *snub_json_chart(const snub_chart *chart)
{
    json_t *root = json_object(), *builds = json_array();
    snub_json_put(root, "snub", json_integer(1));
    snub_json_put(root, "title", json_string(chart->title != NULL ? chart->title : ""));
    for (int i = 0; i < chart->build_count; i++) {
        json_t *build = build_of(chart, &chart->builds[i]);
        if (build != NULL && !snub_json_whole(build))
            snub_json_put(root, SNUB_JSON_BROKEN, json_true());
        json_array_append_new(builds, build);
    }
    snub_json_put(root, "builds", builds);
    snub_json_put(root, "belts", belts_of(chart->belts, chart->belt_count));
    json_t *fewest = json_object();
    snub_json_put(fewest, "belts", belts_of(chart->fewest, chart->fewest_count));
    snub_json_put(fewest, "exact", json_boolean(chart->fewest_exact));
    snub_json_put(root, "fewest_belts", fewest);
    if (!snub_json_whole(root)) {
        json_decref(root);
        return NULL;
    }
    return root;
}

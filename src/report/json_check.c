/* `snub check --json`. */
#include "json_words.h"

static json_t *build_of(const snub_check *check)
{
    json_t *build = json_object();
    snub_json_put(build, "ribs", json_integer(check->drive->belt.ribs));
    snub_json_put(build, "belt_length_mm", snub_json_number(check->length * 1e3));
    snub_json_put(build, "designation", json_string(check->designation));
    snub_json_put(build, "belt_chosen_by_snub", json_boolean(check->length_chosen));
    json_t *slots = json_object();
    for (int i = 0; i < check->drive->pulley_count; i++) {
        if (check->drive->pulleys[i].sits == SNUB_ON_SLOT)
            snub_json_put(slots, check->drive->pulleys[i].name, snub_json_number(check->settings[i] * 1e3));
    }
    snub_json_put(build, "slots_mm", slots);
    return build;
}

static const char *arm_words(snub_arm_state state)
{
    static const char *const words[] = {"none", "free", "at rest", "at stop"};
    return words[state];
}

static json_t *arm_of(const snub_check *check)
{
    if (check->drive->arm < 0 || !check->laid)
        return json_null();
    const snub_arm *arm = &check->drive->pulleys[check->drive->arm].arm;
    const snub_equilibrium *e = &check->balance.equilibrium;
    json_t *object = json_object();
    snub_json_put(object, "wind_deg", snub_json_number(e->wind * SNUB_RAD_TO_DEG));
    snub_json_put(object, "moment_N_m", snub_json_number(check->balance.spring_moment));
    snub_json_put(object, "room_to_rest_deg", snub_json_number(e->wind * SNUB_RAD_TO_DEG));
    snub_json_put(object, "room_to_stop_deg", snub_json_number((arm->travel - e->wind) * SNUB_RAD_TO_DEG));
    snub_json_put(object, "state", json_string(arm_words(e->arm)));
    snub_json_put(object, "friction_band_deg",
                  snub_json_pair(check->wind_band[0] * SNUB_RAD_TO_DEG, check->wind_band[1] * SNUB_RAD_TO_DEG));
    snub_json_put(object, "wind_at_rest_deg", snub_json_number(check->rest.equilibrium.wind * SNUB_RAD_TO_DEG));
    snub_json_put(object, "equilibria", json_integer(e->equilibria));
    return object;
}

static json_t *pulley_of(const snub_check *check, int i)
{
    const snub_pulley *pulley = &check->drive->pulleys[i];
    const snub_pulley_state *state = &check->balance.pulley[i];
    const double *centre = check->balance.path.centre[i];
    json_t *object = json_object();
    snub_json_put(object, "name", json_string(pulley->name));
    snub_json_put(object, "turns", json_string(check->balance.path.radius[i] > 0.0 ? "cw" : "ccw"));
    snub_json_put(object, "side", json_string(pulley->side == SNUB_RIB ? "rib" : "back"));
    snub_json_put(object, "centre_mm", snub_json_pair(centre[0] * 1e3, centre[1] * 1e3));
    snub_json_put(object, "pitch_radius_mm", snub_json_number(pulley->pitch_radius * 1e3));
    snub_json_put(object, "wrap_deg", snub_json_number(state->wrap * SNUB_RAD_TO_DEG));
    snub_json_put(object, "rpm", snub_json_number(state->speed * SNUB_RAD_S_TO_RPM));
    snub_json_put(object, "creep_pct", snub_json_number(state->creep * 100.0));
    snub_json_put(object, "torque_N_m", snub_json_number(state->torque));
    snub_json_put(object, "entry_tension_N", snub_json_number(state->entry));
    snub_json_put(object, "exit_tension_N", snub_json_number(state->exit));
    snub_json_put(object, "grip_used", snub_json_number(state->grip_design));
    snub_json_put(object, "grip_used_limit", snub_json_number(state->grip_limit));
    snub_json_put(object, "grip_used_wet", snub_json_number(state->grip_wet));
    snub_json_put(object, "slack", json_boolean(state->slack));
    snub_json_put(object, "hub_load_N", snub_json_number(hypot(state->hub[0], state->hub[1])));
    snub_json_put(object, "hub_load_deg", snub_json_number(atan2(state->hub[1], state->hub[0]) * SNUB_RAD_TO_DEG));
    return object;
}

static json_t *span_of(const snub_check *check, int i)
{
    const snub_pulley *pulleys = check->drive->pulleys;
    json_t *object = json_object();
    snub_json_put(object, "from", json_string(pulleys[i].name));
    snub_json_put(object, "to", json_string(pulleys[(i + 1) % check->drive->pulley_count].name));
    snub_json_put(object, "length_mm", snub_json_number(check->balance.path.span[i] * 1e3));
    snub_json_put(object, "tension_N", snub_json_number(check->balance.span_tension[i]));
    snub_json_put(object, "frequency_Hz", snub_json_number(check->balance.span_frequency[i]));
    return object;
}

static json_t *belt_of(const snub_check *check)
{
    const snub_equilibrium *e = &check->balance.equilibrium;
    json_t *belt = json_object();
    snub_json_put(belt, "speed_m_s", check->laid ? snub_json_number(e->belt_speed) : json_null());
    snub_json_put(belt, "path_length_mm",
                  check->laid ? snub_json_number(check->balance.path.length * 1e3) : json_null());
    snub_json_put(belt, "centrifugal_tension_N", check->laid ? snub_json_number(e->centrifugal) : json_null());
    snub_json_put(belt, "stretch_counted", json_string("spans and arcs"));
    return belt;
}

json_t *snub_json_check(const snub_check *check)
{
    json_t *root = json_object(), *pulleys = json_array(), *spans = json_array();
    snub_json_put(root, "snub", json_integer(1));
    snub_json_put(root, "title", json_string(check->drive->title != NULL ? check->drive->title : ""));
    snub_json_put(root, "verdict", json_string(snub_level_text(snub_findings_verdict(&check->findings))));
    snub_json_put(root, "build", build_of(check));
    json_t *state = json_object();
    snub_json_put(state, "engine_rpm", snub_json_number(check->engine_speed * SNUB_RAD_S_TO_RPM));
    snub_json_put(state, "rate_rpm_s", snub_json_number(check->rate * SNUB_RAD_S_TO_RPM));
    snub_json_put(root, "state", state);
    snub_json_put(root, "belt", belt_of(check));
    snub_json_put(root, "arm", arm_of(check));
    for (int i = 0; check->laid && i < check->drive->pulley_count; i++) {
        json_array_append_new(pulleys, pulley_of(check, i));
        json_array_append_new(spans, span_of(check, i));
    }
    snub_json_put(root, "pulleys", pulleys);
    snub_json_put(root, "spans", spans);
    snub_json_put(root, "worst_grip_used", snub_json_number(check->laid ? check->worst_grip : NAN));
    snub_json_put(root, "worst_grip_at_rpm",
                  snub_json_number(check->laid ? check->worst_grip_speed * SNUB_RAD_S_TO_RPM : NAN));
    snub_json_put(root, "slip_onset_rpm", snub_json_number(check->laid ? check->slip_onset * SNUB_RAD_S_TO_RPM : NAN));
    snub_json_put(root, "tightest_gap_mm", snub_json_number(check->tightest_gap * 1e3));
    snub_json_put(root, "findings", snub_json_findings(&check->findings));
    if (!snub_json_whole(root)) {
        json_decref(root);
        return NULL;
    }
    return root;
}

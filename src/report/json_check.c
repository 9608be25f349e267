/* `snub check --json`. */
#include "json_words.h"
#include "snub/steps.h"
#include "words.h"

/* @param[in] slots  of the choice; taken over */
static json_t *choice_of(const snub_belt *belt, const snub_choice *choice, json_t *slots)
{
    char designation[32];
    json_t *object = json_object();
    snub_designation(belt, choice->length, designation);
    snub_json_put(object, "designation", snub_json_words(designation));
    snub_json_put(object, "part", snub_json_words(choice->part));
    snub_json_put(object, "belt_length_mm", snub_json_number(choice->length / SNUB_MM));
    snub_json_put(object, "slots_mm", slots);
    snub_json_put(object, "verdict", choice->judged ? snub_json_words(snub_level_text(choice->verdict)) : json_null());
    snub_json_put(object, "grip_used", snub_json_number(choice->grip));
    snub_json_put(object, "gap_mm", snub_json_number(choice->gap / SNUB_MM));
    snub_json_put(object, "arm_wind_deg",
                  snub_json_pair(choice->wind_rest / SNUB_DEG, choice->wind_redline / SNUB_DEG));
    return object;
}

json_t *snub_json_runner_up(const snub_build *build)
{
    const snub_choice *second = &build->choices.choice[1];
    return build->choices.count > 1 ? choice_of(&build->drive->belt, second, snub_json_slots(build, second->settings))
                                    : json_null();
}

json_t *snub_json_charted_runner_up(const snub_charted *build)
{
    const snub_choice *second = build->second;
    if (second == NULL)
        return json_null();
    json_t *slots = json_object();
    for (int i = 0; i < build->pulley_count; i++) {
        if (build->pulleys[i].sits == SNUB_ON_SLOT && build->settled && isfinite(second->settings[i]))
            snub_json_put(slots, build->pulleys[i].name, snub_json_number(second->settings[i] / SNUB_MM));
    }
    return choice_of(&(snub_belt){.section = build->section, .ribs = build->ribs}, second, slots);
}

json_t *snub_json_slots(const snub_build *build, const double *settings)
{
    json_t *slots = json_object();
    for (int i = 0; i < build->drive->pulley_count; i++) {
        if (build->drive->pulleys[i].sits == SNUB_ON_SLOT && build->settled && isfinite(settings[i]))
            snub_json_put(slots, build->drive->pulleys[i].name, snub_json_number(settings[i] / SNUB_MM));
    }
    return slots;
}

json_t *snub_json_why(bool settled, snub_why why, int offered, int usable)
{
    static const char *const whys[] = {[SNUB_WHY_WRITTEN] = "written in the file",
                                       [SNUB_WHY_ONLY] = "only one that fits",
                                       [SNUB_WHY_VERDICT] = "best verdict",
                                       [SNUB_WHY_GRIP] = "best by the search",
                                       [SNUB_WHY_SALE] = "best of those that can be bought",
                                       [SNUB_WHY_SETTING] = "belt written, setting chosen",
                                       [SNUB_WHY_NEAREST] = "comes nearest"};
    _Static_assert(sizeof whys / sizeof *whys == SNUB_WHYS_, "each reason has its words");
    json_t *object = json_object();
    snub_json_put(object, "because", settled ? snub_json_words(whys[why]) : json_null());
    snub_json_put(object, "on_offer", json_integer(offered));
    snub_json_put(object, "that_fit", json_integer(usable));
    return object;
}

json_t *snub_json_row(const snub_row *row)
{
    json_t *object = json_object(), *options = json_object(), *sets = json_array();
    snub_json_put(object, "code", snub_json_words(row->code));
    snub_json_put(object, "variant", snub_json_words(row->variant != NULL ? row->variant : ""));
    snub_json_put(object, "package", snub_json_words(row->package != NULL ? row->package : ""));
    for (int o = 0; o < row->option_count; o++)
        snub_json_put(options, row->options[o].path, snub_json_words(row->values[o]));
    snub_json_put(object, "options", options);
    for (int i = row->overlay_count - row->set_count; i < row->overlay_count; i++)
        snub_json_append(sets, snub_json_words(row->overlays[i].path));
    snub_json_put(object, "set", sets);
    return object;
}

json_t *snub_json_build(const snub_build *b)
{
    json_t *build = json_object();
    char fingerprint[65];
    snub_drive_digest(b->drive, fingerprint);
    snub_json_put(build, "fingerprint", snub_json_words(fingerprint));
    snub_json_put(build, "ribs", json_integer(b->drive->belt.ribs));
    snub_json_put(build, "belt_length_mm", snub_json_number(b->length / SNUB_MM));
    snub_json_put(build, "designation", snub_json_words(b->settled ? b->designation : NULL));
    snub_json_put(build, "part", snub_json_words(b->part));
    snub_json_put(build, "own_number", snub_json_words(b->own_number));
    snub_json_put(build, "belt_chosen_by_snub", json_boolean(b->settled && b->length_chosen));
    snub_json_put(build, "slots_mm", snub_json_slots(b, b->settings));
    snub_json_put(build, "row", snub_json_row(&b->row));
    snub_json_put(build, "why", snub_json_why(b->settled, b->choices.why, b->choices.offered, b->choices.usable));
    snub_json_put(build, "runner_up", snub_json_runner_up(b));
    return build;
}

static const char *arm_words(snub_arm_state state)
{
    static const char *const words[] = {"none", "working", "at free position", "at stop"};
    return words[state];
}

static json_t *arm_of(const snub_build *build, const snub_state *state)
{
    if (build->drive->arm < 0 || !state->solved)
        return json_null();
    const snub_arm *arm = &build->drive->pulleys[build->drive->arm].arm;
    const snub_equilibrium *e = &state->balance.equilibrium;
    json_t *object = json_object();
    snub_json_put(object, "wind_deg", snub_json_number(e->wind / SNUB_DEG));
    snub_json_put(object, "moment_N_m", snub_json_number(state->balance.spring_moment));
    snub_json_put(object, "room_to_rest_deg", snub_json_number(e->wind / SNUB_DEG));
    snub_json_put(object, "room_to_stop_deg", snub_json_number((arm->travel - e->wind) / SNUB_DEG));
    snub_json_put(object, "state", snub_json_words(arm_words(e->arm)));
    snub_json_put(object, "friction_band_deg",
                  snub_json_pair(state->wind_band[0] / SNUB_DEG, state->wind_band[1] / SNUB_DEG));
    snub_json_put(object, "wind_at_rest_deg", snub_json_number(build->wind_rest / SNUB_DEG));
    snub_json_put(object, "equilibria", json_integer(e->equilibria));
    return object;
}

/* A fixed tensioner's tension: as set, how it fades, when it is set again; null without one. */
static json_t *fixed_tension_of(const snub_build *build)
{
    snub_retension r;
    snub_expectation e;
    snub_retension_find(build, &r);
    if (!r.given)
        return json_null();
    snub_expect(build, &e);
    if (!e.known || e.span < 0)
        return json_null();
    const snub_drive *drive = build->drive;
    json_t *object = json_object(), *span = json_array();
    snub_json_append(span, snub_json_words(drive->pulleys[e.span].name));
    snub_json_append(span, snub_json_words(drive->pulleys[(e.span + 1) % drive->pulley_count].name));
    snub_json_put(object, "set_N", snub_json_number(r.set));
    snub_json_put(object, "warm_N", snub_json_number(r.warm));
    snub_json_put(object, "worn_N", snub_json_number(r.worn));
    snub_json_put(object, "again_N", snub_json_number(r.again));
    snub_json_put(object, "pluck", span);
    snub_json_put(object, "set_Hz", snub_json_number(e.frequency[1]));
    snub_json_put(object, "again_Hz",
                  snub_json_number(isnan(r.again) ? (double)NAN : snub_expected_frequency(&e, r.again)));
    return object;
}

static json_t *pulley_of(const snub_build *build, const snub_state *now, int i)
{
    const snub_pulley *pulley = &build->drive->pulleys[i];
    const snub_pulley_state *state = &now->balance.pulley[i];
    const double *centre = now->balance.path.centre[i];
    json_t *object = json_object();
    snub_json_put(object, "name", snub_json_words(pulley->name));
    snub_json_put(object, "turns", snub_json_words(now->balance.path.radius[i] > 0.0 ? "cw" : "ccw"));
    snub_json_put(object, "side", snub_json_words(pulley->side == SNUB_RIB ? "rib" : "back"));
    snub_json_put(object, "centre_mm", snub_json_pair(centre[0] / SNUB_MM, centre[1] / SNUB_MM));
    snub_json_put(object, "pitch_radius_mm", snub_json_number(pulley->pitch_radius / SNUB_MM));
    snub_json_put(object, "wrap_deg", snub_json_number(state->wrap / SNUB_DEG));
    snub_json_put(object, "rpm", snub_json_number(state->speed / SNUB_RPM));
    snub_json_put(object, "creep_pct", snub_json_number(state->creep / SNUB_PERCENT));
    snub_json_put(object, "torque_N_m", snub_json_number(state->torque));
    snub_json_put(object, "entry_tension_N", snub_json_number(state->entry));
    snub_json_put(object, "exit_tension_N", snub_json_number(state->exit));
    snub_json_put(object, "grip_used", snub_json_number(state->grip_design));
    snub_json_put(object, "grip_used_limit", snub_json_number(state->grip_limit));
    snub_json_put(object, "grip_used_wet", snub_json_number(state->grip_wet));
    snub_json_put(object, "slack", json_boolean(state->slack));
    snub_json_put(object, "hub_load_N", snub_json_number(hypot(state->hub[0], state->hub[1])));
    snub_json_put(object, "hub_load_deg", snub_json_number(atan2(state->hub[1], state->hub[0]) / SNUB_DEG));
    return object;
}

static json_t *span_of(const snub_build *build, const snub_state *now, int i)
{
    const snub_pulley *pulleys = build->drive->pulleys;
    json_t *object = json_object();
    snub_json_put(object, "from", snub_json_words(pulleys[i].name));
    snub_json_put(object, "to", snub_json_words(pulleys[(i + 1) % build->drive->pulley_count].name));
    snub_json_put(object, "length_mm", snub_json_number(now->balance.path.span[i] / SNUB_MM));
    snub_json_put(object, "tension_N", snub_json_number(now->balance.span_tension[i]));
    snub_json_put(object, "frequency_Hz", snub_json_number(now->balance.span_frequency[i]));
    return object;
}

static json_t *belt_of(const snub_state *state)
{
    const snub_equilibrium *e = &state->balance.equilibrium;
    json_t *belt = json_object();
    snub_json_put(belt, "speed_m_s", state->solved ? snub_json_number(e->belt_speed) : json_null());
    snub_json_put(belt, "path_length_mm",
                  state->solved ? snub_json_number(state->balance.path.length / SNUB_MM) : json_null());
    snub_json_put(belt, "centrifugal_tension_N", state->solved ? snub_json_number(e->centrifugal) : json_null());
    snub_json_put(belt, "stretch_counted", snub_json_words("spans and arcs"));
    return belt;
}

json_t *snub_json_verdict(const snub_build *build)
{
    return build->judged ? snub_json_words(snub_level_text(build->verdict)) : json_null();
}

void snub_json_put_verdict(json_t *object, const snub_build *build)
{
    snub_json_put(object, "verdict", snub_json_verdict(build));
    snub_json_put(object, "not_judged", snub_json_unjudged(&build, 1, NULL));
}

json_t *snub_json_no_balance(const snub_build *build, const snub_finding *why, const snub_locale *locale)
{
    snub_text words = {0};
    if (build->settled && why->level != SNUB_PASS)
        snub_finding_sentence(why, locale, &words);
    if (words.length == 0)
        snub_text_puts(&words, "The belt cannot be laid.");
    return snub_json_grown(&words);
}

static json_t *state_words(const snub_build *build, const snub_state *now)
{
    snub_text words = {0};
    snub_state_words(build->drive, now, &words);
    return snub_json_grown(&words);
}

/* At redline, as the chart has it under the same keys. */
static json_t *blower_of(const snub_build *build)
{
    const snub_air_summary *air = &build->air;
    const int blower = snub_first_blower(build->drive);
    if (blower < 0 || !build->judged || isnan(air->power))
        return json_null();
    json_t *object = json_object();
    snub_json_put(object, "name", snub_json_words(build->drive->pulleys[blower].name));
    snub_json_put(object, "boost_kPa", snub_json_number(air->boost / SNUB_KPA));
    snub_json_put(object, "pulley_rpm", snub_json_number(air->shaft_speed / SNUB_RPM));
    snub_json_put(object, "rotor_rpm", snub_json_number(air->rotor_speed / SNUB_RPM));
    return object;
}

json_t *snub_json_frame(const snub_build *build, const snub_state *now, const snub_locale *locale)
{
    json_t *root = json_object(), *pulleys = json_array(), *spans = json_array();
    const bool whole = build->laid && build->judged;
    snub_json_put(root, "snub", json_integer(1));
    snub_json_put(root, "title", snub_json_words(build->drive->title != NULL ? build->drive->title : ""));
    snub_json_put(root, "kit_number", snub_json_words(build->drive->kit_number));
    snub_json_put_verdict(root, build);
    snub_json_put(root, "build", snub_json_build(build));
    json_t *state = json_object();
    snub_json_put(state, "engine_rpm", snub_json_number(now->engine_speed / SNUB_RPM));
    snub_json_put(state, "rate_rpm_s", snub_json_number(now->rate / SNUB_RPM));
    snub_json_put_case(state, &now->wanted);
    snub_json_put_number(state, "fixed_tensioner_mm", now->fixed_setting / SNUB_MM);
    snub_json_put(state, "words", state_words(build, now));
    snub_json_put(state, "no_equilibrium", now->solved ? json_null() : snub_json_no_balance(build, &now->why, locale));
    snub_json_put(root, "state", state);
    snub_json_put(root, "belt", belt_of(now));
    snub_json_put(root, "arm", arm_of(build, now));
    snub_json_put(root, "blower", blower_of(build));
    snub_json_put(root, "fixed_tension", fixed_tension_of(build));
    for (int i = 0; now->solved && i < build->drive->pulley_count; i++) {
        snub_json_append(pulleys, pulley_of(build, now, i));
        snub_json_append(spans, span_of(build, now, i));
    }
    snub_json_put(root, "pulleys", pulleys);
    snub_json_put(root, "spans", spans);
    snub_json_put(root, "worst_grip_used", snub_json_number(whole ? build->worst_grip : NAN));
    snub_json_put(root, "worst_grip_at_rpm", snub_json_number(whole ? build->worst_grip_speed / SNUB_RPM : NAN));
    snub_json_put(root, "slip_onset_rpm", snub_json_number(whole ? build->slip_onset / SNUB_RPM : NAN));
    snub_json_put(root, "tightest_gap_mm", snub_json_number(whole ? build->tightest_gap / SNUB_MM : NAN));
    snub_json_put(root, "hub_loads", snub_json_hubs(build));
    snub_json_put(root, "crank_nose", snub_json_nose(build));
    snub_json_put(root, "findings", snub_json_findings(&build->findings, locale));
    return snub_json_whole(root);
}

json_t *snub_json_check(const snub_build *build, const snub_state *now, const snub_locale *locale)
{
    json_t *root = snub_json_frame(build, now, locale);
    snub_json_put(root, "contents", snub_json_contents(build));
    return snub_json_whole(root);
}

/* `snub motion --run --json`. */
#include "json_words.h"
#include "words.h"

const char *snub_run_event_name(snub_run_event_kind kind)
{
    static const char *const names[] = {"slack",       "slips",      "freewheels",  "arm at free end",
                                        "arm at stop", "arm sticks", "clutch slips"};
    return names[kind];
}

void snub_run_place_words(const snub_drive *drive, snub_run_event_kind kind, int at, snub_text *out)
{
    snub_text_puts(out, drive->pulleys[at].name);
    if (kind == SNUB_RUN_SLACK)
        snub_text_printf(out, " - %s", drive->pulleys[(at + 1) % drive->pulley_count].name);
}

static json_t *place_of(const snub_drive *drive, snub_run_event_kind kind, int at)
{
    snub_text words = {0};
    snub_run_place_words(drive, kind, at, &words);
    return snub_json_grown(&words);
}

static json_t *range_of(const snub_run_range *range, double unit)
{
    json_t *object = json_object();
    snub_json_put(object, "low", snub_json_number(range->low / unit));
    snub_json_put(object, "low_at_s", snub_json_number(range->low_at));
    snub_json_put(object, "high", snub_json_number(range->high / unit));
    snub_json_put(object, "high_at_s", snub_json_number(range->high_at));
    return object;
}

static json_t *course_of(const snub_course *course)
{
    json_t *list = json_array();
    for (int k = 0; k < course->count; k++) {
        json_t *point = snub_json_pair(course->time[k], course->speed[k] / SNUB_RPM);
        snub_json_append(point, snub_json_number(course->open[k]));
        snub_json_append(list, point);
    }
    return list;
}

static json_t *assumed_of(const snub_course *course)
{
    json_t *list = json_array();
    for (unsigned bit = 1; bit <= SNUB_COURSE_ASSUMED_LAST; bit <<= 1) {
        if (course->assumed & bit)
            snub_json_append(list, snub_json_words(snub_course_assumed_text((snub_course_assumed)bit)));
    }
    return list;
}

static json_t *event_of(const snub_drive *drive, const snub_run_event *e)
{
    const bool slack = e->kind == SNUB_RUN_SLACK, slips = e->kind == SNUB_RUN_SLIPS;
    const bool struck = e->kind == SNUB_RUN_AT_REST || e->kind == SNUB_RUN_AT_STOP;
    json_t *object = json_object();
    snub_json_put(object, "what", snub_json_words(snub_run_event_name(e->kind)));
    snub_json_put(object, "at", place_of(drive, e->kind, e->at));
    snub_json_put(object, "from_s", snub_json_number(e->from));
    snub_json_put(object, "to_s", snub_json_number(e->to));
    snub_json_put(object, "from_rpm", snub_json_number(e->speed[0] / SNUB_RPM));
    snub_json_put(object, "to_rpm", snub_json_number(e->speed[1] / SNUB_RPM));
    snub_json_put(object, "times", json_integer(e->count));
    snub_json_put(object, "longest_s", snub_json_number(e->longest));
    if (slack)
        snub_json_put(object, "loose_mm", snub_json_number(e->most / SNUB_MM));
    if (slips)
        snub_json_put(object, "slip_m_s", snub_json_number(e->most));
    if (struck)
        snub_json_put(object, "struck_deg_s", snub_json_number(e->most / SNUB_DEG));
    if (e->kind == SNUB_RUN_FREEWHEELS)
        snub_json_put(object, "faster_rpm", snub_json_number(e->most / SNUB_RPM));
    if (e->kind == SNUB_RUN_GRINDS)
        snub_json_put(object, "apart_rpm", snub_json_number(e->most / SNUB_RPM));
    return object;
}

static json_t *clutch_of(const snub_scenario_run *run)
{
    const snub_run_clutch *c = &run->clutch;
    if (!(c->torque > 0.0))
        return json_null();
    json_t *object = json_object();
    snub_json_put(object, "pulley", snub_json_words(run->drive->pulleys[c->pulley].name));
    snub_json_put(object, "torque_N_m", snub_json_number(c->torque));
    snub_json_put(object, "closes_at_s", snub_json_number(c->closes));
    snub_json_put(object, "rises_in_s", snub_json_number(c->rise));
    snub_json_put(object, "locks_at_s", snub_json_number(run->result.locks));
    snub_json_put(object, "takes_s", snub_json_number(run->result.locks - c->closes));
    snub_json_put(object, "heat_J", snub_json_number(run->result.energy.clutch));
    snub_json_put(object, "power_kW", snub_json_number(run->result.clutch_power / SNUB_KW));
    snub_json_put(object, "rim_kg_m2", snub_json_number(run->clutch_rim));
    return object;
}

static json_t *spans_of(const snub_scenario_run *run)
{
    json_t *list = json_array();
    for (int i = 0; i < run->drive->pulley_count; i++) {
        json_t *object = json_object();
        snub_json_put(object, "span", place_of(run->drive, SNUB_RUN_SLACK, i));
        snub_json_put(object, "tension_N", range_of(&run->result.tension[i], 1.0));
        snub_json_put(object, "slack_share", snub_json_number(run->result.share[SNUB_RUN_SLACK][i]));
        snub_json_append(list, object);
    }
    return list;
}

static json_t *pulleys_of(const snub_scenario_run *run)
{
    const snub_run_result *r = &run->result;
    json_t *list = json_array();
    for (int i = 0; i < run->drive->pulley_count; i++) {
        json_t *object = json_object();
        snub_json_put(object, "name", snub_json_words(run->drive->pulleys[i].name));
        snub_json_put(object, "hub_N", range_of(&r->hub[i], 1.0));
        snub_json_put(object, "slip_share", snub_json_number(r->share[SNUB_RUN_SLIPS][i]));
        snub_json_put(object, "slip_heat_J", snub_json_number(r->slip_heat[i]));
        snub_json_put(object, "slip_power_kW", snub_json_number(r->slip_power[i] / SNUB_KW));
        const double rim = run->vibration.inertias.rim[i];
        if (rim > 0.0) {
            snub_json_put(object, "freewheels_share", snub_json_number(r->share[SNUB_RUN_FREEWHEELS][i]));
            snub_json_put(object, "rim_kg_m2", snub_json_number(rim));
        }
        snub_json_append(list, object);
    }
    return list;
}

static json_t *arm_of(const snub_scenario_run *run)
{
    const int at = run->drive->arm;
    if (at < 0)
        return json_null();
    json_t *object = json_object();
    snub_json_put(object, "angle_deg", range_of(&run->result.wind, SNUB_DEG));
    snub_json_put(object, "sticks_share", snub_json_number(run->result.share[SNUB_RUN_STICKS][at]));
    snub_json_put(object, "end_deg", snub_json_number(run->end.wind / SNUB_DEG));
    snub_json_put(object, "balance_deg", snub_json_number(run->end.balance / SNUB_DEG));
    snub_json_put(object, "balance_band_deg", snub_json_pair(run->end.band[0] / SNUB_DEG, run->end.band[1] / SNUB_DEG));
    return object;
}

static json_t *energy_of(const snub_run_energy *e)
{
    json_t *object = json_object();
    snub_json_put(object, "work", snub_json_number(e->work));
    snub_json_put(object, "loads", snub_json_number(e->loads));
    snub_json_put(object, "creep", snub_json_number(e->creep));
    snub_json_put(object, "slip", snub_json_number(e->slip));
    snub_json_put(object, "arm_friction", snub_json_number(e->arm));
    snub_json_put(object, "arm_stops", snub_json_number(e->stops));
    snub_json_put(object, "clutch", snub_json_number(e->clutch));
    snub_json_put(object, "momentum", snub_json_number(e->momentum));
    snub_json_put(object, "stored", snub_json_pair(e->stored[0], e->stored[1]));
    snub_json_put(object, "left_over", snub_json_number(e->left_over));
    return object;
}

static void add_result(const snub_scenario_run *run, json_t *root)
{
    json_t *events = json_array();
    for (int k = 0; k < run->result.event_count; k++)
        snub_json_append(events, event_of(run->drive, &run->result.events[k]));
    snub_json_put(root, "ended_s", snub_json_number(run->result.ended));
    snub_json_put(root, "whole", json_boolean(run->result.whole));
    snub_json_put(root, "stopped_by", snub_json_words(run->result.whole ? NULL : run->result.why.message));
    snub_json_put(root, "events", events);
    snub_json_put(root, "events_cut", json_boolean(run->result.events_cut));
    snub_json_put(root, "belt_thrown_at_event", run->thrown < 0 ? json_null() : json_integer(run->thrown));
    snub_json_put(root, "spans", spans_of(run));
    snub_json_put(root, "pulleys", pulleys_of(run));
    snub_json_put(root, "arm", arm_of(run));
    snub_json_put(root, "clutch", clutch_of(run));
    snub_json_put(root, "energy_J", energy_of(&run->result.energy));
    snub_json_put(root, "steps", json_integer(run->result.steps));
}

json_t *snub_json_scenario(const snub_scenario_run *run, const snub_locale *locale)
{
    const snub_vibration *v = &run->vibration;
    json_t *root = json_object();
    snub_json_put(root, "snub", json_integer(1));
    snub_json_put(root, "title", snub_json_words(run->drive->title != NULL ? run->drive->title : ""));
    snub_json_put_verdict(root, run->build);
    snub_json_put(root, "build", snub_json_build(run->build));
    snub_json_put(root, "run", snub_json_words(snub_scenario_name(run->request.scenario)));
    snub_json_put(root, "what", snub_json_words(snub_scenario_text(run->request.scenario)));
    snub_json_put(root, "course_s_rpm_open", course_of(&run->course));
    snub_json_put(root, "outside", snub_json_words(snub_scenario_outside(run)));
    snub_json_put(root, "assumed", assumed_of(&run->course));
    snub_json_put(root, "crank_even", json_boolean(run->even));
    snub_json_put(root, "crank_even_why",
                  snub_json_words(run->even && !run->request.even ? v->uneven.why.message : NULL));
    snub_json_put(root, "inertias", snub_json_inertias(v));
    snub_json_put(root, "started", json_boolean(run->started));
    if (run->started)
        add_result(run, root);
    else
        snub_json_put(root, "no_balance", snub_json_no_balance(run->build, &run->why, locale));
    return snub_json_whole(root);
}

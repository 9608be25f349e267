/* Curves over the rev range: one balance per speed, with the belt and the settings that the check settled on. */
#include <jansson.h>
#include <math.h>

#include "reading.h"
#include "snub/kit.h"

#define DEG (180.0 / SNUB_PI)
#define RPM (30.0 / SNUB_PI)

enum { POINTS_USUAL = 120 };

typedef struct curves {
    const snub_drive *drive;
    const snub_check *check;
    const snub_loads *loads;
    snub_rig *rig;
    snub_running running;
    json_t *rpm, *wind;
    json_t *grip[SNUB_PULLEYS_MOST], *hub[SNUB_PULLEYS_MOST], *torque[SNUB_PULLEYS_MOST];
    json_t *tension[SNUB_PULLEYS_MOST], *frequency[SNUB_PULLEYS_MOST];
    json_t *boost, *power, *speed;
} curves;

static void open_lists(curves *all) {
    all->rpm = json_array();
    all->wind = json_array();
    for (int i = 0; i < all->drive->pulley_count; i++) {
        all->grip[i] = json_array();
        all->hub[i] = json_array();
        all->torque[i] = json_array();
        all->tension[i] = json_array();
        all->frequency[i] = json_array();
    }
    all->boost = json_array();
    all->power = json_array();
    all->speed = json_array();
}

/* One speed; where there is no balance every curve has a gap. */
static void add_speed(curves *all, int index, snub_balance *balance) {
    snub_case wanted;
    snub_error why = {0};
    const bool matched = all->loads->match && all->running == SNUB_STEADY;
    snub_loads_case(all->drive, all->loads, index, all->running, 0, all->check->length, all->drive->belt.stretch, &wanted);
    bool good = snub_solve(all->rig, &wanted, &balance->equilibrium, &why) == SNUB_OK;
    if (good) {
        const snub_equilibrium settled = balance->equilibrium;
        snub_expand(all->drive, all->rig, &wanted, &settled, balance);
    }
    json_array_append_new(all->rpm, snub_json_number(all->loads->speed[index] * RPM));
    json_array_append_new(all->wind, snub_json_number(good && all->drive->arm >= 0 ? balance->equilibrium.wind * DEG : NAN));
    json_array_append_new(all->speed, snub_json_number(good ? balance->equilibrium.belt_speed : NAN));
    json_array_append_new(all->boost, snub_json_number(matched ? all->loads->match[index].boost * 1e-3 : NAN));
    json_array_append_new(all->power, snub_json_number(matched ? all->loads->match[index].power * 1e-3 : NAN));
    for (int i = 0; i < all->drive->pulley_count; i++) {
        const snub_pulley_state *pulley = &balance->pulley[i];
        json_array_append_new(all->grip[i], snub_json_number(good ? pulley->grip_design : NAN));
        json_array_append_new(all->hub[i], snub_json_number(good ? hypot(pulley->hub[0], pulley->hub[1]) : NAN));
        json_array_append_new(all->torque[i], snub_json_number(good ? pulley->torque : NAN));
        json_array_append_new(all->tension[i], snub_json_number(good ? balance->span_tension[i] : NAN));
        json_array_append_new(all->frequency[i], snub_json_number(good ? balance->span_frequency[i] : NAN));
    }
}

static void put_series(json_t *series, const char *kind, const char *name, const char *unit, json_t *values) {
    json_array_append_new(series, json_pack("{s:s, s:s, s:s, s:o}", "kind", kind, "name", name, "unit", unit, "values", values));
}

static json_t *close_lists(curves *all) {
    const snub_drive *drive = all->drive;
    json_t *series = json_array();
    snub_text span = {0};
    for (int i = 0; i < drive->pulley_count; i++) {
        const char *name = drive->pulleys[i].name;
        span.length = 0;
        snub_text_printf(&span, "%s – %s", name, drive->pulleys[(i + 1) % drive->pulley_count].name);
        put_series(series, "grip", name, "", all->grip[i]);
        put_series(series, "hub", name, "N", all->hub[i]);
        put_series(series, "torque", name, "N m", all->torque[i]);
        put_series(series, "tension", span.data ? span.data : name, "N", all->tension[i]);
        put_series(series, "frequency", span.data ? span.data : name, "Hz", all->frequency[i]);
    }
    snub_text_free(&span);
    put_series(series, "boost", "boost", "kPa", all->boost);
    put_series(series, "power", "blower", "kW", all->power);
    put_series(series, "speed", "belt", "m/s", all->speed);
    return json_pack("{s:s, s:o, s:o, s:o}", "state", snub_running_text(all->running), "rpm", all->rpm, "arm_wind_deg",
                     all->wind, "series", series);
}

static snub_status prepare(serve_worker *worker, const serve_request *request, const snub_drive *drive,
                           snub_check *check, snub_loads *loads, snub_rig *rig, snub_error *why) {
    snub_check_request one = {.only_speed = drive->engine.idle};
    snub_status status;
    if (!drive->engine.given)
        return snub_fail(why, SNUB_BAD_INPUT, NULL, "engine", "curves run from idle to redline, and the file has no engine");
    if ((status = snub_check_drive(drive, &one, &worker->arena, check, why))) return status;
    if (!check->laid) {
        *why = check->failure;
        return why->code ? why->code : SNUB_NO_EQUILIBRIUM;
    }
    status = snub_loads_prepare(drive, request->points ? request->points : POINTS_USUAL, NAN, 0, &worker->arena, loads, why);
    return status ? status : snub_rig_prepare(drive, check->settings, rig, why);
}

void serve_sweep(serve_worker *worker, const serve_request *request, serve_answer *answer) {
    serve_reading *read = SNUB_NEW(&worker->arena, serve_reading, 1);
    snub_check *check = SNUB_NEW(&worker->arena, snub_check, 1);
    snub_rig *rig = SNUB_NEW(&worker->arena, snub_rig, 1);
    snub_balance *balance = SNUB_NEW(&worker->arena, snub_balance, 1);
    snub_loads loads = {0};
    snub_error why = {0};
    if (!read || !check || !rig || !balance) {
        serve_answer_problem(answer, SERVE_OWN_FAULT, "out of memory");
        return;
    }
    if (!serve_read_drive(worker, request, read, answer)) return;
    if (prepare(worker, request, &read->drive, check, &loads, rig, &why)) {
        serve_answer_error(answer, SERVE_NO_ANSWER, &why, request->text, request->text_length);
        return;
    }
    snub_running running = request->rate > 0 ? SNUB_RISING : request->rate < 0 ? SNUB_FALLING : SNUB_STEADY;
    curves all = {.drive = &read->drive, .check = check, .loads = &loads, .rig = rig, .running = running};
    open_lists(&all);
    for (int i = 0; i < loads.speeds; i++)
        if (loads.speed[i] > 0) add_speed(&all, i, balance);
    serve_answer_json(answer, close_lists(&all));
}

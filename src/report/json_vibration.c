/* `snub motion --json`. */
#include "json_words.h"
#include "words.h"

static json_t *name_of(const snub_vibration *v, int mover)
{
    snub_text name = {0};
    snub_mover_words(v, mover, &name);
    return snub_json_grown(&name);
}

static json_t *inertia_of(const snub_vibration *v, int mover)
{
    const bool arm = mover == v->drive->pulley_count;
    const snub_inertia_from from = arm ? v->inertias.arm_from : v->inertias.pulley_from[mover];
    json_t *object = json_object();
    snub_json_put(object, "name", name_of(v, mover));
    snub_json_put(object, "inertia_kg_m2", snub_json_number(arm ? v->inertias.arm : v->inertias.pulley[mover]));
    snub_json_put(object, "assumed", json_boolean(from != SNUB_INERTIA_GIVEN));
    snub_json_put(object, "basis", snub_json_words(snub_inertia_from_text(from)));
    return object;
}

json_t *snub_json_inertias(const snub_vibration *v)
{
    json_t *list = json_array();
    for (int i = 0; i < v->drive->pulley_count + (v->drive->arm >= 0 ? 1 : 0); i++)
        snub_json_append(list, inertia_of(v, i));
    return list;
}

static json_t *mode_of(const snub_vibration *v, const snub_mode *mode, bool held)
{
    json_t *object = json_object(), *shares = json_object(), *shape = json_object();
    snub_json_put(object, "frequency_Hz", snub_json_number(mode->frequency));
    snub_json_put(object, "crank", snub_json_words(held ? "held" : "free"));
    snub_json_put(object, "firing_meets_it_at_rpm", snub_json_number(mode->frequency * SNUB_MINUTE / v->firing));
    for (int i = 0; i < v->motion->count; i++) {
        snub_text name = {0};
        if (held && i == v->motion->crank)
            continue;
        snub_mover_words(v, i, &name);
        if (name.failed) {
            snub_json_lose();
        } else {
            snub_json_put(shares, name.data, snub_json_number(mode->energy[i]));
            snub_json_put(shape, name.data, snub_json_number(mode->shape[i]));
        }
        snub_text_free(&name);
    }
    snub_json_put(object, "energy_share", shares);
    snub_json_put(object, "shape", shape);
    return object;
}

/* @param[in,out] missing  why there are none */
static void add_modes(const snub_vibration *v, bool held, json_t *list, json_t *missing)
{
    const snub_vibration_modes *modes = held ? &v->held : &v->free;
    for (int i = 0; modes->found && i < modes->modes.count; i++)
        snub_json_append(list, mode_of(v, &modes->modes.mode[i], held));
    if (modes->found)
        return;
    json_t *why = json_object();
    snub_json_put(why, "crank", snub_json_words(held ? "held" : "free"));
    snub_json_put(why, "why", snub_json_words(v->motion != NULL ? modes->why.message : "no speed has a balance"));
    snub_json_append(missing, why);
}

static json_t *span_of(const snub_vibration *v, int i)
{
    const snub_pulley *pulleys = v->drive->pulleys;
    json_t *object = json_object(), *frequencies = json_array(), *tensions = json_array(), *waves = json_array();
    snub_json_put(object, "from", snub_json_words(pulleys[i].name));
    snub_json_put(object, "to", snub_json_words(pulleys[(i + 1) % v->drive->pulley_count].name));
    for (int k = 0; k < v->speeds; k++) {
        const snub_vibration_point *point = &v->point[k];
        const double rpm = point->speed / SNUB_RPM;
        if (!point->solved)
            continue;
        json_t *both = snub_json_pair(rpm, point->span[i].frequency[0]);
        snub_json_append(both, snub_json_number(point->span[i].frequency[1]));
        snub_json_append(frequencies, both);
        snub_json_append(tensions, snub_json_pair(rpm, point->span[i].tension));
        snub_json_append(waves, snub_json_pair(rpm, point->span[i].of_wave));
    }
    snub_json_put(object, "frequencies_Hz", frequencies);
    snub_json_put(object, "tension_N", tensions);
    snub_json_put(object, "belt_over_wave_speed", waves);
    return object;
}

static void add_orders(const snub_vibration_point *point, json_t *list)
{
    for (int k = 0; k < point->order_count; k++) {
        const snub_order *order = &point->order[k];
        json_t *object = json_object();
        snub_json_put(object, "rpm", snub_json_number(point->speed / SNUB_RPM));
        snub_json_put(object, "order", snub_json_number(order->order));
        snub_json_put(object, "angle_deg", snub_json_number(order->angle / SNUB_DEG));
        snub_json_put(object, "speed_pct", snub_json_number(order->speed / SNUB_PERCENT));
        snub_json_put(object, "torque_N_m", snub_json_number(order->torque));
        snub_json_append(list, object);
    }
}

static json_t *cycles_of(const snub_vibration *v)
{
    json_t *list = json_array();
    for (int k = 0; k < v->speeds; k++) {
        const snub_vibration_point *point = &v->point[k];
        json_t *object = json_object();
        snub_json_put(object, "rpm", snub_json_number(point->speed / SNUB_RPM));
        snub_json_put(object, "mean_gas_torque_N_m", snub_json_number(point->gas_torque));
        snub_json_put(object, "peak_pressure_kPa", snub_json_number(point->peak / SNUB_KPA));
        if (point->order_count > 0 && !isnan(point->peak))
            snub_json_append(list, object);
        else
            json_decref(object);
    }
    return list;
}

/* How unevenly the crank turns, with what is assumed. */
static json_t *unevenness_of(const snub_vibration *v)
{
    json_t *object = json_object(), *assumed = json_array(), *orders = json_array();
    snub_json_put(object, "source",
                  snub_json_words(!v->uneven.known      ? NULL
                                  : v->uneven.measured  ? "measured, engine.irregularity"
                                  : v->way == SNUB_SHUT ? "cylinders without load, crank as one body"
                                                        : "cylinders at full load, crank as one body"));
    snub_json_put(object, "missing", snub_json_words(v->uneven.known ? NULL : v->uneven.why.message));
    for (unsigned bit = 1; bit <= SNUB_ASSUMED_FIRING; bit <<= 1) {
        if (v->uneven.assumed & bit)
            snub_json_append(assumed, snub_json_words(snub_cylinder_assumed_text((snub_cylinder_assumed)bit)));
    }
    snub_json_put(object, "assumed", assumed);
    snub_json_put(object, "cycle", cycles_of(v));
    for (int k = 0; k < v->speeds; k++)
        add_orders(&v->point[k], orders);
    snub_json_put(object, "orders", orders);
    return object;
}

/* What an order does to the drive: amplitudes. */
static json_t *response_of(const snub_vibration *v, const snub_vibration_point *point, int k)
{
    const snub_pulley *pulleys = v->drive->pulleys;
    const snub_response *r = &point->response[k];
    const double turned = point->order[k].order * point->speed;
    const int n = v->drive->pulley_count;
    json_t *object = json_object(), *tension = json_object(), *speed = json_object(), *slack = json_array();
    json_t *loose = json_array();
    snub_json_put(object, "rpm", snub_json_number(point->speed / SNUB_RPM));
    snub_json_put(object, "order", snub_json_number(point->order[k].order));
    for (int i = 0; i < n; i++) {
        snub_text span = {0};
        snub_text_printf(&span, "%s - %s", pulleys[i].name, pulleys[(i + 1) % n].name);
        if (span.failed)
            snub_json_lose();
        else
            snub_json_put(tension, span.data, snub_json_number(r->tension[i]));
        if (snub_swings_slack(v, point, k, i) && !span.failed)
            snub_json_append(slack, snub_json_words(span.data));
        snub_text_free(&span);
        snub_json_put(speed, pulleys[i].name, snub_json_number(r->angle[i] * turned / SNUB_RPM));
        if (r->lets_go[i])
            snub_json_append(loose, snub_json_words(pulleys[i].name));
    }
    snub_json_put(object, "tension_N", tension);
    snub_json_put(object, "slack", slack);
    snub_json_put(object, "arm_deg", v->drive->arm >= 0 ? snub_json_number(r->angle[n] / SNUB_DEG) : json_null());
    snub_json_put(object, "arm_sticks", v->drive->arm >= 0 ? json_boolean(r->sticks) : json_null());
    snub_json_put(object, "clutches_let_go", loose);
    snub_json_put(object, "speed_rpm", speed);
    return object;
}

static json_t *responses_of(const snub_vibration *v)
{
    json_t *list = json_array();
    for (int k = 0; k < v->speeds; k++) {
        for (int o = 0; v->point[k].response != NULL && o < v->point[k].order_count; o++)
            snub_json_append(list, response_of(v, &v->point[k], o));
    }
    return list;
}

static json_t *unsolved_of(const snub_vibration *v, const snub_locale *locale)
{
    json_t *list = json_array();
    for (int k = 0; k < v->speeds; k++) {
        if (v->point[k].solved)
            continue;
        json_t *object = json_object();
        snub_json_put(object, "engine_rpm", snub_json_number(v->point[k].speed / SNUB_RPM));
        snub_json_put(object, "why", snub_json_no_balance(v->build, &v->point[k].why, locale));
        snub_json_append(list, object);
    }
    return list;
}

json_t *snub_json_vibration(const snub_vibration *v, const snub_locale *locale)
{
    json_t *root = json_object(), *modes = json_array(), *missing = json_array(), *spans = json_array();
    snub_json_put(root, "snub", json_integer(1));
    snub_json_put(root, "title", snub_json_words(v->drive->title != NULL ? v->drive->title : ""));
    snub_json_put_verdict(root, v->build);
    snub_json_put(root, "build", snub_json_build(v->build));
    snub_json_put(root, "case", snub_json_words(snub_way_text(v->way)));
    snub_json_put(root, "inertias", snub_json_inertias(v));
    add_modes(v, true, modes, missing);
    add_modes(v, false, modes, missing);
    snub_json_put(root, "modes_at_rpm", snub_json_number(v->modes_speed / SNUB_RPM));
    snub_json_put(root, "arm_moves", v->motion != NULL ? json_boolean(v->motion->arm_moves) : json_null());
    snub_json_put(root, "firings_per_turn", snub_json_number(v->firing));
    snub_json_put(root, "modes", modes);
    snub_json_put(root, "modes_missing", missing);
    for (int i = 0; i < v->drive->pulley_count; i++)
        snub_json_append(spans, span_of(v, i));
    snub_json_put(root, "spans", spans);
    snub_json_put(root, "irregularity", unevenness_of(v));
    snub_json_put(root, "orders", responses_of(v));
    snub_json_put(root, "flapping",
                  v->flapping != NULL && !isnan(v->modes_speed) ? snub_json_flapping(v) : json_null());
    if (v->coupled != NULL)
        snub_json_put(root, "coupled", snub_json_coupled(v));
    if (v->calming != NULL)
        snub_json_put(root, "remedies", snub_json_calming(v));
    snub_json_put(root, "findings", snub_json_findings(&v->build->findings, locale));
    snub_json_put(root, "no_equilibrium", unsolved_of(v, locale));
    return snub_json_whole(root);
}

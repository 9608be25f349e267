/* The greatest pull of the belt at the pulleys, and the torque through the crank nose. */
#include "json_words.h"

static json_t *given(double value)
{
    return value > 0.0 ? snub_json_number(value) : json_null();
}

json_t *snub_json_hubs(const snub_build *build)
{
    const snub_drive *drive = build->drive;
    json_t *list = json_array();
    for (int i = 0; build->hubs != NULL && i < drive->pulley_count; i++) {
        const snub_hub_pull *hub = &build->hubs[i];
        if (!hub->met || !snub_hub_is_told(drive, i))
            continue;
        json_t *object = json_object();
        snub_json_put(object, "pulley", snub_json_words(drive->pulleys[i].name));
        snub_json_put(object, "hub_load_N", snub_json_number(hypot(hub->force[0], hub->force[1])));
        snub_json_put(object, "without_swing_N", snub_json_number(hub->steady));
        snub_json_put(object, "hub_load_deg", snub_json_number(atan2(hub->force[1], hub->force[0]) / SNUB_DEG));
        snub_json_put(object, "allowed_N", given(drive->pulleys[i].max_hub));
        snub_json_put_condition(object, &hub->at);
        snub_json_append(list, object);
    }
    return list;
}

json_t *snub_json_nose(const snub_build *build)
{
    if (build->hubs == NULL || isnan(build->nose_torque))
        return json_null();
    json_t *object = json_object();
    snub_json_put(object, "torque_N_m", snub_json_number(build->nose_torque));
    snub_json_put(object, "allowed_N_m", given(build->drive->pulleys[build->drive->crank].max_torque));
    snub_json_put_condition(object, &build->nose_at);
    return object;
}

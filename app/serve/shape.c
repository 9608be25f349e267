#include "shape.h"

#include <jansson.h>
#include <math.h>
#include <string.h>

#include "snub/report.h"

#define MM 1e3
#define DEG (180.0 / SNUB_PI)
#define RPM (30.0 / SNUB_PI)

static json_t *number(double value)
{
    return snub_json_number(value);
}

static json_t *point(const double at[2])
{
    return json_pack("[o, o]", number(at[0] * MM), number(at[1] * MM));
}

static json_t *arm_shape(const snub_arm *arm)
{
    return json_pack("{s:o, s:o, s:o, s:i, s:o, s:[o, o]}", "pivot_mm", point(arm->pivot), "length_mm",
                     number(arm->length * MM), "rest_deg", number(arm->rest * DEG), "winds", arm->winds > 0 ? 1 : -1,
                     "travel_deg", number(arm->travel * DEG), "work_deg", number(arm->work[0] * DEG),
                     number(arm->work[1] * DEG));
}

static json_t *slot_shape(const snub_pulley *pulley, double setting, bool open)
{
    const snub_slot *slot = &pulley->slot;
    return json_pack("{s:b, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:b, s:b}", "curved", slot->curved, "from_mm",
                     point(slot->from), "to_mm", point(slot->to), "centre_mm", point(slot->centre), "radius_mm",
                     number(slot->radius * MM), "start_deg", number(slot->start * DEG), "sweep_deg",
                     number(slot->sweep * DEG), "length_mm", number(slot->length * MM), "setting_mm",
                     number(setting * MM), "lock", pulley->lock_tension > 0, "open", open);
}

/* How the file measures the diameter: "effective", "tips", "balls". */
static const char *over_of(const snub_pulley *pulley)
{
    const snub_node *node = pulley->node ? snub_node_get(pulley->node, "diameter") : NULL;
    const snub_node *over = node && node->kind == SNUB_MAP ? snub_node_get(node, "over") : NULL;
    return over && over->text ? over->text : pulley->side == SNUB_RIB ? "effective" : "outside";
}

/* The number that the file gives for the diameter, measured as `over` says. */
static double diameter_in_file(const snub_pulley *pulley, snub_units *units)
{
    double value = pulley->diameter;
    const snub_node *node = pulley->node ? snub_node_get(pulley->node, "diameter") : NULL;
    if (node && node->kind == SNUB_MAP)
        node = snub_node_get(node, "value");
    if (node && node->text)
        snub_units_parse(units, SNUB_Q_LENGTH, node->text, &value, NULL);
    return value;
}

static json_t *pulley_shape(const snub_drive *drive, int i, const double centre[2], double setting, double radius,
                            bool open, snub_units *units)
{
    const snub_pulley *pulley = &drive->pulleys[i];
    const char *sits = pulley->sits == SNUB_ON_ARM ? "arm" : pulley->sits == SNUB_ON_SLOT ? "slot" : "fixed";
    json_t *shape = json_pack(
        "{s:s, s:s, s:s, s:s, s:o, s:o, s:o, s:o, s:o, s:s, s:o, s:o, s:i, s:b, s:b}", "name", pulley->name, "role",
        pulley->is_crank     ? "crank"
        : pulley->has_blower ? "blower"
        : pulley->load.n     ? "accessory"
                             : "idler",
        "side", pulley->side == SNUB_RIB ? "rib" : "back", "sits", sits, "centre_mm", point(centre), "pitch_radius_mm",
        number(radius * MM), "rim_radius_mm", number(pulley->rim * MM), "diameter_mm", number(pulley->diameter * MM),
        "diameter_file_mm", number(diameter_in_file(pulley, units) * MM), "diameter_over", over_of(pulley), "plane_mm",
        number(pulley->plane * MM), "width_mm", number(pulley->width * MM), "line", pulley->place.line, "blower",
        pulley->has_blower, "load", pulley->load.n > 0);
    if (!shape)
        return NULL;
    if (pulley->sits == SNUB_ON_ARM)
        json_object_set_new(shape, "arm", arm_shape(&pulley->arm));
    if (pulley->sits == SNUB_ON_SLOT)
        json_object_set_new(shape, "slot", slot_shape(pulley, setting, open));
    return shape;
}

static json_t *belt_shape(const snub_drive *drive, const snub_check *check, bool open)
{
    const snub_belt *belt = &drive->belt;
    double length = check ? check->length : belt->length;
    return json_pack("{s:s, s:i, s:o, s:o, s:o, s:o, s:o, s:b}", "section", belt->section, "ribs", belt->ribs,
                     "thickness_mm", number(belt->thickness * MM), "back_mm", number(belt->back * MM), "be_mm",
                     number(belt->be * MM), "width_mm", number(belt->pitch * belt->ribs * MM), "length_mm",
                     number(length * MM), "length_given", !open);
}

static json_t *engine_shape(const snub_engine *engine)
{
    if (!engine->given)
        return json_null();
    return json_pack("{s:o, s:o, s:o, s:o}", "idle_rpm", number(engine->idle * RPM), "redline_rpm",
                     number(engine->redline * RPM), "rises_rpm_s", number(engine->rises * RPM), "falls_rpm_s",
                     number(engine->falls * RPM));
}

static json_t *limits_shape(const snub_drive *drive)
{
    static const snub_limit shown[] = {SNUB_LIMIT_MISALIGNMENT, SNUB_LIMIT_GAP};
    json_t *limits = json_object();
    for (size_t i = 0; i < sizeof shown / sizeof *shown; i++) {
        const snub_limit_info *info = snub_limit_describe(shown[i]);
        json_object_set_new(limits, info->key, number(drive->limits[shown[i]] * info->scale));
    }
    return limits;
}

static json_t *obstacle_shape(const snub_obstacle *obstacle)
{
    static const char *const shapes[] = {"circle", "polygon", "stadium"};
    json_t *corners = json_array();
    for (int i = 0; i < obstacle->corners; i++)
        json_array_append_new(corners, point(obstacle->corner[i]));
    return json_pack("{s:s, s:s, s:o, s:o, s:o, s:o, s:o, s:o}", "name", obstacle->name ? obstacle->name : "", "shape",
                     shapes[obstacle->shape], "from_mm", point(obstacle->from), "to_mm", point(obstacle->to),
                     "radius_mm", number(obstacle->radius * MM), "corners_mm", corners, "low_mm",
                     number(obstacle->low * MM), "high_mm", number(obstacle->high * MM));
}

static json_t *obstacles_shape(const snub_hardware *hardware)
{
    json_t *list = json_array();
    for (int i = 0; hardware && i < hardware->obstacle_count; i++)
        json_array_append_new(list, obstacle_shape(&hardware->obstacles[i]));
    return list;
}

void serve_find_open(const snub_drive *drive, serve_open *open)
{
    *open = (serve_open){.length = isnan(drive->belt.length), .any = isnan(drive->belt.length)};
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley *pulley = &drive->pulleys[i];
        open->setting[i] = pulley->sits == SNUB_ON_SLOT && i != drive->locked && isnan(pulley->setting);
        open->any |= open->setting[i];
    }
}

json_t *serve_shape(const snub_drive *drive, const snub_check *check, const serve_open *open, snub_units *units)
{
    double centre[SNUB_PULLEYS_MOST][2], radius[SNUB_PULLEYS_MOST];
    const bool laid = check && check->laid;
    double wind = laid && drive->arm >= 0 ? check->balance.equilibrium.wind : 0;
    snub_signed_radii(drive, radius);
    snub_place_pulleys(drive, wind, check ? check->settings : NULL, centre);
    json_t *pulleys = json_array();
    for (int i = 0; i < drive->pulley_count; i++) {
        double setting = check ? check->settings[i] : drive->pulleys[i].setting;
        json_array_append_new(pulleys, pulley_shape(drive, i, centre[i], setting, radius[i], open->setting[i], units));
    }
    return json_pack("{s:b, s:i, s:o, s:o, s:o, s:o, s:o, s:o}", "laid", laid, "turn", drive->turn > 0 ? 1 : -1,
                     "wind_deg", laid && drive->arm >= 0 ? number(wind * DEG) : json_null(), "pulleys", pulleys,
                     "obstacles", obstacles_shape(drive->hardware), "belt", belt_shape(drive, check, open->length),
                     "engine", engine_shape(&drive->engine), "limits", limits_shape(drive));
}

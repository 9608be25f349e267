#include "shape.h"

#include <math.h>
#include <string.h>

#include "side.h"
#include "snub/drawn.h"
#include "snub/hardware.h"
#include "snub/json.h"
#include "snub/report.h"

/* As it is drawn. */
typedef struct drawn {
    double settings[SNUB_PULLEYS_MOST];
    snub_travel_end end;
    bool laid; /* else the path has only its places */
    snub_path path;
    int overlap_count, conflict_count;
    snub_overlap overlaps[SNUB_PULLEYS_MOST];
    snub_conflict conflicts[SNUB_CONFLICTS_MOST];
} drawn;

static json_t *number(double value)
{
    return snub_json_number(value);
}

json_t *serve_point(const double at[2])
{
    return snub_json_pair(at[0] / SNUB_MM, at[1] / SNUB_MM);
}

/* A limit of the file's own; 0: it gives none. */
static json_t *given(double value)
{
    return value > 0.0 ? number(value) : json_null();
}

static json_t *arm_shape(const snub_arm *arm)
{
    return json_pack("{s:o, s:o, s:o, s:i, s:o, s:[o, o]}", "pivot_mm", serve_point(arm->pivot), "length_mm",
                     number(arm->length / SNUB_MM), "rest_deg", number(arm->free / SNUB_DEG), "winds",
                     arm->loads > 0 ? 1 : -1, "travel_deg", number(arm->travel / SNUB_DEG), "work_deg",
                     number(arm->work[0] / SNUB_DEG), number(arm->work[1] / SNUB_DEG));
}

static json_t *slot_shape(const snub_pulley *pulley, double setting, bool open)
{
    const snub_slot *slot = &pulley->slot;
    return json_pack("{s:b, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:b, s:b}", "curved", slot->curved, "from_mm",
                     serve_point(slot->from), "to_mm", serve_point(slot->to), "centre_mm", serve_point(slot->centre),
                     "radius_mm", number(slot->radius / SNUB_MM), "start_deg", number(slot->start / SNUB_DEG),
                     "sweep_deg", number(slot->sweep / SNUB_DEG), "length_mm", number(slot->length / SNUB_MM),
                     "setting_mm", number(setting / SNUB_MM), "lock", pulley->fixed_tension > 0, "open", open);
}

/* How the file measures the diameter: "effective", "outside", "balls". */
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
    if (node && node->text) {
        char text[80];
        snprintf(text, sizeof text, "%.*s", (int)snub_nominal_length(node->text), node->text);
        snub_units_parse(units, SNUB_Q_LENGTH, text, &value, NULL);
    }
    return value;
}

static json_t *pulley_shape(const snub_drive *drive, int i, const double centre[2], double setting, double radius,
                            bool open, snub_units *units)
{
    const snub_pulley *pulley = &drive->pulleys[i];
    const char *sits = pulley->sits == SNUB_ON_ARM ? "arm" : pulley->sits == SNUB_ON_SLOT ? "slot" : "fixed";
    json_t *shape =
        json_pack("{s:s, s:s, s:s, s:s, s:o, s:o, s:o, s:o, s:o, s:s, s:o, s:o, s:i, s:b, s:b, s:o, s:o}", "name",
                  pulley->name, "role",
                  pulley->is_crank     ? "crank"
                  : pulley->has_blower ? "blower"
                  : pulley->load.n     ? "accessory"
                                       : "idler",
                  "side", pulley->side == SNUB_RIB ? "rib" : "back", "sits", sits, "centre_mm", serve_point(centre),
                  "pitch_radius_mm", number(radius / SNUB_MM), "rim_radius_mm", number(pulley->rim_radius / SNUB_MM),
                  "diameter_mm", number(pulley->diameter / SNUB_MM), "diameter_file_mm",
                  number(diameter_in_file(pulley, units) / SNUB_MM), "diameter_over", over_of(pulley), "plane_mm",
                  number(pulley->plane / SNUB_MM), "width_mm", number(pulley->width / SNUB_MM), "line",
                  pulley->place.line, "blower", pulley->has_blower, "load", pulley->load.n > 0, "max_hub_N",
                  given(pulley->max_hub), "max_speed_rpm", given(pulley->max_speed / SNUB_RPM));
    if (!shape)
        return NULL;
    if (pulley->sits == SNUB_ON_ARM)
        snub_json_put(shape, "arm", arm_shape(&pulley->arm));
    if (pulley->sits == SNUB_ON_SLOT)
        snub_json_put(shape, "slot", slot_shape(pulley, setting, open));
    return shape;
}

/* Belts of the stock next to the one on the drive: two shorter, itself where it is one of them, two longer. */
static json_t *stock_shape(const snub_belt *belt, double length)
{
    enum { BESIDE = 2 };
    json_t *list = json_array();
    int shorter = 0, longer = 0;
    for (int i = 0; i < belt->stock_count; i++)
        shorter += belt->stock[i].length < length && (i == 0 || belt->stock[i].length > belt->stock[i - 1].length);
    for (int i = 0; i < belt->stock_count && !isnan(length); i++) {
        const snub_stock_belt *one = &belt->stock[i];
        char designation[32];
        if (i > 0 && one->length == belt->stock[i - 1].length)
            continue; /* the same length as another part */
        if (one->length < length && shorter-- > BESIDE)
            continue;
        if (one->length > length && ++longer > BESIDE)
            break;
        snub_designation(belt, one->length, designation);
        snub_json_append(
            list, json_pack("{s:o, s:s}", "length_mm", number(one->length / SNUB_MM), "designation", designation));
    }
    return list;
}

static json_t *belt_shape(const snub_build *build)
{
    const snub_belt *belt = &build->drive->belt;
    return json_pack("{s:s, s:i, s:o, s:o, s:o, s:o, s:o, s:b, s:o}", "section", belt->section, "ribs", belt->ribs,
                     "thickness_mm", number(belt->thickness / SNUB_MM), "back_mm", number(belt->back / SNUB_MM),
                     "be_mm", number(belt->be / SNUB_MM), "width_mm", number(belt->pitch * belt->ribs / SNUB_MM),
                     "length_mm", number(build->length / SNUB_MM), "length_given", !isnan(build->own_length), "stock",
                     stock_shape(belt, build->length));
}

static json_t *engine_shape(const snub_engine *engine)
{
    if (!engine->given)
        return json_null();
    return json_pack("{s:o, s:o, s:o, s:o, s:o}", "idle_rpm", number(engine->idle / SNUB_RPM), "redline_rpm",
                     number(engine->redline / SNUB_RPM), "accel_rate_rpm_s", number(engine->accel_rate / SNUB_RPM),
                     "decel_rate_rpm_s", number(engine->decel_rate / SNUB_RPM), "blips_rpm_s",
                     number(engine->blips / SNUB_RPM));
}

static json_t *limits_shape(const snub_drive *drive)
{
    static const snub_limit shown[] = {SNUB_LIMIT_MISALIGNMENT, SNUB_LIMIT_CLEARANCE, SNUB_LIMIT_RIB_TENSION,
                                       SNUB_LIMIT_GRIP_DESIGN, SNUB_LIMIT_BELT_SPEED};
    json_t *limits = json_object();
    for (size_t i = 0; i < sizeof shown / sizeof *shown; i++) {
        const snub_limit_info *info = snub_limit_describe(shown[i]);
        snub_json_put(limits, info->key, number(snub_in_unit(info->unit, drive->limits[shown[i]])));
    }
    return limits;
}

/* Edges of what is taken off its sides. */
static json_t *cuts_shape(const snub_drive *drive, const snub_obstacle *file, double wind)
{
    json_t *list = json_array();
    for (int i = 0; i < file->cut_count; i++) {
        double line[2][2];
        if (file->cuts[i].from != SNUB_CUT_SIDE)
            continue;
        snub_cut_at(drive, file, i, wind, line);
        snub_json_append(list, json_pack("[o, o]", serve_point(line[0]), serve_point(line[1])));
    }
    return list;
}

/* As it stands; its ends without what is taken off them. */
static json_t *obstacle_shape(const snub_drive *drive, const snub_obstacle *file, double wind,
                              const snub_obstacle *obstacle)
{
    double left[2];
    snub_left_of(file, left);
    static const char *const shapes[] = {"circle", "polygon", "stadium"};
    json_t *corners = json_array();
    for (int i = 0; i < obstacle->corners; i++)
        snub_json_append(corners, serve_point(obstacle->corner[i]));
    return json_pack("{s:s, s:s, s:b, s:o, s:o, s:o, s:o, s:o, s:o, s:o}", "name", obstacle->name ? obstacle->name : "",
                     "shape", shapes[obstacle->shape], "moves", file->on_arm, "from_mm", serve_point(obstacle->from),
                     "to_mm", serve_point(obstacle->to), "radius_mm", number(obstacle->radius / SNUB_MM), "corners_mm",
                     corners, "low_mm", number(left[0] / SNUB_MM), "high_mm", number(left[1] / SNUB_MM), "cuts_mm",
                     cuts_shape(drive, file, wind));
}

static json_t *obstacles_shape(const snub_drive *drive, double wind)
{
    const snub_hardware *hardware = drive->hardware;
    double turned[SNUB_CORNERS_MOST][2];
    json_t *list = json_array();
    for (int i = 0; hardware && i < hardware->obstacle_count; i++) {
        const snub_obstacle there = snub_obstacle_at(drive, &hardware->obstacles[i], wind, turned);
        snub_json_append(list, obstacle_shape(drive, &hardware->obstacles[i], wind, &there));
    }
    return list;
}

static json_t *near_one(const snub_drive *drive, const snub_conflict *c)
{
    const snub_finding f = snub_conflict_finding(drive, c);
    return json_pack("{s:s, s:o, s:s, s:o, s:o, s:o, s:o}", "obstacle", c->obstacle->name, "what",
                     snub_json_words(f.pulley), "level", f.level == SNUB_FAIL ? "fail" : "marginal", "from_mm",
                     serve_point(c->on_piece), "to_mm", serve_point(c->on_obstacle), "gap_mm", number(c->gap / SNUB_MM),
                     "needed_mm", number(c->needed / SNUB_MM));
}

/* What comes too near to an obstacle: where that is worst, once it was judged; before that as it is drawn. */
static json_t *near_shape(const snub_build *build, const drawn *d)
{
    const snub_hardware_report *report = build->report;
    json_t *list = json_array();
    for (int i = 0; report && i < report->conflict_count; i++)
        snub_json_append(list, near_one(build->drive, &report->conflicts[i]));
    for (int i = 0; !report && i < d->conflict_count; i++)
        snub_json_append(list, near_one(build->drive, &d->conflicts[i]));
    return list;
}

/* Pulleys that reach into each other as drawn. */
static json_t *overlaps_shape(const snub_drive *drive, const drawn *d)
{
    json_t *list = json_array();
    for (int i = 0; i < d->overlap_count; i++) {
        const snub_overlap *o = &d->overlaps[i];
        snub_json_append(list, json_pack("{s:[s, s], s:o, s:o}", "pulleys", drive->pulleys[o->a].name,
                                         drive->pulleys[o->b].name, "by_mm", number(o->depth / SNUB_MM), "at_mm",
                                         serve_point(o->at)));
    }
    return list;
}

/* Where the belt drives the tensioner that has no place; null where it has one. */
static json_t *end_shape(const snub_drive *drive, const snub_travel_end *end)
{
    if (end->pulley < 0)
        return json_null();
    const bool arm = end->pulley == drive->arm;
    return json_pack("{s:s, s:o, s:b, s:o}", "pulley", drive->pulleys[end->pulley].name, arm ? "at_deg" : "at_mm",
                     number(end->at / (arm ? SNUB_DEG : SNUB_MM)), "too_long", end->too_long, "by_mm",
                     number(end->by / SNUB_MM));
}

json_t *serve_path_shape(const snub_path *path)
{
    json_t *enter = json_array(), *leave = json_array(), *wrap = json_array();
    for (int i = 0; i < path->n; i++) {
        double at[2];
        snub_path_enter(path, i, at);
        snub_json_append(enter, serve_point(at));
        snub_path_leave(path, i, at);
        snub_json_append(leave, serve_point(at));
        snub_json_append(wrap, number(path->wrap[i] / SNUB_DEG));
    }
    return json_pack("{s:o, s:o, s:o, s:o}", "enter_mm", enter, "leave_mm", leave, "wrap_deg", wrap, "length_mm",
                     number(path->length / SNUB_MM));
}

/* Left to snub by the file. */
static bool is_open(const snub_build *build, int i)
{
    const snub_drive *drive = build->drive;
    return drive->pulleys[i].sits == SNUB_ON_SLOT && i != drive->locked && isnan(build->own_settings[i]);
}

/* Places as they are drawn: the arm in its balance, or where the belt drives it to. */
static double place(const snub_build *build, const snub_state *state, drawn *d)
{
    const snub_drive *drive = build->drive;
    const bool solved = state && state->solved && drive->arm >= 0;
    double wind = solved ? state->balance.equilibrium.wind : 0;
    memcpy(d->settings, build->settings, sizeof d->settings);
    d->end = state ? state->end : (snub_travel_end){.pulley = -1};
    if (d->end.pulley >= 0 && d->end.pulley == drive->arm)
        wind = d->end.at;
    else if (d->end.pulley >= 0)
        d->settings[d->end.pulley] = d->end.at;
    d->laid = snub_drive_lay(drive, wind, d->settings, &d->path, NULL) == SNUB_OK;
    if (!d->laid) {
        d->path.n = drive->pulley_count;
        snub_place_pulleys(drive, wind, d->settings, d->path.centre);
        snub_signed_radii(drive, d->path.radius);
    }
    return wind;
}

/* @return false: memory is out */
static bool touch(const snub_build *build, snub_arena *arena, drawn *d)
{
    d->overlap_count = snub_drawn_overlaps(build->drive, &d->path, d->laid, arena, d->overlaps, SNUB_PULLEYS_MOST);
    d->conflict_count = d->laid && !build->report
                            ? snub_drawn_conflicts(build->drive, &d->path, arena, d->conflicts, SNUB_CONFLICTS_MOST)
                            : 0;
    return d->overlap_count >= 0 && d->conflict_count >= 0;
}

json_t *serve_shape(const snub_build *build, const snub_state *state, const serve_measure *measure, snub_units *units,
                    snub_arena *arena)
{
    const snub_drive *drive = build->drive;
    const bool laid = state && state->solved;
    drawn *d = SNUB_NEW(arena, drawn, 1);
    if (!d)
        return NULL;
    const double wind = place(build, state, d);
    snub_view section = {0};
    if (!touch(build, arena, d) ||
        snub_view_section_of(drive, (const double(*)[2])d->path.centre, arena, &section, NULL) != SNUB_OK)
        return NULL;
    json_t *pulleys = json_array();
    for (int i = 0; i < drive->pulley_count; i++) {
        const double setting = isnan(d->settings[i]) ? drive->pulleys[i].setting : d->settings[i];
        snub_json_append(
            pulleys, pulley_shape(drive, i, d->path.centre[i], setting, d->path.radius[i], is_open(build, i), units));
    }
    return json_pack("{s:b, s:o, s:i, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o}", "laid", laid,
                     "path", d->laid ? serve_path_shape(&d->path) : json_null(), "turn", drive->turn > 0 ? 1 : -1,
                     "wind_deg", laid && drive->arm >= 0 ? number(wind / SNUB_DEG) : json_null(), "end",
                     end_shape(drive, &d->end), "pulleys", pulleys, "obstacles", obstacles_shape(drive, wind), "near",
                     near_shape(build, d), "overlaps", overlaps_shape(drive, d), "belt", belt_shape(build), "engine",
                     engine_shape(&drive->engine), "limits", limits_shape(drive), "side", serve_side(build, &section),
                     "mounts", serve_mounts(drive), "measured",
                     serve_measured(measure, drive, &d->path, d->laid, wind, &section, arena));
}

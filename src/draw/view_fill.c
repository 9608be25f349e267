/** From a drive and its results to a view: metres become millimetres here, and nowhere else. */
#include "snub/draw_drive.h"

#include <math.h>

#include "snub/hardware.h"
#include "view_fill.h"

/* To a nanometre (1e-9 rad): what is drawn, and where labels go, does not hang on the last bits of a balance. */
static double steady(double value)
{
    return isfinite(value) ? round(value * 1e9) / 1e9 : value;
}

static double in_mm(double metres)
{
    return steady(metres) / SNUB_MM;
}

static snub_status no_memory(snub_error *error)
{
    return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while drawing");
}

static void fill_pulley(const snub_drive *drive, int i, const double centre[2], const double *radius,
                        snub_view_pulley *out)
{
    const snub_pulley *p = &drive->pulleys[i];
    *out = (snub_view_pulley){.name = p->name,
                              .back = p->side == SNUB_BACK,
                              .crank = p->is_crank,
                              .sense = radius[i] >= 0 ? 1 : -1,
                              .pitch_radius = p->pitch_radius / SNUB_MM,
                              .outer_radius = p->diameter / 2 / SNUB_MM,
                              .rim_radius = p->rim_radius / SNUB_MM,
                              .wrap = NAN,
                              .span = NAN,
                              .rpm = NAN,
                              .frequency_Hz = NAN,
                              .tension_N = NAN,
                              .plane = p->plane / SNUB_MM,
                              .width = p->width / SNUB_MM};
    out->rim_radius = fmax(out->rim_radius, out->outer_radius);
    for (int a = 0; a < 2; a++) {
        out->centre[a] = in_mm(centre[a]);
        out->enter[a] = out->leave[a] = NAN;
    }
}

static void fill_path(const snub_path *path, int i, snub_view_pulley *out)
{
    double enter[2], leave[2];
    snub_path_enter(path, i, enter);
    snub_path_leave(path, i, leave);
    for (int a = 0; a < 2; a++) {
        out->enter[a] = in_mm(enter[a]);
        out->leave[a] = in_mm(leave[a]);
    }
    out->wrap = steady(path->wrap[i]);
    out->span = in_mm(path->span[i]);
}

static snub_status fill_build(const snub_drive *drive, const snub_path *path, const double (*centre)[2],
                              snub_arena *arena, snub_view_build *build, snub_error *error)
{
    double radius[SNUB_PULLEYS_MOST];
    snub_view_pulley *pulley = SNUB_NEW(arena, snub_view_pulley, drive->pulley_count);
    if (pulley == NULL)
        return no_memory(error);
    snub_signed_radii(drive, radius);
    for (int i = 0; i < drive->pulley_count; i++) {
        fill_pulley(drive, i, centre[i], radius, &pulley[i]);
        if (path != NULL)
            fill_path(path, i, &pulley[i]);
    }
    build->count = drive->pulley_count;
    build->pulley = pulley;
    build->thickness = drive->belt.thickness / SNUB_MM;
    build->back = drive->belt.back / SNUB_MM;
    build->width = drive->belt.ribs * drive->belt.pitch / SNUB_MM;
    build->misalignment = drive->limits[SNUB_LIMIT_MISALIGNMENT];
    build->length = drive->belt.length / SNUB_MM;
    return SNUB_OK;
}

static void fill_arm(const snub_drive *drive, double wind, snub_view_arm *arm)
{
    arm->pulley = -1;
    if (drive->arm < 0)
        return;
    const snub_arm *from = &drive->pulleys[drive->arm].arm;
    *arm = (snub_view_arm){.pulley = drive->arm,
                           .length = from->length / SNUB_MM,
                           .rest = from->free,
                           .winds = from->loads,
                           .travel = from->travel,
                           .wind = steady(wind),
                           .work = {from->work[0], from->work[1]},
                           .pivot = {from->pivot[0] / SNUB_MM, from->pivot[1] / SNUB_MM}};
}

snub_view_slot snub_view_slot_of(const snub_drive *drive, int pulley, double setting)
{
    const snub_slot *from = &drive->pulleys[pulley].slot;
    return (snub_view_slot){.pulley = pulley,
                            .curved = from->curved,
                            .from = {from->from[0] / SNUB_MM, from->from[1] / SNUB_MM},
                            .to = {from->to[0] / SNUB_MM, from->to[1] / SNUB_MM},
                            .centre = {from->centre[0] / SNUB_MM, from->centre[1] / SNUB_MM},
                            .radius = from->radius / SNUB_MM,
                            .start = from->start,
                            .sweep = from->sweep,
                            .length = from->length / SNUB_MM,
                            .setting = setting / SNUB_MM};
}

static snub_status fill_slots(const snub_drive *drive, const double *settings, snub_arena *arena, snub_view *view,
                              snub_error *error)
{
    int count = 0;
    for (int i = 0; i < drive->pulley_count; i++)
        count += drive->pulleys[i].sits == SNUB_ON_SLOT ? 1 : 0;
    snub_view_slot *slot = SNUB_NEW(arena, snub_view_slot, count > 0 ? count : 1);
    if (slot == NULL)
        return no_memory(error);
    view->slot = slot;
    view->slot_count = count;
    for (int i = 0, n = 0; i < drive->pulley_count; i++) {
        if (drive->pulleys[i].sits != SNUB_ON_SLOT)
            continue;
        const double set = settings != NULL && isfinite(settings[i]) ? settings[i] : drive->pulleys[i].setting;
        slot[n++] = snub_view_slot_of(drive, i, set);
    }
    return SNUB_OK;
}

/* A stadium becomes a polygon of two half circles in steps of 15 deg: less than 1 % of its radius off the round. */
enum { STADIUM_STEPS = 12 };

static const double (*corners_of(const snub_obstacle *from, int *count, snub_arena *arena))[2]
{
    *count = from->shape == SNUB_POLYGON ? from->corners : 2 * (STADIUM_STEPS + 1);
    double(*corner)[2] = snub_alloc(arena, (size_t)(*count > 0 ? *count : 1), sizeof *corner);
    if (corner == NULL)
        return NULL;
    double along = atan2(from->to[1] - from->from[1], from->to[0] - from->from[0]);
    for (int i = 0; i < *count; i++) {
        if (from->shape == SNUB_POLYGON) {
            corner[i][0] = from->corner[i][0] / SNUB_MM;
            corner[i][1] = from->corner[i][1] / SNUB_MM;
            continue;
        }
        const double *end = i <= STADIUM_STEPS ? from->to : from->from;
        int step = i <= STADIUM_STEPS ? i : i - 1; /* the second half begins where the first ended */
        double angle = along - SNUB_PI / 2 + SNUB_PI * step / STADIUM_STEPS;
        corner[i][0] = (end[0] + from->radius * cos(angle)) / SNUB_MM;
        corner[i][1] = (end[1] + from->radius * sin(angle)) / SNUB_MM;
    }
    return (const double(*)[2])corner;
}

/* Edges of what is taken off an obstacle's sides; one that moves with the arm is cut in its free position. */
static bool fill_cuts(const snub_drive *drive, const snub_obstacle *from, double wind, snub_arena *arena,
                      snub_view_obstacle *to)
{
    double(*edge)[2][2] = snub_alloc(arena, (size_t)from->cut_count + 1, sizeof *edge);
    if (edge == NULL)
        return false;
    for (int i = 0; i < from->cut_count; i++) {
        if (from->cuts[i].from != SNUB_CUT_SIDE)
            continue;
        double line[2][2];
        snub_cut_at(drive, from, i, wind, line);
        for (int k = 0; k < 4; k++)
            edge[to->cut_count][k / 2][k % 2] = line[k / 2][k % 2] / SNUB_MM;
        to->cut_count++;
    }
    to->cut = (const double(*)[2][2])edge;
    return true;
}

bool snub_view_obstacle_of(const snub_drive *drive, const snub_obstacle *obstacle, double wind, snub_arena *arena,
                           snub_view_obstacle *out)
{
    double turned[SNUB_CORNERS_MOST][2], left[2];
    const snub_obstacle from = snub_obstacle_at(drive, obstacle, wind, turned);
    snub_left_of(obstacle, left);
    *out = (snub_view_obstacle){.name = from.name,
                                .round = from.shape == SNUB_CIRCLE,
                                .tool = from.tool,
                                .centre = {from.from[0] / SNUB_MM, from.from[1] / SNUB_MM},
                                .radius = from.radius / SNUB_MM,
                                .z = {left[0] / SNUB_MM, left[1] / SNUB_MM}};
    if (!out->round && (out->corner = corners_of(&from, &out->count, arena)) == NULL)
        return false;
    return fill_cuts(drive, obstacle, wind, arena, out);
}

static snub_status fill_hardware(const snub_drive *drive, double wind, snub_arena *arena, snub_view *view,
                                 snub_error *error)
{
    const snub_hardware *hardware = drive->hardware;
    if (hardware == NULL)
        return SNUB_OK;
    int holes = 0;
    for (int i = 0; i < hardware->mount_count; i++)
        holes += hardware->mounts[i].bolt_count;
    snub_view_obstacle *obstacle = SNUB_NEW(arena, snub_view_obstacle, hardware->obstacle_count + 1);
    snub_view_hole *hole = SNUB_NEW(arena, snub_view_hole, holes + 1);
    if (obstacle == NULL || hole == NULL)
        return no_memory(error);
    for (int i = 0; i < hardware->obstacle_count; i++)
        if (!snub_view_obstacle_of(drive, &hardware->obstacles[i], wind, arena, &obstacle[i]))
            return no_memory(error);
    for (int i = 0, n = 0; i < hardware->mount_count; i++)
        for (int k = 0; k < hardware->mounts[i].bolt_count; k++) {
            const snub_bolt *bolt = &hardware->mounts[i].bolts[k];
            hole[n++] = (snub_view_hole){.name = bolt->thread != NULL ? bolt->thread : bolt->name,
                                         .at = {bolt->at[0] / SNUB_MM, bolt->at[1] / SNUB_MM},
                                         .diameter = (bolt->hole > 0 ? bolt->hole : bolt->diameter) / SNUB_MM};
        }
    view->obstacle = obstacle;
    view->obstacle_count = hardware->obstacle_count;
    view->hole = hole;
    view->hole_count = holes;
    return SNUB_OK;
}

snub_status snub_view_of_path(const snub_drive *drive, const snub_path *path, const double *settings, double wind,
                              snub_arena *arena, snub_view *view, snub_error *error)
{
    double centre[SNUB_PULLEYS_MOST][2];
    snub_view_build *build = SNUB_NEW(arena, snub_view_build, 1);
    if (build == NULL)
        return no_memory(error);
    *view = (snub_view){.title = drive->title, .build_count = 1, .build = build};
    snub_place_pulleys(drive, drive->arm >= 0 ? wind : 0, settings, centre);
    snub_status status = fill_build(drive, path, (const double(*)[2])centre, arena, build, error);
    if (status != SNUB_OK)
        return status;
    fill_arm(drive, wind, &view->arm);
    status = fill_hardware(drive, wind, arena, view, error);
    if (status == SNUB_OK)
        status = snub_view_section_of(drive, (const double(*)[2])centre, arena, view, error);
    if (status != SNUB_OK)
        return status;
    return fill_slots(drive, settings, arena, view, error);
}

/* Where there is no balance: the belt over the pulleys as they stand, if it goes round them at all. */
static const snub_path *path_of(const snub_build *build, const snub_state *state, snub_path *spare)
{
    if (state->solved)
        return &state->balance.path;
    return snub_drive_lay(build->drive, 0, build->settings, spare, NULL) == SNUB_OK ? spare : NULL;
}

snub_status snub_view_build_of(const snub_build *build, const snub_state *state, const char *name, snub_arena *arena,
                               snub_view_build *out, snub_error *error)
{
    snub_path spare;
    double centre[SNUB_PULLEYS_MOST][2];
    const snub_drive *drive = build->drive;
    const double wind = state->solved && drive->arm >= 0 ? state->balance.equilibrium.wind : 0;
    snub_place_pulleys(drive, wind, build->settings, centre);
    snub_status status =
        fill_build(drive, path_of(build, state, &spare), (const double(*)[2])centre, arena, out, error);
    if (status != SNUB_OK)
        return status;
    out->length = build->length / SNUB_MM;
    out->name = snub_copy_text(arena, name != NULL ? name : build->designation);
    if (out->name == NULL)
        return no_memory(error);
    snub_view_pulley *pulley = (snub_view_pulley *)(uintptr_t)out->pulley; /* ours, just made */
    for (int i = 0; state->solved && i < out->count; i++) {
        const snub_pulley_state *p = &state->balance.pulley[i];
        pulley[i].rpm = state->engine_speed > 0 ? p->speed / SNUB_RPM : NAN;
        pulley[i].tension_N = state->balance.span_tension[i];
        pulley[i].frequency_Hz = state->balance.span_frequency[i] > 0 ? state->balance.span_frequency[i] : NAN;
    }
    return SNUB_OK;
}

/* An arm that is drawn within this of where something is nearest shows it, rad. */
static const double SAME_WIND = 0.5 * SNUB_DEG;

/* Whether it hangs on where the arm stands. */
static bool of_arm(const snub_drive *drive, const snub_conflict *c)
{
    const int n = drive->pulley_count, last = c->piece == SNUB_PIECE_SPAN ? (c->index + 1) % n : c->index;
    return drive->arm >= 0 &&
           (c->obstacle->on_arm || c->piece == SNUB_PIECE_BODY || c->index == drive->arm || last == drive->arm);
}

static snub_view_near near_of(const snub_drive *drive, const snub_conflict *c, double wind)
{
    return (snub_view_near){.obstacle = (int)(c->obstacle - drive->hardware->obstacles),
                            .fails = snub_conflict_finding(drive, c).level == SNUB_FAIL,
                            .from = {c->on_piece[0] / SNUB_MM, c->on_piece[1] / SNUB_MM},
                            .to = {c->on_obstacle[0] / SNUB_MM, c->on_obstacle[1] / SNUB_MM},
                            .z = {c->low / SNUB_MM, c->high / SNUB_MM},
                            .gap = c->gap / SNUB_MM,
                            .needed = c->needed / SNUB_MM,
                            .wind = of_arm(drive, c) && fabs(c->wind - wind) > SAME_WIND ? c->wind : (double)NAN};
}

/* What fails beside the drive, for whoever looks at the drawing before the words. */
static snub_status fill_near(const snub_build *build, double wind, snub_arena *arena, snub_view *view,
                             snub_error *error)
{
    const snub_hardware_report *report = build->report;
    if (report == NULL || report->conflict_count == 0)
        return SNUB_OK;
    snub_view_near *near = SNUB_NEW(arena, snub_view_near, report->conflict_count);
    if (near == NULL)
        return no_memory(error);
    for (int i = 0; i < report->conflict_count; i++)
        near[i] = near_of(build->drive, &report->conflicts[i], wind);
    view->near = near;
    view->near_count = report->conflict_count;
    return SNUB_OK;
}

snub_status snub_view_of_build(const snub_build *build, const snub_state *state, snub_arena *arena, snub_view *view,
                               snub_error *error)
{
    const double wind = state->solved ? state->balance.equilibrium.wind : 0;
    snub_status status = snub_view_of_path(build->drive, NULL, build->settings, wind, arena, view, error);
    if (status == SNUB_OK)
        status = fill_near(build, wind, arena, view, error);
    snub_view_build *own = status == SNUB_OK ? SNUB_NEW(arena, snub_view_build, 1) : NULL;
    if (status != SNUB_OK)
        return status;
    if (own == NULL)
        return no_memory(error);
    view->build = own;
    return snub_view_build_of(build, state, NULL, arena, own, error);
}

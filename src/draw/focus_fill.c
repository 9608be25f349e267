/** From what a step of fitting is about to what its picture has dark. */
#include <math.h>

#include "snub/draw_drive.h"
#include "view_fill.h"

static snub_status no_memory(snub_error *error)
{
    return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while drawing");
}

/* Its bolts among the holes of the view, each with its place in the order of tightening. */
static snub_status fill_holes(const snub_build *build, int mount, snub_arena *arena, const snub_view *view,
                              snub_view_focus *focus, snub_error *error)
{
    const snub_hardware *hardware = build->drive->hardware;
    bool *dark = SNUB_NEW(arena, bool, view->hole_count + 1);
    const char **name = SNUB_NEW(arena, const char *, view->hole_count + 1);
    int *order = SNUB_NEW(arena, int, view->hole_count + 1);
    if (dark == NULL || name == NULL || order == NULL)
        return no_memory(error);
    focus->hole = dark;
    focus->order = order;
    focus->hole_name = name;
    if (mount < 0)
        return SNUB_OK;
    const snub_mount_result *r = &build->report->mounts[mount];
    int first = 0;
    for (const snub_mount *m = hardware->mounts; m != r->mount; m++)
        first += m->bolt_count;
    for (int i = 0; i < r->mount->bolt_count; i++) {
        dark[first + i] = true;
        order[first + i] = r->bolts[i].order;
        name[first + i] = snub_format(arena, "%d %s", r->bolts[i].order, r->bolts[i].bolt->name);
        if (name[first + i] == NULL)
            return no_memory(error);
    }
    return SNUB_OK;
}

static snub_status fill_plate(const snub_build *build, int mount, const snub_locale *locale, snub_arena *arena,
                              snub_view_focus *focus, snub_error *error)
{
    if (mount < 0)
        return SNUB_OK;
    snub_plate *plate = SNUB_NEW(arena, snub_plate, 1);
    if (plate == NULL)
        return no_memory(error);
    focus->plate = plate;
    return snub_plate_of_mount(build->drive, build->report->mounts[mount].mount->name, locale, arena, plate, error);
}

/* From rim to rim on the line of the centres, or from centre to centre. */
static snub_view_measure measure_of(const snub_view *view, const snub_step_measure *from)
{
    const snub_view_pulley *a = &view->build[0].pulley[from->from], *b = &view->build[0].pulley[from->to];
    const double dx = b->centre[0] - a->centre[0], dy = b->centre[1] - a->centre[1], d = hypot(dx, dy);
    const double off[2] = {from->rims && d > 0 ? a->rim_radius / d : 0, from->rims && d > 0 ? b->rim_radius / d : 0};
    return (snub_view_measure){.from = {a->centre[0] + dx * off[0], a->centre[1] + dy * off[0]},
                               .to = {b->centre[0] - dx * off[1], b->centre[1] - dy * off[1]},
                               .length = from->length / SNUB_MM,
                               .other = from->to,
                               .rims = from->rims};
}

snub_status snub_view_focus_of(const snub_build *build, const snub_step_parts *parts, const snub_locale *locale,
                               const snub_view *view, snub_arena *arena, snub_view_focus *focus, snub_error *error)
{
    bool *slot = SNUB_NEW(arena, bool, view->slot_count + 1);
    snub_view_measure *measure = SNUB_NEW(arena, snub_view_measure, SNUB_STEP_MEASURES_MOST);
    if (slot == NULL || measure == NULL)
        return no_memory(error);
    for (int i = 0; i < view->slot_count; i++)
        slot[i] = parts->slot[view->slot[i].pulley];
    for (int i = 0; i < parts->measure_count; i++)
        measure[i] = measure_of(view, &parts->measure[i]);
    *focus = (snub_view_focus){.pulley = parts->pulley,
                               .span = parts->span,
                               .slot = slot,
                               .obstacle = parts->obstacle,
                               .arm = parts->arm,
                               .belt = parts->belt,
                               .laid = parts->laid,
                               .sets = parts->sets,
                               .reads = parts->reads,
                               .plucked = parts->plucked,
                               .winds = parts->winds,
                               .slides = parts->slides,
                               .turns = parts->turns,
                               .measure_count = parts->measure_count,
                               .measure = measure};
    if (parts->removed >= 0) {
        snub_view_obstacle *removed = SNUB_NEW(arena, snub_view_obstacle, 1);
        if (removed == NULL || !snub_view_obstacle_of(build->drive, &build->drive->hardware->removed[parts->removed],
                                                      view->arm.pulley >= 0 ? view->arm.wind : 0, arena, removed))
            return no_memory(error);
        focus->removed = removed;
    }
    const snub_status status = fill_holes(build, parts->mount, arena, view, focus, error);
    return status == SNUB_OK ? fill_plate(build, parts->mount, locale, arena, focus, error) : status;
}

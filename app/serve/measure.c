#include "measure.h"

#include <math.h>
#include <string.h>

#include "snub/drawn.h"
#include "snub/json.h"

enum { FIGURES_MOST = 64 };

/* A thing as it is seen: some plane figures, m, in (x, y) or (z, y). */
typedef struct figures {
    int count;
    snub_obstacle item[FIGURES_MOST];
    double corner[FIGURES_MOST][4][2];
} figures;

/* ---- what is asked ----------------------------------------------------------------------------------------------- */

static snub_status wrong(snub_error *error)
{
    return snub_fail(
        error, SNUB_BAD_INPUT, NULL, "measure",
        "needs \"view\" (front or side) and \"of\": two of pulley, span, obstacle or mount by name, or at");
}

static bool take_name(const json_t *json, const char *key, snub_arena *arena, const char **name)
{
    const json_t *value = json_object_get(json, key);
    if (json_is_string(value))
        *name = snub_copy_text(arena, json_string_value(value));
    return value == NULL || (json_is_string(value) && *name != NULL);
}

static snub_status read_thing(const json_t *json, snub_arena *arena, serve_thing *thing, snub_error *error)
{
    const json_t *at = json_object_get(json, "at");
    if (!json_is_object(json) || !take_name(json, "pulley", arena, &thing->pulley) ||
        !take_name(json, "span", arena, &thing->span) || !take_name(json, "obstacle", arena, &thing->obstacle) ||
        !take_name(json, "mount", arena, &thing->mount) || !take_name(json, "part", arena, &thing->part))
        return wrong(error);
    const int named =
        (thing->pulley != NULL) + (thing->span != NULL) + (thing->obstacle != NULL) + (thing->mount != NULL);
    if (named != (at == NULL) || (thing->part != NULL && thing->pulley == NULL && thing->mount == NULL))
        return wrong(error);
    for (size_t i = 0; at != NULL && i < 2; i++) {
        const json_t *value = json_array_get(at, i);
        if (!json_is_number(value))
            return wrong(error);
        thing->at[i] = json_number_value(value) * SNUB_MM;
    }
    return SNUB_OK;
}

snub_status serve_measure_read(const json_t *json, snub_arena *arena, serve_measure *measure, snub_error *error)
{
    if (json == NULL || json_is_null(json))
        return SNUB_OK;
    const char *view = json_string_value(json_object_get(json, "view"));
    const json_t *of = json_object_get(json, "of");
    if (view == NULL || !json_is_array(of) || json_array_size(of) != 2 ||
        (strcmp(view, "front") != 0 && strcmp(view, "side") != 0))
        return wrong(error);
    measure->asked = true;
    measure->side = strcmp(view, "side") == 0;
    const snub_status status = read_thing(json_array_get(of, 0), arena, &measure->thing[0], error);
    return status != SNUB_OK ? status : read_thing(json_array_get(of, 1), arena, &measure->thing[1], error);
}

/* ---- as figures -------------------------------------------------------------------------------------------------- */

/* What is measured in, and where it stands. */
typedef struct scene {
    const snub_drive *drive;
    const snub_path *path;
    bool laid, side;
    double wind;
    const snub_view *section;
} scene;

static void add_circle(figures *f, const double at[2], double radius)
{
    if (f->count < FIGURES_MOST)
        f->item[f->count++] = (snub_obstacle){.shape = SNUB_CIRCLE, .from = {at[0], at[1]}, .radius = radius};
}

static void add_quad(figures *f, const double a[2], const double b[2], const double c[2], const double d[2])
{
    if (f->count == FIGURES_MOST)
        return;
    const double *const corners[] = {a, b, c, d};
    for (int i = 0; i < 4; i++)
        memcpy(f->corner[f->count][i], corners[i], sizeof f->corner[f->count][i]);
    f->item[f->count] = (snub_obstacle){.shape = SNUB_POLYGON, .corners = 4, .corner = f->corner[f->count]};
    f->count++;
}

static void add_box(figures *f, const double z[2], const double y[2])
{
    add_quad(f, (double[]){z[0], y[0]}, (double[]){z[1], y[0]}, (double[]){z[1], y[1]}, (double[]){z[0], y[1]});
}

static int pulley_named(const snub_drive *drive, const char *name)
{
    for (int i = 0; name != NULL && i < drive->pulley_count; i++)
        if (strcmp(drive->pulleys[i].name, name) == 0)
            return i;
    return -1;
}

static const snub_obstacle *obstacle_named(const snub_drive *drive, const char *name)
{
    for (int i = 0; name != NULL && drive->hardware != NULL && i < drive->hardware->obstacle_count; i++)
        if (strcmp(drive->hardware->obstacles[i].name, name) == 0)
            return &drive->hardware->obstacles[i];
    return NULL;
}

/* Blocks of a pulley or a mount in the section. @param[in] part  NULL: its brackets, or what turns beside the rim */
static void add_blocks(const scene *s, const char *of, bool mount, const char *part, figures *f)
{
    for (int i = 0; i < s->section->block_count; i++) {
        const snub_view_block *b = &s->section->block[i];
        const bool turns = b->metal == SNUB_METAL_FLANGE || b->metal == SNUB_METAL_DISC;
        const bool own = mount ? b->metal == SNUB_METAL_BRACKET : turns;
        if (strcmp(b->of, of) != 0 || b->of_mount != mount ||
            !(part != NULL ? b->name != NULL && strcmp(b->name, part) == 0 : own))
            continue;
        const double z[2] = {b->z[0] * SNUB_MM, b->z[1] * SNUB_MM}, y[2] = {b->y[0] * SNUB_MM, b->y[1] * SNUB_MM};
        add_box(f, z, y);
    }
}

static void add_pulley(const scene *s, int i, figures *f)
{
    const snub_pulley *p = &s->drive->pulleys[i];
    const double r = fmax(p->rim_radius, p->diameter / 2), y = s->path->centre[i][1], half = p->width / 2;
    if (s->side) {
        add_box(f, (double[]){p->plane - half, p->plane + half}, (double[]){y - r, y + r});
        add_blocks(s, p->name, false, NULL, f);
    } else {
        add_circle(f, s->path->centre[i], r);
    }
}

static void add_span(const scene *s, int i, figures *f)
{
    const snub_drive *drive = s->drive;
    const int next = (i + 1) % s->path->n;
    const double half = 0.5 * drive->belt.ribs * drive->belt.pitch, *u = s->path->u[i];
    const double inside = drive->belt.thickness - drive->belt.back, back = drive->belt.back;
    double a[2], b[2], c[2], d[2];
    if (!s->laid)
        return;
    snub_path_leave(s->path, i, a);
    snub_path_enter(s->path, next, b);
    if (s->side) {
        const double from = drive->pulleys[i].plane, to = drive->pulleys[next].plane;
        add_quad(f, (double[]){from - half, a[1]}, (double[]){from + half, a[1]}, (double[]){to + half, b[1]},
                 (double[]){to - half, b[1]});
        return;
    }
    /* ribs lie on the right of travel where the crank turns clockwise */
    const double left = drive->turn > 0.0 ? back : inside, right = drive->turn > 0.0 ? inside : back;
    for (int k = 0; k < 2; k++) {
        const double n = k == 0 ? -u[1] : u[0];
        d[k] = a[k] + left * n;
        c[k] = b[k] + left * n;
        a[k] -= right * n;
        b[k] -= right * n;
    }
    add_quad(f, a, b, c, d);
}

/* Its slices, along the crank each with its own ends. */
static void add_obstacle(const scene *s, const snub_obstacle *file, snub_arena *arena, figures *f)
{
    const int slices = file->slice_count > 0 ? file->slice_count : 1;
    for (int k = 0; k < slices && f->count < FIGURES_MOST; k++) {
        const snub_obstacle *slice = file->slice_count > 0 ? &file->slices[k] : file;
        double(*corner)[2] = snub_alloc(arena, SNUB_CORNERS_MOST, sizeof *corner);
        if (corner == NULL)
            return;
        const snub_obstacle o = snub_obstacle_at(s->drive, slice, s->wind, corner);
        double y[2] = {INFINITY, -INFINITY};
        for (int i = 0; i < snub_obstacle_points(&o); i++) {
            const double level = snub_obstacle_point(&o, i)[1], round = snub_obstacle_round(&o);
            y[0] = fmin(y[0], level - round);
            y[1] = fmax(y[1], level + round);
        }
        if (!s->side)
            f->item[f->count++] = o;
        else if (isfinite(o.low) && isfinite(o.high))
            add_box(f, (double[]){o.low, o.high}, y);
    }
}

/* A bracket by its outline, a bolt by its head or washer. */
static void add_mount(const scene *s, const serve_thing *thing, figures *f)
{
    const snub_hardware *hardware = s->drive->hardware;
    if (s->side) {
        add_blocks(s, thing->mount, true, thing->part, f);
        return;
    }
    for (int m = 0; hardware != NULL && m < hardware->mount_count; m++) {
        const snub_mount *mount = &hardware->mounts[m];
        if (strcmp(mount->name, thing->mount) != 0)
            continue;
        if (thing->part == NULL && mount->corners >= 3)
            f->item[f->count++] =
                (snub_obstacle){.shape = SNUB_POLYGON, .corners = mount->corners, .corner = mount->corner};
        for (int k = 0; thing->part != NULL && k < mount->bolt_count; k++)
            if (strcmp(mount->bolts[k].name, thing->part) == 0)
                add_circle(f, mount->bolts[k].at, fmax(mount->bolts[k].head, mount->bolts[k].washer) / 2);
    }
}

static figures *figures_of(const scene *s, const serve_thing *thing, snub_arena *arena)
{
    figures *f = SNUB_NEW(arena, figures, 1);
    const int pulley = pulley_named(s->drive, thing->pulley), span = pulley_named(s->drive, thing->span);
    const snub_obstacle *obstacle = obstacle_named(s->drive, thing->obstacle);
    if (f == NULL)
        return NULL;
    if (pulley >= 0 && thing->part != NULL)
        add_blocks(s, thing->pulley, false, thing->part, f);
    else if (pulley >= 0)
        add_pulley(s, pulley, f);
    else if (span >= 0)
        add_span(s, span, f);
    else if (obstacle != NULL)
        add_obstacle(s, obstacle, arena, f);
    else if (thing->mount != NULL)
        add_mount(s, thing, f);
    else if (thing->pulley == NULL && thing->span == NULL && thing->obstacle == NULL)
        add_circle(f, thing->at, 0.0);
    return f;
}

/* ---- the distance ------------------------------------------------------------------------------------------------ */

/* From the middle of a round figure to its outline, towards a point. */
static void to_outline(const snub_obstacle *o, const double towards[2], double at[2])
{
    const double dx = towards[0] - at[0], dy = towards[1] - at[1], far = hypot(dx, dy);
    if (o->shape == SNUB_POLYGON || !(far > 0.0))
        return;
    at[0] += o->radius * dx / far;
    at[1] += o->radius * dy / far;
}

static bool nearest(const figures *a, const figures *b, double from[2], double to[2], double *distance)
{
    *distance = INFINITY;
    for (int i = 0; i < a->count; i++) {
        for (int k = 0; k < b->count; k++) {
            double near[2], far[2];
            const double gap = snub_body_gap(&a->item[i], &b->item[k], near, far);
            if (!(gap < *distance))
                continue;
            *distance = gap;
            memcpy(from, near, sizeof near);
            memcpy(to, far, sizeof far);
            to_outline(&a->item[i], far, from);
            to_outline(&b->item[k], near, to);
        }
    }
    return isfinite(*distance);
}

/* What the program itself holds the two apart by. */
static json_t *judged(const serve_measure *measure, const scene *s, snub_arena *arena)
{
    const serve_thing *a = &measure->thing[0], *b = &measure->thing[1];
    if (a->obstacle != NULL) {
        const serve_thing *other = a;
        a = b;
        b = other;
    }
    const snub_obstacle *obstacle = obstacle_named(s->drive, b->obstacle);
    const snub_drawn_piece one = {pulley_named(s->drive, a->span != NULL ? a->span : a->pulley), a->span != NULL};
    const snub_drawn_piece two = {pulley_named(s->drive, b->span != NULL ? b->span : b->pulley), b->span != NULL};
    snub_drawn_gap gap;
    if (!s->laid || one.pulley < 0 || (two.pulley < 0 && obstacle == NULL) || a->part != NULL || b->part != NULL)
        return json_null();
    const int found = obstacle != NULL ? snub_drawn_beside(s->drive, s->path, arena, one, obstacle, &gap)
                                       : snub_drawn_pair(s->drive, s->path, arena, one, two, &gap);
    if (found != 1)
        return found < 0 ? NULL : json_null();
    return json_pack("{s:o, s:o, s:o}", "value_mm", snub_json_number(gap.value / SNUB_MM), "limit_mm",
                     snub_json_number(gap.limit / SNUB_MM), "flap_mm", snub_json_number(gap.flap / SNUB_MM));
}

json_t *serve_measured(const serve_measure *measure, const snub_drive *drive, const snub_path *path, bool laid,
                       double wind, const snub_view *section, snub_arena *arena)
{
    const scene s = {drive, path, laid, measure->side, wind, section};
    if (!measure->asked)
        return json_null();
    const figures *a = figures_of(&s, &measure->thing[0], arena), *b = figures_of(&s, &measure->thing[1], arena);
    double from[2], to[2], distance;
    if (a == NULL || b == NULL)
        return NULL;
    if (!nearest(a, b, from, to, &distance))
        return json_null();
    return json_pack("{s:o, s:o, s:o, s:o}", "from_mm", snub_json_pair(from[0] / SNUB_MM, from[1] / SNUB_MM), "to_mm",
                     snub_json_pair(to[0] / SNUB_MM, to[1] / SNUB_MM), "distance_mm",
                     snub_json_number(distance / SNUB_MM), "judged", judged(measure, &s, arena));
}

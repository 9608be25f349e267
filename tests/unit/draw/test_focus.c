/* A picture of a few parts: those that are flagged are dark, nothing else is; it prints in black. The drawing is read
 * back by the places of its entities, over random flags. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "draw/shape.h"
#include "support/near.h"
#include "unit/draw/scene.h"

enum { CASES = 300, HOLES = 2, OBSTACLES = 2 };
#define SAME 1e-6

typedef struct flags {
    bool pulley[SCENE_PULLEYS], span[SCENE_PULLEYS], slot[1], obstacle[OBSTACLES], hole[HOLES];
    int order[HOLES];
    const char *name[HOLES];
    snub_view_measure measure[1];
    snub_plate_hole plate_hole[HOLES];
    double corner[3][2];
    snub_plate plate;
    snub_view_obstacle removed;
    snub_view_focus focus;
} flags;

static unsigned long seed = 20261128;

static int pick(int count)
{
    seed = (seed * 6364136223846793005UL + 1442695040888963407UL) & 0xffffffffffffffffUL;
    return (int)((seed >> 33) % (unsigned long)count);
}

static void random_flags(flags *f, scene_drive *scene)
{
    const int way = pick(3) - 1;
    memset(f, 0, sizeof *f);
    for (int i = 0; i < SCENE_PULLEYS; i++) {
        f->pulley[i] = pick(4) == 0;
        f->span[i] = pick(6) == 0;
    }
    f->slot[0] = pick(2) == 0;
    for (int i = 0; i < OBSTACLES; i++)
        f->obstacle[i] = pick(4) == 0;
    for (int i = 0; i < HOLES; i++) {
        f->hole[i] = pick(3) == 0;
        f->order[i] = i + 1;
        f->name[i] = i == 0 ? "1 upper ear" : "2 lower ear";
    }
    f->pulley[pick(SCENE_PULLEYS)] = true; /* or there would be nothing to show */
    f->measure[0] = (snub_view_measure){{scene->pulley[0].centre[0], scene->pulley[0].centre[1]},
                                        {scene->pulley[2].centre[0], scene->pulley[2].centre[1]},
                                        123.4,
                                        2,
                                        pick(2) == 0};
    for (int i = 0; i < HOLES; i++)
        f->plate_hole[i] = (snub_plate_hole){
            .name = "ear", .at = {scene->hole[i].at[0], scene->hole[i].at[1]}, .diameter = scene->hole[i].diameter};
    f->corner[0][0] = -100, f->corner[1][0] = 20, f->corner[2][1] = 300;
    f->plate = (snub_plate){.name = "ear plate",
                            .hole_count = HOLES,
                            .hole = f->plate_hole,
                            .corners = pick(2) == 0 ? 3 : 0,
                            .corner = (const double(*)[2])f->corner};
    f->removed = (snub_view_obstacle){.name = "old cover", .round = true, .centre = {60, 240}, .radius = 22};
    f->focus = (snub_view_focus){.pulley = f->pulley,
                                 .span = f->span,
                                 .slot = f->slot,
                                 .obstacle = f->obstacle,
                                 .removed = pick(4) == 0 ? &f->removed : NULL,
                                 .hole = f->hole,
                                 .order = f->order,
                                 .hole_name = f->name,
                                 .plate = pick(3) == 0 ? &f->plate : NULL,
                                 .arm = pick(3) == 0,
                                 .belt = pick(3) == 0,
                                 .laid = pick(2) == 0,
                                 .sets = pick(2) == 0,
                                 .reads = pick(2) == 0,
                                 .plucked = pick(2) == 0,
                                 .turns = pick(3) == 0 ? 0 : -1,
                                 .measure_count = pick(3) == 0 ? 1 : 0,
                                 .measure = f->measure};
    f->focus.laid = f->focus.laid || f->focus.belt;
    f->focus.winds = f->focus.arm ? way : 0;
    f->focus.slides = f->slot[0] ? way : 0;
}

static void draw(const flags *f, scene_drive *scene, snub_arena *arena, snub_drawing *drawing)
{
    snub_error error = {0};
    scene->view.paper[0] = 75;
    scene->view.paper[1] = 52;
    const snub_status status = snub_draw_focus(&scene->view, &f->focus, NULL, arena, drawing, &error);
    if (status != SNUB_OK)
        print_error("%s\n", error.message);
    assert_int_equal(status, SNUB_OK);
}

/* ---- what is dark ------------------------------------------------------------------------------------------------ */

static bool is_dark(const snub_entity *e)
{
    return e->pen.ink == SNUB_INK_TEXT || e->fill == SNUB_INK_TEXT || e->fill == SNUB_INK_FAINT;
}

static bool at(const double a[2], const double b[2])
{
    return hypot(a[0] - b[0], a[1] - b[1]) < SAME;
}

/* Circles about a point with this radius, or any (0): how many are dark, how many are not. */
static void circles(const snub_drawing *d, snub_layer layer, const double centre[2], double radius, int count[2])
{
    count[0] = count[1] = 0;
    for (int i = 0; i < d->count; i++) {
        const snub_entity *e = &d->entity[i];
        if (e->kind == SNUB_ENTITY_CIRCLE && e->layer == layer && at(e->as.circle.centre, centre) &&
            (radius == 0 || fabs(e->as.circle.radius - radius) < SAME))
            count[is_dark(e)]++;
    }
}

/* Of anything on a layer: how many are dark. */
static int on_layer(const snub_drawing *d, snub_layer layer, bool dark)
{
    int n = 0;
    for (int i = 0; i < d->count; i++)
        n += d->entity[i].layer == layer && d->entity[i].kind != SNUB_ENTITY_TEXT && is_dark(&d->entity[i]) == dark;
    return n;
}

static void pulleys_are_as_flagged(const snub_drawing *d, const flags *f, const scene_drive *scene)
{
    for (int i = 0; i < SCENE_PULLEYS; i++) {
        int count[2];
        circles(d, SNUB_LAYER_PULLEY, scene->pulley[i].centre, scene->pulley[i].rim_radius, count);
        assert_int_equal(count[1], f->pulley[i] ? 1 : 0);
        assert_int_equal(count[0], f->pulley[i] ? 0 : 1);
    }
}

static void holes_are_as_flagged(const snub_drawing *d, const flags *f, const scene_drive *scene)
{
    for (int i = 0; i < HOLES; i++) {
        int count[2];
        circles(d, SNUB_LAYER_HOLES, scene->hole[i].at, 0, count);
        for (int k = 0; k < d->count && f->hole[i]; k++) { /* its number has room on it */
            const snub_entity *e = &d->entity[k];
            if (e->kind == SNUB_ENTITY_CIRCLE && e->layer == SNUB_LAYER_HOLES &&
                at(e->as.circle.centre, scene->hole[i].at))
                assert_true(e->as.circle.radius >= 2 * d->unit);
        }
        assert_int_equal(count[1], f->hole[i] ? 1 : 0);
        assert_int_equal(count[0], f->hole[i] ? 0 : 1);
    }
}

static bool edge_of(const snub_entity *e, const snub_view_obstacle *o)
{
    if (e->layer != SNUB_LAYER_OBSTACLE)
        return false;
    if (o->round)
        return e->kind == SNUB_ENTITY_CIRCLE && at(e->as.circle.centre, o->centre);
    return e->kind == SNUB_ENTITY_PATH && fabs(e->as.path.loop[0].vertex[0].x - o->corner[0][0]) < SAME &&
           fabs(e->as.path.loop[0].vertex[0].y - o->corner[0][1]) < SAME;
}

static void obstacles_are_as_flagged(const snub_drawing *d, const flags *f, const scene_drive *scene)
{
    int flagged = 0;
    for (int i = 0; i < OBSTACLES; i++) {
        int dark = 0, light = 0;
        flagged += f->obstacle[i];
        for (int k = 0; k < d->count; k++) {
            if (!edge_of(&d->entity[k], &scene->view.obstacle[i]))
                continue;
            dark += is_dark(&d->entity[k]);
            light += !is_dark(&d->entity[k]);
        }
        assert_int_equal(dark, f->obstacle[i] ? 1 : 0);
        assert_int_equal(light, f->obstacle[i] ? 0 : 1);
    }
    int count[2];
    circles(d, SNUB_LAYER_OBSTACLE, f->removed.centre, f->removed.radius, count);
    assert_int_equal(count[1], f->focus.removed != NULL);
    assert_int_equal(count[0], 0);
    if (flagged == 0 && f->focus.removed == NULL)
        assert_int_equal(on_layer(d, SNUB_LAYER_OBSTACLE, true), 0);
}

static int heavy_lines(const snub_drawing *d, const double a[2], const double b[2])
{
    int n = 0;
    for (int i = 0; i < d->count; i++) {
        const snub_entity *e = &d->entity[i];
        n += e->kind == SNUB_ENTITY_LINE && e->layer == SNUB_LAYER_BELT && is_dark(e) && e->pen.width > 1 &&
             at(e->as.line.a, a) && at(e->as.line.b, b);
    }
    return n;
}

static void belt_is_as_flagged(const snub_drawing *d, const flags *f, const scene_drive *scene)
{
    for (int i = 0; i < SCENE_PULLEYS; i++) {
        const int n = heavy_lines(d, scene->pulley[i].leave, scene->pulley[(i + 1) % SCENE_PULLEYS].enter);
        assert_int_equal(n, f->focus.laid && f->span[i] ? 1 : 0);
    }
    int paths[2] = {0, 0};
    for (int i = 0; i < d->count; i++)
        if (d->entity[i].layer == SNUB_LAYER_BELT && d->entity[i].kind == SNUB_ENTITY_PATH)
            paths[is_dark(&d->entity[i])]++;
    assert_int_equal(paths[1], f->focus.belt);
    assert_int_equal(paths[0], f->focus.laid && !f->focus.belt);
    assert_int_equal(on_layer(d, SNUB_LAYER_PITCH, true) > 0, f->focus.belt); /* which way it runs */
    assert_int_equal(on_layer(d, SNUB_LAYER_PITCH, false), 0);
}

static void arm_and_slot_are_as_flagged(const snub_drawing *d, const flags *f)
{
    assert_int_equal(on_layer(d, SNUB_LAYER_ARM, true) > 0, f->focus.arm);
    assert_int_equal(on_layer(d, SNUB_LAYER_ARM, false) > 0, !f->focus.arm);
    assert_int_equal(on_layer(d, SNUB_LAYER_GHOST, true), 0);
    assert_int_equal(on_layer(d, SNUB_LAYER_SLOT, true) > 0, f->slot[0]);
    assert_int_equal(on_layer(d, SNUB_LAYER_SLOT, false) > 0, !f->slot[0]);
    assert_int_equal(on_layer(d, SNUB_LAYER_SLOT, true) > 1, f->slot[0] && f->focus.sets); /* its mark */
}

/* The bracket's edge: the file's outline as it is, one that only holds its holes together in dashes. */
static void bracket_is_as_flagged(const snub_drawing *d, const flags *f)
{
    int edges = 0;
    for (int i = 0; i < d->count; i++) {
        const snub_entity *e = &d->entity[i];
        if (e->layer != SNUB_LAYER_HOLES || e->kind != SNUB_ENTITY_PATH)
            continue;
        edges++;
        assert_true(is_dark(e));
        assert_int_equal(e->pen.dash, f->plate.corners > 0 ? SNUB_DASH_SOLID : SNUB_DASH_DASHED);
        assert_int_equal(f->plate.corners > 0, e->as.path.loop[0].count == 3);
    }
    assert_int_equal(edges, f->focus.plate != NULL);
}

/* ---- in black, at 300 dots to the inch --------------------------------------------------------------------------- */

static void it_prints(const snub_drawing *d)
{
    for (int i = 0; i < d->count; i++) {
        const snub_entity *e = &d->entity[i];
        if (e->kind == SNUB_ENTITY_TEXT) {
            assert_true(e->as.text.height >= 2.0 - 1e-9);
            continue;
        }
        if (e->pen.ink == SNUB_INK_NONE)
            continue;
        if (e->pen.width < 0.18)
            print_error("layer %d, kind %d: %g mm\n", e->layer, e->kind, e->pen.width);
        assert_true(e->pen.width >= 0.18);
        assert_true(e->pen.ink != SNUB_INK_FAINT);
        if (e->pen.ink == SNUB_INK_LIGHT)
            assert_true(e->fill == SNUB_INK_NONE || e->fill == SNUB_INK_PAPER);
    }
    /* a light line is grey all the same, and no paler than half: of ten dots at least four are black */
    const uint32_t light = snub_ink_colour(SNUB_INK_LIGHT, SNUB_THEME_LIGHT);
    for (int k = 0; k < 3; k++)
        assert_true((light >> 8 * k & 255) <= 0.62 * 255);
}

/* ---- what is seen ------------------------------------------------------------------------------------------------ */

static void assert_seen(const snub_drawing *d, double x, double y)
{
    if (!(x >= d->low[0] && x <= d->high[0] && y >= d->low[1] && y <= d->high[1]))
        print_error("%g, %g is not on %g..%g, %g..%g\n", x, y, d->low[0], d->high[0], d->low[1], d->high[1]);
    assert_true(x >= d->low[0] && x <= d->high[0] && y >= d->low[1] && y <= d->high[1]);
}

static int words(const snub_drawing *d, const char *text)
{
    int n = 0;
    for (int i = 0; i < d->count; i++)
        n += d->entity[i].kind == SNUB_ENTITY_TEXT && strcmp(d->entity[i].as.text.text, text) == 0;
    return n;
}

static void what_is_dark_is_seen_and_named(const snub_drawing *d, const flags *f, const scene_drive *scene)
{
    for (int i = 0; i < SCENE_PULLEYS; i++) {
        const snub_view_pulley *p = &scene->pulley[i];
        if (!f->pulley[i])
            continue;
        for (int k = 0; k < 4; k++)
            assert_seen(d, p->centre[0] + p->rim_radius * cos(k * SNUB_PI / 2),
                        p->centre[1] + p->rim_radius * sin(k * SNUB_PI / 2));
        assert_int_equal(words(d, p->name), 1);
    }
    for (int i = 0; i < HOLES; i++) {
        assert_int_equal(words(d, f->name[i]), f->hole[i]);
        assert_int_equal(words(d, i == 0 ? "1" : "2"), f->hole[i]); /* on the bolt itself */
        if (f->hole[i])
            assert_seen(d, scene->hole[i].at[0], scene->hole[i].at[1]);
    }
    for (int i = 0; i < OBSTACLES; i++)
        if (f->obstacle[i])
            assert_int_equal(words(d, scene->view.obstacle[i].name), 1);
    assert_int_equal(words(d, "old cover"), f->focus.removed != NULL);
    if (f->focus.removed != NULL)
        assert_seen(d, f->removed.centre[0] + f->removed.radius, f->removed.centre[1] + f->removed.radius);
    assert_int_equal(words(d, "123.4 mm"), f->focus.measure_count);
    assert_int_equal(words(d, "ear plate"), f->focus.plate != NULL);
}

static void only_what_is_flagged_is_dark(void **state)
{
    (void)state;
    for (int k = 0; k < CASES; k++) {
        scene_drive scene;
        snub_arena arena = {0};
        snub_drawing drawing;
        flags f;
        scene_make(&scene);
        random_flags(&f, &scene);
        draw(&f, &scene, &arena, &drawing);
        pulleys_are_as_flagged(&drawing, &f, &scene);
        holes_are_as_flagged(&drawing, &f, &scene);
        obstacles_are_as_flagged(&drawing, &f, &scene);
        belt_is_as_flagged(&drawing, &f, &scene);
        arm_and_slot_are_as_flagged(&drawing, &f);
        bracket_is_as_flagged(&drawing, &f);
        it_prints(&drawing);
        what_is_dark_is_seen_and_named(&drawing, &f, &scene);
        snub_arena_free(&arena);
    }
}

/* ---- arrows ------------------------------------------------------------------------------------------------------ */

/* The heads that a flag adds: tip and direction, in the order of drawing. @return how many */
static int heads(const snub_drawing *d, double tip[4][2], double way[4][2])
{
    int n = 0;
    for (int i = 0; i < d->count; i++) {
        const snub_entity *e = &d->entity[i];
        if (e->kind != SNUB_ENTITY_PATH || e->layer != SNUB_LAYER_DIMENSION)
            continue;
        const snub_vertex *v = e->as.path.loop[0].vertex;
        assert_true(n < 4);
        tip[n][0] = v[0].x;
        tip[n][1] = v[0].y;
        way[n][0] = v[0].x - (v[1].x + v[2].x) / 2;
        way[n][1] = v[0].y - (v[1].y + v[2].y) / 2;
        n++;
    }
    return n;
}

static void one_flag(flags *f, scene_drive *scene)
{
    scene_make(scene);
    do
        random_flags(f, scene);
    while (f->focus.measure_count > 0);
    f->focus.winds = f->focus.slides = 0;
    f->focus.turns = -1;
    f->focus.plucked = false;
}

/* An arm that winds turns its pulley about the pivot towards the stop; the head points that way. */
static void the_arm_goes_where_it_is_wound(void **state)
{
    (void)state;
    for (int sense = -1; sense <= 1; sense += 2) {
        scene_drive scene;
        snub_arena arena = {0};
        snub_drawing drawing;
        flags f;
        double tip[4][2], way[4][2];
        one_flag(&f, &scene);
        f.focus.arm = true;
        f.focus.winds = sense;
        draw(&f, &scene, &arena, &drawing);
        const snub_view_arm *arm = &scene.view.arm;
        const double now = arm->rest + arm->winds * arm->wind, then = now + 0.01 * sense * arm->winds;
        const double step[2] = {cos(then) - cos(now), sin(then) - sin(now)};
        assert_int_equal(heads(&drawing, tip, way), 1);
        assert_true(step[0] * way[0][0] + step[1] * way[0][1] > 0);
        snub_arena_free(&arena);
    }
}

static void the_crank_and_the_slider_go_their_way(void **state)
{
    (void)state;
    for (int sense = -1; sense <= 1; sense += 2) {
        scene_drive scene;
        snub_arena arena = {0};
        snub_drawing drawing;
        flags f;
        double tip[4][2], way[4][2];
        one_flag(&f, &scene);
        scene.pulley[0].sense = sense; /* +1 turns clockwise */
        f.focus.turns = 0;
        draw(&f, &scene, &arena, &drawing);
        assert_int_equal(heads(&drawing, tip, way), 1);
        const double x = tip[0][0] - scene.pulley[0].centre[0], y = tip[0][1] - scene.pulley[0].centre[1];
        assert_true((x * way[0][1] - y * way[0][0]) * sense < 0);
        one_flag(&f, &scene);
        f.slot[0] = true;
        f.focus.slides = sense;
        draw(&f, &scene, &arena, &drawing);
        assert_int_equal(heads(&drawing, tip, way), 1);
        const double along[2] = {scene.slot.to[0] - scene.slot.from[0], scene.slot.to[1] - scene.slot.from[1]};
        assert_true((along[0] * way[0][0] + along[1] * way[0][1]) * sense > 0);
        snub_arena_free(&arena);
    }
}

/* A pluck is drawn across the middle of its span, to both sides. */
static void a_pluck_goes_across(void **state)
{
    (void)state;
    scene_drive scene;
    snub_arena arena = {0};
    snub_drawing drawing;
    flags f;
    double tip[4][2], way[4][2];
    one_flag(&f, &scene);
    memset(f.span, 0, sizeof f.span);
    f.span[1] = f.focus.laid = f.focus.plucked = true;
    draw(&f, &scene, &arena, &drawing);
    assert_int_equal(heads(&drawing, tip, way), 2);
    const double *a = scene.pulley[1].leave, *b = scene.pulley[2].enter;
    for (int i = 0; i < 2; i++) {
        const double turned = (b[0] - a[0]) * way[i][0] + (b[1] - a[1]) * way[i][1];
        assert_near("across", turned, 0, 1e-6, "mm2");
        assert_near("x of the middle", (tip[0][0] + tip[1][0]) / 2, (a[0] + b[0]) / 2, 1e-9, "mm");
        assert_near("y of the middle", (tip[0][1] + tip[1][1]) / 2, (a[1] + b[1]) / 2, 1e-9, "mm");
    }
    snub_arena_free(&arena);
}

/* ---- the window -------------------------------------------------------------------------------------------------- */

/* In each direction in which a window has room for the part with its words and for the crank's middle, it has both. */
static void assert_crank_in_reach(const snub_drawing *d, const scene_drive *scene, int part)
{
    const snub_view_pulley *p = &scene->pulley[part];
    for (int a = 0; a < 2; a++) {
        const double round = p->rim_radius + 11 * d->unit, crank = scene->pulley[0].centre[a];
        const double need = fmax(p->centre[a] + round, crank) - fmin(p->centre[a] - round, crank);
        if (need <= d->high[a] - d->low[a])
            assert_true(crank >= d->low[a] - SAME && crank <= d->high[a] + SAME);
    }
}

/* Not nearer than so that he who looks knows where he is; the crank in it where that is possible. */
static void it_shows_where_that_is(void **state)
{
    int named = 0;
    (void)state;
    for (int turn = 0; turn < 3 * SCENE_PULLEYS; turn++) {
        scene_drive scene;
        snub_arena arena = {0};
        snub_drawing drawing;
        flags f;
        const int i = turn / 3;
        one_flag(&f, &scene);
        scene.pulley[4].centre[0] += turn % 3 == 1 ? 700 : 0; /* a front so wide that a picture shows a part of it */
        scene.pulley[0].centre[0] -= turn % 3 == 2 ? 500 : 0;
        memset(f.pulley, 0, sizeof f.pulley);
        memset(f.span, 0, sizeof f.span);
        memset(f.obstacle, 0, sizeof f.obstacle);
        memset(f.hole, 0, sizeof f.hole);
        f.slot[0] = f.focus.arm = f.focus.belt = false;
        f.pulley[i] = true;
        draw(&f, &scene, &arena, &drawing);
        const double near = drawing.unit;
        assert_near("width", (drawing.high[0] - drawing.low[0]) / near, 75, 1e-9, "mm");
        assert_near("height", (drawing.high[1] - drawing.low[1]) / near, 52, 1e-9, "mm");
        assert_crank_in_reach(&drawing, &scene, i);
        f.focus.belt = f.focus.laid = true;
        draw(&f, &scene, &arena, &drawing);
        /* 11 mm are free round what is dark, here all of it; the limit is of the whole with 4 mm */
        assert_true(drawing.unit >= near && drawing.unit <= 1.8 * near * (52 - 2 * 4.0) / (52 - 2 * 11.0) + 1e-9);
        for (int k = 0; k < SCENE_PULLEYS; k++)
            named += words(&drawing, scene.pulley[k].name);
        for (int k = 0; k < SCENE_PULLEYS; k++)
            assert_seen(&drawing, scene.pulley[k].centre[0], scene.pulley[k].centre[1]);
        snub_arena_free(&arena);
    }
    assert_true(named >= 12 * SCENE_PULLEYS); /* by the names of what is light he finds his way */
}

/* A distance is drawn from place to place, with a head at its far end, or at both rims. */
static void a_distance_ends_where_it_is_measured(void **state)
{
    (void)state;
    for (int rims = 0; rims < 2; rims++) {
        scene_drive scene;
        snub_arena arena = {0};
        snub_drawing drawing;
        flags f;
        double tip[4][2], way[4][2];
        one_flag(&f, &scene);
        f.focus.measure_count = 1;
        f.measure[0].rims = rims == 1;
        draw(&f, &scene, &arena, &drawing);
        assert_int_equal(heads(&drawing, tip, way), 1 + rims);
        const double *ends[2] = {f.measure[0].to, f.measure[0].from};
        for (int i = 0; i <= rims; i++)
            assert_true(at(tip[i], ends[i]));
        snub_arena_free(&arena);
    }
}

static void the_same_twice(void **state)
{
    (void)state;
    scene_drive scene;
    flags f;
    snub_text out[2] = {0};
    scene_make(&scene);
    random_flags(&f, &scene);
    for (int i = 0; i < 2; i++) {
        snub_arena arena = {0};
        snub_drawing drawing;
        draw(&f, &scene, &arena, &drawing);
        assert_int_equal(snub_draw_svg(&drawing, SNUB_THEME_LIGHT, NULL, &out[i], NULL), SNUB_OK);
        snub_arena_free(&arena);
    }
    assert_string_equal(out[0].data, out[1].data);
    snub_text_free(&out[0]);
    snub_text_free(&out[1]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(only_what_is_flagged_is_dark),
        cmocka_unit_test(the_arm_goes_where_it_is_wound),
        cmocka_unit_test(the_crank_and_the_slider_go_their_way),
        cmocka_unit_test(a_pluck_goes_across),
        cmocka_unit_test(a_distance_ends_where_it_is_measured),
        cmocka_unit_test(it_shows_where_that_is),
        cmocka_unit_test(the_same_twice),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* The views of a drive: true geometry, words that do not collide, nothing cut off. */
#include "support/near.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "draw/shape.h"
#include "unit/draw/scene.h"

static int touching(const snub_drawing *drawing, bool print)
{
    int n = 0;
    for (int i = 0; i < drawing->count; i++)
        for (int k = i + 1; k < drawing->count; k++) {
            const snub_entity *a = &drawing->entity[i], *b = &drawing->entity[k];
            if (a->kind != SNUB_ENTITY_TEXT || b->kind != SNUB_ENTITY_TEXT || a->as.text.angle != 0 ||
                b->as.text.angle != 0)
                continue;
            double p[4][2], q[4][2], base[2];
            snub_text_box(a, drawing->unit, p, base);
            snub_text_box(b, drawing->unit, q, base);
            if (p[0][0] < q[2][0] && q[0][0] < p[2][0] && p[0][1] < q[2][1] && q[0][1] < p[2][1]) {
                n++;
                if (print)
                    print_error("\"%s\" touches \"%s\"\n", a->as.text.text, b->as.text.text);
            }
        }
    return n;
}

static void assert_on_sheet(const snub_drawing *drawing)
{
    double low[2], high[2];
    assert_true(snub_drawing_bounds(drawing, low, high));
    assert_true(low[0] >= drawing->low[0] && low[1] >= drawing->low[1]);
    assert_true(high[0] <= drawing->high[0] && high[1] <= drawing->high[1]);
}

static void pitch_line_is_the_path(void **state)
{
    (void)state;
    scene_drive scene;
    snub_arena arena = {0};
    snub_drawing drawing;
    snub_error error;
    int arcs = 0, lines = 0, collisions = -1;
    double length = 0;
    scene_make(&scene);
    assert_int_equal(snub_draw_front(&scene.view, NULL, &arena, &drawing, &collisions, &error), SNUB_OK);
    for (int i = 0; i < drawing.count; i++) {
        const snub_entity *e = &drawing.entity[i];
        if (e->layer != SNUB_LAYER_PITCH)
            continue;
        if (e->kind == SNUB_ENTITY_ARC) {
            arcs++;
            length += e->as.arc.radius * fabs(e->as.arc.sweep);
        }
        if (e->kind == SNUB_ENTITY_LINE) {
            lines++;
            length += hypot(e->as.line.b[0] - e->as.line.a[0], e->as.line.b[1] - e->as.line.a[1]);
        }
    }
    assert_int_equal(arcs, SCENE_PULLEYS);
    assert_int_equal(lines, SCENE_PULLEYS);
    assert_near("pitch length as drawn", length, scene.length, 1e-9 * scene.length, "mm");
    assert_int_equal(collisions, 0);
    assert_int_equal(touching(&drawing, true), 0);
    assert_on_sheet(&drawing);
    snub_arena_free(&arena);
}

/* The area between the belt's surfaces is pitch length x thickness + turns x pi (back^2 - (thickness - back)^2), as the
 * pitch line is a closed curve of one turn (Steiner's formula for parallel curves). */
static void belt_has_its_thickness(void **state)
{
    (void)state;
    scene_drive scene;
    snub_arena arena = {0};
    snub_drawing drawing;
    snub_error error;
    scene_make(&scene);
    assert_int_equal(snub_draw_front(&scene.view, NULL, &arena, &drawing, NULL, &error), SNUB_OK);
    double area = 0, turns = -1, back = 1.5, ribs = 3.0;
    for (int i = 0; i < drawing.count; i++) {
        const snub_entity *e = &drawing.entity[i];
        if (e->layer != SNUB_LAYER_BELT)
            continue;
        assert_int_equal(e->kind, SNUB_ENTITY_PATH);
        assert_int_equal(e->as.path.count, 2);
        for (int k = 0; k < 2; k++) {
            double(*point)[2], part = 0;
            int n = snub_loop_flatten(&e->as.path.loop[k], 1e-5, &arena, &point);
            for (int m = 0; m < n; m++)
                part += point[m][0] * point[(m + 1) % n][1] - point[(m + 1) % n][0] * point[m][1];
            area += (k == 0 ? 1 : -1) * fabs(part) / 2;
        }
    }
    double want = scene.length * (back + ribs) - turns * SNUB_PI * (back * back - ribs * ribs);
    want = scene.length * 4.5 + SNUB_PI * (back * back - ribs * ribs);
    assert_near("area of the belt", area, want, 0.5, "mm2");
    snub_arena_free(&arena);
}

static void mirrored_drive_is_mirrored(void **state)
{
    (void)state;
    scene_drive scene, mirror;
    snub_arena arena = {0};
    snub_drawing one, two;
    snub_error error;
    scene_make(&scene);
    scene_make(&mirror);
    for (int i = 0; i < SCENE_PULLEYS; i++) {
        snub_view_pulley *p = &mirror.pulley[i];
        p->centre[0] = -p->centre[0];
        p->enter[0] = -p->enter[0];
        p->leave[0] = -p->leave[0];
        p->sense = -p->sense;
    }
    mirror.view.arm.pivot[0] = -mirror.view.arm.pivot[0];
    mirror.view.arm.rest = SNUB_PI - mirror.view.arm.rest;
    mirror.view.arm.winds = 1;
    mirror.slot.from[0] = -mirror.slot.from[0];
    mirror.slot.to[0] = -mirror.slot.to[0];
    assert_int_equal(snub_draw_front(&scene.view, NULL, &arena, &one, NULL, &error), SNUB_OK);
    assert_int_equal(snub_draw_front(&mirror.view, NULL, &arena, &two, NULL, &error), SNUB_OK);
    assert_near("scale", two.unit, one.unit, 0, "mm/mm");
    double sweep = 0;
    for (int i = 0; i < one.count; i++)
        if (one.entity[i].layer == SNUB_LAYER_PITCH && one.entity[i].kind == SNUB_ENTITY_ARC)
            sweep += one.entity[i].as.arc.sweep;
    for (int i = 0; i < two.count; i++)
        if (two.entity[i].layer == SNUB_LAYER_PITCH && two.entity[i].kind == SNUB_ENTITY_ARC)
            sweep += two.entity[i].as.arc.sweep;
    assert_near("signed arcs cancel", sweep, 0, 1e-9, "rad");
    snub_arena_free(&arena);
}

static void every_scale_keeps_words_apart(void **state)
{
    (void)state;
    static const double sheets[][2] = {{210, 297}, {297, 210}, {297, 420}, {215.9, 279.4}};
    for (size_t i = 0; i < sizeof sheets / sizeof sheets[0]; i++) {
        scene_drive scene;
        snub_arena arena = {0};
        snub_drawing drawing;
        snub_error error;
        int collisions;
        scene_make(&scene);
        memcpy(scene.view.paper, sheets[i], sizeof sheets[i]);
        assert_int_equal(snub_draw_front(&scene.view, NULL, &arena, &drawing, &collisions, &error), SNUB_OK);
        assert_int_equal(collisions, 0);
        assert_int_equal(touching(&drawing, true), 0);
        assert_on_sheet(&drawing);
        assert_near("sheet's width", (drawing.high[0] - drawing.low[0]) / drawing.unit, sheets[i][0], 1e-9, "mm");
        snub_arena_free(&arena);
    }
}

static void bad_views_are_refused(void **state)
{
    (void)state;
    snub_arena arena = {0};
    snub_drawing drawing;
    snub_error error;
    scene_drive scene;
    scene_make(&scene);
    scene.view.build_count = 0;
    assert_int_equal(snub_draw_front(&scene.view, NULL, &arena, &drawing, NULL, &error), SNUB_BAD_INPUT);
    scene_make(&scene);
    scene.pulley[2].centre[0] = NAN;
    assert_int_equal(snub_draw_front(&scene.view, NULL, &arena, &drawing, NULL, &error), SNUB_BAD_INPUT);
    assert_non_null(strstr(error.message, "alternator"));
    assert_int_equal(snub_draw_template(&scene.view, NULL, &arena, &drawing, &error), SNUB_BAD_INPUT);
    assert_int_equal(snub_draw_side(&scene.view, NULL, &arena, &drawing, &error), SNUB_BAD_INPUT);
    scene_make(&scene);
    scene.view.scale = 1;
    scene.view.paper[0] = 210, scene.view.paper[1] = 297;
    assert_int_equal(snub_draw_front(&scene.view, NULL, &arena, &drawing, NULL, &error), SNUB_BAD_INPUT);
    scene_make(&scene);
    scene.view.paper[0] = 50, scene.view.paper[1] = 40;
    assert_int_equal(snub_draw_front(&scene.view, NULL, &arena, &drawing, NULL, &error), SNUB_BAD_INPUT);
    scene_make(&scene);
    scene.pulley[4].centre[0] = 1e7;
    assert_int_equal(snub_draw_front(&scene.view, NULL, &arena, &drawing, NULL, &error), SNUB_BAD_INPUT);
    snub_arena_free(&arena);
}

static void a_lost_belt_is_said(void **state)
{
    (void)state;
    snub_arena arena = {0};
    snub_drawing drawing;
    snub_error error;
    scene_drive scene;
    bool said = false;
    scene_make(&scene);
    scene.pulley[1].enter[0] = NAN;
    assert_int_equal(snub_draw_front(&scene.view, NULL, &arena, &drawing, NULL, &error), SNUB_OK);
    for (int i = 0; i < drawing.count; i++) {
        assert_int_not_equal(drawing.entity[i].layer, SNUB_LAYER_BELT);
        said = said || (drawing.entity[i].kind == SNUB_ENTITY_TEXT &&
                        strstr(drawing.entity[i].as.text.text, "cannot be laid") != NULL);
    }
    assert_true(said);
    snub_arena_free(&arena);
}

static void refused_memory_is_told(void **state)
{
    (void)state;
    int told = 0;
    for (long n = 1; n < 400; n += 7) {
        scene_drive scene;
        snub_arena arena = {.refuse_after = n};
        snub_drawing drawing;
        snub_error error;
        scene_make(&scene);
        snub_status status = n % 3 == 0   ? snub_draw_side(&scene.view, NULL, &arena, &drawing, &error)
                             : n % 3 == 1 ? snub_draw_template(&scene.view, NULL, &arena, &drawing, &error)
                                          : snub_draw_front(&scene.view, NULL, &arena, &drawing, NULL, &error);
        assert_true(status == SNUB_OK || status == SNUB_NO_MEMORY);
        told += status == SNUB_NO_MEMORY;
        snub_arena_free(&arena);
    }
    assert_true(told > 10);
}

static void template_is_full_size(void **state)
{
    (void)state;
    scene_drive scene;
    snub_arena arena = {0};
    snub_drawing drawing;
    snub_error error;
    scene_make(&scene);
    assert_int_equal(snub_draw_template(&scene.view, NULL, &arena, &drawing, &error), SNUB_OK);
    assert_near("unit", drawing.unit, 1, 0, "mm/mm");
    assert_on_sheet(&drawing);
    assert_int_equal(touching(&drawing, true), 0);
    snub_arena_free(&arena);
}

static void side_view_keeps_words_apart(void **state)
{
    (void)state;
    scene_drive scene;
    snub_arena arena = {0};
    snub_drawing drawing;
    snub_error error;
    scene_make(&scene);
    scene.pulley[3].plane = 1.2; /* over 0.33 deg on a span of about 130 mm */
    scene.build[0].misalignment = 0.33 * SNUB_PI / 180;
    assert_int_equal(snub_draw_side(&scene.view, NULL, &arena, &drawing, &error), SNUB_OK);
    assert_on_sheet(&drawing);
    assert_int_equal(touching(&drawing, true), 0);
    bool over = false;
    for (int i = 0; i < drawing.count; i++)
        over = over ||
               (drawing.entity[i].kind == SNUB_ENTITY_TEXT && strcmp(drawing.entity[i].as.text.text, "over 0.33") == 0);
    assert_true(over);
    snub_arena_free(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pitch_line_is_the_path),      cmocka_unit_test(belt_has_its_thickness),
        cmocka_unit_test(mirrored_drive_is_mirrored),  cmocka_unit_test(every_scale_keeps_words_apart),
        cmocka_unit_test(bad_views_are_refused),       cmocka_unit_test(a_lost_belt_is_said),
        cmocka_unit_test(refused_memory_is_told),      cmocka_unit_test(template_is_full_size),
        cmocka_unit_test(side_view_keeps_words_apart),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

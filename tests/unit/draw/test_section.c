/* The section of the side view: blocks and chains where the stacks say, drawn inside of the sheet. */
#include <stdio.h>

#include "draw/shape.h"
#include "draw/view_fill.h"
#include "snub/draw_drive.h"
#include "support/drive_text.h"

static const char file[] =
    "snub: 1\n"
    "belt: {section: PK, ribs: 6, length: 900}\n"
    "pulleys:\n"
    "  - {name: crank, role: crank, at: [0, 0], diameter: 100}\n"
    "  - {name: pump, at: [300, 40], diameter: 100, mount: plate, flanges: {front: 4, rear: 6, width: 2},\n"
    "     discs: [{name: hub, diameter: 30, z: [-20, -12]}],\n"
    "     stack: [{name: shim, kind: shim, length: 0.5}, {name: tube, kind: standoff, length: 30},\n"
    "             {name: pulley, kind: offset, length: -2.5}],\n"
    "     standoff: {outside: 24, bore: 10.5, length: 30, bolt: {thread: M10, class: 8.8, length: 45}},\n"
    "     bearing: {type: 6203, count: 2, spacing: 14, offset: 3}}\n"
    "bearings: [{designation: 6203, bore: 17, outside: 40, width: 12, dynamic: 9550, static: 4800}]\n"
    "mounts:\n"
    "  - name: plate\n"
    "    stack: [{name: cover, kind: face, length: -40}, {name: plate, kind: bracket, length: 12}]\n"
    "    bolts: [{name: a, at: [280, 20], thread: M8, class: 8.8, length: 30, washer: 16}, {name: b, at: [320, 60], "
    "thread: M8, class: 8.8}]\n"
    "obstacles: [{name: boss, circle: {at: [300, -80], diameter: 30}, z: [-60, -20]}]\n";

static void open_view(drive_text *t, snub_view *view)
{
    snub_path path;
    drive_text_open(t, file);
    assert_int_equal(snub_drive_lay(&t->drive, 0, NULL, &path, NULL), SNUB_OK);
    assert_int_equal(snub_view_of_path(&t->drive, &path, NULL, 0, &t->arena, view, NULL), SNUB_OK);
}

static const snub_view_block *block(const snub_view *view, snub_view_metal metal, int nth)
{
    for (int i = 0; i < view->block_count; i++) {
        if (view->block[i].metal == metal && nth-- == 0)
            return &view->block[i];
    }
    fail_msg("no block of metal %d", (int)metal);
    return NULL;
}

static void is_at(const snub_view_block *b, double z0, double z1, double y0, double y1)
{
    assert_near("z", b->z[0], z0, 1e-9, "mm");
    assert_near("z", b->z[1], z1, 1e-9, "mm");
    assert_near("y", b->y[0], y0, 1e-9, "mm");
    assert_near("y", b->y[1], y1, 1e-9, "mm");
}

static void blocks(void **state)
{
    (void)state;
    drive_text t;
    snub_view view;
    open_view(&t, &view);
    assert_near("plane", view.build[0].pulley[1].plane, 0, 1e-9, "mm");
    is_at(block(&view, SNUB_METAL_BRACKET, 0), -40, -28, 20 - 14, 60 + 14);
    is_at(block(&view, SNUB_METAL_SHIM, 0), -28, -27.5, 40 - 12, 40 + 12);
    is_at(block(&view, SNUB_METAL_STANDOFF, 0), -27.5, 2.5, 40 - 12, 40 + 12);
    const double half = view.build[0].pulley[1].width / 2;
    is_at(block(&view, SNUB_METAL_FLANGE, 0), half, half + 2, 40 - 54, 40 - 50);
    is_at(block(&view, SNUB_METAL_FLANGE, 1), -half - 2, -half, 40 - 56, 40 - 50);
    is_at(block(&view, SNUB_METAL_FLANGE, 3), -half - 2, -half, 40 + 50, 40 + 56);
    is_at(block(&view, SNUB_METAL_DISC, 0), -20, -12, 40 - 15, 40 + 15);
    assert_near("the face's edge", block(&view, SNUB_METAL_FACE, 0)->z[1], -40, 1e-9, "mm");
    /* a: washer of 1.6 on the plate's front; ISO 4017's face under the head of an M8 is 11.6 */
    is_at(block(&view, SNUB_METAL_WASHER, 0), -28, -26.4, 20 - 8, 20 + 8);
    is_at(block(&view, SNUB_METAL_BOLT, 0), -26.4 - 30, -26.4, 20 - 4, 20 + 4);
    assert_near("its head", block(&view, SNUB_METAL_BOLT, 1)->z[0], -26.4, 1e-9, "mm");
    assert_near("its head", block(&view, SNUB_METAL_BOLT, 1)->z[1], -26.4, 1e-9, "mm");
    assert_string_equal(block(&view, SNUB_METAL_BOLT, 1)->of, "plate");
    /* b: no length, so its head only, on the plate itself */
    assert_near("the other's head", block(&view, SNUB_METAL_BOLT, 2)->z[1], -28, 1e-9, "mm");
    /* through the standoff, its head at the standoff's end */
    is_at(block(&view, SNUB_METAL_BOLT, 3), 2.5 - 45, 2.5, 40 - 5, 40 + 5);
    assert_string_equal(block(&view, SNUB_METAL_BOLT, 3)->of, "pump");
    /* two bearings whose middle is 3 behind the belt's, 14 apart */
    is_at(block(&view, SNUB_METAL_BEARING, 0), -3 - 7 - 6, -3 - 7 + 6, 40 - 20, 40 - 8.5);
    is_at(block(&view, SNUB_METAL_BEARING, 3), -3 + 7 - 6, -3 + 7 + 6, 40 + 8.5, 40 + 20);
    assert_int_equal(view.block_count, 9 + 4 + 4 + 2);
    drive_text_close(&t);
}

static void chains(void **state)
{
    (void)state;
    static const double want[2][4] = {{0, -40, -28}, {-28, -27.5, 2.5, 0}};
    drive_text t;
    snub_view view;
    open_view(&t, &view);
    assert_int_equal(view.chain_count, 2);
    for (int i = 0; i < 2; i++) {
        assert_int_equal(view.chain[i].count, i == 0 ? 3 : 4);
        for (int k = 0; k < view.chain[i].count; k++)
            assert_near("mark", view.chain[i].z[k], want[i][k], 1e-9, "mm");
    }
    drive_text_close(&t);
}

/* Everything stands on the sheet, dimensions say their lengths, and the same view gives the same bytes. */
static void drawn(void **state)
{
    (void)state;
    drive_text t;
    snub_view view;
    snub_drawing drawing;
    snub_text first = {0}, second = {0};
    const snub_locale locale = {0};
    double low[2], high[2];
    open_view(&t, &view);
    for (int k = 0; k < 2; k++) {
        assert_int_equal(snub_draw_side(&view, &locale, &t.arena, &drawing, NULL), SNUB_OK);
        assert_int_equal(snub_draw_svg(&drawing, SNUB_THEME_LIGHT, NULL, k == 0 ? &first : &second, NULL), SNUB_OK);
    }
    assert_true(snub_drawing_bounds(&drawing, low, high));
    for (int k = 0; k < 2; k++)
        assert_true(low[k] >= drawing.low[k] - 1e-9 && high[k] <= drawing.high[k] + 1e-9);
    assert_string_equal(first.data, second.data);
    assert_non_null(strstr(first.data, ">boss<"));
    assert_non_null(strstr(first.data, ">30<")); /* the standoff */
    assert_non_null(strstr(first.data, ">40<")); /* the cover's depth */
    assert_null(strstr(first.data, ">0.50<"));   /* the shim has no room for its number */
    snub_text_free(&first);
    snub_text_free(&second);
    drive_text_close(&t);
}

static int inked(const snub_drawing *drawing, snub_ink ink)
{
    int count = 0;
    for (int i = 0; i < drawing->count; i++)
        count += drawing->entity[i].pen.ink == ink;
    return count;
}

/* What is too near to an obstacle is marked in both views with its gap, in the ink of its level; where the arm stands
 * otherwise than drawn it is said. */
static void near_obstacles(void **state)
{
    (void)state;
    drive_text t;
    snub_view view;
    snub_drawing drawing;
    snub_text svg = {0};
    const snub_locale locale = {0};
    open_view(&t, &view);
    snub_view_near near = {.obstacle = 0,
                           .fails = true,
                           .from = {300, -10},
                           .to = {300, -65},
                           .z = {-12, 12},
                           .gap = 2.34,
                           .needed = 6,
                           .wind = NAN};
    assert_int_equal(snub_draw_front(&view, &locale, &t.arena, &drawing, NULL, NULL), SNUB_OK);
    assert_int_equal(inked(&drawing, SNUB_INK_FAIL), 0);
    view.near = &near;
    view.near_count = 1;
    assert_int_equal(snub_draw_front(&view, &locale, &t.arena, &drawing, NULL, NULL), SNUB_OK);
    assert_true(inked(&drawing, SNUB_INK_FAIL) >= 3); /* outline, gap, ring */
    assert_int_equal(snub_draw_svg(&drawing, SNUB_THEME_LIGHT, NULL, &svg, NULL), SNUB_OK);
    assert_non_null(strstr(svg.data, "2.3 mm &lt; 6.0"));
    assert_null(strstr(svg.data, "arm at"));
    snub_text_free(&svg);
    near.fails = false;
    near.wind = 0.5;
    assert_int_equal(snub_draw_front(&view, &locale, &t.arena, &drawing, NULL, NULL), SNUB_OK);
    assert_int_equal(inked(&drawing, SNUB_INK_FAIL), 0);
    assert_true(inked(&drawing, SNUB_INK_MARGINAL) >= 3);
    svg = (snub_text){0};
    assert_int_equal(snub_draw_svg(&drawing, SNUB_THEME_LIGHT, NULL, &svg, NULL), SNUB_OK);
    assert_non_null(strstr(svg.data, "arm at 28.6"));
    snub_text_free(&svg);
    svg = (snub_text){0};
    assert_int_equal(snub_draw_side(&view, &locale, &t.arena, &drawing, NULL), SNUB_OK);
    assert_true(inked(&drawing, SNUB_INK_MARGINAL) >= 2);
    assert_int_equal(snub_draw_svg(&drawing, SNUB_THEME_LIGHT, NULL, &svg, NULL), SNUB_OK);
    assert_non_null(strstr(svg.data, "2.3 mm &lt; 6.0"));
    snub_text_free(&svg);
    drive_text_close(&t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(blocks), cmocka_unit_test(chains), cmocka_unit_test(drawn),
                                       cmocka_unit_test(near_obstacles)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Labels: apart from each other, on the sheet, the same each time. */
#include "support/near.h"

#include "draw/compose.h"
#include "draw/labels.h"
#include "draw/shape.h"

static void make(snub_drawing *drawing, snub_arena *arena, int count, double spread, int *collisions)
{
    static snub_label label[40];
    snub_drawing_init(drawing, arena, 1);
    snub_drawing_frame(drawing, 0, 0, 210, 297);
    snub_label_map *map = snub_label_map_new(drawing, arena);
    assert_non_null(map);
    for (int i = 0; i < count; i++) {
        double angle = 2.399963 * i, radius = spread * sqrt((double)i); /* sunflower: no two alike */
        label[i] = (snub_label){.at = {105 + radius * cos(angle), 150 + radius * sin(angle)},
                                .clear = 2,
                                .lines = 2,
                                .line = {"tensioner", "wrap 64.8\xc2\xb0"},
                                .bold_first = true,
                                .ink = SNUB_INK_TEXT,
                                .height = 2.5};
        snub_label_map_ring(map, label[i].at, 0, 2, 0.5);
    }
    *collisions = snub_place_labels(drawing, map, label, count);
}

static int overlaps(const snub_drawing *drawing)
{
    int n = 0;
    for (int i = 0; i < drawing->count; i++)
        for (int k = i + 1; k < drawing->count; k++) {
            double p[4][2], q[4][2], base[2];
            if (drawing->entity[i].kind != SNUB_ENTITY_TEXT || drawing->entity[k].kind != SNUB_ENTITY_TEXT)
                continue;
            snub_text_box(&drawing->entity[i], 1, p, base);
            snub_text_box(&drawing->entity[k], 1, q, base);
            n += p[0][0] < q[2][0] && q[0][0] < p[2][0] && p[0][1] < q[2][1] && q[0][1] < p[2][1];
        }
    return n;
}

static void thirty_labels_find_room(void **state)
{
    (void)state;
    static const double spreads[] = {2, 4, 8, 14}; /* from a heap to the whole sheet, mm */
    for (int i = 0; i < 4; i++) {
        snub_arena arena = {0};
        snub_drawing drawing;
        int collisions;
        double low[2], high[2];
        make(&drawing, &arena, 30, spreads[i], &collisions);
        assert_int_equal(collisions, 0);
        assert_int_equal(overlaps(&drawing), 0);
        assert_true(snub_drawing_bounds(&drawing, low, high));
        assert_true(low[0] >= 0 && low[1] >= 0 && high[0] <= 210 && high[1] <= 297);
        snub_arena_free(&arena);
    }
}

static void far_labels_have_leaders(void **state)
{
    (void)state;
    snub_arena arena = {0};
    snub_drawing drawing;
    int collisions, leaders = 0;
    make(&drawing, &arena, 30, 2, &collisions);
    for (int i = 0; i < drawing.count; i++)
        leaders += drawing.entity[i].layer == SNUB_LAYER_LEADER && drawing.entity[i].kind == SNUB_ENTITY_LINE;
    assert_true(leaders >= 10);
    snub_arena_free(&arena);
}

static void placing_is_steady(void **state)
{
    (void)state;
    snub_arena arena = {0};
    snub_drawing one, two;
    snub_text a = {0}, b = {0};
    snub_error error;
    int collisions;
    make(&one, &arena, 25, 5, &collisions);
    make(&two, &arena, 25, 5, &collisions);
    assert_int_equal(snub_draw_svg(&one, SNUB_THEME_LIGHT, NULL, &a, &error), SNUB_OK);
    assert_int_equal(snub_draw_svg(&two, SNUB_THEME_LIGHT, NULL, &b, &error), SNUB_OK);
    assert_string_equal(a.data, b.data);
    snub_text_free(&a);
    snub_text_free(&b);
    snub_arena_free(&arena);
}

static void too_many_are_counted(void **state)
{
    (void)state;
    static snub_label label[300];
    snub_arena arena = {0};
    snub_drawing drawing;
    snub_drawing_init(&drawing, &arena, 1);
    snub_drawing_frame(&drawing, 0, 0, 60, 40);
    snub_label_map *map = snub_label_map_new(&drawing, &arena);
    for (int i = 0; i < 300; i++)
        label[i] = (snub_label){.at = {30, 20}, .lines = 1, .line = {"crowded"}, .height = 3, .ink = SNUB_INK_TEXT};
    assert_true(snub_place_labels(&drawing, map, label, 300) > 100);
    snub_arena_free(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(thirty_labels_find_room),
        cmocka_unit_test(far_labels_have_leaders),
        cmocka_unit_test(placing_is_steady),
        cmocka_unit_test(too_many_are_counted),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Entities, bounds, arcs from bulges, hatching, measures, numbers in words. */
#include "support/near.h"

#include <pango/pangocairo.h>
#include <stdlib.h>
#include <string.h>

#include "draw/compose.h"
#include "draw/shape.h"
#include "snub/draw_cairo.h"

static const snub_pen PEN = {SNUB_INK_TEXT, SNUB_DASH_SOLID, 0.25};

static void bulges_are_arcs(void **state)
{
    (void)state;
    static const double sweeps[] = {0.01, 1, SNUB_PI / 2, SNUB_PI, 4, 6, -0.3, -SNUB_PI, -5.5};
    for (size_t i = 0; i < sizeof sweeps / sizeof sweeps[0]; i++) {
        double want = sweeps[i], radius = 37.5, from = 0.7;
        snub_vertex a = {11 + radius * cos(from), -4 + radius * sin(from), tan(want / 4)};
        snub_vertex b = {11 + radius * cos(from + want), -4 + radius * sin(from + want), 0};
        double centre[2], got_radius, start, sweep;
        assert_true(snub_bulge_arc(&a, &b, centre, &got_radius, &start, &sweep));
        assert_near("centre x", centre[0], 11, 1e-9, "mm");
        assert_near("centre y", centre[1], -4, 1e-9, "mm");
        assert_near("radius", got_radius, radius, 1e-9, "mm");
        assert_near("start", remainder(start - from, 2 * SNUB_PI), 0, 1e-12, "rad");
        assert_near("sweep", sweep, want, 1e-12, "rad");
    }
    snub_vertex straight = {0, 0, 0}, end = {1, 1, 0};
    double centre[2], radius, start, sweep;
    assert_false(snub_bulge_arc(&straight, &end, centre, &radius, &start, &sweep));
}

static void bounds_follow_arcs(void **state)
{
    (void)state;
    snub_arena arena = {0};
    snub_drawing drawing;
    double low[2], high[2];
    snub_drawing_init(&drawing, &arena, 1);
    assert_false(snub_drawing_bounds(&drawing, low, high));
    /* from 45 deg over the top to 135 deg: the highest point is neither end */
    snub_draw_arc(&drawing, SNUB_LAYER_PITCH, PEN, 10, 20, 5, SNUB_PI / 4, SNUB_PI / 2);
    assert_true(snub_drawing_bounds(&drawing, low, high));
    assert_near("top", high[1], 25, 1e-12, "mm");
    assert_near("foot", low[1], 20 + 5 * sqrt(0.5), 1e-12, "mm");
    assert_near("left", low[0], 10 - 5 * sqrt(0.5), 1e-12, "mm");
    snub_draw_arc(&drawing, SNUB_LAYER_PITCH, PEN, 10, 20, 5, 0, -SNUB_PI / 2);
    assert_true(snub_drawing_bounds(&drawing, low, high));
    assert_near("right", high[0], 15, 1e-12, "mm");
    assert_near("clockwise foot", low[1], 15, 1e-12, "mm");
    snub_arena_free(&arena);
}

static void whole_turns_become_circles(void **state)
{
    (void)state;
    snub_arena arena = {0};
    snub_drawing drawing;
    snub_drawing_init(&drawing, &arena, 1);
    snub_draw_arc(&drawing, SNUB_LAYER_PITCH, PEN, 0, 0, 5, 1, 2 * SNUB_PI);
    assert_int_equal(drawing.entity[0].kind, SNUB_ENTITY_CIRCLE);
    snub_arena_free(&arena);
}

static double hatched_length(const snub_drawing *drawing)
{
    double sum = 0;
    for (int i = 0; i < drawing->count; i++)
        sum += hypot(drawing->entity[i].as.line.b[0] - drawing->entity[i].as.line.a[0],
                     drawing->entity[i].as.line.b[1] - drawing->entity[i].as.line.a[1]);
    return sum;
}

/* Lines `spacing` apart cover an area of length x spacing: a ring of two circles, at any angle. */
static void hatching_covers_the_area(void **state)
{
    (void)state;
    const double outer = 40, inner = 25, spacing = 0.05;
    snub_vertex big[2] = {{-outer, 0, 1}, {outer, 0, 1}}, small[2] = {{-inner, 0, 1}, {inner, 0, 1}};
    snub_loop loops[2] = {{2, true, big}, {2, true, small}};
    for (int i = 0; i < 4; i++) {
        snub_arena arena = {0};
        snub_drawing drawing;
        snub_drawing_init(&drawing, &arena, 1);
        snub_draw_hatch(&drawing, SNUB_LAYER_GRID, PEN, loops, 2, 0.4 * i, spacing);
        double want = SNUB_PI * (outer * outer - inner * inner);
        assert_near("area under hatching", hatched_length(&drawing) * spacing, want, 0.002 * want, "mm2");
        for (int k = 0; k < drawing.count; k++) {
            double x = (drawing.entity[k].as.line.a[0] + drawing.entity[k].as.line.b[0]) / 2;
            double y = (drawing.entity[k].as.line.a[1] + drawing.entity[k].as.line.b[1]) / 2;
            assert_true(hypot(x, y) > inner - 0.01 && hypot(x, y) < outer);
        }
        snub_arena_free(&arena);
    }
}

static void spoiled_drawings_are_not_written(void **state)
{
    (void)state;
    snub_arena arena = {0};
    snub_drawing drawing;
    snub_text out = {0};
    snub_error error;
    snub_drawing_init(&drawing, &arena, 1);
    snub_drawing_frame(&drawing, 0, 0, 100, 100);
    snub_draw_line(&drawing, SNUB_LAYER_PITCH, PEN, 0, 0, NAN, 1);
    assert_true(drawing.failed);
    assert_int_not_equal(snub_draw_svg(&drawing, SNUB_THEME_LIGHT, NULL, &out, &error), SNUB_OK);
    assert_int_not_equal(snub_draw_dxf(&drawing, &out, &error), SNUB_OK);
    assert_int_equal(out.length, 0);
    snub_drawing_init(&drawing, &arena, 1);
    assert_int_equal(snub_draw_svg(&drawing, SNUB_THEME_LIGHT, NULL, &out, &error), SNUB_BAD_INPUT);
    snub_drawing_frame(&drawing, 0, 0, 1e6, 10);
    assert_int_equal(snub_draw_pdf(&drawing, SNUB_THEME_LIGHT, NULL, &out, &error), SNUB_TOO_LARGE);
    snub_drawing_init(&drawing, &arena, 0);
    assert_true(drawing.failed);
    snub_arena_free(&arena);
}

static void refused_memory_is_told(void **state)
{
    (void)state;
    int told = 0;
    for (long n = 1; n <= 12; n++) {
        snub_arena arena = {0};
        snub_drawing drawing;
        snub_text out = {0};
        snub_error error;
        arena.refuse_after = n;
        snub_drawing_init(&drawing, &arena, 1);
        snub_drawing_frame(&drawing, 0, 0, 100, 100);
        snub_draw_rectangle(&drawing, SNUB_LAYER_FRAME, PEN, SNUB_INK_NONE, 1, 1, 99, 99);
        snub_draw_text(&drawing, SNUB_LAYER_LABEL, &(snub_lettering){.height = 3, .ink = SNUB_INK_TEXT}, 5, 5, "crank");
        for (int i = 0; i < 300; i++)
            snub_draw_line(&drawing, SNUB_LAYER_GRID, PEN, i, 0, i, 9);
        snub_status status = snub_draw_svg(&drawing, SNUB_THEME_LIGHT, NULL, &out, &error);
        told += status == SNUB_NO_MEMORY;
        assert_true(status == SNUB_OK || (status == SNUB_NO_MEMORY && out.length == 0));
        snub_text_free(&out);
        snub_arena_free(&arena);
    }
    assert_true(told >= 5);
}

/* The table against the face itself, where it is installed; else nothing can be compared. */
static void measures_are_those_of_the_face(void **state)
{
    (void)state;
    static const char *const texts[] = {"8PK1575", "wrap 158.2\xc2\xb0", "Spannrolle \xc3\x84 \xc3\x9f", "il1|WM@",
                                        /* Polish, Czech, Greek, Russian letters */
                                        "Za\xc5\xbc\xc3\xb3\xc5\x82\xc4\x87", "T\xc4\x9bsnost \xc5\xa0\xc5\x99",
                                        "\xce\x99\xce\xbc\xce\xac\xce\xbd\xcf\x84\xce\xb1\xcf\x82",
                                        "\xd0\xa0\xd0\xb5\xd0\xbc\xd0\xb5\xd0\xbd\xd1\x8c \xd0\xa9\xd1\x84"};
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 8, 8);
    cairo_t *cr = cairo_create(surface);
    PangoContext *context = snub_cairo_text_context(cr);
    PangoFontDescription *asked = snub_cairo_face(100, false);
    PangoFont *font = pango_context_load_font(context, asked);
    PangoFontDescription *found = pango_font_describe(font);
    bool there = strcmp(pango_font_description_get_family(found), "Liberation Sans") == 0;
    pango_font_description_free(found);
    pango_font_description_free(asked);
    for (size_t i = 0; there && i < 2 * sizeof texts / sizeof texts[0]; i++) {
        PangoLayout *layout = pango_layout_new(context);
        PangoFontDescription *face = snub_cairo_face(100, i % 2 == 1);
        int width, height;
        pango_layout_set_font_description(layout, face);
        pango_layout_set_text(layout, texts[i / 2], -1);
        pango_layout_get_size(layout, &width, &height);
        double got = snub_text_measure(texts[i / 2], 100, i % 2 == 1), want = (double)width / PANGO_SCALE;
        assert_near(texts[i / 2], got, want, 0.03 * want, "mm"); /* kerning */
        pango_font_description_free(face);
        g_object_unref(layout);
    }
    g_object_unref(font);
    g_object_unref(context);
    cairo_destroy(cr);
    cairo_surface_destroy(surface);
    if (!there)
        skip();
}

static void numbers_speak(void **state)
{
    (void)state;
    char text[32];
    snub_locale comma = {.decimal = ','};
    assert_string_equal(snub_number_text(NULL, 158.25, 1, text), "158.3");
    assert_string_equal(snub_number_text(&comma, 158.25, 2, text), "158,25");
    assert_string_equal(snub_number_text(NULL, -0.04, 1, text), "0.0");
    assert_string_equal(snub_number_text(NULL, -7177, 0, text), "\xe2\x88\x92"
                                                                "7177");
    assert_string_equal(snub_number_text(NULL, 0.05, 3, text), "0.050");
    assert_string_equal(snub_number_text(NULL, NAN, 1, text), "\xe2\x80\x93");
    assert_string_equal(snub_number_text(NULL, INFINITY, 1, text), "\xe2\x80\x93");
    assert_true(strlen(snub_number_text(NULL, -1.5e300, 9, text)) < 32);
    assert_true(strlen(snub_number_text(NULL, -8.99999e8, 9, text)) < 32);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bulges_are_arcs),
        cmocka_unit_test(bounds_follow_arcs),
        cmocka_unit_test(whole_turns_become_circles),
        cmocka_unit_test(hatching_covers_the_area),
        cmocka_unit_test(spoiled_drawings_are_not_written),
        cmocka_unit_test(refused_memory_is_told),
        cmocka_unit_test(measures_are_those_of_the_face),
        cmocka_unit_test(numbers_speak),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

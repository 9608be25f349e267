/* SVG, PDF, PNG, DXF: the same bytes each time, in any locale, every character carried. */
#include "support/near.h"

#include <cairo.h>
#include <locale.h>
#include <stdlib.h>
#include <string.h>

#include "draw/compose.h"
#include "unit/draw/scene.h"

typedef snub_status (*form)(const snub_drawing *drawing, snub_text *out, snub_error *error);

static snub_status svg(const snub_drawing *drawing, snub_text *out, snub_error *error)
{
    return snub_draw_svg(drawing, SNUB_THEME_LIGHT, NULL, out, error);
}
static snub_status pdf(const snub_drawing *drawing, snub_text *out, snub_error *error)
{
    snub_imprint imprint = {.title = "T", .creator = "snub", .created = "2026-01-31T00:00:00Z"};
    return snub_draw_pdf(drawing, SNUB_THEME_LIGHT, &imprint, out, error);
}
static snub_status png(const snub_drawing *drawing, snub_text *out, snub_error *error)
{
    return snub_draw_png(drawing, SNUB_THEME_DARK, 4, out, error);
}

static const form FORMS[4] = {svg, pdf, png, snub_draw_dxf};

static void write_front(form write, snub_text *out)
{
    scene_drive scene;
    snub_arena arena = {0};
    snub_drawing drawing;
    snub_error error;
    scene_make(&scene);
    assert_int_equal(snub_draw_front(&scene.view, NULL, &arena, &drawing, NULL, &error), SNUB_OK);
    assert_int_equal(write(&drawing, out, &error), SNUB_OK);
    snub_arena_free(&arena);
}

static void same_drawing_same_bytes(void **state)
{
    (void)state;
    for (int i = 0; i < 4; i++) {
        snub_text one = {0}, two = {0};
        write_front(FORMS[i], &one);
        /* a locale with a decimal comma must not show; where none is installed this is a plain repetition */
        setlocale(LC_ALL, "de_DE.UTF-8");
        write_front(FORMS[i], &two);
        setlocale(LC_ALL, "C");
        assert_int_equal(one.length, two.length);
        assert_memory_equal(one.data, two.data, one.length);
        assert_true(one.length > 1000);
        snub_text_free(&one);
        snub_text_free(&two);
    }
}

static void heads_are_right(void **state)
{
    (void)state;
    static const char *const heads[4] = {"<?xml", "%PDF-1.5", "\x89PNG", "  0\nSECTION\n"};
    for (int i = 0; i < 4; i++) {
        snub_text out = {0};
        write_front(FORMS[i], &out);
        assert_memory_equal(out.data, heads[i], strlen(heads[i]));
        snub_text_free(&out);
    }
}

static void one(form write, const char *words, snub_text *out)
{
    snub_arena arena = {0};
    snub_drawing drawing;
    snub_error error;
    snub_drawing_init(&drawing, &arena, 2);
    snub_drawing_frame(&drawing, -10, -20, 190, 80);
    snub_draw_text(&drawing, SNUB_LAYER_LABEL,
                   &(snub_lettering){.height = 3, .ink = SNUB_INK_TEXT, .across = -1, .up = -1}, 0, 0, words);
    snub_draw_arc(&drawing, SNUB_LAYER_PITCH, snub_pen_make(SNUB_INK_BELT, SNUB_DASH_DASHED, 0.35), 0, 0, 10, 0,
                  -SNUB_PI / 2);
    assert_int_equal(write(&drawing, out, &error), SNUB_OK);
    snub_arena_free(&arena);
}

static void svg_is_in_sheet_millimetres(void **state)
{
    (void)state;
    snub_text out = {0};
    one(svg, "a<b & \"c\"\n\x01 \xc3\x98", &out);
    assert_non_null(strstr(out.data, "width=\"100mm\" height=\"50mm\" viewBox=\"0 0 100 50\""));
    assert_non_null(strstr(out.data, ">a&lt;b &amp; &quot;c&quot;   \xc3\x98</text>"));
    /* clockwise from (10, 0) to (0, -10) in the model: y down it is a clockwise sweep as well, flag 1 */
    assert_non_null(strstr(out.data, "M10 40A5 5 0 0 1 5 45"));
    assert_non_null(strstr(out.data, "x=\"5\" y=\"40\""));
    snub_text_free(&out);
}

static void broken_text_is_mended(void **state)
{
    (void)state;
    snub_text out = {0};
    one(svg, "a\xff\xc3(\xef\xbf\xbf\xef\xbf\xbd z", &out);
    assert_non_null(strstr(out.data, ">a\?\?(\?\?\?\xef\xbf\xbd z</text>"));
    snub_text_free(&out);
}

static void dxf_pairs_and_signs(void **state)
{
    (void)state;
    snub_text out = {0};
    one(snub_draw_dxf,
        "\xc3\x98 80 \xc2\xb1 0.1, 30\xc2\xb0, Gr\xc3\xb6\xc3\x9f"
        "e 5 %%d \xe2\x88\x92"
        "3 \xe6\xbc\xa2",
        &out);
    assert_non_null(strstr(out.data, "\n%%c 80 %%p 0.1, 30%%d, Gr\\U+00F6\\U+00DFe 5 %%037%%037d -3 \\U+6F22\n"));
    assert_non_null(strstr(out.data, "  9\n$INSUNITS\n 70\n     4\n"));
    assert_non_null(strstr(out.data, "  9\n$ACADVER\n  1\nAC1009\n"));
    assert_non_null(strstr(out.data, "ARC\n  8\nPITCH_LINE\n  6\nDASHED\n 10\n0.000000\n"));
    assert_non_null(strstr(out.data, " 50\n270.000000000\n 51\n0.000000000\n"));
    int lines = 0;
    for (size_t i = 0; i < out.length; i++) {
        lines += out.data[i] == '\n';
        assert_true((unsigned char)out.data[i] < 0x80);
    }
    assert_int_equal(lines % 2, 0);
    assert_string_equal(out.data + out.length - 8, "  0\nEOF\n");
    snub_text_free(&out);
}

static void pictures_have_bounds(void **state)
{
    (void)state;
    snub_arena arena = {0};
    snub_drawing drawing;
    snub_text out = {0};
    snub_error error;
    snub_drawing_init(&drawing, &arena, 1);
    snub_drawing_frame(&drawing, 0, 0, 1000, 1000);
    assert_int_equal(snub_draw_png(&drawing, SNUB_THEME_LIGHT, 100, &out, &error), SNUB_TOO_LARGE);
    assert_int_equal(snub_draw_png(&drawing, SNUB_THEME_LIGHT, 0, &out, &error), SNUB_BAD_INPUT);
    assert_int_equal(snub_draw_png(&drawing, SNUB_THEME_LIGHT, NAN, &out, &error), SNUB_BAD_INPUT);
    assert_int_equal(out.length, 0);
    snub_arena_free(&arena);
}

typedef struct reel {
    const snub_text *text;
    size_t at;
} reel;

static cairo_status_t read_on(void *closure, unsigned char *out, unsigned int count)
{
    reel *r = closure;
    if (r->at + count > r->text->length)
        return CAIRO_STATUS_READ_ERROR;
    memcpy(out, r->text->data + r->at, count);
    r->at += count;
    return CAIRO_STATUS_SUCCESS;
}

/* Ten dots for a millimetre: a line goes through the middle of "i   i", whose letters are its own ink apart. Counts the
 * line's dark dots from 0.3 mm left of the text to 0.3 mm right of it, and beyond. */
static void line_behind(bool halo, int *near, int *far)
{
    snub_arena arena = {0};
    snub_drawing drawing;
    snub_text out = {0};
    snub_error error;
    const double wide = snub_text_measure("i   i", 5, false), from = 20 - wide / 2 - 0.3, to = 20 + wide / 2 + 0.3;
    snub_drawing_init(&drawing, &arena, 1);
    snub_drawing_frame(&drawing, 0, 0, 40, 20);
    snub_draw_line(&drawing, SNUB_LAYER_BELT, snub_pen_make(SNUB_INK_TEXT, SNUB_DASH_SOLID, 0.5), 2, 10, 38, 10);
    const snub_lettering lettering = {.height = 5, .ink = SNUB_INK_PAPER, .halo = halo};
    snub_draw_text(&drawing, SNUB_LAYER_LABEL, &lettering, 20, 10, "i   i");
    assert_int_equal(snub_draw_png(&drawing, SNUB_THEME_LIGHT, 10, &out, &error), SNUB_OK);
    reel r = {.text = &out};
    cairo_surface_t *picture = cairo_image_surface_create_from_png_stream(read_on, &r);
    assert_int_equal(cairo_surface_status(picture), CAIRO_STATUS_SUCCESS);
    assert_int_equal(cairo_image_surface_get_width(picture), 400);
    const unsigned char *row =
        cairo_image_surface_get_data(picture) + (size_t)100 * (size_t)cairo_image_surface_get_stride(picture);
    *near = *far = 0;
    for (int x = 0; x < 400; x++) {
        int *count = x / 10.0 > from && x / 10.0 < to ? near : far;
        *count += row[4 * (size_t)x + 1] < 128;
    }
    cairo_surface_destroy(picture);
    snub_text_free(&out);
    snub_arena_free(&arena);
}

static void halo_keeps_lines_apart(void **state)
{
    (void)state;
    int plain[2], rimmed[2];
    line_behind(false, &plain[0], &plain[1]);
    line_behind(true, &rimmed[0], &rimmed[1]);
    /* a halo takes 0.15 of the height, 7.5 dots, to each side of both letters; the line goes on between them */
    const int taken = plain[0] - rimmed[0];
    assert_int_equal(plain[1], rimmed[1]);
    assert_true(rimmed[0] > 5 && taken > 26 && taken < 34);
}

static void pdf_has_no_clock(void **state)
{
    (void)state;
    snub_text out = {0};
    write_front(pdf, &out);
    bool found = false;
    for (size_t i = 0; i + 22 < out.length && !found; i++)
        found = memcmp(out.data + i, "CreationDate (20260131", 22) == 0;
    assert_true(found);
    snub_text_free(&out);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(same_drawing_same_bytes),     cmocka_unit_test(heads_are_right),
        cmocka_unit_test(svg_is_in_sheet_millimetres), cmocka_unit_test(halo_keeps_lines_apart),
        cmocka_unit_test(dxf_pairs_and_signs),         cmocka_unit_test(broken_text_is_mended),
        cmocka_unit_test(pictures_have_bounds),        cmocka_unit_test(pdf_has_no_clock),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

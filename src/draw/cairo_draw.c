/** Entities on a cairo context. */
#include <math.h>
#include <pango/pangocairo.h>

#include "compose.h"
#include "shape.h"
#include "snub/draw_cairo.h"

/* Path coordinates stay in mm; only text needs a larger size for Pango's 1/1024 of a unit to be fine enough. */
#define TYPE_SCALE 16.0

static void set_colour(cairo_t *cr, snub_ink ink, snub_theme theme)
{
    uint32_t rgb = snub_ink_colour(ink, theme);
    cairo_set_source_rgb(cr, (rgb >> 16 & 255) / 255.0, (rgb >> 8 & 255) / 255.0, (rgb & 255) / 255.0);
}

PangoContext *snub_cairo_text_context(cairo_t *cr)
{
    PangoContext *context = pango_cairo_create_context(cr);
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
    pango_cairo_context_set_font_options(context, options);
    pango_cairo_context_set_resolution(context, 72);
    pango_context_set_round_glyph_positions(context, FALSE);
    cairo_font_options_destroy(options);
    return context;
}

PangoFontDescription *snub_cairo_face(double height, bool bold)
{
    PangoFontDescription *face = pango_font_description_new();
    pango_font_description_set_family(face, "Liberation Sans, Arial, Helvetica, DejaVu Sans, sans-serif");
    pango_font_description_set_weight(face, bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_font_description_set_absolute_size(face, height / SNUB_CAPITALS * PANGO_SCALE);
    return face;
}

void snub_cairo_only_glyphs(PangoLayout *layout)
{
    if (pango_layout_get_unknown_glyphs_count(layout) == 0)
        return;
    PangoLayout *trial = pango_layout_copy(layout);
    GString *text = g_string_new(NULL);
    for (const char *c = pango_layout_get_text(layout); *c != '\0'; c = g_utf8_next_char(c)) {
        pango_layout_set_text(trial, c, (int)(g_utf8_next_char(c) - c));
        if (pango_layout_get_unknown_glyphs_count(trial) > 0)
            g_string_append_c(text, '?');
        else
            g_string_append_unichar(text, g_utf8_get_char(c));
    }
    pango_layout_set_text(layout, text->str, -1);
    g_string_free(text, TRUE);
    g_object_unref(trial);
}

typedef struct painter {
    cairo_t *cr;
    const snub_drawing *drawing;
    snub_theme theme;
    PangoContext *context;
} painter;

static double sheet_x(const painter *p, double x)
{
    return (x - p->drawing->low[0]) / p->drawing->unit;
}

static double sheet_y(const painter *p, double y)
{
    return (p->drawing->high[1] - y) / p->drawing->unit;
}

/* y runs down here: a counter-clockwise sweep goes by falling angles. */
static void add_arc(const painter *p, const double centre[2], double radius, double start, double sweep)
{
    double x = sheet_x(p, centre[0]), y = sheet_y(p, centre[1]), r = radius / p->drawing->unit;
    if (sweep >= 0)
        cairo_arc_negative(p->cr, x, y, r, -start, -start - sweep);
    else
        cairo_arc(p->cr, x, y, r, -start, -start - sweep);
}

static void add_loop(const painter *p, const snub_loop *loop)
{
    for (int i = 0; i < loop->count; i++) {
        const snub_vertex *a = &loop->vertex[i], *b = &loop->vertex[(i + 1) % loop->count];
        if (i == 0)
            cairo_move_to(p->cr, sheet_x(p, a->x), sheet_y(p, a->y));
        if (i + 1 == loop->count && !loop->closed)
            break;
        double centre[2], radius, start, sweep;
        if (snub_bulge_arc(a, b, centre, &radius, &start, &sweep))
            add_arc(p, centre, radius, start, sweep);
        else if (i + 1 < loop->count)
            cairo_line_to(p->cr, sheet_x(p, b->x), sheet_y(p, b->y));
    }
    if (loop->closed)
        cairo_close_path(p->cr);
}

/* The box of each glyph, `rim` wider all round. Outlines would be most of a sheet's bytes and half of its time. */
static void add_halo(cairo_t *cr, PangoLayout *layout, double left, double top, double rim)
{
    PangoLayoutIter *at = pango_layout_get_iter(layout);
    do {
        PangoRectangle ink;
        pango_layout_iter_get_cluster_extents(at, &ink, NULL);
        if (ink.width > 0)
            cairo_rectangle(cr, left + (double)ink.x / PANGO_SCALE - rim, top + (double)ink.y / PANGO_SCALE - rim,
                            (double)ink.width / PANGO_SCALE + 2 * rim, (double)ink.height / PANGO_SCALE + 2 * rim);
    } while (pango_layout_iter_next_cluster(at));
    pango_layout_iter_free(at);
}

static void paint_text(const painter *p, const snub_entity *entity)
{
    double height = entity->as.text.height;
    PangoLayout *layout = pango_layout_new(p->context);
    PangoFontDescription *face = snub_cairo_face(height * TYPE_SCALE, entity->as.text.bold);
    pango_layout_set_font_description(layout, face);
    pango_layout_set_text(layout, entity->as.text.text, -1);
    snub_cairo_only_glyphs(layout);
    int width, unused;
    pango_layout_get_size(layout, &width, &unused);
    double length = (double)width / PANGO_SCALE / TYPE_SCALE;
    double left = entity->as.text.across < 0 ? 0 : entity->as.text.across == 0 ? -length / 2 : -length;
    double drop = entity->as.text.up < 0 ? 0 : entity->as.text.up == 0 ? height / 2 : height;
    double baseline = (double)pango_layout_get_baseline(layout) / PANGO_SCALE / TYPE_SCALE;
    cairo_save(p->cr);
    cairo_translate(p->cr, sheet_x(p, entity->as.text.at[0]), sheet_y(p, entity->as.text.at[1]));
    cairo_rotate(p->cr, -entity->as.text.angle);
    cairo_move_to(p->cr, left, drop - baseline);
    cairo_scale(p->cr, 1 / TYPE_SCALE, 1 / TYPE_SCALE);
    pango_cairo_update_layout(p->cr, layout);
    if (entity->as.text.halo) {
        set_colour(p->cr, SNUB_INK_PAPER, p->theme);
        add_halo(p->cr, layout, left * TYPE_SCALE, (drop - baseline) * TYPE_SCALE, 0.15 * height * TYPE_SCALE);
        cairo_fill(p->cr);
        cairo_move_to(p->cr, left * TYPE_SCALE, (drop - baseline) * TYPE_SCALE);
    }
    set_colour(p->cr, entity->pen.ink, p->theme);
    pango_cairo_show_layout(p->cr, layout);
    cairo_restore(p->cr);
    cairo_new_path(p->cr);
    pango_font_description_free(face);
    g_object_unref(layout);
}

static void fill_and_stroke(const painter *p, snub_ink fill, const snub_pen *pen)
{
    if (fill != SNUB_INK_NONE) {
        set_colour(p->cr, fill, p->theme);
        cairo_fill_preserve(p->cr);
    }
    if (pen->ink != SNUB_INK_NONE && pen->width > 0) {
        int count;
        const double *lengths = snub_dash_lengths(pen->dash, &count);
        set_colour(p->cr, pen->ink, p->theme);
        cairo_set_dash(p->cr, lengths, count, 0);
        cairo_set_line_cap(p->cr, count > 0 ? CAIRO_LINE_CAP_BUTT : CAIRO_LINE_CAP_ROUND);
        cairo_set_line_width(p->cr, pen->width);
        cairo_stroke_preserve(p->cr);
    }
    cairo_new_path(p->cr);
}

static void paint(const painter *p, const snub_entity *entity)
{
    snub_ink fill = SNUB_INK_NONE;
    switch (entity->kind) {
    case SNUB_ENTITY_LINE:
        cairo_move_to(p->cr, sheet_x(p, entity->as.line.a[0]), sheet_y(p, entity->as.line.a[1]));
        cairo_line_to(p->cr, sheet_x(p, entity->as.line.b[0]), sheet_y(p, entity->as.line.b[1]));
        break;
    case SNUB_ENTITY_ARC:
        add_arc(p, entity->as.arc.centre, entity->as.arc.radius, entity->as.arc.start, entity->as.arc.sweep);
        break;
    case SNUB_ENTITY_CIRCLE:
        fill = entity->fill;
        add_arc(p, entity->as.circle.centre, entity->as.circle.radius, 0, 2 * SNUB_PI);
        cairo_close_path(p->cr);
        break;
    case SNUB_ENTITY_PATH:
        fill = entity->fill;
        for (int i = 0; i < entity->as.path.count; i++)
            add_loop(p, &entity->as.path.loop[i]);
        break;
    case SNUB_ENTITY_TEXT: paint_text(p, entity); return;
    }
    fill_and_stroke(p, fill, &entity->pen);
}

void snub_cairo_drawing(cairo_t *cr, const snub_drawing *drawing, snub_theme theme, double x, double y, double scale)
{
    cairo_save(cr);
    cairo_translate(cr, x, y);
    cairo_scale(cr, scale, scale);
    cairo_new_path(cr);
    cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
    cairo_set_fill_rule(cr, CAIRO_FILL_RULE_EVEN_ODD);
    painter p = {cr, drawing, theme, snub_cairo_text_context(cr)};
    for (int layer = 0; layer < SNUB_LAYER_COUNT_; layer++)
        for (int i = 0; i < drawing->count; i++)
            if ((int)drawing->entity[i].layer == layer)
                paint(&p, &drawing->entity[i]);
    g_object_unref(p.context);
    cairo_restore(cr);
}

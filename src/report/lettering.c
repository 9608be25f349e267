/** Words and lines on a page. */
#include "lettering.h"

#define TYPE_SCALE 16.0 /**< text is laid out in sixteenths of a mm, where Pango's rounding cannot be seen */

static void set_colour(cairo_t *cr, uint32_t rgb)
{
    cairo_set_source_rgb(cr, (rgb >> 16 & 255) / 255.0, (rgb >> 8 & 255) / 255.0, (rgb & 255) / 255.0);
}

static uint32_t colour_of(snub_ink ink)
{
    return snub_ink_colour(ink, SNUB_THEME_LIGHT);
}

void snub_type_ink(cairo_t *cr, snub_ink ink)
{
    set_colour(cr, colour_of(ink));
}

static PangoLayout *lay(snub_pages *pages, const snub_type *t, double width, const char *text)
{
    PangoLayout *layout = pango_layout_new(pages->context);
    PangoFontDescription *face = snub_cairo_face(t->height * TYPE_SCALE, t->bold);
    pango_layout_set_font_description(layout, face);
    pango_font_description_free(face);
    if (width > 0) {
        pango_layout_set_width(layout, (int)(width * TYPE_SCALE * PANGO_SCALE));
        pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
        pango_layout_set_alignment(layout, t->across < 0   ? PANGO_ALIGN_LEFT
                                           : t->across > 0 ? PANGO_ALIGN_RIGHT
                                                           : PANGO_ALIGN_CENTER);
    }
    /* a hyphen that Pango puts into "bearing_speed" or a file's name would be read as part of it */
    PangoAttrList *attributes = pango_attr_list_new();
    pango_attr_list_insert(attributes, pango_attr_insert_hyphens_new(FALSE));
    pango_layout_set_attributes(layout, attributes);
    pango_attr_list_unref(attributes);
    pango_layout_set_text(layout, text, -1);
    snub_cairo_only_glyphs(layout);
    return layout;
}

static double height_of(PangoLayout *layout)
{
    int width, height;
    pango_layout_get_size(layout, &width, &height);
    return (double)height / PANGO_SCALE / TYPE_SCALE;
}

/* Draws the layout with its upper left corner at (x, y) and gives it back. */
static void show(snub_pages *pages, PangoLayout *layout, uint32_t rgb, double x, double y)
{
    cairo_save(pages->cr);
    cairo_move_to(pages->cr, x, y);
    cairo_scale(pages->cr, 1 / TYPE_SCALE, 1 / TYPE_SCALE);
    set_colour(pages->cr, rgb);
    pango_cairo_update_layout(pages->cr, layout);
    pango_cairo_show_layout(pages->cr, layout);
    cairo_restore(pages->cr);
    cairo_new_path(pages->cr);
}

double snub_type_block(snub_pages *pages, const snub_type *t, double x, double y, double width, const char *text,
                       bool draw)
{
    const snub_type set = {t->height * pages->tight, t->bold, t->ink, t->across};
    PangoLayout *layout = lay(pages, &set, width, text);
    double height = height_of(layout);
    if (draw)
        show(pages, layout, colour_of(t->ink), x, y);
    g_object_unref(layout);
    return height;
}

/* On one line, its foot at y. */
static double line_of(snub_pages *pages, const snub_type *t, uint32_t rgb, double x, double y, const char *text)
{
    const snub_type flush = {t->height, t->bold, t->ink, -1};
    PangoLayout *layout = lay(pages, &flush, 0, text);
    int width, unused;
    pango_layout_get_size(layout, &width, &unused);
    double length = (double)width / PANGO_SCALE / TYPE_SCALE;
    double base = (double)pango_layout_get_baseline(layout) / PANGO_SCALE / TYPE_SCALE;
    show(pages, layout, rgb, t->across < 0 ? x : t->across == 0 ? x - length / 2 : x - length, y - base);
    g_object_unref(layout);
    return length;
}

double snub_pages_words(snub_pages *pages, double x, double y, double height, bool bold, snub_ink ink, int across,
                        const char *text)
{
    const snub_type t = {height, bold, ink, across};
    return line_of(pages, &t, colour_of(ink), x, y, text);
}

void snub_type_heading(snub_pages *pages, double x, double y, double height, int across, const char *text)
{
    const snub_house *house = pages->sheet->house;
    const snub_type t = {height, true, SNUB_INK_TEXT, across};
    line_of(pages, &t, house != NULL && house->coloured ? house->colour : colour_of(SNUB_INK_TEXT), x, y, text);
}

void snub_type_rule(snub_pages *pages, double x0, double y0, double x1, double y1, double width, snub_ink ink)
{
    snub_type_ink(pages->cr, ink);
    cairo_set_dash(pages->cr, NULL, 0, 0);
    cairo_set_line_width(pages->cr, width);
    cairo_move_to(pages->cr, x0, y0);
    cairo_line_to(pages->cr, x1, y1);
    cairo_stroke(pages->cr);
}

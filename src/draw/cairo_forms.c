/** PDF and PNG, into memory. */
#include <cairo-pdf.h>
#include <math.h>

#include "shape.h"
#include "snub/draw_cairo.h"

static cairo_status_t take(void *closure, const unsigned char *data, unsigned int length)
{
    snub_text *out = closure;
    snub_text_add(out, (const char *)data, length);
    return out->failed ? CAIRO_STATUS_NO_MEMORY : CAIRO_STATUS_SUCCESS;
}

/* The bytes must depend on the drawing alone: cairo would put the present time into every file. */
#define CREATED_WHEN_NOT_SAID "2000-01-01T00:00:00Z"

cairo_surface_t *snub_cairo_pdf(snub_text *out, double width_mm, double height_mm, const snub_imprint *imprint)
{
    cairo_surface_t *surface =
        cairo_pdf_surface_create_for_stream(take, out, width_mm * SNUB_POINTS_PER_MM, height_mm * SNUB_POINTS_PER_MM);
    cairo_pdf_surface_restrict_to_version(surface, CAIRO_PDF_VERSION_1_5);
    const char *created = imprint != NULL && imprint->created != NULL ? imprint->created : CREATED_WHEN_NOT_SAID;
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, created);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_MOD_DATE, created);
    if (imprint != NULL && imprint->title != NULL)
        cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, imprint->title);
    if (imprint != NULL && imprint->subject != NULL)
        cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_SUBJECT, imprint->subject);
    if (imprint != NULL && imprint->creator != NULL)
        cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATOR, imprint->creator);
    return surface;
}

static snub_status cairo_outcome(cairo_status_t status, const snub_text *out, snub_error *error)
{
    if (out->failed || status == CAIRO_STATUS_NO_MEMORY)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while drawing");
    if (status != CAIRO_STATUS_SUCCESS)
        return snub_fail(error, SNUB_IO, NULL, NULL, "cairo: %s", cairo_status_to_string(status));
    return SNUB_OK;
}

snub_status snub_draw_pdf(const snub_drawing *drawing, snub_theme theme, const snub_imprint *imprint, snub_text *out,
                          snub_error *error)
{
    snub_status status = snub_drawing_ready(drawing, error);
    if (status != SNUB_OK)
        return status;
    double width = (drawing->high[0] - drawing->low[0]) / drawing->unit;
    double height = (drawing->high[1] - drawing->low[1]) / drawing->unit;
    snub_imprint full = imprint != NULL ? *imprint : (snub_imprint){0};
    if (full.title == NULL)
        full.title = drawing->title;
    cairo_surface_t *surface = snub_cairo_pdf(out, width, height, &full);
    cairo_t *cr = cairo_create(surface);
    cairo_scale(cr, SNUB_POINTS_PER_MM, SNUB_POINTS_PER_MM);
    if (theme == SNUB_THEME_DARK) { /* paper is white by itself */
        uint32_t rgb = snub_ink_colour(SNUB_INK_PAPER, theme);
        cairo_set_source_rgb(cr, (rgb >> 16) / 255.0, (rgb >> 8 & 255) / 255.0, (rgb & 255) / 255.0);
        cairo_paint(cr);
    }
    snub_cairo_drawing(cr, drawing, theme, 0, 0, 1);
    cairo_show_page(cr);
    cairo_status_t drawn = cairo_status(cr);
    cairo_destroy(cr);
    cairo_surface_finish(surface);
    if (drawn == CAIRO_STATUS_SUCCESS)
        drawn = cairo_surface_status(surface);
    cairo_surface_destroy(surface);
    return cairo_outcome(drawn, out, error);
}

enum { DOTS_MOST = 16384 };

snub_status snub_draw_png(const snub_drawing *drawing, snub_theme theme, double dots_per_mm, snub_text *out,
                          snub_error *error)
{
    snub_status status = snub_drawing_ready(drawing, error);
    if (status != SNUB_OK)
        return status;
    double width = ceil((drawing->high[0] - drawing->low[0]) / drawing->unit * dots_per_mm - 1e-6);
    double height = ceil((drawing->high[1] - drawing->low[1]) / drawing->unit * dots_per_mm - 1e-6);
    if (!(dots_per_mm > 0) || !(width >= 1) || !(height >= 1))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "a picture needs a resolution over 0 dots per mm");
    if (width > DOTS_MOST || height > DOTS_MOST)
        return snub_fail(error, SNUB_TOO_LARGE, NULL, NULL, "a picture of %.0f by %.0f dots; at most %d either way",
                         width, height, DOTS_MOST);
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)width, (int)height);
    cairo_t *cr = cairo_create(surface);
    uint32_t rgb = snub_ink_colour(SNUB_INK_PAPER, theme);
    cairo_set_source_rgb(cr, (rgb >> 16) / 255.0, (rgb >> 8 & 255) / 255.0, (rgb & 255) / 255.0);
    cairo_paint(cr);
    cairo_scale(cr, dots_per_mm, dots_per_mm);
    snub_cairo_drawing(cr, drawing, theme, 0, 0, 1);
    cairo_status_t drawn = cairo_status(cr);
    cairo_destroy(cr);
    cairo_surface_flush(surface);
    if (drawn == CAIRO_STATUS_SUCCESS)
        drawn = cairo_surface_write_to_png_stream(surface, take, out);
    cairo_surface_destroy(surface);
    return cairo_outcome(drawn, out, error);
}

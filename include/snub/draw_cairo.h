/** snub/draw_cairo.h - drawings on a cairo context, for those who lay out pages of their own (the printed sheets). */
#ifndef SNUB_DRAW_CAIRO_H
#define SNUB_DRAW_CAIRO_H

#include "snub/draw.h"

/* Only named: whoever draws includes <pango/pangocairo.h>. Its own headers cannot stand in C++'s extern "C". */
typedef struct _cairo cairo_t;
typedef struct _cairo_surface cairo_surface_t;
typedef struct _PangoContext PangoContext;
typedef struct _PangoFontDescription PangoFontDescription;
typedef struct _PangoLayout PangoLayout;

/** Points of 1/72 in per mm. */
#define SNUB_POINTS_PER_MM (72.0 * SNUB_MM / SNUB_INCH)

/** Paint a drawing. User space of `cr` is in mm, y down, as snub_cairo_millimetres sets it.
 *  @param[in] x,y   where the sheet's upper left corner comes to lie [mm]
 *  @param[in] scale  1: the sheet at its own size */
void snub_cairo_drawing(cairo_t *cr, const snub_drawing *drawing, snub_theme theme, double x, double y, double scale);

/** A Pango context whose metrics do not depend on the output device: no hinting, no rounding of positions. */
PangoContext *snub_cairo_text_context(cairo_t *cr);
/** Face of all drawings and sheets at a height of capitals [user units of cr]. */
PangoFontDescription *snub_cairo_face(double height, bool bold);

/** Put '?' in place of every character that no face here has a glyph for: Pango would draw a box with its number, as
 *  large as it likes. */
void snub_cairo_only_glyphs(PangoLayout *layout);

/** A PDF surface that writes into `out`, with the imprint's metadata. out->failed tells of lack of memory. */
cairo_surface_t *snub_cairo_pdf(snub_text *out, double width_mm, double height_mm, const snub_imprint *imprint);

#endif

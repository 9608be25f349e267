/** svg.h - the library that draws SVG, fetched when the first picture wants it. Private to the room.
 *
 *  Few papers show an SVG, and the library touches more memory as it is loaded than cairo and pango together.
 */
#ifndef SNUB_REPORT_SVG_H
#define SNUB_REPORT_SVG_H

#include <librsvg/rsvg.h>

#include "snub/base.h"

/** Its functions, by their own names and of their own types. */
typedef struct snub_svg_calls {
    RsvgHandle *(*handle_new_from_data)(const guint8 *, gsize, GError **);
    gboolean (*handle_get_intrinsic_size_in_pixels)(RsvgHandle *, gdouble *, gdouble *);
    void (*handle_get_intrinsic_dimensions)(RsvgHandle *, gboolean *, RsvgLength *, gboolean *, RsvgLength *,
                                            gboolean *, RsvgRectangle *);
    gboolean (*handle_render_document)(RsvgHandle *, cairo_t *, const RsvgRectangle *, GError **);
} snub_svg_calls;

/** Load it; it stays until the process ends.
 *  @param[out] calls  zeroed on error
 *  @return SNUB_OK; SNUB_IO with the loader's own words: it is not installed, or is another one */
snub_status snub_svg_load(snub_svg_calls *calls, snub_error *error);

#endif

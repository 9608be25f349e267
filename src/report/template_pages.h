/** template_pages.h - how the full-size template is cut to pages: for the template itself, and for sheets that name its
 *  pages. Private to the room. */
#ifndef SNUB_REPORT_TEMPLATE_PAGES_H
#define SNUB_REPORT_TEMPLATE_PAGES_H

#include "ruler.h"

#define SNUB_TEMPLATE_OVERLAP 8.0 /**< mm that neighbours show twice, to glue on */

enum { SNUB_TEMPLATE_PAGES_MOST = 400 };

typedef struct snub_tiling {
    double width, height; /**< of the picture on a page, mm */
    double whole[2];      /**< of the drawing, mm */
    int across, down;
} snub_tiling;

/** The drawing of the sheet's build at full size. @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_template_draw(snub_pages *pages, snub_drawing *drawing, snub_error *error);
/** How it is cut to upright pages of the sheet's paper. */
snub_tiling snub_template_tile(const snub_pages *pages, const snub_drawing *drawing);
/** "B2": column letter from the left, row number from the top. */
const char *snub_template_page_name(snub_pages *pages, int column, int row);
/** The page that shows a point [m] of the front view; "" where none does. */
const char *snub_template_page_at(snub_pages *pages, const snub_drawing *drawing, const snub_tiling *tiling,
                                  const double at[2]);

#endif

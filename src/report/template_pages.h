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
    double shift[2];      /**< of the drawing on the pages, to the right and down, mm */
    int across, down;
    bool blank[SNUB_TEMPLATE_PAGES_MOST]; /**< by rows: nothing is drawn there that a neighbour does not show */
    int printed;                          /**< pages that are not blank */
} snub_tiling;

/** The drawing of the sheet's build at full size. @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_template_draw(snub_pages *pages, snub_drawing *drawing, snub_error *error);
/** How it is cut to upright pages of the sheet's paper: so that the fewest have a piece of it. Lack of memory marks the
 *  pages. */
void snub_template_tile(snub_pages *pages, const snub_drawing *drawing, snub_tiling *tiling);
/** Whether a page is printed; none is beside the outermost. */
bool snub_template_page_is(const snub_tiling *tiling, int column, int row);
/** "B2": column letter from the left, row number from the top. */
const char *snub_template_page_name(snub_pages *pages, int column, int row);
/** The page that shows a point [m] of the front view; "" where none does. */
const char *snub_template_page_at(snub_pages *pages, const snub_drawing *drawing, const snub_tiling *tiling,
                                  const double at[2]);

#endif

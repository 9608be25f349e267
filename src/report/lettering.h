/** lettering.h - words and lines on a page, at a place (src/report only). */
#ifndef SNUB_REPORT_LETTERING_H
#define SNUB_REPORT_LETTERING_H

#include "pages.h"

/** Height of capitals [mm]. */
#define SNUB_TYPE_BODY 2.0 /**< about 8 pt type */
#define SNUB_TYPE_SMALL 1.55
#define SNUB_PAGE_EDGE 10.0 /**< above the head */
#define SNUB_PAGE_MARGIN 14.0
#define SNUB_PAGE_HEAD 13.0
#define SNUB_TYPE_SUBJECT 2.2 /**< line under the title */

typedef struct snub_type {
    double height; /**< of capitals, mm */
    bool bold;
    snub_ink ink;
    int across; /**< -1 left, 0 middle, +1 right */
} snub_type;

void snub_type_ink(cairo_t *cr, snub_ink ink);
/** A paragraph, as small as pages->tight has it, its upper left corner at (x, y) [mm].
 *  @param[in] width  0: it does not wrap
 *  @param[in] draw  false: it is only measured
 *  @return its height [mm] */
double snub_type_block(snub_pages *pages, const snub_type *t, double x, double y, double width, const char *text,
                       bool draw);
/** A heading on one line, in the colour of the house: no other words have it. */
void snub_type_heading(snub_pages *pages, double x, double y, double height, int across, const char *text);
void snub_type_rule(snub_pages *pages, double x0, double y0, double x1, double y1, double width, snub_ink ink);

#endif

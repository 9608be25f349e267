/** Full-size pages: the rulers at their foot, by which a printer is checked (src/report only). */
#ifndef SNUB_REPORT_RULER_H
#define SNUB_REPORT_RULER_H

#include "pages.h"

#define EDGE 10.0                    /**< mm that printers leave white, and room for the marks */
#define FOOT 24.0                    /**< mm at the foot for the rulers and the page's name */
#define SNUB_RULER_PITCH 10.0        /**< from one ruler to the one above it, mm */
#define SNUB_RULER_MILLIMETRES 100.0 /**< length of the one, mm */
#define SNUB_RULER_INCHES 4          /**< and of the other */

/** How to print, and how the rulers tell whether it was so. */
const char *snub_ruler_words(snub_pages *pages);
/** Both at the lower left corner of the page: the reader's own, and the other above it. */
void snub_ruler(snub_pages *pages);
/** What the page was made from, at the foot's right end. */
void snub_ruler_origin(snub_pages *pages);
/** A black line, mm. */
void snub_stroke(cairo_t *cr, double x0, double y0, double x1, double y1, double width);

#endif

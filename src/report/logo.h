/** logo.h - a company's logo, SVG or PNG, drawn from its bytes alone. Private to the room. */
#ifndef SNUB_REPORT_LOGO_H
#define SNUB_REPORT_LOGO_H

#include <pango/pangocairo.h>

#include "snub/house.h"

typedef struct snub_logo {
    cairo_surface_t *image; /**< PNG */
    void *picture;          /**< SVG */
    double width, height;   /**< in a unit of its own: their ratio counts */
} snub_logo;

/** Read the house's logo; nothing is read but its bytes. One that refers to anything outside of them is an error.
 *  @param[out] logo  zeroed where the house has none, or on error
 *  @return SNUB_OK; SNUB_BAD_INPUT, SNUB_TOO_LARGE (at the house file's `logo`); SNUB_NO_MEMORY */
snub_status snub_logo_open(const snub_house *house, snub_logo *logo, snub_error *error);
void snub_logo_close(snub_logo *logo);
/** Draw it into a box, as large as its ratio lets it be, at the left and in the middle of the height.
 *  @return its width [user units]; 0 without one, or where it cannot be drawn */
double snub_logo_draw(const snub_logo *logo, cairo_t *cr, double x, double y, double width, double height);

#endif

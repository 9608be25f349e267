/** picture.h - a picture of the user's own, SVG or PNG, drawn from its bytes alone: a company's logo, a step's picture.
 *  Private to the room. */
#ifndef SNUB_REPORT_PICTURE_H
#define SNUB_REPORT_PICTURE_H

#include <pango/pangocairo.h>

#include "snub/pictures.h"
#include "svg.h"

typedef struct snub_picture {
    cairo_surface_t *image; /**< PNG */
    RsvgHandle *drawing;    /**< SVG */
    snub_svg_calls svg;     /**< that draw it */
    double width, height;   /**< in a unit of its own: their ratio counts */
} snub_picture;

/** Read a picture; nothing is read but its bytes. One that refers to anything outside of them is an error.
 *  @param[in] file  its bytes, and where it is named; without bytes there is none
 *  @param[in] key  by which it is named, for errors
 *  @param[out] picture  zeroed where there is none, or on error
 *  @return SNUB_OK; SNUB_BAD_INPUT, SNUB_TOO_LARGE (at the place where it is named); SNUB_NO_MEMORY */
snub_status snub_picture_open(const snub_picture_file *file, const char *key, snub_picture *picture, snub_error *error);
void snub_picture_close(snub_picture *picture);
/** Draw it into a box, as large as its ratio lets it be, at the left and in the middle of the height.
 *  @return its width [user units]; 0 without one, or where it cannot be drawn */
double snub_picture_draw(const snub_picture *picture, cairo_t *cr, double x, double y, double width, double height);

#endif

/** ruler.h - rulers by which a printed drawing is checked (src/draw only). */
#ifndef SNUB_DRAW_RULER_H
#define SNUB_DRAW_RULER_H

#include "snub/draw.h"

/** From one ruler to the one below it, mm. */
#define SNUB_RULERS_PITCH 12.0
/** What both take with their words, mm. */
#define SNUB_RULERS_HEIGHT 36.0

/** 100 mm, or four inches, in mm. */
double snub_draw_ruler_length(bool inches);
/** A ruler from (x, y) to the right or upwards, model mm of a drawing at 1:1. */
void snub_draw_ruler(snub_drawing *drawing, const snub_locale *locale, bool inches, double x, double y, bool upright);
/** One in mm and one in inches, the reader's own first and the other below it, and what to do with them.
 *  @param[in] y  of the first */
void snub_draw_rulers(snub_drawing *drawing, const snub_locale *locale, double x, double y);

#endif

/** Markers and samples of plots (src/draw only). */
#ifndef SNUB_DRAW_MARKERS_H
#define SNUB_DRAW_MARKERS_H

#include "snub/draw.h"

/** A marker `size` sheet mm across at (x, y). */
void snub_draw_marker(snub_drawing *drawing, snub_layer layer, snub_marker marker, snub_ink ink, double x, double y,
                      double size);

#endif

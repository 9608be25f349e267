/** snub/draw_circles.h - circles of a sketch or a scan as a drawing. Room: draw. */
#ifndef SNUB_DRAW_CIRCLES_H
#define SNUB_DRAW_CIRCLES_H

#include "snub/circles.h"
#include "snub/draw.h"

/** Seen from the front, on a sheet of A4 (Letter with inches): circles with name, place and diameter, those of the
 * drive file dashed; of points each with its residual, larger than it is by a factor that the sheet states, what is
 * left out with a cross. Of a large scan so many points are drawn as can be told apart, and all that are left out.
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_draw_circles(const snub_circles *circles, const char *title, const snub_locale *locale,
                              snub_arena *arena, snub_drawing *drawing, snub_error *error);

#endif

/** snub/draw_centres.h - measured centres as a drawing. Room: draw. */
#ifndef SNUB_DRAW_CENTRES_H
#define SNUB_DRAW_CENTRES_H

#include "snub/draw.h"
#include "snub/measure.h"

/** Seen from the front, on a sheet of A4 (Letter with inches): rims, readings between them, a suspect one heavy and
 * dashed, the next one dotted, and each centre's 95 % ellipse, larger than it is by a factor that the sheet states.
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_draw_centres(const snub_centres *centres, const snub_locale *locale, snub_arena *arena,
                              snub_drawing *drawing, snub_error *error);

#endif

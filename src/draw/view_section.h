/** src/draw/view_section.h - the section of a drive's hardware, for the side view (src/draw only). */
#ifndef SNUB_DRAW_VIEW_SECTION_H
#define SNUB_DRAW_VIEW_SECTION_H

#include "snub/draw_drive.h"

/** Fill blocks and chains of a view from a drive whose pulleys stand at `centre` [m].
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_view_fill_section(const snub_drive *drive, const double (*centre)[2], snub_arena *arena,
                                   snub_view *view, snub_error *error);

#endif

/** A view of a path without a build. Private to src/draw. */
#ifndef SNUB_DRAW_VIEW_FILL_H
#define SNUB_DRAW_VIEW_FILL_H

#include "snub/draw_drive.h"

/** A view of a drive that is only laid, not balanced.
 *  @param[in] path  as laid; NULL: pulleys alone
 *  @param[in] settings  as snub_place_pulleys; may be NULL
 *  @param[in] wind  of the arm [rad]; not read without an arm */
snub_status snub_view_of_path(const snub_drive *drive, const snub_path *path, const double *settings, double wind,
                              snub_arena *arena, snub_view *view, snub_error *error);
/** The slot that a pulley sits on. @param[in] setting  m; NAN: free */
snub_view_slot snub_view_slot_of(const snub_drive *drive, int pulley, double setting);

/** An obstacle as it stands with the arm. @return false: out of memory */
bool snub_view_obstacle_of(const snub_drive *drive, const snub_obstacle *obstacle, double wind, snub_arena *arena,
                           snub_view_obstacle *out);

#endif

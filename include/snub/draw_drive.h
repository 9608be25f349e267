/** snub/draw_drive.h - from a drive and its results to a view that can be drawn. */
#ifndef SNUB_DRAW_DRIVE_H
#define SNUB_DRAW_DRIVE_H

#include "snub/draw.h"
#include "snub/kit.h"

/** A view with one build in a state: arm, tensions and frequencies at the state's speed; where there is no balance, the
 *  pulleys as they stand with the arm at rest, and the belt if it can be laid at all.
 *  Arm, slots and hardware come along. Names point into the drive; the rest is arena memory. Words (which build it is,
 *  its verdict, what is wrong) are the caller's: snub_build_view of `report` fills them in.
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_view_of_build(const snub_build *build, const snub_state *state, snub_arena *arena, snub_view *view,
                               snub_error *error);
/** One more build to be laid over a view. @param[in] name  copied; NULL: the belt's designation */
snub_status snub_view_build_of(const snub_build *build, const snub_state *state, const char *name, snub_arena *arena,
                               snub_view_build *out, snub_error *error);

#endif

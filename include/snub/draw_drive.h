/** snub/draw_drive.h - from a drive and its results to a view that can be drawn. */
#ifndef SNUB_DRAW_DRIVE_H
#define SNUB_DRAW_DRIVE_H

#include "snub/draw.h"
#include "snub/kit.h"
#include "snub/steps.h"

/** A view with one build in a state: arm, tensions and frequencies at the state's speed; where there is no balance, the
 *  pulleys as they stand with the arm at rest, and the belt if it can be laid at all.
 *  Arm, slots and hardware come along. Names point into the drive; the rest is arena memory. Words (which build it is,
 *  its verdict, what is wrong) are the caller's: snub_build_view of `report` fills them in.
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_view_of_build(const snub_build *build, const snub_state *state, snub_arena *arena, snub_view *view,
                               snub_error *error);
/** Blocks and chains of the section along the crank, of a drive whose pulleys stand at `centre` [m]: what
 *  snub_view_of_build puts into a view of them. A bolt of whose length nothing is known has its head only; one that
 *  clamps a slider has no place along the crank.
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_view_section_of(const snub_drive *drive, const double (*centre)[2], snub_arena *arena, snub_view *view,
                                 snub_error *error);
/** One more build to be laid over a view. @param[in] name  copied; NULL: the belt's designation */
snub_status snub_view_build_of(const snub_build *build, const snub_state *state, const char *name, snub_arena *arena,
                               snub_view_build *out, snub_error *error);
/** What the picture of a step has dark. @param[in] view  of the build, by snub_view_of_build
 *  @param[out] focus  points into parts; the rest is arena memory
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_view_focus_of(const snub_build *build, const snub_step_parts *parts, const snub_locale *locale,
                               const snub_view *view, snub_arena *arena, snub_view_focus *focus, snub_error *error);
/** A mount's bracket as a plate: holes of its bolts, holes and slots of the pulleys on it. A bolt that locates is
 * reamed; a pulley's bolt that is tapped into the bracket's own metal is tapped; all else has its clearance hole.
 *  @param[in] mount  its name; NULL: the file's only one
 *  @return SNUB_OK; SNUB_BAD_INPUT (no such mount, or none, or which of several is not said); SNUB_NO_MEMORY */
snub_status snub_plate_of_mount(const snub_drive *drive, const char *mount, const snub_locale *locale,
                                snub_arena *arena, snub_plate *plate, snub_error *error);

#endif

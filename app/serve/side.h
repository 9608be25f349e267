/** The drive along the crank, and its hardware seen from the front. */
#ifndef SNUB_SERVE_SIDE_H
#define SNUB_SERVE_SIDE_H

#include "snub/draw_drive.h"

struct json_t;

/** {"blocks": [...], "sizes_mm": [...], "most": N}: the section of the side view, and the shims on hand with how many
 *  go into one pack. @param[in] section  of the drive, by snub_view_section_of */
struct json_t *serve_side(const snub_build *build, const snub_view *section);
/** Brackets with what outline the file gives, and their bolts. */
struct json_t *serve_mounts(const snub_drive *drive);

#endif

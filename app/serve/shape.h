/** What the page needs to draw a drive. */
#ifndef SNUB_SERVE_SHAPE_H
#define SNUB_SERVE_SHAPE_H

#include "snub/kit.h"

struct json_t;

/** Pulleys, arm, slots, belt and engine in mm, deg and rpm; docs/guide/page.md lists the keys.
 *  @param[in] units  to read a diameter as the file writes it, over tips or balls
 *  @param[in] check  gives the settings and the arm's place; NULL: the drive alone, arm at rest
 *  @return an object; NULL where memory is out */
struct json_t *serve_shape(const snub_drive *drive, const snub_check *check, snub_units *units);

#endif

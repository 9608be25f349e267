/** What the page needs to draw a drive. */
#ifndef SNUB_SERVE_SHAPE_H
#define SNUB_SERVE_SHAPE_H

#include "measure.h"
#include "snub/kit.h"

struct json_t;

/** Pulleys, arm, slots, belt and engine in mm, deg and rpm; docs/guide/page.md lists the keys. What the file leaves
 * open is marked so.
 *  @param[in] state  gives the arm's place, or the end that the belt drives it to; NULL: arm at rest
 *  @param[in] measure  two things whose distance is wanted
 *  @param[in] units  to read a diameter as the file writes it, over tips or balls
 *  @return an object; NULL where memory is out */
struct json_t *serve_shape(const snub_build *build, const snub_state *state, const serve_measure *measure,
                           snub_units *units, snub_arena *arena);

/** Where the belt meets and leaves each pulley, with wraps and length. */
struct json_t *serve_path_shape(const snub_path *path);
/** [x, y] in mm. */
struct json_t *serve_point(const double at[2]);

#endif

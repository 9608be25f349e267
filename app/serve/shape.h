/** What the page needs to draw a drive. */
#ifndef SNUB_SERVE_SHAPE_H
#define SNUB_SERVE_SHAPE_H

#include "snub/kit.h"

struct json_t;

/** What the file leaves open, so that snub settles it. */
typedef struct serve_open {
    bool length;                     /**< of the belt */
    bool setting[SNUB_PULLEYS_MOST]; /**< of the slot */
    bool any;
} serve_open;
void serve_find_open(const snub_drive *drive, serve_open *open);

/** Pulleys, arm, slots, belt and engine in mm, deg and rpm; docs/guide/page.md lists the keys.
 *  @param[in] units  to read a diameter as the file writes it, over tips or balls
 *  @param[in] check  gives the settings and the arm's place; NULL: the drive alone, arm at rest
 *  @return an object; NULL where memory is out */
struct json_t *serve_shape(const snub_drive *drive, const snub_check *check, const serve_open *open, snub_units *units);

#endif

/** What is in the way of a span that flaps. Private to src/kit. docs/theory/motion.md, flapping spans. */
#ifndef SNUB_KIT_BESIDE_H
#define SNUB_KIT_BESIDE_H

#include "lie.h"
#include "snub/flapping.h"

/** Pulleys, spans and obstacles beside span i, with its flap and length as `span` has them; a span beside it stands
 *  still.
 *  @param[in] lie  NULL: flat
 *  @param[in,out] span  what has least room beyond what is asked for there, of this path and of those before */
void snub_beside_look(const snub_drive *drive, const snub_path *path, const snub_lie *lie, int i, snub_span_flap *span);

#endif

/** src/drive/offer_path.h - paths by which builds differ: options, variants, packages (inside src/drive only). */
#ifndef SNUB_DRIVE_OFFER_PATH_H
#define SNUB_DRIVE_OFFER_PATH_H

#include "sections.h"

/** Whether a path leads to a value that the file has or could have, and by which builds may differ; else the mistake is
 *  noted. @param[in] key  the path, where the file writes it */
bool snub_offer_path(snub_reader *reader, const snub_node *root, const snub_node *key);
/** Whether two spellings are one path: `pulleys.` may lead. */
bool snub_offer_same_path(const char *a, const char *b);
/** A map of paths with the values that differ, or of one word with a map of what differs in it.
 *  @param[out] changes,count  good ones; in the reader's arena
 *  @return false: no map (noted), or out of memory */
bool snub_offer_changes(snub_reader *reader, const snub_node *root, const snub_node *map, snub_overlay **changes,
                        int *count);

#endif

/** src/study/search_parts.h - parts of the catalogue that a search chooses from (inside src/study only). */
#ifndef SNUB_STUDY_SEARCH_PARTS_H
#define SNUB_STUDY_SEARCH_PARTS_H

#include "search_space.h"

/** Look up what moves may choose from the catalogue.
 *  @param[in,out] drive  its section is exchanged for one whose moves have choices with their parts
 *  @return SNUB_OK; SNUB_BAD_INPUT (errors filled): no catalogue, no such part, or no choice; SNUB_NO_MEMORY */
snub_status snub_space_choose_parts(snub_drive *drive, const snub_reading *reading, snub_errors *errors);
/** What of the file's own values goes with the part that stands there today. @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_space_list_taken(const snub_drive *drive, snub_arena *arena, snub_space *space);

#endif

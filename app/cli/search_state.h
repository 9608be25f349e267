/** search_state.h - what an interrupted search had judged, as a file of JSON. */
#ifndef SNUB_CLI_SEARCH_STATE_H
#define SNUB_CLI_SEARCH_STATE_H

#include "command.h"
#include "snub/search.h"

/** Read what a file has of a search; a file that is not there has nothing.
 *  @param[in] digest  of the search: a file of another is refused
 *  @param[out] tried,count  in the run's arena
 *  @return false: told */
bool cli_read_search_state(cli_run *run, const char *path, const char *digest, const snub_tried **tried, int *count);
/** @return false: told */
bool cli_write_search_state(cli_run *run, const char *path, const snub_search *search);

#endif

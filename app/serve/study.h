/** What a request about a study asks for: its key "study". */
#ifndef SNUB_SERVE_STUDY_H
#define SNUB_SERVE_STUDY_H

#include "snub/search.h"
#include "snub/tolerate.h"

typedef struct serve_study_request {
    bool kits; /**< `snub tolerate`; else `snub search` */
    snub_search_request search;
    snub_tolerate_request tolerate;
    snub_named_rows named;
} serve_study_request;

/** {"what":"search","tries","seed","variant","package"} or {"what":"kits","kits","seed","variant","package"}: the
 *  options of the commands by these names, with their defaults.
 *  @param[in] arena  keeps the names
 *  @return SNUB_OK; SNUB_BAD_INPUT (key and message filled); SNUB_NO_MEMORY */
snub_status serve_study_read(const char *body, size_t length, snub_arena *arena, serve_study_request *wanted,
                             snub_error *error);

#endif

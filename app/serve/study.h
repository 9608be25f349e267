/** What a request about a study asks for: its key "study". */
#ifndef SNUB_SERVE_STUDY_H
#define SNUB_SERVE_STUDY_H

#include "snub/search.h"
#include "snub/tolerate.h"

enum {
    SERVE_STUDY_TRIES_LEAST = 10, /**< as `snub search` and `snub tolerate` have them */
    SERVE_STUDY_TRIES_MOST = 1000000,
    SERVE_STUDY_KITS = 1000,
    SERVE_STUDY_KITS_MOST = 100000,
    SERVE_STUDY_SEED = 1,
    SERVE_STUDY_SEED_MOST = 1000000000
};

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

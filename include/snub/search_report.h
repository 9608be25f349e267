/** snub/search_report.h - what a search proposes, written down. Room: report. */
#ifndef SNUB_SEARCH_REPORT_H
#define SNUB_SEARCH_REPORT_H

#include "snub/report.h"
#include "snub/search.h"

/** All that is reported. */
typedef struct snub_search_answer {
    const snub_search *search;
    const snub_document *document;
    const char *const *written; /**< file of each proposal; NULL: none was written */
    const char *state;          /**< file by which it can go on; NULL: none */
} snub_search_answer;

/** For people: what to move and by how much, what it gains, what it costs. @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_text_search(const snub_search_answer *answer, const snub_look *look, snub_text *out,
                             snub_error *error);
/** builds, asked, of, converged, stopped, hold, aims, today, found, proposals, broken. @return NULL: no memory */
struct json_t *snub_json_search(const snub_search_answer *answer, const snub_locale *locale);
/** Of a search that goes on: today's value of each aim, and the best so far: {"today":{…},"best":{…}}; null: none holds
 * yet, or none that must hold holds today. Keys and units are those of `aims` above. @return NULL: no memory */
struct json_t *snub_json_search_so_far(const snub_search *search);

#endif

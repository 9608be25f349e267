/** From a request's text and changes to a drive. */
#ifndef SNUB_SERVE_READING_H
#define SNUB_SERVE_READING_H

#include "handlers.h"
#include "snub/kit.h"

typedef struct serve_reading {
    snub_document document;
    snub_reading how;
    snub_locale locale; /**< of the sentences: English, units as asked for, or as the file has them */
} serve_reading;

/** 422 with every error, or 500 where memory is out. */
void serve_answer_errors(serve_answer *answer, const serve_request *request, const snub_errors *errors,
                         snub_status status);
/** Parse the text, make the changes into overlays.
 *  @return in the worker's arena; NULL: an answer was made, also where memory is out */
serve_reading *serve_read_document(serve_worker *worker, const serve_request *request, serve_answer *answer);
/** The same, and the file's own build. @return as above */
serve_reading *serve_read_build(serve_worker *worker, const serve_request *request, bool settle_only, snub_build *build,
                                serve_answer *answer);

#endif

/** From a request's text and changes to a drive. */
#ifndef SNUB_SERVE_READING_H
#define SNUB_SERVE_READING_H

#include "work.h"

typedef struct serve_reading {
    snub_document document;
    snub_reading how;
    snub_drive drive;
} serve_reading;

/** 422 with every mistake, or 500 where memory is out. */
void serve_answer_mistakes(serve_answer *answer, const serve_request *request, const snub_mistakes *mistakes,
                           snub_status status);
/** Parse the text, make the changes into overlays. @return false: an answer was made */
bool serve_read_document(serve_worker *worker, const serve_request *request, serve_reading *read, serve_answer *answer);
/** The same, and the drive. @return false: an answer was made */
bool serve_read_drive(serve_worker *worker, const serve_request *request, serve_reading *read, serve_answer *answer);

#endif

/** New drive files in the served folder: from nothing, or from an example that comes with the program. */
#ifndef SNUB_SERVE_BEGIN_H
#define SNUB_SERVE_BEGIN_H

#include "paper.h"

/** {"choices":[…],"examples":[{"file","title"}]}: the options of `snub new`, and the examples; null: there are none.
 *  @param[in] examples  their folder; its descriptor is -1 where there is none */
void serve_beginnings(serve_worker *worker, const serve_program *program, const serve_folder *examples,
                      serve_answer *answer);
/** {"file", "options":{…}} writes what `snub new` writes, {"file", "example":NAME} a copy with the maps that it reads.
 *  The answer is that of a save. Nothing is replaced. */
void serve_begin(serve_worker *worker, const serve_program *program, const serve_folder *examples, const char *body,
                 size_t length, serve_answer *answer);

#endif

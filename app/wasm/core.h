/** The core in the browser: the rooms that read, settle and judge, and the server's answers, compiled to WebAssembly.
 *
 *  It holds one drive file at a time, as a snapshot (snub/snapshot.h). The page asks it what it would ask the server,
 *  with the same body and for the same answer; a question that needs more than the snapshot has is left to the server.
 *
 *  It is built twice: with CORE_CHARTS it has charts and curves as well, and is sent when they are first opened. The
 * one that is sent with the page leaves those questions to the server.
 */
#ifndef SNUB_WASM_CORE_H
#define SNUB_WASM_CORE_H

#include "snub/snapshot.h"

/** What stands in the database's place. */
void core_units_of(snub_units *units, const snub_snapshot *snapshot);

/** The page's own: a chart has `done` of `of` builds. Whoever wants no more of it ends the worker that makes it. */
__attribute__((import_module("page"), import_name("progress"))) void core_progress(int done, int of);

enum { CORE_LAY, CORE_SWEEP, CORE_CHART };

/** Room for what is given to core_open or core_ask. NULL: no memory. */
void *core_room(size_t length);
/** Take a snapshot from the room. @return 0; else it cannot be used, and questions are not to be asked */
int core_open(size_t length);
/** Ask, with the body in the room; its text may be left out.
 *  @return HTTP status of the answer; 0: the server must be asked */
unsigned core_ask(int what, size_t length);
/** The answer of the last core_ask; until the next call. */
const char *core_answer(void);
size_t core_answer_length(void);

#endif

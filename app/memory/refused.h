/** What the program does when memory is refused, to whomever it was refused.
 *
 *  The libraries under snub ask for memory as well, and not all of them say so when they get none: one prints a line
 * and goes on without the unit, one falls back to another font, some end the process. The program therefore stands in
 *  between: its malloc and kin, and its pthread_create, call the system's, and see every refusal. A command that only
 * reads ends there and then: nothing was written yet, since answers are written whole and last. One that must put
 * things in order after itself (the catalogue's, the server) goes on, and looks before it answers.
 *
 *  Under a sanitizer, whose allocator must be the process's own, nothing is seen here. */
#ifndef SNUB_MEMORY_REFUSED_H
#define SNUB_MEMORY_REFUSED_H

#include <stdbool.h>
#include <stddef.h>

/** First in main: a refusal ends the process with "out of memory" and this code; so does the end of the process by a
 *  library, with words of its own. */
void memory_open(int code);
/** Last in main: from here on the process may end. @return `code` */
int memory_close(int code);
/** From here on a refusal is only noted. */
void memory_note_only(void);
/** Was this thread refused memory since memory_begin? */
bool memory_refused(void);
/** From here on this process may take so many bytes for its data, or what it is allowed already if that is less. */
void memory_limit(size_t bytes);
/** Forget what this thread was refused: other work begins. */
void memory_begin(void);

#endif

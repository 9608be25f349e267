/** The same program, started anew for long work: the server stays whatever becomes of it, a library that aborts, work
 *  that needs more memory than there is, or the system that ends the largest process. It ends with the server. */
#ifndef SNUB_SERVE_OWN_PROCESS_H
#define SNUB_SERVE_OWN_PROCESS_H

#include <stdbool.h>
#include <stddef.h>
#include <sys/types.h>

/** Characters of a process's number, which it is given to know the server by. */
enum { SERVE_OWN_NUMBER_ROOM = 24 };

/** Bytes that such a process may take: a share of the machine's memory, so that all that may run at once fit in half
 *  of it. */
size_t serve_own_memory(void);
/** Start it, with the signals as a program has them that nobody has touched.
 *  @param[in] words   NULL-terminated; the first is its name
 *  @param[in] moves   descriptors that it gets: of this process, and as which; no other is passed on
 *  @param[in] folder  open descriptor of the folder that it starts in; -1: this process's own
 *  @return 0, or the system's errno */
int serve_own_spawn(char *const words[], const int (*moves)[2], size_t count, int folder, pid_t *process);
/** Close two ends of pipes; one that is not open is -1. */
void serve_own_close(const int ends[2]);
/** Close this process's ends of its pipes, and wait for its end.
 *  @param[in] kill_it  it is not to finish
 *  @return how it ended, as waitpid says */
int serve_own_end(pid_t process, const int ends[2], bool kill_it);
/** Of a clock that nobody sets, to count how long one takes. */
long long serve_own_seconds(void);
/** In the process: end with the server, be the first to go where memory gets short for all, take no more than the
 * share.
 *  @param[in] server  number of its process
 *  @return false: the server has ended already */
bool serve_own_enter(const char *server);

#endif

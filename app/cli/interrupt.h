/** interrupt.h - Control-C that ends long work and keeps what is done. */
#ifndef SNUB_CLI_INTERRUPT_H
#define SNUB_CLI_INTERRUPT_H

#include <signal.h>
#include <stdbool.h>

/** From here on the first Control-C is noted; the second one ends the program as it would have without this. One that
 * the caller ignores, as nohup does, stays ignored. */
void cli_catch_interrupt(struct sigaction *before);
/** Back to what was before. */
void cli_leave_interrupt(const struct sigaction *before);
bool cli_interrupted(void);
/** Shows how far the work is. @param[in] context  not read. @return whether to go on */
bool cli_go_on(int done, int all, void *context);

#endif

#include "interrupt.h"

#include <stddef.h>

#include "progress.h"

static volatile sig_atomic_t interrupted;

static void interrupt(int signal_number)
{
    (void)signal_number;
    interrupted = 1;
}

void cli_catch_interrupt(struct sigaction *before)
{
    struct sigaction now = {.sa_handler = interrupt, .sa_flags = (int)SA_RESETHAND};
    sigemptyset(&now.sa_mask);
    interrupted = 0;
    if (sigaction(SIGINT, NULL, before) == 0 && before->sa_handler != SIG_IGN)
        sigaction(SIGINT, &now, NULL);
}

void cli_leave_interrupt(const struct sigaction *before)
{
    sigaction(SIGINT, before, NULL);
}

bool cli_interrupted(void)
{
    return interrupted != 0;
}

bool cli_go_on(int done, int all, void *context)
{
    (void)context;
    cli_done(done, all);
    return !cli_interrupted();
}

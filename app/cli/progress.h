/** progress.h - what a command that takes long is doing, and for how long, on a terminal.
 *
 *  A line on standard error, from the second second on, twice a second, and gone before anything else is written there.
 *  Where standard error is no terminal there is none. It is written by a signal handler, so that no work need ask for
 *  it; a part of the work that can count says how far it is, and after some
 *  seconds how long it may take yet. */
#ifndef SNUB_CLI_PROGRESS_H
#define SNUB_CLI_PROGRESS_H

/** The command begins. @param[in] name  of the command; must stay
 *  @param[in] width  columns of the terminal */
void cli_progress_begin(const char *name, int width);
/** What it does from now on, as in "judging builds". @param[in] what  must stay */
void cli_doing(const char *what);
/** So many are done of so many (0: nobody knows), of what `cli_doing` says. */
void cli_done(long long done, long long of);
/** Take the line away, and let it be, until as many cli_progress_resume have come. */
void cli_progress_pause(void);
void cli_progress_resume(void);
/** The command ends. May be called where none has begun. */
void cli_progress_end(void);

#endif

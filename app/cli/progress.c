/* The line of progress. In the handler nothing but write and the clock, which may be called there (POSIX). */
#include "progress.h"

#include <errno.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <string.h>
#include <sys/time.h>
#include <time.h>
#include <unistd.h>

enum {
    FIRST_MS = 1000, /* a command that ends within a second says nothing */
    NEXT_MS = 500,
    FORESEEN_S = 3, /* from then on what is left is guessed by what is done */
    LINE_MOST = 120
};

static atomic_bool running;
static atomic_int paused;
static const char *_Atomic command, *_Atomic doing;
static _Atomic long long done_now, of_all;
static struct timespec begun;
static _Atomic long long part_begun; /* s of the clock, of what it does now */
static int room, shown;              /* columns; shown: those that hold the line now */

static int add_text(char line[LINE_MOST], int at, const char *text)
{
    while (*text && at < LINE_MOST)
        line[at++] = *text++;
    return at;
}

static int add_number(char line[LINE_MOST], int at, long long number)
{
    char figures[24];
    int count = 0;
    do
        figures[count++] = (char)('0' + number % 10);
    while ((number /= 10) > 0);
    while (count > 0 && at < LINE_MOST)
        line[at++] = figures[--count];
    return at;
}

static int make_line(char line[LINE_MOST])
{
    struct timespec now;
    const long long done = atomic_load(&done_now), of = atomic_load(&of_all);
    clock_gettime(CLOCK_MONOTONIC, &now);
    int at = add_text(line, 0, "snub ");
    at = add_text(line, at, atomic_load(&command));
    at = add_text(line, at, ": ");
    at = add_text(line, at, atomic_load(&doing));
    if (done > 0 || of > 0) {
        at = add_number(line, add_text(line, at, ", "), done);
        if (of > 0)
            at = add_number(line, add_text(line, at, " of "), of);
    }
    at = add_number(line, add_text(line, at, ", "), (long long)(now.tv_sec - begun.tv_sec));
    at = add_text(line, at, " s");
    const long long took = (long long)now.tv_sec - atomic_load(&part_begun);
    if (of > done && done > 0 && took >= FORESEEN_S) {
        at = add_number(line, add_text(line, at, ", about "), (of - done) * took / done);
        at = add_text(line, at, " s left");
    }
    return at;
}

static void put(const char *text, int length)
{
    const ssize_t said = write(STDERR_FILENO, text, (size_t)length);
    (void)said;
}

/* Blanks over what the line before had more, and back to its beginning: whatever is written next stands over it. */
static void tick(int signal_number)
{
    char line[LINE_MOST], out[2 * LINE_MOST + 2];
    const int before = errno;
    (void)signal_number;
    if (!atomic_load(&running) || atomic_load(&paused) > 0)
        return;
    int length = make_line(line), at = 0;
    length = length < room ? length : room;
    out[at++] = '\r';
    for (int i = 0; i < length || i < shown; i++)
        out[at++] = i < length ? line[i] : ' ';
    out[at++] = '\r';
    shown = length;
    put(out, at);
    errno = before;
}

static void set_timer(int first_ms, int next_ms)
{
    const struct itimerval timer = {.it_value = {first_ms / 1000, first_ms % 1000 * 1000L},
                                    .it_interval = {next_ms / 1000, next_ms % 1000 * 1000L}};
    setitimer(ITIMER_REAL, &timer, NULL);
}

static void wipe(void)
{
    char out[LINE_MOST + 2];
    if (shown == 0)
        return;
    memset(out, ' ', sizeof out);
    out[0] = out[shown + 1] = '\r';
    put(out, shown + 2);
    shown = 0;
}

void cli_progress_begin(const char *name, int width)
{
    struct sigaction how = {.sa_handler = tick, .sa_flags = (int)SA_RESTART};
    sigemptyset(&how.sa_mask);
    if (isatty(STDERR_FILENO) != 1 || sigaction(SIGALRM, &how, NULL) != 0)
        return;
    atomic_store(&command, name);
    atomic_store(&doing, "working");
    room = width - 1 < LINE_MOST ? width - 1 : LINE_MOST;
    clock_gettime(CLOCK_MONOTONIC, &begun);
    atomic_store(&running, true);
    set_timer(FIRST_MS, NEXT_MS);
}

void cli_doing(const char *what)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    atomic_store(&done_now, 0);
    atomic_store(&of_all, 0);
    atomic_store(&part_begun, (long long)now.tv_sec);
    atomic_store(&doing, what);
}

void cli_done(long long done, long long of)
{
    atomic_store(&done_now, done);
    atomic_store(&of_all, of);
}

void cli_progress_pause(void)
{
    if (atomic_fetch_add(&paused, 1) == 0 && atomic_load(&running))
        wipe();
}

void cli_progress_resume(void)
{
    atomic_fetch_sub(&paused, 1);
}

void cli_progress_end(void)
{
    if (!atomic_exchange(&running, false))
        return;
    set_timer(0, 0);
    wipe();
}

#define _GNU_SOURCE /* posix_spawn_file_actions_addfchdir_np */
#include "own_process.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <spawn.h>
#include <stdlib.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "job.h"
#include "refused.h"

extern char **environ;

enum { MEMORY_LEAST = 512 /* MiB that a chart may have on the smallest machine: two hundred builds take a tenth */ };

size_t serve_own_memory(void)
{
    const long pages = sysconf(_SC_PHYS_PAGES), bytes = sysconf(_SC_PAGESIZE);
    const size_t least = (size_t)MEMORY_LEAST << 20;
    const size_t share = pages > 0 && bytes > 0 ? (size_t)pages / (2 * SERVE_JOBS_RUNNING_MOST) * (size_t)bytes : least;
    return share > least ? share : least;
}

/* Where memory gets short for all, the system is to end this process and no other. */
static void be_the_first_to_go(void)
{
    static const char most[] = "1000";
    const int file = open("/proc/self/oom_score_adj", O_WRONLY | O_CLOEXEC);
    if (file < 0)
        return;
    const ssize_t written = write(file, most, sizeof most - 1);
    (void)written; /* a system without it has no such choice */
    close(file);
}

bool serve_own_enter(const char *server)
{
    prctl(PR_SET_PDEATHSIG, SIGKILL);
    if (getppid() != (pid_t)strtol(server, NULL, 10))
        return false; /* it ended before that took hold */
    be_the_first_to_go();
    memory_limit(serve_own_memory());
    return true;
}

static int add_actions(posix_spawn_file_actions_t *files, const int (*moves)[2], size_t count, int folder)
{
    int reason = folder >= 0 ? posix_spawn_file_actions_addfchdir_np(files, folder) : 0;
    for (size_t i = 0; !reason && i < count; i++)
        reason = posix_spawn_file_actions_adddup2(files, moves[i][0], moves[i][1]);
    return reason;
}

int serve_own_spawn(char *const words[], const int (*moves)[2], size_t count, int folder, pid_t *process)
{
    posix_spawn_file_actions_t files;
    posix_spawnattr_t how;
    sigset_t none, usual;
    sigemptyset(&none);
    sigemptyset(&usual);
    sigaddset(&usual, SIGINT);
    sigaddset(&usual, SIGTERM);
    sigaddset(&usual, SIGPIPE);
    int reason = posix_spawn_file_actions_init(&files);
    if (reason)
        return reason;
    if ((reason = posix_spawnattr_init(&how)) == 0) {
        reason = add_actions(&files, moves, count, folder);
        posix_spawnattr_setflags(&how, POSIX_SPAWN_SETSIGMASK | POSIX_SPAWN_SETSIGDEF);
        posix_spawnattr_setsigmask(&how, &none);
        posix_spawnattr_setsigdefault(&how, &usual);
        if (!reason)
            reason = posix_spawn(process, "/proc/self/exe", &files, &how, words, environ);
        posix_spawnattr_destroy(&how);
    }
    posix_spawn_file_actions_destroy(&files);
    return reason;
}

void serve_own_close(const int ends[2])
{
    for (int i = 0; i < 2; i++)
        if (ends[i] >= 0)
            close(ends[i]);
}

int serve_own_end(pid_t process, const int ends[2], bool kill_it)
{
    int ended = 0;
    if (kill_it)
        kill(process, SIGKILL);
    serve_own_close(ends);
    while (waitpid(process, &ended, 0) < 0 && errno == EINTR)
        continue;
    return ended;
}

long long serve_own_seconds(void)
{
    struct timespec time;
    clock_gettime(CLOCK_MONOTONIC, &time);
    return (long long)time.tv_sec;
}

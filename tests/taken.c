/* taken FILE COMMAND...: run a command, and put what it took into FILE: most resident memory in kB and processor
 * seconds, its own and those of its children. Ends with the command's exit code.
 *
 * A program and not Python: a process begins with the resident memory of the one that started it, and an interpreter
 * has more than a small chart takes. */
#define _GNU_SOURCE
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

enum { NOT_STARTED = 127, BY_SIGNAL = 128 };

static double seconds(struct timeval t)
{
    return (double)t.tv_sec + 1e-6 * (double)t.tv_usec;
}

int main(int count, char **arguments)
{
    struct rusage used;
    int status;
    if (count < 3)
        return NOT_STARTED;
    const pid_t child = fork();
    if (child == 0) {
        execv(arguments[2], arguments + 2);
        _exit(NOT_STARTED);
    }
    if (child < 0 || wait4(child, &status, 0, &used) != child)
        return NOT_STARTED;
    FILE *const file = fopen(arguments[1], "w");
    if (file == NULL)
        return NOT_STARTED;
    fprintf(file, "%ld %.6f\n", used.ru_maxrss, seconds(used.ru_utime) + seconds(used.ru_stime));
    if (fclose(file) != 0)
        return NOT_STARTED;
    return WIFEXITED(status) ? WEXITSTATUS(status) : BY_SIGNAL + WTERMSIG(status);
}

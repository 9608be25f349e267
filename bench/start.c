/* `snub check` from start to end, beside an empty program: wall and processor time of whole processes, the first run
 * dropped, least and median of RUNS. Goal: under 20 ms. Run from the build tree: build/release/bench/bench_start. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { RUNS = 31 };

typedef struct spent {
    double wall, processor; /* ms */
} spent;

static double processor_ms(void)
{
    struct rusage usage;
    getrusage(RUSAGE_CHILDREN, &usage);
    return (double)(usage.ru_utime.tv_sec + usage.ru_stime.tv_sec) * 1e3 +
           (double)(usage.ru_utime.tv_usec + usage.ru_stime.tv_usec) * 1e-3;
}

static double wall_ms(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec * 1e3 + (double)now.tv_nsec * 1e-6;
}

/* One process; its standard output is thrown away. */
static int run(char *const arguments[], spent *out)
{
    const double wall = wall_ms(), processor = processor_ms();
    fflush(stdout); /* or the child prints it again */
    const pid_t child = fork();
    if (child < 0)
        return -1;
    if (child == 0) {
        if (freopen("/dev/null", "w", stdout) == NULL)
            _exit(126);
        execv(arguments[0], arguments);
        _exit(127);
    }
    int status = 0;
    waitpid(child, &status, 0);
    out->wall = wall_ms() - wall;
    out->processor = processor_ms() - processor;
    return WIFEXITED(status) && WEXITSTATUS(status) < 2 ? 0 : -1;
}

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return x < y ? -1 : x > y;
}

static int measure(const char *name, char *const arguments[])
{
    double wall[RUNS], processor[RUNS];
    spent once;
    if (run(arguments, &once) != 0) {
        printf("%s did not run: %s\n", name, arguments[0]);
        return 1;
    }
    for (int k = 0; k < RUNS; k++) {
        if (run(arguments, &once) != 0)
            return 1;
        wall[k] = once.wall;
        processor[k] = once.processor;
    }
    qsort(wall, RUNS, sizeof *wall, by_size);
    qsort(processor, RUNS, sizeof *processor, by_size);
    printf("%-28s wall %6.1f ms least, %6.1f ms median; processor %6.1f ms least, %6.1f ms median\n", name, wall[0],
           wall[RUNS / 2], processor[0], processor[RUNS / 2]);
    return 0;
}

int main(int count, char **arguments)
{
    char snub[4096], drive[] = SNUB_SOURCE_DIR "/examples/sedgemere.yaml", check[] = "check", empty[] = "/bin/true";
    const char *slash = strrchr(arguments[0], '/');
    (void)count;
    snprintf(snub, sizeof snub, "%.*s/../snub", slash != NULL ? (int)(slash - arguments[0]) : 1,
             slash != NULL ? arguments[0] : ".");
    char *const whole[] = {snub, check, drive, NULL}, *const nothing[] = {empty, NULL};
    printf("start to end, %d runs, the first dropped\n", RUNS);
    return measure("an empty program", nothing) | measure("snub check, idle to redline", whole);
}

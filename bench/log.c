/* `snub log` over ten million rows beside awk that sums one column of the same file: wall and processor time of whole
 * processes and their greatest memory, the first run dropped, least of RUNS. Goals: under 64 MB, and less processor
 * time than awk. Needs some 350 MB in $TMPDIR. Run from the build tree: build/release/bench/bench_log [ROWS]. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include "timing.h"

enum { RUNS = 4, ROWS = 10000000 };
#define MOST_MB 64.0

typedef struct spent {
    double wall, processor, memory; /* s, MB */
} spent;

static double processor_s(void)
{
    struct rusage usage;
    getrusage(RUSAGE_CHILDREN, &usage);
    return (double)(usage.ru_utime.tv_sec + usage.ru_stime.tv_sec) +
           (double)(usage.ru_utime.tv_usec + usage.ru_stime.tv_usec) * 1e-6;
}

/* An engine that goes up and down through its range, 100 rows a second, with noise on both speeds. */
static int write_log(const char *path, long rows)
{
    FILE *file = fopen(path, "w");
    unsigned long seed = 1;
    if (file == NULL)
        return -1;
    fputs("time [s],engine speed [rpm],blower speed [rpm],throttle [%],boost [kPa]\n", file);
    for (long i = 0; i < rows; i++) {
        const double time = 0.01 * (double)i, way = fmod(time, 20) / 10, up = way < 1 ? way : 2 - way;
        const double speed = 1000 + 4500 * up;
        seed = seed * 6364136223846793005UL + 1442695040888963407UL;
        const double a = (double)(seed >> 40) / (1UL << 24) - 0.5,
                     b = (double)(seed >> 16 & 0xFFFFFF) / (1UL << 24) - 0.5;
        fprintf(file, "%.2f,%.1f,%.1f,%d,%.1f\n", time, speed * (1 + 0.01 * a), speed * 1.784 * (1 + 0.01 * b),
                way < 1 ? 100 : 3, way < 1 ? 60 * up : -50);
    }
    return fclose(file);
}

static int run(char *const arguments[], spent *out)
{
    const double wall = bench_wall(), processor = processor_s();
    struct rusage usage;
    int status = 0;
    fflush(stdout); /* or the child prints it again */
    const pid_t child = fork();
    if (child < 0)
        return -1;
    if (child == 0) {
        if (freopen("/dev/null", "w", stdout) == NULL)
            _exit(126);
        execvp(arguments[0], arguments);
        _exit(127);
    }
    waitpid(child, &status, 0);
    getrusage(RUSAGE_CHILDREN, &usage);
    out->wall = bench_wall() - wall;
    out->processor = processor_s() - processor;
    out->memory = (double)usage.ru_maxrss / 1024; /* the greatest of all so far */
    return WIFEXITED(status) && WEXITSTATUS(status) < 2 ? 0 : -1;
}

static int measure(const char *name, char *const arguments[], spent *least)
{
    *least = (spent){1e9, 1e9, 0};
    for (int k = 0; k <= RUNS; k++) {
        spent once;
        if (run(arguments, &once) != 0) {
            printf("%s did not run: %s\n", name, arguments[0]);
            return -1;
        }
        if (k == 0)
            continue;
        least->wall = fmin(least->wall, once.wall);
        least->processor = fmin(least->processor, once.processor);
        least->memory = once.memory;
    }
    printf("%-28s wall %6.2f s, processor %6.2f s, memory at most %5.1f MB\n", name, least->wall, least->processor,
           least->memory);
    return 0;
}

int main(int count, char **arguments)
{
    char snub[4096], path[4096], drive[] = SNUB_SOURCE_DIR "/examples/sedgemere.yaml", log[] = "log", json[] = "--json";
    char awk[] = "awk", comma[] = "-F,", sum[] = "{ s += $3 } END { print s }";
    const char *slash = strrchr(arguments[0], '/'), *folder = getenv("TMPDIR");
    const long rows = count > 1 ? strtol(arguments[1], NULL, 10) : ROWS;
    snprintf(snub, sizeof snub, "%.*s/../snub", slash != NULL ? (int)(slash - arguments[0]) : 1,
             slash != NULL ? arguments[0] : ".");
    snprintf(path, sizeof path, "%s/snub-bench-log.%ld.csv", folder != NULL ? folder : "/tmp", (long)getpid());
    spent of_awk, of_snub;
    char *const summing[] = {awk, comma, sum, path, NULL}, *const finding[] = {snub, log, path, drive, json, NULL};
    printf("a log of %ld rows, %d runs, the first dropped, least of each\n", rows, RUNS + 1);
    const int failed = write_log(path, rows) != 0 || measure("awk, one column summed", summing, &of_awk) != 0 ||
                       measure("snub log", finding, &of_snub) != 0;
    unlink(path);
    if (failed)
        return 1;
    printf("snub log takes %.2f of awk's processor time; goal: under 1\n", of_snub.processor / of_awk.processor);
    return of_snub.memory > MOST_MB;
}

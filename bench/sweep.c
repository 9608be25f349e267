/* What a match of blower and engine costs, and a sweep of 100 speeds in five ways with and without slip; beside it the
 * same matches by SciPy. One core. The first round of each is dropped; given are the least and the median of the rest.
 * Usage: bench_sweep [FILE] */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "snub/sweep.h"
#include "timing.h"

enum { ROUNDS = 15, MATCHES = 400, SPEEDS = 100 };

/* One round, the first one dropped. */
static void report(const char *what, const char *unit, double per, void (*round)(void *), void *context)
{
    double seconds[ROUNDS];
    round(context);
    for (int k = 0; k < ROUNDS; k++) {
        const double start = bench_wall();
        round(context);
        seconds[k] = (bench_wall() - start) * per;
    }
    qsort(seconds, ROUNDS, sizeof seconds[0], bench_rising);
    printf("%-52s %10.3f %10.3f  %s\n", what, seconds[0], seconds[ROUNDS / 2], unit);
}

typedef struct bench {
    snub_arena arena;
    snub_units *units;
    snub_drive drive;
    snub_build build;
    int blower;
    double checksum;
} bench;

static void open_bench(bench *b, const char *path)
{
    snub_error error = {0};
    snub_document document;
    snub_errors errors = {0};
    snub_arena_init(&b->arena, 0);
    if (snub_units_open(&b->units, &error) != SNUB_OK)
        bench_stop("units", &error);
    const snub_reading reading = {.units = b->units, .arena = &b->arena};
    if (snub_document_read(path, &b->arena, &document, &errors) != SNUB_OK ||
        snub_drive_read(&document, &reading, &b->drive, &errors) != SNUB_OK)
        bench_stop(path, &errors.items[0]);
    const snub_build_request as_written = {0};
    if (snub_build_of_drive(&b->drive, &as_written, &b->arena, &b->build, &error) != SNUB_OK)
        bench_stop("build", &error);
    b->blower = snub_first_blower(&b->drive);
    if (b->blower < 0 || !b->build.laid) {
        fprintf(stderr, "bench: %s has no blower, or no belt\n", path);
        exit(1);
    }
}

static void round_of_matches(void *context)
{
    bench *b = context;
    snub_error error;
    for (int k = 0; k < MATCHES; k++) {
        snub_match_result m;
        double torque, speed = (700 + 4900.0 * k / MATCHES) * SNUB_RPM;
        if (snub_demand_torque(&b->drive, b->blower, speed, 1, SNUB_THROTTLE_OPEN, &torque, &m, &error) != SNUB_OK)
            bench_stop("match", &error);
        b->checksum += m.boost;
    }
}

static void round_of_sweep(void *context)
{
    bench *b = context;
    snub_sweep sweep;
    snub_error error;
    snub_arena arena;
    const snub_sweep_request request = {.speeds = SPEEDS};
    snub_arena_init(&arena, 0);
    if (snub_sweep_run(&b->build, &request, &arena, &sweep, &error) != SNUB_OK)
        bench_stop("sweep", &error);
    b->checksum += sweep.point[SNUB_STEADY][SPEEDS - 1].match.boost;
    snub_arena_free(&arena);
}

int main(int count, char **words)
{
    static bench b;
    open_bench(&b, count > 1 ? words[1] : SNUB_SOURCE_DIR "/examples/sedgemere.yaml");
    printf("%-52s %10s %10s\n", "", "least", "median");
    report("match, one speed", "us", 1e6 / MATCHES, round_of_matches, &b);
    report("sweep, 100 speeds in five ways, no slip", "ms", 1e3, round_of_sweep, &b);
    b.build.drive->belt.limit.rib = 0.3;
    report("the same, slipping over much of the range", "ms", 1e3, round_of_sweep, &b);
    fflush(stdout);
    (void)system("/usr/bin/python3 " SNUB_SOURCE_DIR "/bench/scipy_match.py");
    printf("(checksum %.6g)\n", b.checksum);
    return 0;
}

/* What a run of the drive costs for each second of the engine: idle to redline and back, and at idle, where the belt
 * may slip; and how the answer moves with the tolerance. One core. Of five rounds the least and the median; the first
 * is dropped. Usage: bench_motion [FILE] */
#include <stdio.h>
#include <stdlib.h>

#include "snub/scenario.h"
#include "timing.h"

enum { ROUNDS = 5 };

static void make(const snub_build *build, const snub_scenario_request *request, snub_scenario_run *run)
{
    snub_arena arena = {0};
    snub_error error = {0};
    if (snub_scenario_run_make(build, request, &arena, run, &error) != SNUB_OK)
        bench_stop("run", &error);
    snub_arena_free(&arena);
}

static void time_it(const snub_build *build, snub_scenario scenario, double tolerance)
{
    static snub_scenario_run run;
    const snub_scenario_request request = {
        .scenario = scenario, .speed = NAN, .length = 2.0, .sample = 1e-3, .tolerance = tolerance};
    double seconds[ROUNDS];
    make(build, &request, &run);
    for (int k = 0; k < ROUNDS; k++) {
        const double start = bench_processor();
        make(build, &request, &run);
        seconds[k] = (bench_processor() - start) / run.result.ended;
    }
    qsort(seconds, ROUNDS, sizeof seconds[0], bench_rising);
    printf("%-8s %7.0e %8.3f %8.3f s/s %9ld steps %10ld calls  left over %8.1e  crank %9.4f N\n",
           snub_scenario_name(scenario), tolerance, seconds[0], seconds[ROUNDS / 2], run.result.steps, run.result.calls,
           run.result.energy.left_over / fabs(run.result.energy.work),
           run.result.tension[run.drive->pulley_count - 1].high);
}

int main(int argc, char **argv)
{
    snub_arena arena = {0};
    snub_units *units;
    snub_drive drive;
    snub_build build;
    snub_document document;
    snub_errors errors = {0};
    snub_error error = {0};
    const char *path = argc > 1 ? argv[1] : SNUB_SOURCE_DIR "/examples/sedgemere.yaml";
    const snub_build_request as_written = {0};
    if (snub_units_open(&units, &error) != SNUB_OK)
        bench_stop("units", &error);
    const snub_reading reading = {.units = units, .arena = &arena};
    if (snub_document_read(path, &arena, &document, &errors) != SNUB_OK ||
        snub_drive_read(&document, &reading, &drive, &errors) != SNUB_OK)
        bench_stop(path, &errors.items[0]);
    if (snub_build_of_drive(&drive, &as_written, &arena, &build, &error) != SNUB_OK)
        bench_stop("build", &error);
    printf("%-8s %7s %8s %8s\n", "run", "tolerance", "least", "median");
    for (double tolerance = 1e-4; tolerance > 0.9e-6; tolerance /= 10.0) {
        time_it(&build, SNUB_SCENARIO_PULL, tolerance);
        time_it(&build, SNUB_SCENARIO_HOLD, tolerance);
    }
    snub_arena_free(&arena);
    snub_units_free(units);
    return 0;
}

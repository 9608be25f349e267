/* What a map of swings costs over the rev range (200 speeds, the balance of each, six orders with the arm's friction),
 * and a run in time for ten seconds of the engine; beside both the same on NumPy and SciPy in this run
 * (bench/scipy_swings.py). One core. The first round of the map is dropped; least and median of the rest.
 * Goals: a map under 100 ms, ten seconds of the engine under 2 s. Usage: bench_swings */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "snub/scenario.h"
#include "timing.h"

enum { ROUNDS = 15, SPEEDS = 200, PEER_SPEEDS = 41 };
static const double RPM = 2400.0, SECONDS = 10.0, PEER_SECONDS = 0.12;
static const char *const swinging = SNUB_SOURCE_DIR "/bench/swinging.yaml", /* the peer knows no blowers */
    *const example = SNUB_SOURCE_DIR "/examples/sedgemere.yaml";

/* @return seconds; the greatest swing of tension, N */
static double map(const snub_build *build, int speeds, double *greatest)
{
    snub_arena arena = {0};
    snub_error error = {0};
    snub_vibration v;
    const snub_vibration_request request = {.speeds = speeds, .speed = NAN, .way = SNUB_STEADY};
    const double start = bench_processor();
    if (snub_vibration_run(build, &request, &arena, &v, &error) != SNUB_OK)
        bench_stop("map", &error);
    const double took = bench_processor() - start;
    *greatest = 0.0;
    for (int k = 0; k < v.speeds; k++) {
        for (int o = 0; o < v.point[k].order_count; o++) {
            for (int i = 0; i < v.drive->pulley_count; i++)
                *greatest = fmax(*greatest, v.point[k].response[o].tension[i]);
        }
    }
    snub_arena_free(&arena);
    return took;
}

static double run(const snub_build *build, double length, double *greatest)
{
    static snub_scenario_run answer;
    snub_arena arena = {0};
    snub_error error = {0};
    const snub_scenario_request request = {
        .scenario = SNUB_SCENARIO_HOLD, .speed = RPM * SNUB_RPM, .length = length, .sample = 1e-3};
    const double start = bench_processor();
    if (snub_scenario_run_make(build, &request, &arena, &answer, &error) != SNUB_OK || !answer.result.whole)
        bench_stop("run", &error);
    const double took = bench_processor() - start;
    *greatest = 0.0;
    for (int i = 0; i < answer.drive->pulley_count; i++)
        *greatest = fmax(*greatest, answer.result.tension[i].high);
    snub_arena_free(&arena);
    return took;
}

/* What the peer prints. @return false: it did not run */
static bool peer(const char *what, double *seconds, double *greatest)
{
    char command[1000];
    snprintf(command, sizeof command,
             "OPENBLAS_NUM_THREADS=1 /usr/bin/python3 -B '%s/bench/scipy_swings.py' %s 2>/dev/null", SNUB_SOURCE_DIR,
             what);
    FILE *answer = popen(command, "r");
    const int got = answer != NULL ? fscanf(answer, "%lf %lf", seconds, greatest) : 0;
    if (answer != NULL)
        (void)pclose(answer);
    if (got != 2)
        printf("  SciPy did not run: needs python3, python3-scipy, python3-yaml\n");
    return got == 2;
}

static void compare(double ours, double theirs, double got, double want, double tolerance)
{
    printf("    the same by SciPy: %.3g s; snub is %.0f times as fast; greatest tension differs by %.1e of %.0f N\n",
           theirs, theirs / ours, fabs(got - want), want);
    if (!(fabs(got - want) < tolerance * want)) {
        printf("  THEY DO NOT AGREE\n");
        exit(1);
    }
}

static double median_map(const snub_build *build)
{
    double seconds[ROUNDS], greatest;
    (void)map(build, SPEEDS, &greatest);
    for (int k = 0; k < ROUNDS; k++)
        seconds[k] = map(build, SPEEDS, &greatest);
    qsort(seconds, ROUNDS, sizeof seconds[0], bench_rising);
    printf("  map of %d speeds, friction balanced: %.1f ms median, %.1f ms best (goal 100)\n", SPEEDS,
           1e3 * seconds[ROUNDS / 2], 1e3 * seconds[0]);
    return seconds[ROUNDS / 2];
}

static double ten_seconds(const snub_build *build)
{
    double greatest;
    const double took = run(build, SECONDS, &greatest);
    printf("  run in time, %.0f s of the engine: %.2f s (goal 2)\n", SECONDS, took);
    return took;
}

static void beside_peer(const snub_build *build)
{
    double greatest, theirs, want;
    char what[200];
    const double ours = median_map(build);
    snprintf(what, sizeof what, "map '%s' %d", swinging, PEER_SPEEDS);
    (void)map(build, PEER_SPEEDS, &greatest);
    if (peer(what, &theirs, &want))
        compare(ours, theirs * SPEEDS, greatest, want, 1e-6);
    const double took = ten_seconds(build);
    snprintf(what, sizeof what, "run '%s' %.17g %.17g", swinging, RPM, PEER_SECONDS);
    (void)run(build, PEER_SECONDS, &greatest);
    if (peer(what, &theirs, &want))
        compare(took, theirs * SECONDS, greatest, want, 1e-2);
}

typedef struct loaded {
    snub_drive drive;
    snub_document document;
    snub_build build;
} loaded;

static void load(const char *path, const snub_reading *reading, loaded *l)
{
    snub_errors errors = {0};
    snub_error error = {0};
    const snub_build_request as_written = {0};
    if (snub_document_read(path, reading->arena, &l->document, &errors) != SNUB_OK ||
        snub_drive_read(&l->document, reading, &l->drive, &errors) != SNUB_OK)
        bench_stop(path, errors.count > 0 ? &errors.items[0] : &error);
    if (snub_build_of_drive(&l->drive, &as_written, reading->arena, &l->build, &error) != SNUB_OK)
        bench_stop("build", &error);
}

int main(void)
{
    static loaded a, b;
    snub_arena arena = {0};
    snub_units *units;
    snub_error error = {0};
    if (snub_units_open(&units, &error) != SNUB_OK)
        bench_stop("units", &error);
    const snub_reading reading = {.units = units, .arena = &arena};
    load(swinging, &reading, &a);
    load(example, &reading, &b);
    printf("seven pulleys, six orders\n");
    beside_peer(&a.build);
    printf("example with a blower, its cylinders' orders\n");
    (void)median_map(&b.build);
    (void)ten_seconds(&b.build);
    snub_arena_free(&arena);
    snub_units_free(units);
    return 0;
}

/* What decisions cost: one build as the file writes it (what `snub check` works out), one chosen afresh, one chosen
 * among 10 000 belts, and a chart of every build with hardware. Processor time of one core; beside it in units of one
 * balance of arm and tensions, which tells more on a busy or another machine. The first round is dropped; least and
 * median of the rest. Usage: bench_kit [FILE] */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "kit/loads.h"
#include "snub/kit.h"
#include "timing.h"

enum { ROUNDS = 9, BALANCES = 20000 };

typedef struct bench {
    const char *path;
    snub_units *units;
    snub_arena arena;
    snub_document document;
    snub_build own;
    double balance; /**< s */
    int builds;     /**< of the last chart */
} bench;

static void stop(const char *what, const char *message)
{
    fprintf(stderr, "bench: %s: %s\n", what, message);
    exit(1);
}

/* @return median, s */
static double report(bench *b, const char *what, int of, void (*round)(bench *))
{
    double seconds[ROUNDS];
    round(b);
    for (int k = 0; k < ROUNDS; k++) {
        const double start = bench_processor();
        round(b);
        seconds[k] = (bench_processor() - start) / of;
    }
    qsort(seconds, ROUNDS, sizeof seconds[0], bench_rising);
    const double median = seconds[ROUNDS / 2];
    printf("%-52s %10.3f %10.3f  ms", what, 1e3 * seconds[0], 1e3 * median);
    if (b->balance > 0.0)
        printf("  %9.0f balances", median / b->balance);
    printf("\n");
    return median;
}

static void make(bench *b, const snub_overlay *overlay, bool afresh, snub_arena *arena, snub_build *build)
{
    snub_errors errors = {0};
    snub_row row;
    const snub_reading reading = {
        .units = b->units, .arena = arena, .overlays = overlay, .overlay_count = overlay != NULL};
    const snub_build_request request = {.afresh = afresh};
    if (snub_row_own(&b->document, &reading, &(snub_named_rows){0}, &row, &errors) != SNUB_OK ||
        snub_build_make(&b->document, &reading, &row, &request, build, &errors) != SNUB_OK)
        stop(b->path, errors.items[0].message);
}

static void once(bench *b, const char *stock, bool afresh)
{
    snub_arena arena;
    snub_build *build = malloc(sizeof *build);
    snub_overlay overlay;
    snub_error error = {0};
    snub_arena_init(&arena, 0);
    if (build == NULL)
        stop("build", "out of memory");
    if (stock != NULL) {
        snub_node *node = NULL;
        if (snub_node_from_text(stock, "bench", &arena, &node, &error) != SNUB_OK)
            stop("stock", error.message);
        overlay = (snub_overlay){.path = "belt.stock", .value = node, .place = {.file = "bench"}};
    }
    make(b, stock != NULL ? &overlay : NULL, afresh, &arena, build);
    free(build);
    snub_arena_free(&arena);
}

static void as_written(bench *b)
{
    once(b, NULL, false);
}

static void chosen(bench *b)
{
    once(b, NULL, true);
}

static void of_many(bench *b)
{
    once(b, "{from: 500, to: 5499.5, step: 0.5}", true);
}

static void chart(bench *b)
{
    snub_arena arena;
    snub_chart made;
    snub_errors errors = {0};
    snub_arena_init(&arena, 0);
    const snub_reading reading = {.units = b->units, .arena = &arena};
    const snub_chart_request request = {.threads = 1};
    if (snub_chart_drive(&b->document, &reading, &request, &made, &errors) != SNUB_OK)
        stop("chart", errors.items[0].message);
    b->builds = made.build_count;
    snub_chart_free(&made);
    snub_arena_free(&arena);
}

static void balances(bench *b)
{
    snub_rig *rig = malloc(sizeof *rig);
    snub_error error = {0};
    if (rig == NULL || snub_rig_prepare(b->own.drive, b->own.settings, rig, &error) != SNUB_OK)
        stop("rig", error.message);
    for (int i = 0; i < BALANCES; i++) {
        snub_case wanted;
        snub_equilibrium e;
        const int speed = 1 + i % (b->own.loads.speeds - 1);
        snub_loads_case(b->own.drive, &b->own.loads, speed, SNUB_STEADY, 0, b->own.length, 0.0, false, &wanted);
        if (snub_solve(rig, &wanted, &e, &error) != SNUB_OK)
            stop("balance", error.message);
    }
    free(rig);
}

int main(int argc, char **argv)
{
    static bench b;
    snub_error error = {0};
    snub_errors errors = {0};
    b.path = argc > 1 ? argv[1] : SNUB_SOURCE_DIR "/examples/sedgemere.yaml";
    snub_arena_init(&b.arena, 0);
    if (snub_units_open(&b.units, &error) != SNUB_OK)
        stop("units", error.message);
    if (snub_document_read(b.path, &b.arena, &b.document, &errors) != SNUB_OK)
        stop(b.path, errors.items[0].message);
    make(&b, NULL, false, &b.arena, &b.own);
    printf("%-52s %10s %10s\n", "kit: decisions", "least", "median");
    b.balance = report(&b, "one balance of arm and tensions", BALANCES, balances);
    report(&b, "build as written, judged", 1, as_written);
    report(&b, "build chosen afresh from its stock, judged", 1, chosen);
    report(&b, "build chosen among 10 000 belts, judged", 1, of_many);
    report(&b, "chart of every build, hardware judged, one thread", 1, chart);
    printf("%d builds in the chart\n", b.builds);
    snub_arena_free(&b.arena);
    snub_units_free(b.units);
    return 0;
}

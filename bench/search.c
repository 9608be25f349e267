/* Candidates of a search per second: the example's two idlers move, its seven-rib builds are judged. The first round is
 * dropped; given are the least and the median of the rest, and how many builds were judged for them.
 * Usage: bench_search [FILE] */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "snub/search.h"
#include "timing.h"

enum { ROUNDS = 5, TRIES = 60 };

static const char SECTION[] =
    "\nsearch:\n  move:\n    - {what: exit idler.at, within: {circle: {at: [132, 296], diameter: 40}}}\n"
    "    - {what: wrap idler.slot.to, within: {circle: {at: [-32, 350], diameter: 30}}}\n"
    "  aims: [worst grip]\n  hold: today\n";

/* @return s for each candidate */
static double one_round(const char *path, snub_units *units, int threads, snub_search *search)
{
    snub_arena arena;
    snub_error error = {0};
    snub_errors errors = {0};
    snub_document document;
    char *data = NULL;
    size_t length = 0;
    snub_text text = {0};
    snub_arena_init(&arena, 0);
    if (snub_file_read(path, 1 << 20, &data, &length, &error) != SNUB_OK)
        bench_stop(path, &error);
    snub_text_puts(&text, data);
    snub_text_puts(&text, SECTION);
    const snub_reading reading = {.units = units, .arena = &arena};
    const snub_search_request request = {
        .named = {.package = "touring"}, .tries = TRIES, .seed = 1, .threads = threads};
    const double start = bench_wall();
    if (snub_document_parse(path, text.data, text.length, &arena, &document, &errors) != SNUB_OK ||
        snub_search_drive(&document, &reading, &request, search, &errors) != SNUB_OK)
        bench_stop(path, &errors.items[0]);
    const double seconds = (bench_wall() - start) / search->asked;
    free(data);
    snub_text_free(&text);
    snub_arena_free(&arena);
    return seconds;
}

static void report(const char *path, snub_units *units, int threads)
{
    double seconds[ROUNDS];
    snub_search search;
    one_round(path, units, threads, &search);
    for (int k = 0; k < ROUNDS; k++)
        seconds[k] = one_round(path, units, threads, &search);
    qsort(seconds, ROUNDS, sizeof seconds[0], bench_rising);
    printf("search of %2d builds, %-12s candidate %16.2f %10.2f  ms  (%.0f a second)\n", search.build_count,
           threads == 1 ? "one thread:" : "all threads:", 1e3 * seconds[0], 1e3 * seconds[ROUNDS / 2], 1 / seconds[0]);
}

int main(int count, char **arguments)
{
    const char *path = count > 1 ? arguments[1] : SNUB_SOURCE_DIR "/examples/sedgemere.yaml";
    snub_error error = {0};
    snub_units *units;
    if (snub_units_open(&units, &error) != SNUB_OK)
        bench_stop("units", &error);
    report(path, units, 1);
    report(path, units, 0);
    snub_units_free(units);
    return 0;
}

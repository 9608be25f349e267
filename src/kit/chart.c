/* Every build of the kit: variants times packages times options, each settled afresh and judged whole. */
#include <stdlib.h>
#include <string.h>

#ifdef _OPENMP
#include <omp.h>
#endif

#include "cover.h"

/* One making of a chart, shared by its threads. */
typedef struct chart_run {
    snub_chart *chart;
    const snub_document *document;
    const snub_reading *reading;
    const snub_chart_request *request;
    const snub_belt_use *only; /* NULL: all belts on offer; else these alone */
    int only_count;
    int done, all;
    bool stop;
} chart_run;

static void advance(chart_run *run)
{
#pragma omp critical(snub_chart_progress)
    {
        run->done++;
        if (run->request->progress != NULL && !run->stop)
            run->stop = !run->request->progress(run->done, run->all, run->request->context);
    }
}

static bool stopped(chart_run *run)
{
    bool stop;
#pragma omp critical(snub_chart_progress)
    stop = run->stop;
    return stop;
}

static int thread_count(const snub_chart_request *request)
{
#ifdef _OPENMP
    return request->threads > 0 ? request->threads : omp_get_max_threads();
#else
    (void)request;
    return 1;
#endif
}

/* Lengths that a build may take of the belts that are left. */
static int lengths_for(const chart_run *run, int ribs, double *lengths)
{
    int count = 0;
    for (int b = 0; b < run->only_count; b++) {
        if (run->only[b].ribs == ribs)
            lengths[count++] = run->only[b].length;
    }
    return count;
}

static snub_status make_build(const chart_run *run, int i)
{
    snub_chart *chart = run->chart;
    snub_errors errors = {0};
    snub_reading own = *run->reading;
    snub_build_request request = {.afresh = true, .all_choices = true};
    double *lengths = NULL;
    own.arena = &chart->arenas[i];
    if (run->only != NULL) {
        lengths = malloc(sizeof *lengths * (size_t)(run->only_count > 0 ? run->only_count : 1));
        if (lengths == NULL)
            return SNUB_NO_MEMORY;
        request.only_lengths = lengths;
        request.only_count = lengths_for(run, chart->builds[i].drive->belt.ribs, lengths);
        snub_arena_free(own.arena);
    }
    const snub_status status =
        snub_build_make(run->document, &own, &chart->rows.items[i], &request, &chart->builds[i], &errors);
    snub_errors_free(&errors); /* every row was read before: what is left is memory */
    free(lengths);
    if (!run->request->keep_reports)
        chart->builds[i].report = NULL;
    return status;
}

static snub_status make_all(chart_run *run)
{
    const int threads = thread_count(run->request);
    snub_status worst = SNUB_OK;
    (void)threads;
#pragma omp parallel for schedule(dynamic, 1) num_threads(threads)
    for (int i = 0; i < run->chart->build_count; i++) {
        if (stopped(run))
            continue;
        const snub_status status = make_build(run, i);
        if (status != SNUB_OK) {
#pragma omp critical(snub_chart_status)
            worst = status;
        }
        advance(run);
    }
    return run->stop ? SNUB_STOPPED : worst;
}

/* The kit again on its fewest belts. */
static snub_status make_on_fewest(chart_run *run)
{
    snub_chart *chart = run->chart;
    run->only = chart->fewest;
    run->only_count = chart->fewest_count;
    chart->on_fewest = true;
    const snub_status status = make_all(run);
    return status == SNUB_OK ? snub_cover(chart, run->reading->arena) : status;
}

snub_status snub_chart_drive(const snub_document *document, const snub_reading *reading,
                             const snub_chart_request *request, snub_chart *chart, snub_errors *errors)
{
    memset(chart, 0, sizeof *chart);
    snub_status status = snub_rows_list(document, reading, &request->named, &chart->rows, errors);
    if (status != SNUB_OK)
        return status;
    const int count = chart->rows.count;
    chart->builds = SNUB_NEW(reading->arena, snub_build, count);
    chart->arenas = SNUB_NEW(reading->arena, snub_arena, count);
    if (chart->builds == NULL || chart->arenas == NULL)
        return SNUB_NO_MEMORY;
    chart->build_count = count;
    for (int i = 0; i < count; i++)
        snub_arena_init(&chart->arenas[i], reading->arena->limit);
    chart_run run = {.chart = chart,
                     .document = document,
                     .reading = reading,
                     .request = request,
                     .all = request->fewest ? 2 * count : count};
    status = make_all(&run);
    if (status == SNUB_OK)
        status = snub_cover(chart, reading->arena);
    return status == SNUB_OK && request->fewest ? make_on_fewest(&run) : status;
}

void snub_chart_free(snub_chart *chart)
{
    if (chart == NULL)
        return;
    for (int i = 0; i < chart->build_count; i++)
        snub_arena_free(&chart->arenas[i]);
    chart->build_count = 0;
}

void snub_chart_digest(const snub_chart *chart, char text[65])
{
    char one[65];
    snub_digest digest;
    snub_digest_init(&digest);
    for (int i = 0; i < chart->build_count; i++) {
        snub_drive_digest(chart->builds[i].drive, one);
        snub_digest_text(&digest, one);
    }
    snub_digest_end(&digest, text);
}

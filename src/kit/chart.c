/* Every build of the kit: variants times options, each settled afresh and judged whole. */
#include <stdlib.h>
#include <string.h>

#ifdef _OPENMP
#include <omp.h>
#endif

#include "cover.h"

typedef struct work {
    snub_chart *chart;
    const snub_document *document;
    const snub_reading *reading;
    const snub_chart_request *request;
    const snub_belt_use *only; /* NULL: all belts on offer; else these alone */
    int only_count;
    int done, all;
    bool stop;
} work;

static void advance(work *w)
{
#pragma omp critical(snub_chart_progress)
    {
        w->done++;
        if (w->request->progress != NULL && !w->stop)
            w->stop = !w->request->progress(w->done, w->all, w->request->context);
    }
}

static bool stopped(work *w)
{
    bool stop;
#pragma omp critical(snub_chart_progress)
    stop = w->stop;
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
static int lengths_for(const work *w, int ribs, double *lengths)
{
    int count = 0;
    for (int b = 0; b < w->only_count; b++) {
        if (w->only[b].ribs == ribs)
            lengths[count++] = w->only[b].length;
    }
    return count;
}

static snub_status make_build(const work *w, int i)
{
    snub_chart *chart = w->chart;
    snub_errors errors = {0};
    snub_reading own = *w->reading;
    snub_build_request request = {.afresh = true, .all_choices = true};
    double *lengths = NULL;
    own.arena = &chart->arenas[i];
    if (w->only != NULL) {
        lengths = malloc(sizeof *lengths * (size_t)(w->only_count > 0 ? w->only_count : 1));
        if (lengths == NULL)
            return SNUB_NO_MEMORY;
        request.only_lengths = lengths;
        request.only_count = lengths_for(w, chart->builds[i].drive->belt.ribs, lengths);
        snub_arena_free(own.arena);
    }
    const snub_status status =
        snub_build_make(w->document, &own, &chart->rows.items[i], &request, &chart->builds[i], &errors);
    snub_errors_free(&errors); /* every row was read before: what is left is memory */
    free(lengths);
    if (!w->request->keep_reports)
        chart->builds[i].report = NULL;
    return status;
}

static snub_status make_all(work *w)
{
    const int threads = thread_count(w->request);
    snub_status worst = SNUB_OK;
    (void)threads;
#pragma omp parallel for schedule(dynamic, 1) num_threads(threads)
    for (int i = 0; i < w->chart->build_count; i++) {
        if (stopped(w))
            continue;
        const snub_status status = make_build(w, i);
        if (status != SNUB_OK) {
#pragma omp critical(snub_chart_status)
            worst = status;
        }
        advance(w);
    }
    return w->stop ? SNUB_STOPPED : worst;
}

/* The kit again on its fewest belts. */
static snub_status make_on_fewest(work *w)
{
    snub_chart *chart = w->chart;
    w->only = chart->fewest;
    w->only_count = chart->fewest_count;
    chart->on_fewest = true;
    const snub_status status = make_all(w);
    return status == SNUB_OK ? snub_cover(chart, w->reading->arena) : status;
}

snub_status snub_chart_drive(const snub_document *document, const snub_reading *reading,
                             const snub_chart_request *request, snub_chart *chart, snub_errors *errors)
{
    memset(chart, 0, sizeof *chart);
    snub_status status = snub_rows_list(document, reading, request->variant, &chart->rows, errors);
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
    work w = {.chart = chart,
              .document = document,
              .reading = reading,
              .request = request,
              .all = request->fewest ? 2 * count : count};
    status = make_all(&w);
    if (status == SNUB_OK)
        status = snub_cover(chart, reading->arena);
    return status == SNUB_OK && request->fewest ? make_on_fewest(&w) : status;
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

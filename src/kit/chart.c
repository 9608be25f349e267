/* Every build of the kit: variants times packages times options, each settled afresh and judged whole. */
#include <stdlib.h>
#include <string.h>

#ifdef _OPENMP
#include <omp.h>
#endif

#include "charted.h"
#include "cover.h"
#include "settle.h"

/* One making of a chart, shared by its threads. */
typedef struct chart_run {
    snub_chart *chart;
    const snub_document *document;
    const snub_reading *reading;
    const snub_chart_request *request;
    const snub_belt_use *only; /* NULL: all belts on offer; else these alone */
    int only_count;
    snub_shared_texts texts;
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

/* What one thread works with: given back after each build. */
typedef struct bench {
    snub_arena arena;
    snub_build build;
    double *lengths; /* room for the belts of the answer */
    bool *serves;
} bench;

typedef snub_status work(chart_run *run, int i, bench *b);

/* Of the first build, whose limits and bare numbers stand for the file. */
static bool keep_first(chart_run *run, const snub_drive *drive)
{
    snub_chart *chart = run->chart;
    memcpy(chart->limits, drive->limits, sizeof chart->limits);
    for (int i = 0; i < SNUB_LIMITS_; i++) {
        chart->limits_given_at[i] = snub_limit_given_at(drive, (snub_limit)i);
        chart->limits_source[i] = snub_limit_preset(drive, (snub_limit)i).source;
    }
    return snub_charted_bare(drive, &run->texts, &chart->bare);
}

static snub_status keep_build(chart_run *run, int i, const snub_build *build)
{
    bool good;
#pragma omp critical(snub_chart_kept)
    {
        good = snub_charted_keep(build, &run->chart->rows.items[i], &run->texts, &run->chart->builds[i]) &&
               (i > 0 || keep_first(run, build->drive));
    }
    return good ? SNUB_OK : SNUB_NO_MEMORY;
}

static snub_status make_build(chart_run *run, int i, bench *b)
{
    snub_chart *chart = run->chart;
    snub_errors errors = {0};
    snub_reading own = *run->reading;
    snub_build_request request = {.afresh = true};
    own.arena = &b->arena;
    if (run->only != NULL) {
        request.only_lengths = b->lengths;
        request.only_count = lengths_for(run, chart->builds[i].ribs, b->lengths);
    }
    snub_status status = snub_build_make(run->document, &own, &chart->rows.items[i], &request, &b->build, &errors);
    if (status == SNUB_OK)
        status = keep_build(run, i, &b->build);
    snub_errors_free(&errors); /* every row was read before: what is left is memory */
    snub_arena_free(&b->arena);
    advance(run);
    return status;
}

static void note_status(snub_status status, snub_status *worst)
{
    if (status == SNUB_OK)
        return;
#pragma omp critical(snub_chart_status)
    *worst = status;
}

static bool open_bench(const chart_run *run, bench *b)
{
    const size_t belts = (size_t)run->chart->fewest_count + 1;
    if (b == NULL)
        return false;
    snub_arena_init(&b->arena, run->reading->arena->limit);
    b->lengths = malloc(belts * sizeof *b->lengths);
    b->serves = malloc(belts * sizeof *b->serves);
    return b->lengths != NULL && b->serves != NULL;
}

static void close_bench(bench *b)
{
    if (b != NULL) {
        free(b->lengths);
        free(b->serves);
    }
    free(b);
}

/* One work on each build, each thread at a bench of its own. */
static snub_status for_all(chart_run *run, work *do_work)
{
    const int threads = thread_count(run->request);
    snub_status worst = SNUB_OK;
    (void)threads;
#pragma omp parallel num_threads(threads)
    {
        bench *b = calloc(1, sizeof *b); /* large */
        const bool good = open_bench(run, b);
#pragma omp for schedule(dynamic, 1)
        for (int i = 0; i < run->chart->build_count; i++) {
            if (!stopped(run))
                note_status(good ? do_work(run, i, b) : SNUB_NO_MEMORY, &worst);
        }
        close_bench(b);
    }
    return run->stop ? SNUB_STOPPED : worst;
}

/* Lengths of the fewest belts of which it is not known whether they serve a build. */
static int open_lengths(const snub_chart *chart, const snub_charted *build, double *lengths)
{
    int count = 0;
    for (int b = 0; b < chart->fewest_count; b++) {
        for (int k = 0; k < build->open_count; k++) {
            if (chart->fewest[b].ribs == build->ribs && snub_same_length(build->open[k], chart->fewest[b].length)) {
                lengths[count++] = chart->fewest[b].length;
                break;
            }
        }
    }
    return count;
}

/* What was found out of lengths: those that serve join the others. */
static void close_lengths(snub_charted *build, const double *lengths, const bool *serves, int count)
{
    for (int i = 0; i < count; i++) {
        int kept = 0;
        double length = NAN;
        for (int k = 0; k < build->open_count; k++) {
            if (snub_same_length(build->open[k], lengths[i]))
                length = build->open[k];
            else
                build->open[kept++] = build->open[k];
        }
        build->open_count = kept;
        if (serves[i])
            build->serving[build->serving_count++] = length;
    }
}

/* Of the belts of the answer, which serve a build of which that is not known. */
static snub_status ask_build(chart_run *run, int i, bench *b)
{
    snub_charted *build = &run->chart->builds[i];
    const int count = open_lengths(run->chart, build, b->lengths);
    snub_reading own = *run->reading;
    snub_errors errors = {0};
    if (count == 0)
        return SNUB_OK;
    own.arena = &b->arena;
    const snub_status status =
        snub_build_serves(run->document, &own, build->row, b->lengths, count, build->verdict, b->serves, &errors);
    if (status == SNUB_OK)
        close_lengths(build, b->lengths, b->serves, count);
    snub_errors_free(&errors);
    snub_arena_free(&b->arena);
    return status;
}

static bool has_open(const snub_chart *chart, double *lengths)
{
    bool some = false;
    for (int i = 0; i < chart->build_count && !some; i++)
        some = open_lengths(chart, &chart->builds[i], lengths) > 0;
    return some;
}

/* The fewest belts: what is not known counts as serving until it is in the answer. */
static snub_status cover(chart_run *run)
{
    snub_arena *arena = run->reading->arena;
    const bool fewest = !run->request->builds_only;
    for (;;) {
        snub_status status = snub_cover(run->chart, fewest, arena);
        double *lengths = SNUB_NEW(arena, double, run->chart->fewest_count + 1);
        if (status != SNUB_OK || lengths == NULL)
            return status != SNUB_OK ? status : SNUB_NO_MEMORY;
        if (!fewest || !has_open(run->chart, lengths))
            return SNUB_OK;
        status = for_all(run, ask_build);
        if (status != SNUB_OK)
            return status;
    }
}

/* The kit again on its fewest belts: what was kept of the builds makes room, but for their rib counts. */
static snub_status make_on_fewest(chart_run *run)
{
    snub_chart *chart = run->chart;
    run->only = chart->fewest;
    run->only_count = chart->fewest_count;
    chart->on_fewest = true;
    snub_shared_texts_close(&run->texts);
    snub_arena_free(&chart->kept);
    snub_shared_texts_open(&run->texts, &chart->kept);
    const snub_status status = for_all(run, make_build);
    return status == SNUB_OK ? cover(run) : status;
}

static snub_status make_chart(chart_run *run)
{
    snub_status status = for_all(run, make_build);
    if (status == SNUB_OK)
        status = cover(run);
    return status == SNUB_OK && run->request->fewest ? make_on_fewest(run) : status;
}

/* Of the rows those of the part. */
static void keep_part(const snub_chart_request *request, snub_chart *chart)
{
    snub_rows *rows = &chart->rows;
    int kept = 0;
    chart->part = request->parts > 0 ? request->part : 0;
    chart->parts = request->parts > 0 ? request->parts : 1;
    for (int i = chart->part; i < rows->count; i += chart->parts)
        rows->items[kept++] = rows->items[i];
    rows->count = kept;
}

snub_status snub_chart_drive(const snub_document *document, const snub_reading *reading,
                             const snub_chart_request *request, snub_chart *chart, snub_errors *errors)
{
    memset(chart, 0, sizeof *chart);
    snub_arena_init(&chart->kept, reading->arena->limit);
    snub_status status = snub_rows_list(document, reading, &request->named, &chart->rows, errors);
    if (status != SNUB_OK)
        return status;
    keep_part(request, chart);
    const int count = chart->rows.count;
    chart->document = document;
    chart->builds = SNUB_NEW(reading->arena, snub_charted, count);
    if (chart->builds == NULL)
        return SNUB_NO_MEMORY;
    chart->build_count = count;
    chart_run run = {.chart = chart,
                     .document = document,
                     .reading = reading,
                     .request = request,
                     .all = request->fewest ? 2 * count : count};
    snub_shared_texts_open(&run.texts, &chart->kept);
    status = make_chart(&run);
    snub_shared_texts_close(&run.texts);
    return status;
}

void snub_chart_free(snub_chart *chart)
{
    if (chart == NULL)
        return;
    snub_arena_free(&chart->kept);
    chart->build_count = 0;
}

void snub_chart_digest(const snub_chart *chart, char text[65])
{
    snub_digest digest;
    snub_digest_init(&digest);
    for (int i = 0; i < chart->build_count; i++)
        snub_digest_text(&digest, chart->builds[i].digest);
    snub_digest_end(&digest, text);
}

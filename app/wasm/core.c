#include "core.h"

#include <stdlib.h>
#include <string.h>

#include "drive/read_sample.h"
#include "drive/sections.h"
#include "handlers.h"
#include "json_stand_in.h"
#include "request.h"
#include "snub/flapping.h"

#define EXPORT(name) __attribute__((export_name(#name)))

static char *given;
static size_t given_room;
static snub_arena kept; /* of the snapshot */
static snub_snapshot snapshot;
static bool open;
static serve_worker worker;
static serve_answer answer;

EXPORT(core_room) void *core_room(size_t length)
{
    if (length > given_room) {
        free(given);
        given = malloc(length);
        given_room = given != NULL ? length : 0;
    }
    return given;
}

/* There is no YAML here: a document comes in a snapshot. */
snub_status snub_document_parse(const char *name, const char *text, size_t length, snub_arena *arena,
                                snub_document *document, snub_errors *errors)
{
    (void)name, (void)text, (void)length, (void)arena, (void)errors;
    *document = (snub_document){0};
    snapshot.lacks = true;
    return SNUB_BAD_INPUT;
}

snub_status snub_node_from_text(const char *text, const char *origin, snub_arena *arena, snub_node **node,
                                snub_error *error)
{
    (void)text, (void)origin, (void)arena, (void)node;
    snapshot.lacks = true;
    return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "no YAML is read here");
}

#ifndef CORE_CHARTS
/* Spans that flap are looked for by the core with charts, else by the server. */
snub_status snub_flap_spans(const struct snub_study *study, const snub_build *build, const bool *spans,
                            snub_arena *arena, double *tightest)
{
    (void)study, (void)build, (void)spans, (void)arena, (void)tightest;
    snapshot.lacks = true;
    return SNUB_OK;
}

/* So are sections that no frame needs: their mistakes are found there. */
void snub_read_search(snub_reader *reader, const snub_node *root, snub_drive *drive)
{
    (void)reader, (void)drive;
    snapshot.lacks |= snub_read_find(root, "search") != NULL;
}

void snub_read_tolerances(snub_reader *reader, const snub_node *root, snub_drive *drive)
{
    (void)drive;
    bool written = snub_read_find(root, "tolerances") != NULL;
    for (const snub_sighting *seen = reader->seen; seen != NULL; seen = seen->next)
        written |= !seen->known; /* without a section only what has a tolerance behind it is seen */
    snapshot.lacks |= written && reader->sights != SNUB_SIGHT_TAKE_OFF;
}
#else
/* Tables of measured values stay with the server. */
bool snub_read_sample(snub_reader *reader, const snub_node *item, const snub_sighting *seen, int *count,
                      double **values)
{
    (void)reader, (void)item, (void)seen, (void)count, (void)values;
    snapshot.lacks = true;
    return false;
}
#endif

static bool open_units(void)
{
    snub_error error;
    return worker.units != NULL || snub_units_open(&worker.units, &error) == SNUB_OK;
}

EXPORT(core_open) int core_open(size_t length)
{
    snub_error error;
    snub_arena_free(&kept);
    snub_arena_init(&kept, SERVE_MEMORY_MOST);
    snub_arena_init(&worker.arena, SERVE_MEMORY_MOST);
    open =
        length <= given_room && open_units() && snub_snapshot_read(given, length, &kept, &snapshot, &error) == SNUB_OK;
    if (!open)
        return 1;
    core_units_of(worker.units, &snapshot);
    worker.document = &snapshot.document;
    worker.parts = snub_snapshot_parts(&snapshot);
    worker.maps = &snapshot.map_source;
    return 0;
}

#ifdef CORE_CHARTS
static bool going(void *context, int done, int of)
{
    (void)context;
    core_progress(done, of);
    return true;
}
#endif

static void ask(int what, size_t length)
{
    serve_request request;
    snub_error error = {0};
    if (serve_request_read(given, length, &worker.arena, &request, &error) != SNUB_OK) {
        serve_answer_error(&answer, SERVE_BAD_REQUEST, &error, NULL, 0);
        return;
    }
    request.text = snapshot.document.source;
    request.text_length = snapshot.document.source_length;
    if (what == CORE_LAY)
        serve_lay(&worker, &request, &answer);
#ifdef CORE_CHARTS
    else if (what == CORE_SWEEP)
        serve_sweep(&worker, &request, &answer);
    else
        serve_chart(&worker, &request, &(serve_progress){.going = going}, &answer);
#else
    else
        snapshot.lacks = true;
#endif
}

EXPORT(core_ask) unsigned core_ask(int what, size_t length)
{
    snub_text_free(&answer.body);
    answer = (serve_answer){0};
    if (!open || length > given_room)
        return 0;
    snapshot.lacks = false;
    ask(what, length);
    const bool lost = worker.arena.refused || answer.body.failed;
    snub_arena_free(&worker.arena);
    json_stand_in_reset();
    return snapshot.lacks || lost ? 0 : answer.status;
}

EXPORT(core_answer) const char *core_answer(void)
{
    return answer.body.data;
}

EXPORT(core_answer_length) size_t core_answer_length(void)
{
    return answer.body.length;
}

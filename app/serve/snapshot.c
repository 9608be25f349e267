/* The drive file and all that its reading asked for, for the core in the browser. */
#include "snub/snapshot.h"
#include "reading.h"
#include "snub/json.h"

/* Read the file and every value of its options, variants and packages, so that their questions are noted. Its errors
 * are told by what is asked next. */
static void note_questions(serve_worker *worker, const serve_reading *read, snub_snapshot *snapshot)
{
    snub_reading how = read->how;
    snub_drive *drive = SNUB_NEW(&worker->arena, snub_drive, 1);
    snub_errors errors = {0};
    how.parts = snub_snapshot_parts(snapshot);
    how.maps = &snapshot->map_source;
    if (drive)
        (void)snub_drive_check(&read->document, &how, drive, &errors);
    snub_errors_free(&errors);
}

/* Parts, lists of belts and maps that came from elsewhere. */
static int asked_of(const snub_snapshot *snapshot)
{
    int count = 0;
    for (const snub_snapshot_part *part = snapshot->parts; part; part = part->next)
        count++;
    for (const snub_snapshot_belts *belts = snapshot->belts; belts; belts = belts->next)
        count++;
    for (const snub_snapshot_map *map = snapshot->maps; map; map = map->next)
        count++;
    return count;
}

void serve_snapshot(serve_worker *worker, const serve_request *request, serve_answer *answer)
{
    snub_snapshot *snapshot = SNUB_NEW(&worker->arena, snub_snapshot, 1);
    snub_text bytes = {0}, text = {0};
    if (!snapshot) {
        serve_answer_problem(answer, SERVE_NO_MEMORY, NULL);
        return;
    }
    const serve_reading *read = serve_read_document(worker, request, answer);
    if (!read)
        return;
    snub_snapshot_begin(snapshot, &read->document, worker->parts, worker->maps, &worker->arena);
    note_questions(worker, read, snapshot);
    snub_status status = snub_snapshot_note_units(snapshot, worker->units);
    if (!status)
        status = snub_snapshot_write(snapshot, &bytes, NULL);
    serve_base64(&text, bytes.data ? bytes.data : "", bytes.length);
    snub_text_free(&bytes);
    if (status || text.failed)
        serve_answer_problem(answer, SERVE_NO_MEMORY, NULL);
    else
        serve_answer_json(answer, json_pack("{s:o, s:i}", "snapshot", snub_json_words_n(text.data, text.length),
                                            "asked", asked_of(snapshot)));
    snub_text_free(&text);
}

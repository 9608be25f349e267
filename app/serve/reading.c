#include "reading.h"

void serve_answer_mistakes(serve_answer *answer, const serve_request *request, const snub_mistakes *mistakes,
                           snub_status status)
{
    serve_problem problem = status == SNUB_NO_MEMORY ? SERVE_OWN_FAULT : SERVE_BAD_DRIVE;
    snub_text detail = {0};
    if (mistakes->count)
        snub_text_printf(&detail, "%d mistake%s in %s", mistakes->count + mistakes->more,
                         mistakes->count + mistakes->more == 1 ? "" : "s", *request->file ? request->file : "the file");
    answer->status = serve_problem_status(problem);
    serve_problem_json(problem, detail.data, mistakes, request->text, request->text_length, &answer->body);
    snub_text_free(&detail);
}

bool serve_read_document(serve_worker *worker, const serve_request *request, serve_reading *read, serve_answer *answer)
{
    snub_mistakes mistakes = {0};
    snub_error error = {0};
    snub_overlay *overlays = NULL;
    const char *name = *request->file ? request->file : "drive.yaml";
    snub_status status =
        snub_document_parse(name, request->text, request->text_length, &worker->arena, &read->document, &mistakes);
    if (status) {
        serve_answer_mistakes(answer, request, &mistakes, status);
    } else if ((status = serve_overlays(request, &worker->arena, &overlays, &error))) {
        serve_answer_error(answer, SERVE_BAD_REQUEST, &error, NULL, 0);
    }
    read->how = (snub_reading){.units = worker->units,
                               .arena = &worker->arena,
                               .overlays = overlays,
                               .overlay_count = request->change_count,
                               .parts = worker->catalogue ? &worker->parts : NULL,
                               .maps = &worker->maps};
    snub_mistakes_free(&mistakes);
    return status == SNUB_OK;
}

bool serve_read_drive(serve_worker *worker, const serve_request *request, serve_reading *read, serve_answer *answer)
{
    if (!serve_read_document(worker, request, read, answer))
        return false;
    snub_mistakes mistakes = {0};
    snub_status status = snub_drive_read(&read->document, &read->how, &read->drive, &mistakes);
    if (status)
        serve_answer_mistakes(answer, request, &mistakes, status);
    snub_mistakes_free(&mistakes);
    return status == SNUB_OK;
}

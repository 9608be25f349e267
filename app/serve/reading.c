#include "reading.h"

void serve_answer_errors(serve_answer *answer, const serve_request *request, const snub_errors *errors,
                         snub_status status)
{
    serve_problem problem = status == SNUB_NO_MEMORY ? SERVE_NO_MEMORY : SERVE_BAD_DRIVE;
    snub_text detail = {0};
    if (errors->count)
        snub_text_printf(&detail, "%d error%s in %s", errors->count + errors->more,
                         errors->count + errors->more == 1 ? "" : "s", *request->file ? request->file : "the file");
    answer->status = serve_problem_status(problem);
    serve_problem_json(problem, detail.data, errors, answer->hints, request->text, request->text_length, &answer->body);
    snub_text_free(&detail);
}

serve_reading *serve_read_document(serve_worker *worker, const serve_request *request, serve_answer *answer)
{
    serve_reading *read = SNUB_NEW(&worker->arena, serve_reading, 1);
    snub_errors errors = {0};
    snub_error error = {0};
    snub_overlay *overlays = NULL;
    const char *name = *request->file ? request->file : "drive.yaml";
    snub_status status = SNUB_OK;
    answer->exact = request->exact;
    if (!read) {
        serve_answer_problem(answer, SERVE_NO_MEMORY, NULL);
        return NULL;
    }
    if (worker->document)
        read->document = *worker->document;
    else
        status =
            snub_document_parse(name, request->text, request->text_length, &worker->arena, &read->document, &errors);
    answer->hints = read->document.hints;
    if (status) {
        serve_answer_errors(answer, request, &errors, status);
    } else if ((status = serve_overlays(request, &read->document, &worker->arena, &overlays, &answer->hints, &error))) {
        serve_answer_error(answer, SERVE_BAD_REQUEST, &error, NULL, 0);
    }
    read->locale.inches = request->units == SERVE_UNITS_INCH ||
                          (request->units == SERVE_UNITS_OF_FILE && snub_document_inches(&read->document));
    read->how = (snub_reading){.units = worker->units,
                               .arena = &worker->arena,
                               .overlays = overlays,
                               .overlay_count = request->change_count,
                               .parts = worker->parts,
                               .maps = worker->maps};
    snub_errors_free(&errors);
    return status == SNUB_OK ? read : NULL;
}

serve_reading *serve_read_build(serve_worker *worker, const serve_request *request, bool settle_only, snub_build *build,
                                serve_answer *answer)
{
    serve_reading *read = serve_read_document(worker, request, answer);
    if (!read)
        return NULL;
    snub_row row;
    snub_errors errors = {0};
    const snub_build_request wanted = {.settle_only = settle_only};
    const snub_named_rows own = {0};
    snub_status status = snub_row_own(&read->document, &read->how, &own, &row, &errors);
    if (status == SNUB_OK)
        status = snub_build_make(&read->document, &read->how, &row, &wanted, build, &errors);
    if (status != SNUB_OK)
        serve_answer_errors(answer, request, &errors, status);
    else
        answer->bare = &build->drive->bare;
    answer->placeholders = read->document.placeholders;
    snub_errors_free(&errors);
    return status == SNUB_OK ? read : NULL;
}

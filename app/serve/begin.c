#include "begin.h"

#include <stdlib.h>
#include <string.h>

#include "snub/json.h"

/* ---- what there is ----------------------------------------------------------------------------------------------- */

static const char *title_of(serve_worker *worker, const serve_folder *examples, const char *name)
{
    char *data = NULL, etag[SERVE_ETAG_ROOM];
    size_t length = 0;
    snub_document document;
    snub_errors errors = {0};
    const snub_node *title = NULL;
    if (serve_folder_read(examples, name, &data, &length, etag, &(snub_error){0}) == SNUB_OK &&
        snub_document_parse(name, data, length, &worker->arena, &document, &errors) == SNUB_OK)
        title = snub_node_get(document.root, "title");
    snub_errors_free(&errors);
    free(data);
    return title && title->kind == SNUB_SCALAR ? title->text : "";
}

static json_t *examples_json(serve_worker *worker, const serve_folder *examples)
{
    char **names = NULL;
    const int count = examples->descriptor >= 0 ? serve_folder_list(examples, &names) : 0;
    json_t *list = count > 0 ? json_array() : json_null();
    for (int i = 0; i < count; i++) {
        snub_json_append(list, json_pack("{s:o, s:o}", "file", snub_json_words(names[i]), "title",
                                         snub_json_words(title_of(worker, examples, names[i]))));
        free(names[i]);
    }
    free(names);
    return list;
}

void serve_beginnings(serve_worker *worker, const serve_program *program, const serve_folder *examples,
                      serve_answer *answer)
{
    serve_answer_json(answer, json_pack("{s:o, s:o}", "choices", program->choices(&worker->arena), "examples",
                                        examples_json(worker, examples)));
}

/* ---- an example, with its maps ----------------------------------------------------------------------------------- */

enum { MAPS_MOST = 64 /* of an example */ };

/* Maps and tables that the reader has asked for. */
typedef struct noted {
    const serve_folder *examples;
    struct {
        char *name, *data; /* in the arena */
        size_t length;
    } maps[MAPS_MOST];
    int count;
} noted;

static snub_status note_text(void *context, const snub_document *document, const char *path, snub_arena *arena,
                             const char **text, size_t *length, snub_errors *errors)
{
    noted *n = context;
    char *data = NULL;
    snub_error error = {0};
    (void)document; /* stands at the top of the examples */
    const snub_status status = serve_folder_read_map(n->examples, path, &data, length, &error);
    if (status) {
        snub_errors_add(errors, &error);
        return status;
    }
    char *name = snub_copy_text(arena, path), *kept = snub_copy_text_n(arena, data, *length);
    free(data);
    *text = kept;
    if (!name || !kept)
        return SNUB_NO_MEMORY;
    bool known = false;
    for (int i = 0; i < n->count; i++)
        known |= strcmp(n->maps[i].name, path) == 0;
    if (known || n->count == MAPS_MOST)
        return SNUB_OK;
    n->maps[n->count].name = name;
    n->maps[n->count].data = kept;
    n->maps[n->count++].length = *length;
    return SNUB_OK;
}

static snub_status read_and_note(void *context, const snub_document *document, const char *path, snub_units *units,
                                 snub_arena *arena, snub_blower *blower, snub_errors *errors)
{
    const char *text;
    size_t length;
    const snub_status status = note_text(context, document, path, arena, &text, &length, errors);
    return status ? status : snub_blower_map_read(path, text, length, units, arena, blower, errors);
}

/* By the reader itself, with all that options, variants and packages lay over the file. */
static void note_maps(serve_worker *worker, const char *name, const char *data, size_t length, noted *n)
{
    snub_document document;
    snub_errors errors = {0};
    snub_drive *drive = SNUB_NEW(&worker->arena, snub_drive, 1);
    const snub_map_source maps = {read_and_note, n, note_text};
    const snub_reading how = {.units = worker->units, .arena = &worker->arena, .parts = worker->parts, .maps = &maps};
    if (drive && snub_document_parse(name, data, length, &worker->arena, &document, &errors) == SNUB_OK)
        (void)snub_drive_check(&document, &how, drive, &errors); /* its errors are shown once it is open */
    snub_errors_free(&errors);
}

static snub_status put_maps(const serve_worker *worker, const noted *n, const char *file, snub_arena *arena,
                            snub_error *error)
{
    const char *stroke = strrchr(file, '/');
    snub_status status = SNUB_OK;
    for (int i = 0; i < n->count && !status; i++) {
        const char *name = snub_format(arena, "%.*s%s", stroke ? (int)(stroke - file + 1) : 0, file, n->maps[i].name);
        status = name ? serve_folder_create_map(worker->folder, name, n->maps[i].data, n->maps[i].length, error)
                      : snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    }
    return status;
}

/* @param[out] text  malloc'd */
static snub_status copy_example(serve_worker *worker, const serve_folder *examples, const char *name, const char *file,
                                char **text, size_t *length, snub_error *error)
{
    char etag[SERVE_ETAG_ROOM];
    noted *n = SNUB_NEW(&worker->arena, noted, 1);
    if (!n)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    if (examples->descriptor < 0)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "example", "no examples are installed with this snub");
    const snub_status status = serve_folder_read(examples, name, text, length, etag, error);
    if (status)
        return snub_fail(error, status == SNUB_BAD_INPUT ? status : SNUB_IO, NULL, "example",
                         "there is no example %.200s", name);
    n->examples = examples;
    note_maps(worker, name, *text, *length, n);
    return put_maps(worker, n, file, &worker->arena, error);
}

/* ---- from nothing ------------------------------------------------------------------------------------------------ */

static bool go_on(void *context, int done, int of)
{
    (void)context, (void)done, (void)of;
    return true;
}

/* The very text of `snub new`. @return false: an answer was made */
static bool new_text(serve_worker *worker, const serve_program *program, const json_t *options, char **text,
                     size_t *length, serve_answer *answer)
{
    serve_paper *paper = NULL;
    serve_made made = {0};
    snub_error error = {0};
    if (!serve_paper_of_new(program, worker->folder, options, &paper, answer))
        return false;
    const serve_progress progress = {.going = go_on};
    const snub_status status = serve_paper_make(paper, worker->folder, &progress, &made, &error);
    const bool good = !status && made.code == 0 && made.out.data;
    if (status)
        serve_answer_error(answer, status == SNUB_NO_MEMORY ? SERVE_NO_MEMORY : SERVE_OWN_FAULT, &error, NULL, 0);
    else if (!good)
        serve_answer_problem(answer, SERVE_BAD_REQUEST, made.said.data);
    if (good) {
        *text = made.out.data;
        *length = made.out.length;
        made.out = (snub_text){0};
    }
    serve_made_free(&made);
    serve_paper_free(paper);
    return good;
}

/* ---- the answer -------------------------------------------------------------------------------------------------- */

static snub_status read_body(const json_t *root, const char **file, const char **example, snub_error *error)
{
    const json_t *name = json_object_get(root, "file"), *from = json_object_get(root, "example"),
                 *options = json_object_get(root, "options");
    const size_t known = (name ? 1U : 0U) + (from ? 1U : 0U) + (options ? 1U : 0U);
    *file = json_string_value(name);
    *example = json_string_value(from);
    if (!*file || strlen(*file) != json_string_length(name))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "file", "give the file a name");
    if (json_object_size(root) != known || !from == !options || (from && !*example))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL,
                         "needs \"file\", and \"options\" of a new drive or the name of an \"example\"");
    return SNUB_OK;
}

static void begin(serve_worker *worker, const serve_program *program, const serve_folder *examples, const json_t *root,
                  serve_answer *answer)
{
    const char *file, *example;
    char *text = NULL;
    size_t length = 0;
    snub_error error = {0};
    snub_status status = read_body(root, &file, &example, &error);
    if (!status)
        status = serve_folder_may_create(worker->folder, file, &error);
    if (!status && example)
        status = copy_example(worker, examples, example, file, &text, &length, &error);
    else if (!status && !new_text(worker, program, json_object_get(root, "options"), &text, &length, answer))
        return;
    if (!status)
        status = serve_folder_create(worker->folder, file, text, length, &error);
    answer->written = !status;
    if (status) {
        serve_answer_error(answer, serve_problem_of_new(status), &error, NULL, 0);
    } else {
        serve_etag(text, length, answer->etag);
        serve_answer_drive(answer, file, text, length, json_array(), NULL);
    }
    free(text);
}

void serve_begin(serve_worker *worker, const serve_program *program, const serve_folder *examples, const char *body,
                 size_t length, serve_answer *answer)
{
    json_error_t mistake;
    json_t *root = json_loadb(body ? body : "", length, JSON_REJECT_DUPLICATES, &mistake);
    snub_error error = {0};
    if (json_is_object(root)) {
        begin(worker, program, examples, root, answer);
    } else {
        snub_fail(&error, SNUB_BAD_INPUT, NULL, NULL, "the body is not a JSON object");
        serve_answer_error(answer, SERVE_BAD_REQUEST, &error, NULL, 0);
    }
    json_decref(root);
}

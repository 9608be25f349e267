/* The text with its changes, and its way into the file, which other programs write as well. */
#include <stdlib.h>
#include <string.h>

#include "access.h"
#include "handlers.h"
#include "reading.h"
#include "refused.h"
#include "snub/json.h"

/* The file may change again while two texts are brought together; a person saves twice a second at most. */
enum { TRIES_MOST = 20 };

/* Read a text with all that it offers, and nothing laid over it. */
static snub_status check_text(serve_worker *worker, const serve_reading *read, const snub_text *text,
                              snub_errors *errors)
{
    snub_document document;
    snub_drive drive;
    snub_reading how = read->how;
    how.overlay_count = 0;
    const snub_status status =
        snub_document_parse(read->document.name, text->data, text->length, &worker->arena, &document, errors);
    return status ? status : snub_drive_check(&document, &how, &drive, errors);
}

/* A file that reads is not to be turned into one that does not: an option, a variant or a mount may name what goes. */
static bool still_reads(serve_worker *worker, const serve_reading *read, const snub_text *before,
                        const snub_text *after, serve_answer *answer)
{
    snub_errors old = {0}, new = {0};
    const bool read_before = check_text(worker, read, before, &old) == SNUB_OK;
    const snub_status status = read_before ? check_text(worker, read, after, &new) : SNUB_OK;
    if (status) {
        const serve_request whole = {.file = read->document.name, .text = after->data, .text_length = after->length};
        serve_answer_errors(answer, &whole, &new, status);
    }
    snub_errors_free(&old);
    snub_errors_free(&new);
    return status == SNUB_OK;
}

static bool edit_text(serve_worker *worker, const serve_request *request, snub_text *text, serve_answer *answer)
{
    const serve_reading *read = serve_read_document(worker, request, answer);
    snub_text now = {0};
    snub_error error = {0};
    snub_status status = SNUB_OK;
    if (!read)
        return false;
    snub_text_add(&now, text->data, text->length);
    for (int i = 0; i < request->edit_count && !status; i++) {
        snub_document document;
        snub_errors errors = {0};
        snub_text next = {0};
        status = snub_document_parse(read->document.name, now.data, now.length, &worker->arena, &document, &errors);
        if (!status)
            status = snub_document_edit(&document, &request->edits[i], &next, &error);
        snub_errors_free(&errors);
        snub_text_free(&now);
        now = next;
    }
    if (status)
        serve_answer_error(answer, status == SNUB_NO_MEMORY ? SERVE_NO_MEMORY : SERVE_BAD_DRIVE, &error, NULL, 0);
    const bool good = !status && still_reads(worker, read, text, &now, answer);
    if (good) {
        snub_text_free(text);
        *text = now;
    } else {
        snub_text_free(&now);
    }
    return good;
}

static bool rewrite(serve_worker *worker, const serve_request *request, snub_text *text, serve_answer *answer)
{
    snub_error error = {0};
    if (!request->change_count) {
        snub_text_add(text, request->text, request->text_length);
        return true;
    }
    const serve_reading *read = serve_read_document(worker, request, answer);
    if (!read)
        return false;
    /* the page knows numbers without their tolerances; the request's own changes stay as they came */
    snub_change *changes = SNUB_NEW(&worker->arena, snub_change, request->change_count);
    if (!changes) {
        serve_answer_problem(answer, SERVE_NO_MEMORY, NULL);
        return false;
    }
    memcpy(changes, request->changes, (size_t)request->change_count * sizeof *changes);
    snub_status status = snub_changes_keep_tolerances(&read->document, worker->units, changes, request->change_count,
                                                      &worker->arena, &error);
    if (!status)
        status = snub_document_rewrite(&read->document, changes, request->change_count, text, &error);
    if (status)
        serve_answer_error(answer, status == SNUB_NO_MEMORY ? SERVE_NO_MEMORY : SERVE_BAD_DRIVE, &error, request->text,
                           request->text_length);
    return status == SNUB_OK;
}

void serve_apply(serve_worker *worker, const serve_request *request, serve_answer *answer)
{
    snub_text text = {0};
    if (rewrite(worker, request, &text, answer) && (!request->edit_count || edit_text(worker, request, &text, answer)))
        serve_answer_json(answer, json_pack("{s:o}", "text", snub_json_grown(&text)));
    snub_text_free(&text);
}

/* ---- save -------------------------------------------------------------------------------------------------------- */

typedef struct saving {
    const serve_folder *folder;
    const serve_request *request;
    const char *match; /* ETag that the file must have; NULL: any, where the request has the text that it began with */
    bool create;       /* there must be no file yet */
    snub_version mine; /* the text of the page, with its changes */
    serve_content there; /* the file on disk */
    snub_merged merged;  /* what is to be written */
    snub_arena arena;    /* of this try */
} saving;

serve_problem serve_problem_of_new(snub_status status)
{
    switch (status) {
    case SNUB_STOPPED: return SERVE_EXISTS;
    case SNUB_BAD_INPUT: return SERVE_BAD_REQUEST;
    default: return status == SNUB_NO_MEMORY ? SERVE_NO_MEMORY : SERVE_DISK;
    }
}

static serve_problem problem_of_disk(snub_status status)
{
    switch (status) {
    case SNUB_STOPPED: return SERVE_CHANGED;
    case SNUB_BAD_INPUT: return SERVE_NOT_FOUND;
    case SNUB_NO_MEMORY: return SERVE_NO_MEMORY;
    default: return SERVE_DISK;
    }
}

/* The text to be written: the page's, or that brought together with what another program has written meanwhile. */
static snub_status make_text(saving *save, snub_error *error)
{
    char etag[SERVE_ETAG_ROOM];
    const serve_request *request = save->request;
    save->merged = (snub_merged){.text = save->mine.text, .length = save->mine.length};
    if (save->create)
        return SNUB_OK;
    snub_status status =
        serve_folder_read_to_save(save->folder, request->file, &save->there.data, &save->there.length, etag, error);
    if (status == SNUB_BAD_INPUT && serve_name_allowed(request->file))
        return snub_fail(error, SNUB_STOPPED, NULL, "file", "%s no longer exists", request->file);
    if (status)
        return status;
    if (request->base) {
        const snub_version base = {request->base, request->base_length},
                           theirs = {save->there.data, save->there.length};
        return snub_document_merge(request->file, &base, &save->mine, &theirs, request->picks, request->pick_count,
                                   &save->arena, &save->merged, error);
    }
    if (strcmp(save->match, etag) != 0)
        return snub_fail(error, SNUB_STOPPED, NULL, "file", "%s was changed by another program", request->file);
    return SNUB_OK;
}

static json_t *clashes_json(const snub_merged *merged)
{
    json_t *list = json_array();
    for (int i = 0; i < merged->clash_count; i++) {
        const snub_clash *clash = &merged->clashes[i];
        snub_json_append(list, json_pack("{s:o, s:o, s:o, s:o}", "path", snub_json_words(clash->path), "base",
                                         snub_json_words(clash->base), "mine", snub_json_words(clash->mine), "theirs",
                                         snub_json_words(clash->theirs)));
    }
    return list;
}

/* What a save of this text changes in the file on disk; NULL: memory is out. */
static json_t *differences_json(saving *save, const snub_merged *merged)
{
    const snub_version there = {save->there.data ? save->there.data : "", save->there.length},
                       text = {merged->text, merged->length};
    const snub_text_difference *found = NULL;
    snub_error error = {0};
    int count = 0;
    if (snub_document_compare(save->request->file, &there, &text, &save->arena, &found, &count, &error) != SNUB_OK)
        return NULL;
    json_t *list = json_array();
    for (int i = 0; i < count; i++)
        snub_json_append(list, json_pack("{s:o, s:o, s:o}", "path", snub_json_words(found[i].path), "file",
                                         snub_json_words(found[i].before), "new", snub_json_words(found[i].after)));
    return list;
}

/* Beside the clashes, what else would change: as if all were answered by the page's own values. */
static json_t *other_differences(saving *save)
{
    const int count = save->request->pick_count + save->merged.clash_count;
    snub_pick *picks = SNUB_NEW(&save->arena, snub_pick, count);
    const snub_version base = {save->request->base, save->request->base_length},
                       theirs = {save->there.data, save->there.length};
    snub_merged merged = {0};
    snub_error error = {0};
    if (!picks)
        return NULL;
    if (save->request->pick_count)
        memcpy(picks, save->request->picks, (size_t)save->request->pick_count * sizeof *picks);
    for (int i = 0; i < save->merged.clash_count; i++)
        picks[save->request->pick_count + i] =
            (snub_pick){save->merged.clashes[i].path, true, save->merged.clashes[i].theirs};
    const snub_status status = snub_document_merge(save->request->file, &base, &save->mine, &theirs, picks, count,
                                                   &save->arena, &merged, &error);
    return status == SNUB_OK ? differences_json(save, &merged) : status == SNUB_STOPPED ? json_array() : NULL;
}

static void refuse(saving *save, snub_status status, const snub_error *error, serve_answer *answer)
{
    snub_text_free(&answer->body);
    answer->etag[0] = '\0';
    if (!save->merged.clash_count) {
        serve_answer_error(answer, save->create ? serve_problem_of_new(status) : problem_of_disk(status), error, NULL,
                           0);
        return;
    }
    const snub_errors one = {.items = (snub_error *)error, .count = 1};
    json_t *tree = serve_problem_tree(SERVE_CLASH, error->message, &one, NULL, NULL, 0);
    snub_json_put(tree, "conflicts", clashes_json(&save->merged));
    if (save->request->review)
        snub_json_put(tree, "differences", other_differences(save));
    serve_answer_json(answer, tree);
    if (answer->status == 200)
        answer->status = serve_problem_status(SERVE_CLASH);
}

static json_t *taken_json(const snub_merged *merged)
{
    json_t *taken = json_array();
    for (int i = 0; i < merged->taken_count; i++)
        snub_json_append(taken, snub_json_words(merged->taken[i]));
    return taken;
}

/* The answer first: what cannot be answered is not written either. */
static bool make_answer(const saving *save, serve_answer *answer)
{
    json_t *taken = taken_json(&save->merged);
    snub_text_free(&answer->body);
    serve_etag(save->merged.text, save->merged.length, answer->etag);
    serve_answer_drive(answer, save->request->file, save->merged.text, save->merged.length, taken,
                       save->merged.taken_count ? &save->mine : NULL);
    return answer->status == 200 && !answer->body.failed && !memory_refused();
}

/* @return false: the file has changed once more; try again */
static bool try_to_save(saving *save, bool last, serve_answer *answer)
{
    snub_error error = {0};
    bool written = false;
    snub_status status = make_text(save, &error);
    const bool made = status == SNUB_OK;
    if (made && save->request->review) {
        serve_answer_json(answer, json_pack("{s:o, s:o}", "differences", differences_json(save, &save->merged), "taken",
                                            taken_json(&save->merged)));
        return true;
    }
    if (made && !make_answer(save, answer))
        return true;
    if (made && save->create)
        status = serve_folder_create(save->folder, save->request->file, save->merged.text, save->merged.length, &error);
    else if (made)
        status = serve_folder_write(save->folder, save->request->file, &save->there, save->merged.text,
                                    save->merged.length, &error);
    written = made && !status;
    answer->written = written;
    if (!written && made && status == SNUB_STOPPED && save->request->base && !save->create && !last)
        return false;
    if (!written)
        refuse(save, status, &error, answer);
    return true;
}

void serve_save(serve_worker *worker, const serve_folder *folder, const serve_request *request, const char *match,
                bool create, serve_answer *answer)
{
    snub_text text = {0};
    saving save = {.folder = folder, .request = request, .match = match, .create = create};
    if (!match && !create && !request->base) {
        serve_answer_problem(answer, SERVE_NO_MATCH, NULL);
        return;
    }
    bool done = !rewrite(worker, request, &text, answer);
    save.mine = (snub_version){text.data ? text.data : "", text.length};
    for (int i = 1; !done; i++) {
        snub_arena_branch(&worker->arena, &save.arena);
        done = try_to_save(&save, i == TRIES_MOST, answer);
        snub_arena_drop(&worker->arena, &save.arena);
        free(save.there.data);
        save.there = (serve_content){0};
    }
    snub_text_free(&text);
}

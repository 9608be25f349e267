#include "case.h"
#include "change_value.h"

#include <jansson.h>
#include <stdlib.h>
#include <string.h>

static bool path_allowed(const char *path, size_t length)
{
    return length && length <= SERVE_PATH_MOST && strlen(path) == length && !serve_controls(path);
}

static snub_status read_change(const json_t *item, snub_arena *arena, snub_change *change, snub_node **node,
                               snub_error *error)
{
    const json_t *path = json_object_get(item, "path"), *value = json_object_get(item, "value");
    if (!json_is_string(path) || !value)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "changes", "a change needs \"path\" (text) and \"value\"");
    if (!path_allowed(json_string_value(path), json_string_length(path)))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "changes",
                         "a path is empty, too long or has a control character");
    snub_text text = {0};
    snub_status status = serve_value_text(value, json_string_value(path), &text, error);
    if (!status && (text.failed || !text.data))
        status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    if (!status) {
        change->path = snub_copy_text(arena, json_string_value(path));
        change->text = snub_copy_text(arena, text.data);
        if (!change->path || !change->text)
            status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    }
    snub_text_free(&text);
    return status != SNUB_OK ? status : serve_value_node(value, json_string_value(path), arena, node, error);
}

static snub_status read_changes(const json_t *root, snub_arena *arena, serve_request *request, snub_error *error)
{
    const json_t *changes = json_object_get(root, "changes");
    if (!changes)
        return SNUB_OK;
    if (!json_is_array(changes))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "changes", "changes is not a list");
    size_t count = json_array_size(changes);
    if (count > SERVE_CHANGES_MOST)
        return snub_fail(error, SNUB_TOO_LARGE, NULL, "changes", "more than %d changes", SERVE_CHANGES_MOST);
    request->changes = SNUB_NEW(arena, snub_change, count ? count : 1);
    request->values = SNUB_NEW(arena, snub_node *, count ? count : 1);
    if (!request->changes || !request->values)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (size_t i = 0; i < count; i++) {
        snub_status status =
            read_change(json_array_get(changes, i), arena, &request->changes[i], &request->values[i], error);
        if (status)
            return status;
    }
    request->change_count = (int)count;
    return SNUB_OK;
}

static snub_status copy_word(const json_t *value, snub_arena *arena, const char **out, snub_error *error)
{
    if (!json_is_string(value) || json_string_length(value) > SERVE_PATH_MOST ||
        strlen(json_string_value(value)) != json_string_length(value) || serve_controls(json_string_value(value)))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "edits",
                         "an edit needs \"remove\", \"move\", \"insert\", \"set\" or \"rename\" with a path, and "
                         "\"before\" with an item");
    *out = snub_copy_text(arena, json_string_value(value));
    return *out ? SNUB_OK : snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

/* A path as a change has it, or a list of its words, for keys that have dots in them. */
static snub_status read_path(const json_t *path, snub_arena *arena, snub_edit *edit, snub_error *error)
{
    const size_t count = json_array_size(path);
    if (!json_is_array(path) || count > SERVE_WORDS_MOST)
        return copy_word(path, arena, &edit->path, error);
    const char **words = SNUB_NEW(arena, const char *, count + 1);
    snub_text whole = {0};
    snub_status status = words ? SNUB_OK : snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    snub_text_puts(&whole, "");
    for (size_t i = 0; i < count && !status; i++) {
        status = copy_word(json_array_get(path, i), arena, &words[i], error);
        snub_text_printf(&whole, "%s%s", i ? "." : "", status ? "" : words[i]);
    }
    edit->words = words;
    edit->path = whole.data ? snub_copy_text(arena, whole.data) : "";
    if (!status && (whole.failed || !edit->path))
        status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    snub_text_free(&whole);
    return status;
}

static snub_status read_value(const json_t *value, snub_arena *arena, snub_edit *edit, snub_error *error)
{
    snub_text text = {0};
    snub_status status = serve_value_text(value, edit->path, &text, error);
    if (!status)
        edit->text = text.data ? snub_copy_text(arena, text.data) : NULL;
    if (!status && (text.failed || !edit->text))
        status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    snub_text_free(&text);
    return status;
}

/* {"remove": PATH}, {"move": PATH, "before": ITEM}, {"insert": PATH, "before": ITEM, "value": VALUE} into a list, with
 * "key" into a map, {"set": PATH, "value": VALUE}, {"rename": PATH, "key": NAME} */
static snub_status read_edit(const json_t *item, snub_arena *arena, snub_edit *edit, snub_error *error)
{
    static const char *const kinds[] = {[SNUB_EDIT_REMOVE] = "remove",
                                        [SNUB_EDIT_INSERT] = "insert",
                                        [SNUB_EDIT_MOVE] = "move",
                                        [SNUB_EDIT_SET] = "set",
                                        [SNUB_EDIT_RENAME] = "rename"};
    const json_t *path = NULL, *before = json_object_get(item, "before"), *key = json_object_get(item, "key");
    for (int i = 0; i <= SNUB_EDIT_RENAME && !path; i++) {
        path = json_object_get(item, kinds[i]);
        edit->kind = (snub_edit_kind)i;
    }
    snub_status status = read_path(path, arena, edit, error);
    if (!status && key && (edit->kind == SNUB_EDIT_INSERT || edit->kind == SNUB_EDIT_RENAME))
        status = copy_word(key, arena, &edit->key, error);
    if (!status && before && !json_is_null(before))
        status = copy_word(before, arena, &edit->before, error);
    if (!status && (edit->kind == SNUB_EDIT_INSERT || edit->kind == SNUB_EDIT_SET))
        status = read_value(json_object_get(item, "value"), arena, edit, error);
    return status;
}

static snub_status read_edits(const json_t *root, snub_arena *arena, serve_request *request, snub_error *error)
{
    const json_t *edits = json_object_get(root, "edits");
    if (!edits)
        return SNUB_OK;
    if (!json_is_array(edits))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "edits", "edits is not a list");
    const size_t count = json_array_size(edits);
    if (count > SERVE_EDITS_MOST)
        return snub_fail(error, SNUB_TOO_LARGE, NULL, "edits", "more than %d edits", SERVE_EDITS_MOST);
    request->edits = SNUB_NEW(arena, snub_edit, count + 1);
    snub_status status = request->edits ? SNUB_OK : snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (size_t i = 0; i < count && !status; i++)
        status = read_edit(json_array_get(edits, i), arena, &request->edits[i], error);
    request->edit_count = (int)count;
    return status;
}

/* A finite number in [low, high], absent as NAN. */
snub_status serve_number_read(const json_t *root, const char *key, double low, double high, double *number,
                              snub_error *error)
{
    const json_t *value = json_object_get(root, key);
    if (!value || json_is_null(value))
        return SNUB_OK;
    if (!json_is_number(value) || !(json_number_value(value) >= low && json_number_value(value) <= high))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, key, "needs a number from %g to %g", low, high);
    *number = json_number_value(value);
    return SNUB_OK;
}

static snub_status read_text(const json_t *root, snub_arena *arena, serve_request *request, snub_error *error)
{
    const json_t *text = json_object_get(root, "text"), *file = json_object_get(root, "file");
    const json_t *way = json_object_get(root, "way");
    request->file = request->text = "";
    if (file && !json_is_string(file))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "file", "needs text");
    if (text && !json_is_string(text))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "text", "needs text");
    if (file)
        request->file = snub_copy_text(arena, json_string_value(file));
    if (text) {
        request->text_length = json_string_length(text);
        if (request->text_length > SNUB_FILE_BYTES_MOST)
            return snub_fail(error, SNUB_TOO_LARGE, NULL, "text", "a drive file may have at most %d bytes",
                             (int)SNUB_FILE_BYTES_MOST);
        request->text = snub_copy_text_n(arena, json_string_value(text), request->text_length);
    }
    if (way && !json_is_string(way))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "way", "needs text");
    if (way)
        request->way = snub_copy_text(arena, json_string_value(way));
    if (!request->file || !request->text || !request->way)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    return SNUB_OK;
}

static snub_status read_base(const json_t *root, snub_arena *arena, serve_request *request, snub_error *error)
{
    const json_t *base = json_object_get(root, "base");
    if (!base || json_is_null(base))
        return SNUB_OK;
    if (!json_is_string(base))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "base", "needs text");
    request->base_length = json_string_length(base);
    if (request->base_length > SNUB_FILE_BYTES_MOST)
        return snub_fail(error, SNUB_TOO_LARGE, NULL, "base", "a drive file may have at most %d bytes",
                         (int)SNUB_FILE_BYTES_MOST);
    request->base = snub_copy_text_n(arena, json_string_value(base), request->base_length);
    return request->base ? SNUB_OK : snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

static snub_status read_pick(const json_t *item, snub_arena *arena, snub_pick *pick, snub_error *error)
{
    const json_t *path = json_object_get(item, "path"), *theirs = json_object_get(item, "theirs");
    const char *take = json_string_value(json_object_get(item, "take"));
    if (!json_is_string(path) || (theirs && !json_is_null(theirs) && !json_is_string(theirs)) || !take ||
        (strcmp(take, "mine") != 0 && strcmp(take, "theirs") != 0))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "picks",
                         "a pick needs \"path\", \"take\" (\"mine\" or \"theirs\") and \"theirs\" as it was listed");
    const bool there = json_is_string(theirs);
    *pick = (snub_pick){snub_copy_text(arena, json_string_value(path)), strcmp(take, "mine") == 0,
                        there ? snub_copy_text_n(arena, json_string_value(theirs), json_string_length(theirs)) : NULL};
    return pick->path && (pick->theirs || !there) ? SNUB_OK
                                                  : snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

static snub_status read_picks(const json_t *root, snub_arena *arena, serve_request *request, snub_error *error)
{
    const json_t *picks = json_object_get(root, "picks");
    if (!picks)
        return SNUB_OK;
    if (!json_is_array(picks))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "picks", "picks is not a list");
    const size_t count = json_array_size(picks);
    if (count > SERVE_CHANGES_MOST)
        return snub_fail(error, SNUB_TOO_LARGE, NULL, "picks", "more than %d picks", SERVE_CHANGES_MOST);
    request->picks = SNUB_NEW(arena, snub_pick, count + 1);
    snub_status status = request->picks ? SNUB_OK : snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (size_t i = 0; i < count && !status; i++)
        status = read_pick(json_array_get(picks, i), arena, &request->picks[i], error);
    request->pick_count = (int)count;
    return status;
}

static snub_status read_units(const json_t *root, serve_request *request, snub_error *error)
{
    static const char *const words[] = {[SERVE_UNITS_METRIC] = "metric", [SERVE_UNITS_INCH] = "us"};
    const json_t *value = json_object_get(root, "units");
    const char *word = value != NULL ? json_string_value(value) : NULL;
    if (value == NULL || json_is_null(value))
        return SNUB_OK;
    for (int i = SERVE_UNITS_METRIC; word != NULL && i <= SERVE_UNITS_INCH; i++) {
        if (strcmp(word, words[i]) != 0)
            continue;
        request->units = i;
        return SNUB_OK;
    }
    return snub_fail(error, SNUB_BAD_INPUT, NULL, "units", "needs \"metric\" or \"us\"");
}

/* [K, N]: of the builds only each Nth from the Kth on, from 0. */
static snub_status read_part(const json_t *part, serve_request *request, snub_error *error)
{
    const json_t *of = json_array_get(part, 1), *at = json_array_get(part, 0);
    if (!part)
        return SNUB_OK;
    const json_int_t parts = json_integer_value(of), first = json_integer_value(at);
    if (json_array_size(part) != 2 || !json_is_integer(of) || !json_is_integer(at) || first < 0 || first >= parts ||
        parts > SERVE_PARTS_MOST)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "part", "needs [K, N], whole numbers with 0 <= K < N <= %d",
                         (int)SERVE_PARTS_MOST);
    request->part = (int)first;
    request->parts = (int)parts;
    return SNUB_OK;
}

static snub_status read_root(const json_t *root, snub_arena *arena, serve_request *request, snub_error *error)
{
    static const char *const known[] = {
        "file",  "text", "changes", "rpm",    "rate",  "whole",   "points",      "way",  "units", "base",   "picks",
        "exact", "case", "edits",   "review", "mount", "measure", "builds_only", "part", "log",   "motion", "study"};
    enum { RATE_MOST = 1000000 }; /* rpm/s */
    const char *key;
    json_t *value;
    double points = 0;
    json_object_foreach((json_t *)root, key, value)
    {
        bool found = false;
        for (size_t i = 0; i < sizeof known / sizeof *known; i++)
            found |= !strcmp(key, known[i]);
        if (!found) {
            const char *near = snub_nearest(key, known, (int)(sizeof known / sizeof *known));
            return snub_fail(error, SNUB_BAD_INPUT, NULL, key, "unknown key%s%s", near ? "; did you mean " : "",
                             near ? near : "");
        }
    }
    snub_status status = read_text(root, arena, request, error);
    if (!status)
        status = read_changes(root, arena, request, error);
    if (!status)
        status = read_edits(root, arena, request, error);
    if (!status)
        status = read_base(root, arena, request, error);
    if (!status)
        status = read_picks(root, arena, request, error);
    if (!status)
        status = serve_number_read(root, "rpm", 0, SERVE_SPEED_MOST, &request->rpm, error);
    if (!status)
        status = serve_number_read(root, "rate", -RATE_MOST, RATE_MOST, &request->rate, error);
    if (!status)
        status = serve_number_read(root, "points", 2, SERVE_POINTS_MOST, &points, error);
    if (!status)
        status = read_units(root, request, error);
    if (!status)
        status = serve_case_read(json_object_get(root, "case"), arena, request, error);
    if (!status)
        status = serve_measure_read(json_object_get(root, "measure"), arena, &request->measure, error);
    if (!status)
        status = read_part(json_object_get(root, "part"), request, error);
    request->points = (int)points;
    request->mount = json_is_true(json_object_get(root, "mount"));
    request->whole = json_is_true(json_object_get(root, "whole"));
    request->review = json_is_true(json_object_get(root, "review"));
    request->builds_only = json_is_true(json_object_get(root, "builds_only"));
    request->exact = json_is_true(json_object_get(root, "exact"));
    return status;
}

snub_status serve_request_read(const char *body, size_t length, snub_arena *arena, serve_request *request,
                               snub_error *error)
{
    memset(request, 0, sizeof *request);
    request->rpm = NAN;
    request->way = "steady";
    if (length > SERVE_BODY_MOST)
        return snub_fail(error, SNUB_TOO_LARGE, NULL, NULL, "a body may have at most %d bytes", (int)SERVE_BODY_MOST);
    json_error_t mistake;
    json_t *root = json_loadb(body ? body : "", length, JSON_REJECT_DUPLICATES, &mistake);
    if (!root) {
        snub_place place = {"body", mistake.line > 0 ? mistake.line : 0, mistake.column > 0 ? mistake.column : 0, 0, 0};
        return snub_fail(error, SNUB_BAD_INPUT, &place, NULL, "not JSON: %s", mistake.text);
    }
    snub_status status = json_is_object(root)
                             ? read_root(root, arena, request, error)
                             : snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the body is not a JSON object");
    json_decref(root);
    return status;
}

snub_status serve_overlays(const serve_request *request, const snub_document *document, snub_arena *arena,
                           snub_overlay **overlays, const snub_hint **hints, snub_error *error)
{
    snub_overlay *list = SNUB_NEW(arena, snub_overlay, request->change_count + 1);
    if (!list)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (int i = 0; i < request->change_count; i++) {
        list[i].path = request->changes[i].path;
        list[i].value = request->values[i];
        list[i].place.file = serve_change_place;
        const snub_status status = snub_overlay_rename(document, arena, &list[i], hints, error);
        if (status)
            return status;
    }
    *overlays = list;
    return SNUB_OK;
}

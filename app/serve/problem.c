#include "problem.h"

#include <string.h>

#include "snub/json.h"

static const struct {
    unsigned status;
    const char *name, *title, *text;
} problems[] = {
    [SERVE_NO_KEY] = {401, "no-key", "The key is missing or wrong",
                      "snub serve makes a new key at every start, and prints it in the terminal as the end of its "
                      "address. Send it with every request, in the header Authorization: Bearer KEY."},
    [SERVE_WRONG_HOST] = {403, "wrong-host", "Wrong host name",
                          "The Host header is not an address of this server. Use the address that snub serve printed."},
    [SERVE_WRONG_ORIGIN] = {403, "wrong-origin", "Only snub's own page may send requests",
                            "The request came from a page of another origin, or says that another site sent it."},
    [SERVE_NOT_FOUND] = {404, "not-found", "Not found",
                         "The path is unknown, or the file is not in the served folder."},
    [SERVE_METHOD] = {405, "method", "Wrong method", "The Allow header lists the methods that this path takes."},
    [SERVE_CHANGED] = {412, "changed", "The file has changed on disk",
                       "Another program wrote the file after it was opened here. Nothing was written. Send the text "
                       "that the work began with as \"base\": then both are brought together."},
    [SERVE_EXISTS] = {412, "exists", "A file of that name is there",
                      "Nothing was written: a new file never replaces another. Give another name."},
    [SERVE_NO_PAPER] = {422, "no-paper", "Nothing was made", "The detail is what the program says on a terminal."},
    [SERVE_CLASH] =
        {409, "conflict", "Another program changed the same values",
         "Nothing was written. \"conflicts\" lists each value: as it was, as it is here, and as it is in the "
         "file on disk. Send \"picks\" that say which to keep."},
    [SERVE_NO_MATCH] = {428, "no-match", "No file version given",
                        "A save needs the text of the file that was opened as \"base\", or If-Match with its ETag, or "
                        "If-None-Match: * for a new file."},
    [SERVE_BODY_LARGE] = {413, "too-large", "Too large", "The request is over the limit on its size."},
    [SERVE_MEDIA_TYPE] = {415, "media-type", "Not JSON", "Bodies are application/json in UTF-8."},
    [SERVE_BAD_REQUEST] = {400, "bad-request", "Bad request",
                           "The body is not the JSON that this path takes. The detail says where."},
    [SERVE_FRAMING] = {400, "framing", "The length of the body is not clear",
                       "A body needs one Content-Length, and no Transfer-Encoding."},
    [SERVE_BAD_DRIVE] = {422, "bad-drive", "The drive file has errors",
                         "Each error has its line, column and key, what was found and what is needed."},
    [SERVE_NO_ANSWER] = {422, "no-answer", "This drive has no answer",
                         "The file is well formed, but the drive cannot be calculated. The error says "
                         "why and names the part."},
    [SERVE_BUSY] = {503, "busy", "Busy", "Too many requests at once. Try again in a moment."},
    [SERVE_DISK] = {507, "disk", "The file could not be written or read",
                    "System error; the detail gives the reason. The old file is unchanged."},
    [SERVE_NO_MEMORY] = {503, "no-memory", "Out of memory",
                         "The computer ran out of memory for this answer. Close other programs, then try again."},
    [SERVE_OWN_FAULT] = {500, "own-fault", "Internal error", "This is an error in snub. The detail says more."},
};

unsigned serve_problem_status(serve_problem problem)
{
    return problems[problem].status;
}

const char *serve_problem_text(const char *path)
{
    static const char prefix[] = "/problem/";
    if (strncmp(path, prefix, sizeof prefix - 1))
        return NULL;
    for (size_t i = 0; i < sizeof problems / sizeof *problems; i++)
        if (!strcmp(path + sizeof prefix - 1, problems[i].name))
            return problems[i].text;
    return NULL;
}

static json_t *error_json(const snub_error *error, const char *source, size_t source_length)
{
    snub_text rendered = {0};
    snub_error_render(error, source, source_length, &rendered);
    json_t *mistake = json_pack("{s:o, s:i, s:i, s:o, s:o, s:o, s:o, s:o}", "file",
                                snub_json_words(error->place.file ? error->place.file : ""), "line", error->place.line,
                                "column", error->place.column, "key", snub_json_words(error->key), "message",
                                snub_json_words(error->message), "got", snub_json_words(error->got), "need",
                                snub_json_words(error->need), "text", snub_json_grown(&rendered));
    return mistake;
}

json_t *serve_hints_json(const snub_hint *hints, const snub_bare *bare, const snub_placeholders *placeholders)
{
    const bool any_bare = bare && bare->count > 0;
    json_t *list = json_array();
    snub_error error;
    if (placeholders && placeholders->count > 0) {
        snub_placeholders_error(placeholders, &error);
        snub_json_append(list, error_json(&error, NULL, 0));
    }
    if (any_bare) {
        snub_bare_error(bare, &error);
        snub_json_append(list, error_json(&error, NULL, 0));
    }
    for (; hints; hints = hints->next) {
        snub_hint_error(hints, &error);
        snub_json_append(list, error_json(&error, NULL, 0));
    }
    return list;
}

struct json_t *serve_errors_json(const snub_errors *errors, const char *source, size_t source_length)
{
    json_t *list = json_array();
    for (int i = 0; errors && i < errors->count; i++)
        snub_json_append(list, error_json(&errors->items[i], source, source_length));
    return list;
}

struct json_t *serve_problem_tree(serve_problem problem, const char *detail, const snub_errors *errors,
                                  const snub_hint *hints, const char *source, size_t source_length)
{
    char type[48] = "/problem/";
    strncat(type, problems[problem].name, sizeof type - strlen(type) - 1);
    json_t *whole = json_pack("{s:s, s:s, s:i, s:o, s:o, s:i}", "type", type, "title", problems[problem].title,
                              "status", (int)problems[problem].status, "detail",
                              snub_json_words(detail && *detail ? detail : problems[problem].text), "errors",
                              serve_errors_json(errors, source, source_length), "more", errors ? errors->more : 0);
    if (hints)
        snub_json_put(whole, "hints", serve_hints_json(hints, NULL, NULL));
    return whole;
}

void serve_problem_json(serve_problem problem, const char *detail, const snub_errors *errors, const snub_hint *hints,
                        const char *source, size_t source_length, snub_text *out)
{
    json_t *whole = serve_problem_tree(problem, detail, errors, hints, source, source_length);
    if (snub_json_text(whole, SNUB_JSON_COMPACT, out, NULL) != SNUB_OK)
        out->failed = true;
    json_decref(whole);
}

void serve_problem_error(serve_problem problem, const snub_error *error, const snub_hint *hints, const char *source,
                         size_t source_length, snub_text *out)
{
    snub_errors one = {.items = (snub_error *)error, .count = 1};
    serve_problem_json(problem, error->message, &one, hints, source, source_length, out);
}

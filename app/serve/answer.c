/* Answers as JSON text. */
#include <jansson.h>
#include <stdlib.h>
#include <string.h>

#include "handlers.h"

void serve_json_text(snub_text *out, const char *text)
{
    json_t *value = json_string(text);
    if (!value) {
        json_t *shown = json_string("?");
        value = shown;
    }
    char *dump = value ? json_dumps(value, JSON_ENCODE_ANY | JSON_COMPACT) : NULL;
    snub_text_puts(out, dump ? dump : "null");
    free(dump);
    json_decref(value);
}

void serve_answer_problem(serve_answer *answer, serve_problem problem, const char *detail)
{
    answer->status = serve_problem_status(problem);
    serve_problem_json(problem, detail, NULL, answer->hints, NULL, 0, &answer->body);
}

void serve_answer_error(serve_answer *answer, serve_problem problem, const snub_error *error, const char *source,
                        size_t source_length)
{
    answer->status = serve_problem_status(problem);
    serve_problem_error(problem, error, answer->hints, source, source_length, &answer->body);
}

void serve_answer_drive(serve_answer *answer, const char *name, const char *data, size_t length)
{
    json_t *text = json_stringn(data, length);
    if (!text) {
        snub_error error = {0};
        snub_place place = {name, 0, 0, 0, 0};
        snub_fail(&error, SNUB_BAD_INPUT, &place, NULL, "the file is not UTF-8 text");
        answer->etag[0] = '\0';
        serve_answer_error(answer, SERVE_BAD_DRIVE, &error, NULL, 0);
        return;
    }
    serve_answer_json(answer, json_pack("{s:s, s:o, s:s}", "file", name, "text", text, "etag", answer->etag));
}

void serve_answer_json(serve_answer *answer, json_t *json)
{
    json_t *hints = serve_hints_json(answer->hints, answer->bare);
    if (json && hints)
        json_object_set(json, "hints", hints);
    json_decref(hints);
    char *dump = json ? json_dumps(json, JSON_COMPACT | JSON_REAL_PRECISION(SNUB_JSON_DIGITS)) : NULL;
    json_decref(json);
    if (!dump) {
        serve_answer_problem(answer, SERVE_OWN_FAULT, "out of memory");
        return;
    }
    answer->status = 200;
    snub_text_puts(&answer->body, dump);
    free(dump);
}

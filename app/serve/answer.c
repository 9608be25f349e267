/* Answers as JSON text. */
#include "handlers.h"
#include "snub/json.h"

void serve_json_text(snub_text *out, const char *text)
{
    json_t *value = snub_json_words(text);
    if (snub_json_text(value, SNUB_JSON_COMPACT, out, NULL) != SNUB_OK)
        out->failed = true;
    json_decref(value);
}

void serve_base64(snub_text *out, const char *data, size_t length)
{
    static const char digits[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    for (size_t i = 0; i < length; i += 3) {
        const size_t left = length - i < 3 ? length - i : 3;
        unsigned long three = 0;
        char four[4];
        for (size_t k = 0; k < 3; k++)
            three = three << 8 | (k < left ? (unsigned char)data[i + k] : 0U);
        for (size_t k = 0; k < 4; k++)
            four[k] = k <= left ? digits[(three >> (18 - 6 * k)) & 63] : '=';
        snub_text_add(out, four, sizeof four);
    }
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

void serve_answer_unmade(serve_answer *answer, snub_status status, const snub_error *error)
{
    serve_answer_problem(answer,
                         status == SNUB_STOPPED     ? SERVE_BUSY
                         : status == SNUB_NO_MEMORY ? SERVE_NO_MEMORY
                         : status == SNUB_TOO_LARGE ? SERVE_NO_PAPER
                                                    : SERVE_OWN_FAULT,
                         status == SNUB_STOPPED ? "stopped" : error->message);
}

static bool is_utf8(const char *at, size_t length)
{
    for (const char *end = at + length, *start = at; at < end; start = at)
        if (snub_utf8_next(&at, end) == 0xFFFD && at - start == 1)
            return false;
    return true;
}

void serve_answer_drive(serve_answer *answer, const char *name, const char *data, size_t length, json_t *taken,
                        const snub_version *mine)
{
    if (is_utf8(data, length)) {
        json_t *json = json_pack("{s:o, s:o, s:s}", "file", snub_json_words(name), "text",
                                 snub_json_words_n(data, length), "etag", answer->etag);
        if (taken)
            snub_json_put(json, "taken", taken);
        if (mine)
            snub_json_put(json, "mine", snub_json_words_n(mine->text, mine->length));
        serve_answer_json(answer, json);
        return;
    }
    json_decref(taken);
    snub_error error = {0};
    snub_place place = {name, 0, 0, 0, 0};
    snub_fail(&error, SNUB_BAD_INPUT, &place, NULL, "the file is not UTF-8 text");
    answer->etag[0] = '\0';
    serve_answer_error(answer, SERVE_BAD_DRIVE, &error, NULL, 0);
}

void serve_answer_json(serve_answer *answer, json_t *json)
{
    snub_error error;
    if (answer->hints || (answer->bare && answer->bare->count > 0) || answer->placeholders.count > 0)
        snub_json_put(json, "hints", serve_hints_json(answer->hints, answer->bare, &answer->placeholders));
    answer->status = 200;
    if (snub_json_text(json, answer->exact ? SNUB_JSON_EXACT : SNUB_JSON_COMPACT, &answer->body, &error) != SNUB_OK) {
        snub_text_free(&answer->body);
        serve_answer_problem(answer, SERVE_NO_MEMORY, NULL);
    }
    json_decref(json);
}

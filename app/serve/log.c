/* A data log against the build of the request: the calls of `snub log`. The log is read as it is taken out of the body;
 * nothing of it is kept. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "reading.h"
#include "snub/json.h"
#include "snub/trace_report.h"

enum {
    PIECE = 3 << 14,     /* bytes that are handed to the reader at a time */
    LINES_MOST = 5000000 /* more than that would hold up other questions */
};

/* What the page asks of it. */
typedef struct wanted {
    const char *name, *data; /* base64 of the file, text or gzip */
    size_t length;
    snub_log_wish wish;
    snub_log_source by;
    double pulses; /* 0: not given */
} wanted;

/* ---- what is asked ------------------------------------------------------------------------------------------------
 */

static snub_status wrong(snub_error *error, const char *key, const char *need)
{
    return snub_fail(error, SNUB_BAD_INPUT, NULL, key, "needs %s", need);
}

static int digit_of(char c)
{
    return c >= 'A' && c <= 'Z'   ? c - 'A'
           : c >= 'a' && c <= 'z' ? c - 'a' + 26
           : c >= '0' && c <= '9' ? c - '0' + 52
           : c == '+'             ? 62
           : c == '/'             ? 63
                                  : -1;
}

static bool is_base64(const char *data, size_t length)
{
    const size_t pads = length >= 4 && data[length - 1] == '=' ? (data[length - 2] == '=' ? 2 : 1) : 0;
    for (size_t i = 0; i < length - pads; i++)
        if (digit_of(data[i]) < 0)
            return false;
    return length % 4 == 0;
}

/* {"blower": "SC speed"} */
static snub_status read_choices(const json_t *json, const char *key, const char **list, snub_error *error)
{
    const char *word;
    json_t *value;
    if (json == NULL)
        return SNUB_OK;
    if (!json_is_object(json))
        return wrong(error, key, "an object");
    json_object_foreach((json_t *)(size_t)json, word, value)
    {
        int c = 0;
        while (c < SNUB_LOG_CHANNELS && strcmp(word, snub_log_words[c]) != 0)
            c++;
        if (c == SNUB_LOG_CHANNELS || !json_is_string(value) || *json_string_value(value) == '\0')
            return wrong(error, key, "time, engine, blower, throttle or boost, each with text");
        list[c] = json_string_value(value);
    }
    return SNUB_OK;
}

static snub_status read_source(const json_t *json, snub_log_source *by, snub_error *error)
{
    const char *word = json_string_value(json);
    if (json == NULL)
        return SNUB_OK;
    for (int i = 0; word != NULL && i < SNUB_LOG_SOURCES; i++)
        if (strcmp(word, snub_log_source_words[i]) == 0) {
            *by = (snub_log_source)i;
            return SNUB_OK;
        }
    return wrong(error, "by", "any, speed, boost or ripple");
}

static snub_status read_wanted(const json_t *root, wanted *w, snub_error *error)
{
    const json_t *log = json_object_get(root, "log"), *rate = json_object_get(log, "rate");
    const json_t *name = json_object_get(log, "name"), *data = json_object_get(log, "data");
    const double rate_most = 100e3;
    if (!json_is_string(name) || !json_is_string(data) || !is_base64(json_string_value(data), json_string_length(data)))
        return wrong(error, "log", "\"name\", and \"data\" in base64");
    *w = (wanted){.name = json_string_value(name), .data = json_string_value(data), .length = json_string_length(data)};
    if (rate != NULL && !(json_number_value(rate) > 0.0 && json_number_value(rate) <= rate_most))
        return wrong(error, "rate", "a number above 0 and at most 100000");
    w->wish.rate = json_number_value(rate);
    w->pulses = json_number_value(json_object_get(log, "pulses"));
    snub_status status = read_choices(json_object_get(log, "column"), "column", w->wish.column, error);
    if (status == SNUB_OK)
        status = read_choices(json_object_get(log, "unit"), "unit", w->wish.unit, error);
    if (status == SNUB_OK)
        status = read_source(json_object_get(log, "by"), &w->by, error);
    const bool given = w->pulses > 0.0 && w->pulses <= SNUB_LOG_PULSES_MOST;
    if (status == SNUB_OK && (w->by == SNUB_LOG_BY_RIPPLE ? !given : json_object_get(log, "pulses") != NULL))
        return wrong(error, "pulses",
                     "to be a number above 0 and at most 1000 with \"by\": \"ripple\", and to be left out else");
    return status;
}

/* ---- the log ------------------------------------------------------------------------------------------------------
 */

/* Four digits to three bytes; the last may end in "=". @return bytes */
static int decode_four(const char *four, char *out)
{
    const int pads = four[2] == '=' ? 2 : four[3] == '=' ? 1 : 0;
    unsigned long three = 0;
    for (int i = 0; i < 4; i++)
        three = three << 6 | (unsigned long)(i < 4 - pads ? digit_of(four[i]) : 0);
    for (int i = 0; i < 3 - pads; i++)
        out[i] = (char)(three >> (16 - 8 * i) & 0xFF);
    return 3 - pads;
}

static snub_status feed(snub_log_reader *reader, const wanted *w, char *piece, snub_error *error)
{
    int held = 0;
    for (size_t at = 0; at < w->length; at += 4) {
        held += decode_four(w->data + at, piece + held);
        if (held < PIECE && at + 4 < w->length)
            continue;
        const snub_status status = snub_log_feed(reader, piece, (size_t)held, error);
        if (status != SNUB_OK)
            return status;
        if (snub_log_read(reader)->lines > LINES_MOST)
            return snub_fail(
                error, SNUB_TOO_LARGE, NULL, NULL,
                "The log has more than %d lines, too many for the page. Read it by snub log on the command "
                "line.",
                LINES_MOST);
        held = 0;
    }
    return snub_log_finish(reader, error);
}

static json_t *answer_of(const snub_log_answer *found, const snub_locale *locale)
{
    return json_pack("{s:o, s:o}", "log", snub_json_log(found, locale), "curves", snub_json_log_curves(found));
}

static void give(serve_answer *answer, snub_status status, const snub_error *error)
{
    const serve_problem problem = status == SNUB_NO_MEMORY   ? SERVE_NO_MEMORY
                                  : status == SNUB_TOO_LARGE ? SERVE_BODY_LARGE
                                                             : SERVE_NO_ANSWER;
    serve_answer_error(answer, problem, error, NULL, 0);
}

static void read_log(serve_worker *worker, const snub_log_model *model, const serve_reading *read, const wanted *w,
                     serve_answer *answer)
{
    snub_log_offer offers[SNUB_LOG_OFFERS_MOST];
    int offer_count = 0;
    snub_error error = {0};
    snub_log_answer found;
    snub_log_reader *reader = NULL;
    snub_status status = snub_log_offers_find(&read->document, &read->how, model->build, offers, &offer_count);
    snub_log_finder *finder =
        status == SNUB_OK ? snub_log_finder_open(model, offers, offer_count, w->by, w->pulses) : NULL;
    char *piece = malloc(PIECE + 3);
    status = finder == NULL || piece == NULL
                 ? snub_fail(&error, SNUB_NO_MEMORY, NULL, NULL, "out of memory")
                 : snub_log_open(w->name, &w->wish, worker->units, snub_log_finder_row, finder, &reader, &error);
    if (status == SNUB_OK)
        status = feed(reader, w, piece, &error);
    if (status == SNUB_OK)
        status = snub_log_finder_end(finder, snub_log_read(reader), &found, &error);
    if (status == SNUB_OK)
        serve_answer_json(answer, answer_of(&found, &read->locale));
    else
        give(answer, status, &error);
    snub_log_finder_close(finder);
    snub_log_close(reader);
    free(piece);
}

static void compare(serve_worker *worker, const serve_request *request, wanted *w, serve_answer *answer)
{
    snub_error error = {0};
    snub_build *build = SNUB_NEW(&worker->arena, snub_build, 1);
    snub_log_model *model = SNUB_NEW(&worker->arena, snub_log_model, 1);
    if (build == NULL || model == NULL) {
        serve_answer_problem(answer, SERVE_NO_MEMORY, NULL);
        return;
    }
    const serve_reading *read = serve_read_build(worker, request, false, build, answer);
    if (read == NULL)
        return;
    w->wish.ambient = build->drive->air.pressure;
    const snub_status status = snub_log_model_make(build, model, &error);
    if (status == SNUB_OK)
        read_log(worker, model, read, w, answer);
    else
        give(answer, status, &error);
}

void serve_log(serve_worker *worker, const serve_request *request, const char *body, size_t length,
               serve_answer *answer)
{
    snub_error error = {0};
    wanted w;
    json_t *root = json_loadb(body, length, JSON_REJECT_DUPLICATES, NULL); /* its drive file is read already */
    if (root == NULL)
        serve_answer_problem(answer, SERVE_NO_MEMORY, NULL);
    else if (read_wanted(root, &w, &error) != SNUB_OK)
        serve_answer_error(answer, SERVE_BAD_REQUEST, &error, NULL, 0);
    else
        compare(worker, request, &w, answer);
    json_decref(root);
}

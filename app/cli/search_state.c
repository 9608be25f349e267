/* The state of a search. */
#include "search_state.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "snub/json.h"

/* Large enough for any search that anyone waits for. */
enum { STATE_BYTES_MOST = 256 << 20, FORMAT = 1 };

static json_t *numbers(const double *values, int count)
{
    json_t *list = json_array();
    for (int i = 0; i < count; i++)
        snub_json_append(list, snub_json_number(values[i]));
    return list;
}

static json_t *tried_json(const snub_tried *t, int count)
{
    const snub_measured *m = &t->came_to;
    json_t *object = json_object(), *counts = json_array();
    for (int i = 0; i <= SNUB_FAIL; i++)
        snub_json_append(counts, json_integer(m->counts[i]));
    snub_json_put(object, "at", numbers(t->value, count));
    snub_json_put(object, "whole", json_boolean(m->whole));
    snub_json_put(object, "over", snub_json_number(m->over));
    snub_json_put(object, "nearly", snub_json_number(m->nearly));
    snub_json_put(object, "of", numbers(m->of, SNUB_AIMS_));
    snub_json_put(object, "counts", counts);
    return object;
}

bool cli_write_search_state(cli_run *run, const char *path, const snub_search *search)
{
    json_t *root = json_object(), *list = json_array();
    snub_text text = {0};
    snub_error error;
    for (int i = 0; i < search->tried_count; i++)
        snub_json_append(list, tried_json(&search->tried[i], search->numbers));
    snub_json_put(root, "snub_search", json_integer(FORMAT));
    snub_json_put(root, "fingerprint", snub_json_words(search->digest));
    snub_json_put(root, "tried", list);
    snub_status status = snub_json_text(root, SNUB_JSON_EXACT, &text, &error);
    json_decref(root);
    bool good = status == SNUB_OK || (cli_error(&error, NULL, 0), false);
    good = good && cli_put(run, path, &text, CLI_PASS) == CLI_PASS;
    snub_text_free(&text);
    return good;
}

static bool read_numbers(const json_t *list, int count, double *values)
{
    if (!json_is_array(list) || json_array_size(list) != (size_t)count)
        return false;
    for (int i = 0; i < count; i++) {
        const json_t *value = json_array_get(list, (size_t)i);
        if (!json_is_number(value) && !json_is_null(value))
            return false;
        values[i] = json_is_null(value) ? (double)NAN : json_number_value(value);
    }
    return true;
}

static bool read_tried(const json_t *object, snub_tried *t)
{
    double counts[SNUB_FAIL + 1];
    snub_measured *m = &t->came_to;
    const json_t *at = json_object_get(object, "at"), *whole = json_object_get(object, "whole");
    const size_t size = json_array_size(at);
    if (size == 0 || size > SNUB_SEARCH_NUMBERS_MOST || !json_is_boolean(whole) ||
        !read_numbers(at, (int)size, t->value) || !read_numbers(json_object_get(object, "of"), SNUB_AIMS_, m->of) ||
        !read_numbers(json_object_get(object, "counts"), SNUB_FAIL + 1, counts) ||
        !json_is_number(json_object_get(object, "over")) || !json_is_number(json_object_get(object, "nearly")))
        return false;
    m->whole = json_is_true(whole);
    m->over = json_number_value(json_object_get(object, "over"));
    m->nearly = json_number_value(json_object_get(object, "nearly"));
    for (int i = 0; i <= SNUB_FAIL; i++)
        m->counts[i] = (int)counts[i];
    return true;
}

static bool take_state(cli_run *run, const char *path, const json_t *root, const char *digest, const snub_tried **tried,
                       int *count)
{
    const json_t *list = json_object_get(root, "tried");
    const char *of = json_string_value(json_object_get(root, "fingerprint"));
    if (json_integer_value(json_object_get(root, "snub_search")) != FORMAT || of == NULL || !json_is_array(list))
        return cli_usage_error(run, "%.200s is no state of a search", path), false;
    if (strcmp(of, digest) != 0)
        return cli_usage_error(run,
                               "%.200s is the state of another search: the drive file, a --set, --tries, --seed, the "
                               "variant or the package is not what it was. Give another name, or remove it.",
                               path),
               false;
    const size_t size = json_array_size(list);
    snub_tried *items = SNUB_NEW(&run->arena, snub_tried, size + 1);
    if (items == NULL)
        return cli_usage_error(run, "out of memory"), false;
    for (size_t i = 0; i < size; i++)
        if (!read_tried(json_array_get(list, i), &items[i]))
            return cli_usage_error(run, "%.200s is damaged: candidate %zu cannot be read", path, i + 1), false;
    *tried = items;
    *count = (int)size;
    return true;
}

bool cli_read_search_state(cli_run *run, const char *path, const char *digest, const snub_tried **tried, int *count)
{
    char *data = NULL;
    size_t length = 0;
    snub_error error;
    json_error_t wrong;
    *tried = NULL;
    *count = 0;
    if (access(path, F_OK) != 0)
        return true;
    if (snub_file_read(path, STATE_BYTES_MOST, &data, &length, &error) != SNUB_OK)
        return cli_error(&error, NULL, 0), false;
    json_t *root = json_loadb(data, length, JSON_REJECT_DUPLICATES, &wrong);
    free(data);
    const bool good = root != NULL
                          ? take_state(run, path, root, digest, tried, count)
                          : (cli_usage_error(run, "%.200s:%d: is no JSON: %s", path, wrong.line, wrong.text), false);
    json_decref(root);
    return good;
}

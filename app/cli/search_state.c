/* The state of a search. */
#include "search_state.h"

#include "snub/json.h"
#include "state_file.h"

static const cli_state_kind kind = {"snub_search", "a search",
                                    "the drive file, a --set, --tries, --seed, the variant or the package"};

static json_t *tried_json(const snub_tried *t, int count)
{
    const snub_candidate_measures *m = &t->came_to;
    json_t *object = json_object(), *counts = json_array();
    for (int i = 0; i <= SNUB_FAIL; i++)
        snub_json_append(counts, json_integer(m->counts[i]));
    snub_json_put(object, "at", cli_state_list(t->value, count));
    snub_json_put(object, "whole", json_boolean(m->whole));
    snub_json_put(object, "over", snub_json_number(m->over));
    snub_json_put(object, "nearly", snub_json_number(m->nearly));
    snub_json_put(object, "of", cli_state_list(m->of, SNUB_AIMS_));
    snub_json_put(object, "counts", counts);
    return object;
}

bool cli_write_search_state(cli_run *run, const char *path, const snub_search *search)
{
    json_t *root = json_object(), *list = json_array();
    for (int i = 0; i < search->tried_count; i++)
        snub_json_append(list, tried_json(&search->tried[i], search->numbers));
    snub_json_put(root, "tried", list);
    return cli_write_state(run, path, &kind, search->digest, root);
}

static bool read_tried(const json_t *object, snub_tried *t)
{
    double counts[SNUB_FAIL + 1];
    snub_candidate_measures *m = &t->came_to;
    const json_t *at = json_object_get(object, "at"), *whole = json_object_get(object, "whole");
    const size_t size = json_array_size(at);
    if (size == 0 || size > SNUB_SEARCH_NUMBERS_MOST || !json_is_boolean(whole) ||
        !cli_state_numbers(at, (int)size, t->value) ||
        !cli_state_numbers(json_object_get(object, "of"), SNUB_AIMS_, m->of) ||
        !cli_state_numbers(json_object_get(object, "counts"), SNUB_FAIL + 1, counts) ||
        !json_is_number(json_object_get(object, "over")) || !json_is_number(json_object_get(object, "nearly")))
        return false;
    m->whole = json_is_true(whole);
    m->over = json_number_value(json_object_get(object, "over"));
    m->nearly = json_number_value(json_object_get(object, "nearly"));
    for (int i = 0; i <= SNUB_FAIL; i++)
        m->counts[i] = (int)counts[i];
    return true;
}

static bool take_tried(cli_run *run, const char *path, const json_t *list, const snub_tried **tried, int *count)
{
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
    json_t *root;
    *tried = NULL;
    *count = 0;
    if (!cli_read_state(run, path, &kind, digest, &root))
        return false;
    const bool good = root == NULL || take_tried(run, path, json_object_get(root, "tried"), tried, count);
    json_decref(root);
    return good;
}

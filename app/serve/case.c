#include "case.h"

#include <jansson.h>
#include <string.h>

#include "change_value.h"
#include "snub/report.h"

/* Number of a word in a list that NULL ends; what is absent is the first. */
static snub_status read_word(const json_t *given, const char *key, const char *const *words, int first, int *number,
                             snub_error *error)
{
    const json_t *value = json_object_get(given, key);
    const char *word = json_string_value(value);
    *number = first;
    if (value == NULL || json_is_null(value))
        return SNUB_OK;
    for (int i = 0; word != NULL && words[i] != NULL; i++) {
        if (strcmp(word, words[i]) != 0)
            continue;
        *number = i;
        return SNUB_OK;
    }
    return snub_fail(error, SNUB_BAD_INPUT, NULL, "case", "case.%s is no word of `snub check --json`", key);
}

static snub_status read_words(const json_t *given, snub_wanted_state *wanted, snub_error *error)
{
    const char *ways[SNUB_WAYS + 1] = {NULL};
    int way = 0, belt = 0, side = 0, warmth = 0;
    for (int i = 0; i < SNUB_WAYS; i++)
        ways[i] = snub_way_text((snub_way)i);
    snub_status status = read_word(given, "case", ways, SNUB_STEADY, &way, error);
    if (!status)
        status = read_word(given, "belt", snub_belt_options, SNUB_SHOW_NOMINAL, &belt, error);
    if (!status)
        status = read_word(given, "arm_friction", snub_friction_options, 1, &side, error);
    if (!status)
        status = read_word(given, "warmth", snub_warmth_words, SNUB_ANY_WARMTH, &warmth, error);
    wanted->way = (snub_way)way;
    wanted->belt = (snub_shown_belt)belt;
    wanted->side = side - 1;
    wanted->warmth = (snub_warmth)warmth;
    return status;
}

static snub_status read_peak(const json_t *given, snub_arena *arena, snub_wanted_state *wanted, snub_error *error)
{
    const json_t *peak = json_object_get(given, "peak");
    if (peak == NULL || json_is_null(peak))
        return SNUB_OK;
    if (!json_is_string(peak))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "case", "case.peak needs a pulley's name, or \"all\"");
    wanted->peak =
        strcmp(json_string_value(peak), "all") == 0 ? SNUB_ALL_PEAKS : snub_copy_text(arena, json_string_value(peak));
    return wanted->peak != NULL ? SNUB_OK : snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

/* "belt.length=1926" as a change. */
static snub_status read_set(const json_t *item, snub_arena *arena, snub_change *change, snub_node **value,
                            snub_error *error)
{
    const char *text = json_string_value(item), *equals = text != NULL ? strchr(text, '=') : NULL;
    bool plain = equals != NULL && equals > text && equals - text <= SERVE_PATH_MOST;
    for (const char *at = text; plain && *at != '\0'; at++)
        plain = (unsigned char)*at >= 0x20 && *at != 0x7f;
    if (!plain || strlen(text) != json_string_length(item))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "case", "case.set needs texts of the form path=value");
    change->path = snub_copy_text_n(arena, text, (size_t)(equals - text));
    change->text = snub_copy_text(arena, equals + 1);
    if (change->path == NULL || change->text == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    return serve_word_node(change->text, arena, value, error);
}

static snub_status read_sets(const json_t *given, snub_arena *arena, serve_request *request, snub_error *error)
{
    const json_t *set = json_object_get(given, "set");
    const size_t count = json_array_size(set);
    if (set != NULL && !json_is_array(set))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "case", "case.set is not a list");
    if (count > SERVE_CHANGES_MOST)
        return snub_fail(error, SNUB_TOO_LARGE, NULL, "case", "more than %d in case.set", SERVE_CHANGES_MOST);
    request->sets = SNUB_NEW(arena, snub_change, count + 1);
    request->set_values = SNUB_NEW(arena, snub_node *, count + 1);
    if (request->sets == NULL || request->set_values == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    snub_status status = SNUB_OK;
    for (size_t i = 0; i < count && !status; i++)
        status = read_set(json_array_get(set, i), arena, &request->sets[i], &request->set_values[i], error);
    request->set_count = (int)count;
    return status;
}

bool serve_case_lay_over(serve_request *request, snub_arena *arena)
{
    const size_t own = (size_t)request->change_count, more = (size_t)request->set_count;
    if (more == 0)
        return true;
    snub_change *all = SNUB_NEW(arena, snub_change, own + more);
    snub_node **values = SNUB_NEW(arena, snub_node *, own + more);
    if (all == NULL || values == NULL)
        return false;
    if (own > 0) {
        memcpy(all, request->changes, own * sizeof *all);
        memcpy(values, request->values, own * sizeof *values);
    }
    memcpy(all + own, request->sets, more * sizeof *all);
    memcpy(values + own, request->set_values, more * sizeof *values);
    request->changes = all;
    request->values = values;
    request->change_count += request->set_count;
    return true;
}

snub_status serve_case_read(const json_t *given, snub_arena *arena, serve_request *request, snub_error *error)
{
    static const char *const known[] = {"engine_rpm", "case", "belt", "arm_friction", "warmth", "peak", "set"};
    const char *key;
    json_t *value;
    if (given == NULL || json_is_null(given))
        return SNUB_OK;
    if (!json_is_object(given))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "case", "case is not an object");
    json_object_foreach((json_t *)given, key, value)
    {
        bool found = false;
        for (size_t i = 0; i < sizeof known / sizeof *known; i++)
            found |= strcmp(key, known[i]) == 0;
        if (!found)
            return snub_fail(error, SNUB_BAD_INPUT, NULL, "case", "unknown key case.%s", key);
    }
    const json_t *rpm = json_object_get(given, "engine_rpm");
    if (!json_is_number(rpm) || !(json_number_value(rpm) >= 0.0 && json_number_value(rpm) <= SERVE_SPEED_MOST))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "case", "case.engine_rpm needs a number from 0 to %d",
                         SERVE_SPEED_MOST);
    request->wanted.speed = json_number_value(rpm) * SNUB_RPM;
    snub_status status = read_words(given, &request->wanted, error);
    if (!status)
        status = read_peak(given, arena, &request->wanted, error);
    if (!status)
        status = read_sets(given, arena, request, error);
    request->has_case = status == SNUB_OK;
    return status;
}

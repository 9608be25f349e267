/* A value of a change, as JSON brings it: as YAML on one line, and as the node that this line means. */
#include "change_value.h"

#include <stdlib.h>
#include <string.h>

#include "request.h"

const char serve_change_place[] = "change on the page";

/* Shortest of 15, 16, 17 digits that reads back the same: 0.1 stays 0.1 in the user's file. */
static void add_number(snub_text *out, double number)
{
    for (int digits = 15; digits <= 17; digits++) {
        snub_text trial = {0};
        double back;
        snub_text_printf(&trial, "%.*g", digits, number);
        bool same = trial.data && snub_parse_number(trial.data, NULL, &back) == SNUB_OK && back == number;
        if (same || digits == 17) {
            snub_text_puts(out, trial.data ? trial.data : "");
            snub_text_free(&trial);
            return;
        }
        snub_text_free(&trial);
    }
}

/* A double-quoted YAML scalar; control characters are refused before. */
static void add_quoted(snub_text *out, const char *text)
{
    snub_text_puts(out, "\"");
    for (; *text; text++) {
        if (*text == '"' || *text == '\\')
            snub_text_add(out, "\\", 1);
        snub_text_add(out, text, 1);
    }
    snub_text_puts(out, "\"");
}

/* Words that need no quotes in YAML and mean only themselves: names, and numbers with a unit. */
static bool plain_word(const char *text)
{
    static const char *const taken[] = {"null", "true", "false", "yes", "no", "on", "off", "y", "n"};
    if (!((*text >= 'a' && *text <= 'z') || (*text >= '0' && *text <= '9')))
        return false;
    if (text[strspn(text, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789._/ -")])
        return false;
    if (text[strlen(text) - 1] == ' ')
        return false;
    for (size_t i = 0; i < sizeof taken / sizeof *taken; i++)
        if (!strcmp(text, taken[i]))
            return false;
    double number;
    return snub_parse_number(text, NULL, &number) != SNUB_OK;
}

bool serve_controls(const char *text)
{
    for (; *text; text++)
        if ((unsigned char)*text < 0x20 || *text == 0x7f)
            return true;
    return false;
}

static void add_words(snub_text *out, const char *text)
{
    if (plain_word(text))
        snub_text_puts(out, text);
    else
        add_quoted(out, text);
}

static snub_status add_value(snub_text *out, const json_t *value, int depth, const char *path, snub_error *error);

/* A map in flow style. */
static snub_status add_map(snub_text *out, const json_t *map, int depth, const char *path, snub_error *error)
{
    const char *key;
    json_t *value;
    bool first = true;
    snub_text_puts(out, "{");
    json_object_foreach((json_t *)map, key, value)
    {
        if (serve_controls(key))
            return snub_fail(error, SNUB_BAD_INPUT, NULL, path, "a key has a control character");
        if (strlen(key) > SERVE_PATH_MOST) /* YAML gives up looking for the colon after 1024 bytes */
            return snub_fail(error, SNUB_BAD_INPUT, NULL, path, "a key is longer than %d bytes", SERVE_PATH_MOST);
        snub_text_puts(out, first ? "" : ", ");
        first = false;
        add_words(out, key);
        snub_text_puts(out, ": ");
        const snub_status status = add_value(out, value, depth + 1, path, error);
        if (status)
            return status;
    }
    snub_text_puts(out, "}");
    return SNUB_OK;
}

static snub_status add_value(snub_text *out, const json_t *value, int depth, const char *path, snub_error *error)
{
    if (json_is_null(value)) {
        snub_text_puts(out, "null");
    } else if (json_is_integer(value)) {
        snub_text_printf(out, "%lld", (long long)json_integer_value(value));
    } else if (json_is_real(value)) {
        add_number(out, json_real_value(value));
    } else if (json_is_boolean(value)) {
        snub_text_puts(out, json_is_true(value) ? "true" : "false");
    } else if (json_is_string(value)) {
        const char *text = json_string_value(value);
        if (strlen(text) != json_string_length(value) || serve_controls(text))
            return snub_fail(error, SNUB_BAD_INPUT, NULL, path, "a value has a control character");
        add_words(out, text);
    } else if (json_is_array(value) && depth < SERVE_DEPTH_MOST && json_array_size(value) <= SERVE_LIST_MOST) {
        snub_text_puts(out, "[");
        for (size_t i = 0; i < json_array_size(value); i++) {
            if (i)
                snub_text_puts(out, ", ");
            snub_status status = add_value(out, json_array_get(value, i), depth + 1, path, error);
            if (status)
                return status;
        }
        snub_text_puts(out, "]");
    } else if (json_is_object(value) && depth < SERVE_DEPTH_MOST && json_object_size(value) <= SERVE_LIST_MOST) {
        return add_map(out, value, depth, path, error);
    } else {
        return snub_fail(error, SNUB_BAD_INPUT, NULL, path,
                         "a value must be a number, text, true, false or null, or a list or map of at most %d of them",
                         SERVE_LIST_MOST);
    }
    return SNUB_OK;
}

snub_status serve_value_text(const json_t *value, const char *path, snub_text *out, snub_error *error)
{
    return add_value(out, value, 0, path, error);
}

/* ---- as a node --------------------------------------------------------------------------------------------------- */

static snub_status out_of_memory(snub_error *error)
{
    return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

static snub_status scalar(snub_node *node, const char *text, bool quoted, snub_arena *arena, const char *path,
                          snub_error *error)
{
    uint32_t point;
    if (snub_text_hidden(text, strlen(text), &point))
        return snub_fail(error, SNUB_BAD_INPUT, &node->place, path,
                         "has a character that does not show or is no character, U+%04X", (unsigned)point);
    node->text = snub_copy_text(arena, text);
    node->quoted = quoted;
    return node->text ? SNUB_OK : out_of_memory(error);
}

static snub_status new_node(snub_node_kind kind, int count, snub_arena *arena, snub_node **node, snub_error *error)
{
    *node = SNUB_NEW(arena, snub_node, 1);
    if (!*node)
        return out_of_memory(error);
    (*node)->kind = kind;
    (*node)->place.file = serve_change_place;
    (*node)->count = count;
    if (kind == SNUB_SCALAR)
        return SNUB_OK;
    (*node)->items = SNUB_NEW(arena, snub_node *, count ? count : 1);
    (*node)->keys = kind == SNUB_MAP ? SNUB_NEW(arena, snub_node *, count ? count : 1) : NULL;
    return (*node)->items && ((*node)->keys || kind == SNUB_LIST) ? SNUB_OK : out_of_memory(error);
}

static snub_status words_node(const char *text, snub_arena *arena, const char *path, snub_node **node,
                              snub_error *error)
{
    const snub_status status = new_node(SNUB_SCALAR, 0, arena, node, error);
    return status ? status : scalar(*node, text, !plain_word(text), arena, path, error);
}

static snub_status map_node(const json_t *map, const char *path, snub_arena *arena, snub_node **node, snub_error *error)
{
    const char *key;
    json_t *value;
    int at = 0;
    snub_status status = new_node(SNUB_MAP, (int)json_object_size(map), arena, node, error);
    if (status)
        return status;
    json_object_foreach((json_t *)map, key, value)
    {
        status = words_node(key, arena, path, &(*node)->keys[at], error);
        if (!status)
            status = serve_value_node(value, path, arena, &(*node)->items[at], error);
        if (status)
            return status;
        at++;
    }
    return SNUB_OK;
}

static snub_status list_node(const json_t *list, const char *path, snub_arena *arena, snub_node **node,
                             snub_error *error)
{
    snub_status status = new_node(SNUB_LIST, (int)json_array_size(list), arena, node, error);
    for (size_t i = 0; i < json_array_size(list) && !status; i++)
        status = serve_value_node(json_array_get(list, i), path, arena, &(*node)->items[i], error);
    return status;
}

snub_status serve_value_node(const json_t *value, const char *path, snub_arena *arena, snub_node **node,
                             snub_error *error)
{
    if (json_is_string(value))
        return words_node(json_string_value(value), arena, path, node, error);
    if (json_is_array(value))
        return list_node(value, path, arena, node, error);
    if (json_is_object(value))
        return map_node(value, path, arena, node, error);
    snub_text text = {0};
    snub_status status = add_value(&text, value, 0, path, error);
    if (!status && (text.failed || !text.data))
        status = out_of_memory(error);
    if (!status)
        status = new_node(SNUB_SCALAR, 0, arena, node, error);
    if (!status)
        status = scalar(*node, text.data, false, arena, path, error);
    snub_text_free(&text);
    return status;
}

snub_status serve_word_node(const char *text, snub_arena *arena, snub_node **node, snub_error *error)
{
    double number;
    const bool stands = plain_word(text) || snub_parse_number(text, NULL, &number) == SNUB_OK;
    if (!stands)
        return snub_node_from_text(text, serve_change_place, arena, node, error);
    const snub_status status = new_node(SNUB_SCALAR, 0, arena, node, error);
    return status ? status : scalar(*node, text, false, arena, "", error);
}

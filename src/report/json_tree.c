/* Trees of JSON that lose nothing in silence. */
#include <math.h>
#include <string.h>

#include "json_words.h"

/* Whether a tree that this thread makes has lost a part. It cannot stand in the tree itself: putting a mark there takes
 * memory, which is what ran out. scripts/state-check.sh knows it by name. */
static _Thread_local bool json_lost;

void snub_json_lose(void)
{
    json_lost = true;
}

void snub_json_begin(void)
{
    json_lost = false;
}

static json_t *noted(json_t *value)
{
    if (value == NULL)
        json_lost = true;
    return value;
}

json_t *snub_json_number(double value)
{
    if (!isfinite(value))
        return json_null();
    return noted(json_real(value == 0.0 ? 0.0 : value)); /* no "-0.0" */
}

/* The same text with U+FFFD for each byte that begins no whole character. */
static json_t *mended(const char *at, size_t length)
{
    const char *end = at + length;
    snub_text text = {0};
    while (at < end) {
        const char *start = at;
        if (snub_utf8_next(&at, end) == 0xFFFD)
            snub_text_puts(&text, "\xEF\xBF\xBD");
        else
            snub_text_add(&text, start, (size_t)(at - start));
    }
    json_t *json = text.failed || text.data == NULL ? NULL : json_stringn(text.data, text.length);
    snub_text_free(&text);
    return json;
}

json_t *snub_json_words_n(const char *text, size_t length)
{
    json_t *json = json_stringn(text, length);
    return noted(json != NULL ? json : mended(text, length));
}

json_t *snub_json_words(const char *text)
{
    return text != NULL ? snub_json_words_n(text, strlen(text)) : json_null();
}

json_t *snub_json_grown(snub_text *text)
{
    json_t *json = text->failed ? noted(NULL) : snub_json_words_n(text->data != NULL ? text->data : "", text->length);
    snub_text_free(text);
    return json;
}

json_t *snub_json_pair(double x, double y)
{
    return noted(json_pack("[o, o]", snub_json_number(x), snub_json_number(y)));
}

void snub_json_put(json_t *object, const char *key, json_t *value)
{
    /* gives the value back where it fails, and takes NULL for either */
    if (json_object_set_new(object, key, value) != 0)
        json_lost = true;
}

void snub_json_put_number(json_t *object, const char *key, double value)
{
    snub_json_put(object, key, snub_json_number(value));
}

void snub_json_append(json_t *list, json_t *value)
{
    if (json_array_append_new(list, value) != 0)
        json_lost = true;
}

json_t *snub_json_node(const snub_node *node, json_t *(*scalar)(const snub_node *node))
{
    if (node->kind == SNUB_SCALAR)
        return scalar(node);
    json_t *all = node->kind == SNUB_LIST ? json_array() : json_object();
    for (int i = 0; i < node->count; i++) {
        if (node->kind == SNUB_LIST)
            snub_json_append(all, snub_json_node(node->items[i], scalar));
        else
            snub_json_put(all, node->keys[i]->text, snub_json_node(node->items[i], scalar));
    }
    return all;
}

json_t *snub_json_whole(json_t *tree)
{
    const bool whole = noted(tree) != NULL && !json_lost;
    json_lost = false;
    if (whole)
        return tree;
    json_decref(tree);
    return NULL;
}

/* What does not show, or drives a terminal, goes by its number, which JSON reads as the same character. It can stand
 * in strings only, and jansson parts those between characters. */
static int take(const char *piece, size_t length, void *context)
{
    snub_text *out = context;
    const char *end = piece + length, *plain = piece;
    while (piece < end) {
        if (*piece >= ' ' && *piece <= '~') { /* nearly all of it */
            piece++;
            continue;
        }
        const char *start = piece;
        const uint32_t point = snub_utf8_next(&piece, end);
        if (!snub_utf8_is_hidden(point) || point == '\n')
            continue;
        snub_text_add(out, plain, (size_t)(start - plain));
        plain = piece;
        if (point > 0xFFFF)
            snub_text_printf(out, "\\u%04X\\u%04X", 0xD7C0 + (unsigned)(point >> 10),
                             0xDC00 + (unsigned)(point & 0x3FF));
        else
            snub_text_printf(out, "\\u%04X", (unsigned)point);
    }
    snub_text_add(out, plain, (size_t)(end - plain));
    return out->failed ? -1 : 0;
}

enum { ALL_DIGITS = 17 };

snub_status snub_json_text(const json_t *tree, snub_json_form form, snub_text *out, snub_error *error)
{
    const size_t flags = (form == SNUB_JSON_LINES ? JSON_INDENT(1) : JSON_COMPACT) | JSON_ENCODE_ANY |
                         JSON_REAL_PRECISION((size_t)(form == SNUB_JSON_EXACT ? ALL_DIGITS : SNUB_JSON_DIGITS));
    /* Not json_dumps: its writer of objects does not look whether a key went into its buffer (jansson 2.14), and the
     * text then lacks the key. A text of ours that failed once stays failed. */
    const bool good = tree != NULL && !json_lost && json_dump_callback(tree, take, out, flags) == 0;
    json_lost = false;
    snub_text_puts(out, form == SNUB_JSON_LINES ? "\n" : "");
    return good && !out->failed ? SNUB_OK : snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

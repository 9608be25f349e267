#include "keyed.h"

#include <string.h>

static bool fit_for_path(const char *word)
{
    return word[0] && !strchr(word, '.') && word[strspn(word, "0123456789")] != '\0';
}

bool snub_is_open_map(const snub_node *node)
{
    if (!node || node->kind != SNUB_MAP || node->count > SNUB_KEYS_MOST)
        return false;
    for (int i = 0; i < node->count; i++) {
        if (!node->keys[i]->text[0] || strchr(node->keys[i]->text, '.'))
            return false;
    }
    return true;
}

const char *snub_item_name(const snub_node *item)
{
    const snub_node *name = snub_node_get(item, "name");
    return name && name->kind == SNUB_SCALAR && fit_for_path(name->text) ? name->text : NULL;
}

const snub_node *snub_item_named(const snub_node *list, const char *name)
{
    for (int i = 0; list && i < list->count; i++) {
        const char *own = snub_item_name(list->items[i]);
        if (own && strcmp(own, name) == 0)
            return list->items[i];
    }
    return NULL;
}

bool snub_is_named_list(const snub_node *node)
{
    if (!node || node->kind != SNUB_LIST || node->count == 0 || node->count > SNUB_KEYS_MOST)
        return false;
    for (int i = 0; i < node->count; i++) {
        const char *name = snub_item_name(node->items[i]);
        if (!name || snub_item_named(node, name) != node->items[i])
            return false;
    }
    return true;
}

bool snub_same_order(const snub_node *a, const snub_node *b)
{
    bool same = a->count == b->count;
    for (int i = 0; same && i < a->count; i++)
        same = strcmp(snub_item_name(a->items[i]), snub_item_name(b->items[i])) == 0;
    return same;
}

const char *snub_path_below(snub_arena *arena, const char *path, const char *word, bool *failed)
{
    const char *made = path[0] ? snub_format(arena, "%s.%s", path, word) : word;
    *failed |= !made;
    return made ? made : "";
}

const char *snub_node_shown(const snub_node *node, snub_arena *arena, bool *failed)
{
    const char *text = node ? snub_node_flow(node, arena) : NULL;
    *failed |= node && !text;
    return text;
}

static bool same_spelling(const snub_node *a, const snub_node *b)
{
    return a->quoted == b->quoted && strcmp(a->text, b->text) == 0;
}

static bool same_scalar(const snub_node *a, const snub_node *b)
{
    double of_a, of_b;
    return same_spelling(a, b) || (!a->quoted && !b->quoted && snub_parse_number(a->text, NULL, &of_a) == SNUB_OK &&
                                   snub_parse_number(b->text, NULL, &of_b) == SNUB_OK && of_a == of_b);
}

static bool same(const snub_node *a, const snub_node *b, bool (*scalars)(const snub_node *, const snub_node *))
{
    if (a == b)
        return true;
    if (!a || !b || a->kind != b->kind || a->count != b->count)
        return false;
    if (a->kind == SNUB_SCALAR)
        return scalars(a, b);
    for (int i = 0; i < a->count; i++) {
        const snub_node *other = b->items[i];
        if (a->kind == SNUB_MAP && strcmp(a->keys[i]->text, b->keys[i]->text) != 0) {
            if (a->count > SNUB_KEYS_MOST)
                return false;
            other = snub_node_get(b, a->keys[i]->text);
        }
        if (!same(a->items[i], other, scalars))
            return false;
    }
    return true;
}

bool snub_values_same(const snub_node *a, const snub_node *b)
{
    return same(a, b, same_scalar);
}

bool snub_written_alike(const snub_node *a, const snub_node *b)
{
    return same(a, b, same_spelling);
}

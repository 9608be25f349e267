/** Paths through the tree of a document, and laying values over it. */
#include "tree.h"

#include <string.h>

bool snub_node_is_null(const snub_node *node)
{
    return node->kind == SNUB_SCALAR && !node->quoted &&
           (strcmp(node->text, "null") == 0 || strcmp(node->text, "~") == 0);
}

bool snub_node_is_blank(const snub_node *node)
{
    return node->kind == SNUB_SCALAR && !node->quoted && node->text[0] == '\0';
}

static bool same_word(const char *text, const char *word, size_t length)
{
    return strncmp(text, word, length) == 0 && text[length] == '\0';
}

int snub_node_key(const snub_node *map, const char *key, size_t length)
{
    if (map == NULL || map->kind != SNUB_MAP)
        return -1;
    for (int i = 0; i < map->count; i++) {
        if (same_word(map->keys[i]->text, key, length))
            return i;
    }
    return -1;
}

const snub_node *snub_node_get(const snub_node *map, const char *key)
{
    if (map == NULL || map->kind != SNUB_MAP)
        return NULL;
    for (int i = 0; i < map->count; i++) {
        const char *text = map->keys[i]->text;
        if (text[0] == key[0] && strcmp(text, key) == 0)
            return map->items[i];
    }
    return NULL;
}

bool snub_path_word(const char **path, const char **word, size_t *length)
{
    if (*path == NULL)
        return false;
    const char *dot = strchr(*path, '.');
    *word = *path;
    *length = dot != NULL ? (size_t)(dot - *path) : strlen(*path);
    *path = dot != NULL ? dot + 1 : NULL;
    return true;
}

/** The word as an index below count; -1 if it is none. */
static int word_index(const char *word, size_t length, int count)
{
    if (length == 0 || length > 6)
        return -1;
    int index = 0;
    for (size_t i = 0; i < length; i++) {
        if (word[i] < '0' || word[i] > '9')
            return -1;
        index = 10 * index + (word[i] - '0');
    }
    return index < count ? index : -1;
}

static int named_item(const snub_node *list, const char *word, size_t length)
{
    for (int i = 0; i < list->count; i++) {
        const snub_node *name = snub_node_get(list->items[i], "name");
        if (name != NULL && name->kind == SNUB_SCALAR && same_word(name->text, word, length))
            return i;
    }
    return -1;
}

const snub_node *snub_node_step(const snub_node *node, const char *word, size_t length, int *index)
{
    int i = -1;
    if (node->kind == SNUB_MAP)
        i = snub_node_key(node, word, length);
    else if (node->kind == SNUB_LIST) {
        i = word_index(word, length, node->count);
        if (i < 0)
            i = named_item(node, word, length);
    }
    if (index != NULL)
        *index = i;
    return i < 0 ? NULL : node->items[i];
}

bool snub_path_starts_at_pulley(const snub_node *root, const char *path)
{
    const char *word = NULL;
    size_t length = 0;
    const snub_node *pulleys = snub_node_get(root, "pulleys");
    if (!snub_path_word(&path, &word, &length))
        return false;
    /* `snub.slot.at` is the pulley's: the key `snub` has nothing below it */
    int key = snub_node_key(root, word, length);
    if (key >= 0 && (root->items[key]->kind != SNUB_SCALAR || path == NULL))
        return false;
    return pulleys != NULL && pulleys->kind == SNUB_LIST && named_item(pulleys, word, length) >= 0;
}

const snub_node *snub_node_at(const snub_node *tree, const char *path)
{
    const snub_node *node = tree;
    const char *word = NULL;
    size_t length = 0;
    if (snub_path_starts_at_pulley(node, path))
        node = snub_node_get(node, "pulleys");
    while (node != NULL && snub_path_word(&path, &word, &length))
        node = snub_node_step(node, word, length, NULL);
    const snub_node *value = node != NULL && node->kind == SNUB_MAP ? snub_node_get(node, "value") : NULL;
    return value != NULL ? value : node;
}

/* ---- laying over ------------------------------------------------------------------------------------------------- */

snub_node *snub_collection_copy(const snub_node *node, int extra, snub_arena *arena)
{
    snub_node *copy = SNUB_NEW(arena, snub_node, 1);
    int room = node->count + extra;
    if (copy == NULL)
        return NULL;
    *copy = *node;
    copy->items = SNUB_NEW(arena, snub_node *, room > 0 ? room : 1);
    if (copy->items == NULL)
        return NULL;
    for (int i = 0; i < node->count; i++)
        copy->items[i] = node->items[i];
    if (node->kind != SNUB_MAP || extra == 0)
        return copy;
    copy->keys = SNUB_NEW(arena, snub_node *, room);
    if (copy->keys == NULL)
        return NULL;
    for (int i = 0; i < node->count; i++)
        copy->keys[i] = node->keys[i];
    return copy;
}

typedef struct laying {
    const snub_overlay *overlay;
    snub_arena *arena;
    snub_error *error;
    snub_status status;
} laying;

static snub_node *refuse(laying *lay, const char *reason, const char *word, size_t length)
{
    lay->status = snub_fail(lay->error, SNUB_BAD_INPUT, &lay->overlay->place, lay->overlay->path, reason,
                            (int)(length < 60 ? length : 60), word);
    return NULL;
}

static snub_node *out_of_memory(laying *lay)
{
    lay->status = snub_fail(lay->error, SNUB_NO_MEMORY, &lay->overlay->place, lay->overlay->path, "out of memory");
    return NULL;
}

static snub_node *key_node(laying *lay, const char *word, size_t length)
{
    snub_node *key = SNUB_NEW(lay->arena, snub_node, 1);
    if (key == NULL)
        return NULL;
    key->kind = SNUB_SCALAR;
    key->place = lay->overlay->place;
    key->text = snub_copy_text_n(lay->arena, word, length);
    return key->text != NULL ? key : NULL;
}

static snub_node *put(laying *lay, const snub_node *node, const char *path);

/** The map with a key that it did not have. */
static snub_node *put_new_key(laying *lay, const snub_node *map, const char *word, size_t length, const char *rest)
{
    static const snub_node nothing = {.kind = SNUB_MAP};
    snub_node *value = put(lay, NULL, rest);
    if (value == NULL)
        return NULL;
    snub_node *copy = snub_collection_copy(map != NULL ? map : &nothing, 1, lay->arena);
    snub_node *key = copy != NULL ? key_node(lay, word, length) : NULL;
    if (key == NULL)
        return out_of_memory(lay);
    if (map == NULL)
        copy->place = lay->overlay->place;
    copy->keys[copy->count] = key;
    copy->items[copy->count++] = value;
    return copy;
}

/** The list with one more item at its end: one more bolt, one more obstacle. */
static snub_node *put_new_item(laying *lay, const snub_node *list, const char *rest)
{
    snub_node *item = put(lay, NULL, rest);
    if (item == NULL)
        return NULL;
    snub_node *copy = snub_collection_copy(list, 1, lay->arena);
    if (copy == NULL)
        return out_of_memory(lay);
    copy->items[copy->count++] = item;
    return copy;
}

static snub_node *put_child(laying *lay, const snub_node *node, int index, const char *rest)
{
    snub_node *child = put(lay, node->items[index], rest);
    if (child == NULL)
        return NULL;
    snub_node *copy = snub_collection_copy(node, 0, lay->arena);
    if (copy == NULL)
        return out_of_memory(lay);
    copy->items[index] = child;
    return copy;
}

/** The node (NULL: none there yet) with the overlay's value at the rest of its path. NULL with lay->status set. */
static snub_node *put(laying *lay, const snub_node *node, const char *path)
{
    const char *word = NULL;
    size_t length = 0;
    int index = -1;
    if (!snub_path_word(&path, &word, &length)) {
        if (node != NULL && lay->overlay->value->kind != SNUB_MAP && snub_node_get(node, "value") != NULL)
            return put_child(lay, node, snub_node_key(node, "value", 5), NULL);
        return (snub_node *)lay->overlay->value;
    }
    if (length == 0)
        return refuse(lay, "has an empty word in its path%.*s", "", 0);
    if (node != NULL && (snub_node_is_null(node) || snub_node_is_blank(node)))
        node = NULL;
    if (node == NULL)
        return put_new_key(lay, NULL, word, length, path);
    if (node->kind == SNUB_SCALAR)
        return refuse(lay, "leads into a plain value, which has no '%.*s'", word, length);
    if (snub_node_step(node, word, length, &index) != NULL)
        return put_child(lay, node, index, path);
    if (node->kind == SNUB_LIST && length == 1 && word[0] == '+')
        return put_new_item(lay, node, path);
    if (node->kind == SNUB_LIST)
        return refuse(lay, "leads into a list, which has no '%.*s'", word, length);
    return put_new_key(lay, node, word, length, path);
}

snub_status snub_tree_lay(const snub_node *root, const snub_overlay *overlay, snub_arena *arena, const snub_node **out,
                          snub_error *error)
{
    laying lay = {overlay, arena, error, SNUB_OK};
    snub_node *laid = NULL;
    int pulleys = -1;
    int words = 1;
    for (const char *dot = strchr(overlay->path, '.'); dot != NULL && words <= SNUB_DEPTH_MOST; words++)
        dot = strchr(dot + 1, '.');
    if (words > SNUB_DEPTH_MOST)
        return snub_fail(error, SNUB_BAD_INPUT, &overlay->place, NULL, "has too many words in its path");
    if (root == NULL || root->kind != SNUB_MAP)
        return snub_fail(error, SNUB_BAD_INPUT, &overlay->place, overlay->path, "needs a file with keys and values");
    if (snub_path_starts_at_pulley(root, overlay->path)) {
        pulleys = snub_node_key(root, "pulleys", 7);
        snub_node *list = put(&lay, root->items[pulleys], overlay->path);
        laid = list != NULL ? snub_collection_copy(root, 0, arena) : NULL;
        if (laid != NULL)
            laid->items[pulleys] = list;
        else if (list != NULL)
            out_of_memory(&lay);
    } else {
        laid = put(&lay, root, overlay->path);
    }
    if (laid == NULL)
        return lay.status;
    *out = laid;
    return SNUB_OK;
}

const snub_node *snub_tree_laid(const snub_document *document, const snub_overlay *overlays, int count,
                                snub_arena *arena)
{
    const snub_node *root = document->root;
    snub_error error;
    for (int i = 0; i < count; i++) {
        if (snub_tree_lay(root, &overlays[i], arena, &root, &error) != SNUB_OK)
            return NULL;
    }
    return root;
}

bool snub_tree_same(const snub_node *a, const snub_node *b)
{
    if (a->kind != b->kind || a->count != b->count)
        return false;
    if (a->kind == SNUB_SCALAR)
        return a->quoted == b->quoted && strcmp(a->text, b->text) == 0;
    for (int i = 0; i < a->count; i++) {
        if (a->kind == SNUB_MAP && strcmp(a->keys[i]->text, b->keys[i]->text) != 0)
            return false;
        if (!snub_tree_same(a->items[i], b->items[i]))
            return false;
    }
    return true;
}

/** Paths of options, variants and packages: that each leads to a value of the drive, and the changes that a map of
 *  them stands for. */
#include <string.h>

#include "offer_path.h"
#include "tree.h"

static bool word_is(const char *word, size_t length, const char *name)
{
    return strlen(name) == length && strncmp(name, word, length) == 0;
}

static const snub_key *find_key(const snub_key *keys, const char *word, size_t length)
{
    for (; keys != NULL && keys->name != NULL; keys++) {
        if (word_is(word, length, keys->name) || strcmp(keys->name, SNUB_ANY_KEY) == 0)
            return keys;
    }
    return NULL;
}

/** Keys that may follow a node: those of a list of keys and, where `more` is given, of another. */
typedef struct spot {
    const snub_node *node; /**< NULL where the file leaves it out */
    const snub_key *keys, *more;
} spot;

/** One step on; false where neither the file nor the format has it. */
static bool step(spot *at, const char *word, size_t length)
{
    const snub_node *child = at->node != NULL ? snub_node_step(at->node, word, length, NULL) : NULL;
    const bool in_list = at->node != NULL && at->node->kind == SNUB_LIST;
    if (in_list && child != NULL) {
        *at = (spot){child, at->keys, at->more};
        return true;
    }
    const snub_key *key = in_list ? NULL : find_key(at->keys, word, length);
    if (key == NULL && !in_list)
        key = find_key(at->more, word, length);
    if (in_list && word_is(word, length, "+")) {
        *at = (spot){0}; /* one more item: whatever it is, its reader knows */
        return true;
    }
    if (child == NULL && key == NULL)
        return false;
    *at = (spot){child, key != NULL ? key->inside : NULL, NULL};
    return true;
}

/** Keys by which no build may differ: they say what a pulley is called and which one is the crank. */
static bool fixed_key(const char *word, size_t length)
{
    return word_is(word, length, "name") || word_is(word, length, "role");
}

static const char *nearest_word(const snub_node *root, const snub_key *keys, const snub_key *more, bool first,
                                const char *word)
{
    const char *names[128 + SNUB_PULLEYS_MOST];
    int n = 0;
    for (; keys != NULL && keys->name != NULL && n < 64; keys++)
        names[n++] = keys->name;
    for (; more != NULL && more->name != NULL && n < 128; more++)
        names[n++] = more->name;
    const snub_node *pulleys = first ? snub_node_get(root, "pulleys") : NULL;
    for (int i = 0; pulleys != NULL && pulleys->kind == SNUB_LIST && i < pulleys->count && i < SNUB_PULLEYS_MOST; i++) {
        const snub_node *name = snub_node_get(pulleys->items[i], "name");
        if (name != NULL && name->kind == SNUB_SCALAR)
            names[n++] = name->text;
    }
    return strlen(word) > 40 ? NULL : snub_nearest(word, names, n);
}

bool snub_path_begins_well(const snub_node *root, const snub_overlay *overlay, snub_arena *arena, snub_error *error)
{
    const char *path = overlay->path, *word = NULL;
    size_t length = 0;
    spot at = {root, snub_root_keys, snub_hardware_root_keys};
    if (root->kind != SNUB_MAP || !snub_path_word(&path, &word, &length) || length == 0 ||
        snub_path_starts_at_pulley(root, overlay->path) || step(&at, word, length))
        return true;
    const char *shown = snub_copy_text_n(arena, word, length < 60 ? length : 60);
    const char *near = shown != NULL ? nearest_word(root, snub_root_keys, snub_hardware_root_keys, true, shown) : NULL;
    const snub_node *pulleys = snub_node_get(root, "pulleys");
    const snub_node *first = pulleys != NULL && pulleys->count > 0 ? snub_node_get(pulleys->items[0], "name") : NULL;
    if (find_key(snub_pulley_keys, word, length) != NULL)
        snub_fail(error, SNUB_BAD_INPUT, &overlay->place, overlay->path,
                  "belongs to a pulley: write its name and a dot before it, as in %.40s.%.60s",
                  first != NULL && first->kind == SNUB_SCALAR ? first->text : "pump", overlay->path);
    else
        snub_fail(error, SNUB_BAD_INPUT, &overlay->place, overlay->path,
                  "begins with no pulley or section of the file: there is no '%s'%s%s%s", shown != NULL ? shown : "",
                  near != NULL ? "; did you mean '" : "", near != NULL ? near : "", near != NULL ? "'?" : "");
    return false;
}

static void no_path(snub_reader *reader, const snub_node *root, const snub_node *key, const spot *at, bool first,
                    const char *word, size_t length)
{
    const char *shown = snub_copy_text_n(reader->arena, word, length < 60 ? length : 60);
    const char *near = shown != NULL ? nearest_word(root, at->keys, at->more, first, shown) : NULL;
    snub_read_wrong(reader, key, NULL,
                    first ? "is not a path in this file: there is no pulley or section '%s'%s"
                          : "is not a path in this file: there is no '%s'%s",
                    shown != NULL ? shown : "", snub_read_guess(reader, near));
}

bool snub_offer_path(snub_reader *reader, const snub_node *root, const snub_node *key)
{
    static const char *const closed[] = {"snub",    "title",    "kit_number", "house", "units",
                                         "options", "variants", "packages",   "search"};
    const char *path = key->text, *word = NULL;
    size_t length = 0;
    spot at = {root, snub_root_keys, snub_hardware_root_keys};
    const snub_node *pulleys = snub_node_get(root, "pulleys");
    int words = 0;
    bool in_pulley = false, named = snub_path_starts_at_pulley(root, path);
    if (named)
        at = (spot){pulleys, NULL, NULL};
    while (snub_path_word(&path, &word, &length)) {
        for (size_t i = 0; i < sizeof closed / sizeof closed[0] && words == 0 && !named; i++) {
            if (word_is(word, length, closed[i])) {
                snub_read_wrong(reader, key, "a path to a value of the drive", "cannot differ between builds");
                return false;
            }
        }
        bool enters = at.node != NULL && at.node == pulleys;
        if (length == 0 || !step(&at, word, length)) {
            no_path(reader, root, key, &at, words == 0, word, length);
            return false;
        }
        if (in_pulley && fixed_key(word, length)) {
            snub_read_wrong(reader, key, "a path to a value of the drive", "cannot differ between builds");
            return false;
        }
        in_pulley = enters;
        if (enters)
            at = (spot){at.node, snub_pulley_keys, snub_hardware_pulley_keys};
        words++;
    }
    return true;
}

/** Changes that a variant's entry stands for: a map under one word (`pump: {at: ..., diameter: ...}`) changes what
 *  stands in it and leaves the rest. */
static bool spreads(const snub_node *key, const snub_node *value)
{
    return value->kind == SNUB_MAP && strchr(key->text, '.') == NULL;
}

static void read_change(snub_reader *reader, const snub_node *root, const snub_node *key, const snub_node *value,
                        const char *path, snub_overlay *changes, int *count)
{
    snub_node full = *key;
    full.text = path;
    if (path == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    if (snub_offer_path(reader, root, &full))
        changes[(*count)++] = (snub_overlay){path, value, key->place};
}

bool snub_offer_changes(snub_reader *reader, const snub_node *root, const snub_node *map, snub_overlay **changes,
                        int *count)
{
    int room = 0;
    *count = 0;
    if (map->kind != SNUB_MAP) {
        snub_read_wrong(reader, map, "paths with the values that differ", "is not a map");
        return false;
    }
    for (int i = 0; i < map->count; i++)
        room += spreads(map->keys[i], map->items[i]) ? map->items[i]->count : 1;
    *changes = SNUB_NEW(reader->arena, snub_overlay, room > 0 ? room : 1);
    if (*changes == NULL) {
        snub_read_no_memory(reader);
        return false;
    }
    for (int i = 0; i < map->count; i++) {
        const snub_node *entry = map->keys[i], *value = map->items[i];
        snub_enter(reader, entry->text);
        if (spreads(entry, value) && value->count == 0)
            snub_read_wrong(reader, value, "keys with the values that differ", "is empty, so nothing differs");
        if (spreads(entry, value)) {
            for (int j = 0; j < value->count; j++)
                read_change(reader, root, value->keys[j], value->items[j],
                            snub_format(reader->arena, "%s.%s", entry->text, value->keys[j]->text), *changes, count);
        } else {
            read_change(reader, root, entry, value, entry->text, *changes, count);
        }
        snub_leave(reader);
    }
    return true;
}

bool snub_offer_same_path(const char *a, const char *b)
{
    static const char lead[] = "pulleys.";
    if (strncmp(a, lead, sizeof(lead) - 1) == 0)
        a += sizeof(lead) - 1;
    if (strncmp(b, lead, sizeof(lead) - 1) == 0)
        b += sizeof(lead) - 1;
    return strcmp(a, b) == 0;
}

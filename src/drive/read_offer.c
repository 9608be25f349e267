/** options and variants: what the kit offers, and the engine fronts it goes on. */
#include <string.h>

#include "sections.h"
#include "tree.h"

enum {
    TWICE_MOST = 500,    /**< longer lists are not searched for values that come twice */
    OPTIONS_MOST = 100,  /**< every reading goes through all of them: more would make a chart's time grow with */
    VARIANTS_MOST = 1000 /**< the square */
};

static bool word_is(const char *word, size_t length, const char *name)
{
    return strlen(name) == length && strncmp(name, word, length) == 0;
}

static const snub_key *find_key(const snub_key *keys, const char *word, size_t length)
{
    for (; keys != NULL && keys->name != NULL; keys++) {
        if (word_is(word, length, keys->name))
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
    const snub_key *key = find_key(at->keys, word, length);
    if (key == NULL)
        key = find_key(at->more, word, length);
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

/** A path of an option or variant must lead to a value that the file has or could have. */
static bool check_path(snub_reader *reader, const snub_node *root, const snub_node *key)
{
    static const char *const closed[] = {"snub", "title", "options", "variants"};
    const char *path = key->text, *word = NULL;
    size_t length = 0;
    spot at = {root, snub_root_keys, snub_hardware_root_keys};
    const snub_node *pulleys = snub_node_get(root, "pulleys");
    int words = 0;
    bool in_pulley = false, named = snub_path_starts_at_pulley(root, path);
    if (named)
        at = (spot){pulleys, NULL, NULL};
    while (snub_path_word(&path, &word, &length)) {
        for (int i = 0; i < 4 && words == 0 && !named; i++) {
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

/* ---- options ----------------------------------------------------------------------------------------------------- */

static void check_twice(snub_reader *reader, const snub_node *list)
{
    for (int i = 1; i < list->count && list->count <= TWICE_MOST; i++) {
        for (int j = 0; j < i; j++) {
            if (!snub_tree_same(list->items[i], list->items[j]))
                continue;
            snub_enter_item(reader, i);
            snub_read_wrong(reader, list->items[i], "each value once", "is repeated in options");
            snub_leave(reader);
            break;
        }
    }
}

static void read_option(snub_reader *reader, const snub_node *root, const snub_node *key, const snub_node *list,
                        snub_option *option)
{
    *option = (snub_option){.path = key->text, .place = key->place};
    if (!check_path(reader, root, key))
        return;
    if (list->kind != SNUB_LIST) {
        snub_read_wrong(reader, list, "a list in [ ]", "is not a list of values to choose from");
        return;
    }
    if (list->count == 0) {
        snub_read_wrong(reader, list, "at least one value", "has nothing to choose from");
        return;
    }
    check_twice(reader, list);
    option->count = list->count;
    option->values = (const snub_node **)list->items;
}

/** Two spellings of one path would make builds that do not differ. */
static bool same_path(const char *a, const char *b)
{
    static const char lead[] = "pulleys.";
    if (strncmp(a, lead, sizeof(lead) - 1) == 0)
        a += sizeof(lead) - 1;
    if (strncmp(b, lead, sizeof(lead) - 1) == 0)
        b += sizeof(lead) - 1;
    return strcmp(a, b) == 0;
}

static void read_options(snub_reader *reader, const snub_node *root, snub_drive *drive)
{
    const snub_node *map = snub_read_find(root, "options");
    if (map == NULL)
        return;
    if (map->kind != SNUB_MAP) {
        snub_read_wrong_key(reader, root, "options", "paths with lists of values", "is not a map");
        return;
    }
    if (map->count > OPTIONS_MOST) {
        snub_read_wrong_key(reader, root, "options", "at most 100", "have %d paths", map->count);
        return;
    }
    drive->options = SNUB_NEW(reader->arena, snub_option, map->count > 0 ? map->count : 1);
    if (drive->options == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    drive->option_count = map->count;
    snub_enter(reader, "options");
    for (int i = 0; i < map->count; i++) {
        snub_enter(reader, map->keys[i]->text);
        read_option(reader, root, map->keys[i], map->items[i], &drive->options[i]);
        for (int j = 0; j < i && map->count <= TWICE_MOST; j++) {
            if (same_path(drive->options[i].path, drive->options[j].path))
                snub_read_wrong(reader, map->keys[i], "each path once", "is repeated in options");
        }
        snub_leave(reader);
    }
    snub_leave(reader);
}

/* ---- variants ---------------------------------------------------------------------------------------------------- */

/** Changes that a variant's entry stands for: a map under one word (`pump: {at: ..., diameter: ...}`) changes what
 *  stands in it and leaves the rest. */
static bool spreads(const snub_node *key, const snub_node *value)
{
    return value->kind == SNUB_MAP && strchr(key->text, '.') == NULL;
}

static void read_change(snub_reader *reader, const snub_node *root, const snub_node *key, const snub_node *value,
                        const char *path, snub_variant *variant)
{
    snub_node full = *key;
    full.text = path;
    if (path == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    if (check_path(reader, root, &full))
        variant->changes[variant->count++] = (snub_overlay){path, value, key->place};
}

static void read_variant(snub_reader *reader, const snub_node *root, const snub_node *key, const snub_node *map,
                         snub_variant *variant)
{
    int room = 0;
    *variant = (snub_variant){.name = key->text, .place = key->place};
    if (map->kind != SNUB_MAP) {
        snub_read_wrong(reader, map, "paths with the values that differ", "is not a map");
        return;
    }
    for (int i = 0; i < map->count; i++)
        room += spreads(map->keys[i], map->items[i]) ? map->items[i]->count : 1;
    variant->changes = SNUB_NEW(reader->arena, snub_overlay, room > 0 ? room : 1);
    if (variant->changes == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    for (int i = 0; i < map->count; i++) {
        const snub_node *entry = map->keys[i], *value = map->items[i];
        snub_enter(reader, entry->text);
        if (spreads(entry, value)) {
            for (int j = 0; j < value->count; j++)
                read_change(reader, root, value->keys[j], value->items[j],
                            snub_format(reader->arena, "%s.%s", entry->text, value->keys[j]->text), variant);
        } else {
            read_change(reader, root, entry, value, entry->text, variant);
        }
        snub_leave(reader);
    }
}

static void read_variants(snub_reader *reader, const snub_node *root, snub_drive *drive)
{
    const snub_node *map = snub_read_find(root, "variants");
    if (map == NULL)
        return;
    if (map->kind != SNUB_MAP) {
        snub_read_wrong_key(reader, root, "variants", "names with what differs", "is not a map");
        return;
    }
    if (map->count > VARIANTS_MOST) {
        snub_read_wrong_key(reader, root, "variants", "at most 1000", "have %d names", map->count);
        return;
    }
    drive->variants = SNUB_NEW(reader->arena, snub_variant, map->count > 0 ? map->count : 1);
    if (drive->variants == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    drive->variant_count = map->count;
    snub_enter(reader, "variants");
    for (int i = 0; i < map->count; i++) {
        snub_enter(reader, map->keys[i]->text);
        read_variant(reader, root, map->keys[i], map->items[i], &drive->variants[i]);
        snub_leave(reader);
    }
    snub_leave(reader);
}

/** Every combination on the file's own front and on every variant. */
static void count_builds(snub_reader *reader, const snub_node *root, const snub_drive *drive)
{
    double builds = 1 + drive->variant_count;
    for (int i = 0; i < drive->option_count; i++)
        builds *= drive->options[i].count > 0 ? drive->options[i].count : 1;
    if (builds > SNUB_BUILDS_MOST)
        snub_read_wrong_key(reader, root, drive->option_count > 0 ? "options" : "variants",
                            snub_format(reader->arena, "at most %d", SNUB_BUILDS_MOST), "give %.0f builds", builds);
}

void snub_read_offer(snub_reader *reader, const snub_node *root, snub_drive *drive)
{
    read_options(reader, root, drive);
    read_variants(reader, root, drive);
    count_builds(reader, root, drive);
}

#include "three_way.h"

#include <string.h>

#include "keyed.h"
#include "tree.h"

enum { ONE_LINE_MOST = 400 /* bytes of a value that is written on one line */ };

/* ---- what is found ------------------------------------------------------------------------------------------------
 */

static bool grow(snub_three_way *way, void **items, int count, int *room, size_t size)
{
    if (count < *room)
        return true;
    const int wider = *room ? 2 * *room : 16;
    void *more = snub_alloc(way->arena, (size_t)wider, size);
    if (!more) {
        way->failed = true;
        return false;
    }
    if (count)
        memcpy(more, *items, (size_t)count * size);
    *items = more;
    *room = wider;
    return true;
}

void snub_three_way_clash(snub_three_way *way, snub_clash clash)
{
    void *items = way->clashes;
    if (!grow(way, &items, way->clash_count, &way->clash_room, sizeof *way->clashes))
        return;
    way->clashes = items;
    way->clashes[way->clash_count++] = clash;
}

void snub_three_way_take(snub_three_way *way, const char *path)
{
    void *items = (void *)way->taken;
    if (!grow(way, &items, way->taken_count, &way->taken_room, sizeof *way->taken))
        return;
    way->taken = items;
    way->taken[way->taken_count++] = path;
}

const snub_pick *snub_three_way_pick(const snub_three_way *way, const char *path, const char *theirs)
{
    for (int i = 0; i < way->pick_count; i++) {
        const snub_pick *pick = &way->picks[i];
        const bool seen = pick->theirs && theirs ? strcmp(pick->theirs, theirs) == 0 : pick->theirs == theirs;
        if (seen && strcmp(pick->path, path) == 0)
            return pick;
    }
    return NULL;
}

static const char *shown(snub_three_way *way, const snub_node *node)
{
    return snub_node_shown(node, way->arena, &way->failed);
}

static const char *step(snub_three_way *way, const char *path, const char *word)
{
    return snub_path_below(way->arena, path, word, &way->failed);
}

/* ---- the tree -----------------------------------------------------------------------------------------------------
 */

static const snub_node *decide(snub_three_way *way, const char *path, const snub_node *base, const snub_node *mine,
                               const snub_node *theirs)
{
    snub_clash clash = {path, shown(way, base), shown(way, mine), shown(way, theirs)};
    const snub_pick *pick = snub_three_way_pick(way, path, clash.theirs);
    if (pick)
        return pick->mine ? mine : theirs;
    snub_three_way_clash(way, clash);
    return theirs;
}

static snub_node *collection(snub_three_way *way, const snub_node *like, int room)
{
    snub_node *made = SNUB_NEW(way->arena, snub_node, 1);
    if (made) {
        *made = *like;
        made->count = 0;
        made->items = SNUB_NEW(way->arena, snub_node *, room + 1);
        made->keys = SNUB_NEW(way->arena, snub_node *, room + 1);
    }
    if (made && made->items && made->keys)
        return made;
    way->failed = true;
    return NULL;
}

static void put(snub_node *into, snub_node *key, const snub_node *value)
{
    if (!value)
        return;
    into->keys[into->count] = key;
    into->items[into->count++] = (snub_node *)value;
}

static const snub_node *merge_maps(snub_three_way *way, const char *path, const snub_node *base, const snub_node *mine,
                                   const snub_node *theirs)
{
    snub_node *made = collection(way, theirs, mine->count + theirs->count);
    for (int i = 0; made && i < theirs->count; i++) {
        const char *key = theirs->keys[i]->text;
        put(made, theirs->keys[i],
            snub_three_way_tree(way, step(way, path, key), snub_node_get(base, key), snub_node_get(mine, key),
                                theirs->items[i]));
    }
    for (int i = 0; made && i < mine->count; i++) {
        const char *key = mine->keys[i]->text;
        if (!snub_node_get(theirs, key))
            put(made, mine->keys[i],
                snub_three_way_tree(way, step(way, path, key), snub_node_get(base, key), mine->items[i], NULL));
    }
    return made;
}

/* The order is that of the side that changed it. Items that this side no longer has are looked at as well: the other
 * one may have changed them. */
static const snub_node *merge_named(snub_three_way *way, const char *path, const snub_node *base, const snub_node *mine,
                                    const snub_node *theirs)
{
    const bool by_mine = snub_same_order(base, theirs);
    const snub_node *first = by_mine ? mine : theirs, *second = by_mine ? theirs : mine;
    snub_node *made = collection(way, first, mine->count + theirs->count);
    for (int pass = 0; made && pass < 2; pass++) {
        const snub_node *list = pass ? second : first;
        for (int i = 0; i < list->count; i++) {
            const char *name = snub_item_name(list->items[i]);
            if (pass && snub_item_named(first, name))
                continue;
            put(made, NULL,
                snub_three_way_tree(way, step(way, path, name), snub_item_named(base, name),
                                    snub_item_named(mine, name), snub_item_named(theirs, name)));
        }
    }
    return made;
}

const snub_node *snub_three_way_tree(snub_three_way *way, const char *path, const snub_node *base,
                                     const snub_node *mine, const snub_node *theirs)
{
    if (snub_values_same(mine, theirs))
        return theirs;
    if (snub_values_same(base, mine)) {
        /* below a map, the keys that changed are named, not the map */
        if (!snub_is_open_map(base) || !snub_is_open_map(theirs)) {
            if (!(snub_is_named_list(base) && snub_is_named_list(theirs) && snub_same_order(base, theirs))) {
                snub_three_way_take(way, path);
                return theirs;
            }
        }
    } else if (snub_values_same(base, theirs)) {
        return mine;
    }
    if (snub_is_open_map(mine) && snub_is_open_map(theirs) && (!base || snub_is_open_map(base)))
        return merge_maps(way, path, base, mine, theirs);
    if (snub_is_named_list(base) && snub_is_named_list(mine) && snub_is_named_list(theirs) &&
        (snub_same_order(base, mine) || snub_same_order(base, theirs)))
        return merge_named(way, path, base, mine, theirs);
    return decide(way, path, base, mine, theirs);
}

/* ---- changes ------------------------------------------------------------------------------------------------------
 */

static void add_quoted(snub_text *out, const char *text)
{
    snub_text_puts(out, "\"");
    for (; *text; text++) {
        const unsigned char c = (unsigned char)*text;
        if (c == '"' || c == '\\')
            snub_text_printf(out, "\\%c", c);
        else if (c < 0x20 || c == 0x7F)
            snub_text_printf(out, "\\x%02X", c);
        else
            snub_text_add(out, text, 1);
    }
    snub_text_puts(out, "\"");
}

/* A value on one line, so that YAML reads it back as it is. */
static void add_value(snub_text *out, const snub_node *node)
{
    if (node->kind == SNUB_SCALAR && node->quoted) {
        add_quoted(out, node->text);
    } else if (node->kind == SNUB_SCALAR) {
        snub_text_puts(out, node->text[0] ? node->text : "null");
    } else {
        snub_text_puts(out, node->kind == SNUB_MAP ? "{" : "[");
        for (int i = 0; i < node->count; i++) {
            snub_text_puts(out, i ? ", " : "");
            if (node->kind == SNUB_MAP) {
                add_quoted(out, node->keys[i]->text);
                snub_text_puts(out, ": ");
            }
            add_value(out, node->items[i]);
        }
        snub_text_puts(out, node->kind == SNUB_MAP ? "}" : "]");
    }
}

/* A list of maps takes many lines in a file; on one line nobody would find his pulleys again. */
static bool holds_maps(const snub_node *list)
{
    bool found = false;
    for (int i = 0; list->kind == SNUB_LIST && i < list->count; i++)
        found = found || list->items[i]->kind == SNUB_MAP;
    return found;
}

static bool add_change(snub_three_way *way, const char *path, const snub_node *value, snub_change *changes, int most,
                       int *count)
{
    snub_text text = {0};
    add_value(&text, value);
    const bool fits = !holds_maps(value) && !text.failed && text.length <= ONE_LINE_MOST && *count < most;
    const char *copy = fits ? snub_copy_text(way->arena, text.data) : NULL;
    if (text.failed || (fits && !copy))
        way->failed = true;
    snub_text_free(&text);
    if (copy)
        changes[(*count)++] = (snub_change){path, copy};
    return copy != NULL;
}

static bool find_changes(snub_three_way *way, const char *path, const snub_node *have, const snub_node *want,
                         snub_change *changes, int most, int *count)
{
    if (have && snub_values_same(have, want))
        return true;
    const bool maps = have && snub_is_open_map(have) && snub_is_open_map(want);
    const bool lists = have && snub_is_named_list(have) && snub_is_named_list(want) && snub_same_order(have, want);
    if (!maps && !lists)
        return path[0] && add_change(way, path, want, changes, most, count);
    for (int i = 0; maps && i < have->count; i++) {
        if (!snub_node_get(want, have->keys[i]->text))
            return false; /* a key cannot be taken out of a text by writing a value */
    }
    for (int i = 0; i < want->count; i++) {
        const char *word = maps ? want->keys[i]->text : snub_item_name(want->items[i]);
        const snub_node *old = maps ? snub_node_get(have, word) : have->items[i];
        if (!find_changes(way, step(way, path, word), old, want->items[i], changes, most, count))
            return false;
    }
    return true;
}

int snub_three_way_changes(snub_three_way *way, const snub_node *have, const snub_node *want, snub_change *changes,
                           int most)
{
    int count = 0;
    return find_changes(way, "", have, want, changes, most, &count) ? count : -1;
}

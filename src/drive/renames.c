/** Names of before: one list, applied where a tree or an overlay is made, so that everything behind it knows the names
 *  of today alone.
 *
 *  A renamed key is a new node at the place of the old one: what is told of it, and what is written back, goes where
 * the file has it, and the file keeps its spelling. Nodes are copied, never changed: an alias may share them with a
 * place where the word is no name of before.
 */
#include <string.h>

#include "tree.h"

typedef enum rename_kind { KEY, KEY_INSIDE, WORD } rename_kind;

static const struct rename {
    rename_kind kind;
    const char *context, *old, *inner, *now;
} renames[] = {
#define SNUB_RENAME(context, old, now) {KEY, context, old, NULL, now},
#define SNUB_RENAME_INSIDE(context, old, inner, now) {KEY_INSIDE, context, old, inner, now},
#define SNUB_RENAME_WORD(context, old, now) {WORD, context, old, NULL, now},
#include "snub/rename_list.inc"
};
enum { RENAMES = (int)(sizeof renames / sizeof renames[0]), TRAIL_MOST = 6 /**< words; every context is shorter */ };

/** Where we are, by the names of today. Past TRAIL_MOST only the count goes on: nothing is renamed so deep. */
typedef struct trail {
    int count;
    struct {
        const char *word; /**< NULL: an item of a list */
        size_t length;
    } words[TRAIL_MOST];
} trail;

static trail further(const trail *at, const char *word, size_t length)
{
    trail on = *at;
    if (on.count < TRAIL_MOST) {
        on.words[on.count].word = word;
        on.words[on.count].length = length;
    }
    on.count++;
    return on;
}

static bool word_is(const char *word, size_t length, const char *name)
{
    return strlen(name) == length && strncmp(name, word, length) == 0;
}

static bool stands_at(const trail *at, const char *context)
{
    const char *word = NULL;
    size_t length = 0;
    int i = 0;
    for (; snub_path_word(&context, &word, &length); i++) {
        if (i >= at->count || i >= TRAIL_MOST)
            return false;
        bool any = length == 1 && word[0] == '*';
        bool same =
            at->words[i].word != NULL && length == at->words[i].length && strncmp(word, at->words[i].word, length) == 0;
        if (!any && !same)
            return false;
    }
    return i == at->count;
}

/** The rename of a key (or, `word`, of the value) at a place; NULL: none. */
static const struct rename *find(const trail *at, const char *text, size_t length, bool word)
{
    for (int i = 0; i < RENAMES; i++) {
        if ((renames[i].kind == WORD) == word && word_is(text, length, renames[i].old) &&
            stands_at(at, renames[i].context))
            return &renames[i];
    }
    return NULL;
}

const char *snub_renamed(const char *context, const char *old)
{
    for (int i = 0; i < RENAMES; i++) {
        if (strcmp(renames[i].context, context) == 0 && strcmp(renames[i].old, old) == 0)
            return renames[i].now;
    }
    return NULL;
}

void snub_hint_error(const snub_hint *hint, snub_error *error)
{
    memset(error, 0, sizeof *error);
    snub_fail(error, SNUB_OK, &hint->place, hint->old, "now called %s", hint->now);
}

/* ---- the walk ---------------------------------------------------------------------------------------------------- */

typedef struct renaming {
    const snub_node *root; /**< whose pulleys a path may begin with */
    snub_arena *arena;
    const snub_hint **hints; /**< may be NULL */
    snub_errors *errors;
    int wrong;
    bool no_memory;
} renaming;

static void *need(renaming *r, void *memory)
{
    r->no_memory = r->no_memory || memory == NULL;
    return memory;
}

static void hint(renaming *r, const snub_place *place, const struct rename *found)
{
    const snub_hint **end = r->hints;
    if (end == NULL)
        return;
    for (; *end != NULL; end = (const snub_hint **)&(*end)->next) {
        if (strcmp((*end)->old, found->old) == 0 && strcmp((*end)->now, found->now) == 0)
            return;
    }
    snub_hint *made = need(r, SNUB_NEW(r->arena, snub_hint, 1));
    if (made == NULL)
        return;
    *made = (snub_hint){*place, found->old, found->now, NULL};
    *end = made;
}

/** A scalar at the same place with another text. */
static snub_node *respelled(renaming *r, const snub_node *node, const char *text)
{
    snub_node *copy = need(r, SNUB_NEW(r->arena, snub_node, 1));
    if (copy == NULL)
        return NULL;
    *copy = *node;
    copy->text = text;
    copy->value = NULL;
    return copy;
}

/** A path by the names of today; the path itself where it has none of before.
 *  @param[in]  from   what the path begins at
 *  @param[out] ends   where it leads to
 *  @param[out] inner  it ends at a map of which only this key's value is meant; else NULL */
static const char *rename_path(renaming *r, const char *path, const snub_place *place, const trail *from, trail *ends,
                               const char **inner)
{
    const char *rest = path, *word = NULL;
    size_t length = 0;
    snub_text text = {0};
    bool any = false;
    *ends = *from;
    *inner = NULL;
    while (snub_path_word(&rest, &word, &length)) {
        const struct rename *found = find(ends, word, length, false);
        if (found != NULL) {
            hint(r, place, found);
            any = true;
            word = found->now;
            length = strlen(word);
        }
        if (text.length > 0)
            snub_text_puts(&text, ".");
        snub_text_add(&text, word, length);
        if (found != NULL && found->kind == KEY_INSIDE) {
            size_t more = strlen(found->inner);
            if (rest == NULL)
                *inner = found->inner;
            else if (strncmp(rest, found->inner, more) == 0 && (rest[more] == '\0' || rest[more] == '.'))
                rest = rest[more] == '.' ? rest + more + 1 : NULL;
        }
        *ends = further(ends, word, length);
    }
    const char *renamed = path;
    if (any)
        renamed = need(r, text.failed ? NULL : snub_copy_text(r->arena, text.data));
    snub_text_free(&text);
    return renamed;
}

/** What a path of options, of variants or of an overlay begins at.
 *  @param[in] goes_on  more words follow: `snub` alone is the format, `snub.at` is a pulley's */
static trail start_of(renaming *r, const char *path, bool goes_on)
{
    const trail top = {0};
    const char *whole = goes_on ? need(r, snub_format(r->arena, "%s.", path)) : path;
    return whole != NULL && snub_path_starts_at_pulley(r->root, whole) ? further(&top, "pulleys", 7) : top;
}

/** `{tension: 500}` is meant as 500; any other map stays, for the reader to refuse. */
static const snub_node *unwrapped(const snub_node *node, const char *inner)
{
    const snub_node *value = inner != NULL && node->count == 1 ? snub_node_get(node, inner) : NULL;
    return value != NULL ? value : node;
}

/** One thing by two names: told at the second, in the file's spelling. */
static void check_twice(renaming *r, const snub_node *map, const snub_node *renamed, int index)
{
    for (int i = 0; i < map->count; i++) {
        if (i == index || strcmp(renamed->keys[i]->text, renamed->keys[index]->text) != 0)
            continue;
        const snub_node *first = map->keys[i < index ? i : index], *second = map->keys[i < index ? index : i];
        snub_error error = {0};
        snub_fail(&error, SNUB_BAD_INPUT, &second->place, second->text, "means the same as '%.40s' in line %d",
                  first->text, first->place.line);
        memcpy(error.need, "one of the two", sizeof "one of the two");
        snub_errors_add(r->errors, &error);
        r->wrong++;
    }
}

/** What the keys of a map are. */
typedef enum map_kind {
    SECTION,  /**< keys */
    OPTIONS,  /**< paths, with lists of values */
    VARIANTS, /**< names of variants */
    PACKAGES, /**< names of packages */
    PACKAGE,  /**< what a package says; its `changes` are as a variant's */
    VARIANT,  /**< paths, or the first word of one with a map of what follows */
    SPREAD    /**< the paths that follow */
} map_kind;

static const snub_node *rename_map(renaming *r, const snub_node *map, const trail *at, map_kind kind);

/** The node with everything below it by the names of today. */
static const snub_node *rename_value(renaming *r, const snub_node *node, const trail *at)
{
    if (at->count > TRAIL_MOST)
        return node;
    if (node->kind == SNUB_MAP)
        return rename_map(r, node, at, SECTION);
    if (node->kind == SNUB_SCALAR) {
        const struct rename *found = find(at, node->text, strlen(node->text), true);
        if (found != NULL)
            hint(r, &node->place, found);
        return found != NULL ? respelled(r, node, found->now) : node;
    }
    const trail item = further(at, NULL, 0);
    snub_node *copy = NULL;
    for (int i = 0; i < node->count && !r->no_memory; i++) {
        const snub_node *value = rename_value(r, node->items[i], &item);
        if (value != node->items[i] && copy == NULL)
            copy = need(r, snub_collection_copy(node, 0, r->arena));
        if (copy != NULL)
            copy->items[i] = (snub_node *)value;
    }
    return copy != NULL ? copy : node;
}

/** The values of an option: each stands where its path leads. */
static const snub_node *rename_choices(renaming *r, const snub_node *list, const trail *at, const char *inner)
{
    snub_node *copy = need(r, snub_collection_copy(list, 0, r->arena));
    for (int i = 0; copy != NULL && i < list->count && !r->no_memory; i++)
        copy->items[i] = (snub_node *)unwrapped(rename_value(r, list->items[i], at), inner);
    return copy;
}

/** A section's key and value. */
static const char *rename_key(renaming *r, const snub_node *key, const trail *at, trail *below, const char **inner)
{
    const struct rename *found = find(at, key->text, strlen(key->text), false);
    const char *now = found != NULL ? found->now : key->text;
    if (found != NULL)
        hint(r, &key->place, found);
    *inner = found != NULL && found->kind == KEY_INSIDE ? found->inner : NULL;
    *below = further(at, now, strlen(now));
    return now;
}

/** What the keys are of a map that is a value. */
static map_kind kind_below(const snub_node *key, const trail *at, map_kind kind)
{
    if (kind == SECTION && at->count == 0 && strcmp(key->text, "options") == 0)
        return OPTIONS;
    if (kind == SECTION && at->count == 0 && strcmp(key->text, "variants") == 0)
        return VARIANTS;
    if (kind == SECTION && at->count == 0 && strcmp(key->text, "packages") == 0)
        return PACKAGES;
    if (kind == PACKAGES)
        return PACKAGE;
    if (kind == VARIANTS || kind == PACKAGE)
        return VARIANT;
    return kind == VARIANT && strchr(key->text, '.') == NULL ? SPREAD : SECTION;
}

/** A map's entry: its key by the name of today, and its value. */
static const char *rename_entry(renaming *r, const snub_node *map, int index, const trail *at, map_kind kind,
                                const snub_node **value)
{
    const snub_node *key = map->keys[index], *old = map->items[index];
    const char *inner = NULL, *now = key->text;
    trail below = *at;
    if (kind == SECTION) {
        now = rename_key(r, key, at, &below, &inner);
    } else if (kind != VARIANTS && kind != PACKAGES && kind != PACKAGE) {
        const bool spreads = kind_below(key, at, kind) == SPREAD && old->kind == SNUB_MAP;
        const trail from = kind == SPREAD ? *at : start_of(r, key->text, spreads);
        now = rename_path(r, key->text, &key->place, &from, &below, &inner);
    }
    if (kind == OPTIONS && old->kind == SNUB_LIST)
        *value = rename_choices(r, old, &below, inner);
    else if (old->kind == SNUB_MAP && below.count <= TRAIL_MOST)
        *value = unwrapped(rename_map(r, old, &below, kind_below(key, at, kind)), inner);
    else
        *value = rename_value(r, old, &below);
    return now;
}

static const snub_node *rename_map(renaming *r, const snub_node *map, const trail *at, map_kind kind)
{
    snub_node *copy = NULL;
    for (int i = 0; i < map->count && !r->no_memory; i++) {
        const snub_node *value = NULL;
        const char *now = rename_entry(r, map, i, at, kind, &value);
        if (r->no_memory || (now == map->keys[i]->text && value == map->items[i]))
            continue;
        if (copy == NULL)
            copy = need(r, snub_collection_copy(map, 1, r->arena));
        if (copy == NULL)
            break;
        copy->items[i] = (snub_node *)value;
        if (now != map->keys[i]->text)
            copy->keys[i] = need(r, respelled(r, map->keys[i], now));
    }
    if (r->no_memory || copy == NULL)
        return map;
    for (int i = 0; i < map->count; i++) {
        if (copy->keys[i] != map->keys[i])
            check_twice(r, map, copy, i);
    }
    return copy;
}

/* ---- who asks ---------------------------------------------------------------------------------------------------- */

snub_status snub_tree_rename(const snub_node *root, snub_arena *arena, snub_node **out, const snub_hint **hints,
                             snub_errors *errors)
{
    renaming r = {.root = root, .arena = arena, .hints = hints, .errors = errors};
    const trail top = {0};
    const snub_node *renamed = root->kind == SNUB_MAP ? rename_map(&r, root, &top, SECTION) : root;
    if (r.no_memory)
        return SNUB_NO_MEMORY;
    *out = (snub_node *)renamed;
    return r.wrong > 0 ? SNUB_BAD_INPUT : SNUB_OK;
}

snub_status snub_overlay_rename(const snub_document *document, snub_arena *arena, snub_overlay *overlay,
                                const snub_hint **hints, snub_error *error)
{
    snub_errors errors = {0};
    renaming r = {.root = document->root, .arena = arena, .hints = hints, .errors = &errors};
    const char *inner = NULL;
    trail at;
    const trail from = start_of(&r, overlay->path, false);
    const char *path = rename_path(&r, overlay->path, &overlay->place, &from, &at, &inner);
    const snub_node *value = unwrapped(rename_value(&r, overlay->value, &at), inner);
    snub_status status = SNUB_OK;
    if (r.no_memory)
        status = snub_fail(error, SNUB_NO_MEMORY, &overlay->place, NULL, "out of memory");
    else if (r.wrong > 0)
        status = SNUB_BAD_INPUT;
    if (status == SNUB_BAD_INPUT && error != NULL && errors.count > 0)
        *error = errors.items[0];
    snub_errors_free(&errors);
    if (status == SNUB_OK) {
        overlay->path = path;
        overlay->value = value;
    }
    return status;
}

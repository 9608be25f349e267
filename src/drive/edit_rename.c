/** A variant, a package or an option's path renamed: its key, and where packages exclude it by that name. */
#include "edit_rename.h"

#include <stdlib.h>
#include <string.h>

#include "offer_path.h"
#include "source.h"

/** Scalars that get the new name. */
typedef struct named {
    const snub_node **nodes;
    int count;
    bool quoted; /* the new name, as it is written */
} named;

static int size_of(const snub_node *node)
{
    int n = 1;
    for (int i = 0; node != NULL && node->kind != SNUB_SCALAR && i < node->count; i++)
        n += size_of(node->items[i]) + 1;
    return n;
}

static bool is_listed(const named *all, const snub_node *node)
{
    for (int i = 0; i < all->count; i++) {
        if (all->nodes[i] == node)
            return true;
    }
    return false;
}

static void add(named *all, const snub_node *node)
{
    if (!is_listed(all, node))
        all->nodes[all->count++] = node;
}

/* A name, or those of a list that are it. */
static void add_values(named *all, const snub_node *value, const char *name)
{
    if (value != NULL && value->kind == SNUB_SCALAR && strcmp(value->text, name) == 0)
        add(all, value);
    for (int i = 0; value != NULL && value->kind == SNUB_LIST && i < value->count; i++)
        add_values(all, value->items[i], name);
}

static void add_exclusion(named *all, const snub_node *map, bool variant, const char *name)
{
    if (variant)
        add_values(all, snub_node_get(map, "variant"), name);
    for (int i = 0; !variant && map->kind == SNUB_MAP && i < map->count; i++) {
        if (snub_offer_same_path(map->keys[i]->text, name))
            add(all, map->keys[i]);
    }
}

/* What packages say of a variant or an option. */
static void add_exclusions(named *all, const snub_node *root, bool variant, const char *name)
{
    const snub_node *packages = snub_node_get(root, "packages");
    for (int i = 0; packages != NULL && packages->kind == SNUB_MAP && i < packages->count; i++) {
        const snub_node *list =
            packages->items[i]->kind == SNUB_MAP ? snub_node_get(packages->items[i], "excludes") : NULL;
        for (int k = 0; list != NULL && list->kind == SNUB_LIST && k < list->count; k++) {
            if (list->items[k]->kind == SNUB_MAP)
                add_exclusion(all, list->items[k], variant, name);
        }
    }
}

static int by_place(const void *a, const void *b)
{
    const size_t x = (*(const snub_node *const *)a)->place.start, y = (*(const snub_node *const *)b)->place.start;
    return (x > y) - (x < y);
}

/* As the file has such names: a path needs no quotes for its dots. */
static bool is_path(const char *name)
{
    static const char plain[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-. ";
    return strspn(name, plain) == strlen(name) && name[0] > '9' && name[strlen(name) - 1] != ' ';
}

static void write_name(const char *name, snub_text *out)
{
    if (is_path(name))
        snub_text_puts(out, name);
    else
        snub_source_add_key(out, name, strlen(name));
}

static bool is_quoted(const char *name)
{
    snub_text text = {0};
    write_name(name, &text);
    const bool quoted = text.data != NULL && text.data[0] == '\'';
    snub_text_free(&text);
    return quoted;
}

static void write_names(const snub_document *document, const named *all, const char *name, snub_text *out)
{
    size_t at = 0;
    for (int i = 0; i < all->count; i++) {
        snub_source_add(document, at, all->nodes[i]->place.start, out);
        write_name(name, out);
        at = snub_source_node_end(document, all->nodes[i]);
    }
    snub_source_add(document, at, document->source_length, out);
}

/* NULL: memory is out. */
static snub_node *renamed(const snub_node *node, const named *all, const char *name, snub_arena *arena)
{
    snub_node *copy = SNUB_NEW(arena, snub_node, 1);
    if (copy == NULL)
        return NULL;
    *copy = *node;
    if (is_listed(all, node)) {
        copy->text = name;
        copy->quoted = all->quoted;
    }
    if (node->kind == SNUB_SCALAR || node->count == 0)
        return copy;
    copy->items = SNUB_NEW(arena, snub_node *, node->count);
    copy->keys = node->kind == SNUB_MAP ? SNUB_NEW(arena, snub_node *, node->count) : NULL;
    if (copy->items == NULL || (node->kind == SNUB_MAP && copy->keys == NULL))
        return NULL;
    for (int i = 0; i < node->count; i++) {
        copy->items[i] = renamed(node->items[i], all, name, arena);
        if (node->kind == SNUB_MAP)
            copy->keys[i] = renamed(node->keys[i], all, name, arena);
        if (copy->items[i] == NULL || (node->kind == SNUB_MAP && copy->keys[i] == NULL))
            return NULL;
    }
    return copy;
}

snub_status snub_edit_rename(const snub_document *document, const snub_node *in, int index, const char *name,
                             snub_arena *arena, snub_text *out, const snub_node **meant, snub_error *error)
{
    const snub_node *root = document->root, *key = in->keys[index];
    if (name[0] == '\0' || strpbrk(name, "\r\n") != NULL)
        return snub_fail(error, SNUB_BAD_INPUT, &key->place, key->text, "needs a name on one line");
    const bool variant = in == snub_node_get(root, "variants"), option = in == snub_node_get(root, "options");
    const snub_node *packages = snub_node_get(root, "packages");
    named all = {.nodes = SNUB_NEW(arena, const snub_node *, (packages != NULL ? size_of(packages) : 0) + 1)};
    if (all.nodes == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    all.quoted = is_quoted(name);
    add(&all, key);
    if (variant || option)
        add_exclusions(&all, root, variant, key->text);
    qsort((void *)all.nodes, (size_t)all.count, sizeof *all.nodes, by_place);
    write_names(document, &all, name, out);
    *meant = renamed(root, &all, name, arena);
    return *meant != NULL ? SNUB_OK : snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

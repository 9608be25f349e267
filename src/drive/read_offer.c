/** options and variants: what the kit offers, and the engine fronts it goes on. */
#include <string.h>

#include "offer_path.h"
#include "sections.h"
#include "tree.h"

enum {
    TWICE_MOST = 500,    /**< longer lists are not searched for values that come twice */
    OPTIONS_MOST = 100,  /**< every reading goes through all of them: more would make a chart's time grow with */
    VARIANTS_MOST = 1000 /**< the square */
};

/* ---- options ----------------------------------------------------------------------------------------------------- */

/* The same for values that are the same: most then need no look at each other. */
static unsigned sum_of(const snub_node *node)
{
    unsigned sum = (unsigned)node->kind;
    if (node->kind != SNUB_SCALAR) /* lists and maps are compared whole */
        return sum;
    for (const char *c = node->text; *c != '\0'; c++)
        sum = sum * 31U + (unsigned char)*c;
    return sum;
}

static void check_twice(snub_reader *reader, const snub_node *list)
{
    unsigned sums[TWICE_MOST];
    for (int i = 0; i < list->count && list->count <= TWICE_MOST; i++) {
        sums[i] = sum_of(list->items[i]);
        for (int j = 0; j < i; j++) {
            if (sums[i] != sums[j] || !snub_tree_same(list->items[i], list->items[j]))
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
    if (!snub_offer_path(reader, root, key))
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

static void read_options(snub_reader *reader, const snub_node *root, snub_drive *drive)
{
    const snub_node *map = snub_read_find(root, "options");
    snub_read_apart(reader, root, "options", SNUB_KEY_MAP, 0, OPTIONS_MOST);
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
            if (snub_offer_same_path(drive->options[i].path, drive->options[j].path))
                snub_read_wrong(reader, map->keys[i], "each path once", "is repeated in options");
        }
        snub_leave(reader);
    }
    snub_leave(reader);
}

/* ---- variants ---------------------------------------------------------------------------------------------------- */

static void read_variants(snub_reader *reader, const snub_node *root, snub_drive *drive)
{
    const snub_node *map = snub_read_find(root, "variants");
    snub_read_apart(reader, root, "variants", SNUB_KEY_MAP, 0, VARIANTS_MOST);
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
        snub_variant *variant = &drive->variants[i];
        *variant = (snub_variant){.name = map->keys[i]->text, .place = map->keys[i]->place};
        snub_offer_changes(reader, root, map->items[i], &variant->changes, &variant->count);
        snub_leave(reader);
    }
    snub_leave(reader);
}

void snub_read_offer(snub_reader *reader, const snub_node *root, snub_drive *drive)
{
    read_options(reader, root, drive);
    read_variants(reader, root, drive);
}

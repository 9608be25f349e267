/** contents: what the kit has beside the belt's plane. */
#include "hardware.h"
#include "supply.h"

const snub_key snub_content_keys[] = {
    {"name", NULL, SNUB_MEANS("What the item is called on the parts list, each name once.")},
    {"count", NULL, SNUB_MEANS("Pieces in the box; 0 leaves the item out of this build.")},
    SNUB_SUPPLY_KEYS,
    {"part", NULL, SNUB_MEANS("Key of a part of any kind in the catalogue.")},
    SNUB_NUMBER_KEY,
    {"bolt", snub_bolt_keys, SNUB_MEANS("Size of loose bolts in the box; they are counted with others of that size.")},
    {"note", NULL, SNUB_MEANS("Remark printed beside the item.")},
    {NULL, NULL, NULL},
};

enum { NOTE_MOST = 200 }; /* bytes: a line or two of a table */

static void read_loose(snub_reader *reader, const snub_node *map, snub_content *content)
{
    const snub_node *node = snub_read_find(map, "bolt");
    snub_read_apart(reader, map, "bolt", SNUB_KEY_MAP, 0, 0);
    if (node == NULL)
        return;
    if (snub_read_find(map, "part") != NULL)
        snub_read_wrong_key(reader, map, "bolt", "part or bolt; a bolt may have a `part` of its own",
                            "is given together with a part of the catalogue");
    content->bolted = true;
    snub_enter(reader, "bolt");
    if (node->kind == SNUB_MAP) {
        snub_refuse_supply(reader, node, "the row's own key, beside `bolt`");
        snub_read_refused(reader, "name");
        if (snub_read_find(node, "name") != NULL)
            snub_read_wrong_key(reader, node, "name", "the row's own key, beside `bolt`", "does not belong here");
    }
    snub_read_bolt(reader, node, false, 0, &content->bolt);
    snub_leave(reader);
    content->bolt.name = content->name;
    if (content->supply.number != NULL && content->bolt.supply.part != NULL)
        snub_read_wrong_key(reader, map, "number", "number or the bolt's part, not both",
                            "is given together with a part of the catalogue");
    content->supply.part = content->bolt.supply.part;
}

static void read_content(snub_reader *reader, const snub_node *map, const char **names, int index,
                         snub_content *content)
{
    *content = (snub_content){.name = "", .place = map->place, .count = 1};
    if (!snub_read_keys(reader, map, snub_content_keys, NULL))
        return;
    (void)snub_read_part(reader, "any", map); /* that there is one: a row takes no sizes from it */
    snub_read_item_name(reader, map, names, index, &content->name);
    snub_read_integer(reader, map, "count", 0, SNUB_CONTENT_COUNT_MOST, &content->count);
    snub_read_supply(reader, map, SNUB_SUPPLY_NEW, true, &content->supply);
    snub_read_text(reader, map, "note", NOTE_MOST, &content->note);
    read_loose(reader, map, content);
}

void snub_read_contents(snub_reader *reader, const snub_node *root, snub_drive *drive)
{
    const snub_node *list = snub_read_named_list(reader, root, "contents", SNUB_CONTENTS_MOST);
    if (list == NULL)
        return;
    drive->contents = SNUB_NEW(reader->arena, snub_content, list->count);
    const char **names = SNUB_NEW(reader->arena, const char *, list->count);
    if (drive->contents == NULL || names == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    drive->content_count = list->count;
    snub_enter(reader, "contents");
    for (int i = 0; i < list->count; i++) {
        snub_enter_item(reader, i);
        read_content(reader, list->items[i], names, i, &drive->contents[i]);
        names[i] = drive->contents[i].name;
        snub_leave(reader);
    }
    snub_leave(reader);
}

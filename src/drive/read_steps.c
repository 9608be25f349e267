/** steps: what the kit's designer says otherwise, adds or leaves out of the steps of fitting. */
#include <string.h>

#include "sections.h"

enum {
    CHANGES_MOST = 200,
    SAY_MOST = 600,    /**< bytes of a step's text */
    REASON_MOST = 200, /**< bytes */
    PATH_MOST = 1000   /**< bytes */
};

static const snub_key change_keys[] = {
    {"say", NULL, SNUB_MEANS("Words of this step on the fitting sheet, in place of the program's.")},
    {"after", NULL, SNUB_MEANS("Step that your own step comes after.")},
    {"before", NULL, SNUB_MEANS("Step that your own step comes before.")},
    {"leave_out", NULL, SNUB_MEANS("Reason why this step is not done; it then leaves the sheet.")},
    {"picture", NULL, SNUB_MEANS("SVG or PNG file shown with the step, beside the drive file; `none` for no picture.")},
    {NULL, NULL, NULL},
};
const snub_key snub_steps_keys[] = {{SNUB_ANY_KEY, change_keys, NULL}, {NULL, NULL, NULL}};

/* What cannot stand together, or alone. */
static void check_change(snub_reader *reader, const snub_node *map, const snub_step_change *change)
{
    const bool after = snub_read_find(map, "after") != NULL, before = snub_read_find(map, "before") != NULL;
    if (after && before)
        snub_read_wrong_key(reader, map, "before", "after or before, not both", "is given together with after");
    if (change->leave_out != NULL && change->say != NULL)
        snub_read_wrong_key(reader, map, "leave_out", "say or leave_out, not both", "is given together with say");
    else if (change->leave_out != NULL && change->anchor != NULL)
        snub_read_wrong_key(reader, map, "leave_out", "say beside after or before", "is given together with a place");
    else if (change->leave_out != NULL && snub_read_find(map, "picture") != NULL)
        snub_read_wrong_key(reader, map, "leave_out", "picture or leave_out, not both",
                            "is given together with picture");
    else if (change->anchor != NULL && snub_read_find(map, "say") == NULL && snub_read_find(map, "leave_out") == NULL)
        snub_read_wrong(reader, map, "say", "does not say what is to be done");
    else if (snub_read_find(map, "say") == NULL && snub_read_find(map, "leave_out") == NULL &&
             snub_read_find(map, "picture") == NULL)
        snub_read_wrong(reader, map, "say, picture, or leave_out with the reason", "does not say what is to be done");
}

/* `leave_out: true` says no reason. */
static void check_reason(snub_reader *reader, const snub_node *map)
{
    static const char *const words[] = {"true", "false", "yes", "no"};
    const snub_node *node = snub_read_find(map, "leave_out");
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (node != NULL && node->kind == SNUB_SCALAR && !node->quoted && strcmp(node->text, words[i]) == 0)
            snub_read_wrong_key(reader, map, "leave_out", "why the step is not done", "is no reason");
    }
}

/* Which picture stands beside the step: a file, or `none`. */
static void read_picture(snub_reader *reader, const snub_node *map, snub_step_change *change)
{
    const char *picture;
    if (!snub_read_text(reader, map, "picture", PATH_MOST, &picture))
        return;
    change->picture_place = snub_read_find(map, "picture")->place;
    change->no_picture = strcmp(picture, "none") == 0;
    change->picture = change->no_picture ? NULL : picture;
}

static void read_change(snub_reader *reader, const snub_node *map, snub_step_change *change)
{
    if (!snub_read_keys(reader, map, change_keys, NULL))
        return;
    snub_read_text(reader, map, "say", SAY_MOST, &change->say);
    snub_read_text(reader, map, "leave_out", REASON_MOST, &change->leave_out);
    change->before = snub_read_text(reader, map, "before", SAY_MOST, &change->anchor);
    const snub_node *anchor = snub_read_find(map, change->before ? "before" : "after");
    if (!change->before)
        snub_read_text(reader, map, "after", SAY_MOST, &change->anchor);
    if (anchor != NULL)
        change->anchor_place = anchor->place;
    read_picture(reader, map, change);
    check_change(reader, map, change);
    check_reason(reader, map);
}

void snub_read_steps(snub_reader *reader, const snub_node *root, snub_drive *drive)
{
    const snub_node *map = snub_read_find(root, "steps");
    snub_read_apart(reader, root, "steps", SNUB_KEY_MAP, 0, CHANGES_MOST);
    if (map == NULL)
        return;
    if (map->kind != SNUB_MAP || map->count > CHANGES_MOST) {
        snub_read_wrong_key(reader, root, "steps", "steps by their ids", "is not a map of at most 200 steps");
        return;
    }
    drive->step_changes = SNUB_NEW(reader->arena, snub_step_change, map->count > 0 ? map->count : 1);
    if (drive->step_changes == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    snub_enter(reader, "steps");
    for (int i = 0; i < map->count; i++) {
        snub_step_change *change = &drive->step_changes[drive->step_change_count++];
        *change = (snub_step_change){.id = map->keys[i]->text, .place = map->keys[i]->place};
        snub_enter(reader, change->id);
        read_change(reader, map->items[i], change);
        snub_leave(reader);
    }
    snub_leave(reader);
}

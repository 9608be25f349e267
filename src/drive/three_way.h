/** src/drive/three_way.h - trees of two sides that were changed from one (inside src/drive only). */
#ifndef SNUB_DRIVE_THREE_WAY_H
#define SNUB_DRIVE_THREE_WAY_H

#include "snub/drive.h"

typedef struct snub_three_way {
    snub_arena *arena;
    const snub_pick *picks;
    int pick_count;
    snub_clash *clashes; /**< growing, in the arena */
    int clash_count, clash_room;
    const char **taken; /**< paths that only the other side changed; growing, in the arena */
    int taken_count, taken_room;
    bool failed; /**< memory is out */
} snub_three_way;

/** The tree that both sides mean. A list whose items have names of their own is met item by item; any other list is one
 *  value. Clashes that no pick answers are added; the tree then has the other side's value there. */
const snub_node *snub_three_way_tree(snub_three_way *way, const char *path, const snub_node *base,
                                     const snub_node *mine, const snub_node *theirs);
/** The pick that answers a clash, or NULL: the other side's value must be the one that was shown. */
const snub_pick *snub_three_way_pick(const snub_three_way *way, const char *path, const char *theirs);
void snub_three_way_clash(snub_three_way *way, snub_clash clash);
void snub_three_way_take(snub_three_way *way, const char *path);

/** Changes that make one tree of another, as snub_document_rewrite takes them.
 *  @param[out] changes  room for `most`
 *  @return their count; -1 where it cannot be done so (something goes, or is too long for one line) */
int snub_three_way_changes(snub_three_way *way, const snub_node *have, const snub_node *want, snub_change *changes,
                           int most);

#endif

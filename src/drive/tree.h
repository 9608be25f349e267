/** src/drive/tree.h - paths through the tree of a document, and laying values over it (inside src/drive only). */
#ifndef SNUB_DRIVE_TREE_H
#define SNUB_DRIVE_TREE_H

#include <stdatomic.h>

#include "snub/drive.h"

/** What the reader has once read from a scalar, so that the next of thousands of readings need not parse it again.
 *  Threads that share a document meet here: `state` goes from empty to busy by one winner, who writes `si` and then
 *  releases the quantity; a reader that acquires another state than its quantity parses by itself. */
typedef struct snub_scalar_value {
    _Atomic int state; /**< SNUB_VALUE_EMPTY, SNUB_VALUE_BUSY, or 1 + snub_quantity */
    double si;
} snub_scalar_value;
enum { SNUB_VALUE_EMPTY = 0, SNUB_VALUE_BUSY = -1 };

/** A plain scalar `null`, `~`. */
bool snub_node_is_null(const snub_node *node);
/** A plain scalar with no text at all ("length:"). */
bool snub_node_is_blank(const snub_node *node);
/** Index of a key, -1 if there is none. */
int snub_node_key(const snub_node *map, const char *key, size_t length);

/** Next word of a dotted path. @return false at its end. An empty word has length 0. */
bool snub_path_word(const char **path, const char **word, size_t *length);

/** True where the first word of a path is a pulley's name rather than a top-level key. */
bool snub_path_starts_at_pulley(const snub_node *root, const char *path);

/** Child of a node by one word of a path: a map's key, a list's index, or the name of a pulley in the list of pulleys
 *  (the item whose `name` it is). NULL if there is none.
 *  @param[out] index  of the child, may be NULL */
const snub_node *snub_node_step(const snub_node *node, const char *word, size_t length, int *index);

/** What a file has at a path, as an overlay writes it; NULL: nothing. A map with a `value` stands for that value, as
 * when one is laid over. */
const snub_node *snub_node_at(const snub_node *root, const char *path);

/** A shallow copy of a list or a map with room for `extra` more items; a map's keys are shared with the one given where
 *  `extra` is 0. NULL: no memory. */
snub_node *snub_collection_copy(const snub_node *node, int extra, snub_arena *arena);

/** A tree in which a value stands at a path; what is not touched is shared with the tree given, which stays as it is.
 *  The first word is a top-level key or a pulley's name. Where the path leads to a map that has a `value` (as
 *  `diameter: {value: 80, over: outside}`), a value that is no map takes the place of that `value` only: a choice of 75
 *  stays an outside diameter. Maps on the way that are not there yet are made; `+` after a list is one more item at its
 *  end.
 *  @param[out] out  the new root
 *  @return SNUB_OK; SNUB_BAD_INPUT (no such path; place is the overlay's); SNUB_NO_MEMORY */
snub_status snub_tree_lay(const snub_node *root, const snub_overlay *overlay, snub_arena *arena, const snub_node **out,
                          snub_error *error);

/** The tree of a document with keys and words of before by their names of today, in the sections, in options and in
 *  variants. What is not renamed is shared with the tree given, which stays as it is.
 *  @param[in,out] hints   each name of before is added once
 *  @param[in,out] errors  one thing that stands there by both names, at the second
 *  @return SNUB_OK; SNUB_BAD_INPUT; SNUB_NO_MEMORY (no mistake added) */
snub_status snub_tree_rename(const snub_node *root, snub_arena *arena, snub_node **out, const snub_hint **hints,
                             snub_errors *errors);

/** Same shape, same texts; places do not count. */
bool snub_tree_same(const snub_node *a, const snub_node *b);

#endif

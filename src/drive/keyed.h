/** src/drive/keyed.h - maps and lists of a tree that are met entry by entry (inside src/drive only). */
#ifndef SNUB_DRIVE_KEYED_H
#define SNUB_DRIVE_KEYED_H

#include "snub/drive.h"

enum { SNUB_KEYS_MOST = 1000 /**< a larger collection is one value: its entries are looked up one by one */ };

/** A map whose keys can stand in a path. NULL: no. */
bool snub_is_open_map(const snub_node *node);
/** A list in which each item has a name of its own, as pulleys have. NULL: no. */
bool snub_is_named_list(const snub_node *node);
/** Name of an item, fit for a path; NULL: it has none. */
const char *snub_item_name(const snub_node *item);
/** Item of that name, or NULL. */
const snub_node *snub_item_named(const snub_node *list, const char *name);
/** Two lists with the same names in the same order? Both must be named lists. */
bool snub_same_order(const snub_node *a, const snub_node *b);

/** Path of what a word leads to. @param[out] failed  set where memory is out: "" is returned */
const char *snub_path_below(snub_arena *arena, const char *path, const char *word, bool *failed);
/** A value on one line. NULL: not there, or `failed` is set. */
const char *snub_node_shown(const snub_node *node, snub_arena *arena, bool *failed);

/** Same values, however they are written: maps in any order, plain numbers by what they are. NULL: not there. */
bool snub_values_same(const snub_node *a, const snub_node *b);
/** The same to the spelling; the order of keys is layout. NULL: not there. */
bool snub_written_alike(const snub_node *a, const snub_node *b);

#endif

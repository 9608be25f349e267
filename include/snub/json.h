/** json.h - trees of JSON that lose nothing in silence.
 *
 *  Every call of the JSON library may fail for want of memory, and one that is not looked at leaves a tree that lacks a
 *  part and looks whole. Here the result of each is looked at: what cannot be put into a tree is noted, for the thread
 *  that makes it, and the ways out of a tree, such as snub_json_text, refuse it then. No other file may
 *  set, append, copy text or write JSON by the library's own calls (scripts/include-check.py).
 */
#ifndef SNUB_JSON_H
#define SNUB_JSON_H

#include <jansson.h>

#include "snub/base.h"

enum {
    SNUB_JSON_DIGITS =
        12 /**< of a number: enough to compare by, few enough that rounding of the last bits does not show */
};

typedef enum snub_json_form {
    SNUB_JSON_LINES,   /**< a line for each value, indented, and a line's end after it: for people and programs */
    SNUB_JSON_COMPACT, /**< as short as can be: for the page */
    SNUB_JSON_EXACT    /**< compact, each number with all its digits: to compare two programs */
} snub_json_form;

/** A number, or null where there is none (NaN, infinite). */
json_t *snub_json_number(double value);
/** Text, or null for NULL. A byte that is no UTF-8 becomes U+FFFD: JSON has no place for it. */
json_t *snub_json_words(const char *text);
json_t *snub_json_words_n(const char *text, size_t length);
/** The words of a text that grew, which is freed; noted as lost where it failed. "" where nothing was added. */
json_t *snub_json_grown(snub_text *text);
json_t *snub_json_pair(double x, double y);

struct snub_node;
/** A node of a drive file with all that is below it. @param[in] scalar  makes the value of one */
json_t *snub_json_node(const struct snub_node *node, json_t *(*scalar)(const struct snub_node *node));

/** Set a key, taking the value over. Where either is NULL, or memory is out, that is noted. */
void snub_json_put(json_t *object, const char *key, json_t *value);
/** Append to a list, as snub_json_put. */
void snub_json_append(json_t *list, json_t *value);

/** Forget what this thread lost: a tree is begun. The ways out do so by themselves; for trees that may have been given
 * up. */
void snub_json_begin(void);
/** A tree as text, appended. Numbers have SNUB_JSON_DIGITS digits. The tree stays the caller's.
 *  @param[in] tree  NULL: it could not be made
 *  @return SNUB_OK; SNUB_NO_MEMORY: the tree lacks a part, or the text could not be made: what was appended is not to
 * be used; the note is forgotten */
snub_status snub_json_text(const json_t *tree, snub_json_form form, snub_text *out, snub_error *error);

#endif

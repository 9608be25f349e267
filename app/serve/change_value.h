/** A value of a change. */
#ifndef SNUB_SERVE_CHANGE_VALUE_H
#define SNUB_SERVE_CHANGE_VALUE_H

#include <jansson.h>

#include "snub/drive.h"

/** The file that a change's nodes name as their place. */
extern const char serve_change_place[];

/** Whether a text has characters that control a terminal. */
bool serve_controls(const char *text);

/** As YAML in flow style, on one line; appended.
 *  @param[in] path  of the change, for the error
 *  @return SNUB_OK; SNUB_BAD_INPUT (control characters, too deep, too long) */
snub_status serve_value_text(const json_t *value, const char *path, snub_text *out, snub_error *error);

/** As the node that this text is parsed to.
 *  @param[in] value  that serve_value_text takes
 *  @return SNUB_OK; SNUB_BAD_INPUT (characters that do not show); SNUB_NO_MEMORY */
snub_status serve_value_node(const json_t *value, const char *path, snub_arena *arena, snub_node **node,
                             snub_error *error);

/** A value as --set writes it. One word or number stands for itself; all else is YAML.
 *  @return as snub_node_from_text */
snub_status serve_word_node(const char *text, snub_arena *arena, snub_node **node, snub_error *error);

#endif

/* Helpers of the JSON writers; private to the room. */
#ifndef SNUB_JSON_WORDS_H
#define SNUB_JSON_WORDS_H

#include <jansson.h>

#include "snub/report.h"

#define SNUB_RAD_S_TO_RPM (30.0 / SNUB_PI)
#define SNUB_RAD_TO_DEG (180.0 / SNUB_PI)
/** Key that marks an object whose filling failed for lack of memory. */
#define SNUB_JSON_BROKEN "\x1f"

/** Text, or null for NULL. */
json_t *snub_json_words(const char *text);
/** Set a key, taking over the value; marks the object where memory is out. NULL-safe. */
void snub_json_put(json_t *object, const char *key, json_t *value);
bool snub_json_whole(const json_t *object);
json_t *snub_json_pair(double x, double y);

#endif

/* All errors of one reading. */
#include "snub/base.h"

#include <stdlib.h>
#include <string.h>

/* Rooms for 8, 16, ... errors: grown whenever the count has just reached a full one. */
static bool is_full(int count)
{
    return count == 0 || (count >= 8 && (count & (count - 1)) == 0);
}

void snub_errors_free(snub_errors *errors)
{
    if (!errors)
        return;
    free(errors->items);
    *errors = (snub_errors){0};
}

static bool same_error(const snub_error *a, const snub_error *b)
{
    const bool same_file =
        a->place.file == b->place.file || (a->place.file && b->place.file && strcmp(a->place.file, b->place.file) == 0);
    return a->code == b->code && same_file && a->place.line == b->place.line && a->place.column == b->place.column &&
           strcmp(a->key, b->key) == 0 && strcmp(a->message, b->message) == 0 && strcmp(a->got, b->got) == 0;
}

/* The rows of a kit share their values: one that is wrong is met in many of them, and is one mistake. */
static bool is_known(const snub_errors *errors, const snub_error *error)
{
    for (int i = errors->count - 1; i >= 0; i--)
        if (same_error(&errors->items[i], error))
            return true;
    return false;
}

void snub_errors_add(snub_errors *errors, const snub_error *error)
{
    if (is_known(errors, error))
        return;
    if (errors->count >= SNUB_ERRORS_MOST) {
        errors->more++;
        return;
    }
    if (is_full(errors->count)) {
        size_t room = errors->count ? 2 * (size_t)errors->count : 8;
        snub_error *items = realloc(errors->items, room * sizeof *items);
        if (!items) {
            errors->more++;
            return;
        }
        errors->items = items;
    }
    errors->items[errors->count++] = *error;
}

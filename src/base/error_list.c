/* All errors of one reading. */
#include "snub/base.h"

#include <stdlib.h>

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

void snub_errors_add(snub_errors *errors, const snub_error *error)
{
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

/* All mistakes of one reading. */
#include "snub/base.h"

#include <stdlib.h>

/* Rooms for 8, 16, ... mistakes: grown whenever the count has just reached a full one. */
static bool is_full(int count)
{
    return count == 0 || (count >= 8 && (count & (count - 1)) == 0);
}

void snub_mistakes_free(snub_mistakes *mistakes)
{
    if (!mistakes)
        return;
    free(mistakes->items);
    *mistakes = (snub_mistakes){0};
}

void snub_mistakes_add(snub_mistakes *mistakes, const snub_error *error)
{
    if (mistakes->count >= SNUB_MISTAKES_MOST) {
        mistakes->more++;
        return;
    }
    if (is_full(mistakes->count)) {
        size_t room = mistakes->count ? 2 * (size_t)mistakes->count : 8;
        snub_error *items = realloc(mistakes->items, room * sizeof *items);
        if (!items) {
            mistakes->more++;
            return;
        }
        mistakes->items = items;
    }
    mistakes->items[mistakes->count++] = *error;
}

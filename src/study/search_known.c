/* Candidates by their values on the grid: a table with open addressing, at most half full. */
#include "search_known.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { ROOM_FIRST = 512 };

static size_t hash_of(const double *value, int numbers)
{
    const uint64_t hash = snub_bytes_hash(value, sizeof *value * (size_t)numbers);
    return (size_t)(hash ^ hash >> 32);
}

/* Where it is, or where it would be. */
static size_t slot_of(const snub_known *known, const snub_tried *tried, const double *value, int numbers)
{
    size_t at = hash_of(value, numbers) & (known->room - 1);
    while (known->slots[at] != 0 &&
           memcmp(tried[known->slots[at] - 1].value, value, sizeof *value * (size_t)numbers) != 0)
        at = (at + 1) & (known->room - 1);
    return at;
}

int snub_known_find(const snub_known *known, const snub_tried *tried, const double *value, int numbers)
{
    return known->room == 0 ? -1 : known->slots[slot_of(known, tried, value, numbers)] - 1;
}

static bool grow(snub_known *known, const snub_tried *tried, int numbers)
{
    snub_known more = {.room = known->room > 0 ? 2 * known->room : ROOM_FIRST, .count = known->count};
    more.slots = calloc(more.room, sizeof *more.slots);
    if (more.slots == NULL)
        return false;
    for (size_t i = 0; i < known->room; i++)
        if (known->slots[i] != 0)
            more.slots[slot_of(&more, tried, tried[known->slots[i] - 1].value, numbers)] = known->slots[i];
    free(known->slots);
    *known = more;
    return true;
}

bool snub_known_note(snub_known *known, const snub_tried *tried, int place, int numbers)
{
    if (2 * (size_t)(known->count + 1) > known->room && !grow(known, tried, numbers))
        return false;
    int *slot = &known->slots[slot_of(known, tried, tried[place].value, numbers)];
    known->count += *slot == 0;
    *slot = place + 1;
    return true;
}

void snub_known_free(snub_known *known)
{
    free(known->slots);
    *known = (snub_known){0};
}

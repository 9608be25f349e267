/** A table over two things: rising numbers of each, and a row of values for every number of the first. */
#include "sections.h"

bool snub_read_rising(snub_reader *reader, const snub_node *map, const char *key, int count, const double *values)
{
    for (int i = 1; i < count; i++) {
        if (!(values[i] > values[i - 1])) {
            snub_read_wrong_key(reader, map, key, "strictly rising numbers", "does not rise");
            return false;
        }
    }
    return true;
}

bool snub_read_grid(snub_reader *reader, const snub_node *map, const snub_grid_key *key, snub_surface *surface)
{
    const snub_node *rows = snub_read_list(reader, map, key->key, 1, SNUB_TABLE_POINTS_MOST);
    if (rows == NULL)
        return false;
    surface->z = SNUB_NEW(reader->arena, double, (size_t)surface->nx *(size_t)surface->ny);
    if (surface->z == NULL) {
        snub_read_no_memory(reader);
        return false;
    }
    bool good = rows->count == surface->nx;
    if (!good)
        snub_read_wrong_key(reader, map, key->key, snub_format(reader->arena, "one row for each %s", key->down),
                            "has %d rows", rows->count);
    snub_enter(reader, key->key);
    for (int i = 0; good && i < rows->count; i++) {
        const snub_node *row = rows->items[i];
        snub_enter_item(reader, i);
        if (row->kind != SNUB_LIST || row->count != surface->ny) {
            snub_read_wrong(reader, row,
                            snub_format(reader->arena, "a list with one %s for each %s", key->key, key->across),
                            "does not fit the %ss", key->across);
            good = false;
        }
        for (int j = 0; good && j < row->count; j++) {
            snub_enter_item(reader, j);
            good = snub_read_value(reader, row->items[j], key->quantity, key->least, key->most,
                                   &surface->z[i * surface->ny + j]);
            snub_leave(reader);
        }
        snub_leave(reader);
    }
    snub_leave(reader);
    return good;
}

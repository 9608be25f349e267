/** Outlines: polygons given by their corners. */
#include "hardware.h"
#include "polygon.h"

#define FAR 5000 /* mm */

static bool read_corner(snub_reader *reader, const snub_node *node, double corner[2])
{
    bool good = node->kind == SNUB_LIST && node->count == 2;
    if (!good)
        snub_read_wrong(reader, node, "[x, y]", "is not a corner");
    for (int k = 0; k < 2 && good; k++) {
        snub_enter_item(reader, k);
        good = snub_read_value(reader, node->items[k], SNUB_Q_LENGTH, -FAR, FAR, &corner[k]);
        snub_leave(reader);
    }
    return good;
}

bool snub_read_outline(snub_reader *reader, const snub_node *map, const char *key, int *corners, double (**outline)[2])
{
    const snub_node *list = snub_read_list(reader, map, key, 3, SNUB_CORNERS_MOST);
    if (list == NULL)
        return false;
    double(*corner)[2] = snub_alloc(reader->arena, (size_t)list->count, sizeof *corner);
    if (corner == NULL) {
        snub_read_no_memory(reader);
        return false;
    }
    bool good = true;
    snub_enter(reader, key);
    for (int i = 0; i < list->count; i++) {
        snub_enter_item(reader, i);
        good = read_corner(reader, list->items[i], corner[i]) && good;
        snub_leave(reader);
    }
    snub_leave(reader);
    if (!good)
        return false;
    int other = 0;
    const int crosses = snub_polygon_crossing(list->count, (const double(*)[2])corner, &other);
    if (crosses >= 0)
        snub_read_wrong_key(reader, map, key, "corners in order around the outline, the first not repeated",
                            "crosses itself: side %d meets side %d", crosses + 1, other + 1);
    *outline = corner;
    *corners = list->count;
    return crosses < 0;
}

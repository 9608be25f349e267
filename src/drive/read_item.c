/** Items of the hardware sections: lists, names that come once, ranges. */
#include <string.h>

#include "hardware.h"

const snub_node *snub_read_named_list(snub_reader *reader, const snub_node *root, const char *key, int most)
{
    return snub_read_list(reader, root, key, 1, most);
}

void snub_read_item_name(snub_reader *reader, const snub_node *map, const char *const *before, int count,
                         const char **name)
{
    *name = "";
    if (snub_read_need(reader, map, "name") == NULL || !snub_read_text(reader, map, "name", 60, name))
        return;
    for (int i = 0; i < count; i++) {
        if (strcmp(before[i], *name) == 0)
            snub_read_wrong_key(reader, map, "name", "each name once", "is already used in this list");
    }
}

bool snub_read_range(snub_reader *reader, const snub_node *map, const char *key, double range[2])
{
    double read[2];
    if (!snub_read_point(reader, map, key, SNUB_Q_LENGTH, -2000, 2000, read))
        return false;
    if (!(read[0] < read[1])) {
        snub_read_wrong_key(reader, map, key, "[from, to] with from below to", "does not rise");
        return false;
    }
    range[0] = read[0];
    range[1] = read[1];
    return true;
}

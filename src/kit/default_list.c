/* Values that a drive file may leave out: the list and its ranges. */
#include "default_list.h"

#include <string.h>

enum { BELT = SNUB_OF_BELT, ENGINE = SNUB_OF_ENGINE, BLOWER = SNUB_OF_BLOWER, SEAT = SNUB_OF_SEAT };

static const snub_listed_default list[] = {
#define SNUB_DEFAULT(of, key, unit, preset, low, high, source, measure)                                                \
    {(snub_default_section)of, {key, unit, preset, {low, high}, source, measure}},
#include "snub/default_list.inc"
};
enum { LISTED = sizeof list / sizeof list[0] };

const snub_listed_default *snub_default_list(int *count)
{
    *count = LISTED;
    return list;
}

void snub_belt_default_range(const char *key, double range[2])
{
    range[0] = range[1] = NAN;
    for (int k = 0; k < LISTED; k++) {
        if (list[k].of != SNUB_OF_BELT || strcmp(list[k].info.key, key) != 0)
            continue;
        for (int e = 0; e < 2; e++)
            (void)snub_parse_number(list[k].info.range[e], NULL, &range[e]);
    }
}
